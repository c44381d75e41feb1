//! The firmware on an emulated board, and the host's side of the link to it.

mod debugger;
mod host;
mod lend;
mod log;
mod machine;

use std::{
    env, io,
    net::{TcpListener, TcpStream},
    path::{Path, PathBuf},
    process::{Child, Command, Stdio},
    sync::mpsc::Receiver,
    thread,
    time::{Duration, Instant},
};

use pinfold_core::link::FrameReader;

use machine::Machine;

pub use debugger::Debugger;
pub use host::{LinkError, Noise};
pub use machine::{LAMP, LINES, SLOTS};

/// How long the emulator may take to start, and a line of the log to come.
const PATIENCE: Duration = Duration::from_secs(20);

/// Ends the emulator when its standard input closes: that happens in every path, also when the test process is killed.
const LEASH: &str = r#""$@" </dev/null & emulator=$!; cat >/dev/null; kill -KILL "$emulator" 2>/dev/null; wait "$emulator" 2>/dev/null"#;

/// The image that an environment variable names.
///
/// # Panics
/// The variable isn't set: without an image there is nothing to test.
#[must_use]
pub fn image(variable: &str) -> PathBuf {
    let path = env::var_os(variable).unwrap_or_else(|| panic!("{variable} must name an image; tests/run builds it"));
    PathBuf::from(path)
}

/// How the emulated machine tells the time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Clock {
    /// As the host's clock does.
    Real,
    /// Every instruction takes 128 ns.
    Instructions,
}

/// Which machine is emulated.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Board {
    /// The one that has all that the firmware needs: `mps2-an386`.
    Emulated,
    /// An STM32F405 without pins, flash controller and watchdog: `netduinoplus2`.
    Stm32f405,
}

impl Board {
    const fn machine(self) -> &'static str {
        match self {
            Self::Emulated => "mps2-an386",
            Self::Stm32f405 => "netduinoplus2",
        }
    }
}

/// A running board.
pub struct Emulator {
    leash: Child,
    link: TcpStream,
    log: Receiver<String>,
    wires: TcpStream,
    /// The load switch is held.
    held: bool,
    machine: Machine,
    reader: FrameReader,
    sequence: u16,
    resent: u32,
    time_out: Duration,
    there: Noise,
    back: Noise,
}

impl Emulator {
    /// Starts the board with its firmware, on a clock of the host's.
    ///
    /// # Panics
    /// `PINFOLD_FIRMWARE` names no image, or the emulator doesn't start.
    #[must_use]
    pub fn firmware() -> Self {
        Self::start(&image("PINFOLD_FIRMWARE"), Clock::Real)
    }

    /// Starts the board with an image.
    ///
    /// # Panics
    /// The emulator doesn't start.
    #[must_use]
    pub fn start(image: &Path, clock: Clock) -> Self {
        Self::start_on(Board::Emulated, image, clock)
    }

    /// Starts one of the boards with an image.
    ///
    /// # Panics
    /// The emulator doesn't start.
    #[must_use]
    pub fn start_on(board: Board, image: &Path, clock: Clock) -> Self {
        assert!(image.is_file(), "there is no image {}", image.display());
        let ports = [(); 4].map(|()| TcpListener::bind(("127.0.0.1", 0)).expect("a free port"));
        let [link, log, switch, machine] = &ports;
        let tcp = |port: &TcpListener| format!("tcp:{},nodelay=on", port.local_addr().expect("a bound port"));
        let mut command = Command::new("sh");
        command.args(["-c", LEASH, "sh", "qemu-system-arm", "-M", board.machine(), "-cpu", "cortex-m4"]);
        command.args(["-display", "none", "-monitor", "none", "-qmp", &tcp(machine)]);
        for port in [link, log, switch] {
            command.args(["-serial", &tcp(port)]);
        }
        if clock == Clock::Instructions {
            command.args(["-icount", "shift=7"]);
        }
        let leash = command.arg("-kernel").arg(image).stdin(Stdio::piped()).spawn().expect("a shell");
        // From here on dropping `leash` ends the emulator, as its standard input closes.
        let [link, log, wires, machine] = ports.map(|port| accept(&port));
        Self {
            leash,
            link,
            log: log::lines(log, image),
            wires,
            held: false,
            machine: Machine::new(machine),
            reader: FrameReader::default(),
            sequence: 0,
            resent: 0,
            time_out: host::QUIET_TIME_OUT,
            there: Box::new(<[u8]>::to_vec),
            back: Box::new(<[u8]>::to_vec),
        }
    }

    /// The rest of the next line of the log that begins so.
    ///
    /// # Panics
    /// None comes.
    #[must_use]
    pub fn logged(&self, beginning: &str) -> String {
        let deadline = Instant::now() + PATIENCE;
        loop {
            let left = deadline.saturating_duration_since(Instant::now());
            let line = self.log.recv_timeout(left).unwrap_or_else(|_| panic!("the log has no line '{beginning}...'"));
            if let Some(rest) = line.strip_prefix(beginning) {
                return rest.to_owned();
            }
        }
    }
}

impl Drop for Emulator {
    fn drop(&mut self) {
        drop(self.leash.stdin.take());
        // The shell ends the emulator and itself now; what it says of that changes nothing.
        let _ = self.leash.wait();
    }
}

/// The emulator's connection to a port.
fn accept(port: &TcpListener) -> TcpStream {
    port.set_nonblocking(true).expect("a socket");
    let deadline = Instant::now() + PATIENCE;
    loop {
        match port.accept() {
            Ok((stream, _)) => {
                stream.set_nonblocking(false).expect("a socket");
                stream.set_nodelay(true).expect("a socket");
                return stream;
            }
            Err(error) if error.kind() == io::ErrorKind::WouldBlock && Instant::now() < deadline => {
                thread::sleep(Duration::from_millis(5));
            }
            Err(error) => panic!("the emulator doesn't start: {error}"),
        }
    }
}
