//! Limits in flash: two slots, of which one holds what was held before until the other is whole.
//!
//! # A slot
//! | bytes | what |
//! | --- | --- |
//! | 4 | magic: `50 4E 46 53` |
//! | 4 | sequence number, least significant byte first, as all here |
//! | 4 | length of the packed limits |
//! | 4 | their CRC-32/ISCSI |
//! | 4 | CRC-32/ISCSI of the 16 bytes before |
//! | 44 | `FF` |
//! | length | the packed limits, then `FF` to a multiple of 64 |
//!
//! # Power
//! The slot that doesn't count is erased, filled, read back, and gets its head last. The slot with the highest sequence
//! number counts; a slot without a right head is none. So power may fail at any byte of any erase or write: until the
//! head is whole the other slot counts, from then on this one.
//!
//! # Flash that forgets
//! Should the slot that counts be damaged, then there are no limits: older ones may be looser. So that a damaged head
//! doesn't bring them back, the older head is erased as soon as the newer is whole; where power fails in between, at
//! the next start.

use embedded_storage::nor_flash::NorFlash;

use crate::wire::envelope::{Check, checksum};

/// Bytes that are read and written at once. Flash must take pieces of this size.
pub const BLOCK: usize = 64;
const MAGIC: [u8; 4] = *b"PNFS";
/// Bytes of a block, as an address counts them.
const STEP: u32 = 64;

type Block = [u8; BLOCK];

/// The flash fails, or isn't made for this.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FlashFault;

/// A slot that holds limits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Head {
    second: bool,
    sequence: u32,
    length: u32,
    check: u32,
}

/// What is in the two slots: the one that counts.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Slots(Option<Head>);

impl Slots {
    /// No slot that counts.
    pub const EMPTY: Self = Self(None);

    /// Looks at both slots.
    ///
    /// # Errors
    /// The flash can't be read, or its sizes don't fit: it must have two slots of whole sectors, and take writes of 64
    /// bytes.
    pub fn find<F: NorFlash>(flash: &mut F) -> Result<Self, FlashFault> {
        let fits = F::WRITE_SIZE > 0
            && BLOCK.is_multiple_of(F::WRITE_SIZE)
            && BLOCK.is_multiple_of(F::READ_SIZE)
            && slot_bytes(flash) >= 2 * STEP
            && usize::try_from(slot_bytes(flash)).is_ok_and(|bytes| bytes.is_multiple_of(F::ERASE_SIZE));
        if !fits {
            return Err(FlashFault);
        }
        let heads = [head(flash, false)?, head(flash, true)?];
        Ok(Self(heads.into_iter().flatten().max_by_key(|head| head.sequence)))
    }

    /// Whether there are limits.
    #[must_use]
    pub const fn any(&self) -> bool {
        self.0.is_some()
    }

    /// Reads the limits that count, byte by byte, as long as `take` goes on.
    ///
    /// # Errors
    /// The flash can't be read, what it holds is damaged, or `take` says so.
    pub fn read<F: NorFlash>(
        &self, flash: &mut F, take: &mut dyn FnMut(u8) -> Result<(), FlashFault>,
    ) -> Result<(), FlashFault> {
        let head = self.0.ok_or(FlashFault)?;
        let mut check = Check::START;
        each_byte(flash, head.second, head.length, &mut |byte| {
            check.take(&[byte]);
            take(byte)
        })?;
        if check.bytes() == head.check.to_le_bytes() { Ok(()) } else { Err(FlashFault) }
    }

    /// Erases the head of the slot that doesn't count, where it has one.
    ///
    /// # Errors
    /// The flash fails.
    pub fn forget_older<F: NorFlash>(&self, flash: &mut F) -> Result<(), FlashFault> {
        let Some(second) = self.0.map(|head| !head.second) else { return Ok(()) };
        if head(flash, second)?.is_none() {
            return Ok(());
        }
        let from = start(flash, second);
        let sector = u32::try_from(F::ERASE_SIZE).map_err(|_| FlashFault)?;
        flash.erase(from, from.saturating_add(sector)).map_err(|_| FlashFault)
    }

    /// Erases the slot that doesn't count, to be filled.
    ///
    /// # Errors
    /// The flash fails.
    pub fn begin<F: NorFlash>(&self, flash: &mut F) -> Result<Filling, FlashFault> {
        let second = self.0.is_some_and(|head| !head.second);
        let sequence = self.0.map_or(Some(0), |head| head.sequence.checked_add(1)).ok_or(FlashFault)?;
        let (from, size) = (start(flash, second), slot_bytes(flash));
        flash.erase(from, from.saturating_add(size)).map_err(|_| FlashFault)?;
        Ok(Filling { second, sequence, length: 0, check: Check::START, block: [0xFF; BLOCK] })
    }
}

/// A slot that is being filled.
pub struct Filling {
    second: bool,
    sequence: u32,
    length: u32,
    check: Check,
    /// What comes after the last whole block.
    block: Block,
}

impl core::fmt::Debug for Filling {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        f.debug_struct("Filling").field("second", &self.second).field("length", &self.length).finish_non_exhaustive()
    }
}

impl Filling {
    /// Takes the next byte.
    ///
    /// # Errors
    /// The flash fails, or the slot is full.
    pub fn take<F: NorFlash>(&mut self, byte: u8, flash: &mut F) -> Result<(), FlashFault> {
        let at = usize::try_from(self.length % STEP).unwrap_or(0);
        self.block.get_mut(at).into_iter().for_each(|place| *place = byte);
        self.check.take(&[byte]);
        self.length = self.length.saturating_add(1);
        if self.length.is_multiple_of(STEP) { self.write(flash) } else { Ok(()) }
    }

    /// Writes the block at hand, which ends at `length`.
    fn write<F: NorFlash>(&mut self, flash: &mut F) -> Result<(), FlashFault> {
        // The head is a block before the first.
        let within = self.length.div_ceil(STEP).saturating_mul(STEP);
        if within.saturating_add(STEP) > slot_bytes(flash) {
            return Err(FlashFault);
        }
        flash.write(start(flash, self.second).saturating_add(within), &self.block).map_err(|_| FlashFault)?;
        self.block = [0xFF; BLOCK];
        Ok(())
    }

    /// Writes what is left, reads all of it back, and makes the slot count.
    ///
    /// # Errors
    /// The flash fails, or doesn't hold what was written.
    pub fn finish<F: NorFlash>(&mut self, flash: &mut F) -> Result<Slots, FlashFault> {
        if !self.length.is_multiple_of(STEP) {
            self.write(flash)?;
        }
        let check = u32::from_le_bytes(self.check.bytes());
        let new = Head { second: self.second, sequence: self.sequence, length: self.length, check };
        let slots = Slots(Some(new));
        slots.read(flash, &mut |_| Ok(()))?;
        flash.write(start(flash, self.second), &new.packed()).map_err(|_| FlashFault)?;
        if head(flash, self.second)? != Some(new) {
            return Err(FlashFault);
        }
        slots.forget_older(flash)?;
        Ok(slots)
    }
}

impl Head {
    fn packed(&self) -> Block {
        let numbers = [u32::from_le_bytes(MAGIC), self.sequence, self.length, self.check];
        let mut check = Check::START;
        numbers.iter().for_each(|number| check.take(&number.to_le_bytes()));
        let words = numbers.iter().copied().chain([u32::from_le_bytes(check.bytes())]);
        let mut block = [0xFF; BLOCK];
        for (place, byte) in block.iter_mut().zip(words.flat_map(u32::to_le_bytes)) {
            *place = byte;
        }
        block
    }
}

/// The head of a slot, if it is a right one.
fn head<F: NorFlash>(flash: &mut F, second: bool) -> Result<Option<Head>, FlashFault> {
    let mut block = [0; BLOCK];
    let from = start(flash, second);
    flash.read(from, &mut block).map_err(|_| FlashFault)?;
    let Some((head, rest)) = block.split_first_chunk::<16>() else { return Ok(None) };
    let ([magic, sequence, length, check], []) = head.as_chunks::<4>() else { return Ok(None) };
    let said = rest.first_chunk::<4>().map(|bytes| u32::from_le_bytes(*bytes));
    let room = slot_bytes(flash).saturating_sub(STEP);
    let number = |bytes: &[u8; 4]| u32::from_le_bytes(*bytes);
    let right = *magic == MAGIC && said == Some(checksum(head)) && number(length) <= room;
    Ok(right.then(|| Head { second, sequence: number(sequence), length: number(length), check: number(check) }))
}

/// Gives `take` each of a slot's packed bytes.
fn each_byte<F: NorFlash>(
    flash: &mut F, second: bool, length: u32, take: &mut dyn FnMut(u8) -> Result<(), FlashFault>,
) -> Result<(), FlashFault> {
    let mut left = length;
    let mut at = start(flash, second);
    while left > 0 {
        at = at.saturating_add(STEP);
        let mut block = [0; BLOCK];
        flash.read(at, &mut block).map_err(|_| FlashFault)?;
        let count = usize::try_from(left.min(STEP)).unwrap_or(BLOCK);
        block.iter().take(count).try_for_each(|byte| take(*byte))?;
        left = left.saturating_sub(STEP);
    }
    Ok(())
}

fn slot_bytes<F: NorFlash>(flash: &F) -> u32 {
    u32::try_from(flash.capacity() / 2).unwrap_or(0)
}

fn start<F: NorFlash>(flash: &F, second: bool) -> u32 {
    if second { slot_bytes(flash) } else { 0 }
}
