//! The envelope around packed bytes, read and written a byte at a time.

use crc::{CRC_32_ISCSI, Crc, NoTable};

use super::{Fault, Kind, Reason, VERSION};
use crate::fingerprint::{Fingerprint, Running};

/// The first bytes of everything packed.
pub const MAGIC: [u8; 4] = *b"PNFD";
/// Bytes before the body.
pub const HEAD: usize = HEAD_BYTES as usize;
/// Bytes after the body.
pub const TAIL: usize = TAIL_BYTES as usize;
const HEAD_BYTES: u32 = 10;
const TAIL_BYTES: u32 = 4;

/// The checksum of envelopes and frames, without a table: 120 bytes of code instead of 1152.
static CHECKSUM: Crc<u32, NoTable> = Crc::<u32, NoTable>::new(&CRC_32_ISCSI);

/// A checksum in the making.
#[derive(Clone)]
pub(crate) struct Check(u32);

impl Check {
    pub(crate) const START: Self = Self(CRC_32_ISCSI.init.reverse_bits());

    pub(crate) fn take(&mut self, bytes: &[u8]) {
        let mut digest = CHECKSUM.digest_with_initial(self.0.reverse_bits());
        digest.update(bytes);
        self.0 = !digest.finalize();
    }

    pub(crate) const fn bytes(&self) -> [u8; 4] {
        (!self.0).to_le_bytes()
    }
}

/// The CRC-32/ISCSI of all these bytes.
#[must_use]
pub fn checksum(bytes: &[u8]) -> u32 {
    CHECKSUM.checksum(bytes)
}

/// What a byte was.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Token {
    /// A part of the envelope.
    Envelope,
    /// A byte of the body, and whether it is the last.
    Body { byte: u8, last: bool },
    /// The last byte of all; this is the whole's fingerprint.
    End(Fingerprint),
}

/// Takes an envelope apart, byte by byte.
#[derive(Clone)]
pub(crate) struct EnvelopeReader {
    kind: Kind,
    /// Bytes seen.
    offset: u32,
    /// Length of the body, as far as it is known.
    length: u32,
    check: Check,
    running: Running,
    /// What was refused: whatever follows it is refused, too.
    refused: Option<Fault>,
}

impl EnvelopeReader {
    /// A reader of one kind of packed bytes.
    pub(crate) fn new(kind: Kind) -> Self {
        Self { kind, offset: 0, length: 0, check: Check::START, running: Running::default(), refused: None }
    }

    /// A refusal at the byte taken last, for good.
    pub(crate) fn fault(&mut self, reason: Reason) -> Fault {
        *self.refused.insert(Fault { offset: self.offset.saturating_sub(1), reason })
    }

    /// What was refused, or what is missing when no more bytes come.
    pub(crate) fn next(&self) -> Fault {
        self.refused.unwrap_or(Fault { offset: self.offset, reason: Reason::Short })
    }

    /// What to say when no more bytes come.
    pub(crate) fn end(&self) -> Result<(), Fault> {
        if self.complete() { Ok(()) } else { Err(self.next()) }
    }

    /// Takes the next byte.
    pub(crate) fn take(&mut self, byte: u8) -> Result<Token, Fault> {
        if let Some(fault) = self.refused {
            return Err(fault);
        }
        let at = self.offset;
        self.offset = at.saturating_add(1);
        let token = self.place(at, byte).map_err(|reason| self.fault(reason))?;
        if matches!(token, Token::Envelope | Token::Body { .. }) && at < self.body_end() {
            self.check.take(&[byte]);
        }
        self.running.take(&[byte]);
        match token {
            Token::End(_) => Ok(Token::End(core::mem::take(&mut self.running).finish())),
            Token::Envelope | Token::Body { .. } => Ok(token),
        }
    }

    /// Whether all has been seen and nothing refused.
    pub(crate) fn complete(&self) -> bool {
        let end = self.body_end().saturating_add(TAIL_BYTES);
        self.refused.is_none() && self.offset >= HEAD_BYTES && self.offset == end
    }

    fn body_end(&self) -> u32 {
        self.length.saturating_add(HEAD_BYTES)
    }

    /// What the byte at `at` is, or why it can't be.
    fn place(&mut self, at: u32, byte: u8) -> Result<Token, Reason> {
        let expect = |right: bool, reason: Reason| if right { Ok(Token::Envelope) } else { Err(reason) };
        match at {
            0..4 => expect(MAGIC.get(at as usize) == Some(&byte), Reason::Magic),
            4 => expect(byte == self.kind.number(), Reason::Kind(byte)),
            5 => expect(byte == VERSION, Reason::Version(byte)),
            6..10 => {
                let shift = at.saturating_sub(6).saturating_mul(8);
                self.length |= u32::from(byte).wrapping_shl(shift);
                // A body that no file could hold is refused before it is waited for.
                expect(self.length < 1 << 24, Reason::Length)
            }
            _ if at < self.body_end() => Ok(Token::Body { byte, last: at.saturating_add(1) == self.body_end() }),
            _ => self.tail(at.saturating_sub(self.body_end()), byte),
        }
    }

    fn tail(&self, index: u32, byte: u8) -> Result<Token, Reason> {
        let expected = self.check.bytes().get(index as usize).copied().ok_or(Reason::Trailing)?;
        if byte != expected {
            return Err(Reason::Checksum);
        }
        Ok(if index == 3 { Token::End(Fingerprint::NONE) } else { Token::Envelope })
    }
}

/// Writes an envelope around a body of known length.
pub(crate) struct EnvelopeWriter<'a> {
    sink: &'a mut dyn FnMut(&[u8]),
    check: Check,
    running: Running,
}

impl<'a> EnvelopeWriter<'a> {
    pub(crate) fn new(kind: Kind, length: u32, sink: &'a mut dyn FnMut(&[u8])) -> Self {
        let mut writer = Self { sink, check: Check::START, running: Running::default() };
        writer.put(&MAGIC);
        writer.put(&[kind.number(), VERSION]);
        writer.put(&length.to_le_bytes());
        writer
    }

    /// Writes bytes of the body.
    pub(crate) fn put(&mut self, bytes: &[u8]) {
        self.check.take(bytes);
        self.running.take(bytes);
        (self.sink)(bytes);
    }

    /// Writes the checksum; the fingerprint of the whole.
    pub(crate) fn end(mut self) -> Fingerprint {
        let check = self.check.bytes();
        self.put(&check);
        self.running.finish()
    }
}
