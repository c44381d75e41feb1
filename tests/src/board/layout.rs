//! Slots of limits as the description of them says, read and written without the core's code for them.

use pinfold_core::wire::envelope::checksum;

/// Bytes before the packed limits, and those that say something.
pub const HEAD: usize = 64;
/// Bytes of the head that say something.
pub const SAID: usize = 20;

/// What flash says that is held.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Held {
    /// Nothing.
    Nothing,
    /// Something that isn't what its head says.
    Damaged,
    /// These packed bytes.
    Limits(Vec<u8>),
}

/// A slot of so many bytes with these packed limits.
#[must_use]
pub fn slot(sequence: u32, packed: &[u8], size: usize) -> Vec<u8> {
    let numbers = [sequence, u32::try_from(packed.len()).expect("short"), checksum(packed)];
    let mut bytes = b"PNFS".to_vec();
    numbers.iter().for_each(|number| bytes.extend(number.to_le_bytes()));
    bytes.extend(checksum(&bytes).to_le_bytes());
    bytes.resize(HEAD, 0xFF);
    bytes.extend(packed);
    bytes.resize(size, 0xFF);
    bytes
}

/// The sequence number of a slot whose head is right.
#[must_use]
pub fn sequence(slot: &[u8]) -> Option<u32> {
    let right = slot[..4] == *b"PNFS" && number(slot, 16) == checksum(&slot[..16]) && length(slot) <= slot.len() - HEAD;
    right.then(|| number(slot, 4))
}

/// What two slots hold.
#[must_use]
pub fn held(flash: &[u8]) -> Held {
    let slots = flash.chunks(flash.len() / 2).filter_map(|slot| Some((sequence(slot)?, slot)));
    slots.max_by_key(|(sequence, _)| *sequence).map_or(Held::Nothing, |(_, slot)| {
        let packed = &slot[HEAD..HEAD + length(slot)];
        if checksum(packed) == number(slot, 12) { Held::Limits(packed.to_vec()) } else { Held::Damaged }
    })
}

fn length(slot: &[u8]) -> usize {
    number(slot, 8) as usize
}

fn number(bytes: &[u8], at: usize) -> u32 {
    u32::from_le_bytes(bytes[at..at + 4].try_into().expect("four bytes"))
}
