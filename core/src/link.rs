//! Frames and messages between a host and a board: a thin beginning.
//!
//! # Frames
//! A frame is a message and its CRC-32/ISCSI (least significant byte first), COBS-encoded, and a zero byte. Whatever is not a
//! whole frame with the right checksum is dropped; the receiver is in step again at the next zero byte. Nothing is answered
//! to a dropped frame: the host asks again.
//!
//! # Messages
//! postcard values. Every [`Request`] has a sequence number; its [`Reply`] carries the same.
//!
//! | request | number, fields | reply |
//! | --- | --- | --- |
//! | hello | 0 | hello: what the board can hold |
//! | begin | 1, kind (0 route, 1 limits) | taken: 0 bytes |
//! | piece | 2, offset, bytes | taken: how many bytes it has from the beginning; a piece that doesn't begin there is not taken |
//! | verdict | 3, offset | verdict: its length, and bytes from that offset; length 0 while there is none |
//! | readings | 4, what is known at the field ([`Readings`]) | taken: 0 bytes. They count for every route that begins after them |

use cobs::{DecodeResult, DecoderState};
use serde::{Deserialize, Serialize, de::DeserializeOwned};

use crate::{
    model::{route::STEPS, zone},
    rules::Readings,
    verdict::RULE_COUNT,
    wire::{Kind, VERSION, envelope::checksum, part::is_encoding_of},
};

/// Most bytes in a piece.
pub const PIECE: usize = 64;
/// Most bytes of a message with its checksum.
pub const MESSAGE: usize = PIECE + 24;
/// Most bytes of a frame: COBS takes one byte more for each 254, and the zero byte one.
pub const FRAME: usize = MESSAGE + 2;

/// Some bytes of a whole.
pub type Bytes = heapless::Vec<u8, PIECE>;

/// What a host asks.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Ask {
    /// Who is there?
    Hello,
    /// A route or limits will come; what was held of that kind is dropped.
    Begin(Kind),
    /// The bytes from this offset on.
    Piece {
        /// Bytes before these.
        offset: u32,
        /// The bytes.
        bytes: Bytes,
    },
    /// What is the verdict, from this byte on?
    Verdict {
        /// Bytes that the host has.
        offset: u16,
    },
    /// What is known at the field, for routes to come.
    Readings(Readings),
}

/// A question with its number.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Request {
    /// Number of the question.
    pub sequence: u16,
    /// The question.
    pub ask: Ask,
}

/// What a board can hold and which rules it knows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Capacities {
    /// Version of the packed format.
    pub format: u8,
    /// Rules.
    pub rules: u8,
    /// Zones.
    pub zones: u8,
    /// Vertices.
    pub vertices: u16,
    /// Steps.
    pub steps: u16,
}

impl Capacities {
    /// Those of this build.
    #[expect(clippy::cast_possible_truncation, reason = "constants that fit, which the assertion below checks")]
    pub const HERE: Self = Self {
        format: VERSION,
        rules: RULE_COUNT as u8,
        zones: zone::ZONES as u8,
        vertices: zone::VERTICES as u16,
        steps: STEPS as u16,
    };
}

const _: () = assert!(RULE_COUNT < 256 && zone::ZONES < 256 && zone::VERTICES < 65_536 && STEPS < 65_536);

/// What a board answers.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Answer {
    /// Who is here.
    Hello(Capacities),
    /// How many bytes of the whole have been taken.
    Taken(u32),
    /// Some of the packed verdict.
    Verdict {
        /// Length of the whole; 0 while there is none.
        length: u16,
        /// Bytes from the offset that was asked for.
        bytes: Bytes,
    },
}

/// An answer with the number of its question.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Reply {
    /// Number of the question.
    pub sequence: u16,
    /// The answer.
    pub answer: Answer,
}

/// A message as a frame, its zero byte included.
pub fn frame<T: Serialize>(message: &T) -> heapless::Vec<u8, FRAME> {
    let mut buffer = [0; MESSAGE];
    let mut frame = heapless::Vec::new();
    let Ok(body) = postcard::to_slice(message, &mut buffer) else { return frame };
    let mut whole: heapless::Vec<u8, MESSAGE> = heapless::Vec::new();
    let fits = body.iter().chain(&checksum(body).to_le_bytes()).try_for_each(|byte| whole.push(*byte)).is_ok();
    if fits && frame.resize_default(FRAME).is_ok() {
        let length = cobs::try_encode(&whole, &mut frame).unwrap_or(0);
        frame.truncate(length);
        // There is room: FRAME counts the zero byte.
        let _ = frame.push(0);
    }
    frame
}

/// Takes bytes apart into messages.
#[derive(Debug)]
pub struct FrameReader {
    frame: heapless::Vec<u8, FRAME>,
    /// The frame at hand is too long to be one.
    overrun: bool,
}

impl Default for FrameReader {
    fn default() -> Self {
        Self::new()
    }
}

impl FrameReader {
    /// A reader between two frames.
    #[must_use]
    pub const fn new() -> Self {
        Self { frame: heapless::Vec::new(), overrun: false }
    }

    /// Takes the next byte; a message when it ends one that is whole.
    pub fn take<T: Serialize + DeserializeOwned>(&mut self, byte: u8) -> Option<T> {
        if byte != 0 {
            self.overrun |= self.frame.push(byte).is_err();
            return None;
        }
        let message = if self.overrun { None } else { read(&self.frame) };
        self.frame.clear();
        self.overrun = false;
        message
    }
}

/// The message in a frame without its zero byte.
fn read<T: Serialize + DeserializeOwned>(frame: &[u8]) -> Option<T> {
    let decoded = decode(frame)?;
    let (body, check) = decoded.split_last_chunk::<4>()?;
    if checksum(body) != u32::from_le_bytes(*check) {
        return None;
    }
    let (message, rest) = postcard::take_from_bytes::<T>(body).ok()?;
    (rest.is_empty() && is_encoding_of(body, &message)).then_some(message)
}

/// The bytes that a frame without its zero byte stands for.
fn decode(frame: &[u8]) -> Option<heapless::Vec<u8, FRAME>> {
    let mut decoded = heapless::Vec::new();
    let mut state = DecoderState::default();
    for byte in frame.iter().chain(&[0]) {
        if let DecodeResult::DataContinue(byte) = state.feed(*byte).ok()? {
            decoded.push(byte).ok()?;
        }
    }
    Some(decoded)
}
