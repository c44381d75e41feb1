//! Bytes that don't begin as they must are refused, with the reason and the place: nobody waits for what never comes, and
//! nobody takes a newer format for this one.

use pinfold_core::wire::{Fault, Kind, Reason, VERSION};
use pinfold_tests::packed::{
    golden::{Case, cases},
    with_new_checksum,
};

/// What a case's reader says when byte `offset` is another one, the checksum being right.
fn with_byte(case: &Case, offset: usize, byte: u8) -> Result<(), Fault> {
    let mut bytes = case.bytes();
    bytes[offset] = byte;
    (case.read)(&with_new_checksum(&bytes))
}

/// What a case's reader says when the envelope gives another length, the checksum being right.
fn with_length(case: &Case, length: u32) -> Result<(), Fault> {
    let mut bytes = case.bytes();
    bytes[6..10].copy_from_slice(&length.to_le_bytes());
    (case.read)(&with_new_checksum(&bytes))
}

#[test]
fn foreign_bytes_are_refused_at_once() {
    for case in cases() {
        for offset in 0..4 {
            let right = case.bytes()[offset];
            for byte in (0..=u8::MAX).filter(|byte| *byte != right) {
                let fault = Fault { offset: offset as u32, reason: Reason::Magic };
                assert_eq!(with_byte(&case, offset, byte), Err(fault));
            }
        }
    }
}

#[test]
fn one_kind_is_not_taken_for_another() {
    for case in cases() {
        for byte in (0..=u8::MAX).filter(|byte| *byte != case.kind.number()) {
            assert_eq!(with_byte(&case, 4, byte), Err(Fault { offset: 4, reason: Reason::Kind(byte) }));
        }
    }
    for kind in [Kind::Route, Kind::Limits, Kind::Verdict] {
        assert_eq!(Kind::of_number(kind.number()), Some(kind));
    }
    let known = (0..=u8::MAX).filter(|number| Kind::of_number(*number).is_some()).count();
    assert_eq!(known, 3);
}

#[test]
fn another_version_is_not_guessed_at() {
    for case in cases() {
        for byte in (0..=u8::MAX).filter(|byte| *byte != VERSION) {
            assert_eq!(with_byte(&case, 5, byte), Err(Fault { offset: 5, reason: Reason::Version(byte) }));
        }
    }
}

#[test]
fn version_3_is_refused_by_its_name() {
    // Nothing but the version has changed in routes since: these are the bytes of version 3, as its golden file had them.
    let [route, ..] = cases();
    let mut old = route.bytes();
    old[5] = 3;
    let old = with_new_checksum(&old);
    assert_eq!(old[old.len() - 4..], 0x7056_578A_u32.to_le_bytes());
    let refused = Fault { offset: 5, reason: Reason::Version(3) };
    assert_eq!((route.read)(&old), Err(refused));
    assert_eq!(VERSION, 4);
}

#[test]
fn a_length_that_no_file_has_is_not_waited_for() {
    for case in cases() {
        for length in [1 << 24, 1 << 31, u32::MAX] {
            assert_eq!(with_length(&case, length), Err(Fault { offset: 9, reason: Reason::Length }), "{length}");
        }
    }
}

#[test]
fn a_body_that_ends_inside_its_last_value_is_refused() {
    for case in cases() {
        let body = case.bytes()[10..].to_vec();
        let length = u32::try_from(body.len() - 4).expect("short");
        for missing in 1..=length {
            let mut bytes = case.bytes();
            let end = bytes.len() - 4 - missing as usize;
            bytes.drain(end..end + missing as usize);
            bytes[6..10].copy_from_slice(&(length - missing).to_le_bytes());
            let fault = (case.read)(&with_new_checksum(&bytes)).expect_err("too short a body");
            assert_eq!(fault.reason, Reason::Length, "{:?} without {missing} of {length} bytes", case.kind);
            // Noticed at the body's last byte, or, where there is none, at the whole's.
            let last = if missing == length { bytes.len() } else { end };
            assert_eq!(fault.offset as usize, last - 1);
        }
    }
}

#[test]
fn a_body_that_goes_on_behind_its_last_value_is_refused() {
    for case in cases() {
        for more in [&[0][..], &[0x80], &[0, 0, 0], &[4, 4, 4, 4, 4, 4, 4]] {
            let whole = case.bytes();
            let (head, tail) = whole.split_at(whole.len() - 4);
            let mut bytes = [head, more, tail].concat();
            let length = u32::try_from(bytes.len() - 14).expect("short");
            bytes[6..10].copy_from_slice(&length.to_le_bytes());
            let fault = Fault { offset: head.len() as u32, reason: Reason::Length };
            assert_eq!((case.read)(&with_new_checksum(&bytes)), Err(fault), "{:?}", case.kind);
        }
    }
}

#[test]
fn a_length_one_too_many_or_too_few_is_refused() {
    for case in cases() {
        let length = u32::try_from(case.bytes().len() - 14).expect("short");
        for wrong in (0..2 * length).filter(|wrong| *wrong != length) {
            assert!(with_length(&case, wrong).is_err(), "{:?}: {wrong} instead of {length}", case.kind);
        }
    }
}
