//! A line to a board: a serial port, or a TCP connection to an emulated one.

use std::{
    io::{self, ErrorKind, Read as _, Write as _},
    net::{TcpStream, ToSocketAddrs as _},
    path::Path,
    time::Duration,
};

use serialport::{ClearBuffer, SerialPort};

use super::ports::address;
use crate::problem::Problem;

/// How long a connection may take, and sending a frame.
const PATIENCE: Duration = Duration::from_secs(5);
/// The shortest time that a port can be told to wait: none at all would be for ever.
const SHORTEST: Duration = Duration::from_millis(1);
/// Bits of a byte on a serial line, with the ones that begin and end it.
const BITS: u64 = 10;

/// A line that takes and gives bytes, and loses some.
pub(crate) trait Transport {
    /// Sends all of these bytes.
    fn send(&mut self, bytes: &[u8]) -> io::Result<()>;

    /// Takes what comes within a time: how many bytes; 0 where none do.
    fn receive(&mut self, buffer: &mut [u8], within: Duration) -> io::Result<usize>;

    /// How long so many bytes are under way.
    fn transit(&self, bytes: usize) -> Duration;
}

impl Transport for Box<dyn Transport> {
    fn send(&mut self, bytes: &[u8]) -> io::Result<()> {
        (**self).send(bytes)
    }

    fn receive(&mut self, buffer: &mut [u8], within: Duration) -> io::Result<usize> {
        (**self).receive(buffer, within)
    }

    fn transit(&self, bytes: usize) -> Duration {
        (**self).transit(bytes)
    }
}

/// A serial port.
struct Serial {
    port: Box<dyn SerialPort>,
    baud: u32,
}

impl Transport for Serial {
    fn send(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.port.set_timeout(PATIENCE + self.transit(bytes.len()))?;
        self.port.write_all(bytes)
    }

    fn receive(&mut self, buffer: &mut [u8], within: Duration) -> io::Result<usize> {
        self.port.set_timeout(within.max(SHORTEST))?;
        in_time(|| self.port.read(buffer))
    }

    fn transit(&self, bytes: usize) -> Duration {
        on_the_way(bytes, self.baud)
    }
}

/// How long so many bytes take at a baud rate.
fn on_the_way(bytes: usize, baud: u32) -> Duration {
    Duration::from_micros(bytes as u64 * BITS * 1_000_000 / u64::from(baud.max(1)))
}

impl Transport for TcpStream {
    fn send(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.write_all(bytes)
    }

    fn receive(&mut self, buffer: &mut [u8], within: Duration) -> io::Result<usize> {
        self.set_read_timeout(Some(within.max(SHORTEST)))?;
        in_time(|| self.read(buffer))
    }

    fn transit(&self, _: usize) -> Duration {
        Duration::ZERO
    }
}

/// A time that is over gives no bytes; an end gives an error.
fn in_time(mut read: impl FnMut() -> io::Result<usize>) -> io::Result<usize> {
    loop {
        match read() {
            Ok(0) => return Err(ErrorKind::UnexpectedEof.into()),
            Err(error) if error.kind() == ErrorKind::Interrupted => {}
            Err(error) if matches!(error.kind(), ErrorKind::WouldBlock | ErrorKind::TimedOut) => return Ok(0),
            other => return other,
        }
    }
}

/// Opens a serial port, or connects to a TCP address.
pub(crate) fn open(port: &str, baud: u32) -> Result<Box<dyn Transport>, Problem> {
    match address(port) {
        Some(address) => connect(address),
        None => open_serial(port, baud),
    }
}

fn connect(address: &str) -> Result<Box<dyn Transport>, Problem> {
    let refused = |error: io::Error| {
        Problem::file(Path::new(address), format!("no connection: {error}"))
            .help("start the emulated board first; give the port of its link, not that of its log or its load input")
    };
    let mut last = io::Error::from(ErrorKind::AddrNotAvailable);
    for place in address.to_socket_addrs().map_err(refused)? {
        match TcpStream::connect_timeout(&place, PATIENCE) {
            Ok(stream) => {
                stream.set_nodelay(true).and_then(|()| stream.set_write_timeout(Some(PATIENCE))).map_err(refused)?;
                return Ok(Box::new(stream));
            }
            Err(error) => last = error,
        }
    }
    Err(refused(last))
}

fn open_serial(port: &str, baud: u32) -> Result<Box<dyn Transport>, Problem> {
    let opened = serialport::new(port, baud).timeout(PATIENCE).open().and_then(|serial| {
        // What came before nobody asked for.
        serial.clear(ClearBuffer::Input)?;
        Ok(serial)
    });
    let serial = opened.map_err(|error| unopened(port, &error))?;
    Ok(Box::new(Serial { port: serial, baud }))
}

fn unopened(port: &str, error: &serialport::Error) -> Problem {
    use serialport::ErrorKind::{InvalidInput, Io, NoDevice, Unknown};
    let help = match error.kind() {
        Io(ErrorKind::PermissionDenied) => {
            "you may not use this port: on Linux join the group that it belongs to (dialout, or uucp), and log in again"
        }
        InvalidInput => "is this baud rate one that the port can do (--baud)?",
        NoDevice | Unknown | Io(_) => {
            "is the board plugged in, does another program use the port? `pinfold board ports` lists the ports"
        }
    };
    Problem::file(Path::new(port), format!("the port can't be opened: {}", error.description)).help(help)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bytes_take_longer_on_a_slow_line() {
        // 10 bits of 8.68 us each.
        assert_eq!(on_the_way(1, 115_200), Duration::from_micros(86));
        assert_eq!(on_the_way(90, 1_200), Duration::from_millis(750));
    }

    #[test]
    fn an_end_is_an_error_and_a_time_that_is_over_is_none() {
        assert_eq!(in_time(|| Ok(0)).expect_err("an end").kind(), ErrorKind::UnexpectedEof);
        for over in [ErrorKind::WouldBlock, ErrorKind::TimedOut] {
            assert_eq!(in_time(|| Err(over.into())).expect("no bytes"), 0);
        }
        let mut reads = [Ok(3), Err(ErrorKind::Interrupted.into())].into_iter().rev();
        assert_eq!(in_time(|| reads.next().expect("two reads")).expect("bytes"), 3);
    }
}
