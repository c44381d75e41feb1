//! Messages in frames, and frames out of bytes.

use cobs::{DecodeResult, DecoderState};
use serde::{Serialize, de::DeserializeOwned};

use super::PIECE;
use crate::wire::{envelope::checksum, part::is_encoding_of};

/// Most bytes of a message with its checksum.
pub const MESSAGE: usize = PIECE + 24;
/// Most bytes of a frame: COBS takes one byte more for each 254, and the zero byte one.
pub const FRAME: usize = MESSAGE + 2;

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

/// What a frame that arrived whole says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Came<T> {
    /// A message.
    Message(T),
    /// The right checksum about a message that isn't known here, with this sequence number: the other side is of
    /// another version.
    Unknown(u16),
}

impl<T> Came<T> {
    /// The message, for whoever has nothing to say to an unknown one.
    pub fn message(self) -> Option<T> {
        match self {
            Self::Message(message) => Some(message),
            Self::Unknown(_) => None,
        }
    }
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

    /// Takes the next byte; what a frame says when this byte ends one that is whole.
    pub fn take<T: Serialize + DeserializeOwned>(&mut self, byte: u8) -> Option<Came<T>> {
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

/// What a frame without its zero byte says.
fn read<T: Serialize + DeserializeOwned>(frame: &[u8]) -> Option<Came<T>> {
    let decoded = decode(frame)?;
    let (body, check) = decoded.split_last_chunk::<4>()?;
    if checksum(body) != u32::from_le_bytes(*check) {
        return None;
    }
    match postcard::take_from_bytes::<T>(body) {
        Ok((message, [])) if is_encoding_of(body, &message) => Some(Came::Message(message)),
        _ => postcard::take_from_bytes::<u16>(body).ok().map(|(sequence, _)| Came::Unknown(sequence)),
    }
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
