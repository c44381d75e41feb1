//! The packed example, damaged: every truncation, every byte for another and every flip of one or two bits is refused, and of the
//! route of three. Its ground data are so many bytes that of them and what is around them single bits are flipped only; pairs are
//! in limits without, and of these the ordinary run takes those that are near each other.

use std::{fs, thread};

use pinfold_core::{
    model::store::LimitsStore,
    wire::{limits::LimitsReader, route::RouteReader},
};

use crate::support::Copy;

/// Whether bytes are what they should be.
type Accept = fn(&[u8]) -> bool;

/// The bytes of a file, packed by the command.
fn packed(copy: &Copy, file: &str) -> Vec<u8> {
    assert_eq!(copy.run(&["pack", file, "-o", "packed"]).code, 0);
    fs::read(copy.path().join("packed")).expect("bytes")
}

fn is_route(bytes: &[u8]) -> bool {
    is_rest_of_route(RouteReader::default(), bytes)
}

fn is_rest_of_route(mut reader: RouteReader, bytes: &[u8]) -> bool {
    bytes.iter().all(|byte| reader.take(*byte).is_ok()) && reader.end().is_ok()
}

fn is_limits(bytes: &[u8]) -> bool {
    let (mut reader, mut store) = (LimitsReader::default(), LimitsStore::new());
    bytes.iter().all(|byte| reader.take(*byte, &mut store).is_ok()) && reader.end().is_ok()
}

fn flip(bytes: &mut [u8], bit: usize) {
    bytes[bit / 8] ^= 1 << (bit % 8);
}

/// Whether any flip of a single bit is accepted.
fn accepts_a_flip(bytes: &[u8], accept: Accept) -> bool {
    let mut bytes = bytes.to_vec();
    (0..bytes.len() * 8).any(|bit| {
        flip(&mut bytes, bit);
        let accepted = accept(&bytes);
        flip(&mut bytes, bit);
        accepted
    })
}

/// Two threads share the work: one begins with the first of what is counted, one with the second, and both leave out every other.
fn counted_by_two(count: impl Fn(usize) -> usize + Sync) -> usize {
    let count = &count;
    thread::scope(|scope| {
        let threads = [0, 1].map(|start| scope.spawn(move || count(start)));
        threads.into_iter().map(|thread| thread.join().expect("a count")).sum()
    })
}

/// Counts the flips of two bits after which the bytes are still accepted.
fn pairs_accepted(bytes: &[u8], accept: Accept) -> usize {
    counted_by_two(|start| {
        let (mut bytes, mut accepted) = (bytes.to_vec(), 0);
        for one in (start..bytes.len() * 8).step_by(2) {
            flip(&mut bytes, one);
            for two in one + 1..bytes.len() * 8 {
                flip(&mut bytes, two);
                accepted += usize::from(accept(&bytes));
                flip(&mut bytes, two);
            }
            flip(&mut bytes, one);
        }
        accepted
    })
}

#[test]
fn the_packed_example_is_refused_wherever_it_is_damaged() {
    for (file, accept) in [("route.toml", is_route as Accept), ("limits.toml", is_limits)] {
        let bytes = packed(&Copy::new(), file);
        assert!(accept(&bytes), "{file} is accepted whole");
        assert!((0..bytes.len()).all(|length| !accept(&bytes[..length])), "{file}: a truncation is accepted");
        assert!(!accepts_a_flip(&bytes, accept), "{file}: a flipped bit is accepted");
    }
}

#[test]
fn the_packed_route_is_refused_wherever_two_bits_of_it_are_flipped() {
    let whole = packed(&Copy::new(), "route.toml");
    assert_eq!(damaged_routes_accepted(&whole, 2), 0, "damaged bytes are accepted");
}

/// Every pair takes minutes; that the checksum finds each is proved where published values are.
#[test]
#[ignore = "minutes: fuzz/campaign runs it"]
fn the_packed_limits_are_refused_wherever_two_bits_of_them_are_flipped() {
    let bytes = packed(&Copy::without_ground(), "limits.toml");
    assert!(is_limits(&bytes), "they are accepted whole");
    assert_eq!(pairs_accepted(&bytes, is_limits), 0, "damaged bytes are accepted");
}

#[test]
fn the_packed_limits_are_refused_with_two_bits_flipped_that_are_near_each_other() {
    let bytes = packed(&Copy::without_ground(), "limits.toml");
    for one in 0..bytes.len() * 8 {
        let mut damaged = bytes.clone();
        flip(&mut damaged, one);
        for two in (one + 1..bytes.len() * 8).take(24) {
            flip(&mut damaged, two);
            assert!(!is_limits(&damaged), "bits {one} and {two}");
            flip(&mut damaged, two);
        }
    }
}

#[test]
fn the_packed_example_is_refused_with_any_byte_for_another() {
    for (file, accept) in [("route.toml", is_route as Accept), ("limits.toml", is_limits)] {
        let whole = packed(&Copy::without_ground(), file);
        for at in 0..whole.len() {
            let mut bytes = whole.clone();
            let accepted = (1..=u8::MAX).filter(|change| {
                bytes[at] = whole[at] ^ change;
                accept(&bytes)
            });
            assert_eq!(accepted.count(), 0, "{file}: byte {at}");
        }
    }
}

/// Counts the readings of a route from a place on that are accepted with so many bits flipped or less, of the next byte so many
/// at least. What is refused isn't read on, and what comes before a flip is read once for all that come after.
fn accepted_from(reader: &RouteReader, bytes: &[u8], flips: u32, least: u32) -> usize {
    let (Some((byte, rest)), 1..) = (bytes.split_first(), flips) else {
        return usize::from(is_rest_of_route(reader.clone(), bytes));
    };
    let changes = (0..=u8::MAX).filter(|change| (least..=flips).contains(&change.count_ones()));
    let accepted = changes.map(|change| {
        let mut reader = reader.clone();
        let goes_on = reader.take(byte ^ change).is_ok();
        if goes_on { accepted_from(&reader, rest, flips - change.count_ones(), 0) } else { 0 }
    });
    accepted.sum()
}

/// Counts the damaged readings of a route that are accepted, with one to so many bits flipped, by the byte of the first flip.
fn damaged_routes_accepted(whole: &[u8], flips: u32) -> usize {
    assert!(is_route(whole), "it is accepted whole");
    counted_by_two(|start| {
        let firsts = (start..whole.len()).step_by(2).map(|at| {
            let (before, from) = whole.split_at(at);
            let mut reader = RouteReader::default();
            assert!(before.iter().all(|byte| reader.take(*byte).is_ok()), "it is accepted whole");
            accepted_from(&reader, from, flips, 1)
        });
        firsts.sum()
    })
}

#[test]
#[ignore = "over a minute: fuzz/campaign runs it"]
fn the_packed_route_is_refused_wherever_three_bits_of_it_are_flipped() {
    let whole = packed(&Copy::new(), "route.toml");
    assert_eq!(damaged_routes_accepted(&whole, 3), 0, "damaged bytes are accepted");
}
