//! Packed bytes field by field, for the developer of odd files.
//!
//! Nothing is decoded here a second time: what fields there are and what they are called comes from the types that core packs
//! and unpacks, each number is taken by the very library that core takes it with, and whether bytes are sound, and where not,
//! is what core's own readers say. Only which value follows which is said again, in `body`.

mod body;
mod quantity;
#[cfg(test)]
mod tests;
mod trace;

use pinfold_core::wire::{
    Fault, Kind, Reason,
    envelope::{HEAD, MAGIC, TAIL, checksum},
    limits::LimitsReader,
    route::RouteReader,
    verdict::unpack_verdict,
};
use pinfold_core::{fingerprint::Fingerprint, model::store::LimitsStore};

use crate::read::packed::kind;
use trace::{Raw, Trace};

/// One field of packed bytes.
#[derive(Debug)]
pub(crate) struct Field<'b> {
    /// Where its first byte stands.
    pub(crate) offset: usize,
    pub(crate) bytes: &'b [u8],
    /// What it belongs to: a step, a zone, the envelope.
    pub(crate) of: String,
    pub(crate) name: String,
    /// What it means, for people.
    pub(crate) value: String,
    /// What is written there.
    pub(crate) raw: Raw,
    /// The type in core that it is of.
    #[cfg_attr(not(test), expect(dead_code, reason = "tests hold it to the golden files"))]
    pub(crate) quantity: &'static str,
}

/// Packed bytes, taken apart as far as they can be.
pub(crate) struct Fields<'b> {
    /// What they say they are.
    pub(crate) kind: Kind,
    pub(crate) fields: Vec<Field<'b>>,
    /// What no field was made of: nothing where there is no fault.
    pub(crate) rest: &'b [u8],
    /// What core says of the bytes.
    pub(crate) fault: Option<Fault>,
}

impl<'b> Fields<'b> {
    /// Takes bytes apart, sound or not.
    pub(crate) fn of(bytes: &'b [u8]) -> Self {
        let kind = kind(bytes).unwrap_or(Kind::Route);
        let fault = fault(bytes, kind);
        let end = fault.map_or(bytes.len(), |fault| end(bytes, fault));
        let mut fields = head(bytes, end);
        let body = body_of(bytes, end);
        let mut trace = Trace::new(body, HEAD);
        // A value that can't be ends the body early; the fields before it stand.
        let _ = match kind {
            Kind::Route => body::route(&mut trace, bytes),
            Kind::Limits => body::limits(&mut trace),
            Kind::Verdict => body::verdict(&mut trace),
        };
        fields.append(&mut trace.fields);
        let all = trace.at == HEAD + body.len();
        fields.extend(all.then(|| tail(bytes, end)).flatten());
        let read = fields.last().map_or(0, |field| field.offset + field.bytes.len());
        Self { kind, fields, rest: bytes.get(read..).unwrap_or_default(), fault }
    }
}

/// What core's reader says is wrong with bytes.
fn fault(bytes: &[u8], kind: Kind) -> Option<Fault> {
    match kind {
        Kind::Route => {
            let mut reader = RouteReader::default();
            let refused = bytes.iter().find_map(|byte| reader.take(*byte).err());
            refused.or_else(|| reader.end().err())
        }
        Kind::Limits => {
            let (mut reader, mut store) = (LimitsReader::default(), Box::new(LimitsStore::new()));
            let refused = bytes.iter().find_map(|byte| reader.take(*byte, &mut store).err());
            refused.or_else(|| reader.end().err())
        }
        Kind::Verdict => unpack_verdict(bytes).err(),
    }
}

/// How many bytes are worth taking apart: up to the damage, and the byte at which it was noticed, which ends the value that
/// can't be. Findings out of order are noticed when all have been read, and said to be at 0.
fn end(bytes: &[u8], fault: Fault) -> usize {
    let noticed = fault.offset as usize;
    match fault.reason {
        Reason::NotCanonical if noticed == 0 => bytes.len(),
        // A wrong checksum is shown whole beside the right one.
        Reason::Checksum => bytes.len().min(noticed + TAIL),
        Reason::Magic
        | Reason::Kind(_)
        | Reason::Version(_)
        | Reason::Short
        | Reason::Trailing
        | Reason::Length
        | Reason::Value
        | Reason::NotCanonical
        | Reason::Limits(_) => bytes.len().min(noticed + 1),
    }
}

/// The fields of the envelope before the body, as far as they are there.
fn head(bytes: &[u8], end: usize) -> Vec<Field<'_>> {
    let number = |bytes: &[u8]| bytes.first().copied().unwrap_or_default();
    let magic = |bytes: &[u8]| if bytes == MAGIC { "as it must be" } else { "not that of packed bytes" }.to_owned();
    let kind = |bytes: &[u8]| match Kind::of_number(number(bytes)) {
        Some(kind) => crate::read::packed::called(kind).to_owned(),
        None => "of no known kind".to_owned(),
    };
    let version = |bytes: &[u8]| number(bytes).to_string();
    let length = |bytes: &[u8]| format!("{} bytes", little_endian(bytes));
    type Meaning<'m> = &'m dyn Fn(&[u8]) -> String;
    let fields: [(&str, usize, usize, Meaning<'_>); 4] = [
        ("magic", 0, MAGIC.len(), &magic),
        ("kind", 4, 1, &kind),
        ("version", 5, 1, &version),
        ("length of the body", 6, 4, &length),
    ];
    let there = |(name, at, length, meaning): (&str, usize, usize, Meaning<'_>)| {
        let bytes = bytes.get(at..at + length).filter(|_| at + length <= end)?;
        Some(envelope(at, bytes, name, meaning(bytes)))
    };
    fields.into_iter().map_while(there).collect()
}

fn envelope<'b>(offset: usize, bytes: &'b [u8], name: &str, value: String) -> Field<'b> {
    let (of, name) = ("envelope".to_owned(), name.to_owned());
    Field { offset, bytes, of, name, value, raw: Raw::Bytes, quantity: "" }
}

fn little_endian(bytes: &[u8]) -> u32 {
    bytes.iter().rev().fold(0, |number, byte| number << 8 | u32::from(*byte))
}

/// Where the body ends by its length.
fn body_end(bytes: &[u8]) -> usize {
    bytes.get(HEAD - 4..HEAD).map_or(0, |length| HEAD.saturating_add(little_endian(length) as usize))
}

fn body_of(bytes: &[u8], end: usize) -> &[u8] {
    bytes.get(HEAD..body_end(bytes).min(end)).unwrap_or_default()
}

/// The checksum, where all of it is there.
fn tail(bytes: &[u8], end: usize) -> Option<Field<'_>> {
    let begin = body_end(bytes);
    let (before, written) = (bytes.get(..begin)?, bytes.get(begin..begin + TAIL)?);
    if begin < HEAD || end < begin + TAIL {
        return None;
    }
    let value = if little_endian(written) == checksum(before) {
        format!("right; fingerprint {}", Fingerprint::of(bytes.get(..begin + TAIL)?))
    } else {
        let [a, b, c, d] = checksum(before).to_le_bytes();
        format!("wrong: {a:02x} {b:02x} {c:02x} {d:02x} is right")
    };
    Some(envelope(begin, written, "checksum", value))
}
