//! A serial port as a byte stream.

use core::convert::Infallible;

use embedded_io::{ErrorType, Read, ReadReady, Write, WriteReady};

use super::registers::{CLOCK, SerialPort};

const NO_ROOM: u32 = 1;
const BYTE_CAME: u32 = 2;
const SEND_AND_RECEIVE: u32 = 3;
const BAUD: u32 = 115_200;

/// A serial port that sends and receives.
#[derive(Debug)]
pub struct Uart(SerialPort);

impl Uart {
    /// Sets the port up: 115,200 baud, 8 bits, no parity, one stop bit.
    #[must_use]
    pub fn new(mut port: SerialPort) -> Self {
        port.divisor.write(CLOCK / BAUD);
        port.control.write(SEND_AND_RECEIVE);
        Self(port)
    }

    /// A port that was set up before.
    pub(super) const fn again(port: SerialPort) -> Self {
        Self(port)
    }

    /// The next byte, if it has come.
    pub fn try_receive(&mut self) -> Option<u8> {
        (self.0.state.read() & BYTE_CAME != 0).then(|| {
            let [byte, ..] = self.0.data.read().to_le_bytes();
            byte
        })
    }

    /// Waits for the next byte.
    pub fn receive(&mut self) -> u8 {
        loop {
            if let Some(byte) = self.try_receive() {
                return byte;
            }
        }
    }

    /// Sends bytes, as fast as the port takes them.
    pub fn send_all(&mut self, bytes: &[u8]) {
        bytes.iter().for_each(|byte| self.send(*byte));
    }

    fn send(&mut self, byte: u8) {
        while !self.has_room() {}
        self.0.data.write(u32::from(byte));
    }

    fn has_room(&self) -> bool {
        self.0.state.read() & NO_ROOM == 0
    }
}

impl ErrorType for Uart {
    type Error = Infallible;
}

impl ReadReady for Uart {
    fn read_ready(&mut self) -> Result<bool, Infallible> {
        Ok(self.0.state.read() & BYTE_CAME != 0)
    }
}

impl Read for Uart {
    fn read(&mut self, buffer: &mut [u8]) -> Result<usize, Infallible> {
        let Some(first) = buffer.first_mut() else { return Ok(0) };
        *first = self.receive();
        Ok(1)
    }
}

impl WriteReady for Uart {
    fn write_ready(&mut self) -> Result<bool, Infallible> {
        Ok(self.has_room())
    }
}

impl Write for Uart {
    fn write(&mut self, bytes: &[u8]) -> Result<usize, Infallible> {
        self.send_all(bytes);
        Ok(bytes.len())
    }

    fn flush(&mut self) -> Result<(), Infallible> {
        while !self.has_room() {}
        Ok(())
    }
}
