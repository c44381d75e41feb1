//! Packed routes: bytes that are accepted are the one way to write what they mean.
//!
//! The checksum keeps nearly every mutation from being accepted, so it is made right before the bytes are read.

#![no_main]

use libfuzzer_sys::fuzz_target;
use pinfold_core::wire::{
    Kind, VERSION,
    envelope::{HEAD, MAGIC, checksum},
    route::{RouteEvent, RouteReader, pack_route},
};

/// The body in an envelope that is right.
fn envelope(body: &[u8]) -> Vec<u8> {
    let length = u32::try_from(body.len()).unwrap_or(u32::MAX).to_le_bytes();
    let mut bytes = [&MAGIC[..], &[Kind::Route.number(), VERSION], &length, body].concat();
    assert_eq!(bytes.len(), HEAD + body.len());
    bytes.extend(checksum(&bytes).to_le_bytes());
    bytes
}

fuzz_target!(|body: &[u8]| {
    let bytes = envelope(body);
    let (mut reader, mut launch, mut steps, mut whole) = (RouteReader::default(), None, Vec::new(), None);
    for byte in &bytes {
        match reader.take(*byte) {
            Err(fault) => {
                assert!((fault.offset as usize) < bytes.len(), "a fault beyond the bytes: {fault:?}");
                return;
            }
            Ok(Some(RouteEvent::Launch(from))) => assert!(launch.replace(from).is_none(), "two launch points"),
            Ok(Some(RouteEvent::Step(step))) => steps.push(step),
            Ok(Some(RouteEvent::End(fingerprint))) => whole = Some(fingerprint),
            Ok(None) => {}
        }
    }
    let (Some(launch), Some(fingerprint)) = (launch, whole) else {
        assert!(reader.end().is_err(), "complete without a launch point or an end");
        return;
    };
    let mut again = Vec::new();
    let same =
        pack_route(&launch, steps.iter(), &mut |piece| again.extend_from_slice(piece)).expect("as many steps as came");
    assert!(again == bytes && same == fingerprint, "accepted bytes are not the one way to write the route");
});
