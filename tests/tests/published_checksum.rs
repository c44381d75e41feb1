//! The checksum is the published one, and finds what it was chosen for.
//!
//! Sources: CRC-32/ISCSI in the catalogue of parametrised CRC algorithms (polynomial 1EDC6F41, initial value and final
//! exclusive or FFFFFFFF, reflected; check value and residue read there as a Rust package ships them); RFC 3720, appendix B.4,
//! for the examples (from memory, and they are reproduced here). How many errors it finds: G. Castagnoli, S. Bräuer,
//! M. Herrmann, IEEE Trans. Communications 41(6), 1993, and P. Koopman's tables (from memory; derived again below).

use std::collections::HashSet;

use pinfold_core::wire::envelope::checksum;
use pinfold_tests::packed::golden::cases;

#[test]
fn the_check_value_is_that_of_the_catalogue() {
    assert_eq!(checksum(b"123456789"), 0xE306_9283);
    // The commoner polynomial's check value (CRC-32/ISO-HDLC) would be CBF43926.
    assert_ne!(checksum(b"123456789"), 0xCBF4_3926);
    assert_eq!(checksum(b""), 0);
}

#[test]
fn the_examples_of_the_standard_are_met() {
    let up: Vec<u8> = (0..32).collect();
    let down: Vec<u8> = (0..32).rev().collect();
    // A read command of the protocol: 48 bytes.
    let mut command = [0; 48];
    for (at, byte) in [(0, 0x01), (1, 0xC0), (16, 0x14), (22, 0x04), (27, 0x14), (31, 0x18), (32, 0x28), (40, 0x02)] {
        command[at] = byte;
    }
    // The standard prints the bytes as they are sent, the least significant first.
    let examples: [(&[u8], [u8; 4]); 5] = [
        (&[0; 32], [0xAA, 0x36, 0x91, 0x8A]),
        (&[0xFF; 32], [0x43, 0xAB, 0xA8, 0x62]),
        (&up, [0x4E, 0x79, 0xDD, 0x46]),
        (&down, [0x5C, 0xDB, 0x3F, 0x11]),
        (&command, [0x56, 0x3A, 0x96, 0xD9]),
    ];
    for (bytes, published) in examples {
        assert_eq!(checksum(bytes).to_le_bytes(), published, "{bytes:?}");
    }
}

#[test]
fn packed_bytes_with_their_checksum_leave_the_residue() {
    // The catalogue's residue B798B438, with the final exclusive or.
    let residue = 0xB798_B438 ^ u32::MAX;
    for case in cases() {
        assert_eq!(checksum(&case.bytes()), residue);
    }
}

/// What each single flipped bit of a message and its checksum does to the remainder, so many bits in all.
///
/// The checksum is linear: a set of flips goes unnoticed when what they do adds up (exclusive or) to nothing. A flip in the
/// checksum itself changes the one bit.
fn syndromes(bits: usize) -> Vec<u32> {
    let bytes = bits / 8;
    let still = checksum(&vec![0; bytes - 4]);
    let in_message = (0..bits - 32).map(|bit| {
        let mut flipped = vec![0; bytes - 4];
        flipped[bit / 8] = 1 << (bit % 8);
        checksum(&flipped) ^ still
    });
    in_message.chain((0..32).map(|bit| 1 << bit)).collect()
}

/// Whether some four flips go unnoticed. Flips that do, moved along until the last of them is the last bit, still do (moving
/// multiplies by a power of x, which has an inverse): so only fours with the last bit are tried.
fn four_flips_can_hide(syndromes: &[u32]) -> bool {
    let (last, rest) = syndromes.split_last().expect("some bits");
    let known: HashSet<u32> = rest.iter().copied().collect();
    // Most are ruled out by their lower half.
    let mut lower = vec![false; 1 << 16];
    rest.iter().for_each(|syndrome| lower[(syndrome & 0xFFFF) as usize] = true);
    rest.iter().enumerate().any(|(index, one)| {
        let missing = rest[..index].iter().map(|other| one ^ other ^ last);
        missing.filter(|missing| lower[(missing & 0xFFFF) as usize]).any(|missing| known.contains(&missing))
    })
}

/// The bits of the longest message, checksum included, within which any five flipped bits are found: 5243 + 32, in whole bytes.
const FIVE_FOUND: usize = (5243 + 32) / 8 * 8;

#[test]
fn up_to_five_flipped_bits_are_found_as_far_as_is_promised() {
    // The promise says 655 bytes.
    assert_eq!(FIVE_FOUND / 8 - 4, 655);
    let within = syndromes(FIVE_FOUND);
    assert_eq!(within.iter().copied().collect::<HashSet<_>>().len(), within.len(), "two flips hide");
    assert!(!within.contains(&0), "one flip hides");
    assert!(odd_flips_are_found(&within));
    assert!(!four_flips_can_hide(&within));
    // One byte more is too much, as published.
    assert!(four_flips_can_hide(&syndromes(FIVE_FOUND + 8)));
}

/// The polynomial is divisible by x + 1: there is a mask of the remainder's bits in which every single flip counts as odd, so
/// that an odd number of flips can't add up to nothing.
fn odd_flips_are_found(syndromes: &[u32]) -> bool {
    // Each flip in the checksum changes one bit, so the mask can only be all of them.
    syndromes.iter().all(|syndrome| syndrome.count_ones() % 2 == 1)
}

#[test]
fn up_to_three_flipped_bits_are_found_in_everything_that_occurs() {
    // Two flips hide only where one comes back: after 2^31 - 1 bits, as published (from memory). Tried here: all that the
    // longest route has, 65,535 steps of 10 bytes.
    let mut seen: Vec<u32> = long_syndromes(8 * 655_350).collect();
    assert!(odd_flips_are_found(&seen));
    let all = seen.len();
    seen.sort_unstable();
    seen.dedup();
    assert_eq!(seen.len(), all);
}

/// The syndromes from the last bit of a message to the first: each is the one after it, moved on by one bit.
fn long_syndromes(bits: usize) -> impl Iterator<Item = u32> {
    let mut syndrome = 1_u32 << 31;
    (0..bits).map(move |_| {
        let now = syndrome;
        // The polynomial, reflected.
        syndrome = (syndrome >> 1) ^ if syndrome & 1 == 1 { 0x82F6_3B78 } else { 0 };
        now
    })
}

#[test]
fn moving_on_by_a_bit_is_what_the_checksum_does() {
    let bits = 800;
    let by_checksum: HashSet<u32> = syndromes(bits).into_iter().collect();
    let moved: HashSet<u32> = long_syndromes(bits).collect();
    assert_eq!(by_checksum, moved);
}
