//! A short digest of packed bytes, for people to compare.

use core::fmt;

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

/// The first 40 bits of the SHA-256 of packed bytes, written in base32 (RFC 4648, upper case) as two groups of four.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Fingerprint([u8; 5]);

/// The alphabet of RFC 4648, section 6.
const ALPHABET: &[u8; 32] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZ234567";

impl Fingerprint {
    /// The fingerprint of nothing known.
    pub const NONE: Self = Self([0; 5]);

    /// The fingerprint of all these bytes.
    #[must_use]
    pub fn of(bytes: &[u8]) -> Self {
        let mut running = Running::default();
        running.take(bytes);
        running.finish()
    }

    /// The first 40 bits of the digest.
    #[must_use]
    pub const fn bytes(self) -> [u8; 5] {
        self.0
    }

    /// The eight characters, without the dash between the groups.
    #[must_use]
    pub fn characters(self) -> [u8; 8] {
        let bits = self.0.iter().fold(0_u64, |bits, byte| (bits << 8) | u64::from(*byte));
        let mut shift = 40_u32;
        [(); 8].map(|()| {
            shift = shift.saturating_sub(5);
            let index = usize::try_from(bits.wrapping_shr(shift) & 31).unwrap_or(0);
            ALPHABET.get(index).copied().unwrap_or(b'A')
        })
    }
}

impl fmt::Display for Fingerprint {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let characters = self.characters();
        let text = |range| characters.get(range).and_then(|group| core::str::from_utf8(group).ok()).unwrap_or("");
        write!(f, "{}-{}", text(0..4), text(4..8))
    }
}

/// A fingerprint in the making, for bytes that come in pieces.
#[derive(Clone, Debug, Default)]
pub(crate) struct Running(Sha256);

impl Running {
    pub(crate) fn take(&mut self, bytes: &[u8]) {
        self.0.update(bytes);
    }

    pub(crate) fn finish(self) -> Fingerprint {
        let mut first = [0; 5];
        for (to, from) in first.iter_mut().zip(self.0.finalize()) {
            *to = from;
        }
        Fingerprint(first)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::string::ToString as _;

    #[test]
    fn the_groups_are_those_of_the_standard() {
        // FIPS 180-4 example: SHA-256("abc") begins ba7816bf 8f; RFC 4648 base32 of those 40 bits.
        assert_eq!(Fingerprint::of(b"abc").bytes(), [0xba, 0x78, 0x16, 0xbf, 0x8f]);
        assert_eq!(Fingerprint::of(b"abc").to_string(), "XJ4B-NP4P");
        // RFC 4648, section 10: "fooba" is MZXW6YTB.
        assert_eq!(&Fingerprint(*b"fooba").characters(), b"MZXW6YTB");
    }
}
