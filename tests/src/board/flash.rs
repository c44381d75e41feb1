//! Flash in memory, of which the power can fail at any byte.

use embedded_storage::nor_flash::{
    ErrorType, NorFlash, NorFlashError, NorFlashErrorKind, ReadNorFlash, check_erase, check_read, check_write,
};

/// Bytes of a sector.
pub const SECTOR: usize = 1024;

/// In which order an erase reaches the bytes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Order {
    /// From the first to the last.
    Up,
    /// From the last to the first.
    Down,
}

/// What fails once [`RamFlash::left`] is used up.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Failing {
    /// The power: nothing works any more.
    Power,
    /// Writing and erasing; reading goes on.
    Writing,
}

/// Two slots of flash: an erase makes bytes `FF`, a write only clears bits.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct RamFlash {
    bytes: Vec<u8>,
    /// How an erase goes.
    pub order: Order,
    /// Bytes that are still written or erased before something fails, where it does.
    pub left: Option<usize>,
    /// What fails then.
    pub failing: Failing,
    /// Bits of the byte in work that change all the same.
    pub torn: u8,
    /// A byte that can't be written any more.
    pub stuck: Option<usize>,
    /// Bytes that were written or erased.
    pub touched: usize,
}

/// What goes wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fault {
    /// The caller's request makes no sense.
    Request(NorFlashErrorKind),
    /// There is no power, or it can't be written to.
    Failed,
}

impl NorFlashError for Fault {
    fn kind(&self) -> NorFlashErrorKind {
        match self {
            Self::Request(kind) => *kind,
            Self::Failed => NorFlashErrorKind::Other,
        }
    }
}

impl RamFlash {
    /// Erased flash, with so many sectors in each of the two slots.
    #[must_use]
    pub fn new(sectors: usize) -> Self {
        Self {
            bytes: vec![0xFF; 2 * sectors * SECTOR],
            order: Order::Up,
            left: None,
            failing: Failing::Power,
            torn: 0,
            stuck: None,
            touched: 0,
        }
    }

    /// Flash that holds these two slots.
    #[must_use]
    pub fn holding(slots: [Vec<u8>; 2]) -> Self {
        Self { bytes: slots.concat(), ..Self::new(0) }
    }

    /// All that it holds.
    #[must_use]
    pub fn bytes(&self) -> &[u8] {
        &self.bytes
    }

    /// All that it holds, to be changed.
    pub fn bytes_mut(&mut self) -> &mut Vec<u8> {
        &mut self.bytes
    }

    /// The power is back, and all works.
    pub fn mend(&mut self) {
        (self.left, self.torn) = (None, 0);
    }

    /// Changes one byte, while nothing fails.
    fn touch(&mut self, at: usize, change: impl FnOnce(u8) -> u8) -> Result<(), Fault> {
        let before = self.bytes[at];
        let after = change(before);
        if self.left == Some(0) {
            let torn = std::mem::take(&mut self.torn);
            self.bytes[at] = before ^ ((before ^ after) & torn);
            return Err(Fault::Failed);
        }
        self.left = self.left.map(|left| left - 1);
        self.touched += 1;
        self.bytes[at] = after;
        Ok(())
    }
}

impl ErrorType for RamFlash {
    type Error = Fault;
}

impl ReadNorFlash for RamFlash {
    const READ_SIZE: usize = 1;

    fn read(&mut self, offset: u32, bytes: &mut [u8]) -> Result<(), Fault> {
        check_read(self, offset, bytes.len()).map_err(Fault::Request)?;
        if self.left == Some(0) && self.failing == Failing::Power {
            return Err(Fault::Failed);
        }
        let from = offset as usize;
        bytes.copy_from_slice(&self.bytes[from..from + bytes.len()]);
        Ok(())
    }

    fn capacity(&self) -> usize {
        self.bytes.len()
    }
}

impl NorFlash for RamFlash {
    const WRITE_SIZE: usize = 4;
    const ERASE_SIZE: usize = SECTOR;

    fn erase(&mut self, from: u32, to: u32) -> Result<(), Fault> {
        check_erase(self, from, to).map_err(Fault::Request)?;
        let places = from as usize..to as usize;
        match self.order {
            Order::Up => places.into_iter().try_for_each(|at| self.touch(at, |_| 0xFF)),
            Order::Down => places.into_iter().rev().try_for_each(|at| self.touch(at, |_| 0xFF)),
        }
    }

    fn write(&mut self, offset: u32, bytes: &[u8]) -> Result<(), Fault> {
        check_write(self, offset, bytes.len()).map_err(Fault::Request)?;
        let places = offset as usize..;
        places.zip(bytes).try_for_each(|(at, byte)| {
            let stuck = self.stuck == Some(at);
            self.touch(at, |old| if stuck { old } else { old & byte })
        })
    }
}
