//! Golden files: packed bytes written down once, a field a line, each with what it means.
//!
//! A line is `bytes ; form ; meaning`. The form's first word says how the field is written, the second one, where there is
//! one, which bounded quantity of [`pinfold_core::units`] it is, or whose variants an enum's number counts.

use pinfold_core::wire::{Fault, Kind, verdict::unpack_verdict};

use super::{envelope, read_limits, read_route, signed, unsigned};

/// A packed route of twelve steps.
pub const ROUTE: &str = include_str!("../../golden/route.hex");
/// Packed limits with four zones and ground data.
pub const LIMITS: &str = include_str!("../../golden/limits.hex");
/// A packed verdict with thirteen findings.
pub const VERDICT: &str = include_str!("../../golden/verdict.hex");

/// One field of packed bytes.
#[derive(Clone, Debug)]
pub struct Field {
    /// Its bytes.
    pub bytes: Vec<u8>,
    /// How it is written.
    pub form: String,
    /// The bounded quantity or the enum that it is of, or nothing.
    pub quantity: String,
    /// What it means.
    pub meaning: String,
    /// Where its first byte stands.
    pub offset: usize,
}

impl Field {
    /// Whether it belongs to the envelope.
    #[must_use]
    pub fn is_envelope(&self) -> bool {
        self.form == "envelope"
    }

    /// Whether it is a bounded quantity.
    #[must_use]
    pub fn is_bounded(&self) -> bool {
        self.form != "enum" && !self.quantity.is_empty()
    }

    /// A number in the form that this field is written in, where that form can say it.
    ///
    /// # Panics
    /// The field is no number.
    #[must_use]
    pub fn written(&self, number: i64) -> Option<Vec<u8>> {
        match self.form.as_str() {
            "i32" | "i64" => Some(signed(number)),
            "u16" | "u32" | "list" | "enum" => u64::try_from(number).ok().map(unsigned),
            "u8" => u8::try_from(number).ok().map(|byte| vec![byte]),
            other => panic!("a {other} is no number"),
        }
    }

    /// Most bytes that its integer can have, where it is one of variable length: 7 bits a byte, rounded up.
    #[must_use]
    pub fn longest(&self) -> Option<usize> {
        match self.form.as_str() {
            "u16" => Some(3),
            "u32" | "i32" | "enum" => Some(5),
            // Lengths of lists and texts are taken as 32 bits on a microcontroller and 64 on a laptop.
            "i64" | "list" | "text" => Some(10),
            "envelope" | "u8" | "option" | "bytes" => None,
            other => panic!("a golden file has a form {other}"),
        }
    }
}

/// The fields of a golden file.
///
/// # Panics
/// A line has no three columns, or no hexadecimal bytes in the first.
#[must_use]
pub fn fields(text: &str) -> Vec<Field> {
    let mut offset = 0;
    let lines = text.lines().filter(|line| !line.is_empty() && !line.starts_with('#'));
    lines
        .map(|line| {
            let mut columns = line.splitn(3, " ; ");
            let mut column = || columns.next().expect("a golden file has three columns").to_owned();
            let (bytes, form, meaning) = (hexadecimal(&column()), column(), column());
            let (form, quantity) = form.split_once(' ').unwrap_or((&form, ""));
            let field = Field { bytes, form: form.into(), quantity: quantity.into(), meaning, offset };
            offset += field.bytes.len();
            field
        })
        .collect()
}

/// Bytes from hexadecimal text.
///
/// # Panics
/// It is none.
#[must_use]
pub fn hexadecimal(text: &str) -> Vec<u8> {
    text.split_whitespace().map(|byte| u8::from_str_radix(byte, 16).expect("two hexadecimal digits")).collect()
}

/// All the bytes.
#[must_use]
pub fn bytes(fields: &[Field]) -> Vec<u8> {
    fields.iter().flat_map(|field| field.bytes.iter().copied()).collect()
}

/// A golden file and the reader that it is for.
#[derive(Clone, Debug)]
pub struct Case {
    /// What it holds.
    pub kind: Kind,
    /// Its fields.
    pub fields: Vec<Field>,
    /// What the reader of that kind says of bytes.
    pub read: fn(&[u8]) -> Result<(), Fault>,
}

impl Case {
    /// All the bytes.
    #[must_use]
    pub fn bytes(&self) -> Vec<u8> {
        bytes(&self.fields)
    }

    /// The bytes with another field `index`, and length and checksum that fit it.
    #[must_use]
    pub fn with_field(&self, index: usize, bytes: &[u8]) -> Vec<u8> {
        let mut changed = self.clone();
        changed.fields[index].bytes = bytes.to_vec();
        changed.enveloped()
    }

    /// The bytes of the fields as they are now, in an envelope that fits them.
    #[must_use]
    pub fn enveloped(&self) -> Vec<u8> {
        let body: Vec<_> = self.fields.iter().filter(|field| !field.is_envelope()).cloned().collect();
        envelope(self.kind, &bytes(&body))
    }
}

/// The three golden files.
#[must_use]
pub fn cases() -> [Case; 3] {
    [
        Case { kind: Kind::Route, fields: fields(ROUTE), read: |bytes| read_route(bytes).map(drop) },
        Case { kind: Kind::Limits, fields: fields(LIMITS), read: |bytes| read_limits(bytes).map(drop) },
        Case { kind: Kind::Verdict, fields: fields(VERDICT), read: |bytes| unpack_verdict(bytes).map(drop) },
    ]
}

/// The number of the only field with this meaning.
///
/// # Panics
/// There is none, or another one.
#[must_use]
pub fn index_of(fields: &[Field], meaning: &str) -> usize {
    let mut found = fields.iter().enumerate().filter(|(_, field)| field.meaning == meaning);
    let (index, _) = found.next().unwrap_or_else(|| panic!("no field {meaning}"));
    assert!(found.next().is_none(), "two fields {meaning}");
    index
}
