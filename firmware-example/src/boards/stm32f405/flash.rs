//! Sectors 2 and 3 of the flash: the slots.
//!
//! While the flash erases a sector (a quarter of a second, half a second at most, by the data sheet at 3.3 V) or programs a word
//! (16 us), the processor waits for its next instruction: nothing is received, and the lines stay as they are.

use super::registers::{flash_controller, read_slots, write_slots};
use crate::slots::{Memory, Slots};

const KEYS: [u32; 2] = [0x4567_0123, 0xCDEF_89AB];
/// The numbers of the slots' sectors.
const SECTORS: [u8; 2] = [2, 3];

/// The memory of the slots.
#[derive(Debug)]
pub struct Flash(());

impl Flash {
    pub(super) const fn slots() -> Slots<Self> {
        Slots(Self(()))
    }
}

impl Memory for Flash {
    fn read(&self, word: usize) -> Option<u32> {
        read_slots(word)
    }

    fn program(&mut self, word: usize, bits: u32) -> Option<()> {
        unlock();
        flash_controller().cr().modify(|_, w| w.psize().psize32().ser().clear_bit().pg().set_bit());
        let written = write_slots(word, bits);
        let done = finish();
        written.and(done)
    }

    fn erase(&mut self, slot: usize) -> Option<()> {
        let sector = *SECTORS.get(slot)?;
        unlock();
        choose(sector);
        flash_controller().cr().modify(|_, w| w.strt().set_bit());
        finish()
    }
}

/// Says what is erased.
#[expect(unsafe_code, reason = "a number of four bits is written; every number of a sector here has as many")]
fn choose(sector: u8) {
    let chosen = flash_controller().cr();
    // SAFETY: SECTORS has the only numbers that come here.
    chosen.modify(|_, w| unsafe { w.psize().psize32().pg().clear_bit().ser().set_bit().snb().bits(sector) });
}

/// Opens the controller and forgets the errors of the last time.
fn unlock() {
    wait();
    if flash_controller().cr().read().lock().bit_is_set() {
        KEYS.into_iter().for_each(|key| {
            flash_controller().keyr().write(|w| w.key().set(key));
        });
    }
    flash_controller().sr().write(|w| {
        w.operr().clear_bit_by_one().wrperr().clear_bit_by_one().pgaerr().clear_bit_by_one();
        w.pgperr().clear_bit_by_one().pgserr().clear_bit_by_one()
    });
}

/// Waits until all is written, closes the controller, and tells whether all went well.
fn finish() -> Option<()> {
    wait();
    flash_controller().cr().modify(|_, w| w.pg().clear_bit().ser().clear_bit());
    flash_controller().cr().modify(|_, w| w.lock().set_bit());
    let status = flash_controller().sr().read();
    let failed = [status.operr().bit(), status.wrperr().bit(), status.pgaerr().bit(), status.pgperr().bit()];
    (!failed.contains(&true) && !status.pgserr().bit()).then_some(())
}

fn wait() {
    while flash_controller().sr().read().bsy().bit_is_set() {}
}
