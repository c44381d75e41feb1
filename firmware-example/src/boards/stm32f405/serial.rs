//! Serial ports as byte streams.

use core::convert::Infallible;

use embedded_io::{ErrorType, Read, ReadReady, Write, WriteReady};
use stm32f4::stm32f405::usart1::RegisterBlock;

const BAUD: u32 = 115_200;

/// A serial port.
#[expect(missing_debug_implementations, reason = "the registers have none")]
pub struct Serial(&'static RegisterBlock);

impl Serial {
    /// Sets a port up that has its clock and its pins: 115,200 baud, 8 bits, no parity, one stop bit.
    pub(super) fn new(port: &'static RegisterBlock, clock: u32) -> Self {
        let [divisor, fraction] = divisor(clock);
        port.brr().write(|w| w.div_mantissa().set(divisor).div_fraction().set(fraction.to_le_bytes()[0]));
        port.cr1().write(|w| w.ue().set_bit().te().set_bit().re().set_bit());
        Self(port)
    }

    /// A port that was set up before.
    pub(super) const fn again(port: &'static RegisterBlock) -> Self {
        Self(port)
    }

    /// Bytes that came too fast leave a mark that only reading clears; the byte that is read then is an old one.
    fn has_come(&self) -> bool {
        let status = self.0.sr().read();
        status.rxne().bit_is_set() || status.ore().bit_is_set()
    }

    fn has_room(&self) -> bool {
        self.0.sr().read().txe().bit_is_set()
    }
}

/// The clock's ticks in a bit, in sixteenths, to the nearest: whole and sixteenths.
fn divisor(clock: u32) -> [u16; 2] {
    let sixteenths = u16::try_from(clock.saturating_add(BAUD / 2) / BAUD).unwrap_or(u16::MAX);
    [sixteenths >> 4, sixteenths & 0xF]
}

impl ErrorType for Serial {
    type Error = Infallible;
}

impl ReadReady for Serial {
    fn read_ready(&mut self) -> Result<bool, Infallible> {
        Ok(self.has_come())
    }
}

impl Read for Serial {
    fn read(&mut self, buffer: &mut [u8]) -> Result<usize, Infallible> {
        let Some(first) = buffer.first_mut() else { return Ok(0) };
        while !self.has_come() {}
        [*first, _] = self.0.dr().read().dr().bits().to_le_bytes();
        Ok(1)
    }
}

impl WriteReady for Serial {
    fn write_ready(&mut self) -> Result<bool, Infallible> {
        Ok(self.has_room())
    }
}

impl Write for Serial {
    fn write(&mut self, bytes: &[u8]) -> Result<usize, Infallible> {
        let Some(first) = bytes.first() else { return Ok(0) };
        while !self.has_room() {}
        self.0.dr().write(|w| w.dr().set(u16::from(*first)));
        Ok(1)
    }

    fn flush(&mut self) -> Result<(), Infallible> {
        while self.0.sr().read().tc().bit_is_clear() {}
        Ok(())
    }
}
