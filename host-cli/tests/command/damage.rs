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
    let mut reader = RouteReader::default();
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

/// Counts the flips of two bits after which the bytes are still accepted.
fn pairs_accepted(bytes: &[u8], accept: Accept) -> usize {
    pairs_from(bytes, 0, accept)
}

/// The same for bits from a number on. Two threads share the work.
fn pairs_from(bytes: &[u8], first: usize, accept: Accept) -> usize {
    let count = |start: usize| {
        let (mut bytes, mut accepted) = (bytes.to_vec(), 0);
        for one in (first + start..bytes.len() * 8).step_by(2) {
            flip(&mut bytes, one);
            for two in one + 1..bytes.len() * 8 {
                flip(&mut bytes, two);
                accepted += usize::from(accept(&bytes));
                flip(&mut bytes, two);
            }
            flip(&mut bytes, one);
        }
        accepted
    };
    thread::scope(|scope| {
        let threads = [0, 1].map(|start| scope.spawn(move || count(start)));
        threads.into_iter().map(|thread| thread.join().expect("a count")).sum()
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
    let bytes = packed(&Copy::new(), "route.toml");
    assert!(is_route(&bytes), "it is accepted whole");
    assert_eq!(pairs_accepted(&bytes, is_route), 0, "damaged bytes are accepted");
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

#[test]
#[ignore = "minutes: fuzz/campaign runs it"]
fn the_packed_route_is_refused_wherever_three_bits_of_it_are_flipped() {
    let whole = packed(&Copy::new(), "route.toml");
    let mut bytes = whole.clone();
    for one in 0..whole.len() * 8 {
        flip(&mut bytes, one);
        assert_eq!(pairs_from(&bytes, one + 1, is_route), 0, "bit {one} and two others");
        flip(&mut bytes, one);
    }
}
