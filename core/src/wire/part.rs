//! One value after the other: postcard, strictly.

use serde::{Serialize, de::DeserializeOwned};

use super::Reason;

/// Most bytes of one value: the figures of the limits.
pub(crate) const PART_BYTES: usize = 264;

/// The bytes of a value that isn't complete yet.
#[derive(Clone, Default)]
pub(crate) struct PartReader {
    bytes: heapless::Vec<u8, PART_BYTES>,
}

impl PartReader {
    /// Takes a byte; the value once it is complete.
    ///
    /// A value is complete at the first byte with which it can be decoded, so nothing ever follows it in the buffer.
    pub(crate) fn take<T: Serialize + DeserializeOwned>(&mut self, byte: u8) -> Result<Option<T>, Reason> {
        self.bytes.push(byte).map_err(|_| Reason::Value)?;
        match postcard::take_from_bytes::<T>(&self.bytes) {
            Ok((value, _)) => {
                let same = is_encoding_of(&self.bytes, &value);
                self.bytes.clear();
                if same { Ok(Some(value)) } else { Err(Reason::NotCanonical) }
            }
            Err(postcard::Error::DeserializeUnexpectedEnd) => Ok(None),
            Err(_) => Err(Reason::Value),
        }
    }

    /// Whether a value has begun and isn't complete.
    pub(crate) fn pending(&self) -> bool {
        !self.bytes.is_empty()
    }
}

/// Whether `bytes` are how `value` is written.
#[inline(never)]
pub(crate) fn is_encoding_of<T: Serialize>(bytes: &[u8], value: &T) -> bool {
    let mut buffer = [0; PART_BYTES];
    postcard::to_slice(value, &mut buffer).is_ok_and(|again| *again == *bytes)
}

/// Writes a value. Every type that is packed fits in [`PART_BYTES`]; a test packs each at its largest.
pub(crate) fn write<T: Serialize>(value: &T, put: &mut dyn FnMut(&[u8])) {
    let mut buffer = [0; PART_BYTES];
    if let Ok(bytes) = postcard::to_slice(value, &mut buffer) {
        put(bytes);
    }
}

/// Calls `write` to learn how many bytes it gives.
pub(crate) fn measure(write: impl FnOnce(&mut dyn FnMut(&[u8]))) -> u32 {
    let mut length = 0_usize;
    write(&mut |bytes| length = length.saturating_add(bytes.len()));
    u32::try_from(length).unwrap_or(u32::MAX)
}
