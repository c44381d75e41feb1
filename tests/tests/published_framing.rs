//! Frames on the link are those of the published byte stuffing.
//!
//! Source: S. Cheshire, M. Baker, "Consistent Overhead Byte Stuffing", IEEE/ACM Trans. Networking 7(2), 1999: figures 2 and 3,
//! read in public tests that cite them. The other vectors agree among libraries in two languages. A reference encoder, written
//! here from the paper's description, and the library that the core uses are both held to them.

use cobs::{DecodeResult, DecoderState};
use pinfold_core::{
    fingerprint::Fingerprint,
    interlock::{Flight, Stage},
    link::{Advice, Aged, Answer, Ask, Bytes, FrameReader, PIECE, Reply, Report, Request, Status, frame},
    rules::PackReading,
    units::{Charge, Duration, Height, Voltage},
    verdict::{Cause, Finding, Measure, Place, Rule, Unit},
    wire::{Kind, envelope::checksum},
};
use pinfold_tests::{packed::golden::hexadecimal, sample::position};

/// Groups of up to 254 bytes that aren't zero, each behind its length + 1; a group shorter than that stands for a zero behind
/// it, too, but for the last one.
fn stuffed(bytes: &[u8]) -> Vec<u8> {
    let mut out = Vec::new();
    let mut rest = bytes;
    loop {
        let run = rest.iter().take(254).take_while(|byte| **byte != 0).count();
        out.push(run as u8 + 1);
        out.extend_from_slice(&rest[..run]);
        rest = &rest[run..];
        match rest.split_first() {
            // A full group says nothing of a zero: at the end nothing is left to say.
            None => return out,
            Some((0, after)) if run < 254 => rest = after,
            Some(_) => {}
        }
    }
}

fn by_library(bytes: &[u8]) -> Vec<u8> {
    let mut out = vec![0; bytes.len() + bytes.len() / 254 + 2];
    let length = cobs::try_encode(bytes, &mut out).expect("room");
    out.truncate(length);
    out
}

/// What the library's decoder, fed as the core feeds it, makes of a frame without its zero byte.
fn unstuffed(frame: &[u8]) -> Option<Vec<u8>> {
    let mut state = DecoderState::default();
    let mut out = Vec::new();
    for byte in frame.iter().chain(&[0]) {
        if let DecodeResult::DataContinue(byte) = state.feed(*byte).ok()? {
            out.push(byte);
        }
    }
    Some(out)
}

fn run(from: u8, to: u8) -> Vec<u8> {
    (from..=to).collect()
}

fn vectors() -> Vec<(Vec<u8>, Vec<u8>)> {
    let short = [
        // Figure 3: the head of a packet.
        ("45 00 00 2C 4C 79 00 00 40 06 4F 37", "02 45 01 04 2C 4C 79 01 05 40 06 4F 37"),
        ("00", "01 01"),
        ("00 00", "01 01 01"),
        ("11 22 00 33", "03 11 22 02 33"),
        ("11 22 33 44", "05 11 22 33 44"),
        ("11 00 00 00", "02 11 01 01 01"),
    ];
    let long = [
        // Figure 2: 679 bytes that aren't zero, and a zero.
        (
            [vec![1; 679], vec![0]].concat(),
            [vec![0xFF], vec![1; 254], vec![0xFF], vec![1; 254], vec![0xAC], vec![1; 171], vec![1]].concat(),
        ),
        (run(1, 0xFE), [vec![0xFF], run(1, 0xFE)].concat()),
        ([vec![0], run(1, 0xFE)].concat(), [vec![1, 0xFF], run(1, 0xFE)].concat()),
        (run(1, 0xFF), [vec![0xFF], run(1, 0xFE), vec![2, 0xFF]].concat()),
        ([run(2, 0xFF), vec![0]].concat(), [vec![0xFF], run(2, 0xFF), vec![1, 1]].concat()),
        ([run(3, 0xFF), vec![0, 1]].concat(), [vec![0xFE], run(3, 0xFF), vec![2, 1]].concat()),
    ];
    short.map(|(plain, frame)| (hexadecimal(plain), hexadecimal(frame))).into_iter().chain(long).collect()
}

#[test]
fn bytes_are_stuffed_as_published() {
    for (plain, framed) in vectors() {
        assert_eq!(stuffed(&plain), framed);
        assert_eq!(by_library(&plain), framed);
        assert_eq!(unstuffed(&framed), Some(plain));
    }
    // The paper's own routine closes a full last group with a group of nothing (from memory): both are read.
    let closed = [vec![0xFF], run(1, 0xFE), vec![1]].concat();
    assert_eq!(unstuffed(&closed), Some(run(1, 0xFE)));
    // One byte more for every 254, and one: 254, 255, 508 and 509 bytes that aren't zero.
    let length = |count: usize| (stuffed(&vec![7; count]).len(), by_library(&vec![7; count]).len());
    assert_eq!([254, 255, 508, 509].map(length), [(255, 255), (257, 257), (510, 510), (512, 512)]);
}

/// Messages with their bytes, written by hand from the published wire format.
fn requests() -> [(Request, Vec<u8>); 5] {
    let bytes: Vec<u8> = (0..PIECE as u8).collect();
    let piece = Bytes::from_slice(&bytes).expect("a piece");
    let ask = |sequence, ask| Request { sequence, ask };
    [
        (ask(0, Ask::Hello), vec![0, 0]),
        (ask(1, Ask::Begin(Kind::Route)), vec![1, 1, 0]),
        (ask(127, Ask::Begin(Kind::Limits)), vec![127, 1, 1]),
        (ask(128, Ask::Piece { offset: 300, bytes: piece }), [vec![0x80, 1, 2, 0xAC, 2, 64], bytes].concat()),
        (ask(65_535, Ask::Verdict { offset: 16_384 }), vec![0xFF, 0xFF, 3, 3, 0x80, 0x80, 1]),
    ]
}

fn read<T: serde::Serialize + serde::de::DeserializeOwned>(reader: &mut FrameReader, bytes: &[u8]) -> Vec<T> {
    bytes.iter().filter_map(|byte| reader.take(*byte)?.message()).collect()
}

#[test]
fn a_frame_is_message_and_checksum_stuffed_as_published() {
    let mut reader = FrameReader::default();
    for (request, bytes) in requests() {
        let whole = [&bytes[..], &checksum(&bytes).to_le_bytes()].concat();
        let framed = [stuffed(&whole), vec![0]].concat();
        assert_eq!(frame(&request)[..], framed, "{request:?}");
        assert_eq!(read::<Request>(&mut reader, &framed), [request]);
    }
}

/// Readings in which every number is as long as it can be written.
fn longest_report() -> Report {
    fn aged<T>(value: Option<T>) -> Option<Aged<T>> {
        value.map(|value| Aged { value, age: u32::MAX })
    }
    let longest = Duration::new(Duration::MAX);
    let pack = Voltage::new(Voltage::MAX).map(|voltage| PackReading { voltage, rested: longest });
    Report {
        flight: aged(Some(Flight::Flying)),
        position: aged(Some(position(-900_000_000, -1_800_000_000))),
        height: aged(Height::new(Height::MIN)),
        pack: aged(pack),
        left: aged(Charge::new(Charge::MAX)),
    }
}

/// How things stand, in the most bytes.
fn longest_status() -> Status {
    let measure = Measure { clearance: i32::MIN, required: i32::MIN, unit: Unit::Seconds };
    let place = Place { position: position(-900_000_000, -1_800_000_000), height: i32::MIN };
    let finding = Finding { zone: Some(u8::MAX), ..Finding::measured(Rule::Pack, u16::MAX, measure).at(place) };
    Status {
        stage: Stage::Latched,
        limits: Some(Fingerprint::of(b"")),
        route: Some(Fingerprint::of(b"")),
        waits: Some(Finding { cause: Cause::AnotherLaunch, ..finding }),
        flight: Some(Flight::Flying),
        advice: Advice::TurnBack,
    }
}

#[test]
fn the_longest_messages_fit_a_frame() {
    let bytes = Bytes::from_slice(&[0xFF; PIECE]).expect("a piece");
    let request = Request { sequence: u16::MAX, ask: Ask::Piece { offset: u32::MAX, bytes: bytes.clone() } };
    assert_eq!(read::<Request>(&mut FrameReader::default(), &frame(&request)), [request]);
    let request = Request { sequence: u16::MAX, ask: Ask::Readings(longest_report()) };
    assert_eq!(read::<Request>(&mut FrameReader::default(), &frame(&request)), [request]);
    for answer in [Answer::Verdict { length: u16::MAX, bytes }, Answer::Status(longest_status())] {
        let reply = Reply { sequence: u16::MAX, answer };
        assert_eq!(read::<Reply>(&mut FrameReader::default(), &frame(&reply)), [reply]);
    }
}
