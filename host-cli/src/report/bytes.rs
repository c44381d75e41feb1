//! Packed bytes for people: a field a line.

use std::io::{self, Write};

use crate::fields::{Field, Fields};

/// Bytes in a line; a field with more goes on in the lines below it.
const BYTES: usize = 5;
/// Columns of a name, and of all.
const NAME: usize = 26;
const WIDTH: usize = 80;
/// Most bytes behind a damage that are shown.
const BEHIND: usize = 8 * BYTES;

/// Writes all fields, then what is wrong and the bytes behind it, if anything is.
pub(crate) fn write(out: &mut impl Write, fields: &Fields<'_>) -> io::Result<()> {
    writeln!(out, "{:>6}  {:<width$}  {:<NAME$} value", "offset", "bytes", "name", width = 3 * BYTES - 1)?;
    let mut of = "";
    for field in &fields.fields {
        if field.of != of {
            of = &field.of;
            writeln!(out, "# {of}")?;
        }
        one(out, field)?;
    }
    let Some(fault) = fields.fault else { return Ok(()) };
    writeln!(out, "# damaged at byte {}: {:?}", fault.offset, fault.reason)?;
    let (shown, more) = fields.rest.split_at(fields.rest.len().min(BEHIND));
    let read = fields.fields.last().map_or(0, |field| field.offset + field.bytes.len());
    for (index, bytes) in shown.chunks(BYTES).enumerate() {
        let at = read + index * BYTES;
        let here = (at..at + bytes.len()).contains(&(fault.offset as usize));
        line(out, at, bytes, "no field", if here { "noticed here" } else { "" })?;
    }
    if more.is_empty() { Ok(()) } else { writeln!(out, "# {} more bytes", more.len()) }
}

fn one(out: &mut impl Write, field: &Field<'_>) -> io::Result<()> {
    let mut lines = field.bytes.chunks(BYTES).enumerate();
    lines.try_for_each(|(index, bytes)| {
        let (name, value) = if index == 0 { (field.name.as_str(), field.value.as_str()) } else { ("", "") };
        line(out, field.offset + index * BYTES, bytes, name, value)
    })
}

fn line(out: &mut impl Write, offset: usize, bytes: &[u8], name: &str, value: &str) -> io::Result<()> {
    let bytes: Vec<String> = bytes.iter().map(|byte| format!("{byte:02x}")).collect();
    let begin = format!("{offset:>6}  {:<width$}  ", bytes.join(" "), width = 3 * BYTES - 1);
    // A long value begins earlier, if that brings it into the line.
    let room = WIDTH.saturating_sub(begin.len() + 1 + value.chars().count());
    let line = format!("{begin}{name:<width$} {value}", width = NAME.min(room));
    writeln!(out, "{}", line.trim_end())
}
