//! The machine around the firmware: its lines, its reset, its watchdog.

use std::{
    io::{BufRead as _, BufReader, Write as _},
    net::TcpStream,
    path::Path,
    time::Instant,
};

use pinfold_core::interlock::Flight;

use super::{Debugger, Emulator, PATIENCE};

/// The word of the permit and of the advice line, one bit each.
pub const LINES: u32 = 0x4002_8000;
/// The word of the lamp.
pub const LAMP: u32 = 0x4002_F004;
/// The first word of the slots of the limits.
pub const SLOTS: u32 = 0x2001_0000;

/// The emulator's own protocol: a question and an answer are one line each, and events come between them.
pub(super) struct Machine {
    ask: TcpStream,
    heard: BufReader<TcpStream>,
}

impl Machine {
    pub(super) fn new(stream: TcpStream) -> Self {
        stream.set_read_timeout(Some(PATIENCE)).expect("a socket");
        let heard = BufReader::new(stream.try_clone().expect("a socket"));
        let mut machine = Self { ask: stream, heard };
        machine.line("\"QMP\"");
        machine.run("qmp_capabilities", "{}");
        machine
    }

    /// The next line that has this in it.
    fn line(&mut self, part: &str) -> String {
        loop {
            let mut line = String::new();
            let count = self.heard.read_line(&mut line).unwrap_or_else(|error| panic!("no {part}: {error}"));
            assert!(count > 0, "the emulator ended before it said {part}");
            if line.contains(part) {
                return line;
            }
        }
    }

    fn run(&mut self, command: &str, arguments: &str) -> String {
        let question = format!("{{ \"execute\": \"{command}\", \"arguments\": {arguments} }}\n");
        self.ask.write_all(question.as_bytes()).expect("the emulator listens");
        self.line("\"return\"")
    }

    /// What the emulator answers to a person.
    fn person(&mut self, command: &str) -> String {
        self.run("human-monitor-command", &format!("{{ \"command-line\": \"{command}\" }}"))
    }
}

impl Emulator {
    /// A word of the machine's memory or registers.
    ///
    /// # Panics
    /// The emulator doesn't answer.
    pub fn word(&mut self, address: u32) -> u32 {
        let answer = self.machine.person(&format!("xp /1wx {address:#x}"));
        let digits = answer.split(": 0x").nth(1).and_then(|rest| rest.get(..8));
        digits.and_then(|digits| u32::from_str_radix(digits, 16).ok()).unwrap_or_else(|| panic!("no word in {answer}"))
    }

    /// Resets the machine, as its reset button does; the load switch is released then.
    pub fn reset(&mut self) {
        self.held = false;
        self.machine.run("system_reset", "{}");
    }

    /// Waits until the watchdog resets the machine.
    pub fn reset_by_watchdog(&mut self) {
        self.machine.line("\"WATCHDOG\"");
        self.machine.line("\"RESET\"");
    }

    /// Holds or releases the load switch, and waits until the board has seen it.
    ///
    /// # Panics
    /// The board doesn't see it.
    pub fn hold_load_switch(&mut self, held: bool) {
        if held != self.held {
            self.held = held;
            self.say(if held { b"h" } else { b"r" });
            assert_eq!(self.logged("load switch "), if held { "held" } else { "released" });
        }
    }

    /// Says by wire whether the aircraft flies, and waits until the board knows.
    ///
    /// # Panics
    /// The board doesn't get to know it.
    pub fn tell_by_wire(&mut self, flight: Option<Flight>) {
        self.say(match flight {
            Some(Flight::Flying) => b"f",
            Some(Flight::Ground) => b"g",
            None => b"n",
        });
        let deadline = Instant::now() + PATIENCE;
        while self.status().map(|status| status.flight).ok() != Some(flight) {
            assert!(Instant::now() < deadline, "the board doesn't hear {flight:?}");
        }
    }

    fn say(&mut self, byte: &[u8]) {
        self.wires.write_all(byte).expect("the emulator listens");
    }

    /// Waits until the lines of permit and advice show this: bit 0 and bit 1.
    ///
    /// # Panics
    /// They don't.
    pub fn lines_show(&mut self, lines: u32) {
        let deadline = Instant::now() + PATIENCE;
        while self.word(LINES) != lines {
            assert!(Instant::now() < deadline, "the lines show {}, not {lines}", self.word(LINES));
        }
    }

    /// Stops the machine to look into it; the path is one for a socket.
    #[must_use]
    pub fn debugger(&mut self, socket: &Path) -> Debugger {
        self.machine.person(&format!("gdbserver unix:{},server=on,wait=off", socket.display()));
        Debugger::new(socket)
    }
}
