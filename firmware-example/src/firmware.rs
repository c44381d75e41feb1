//! The firmware: the same on every board.
//!
//! A turn of the main loop takes a byte from the link or sends one, sets the lines and feeds the watchdog. Nothing in it waits, so
//! that the lines are set all the time; but judging a piece of a route, a line of the log and erasing a slot take their time.

use embedded_hal::digital::{OutputPin, PinState};
use embedded_io::{Read, ReadReady, Write, WriteReady};
use pinfold_core::{
    board::{Board, Event},
    link::FRAME,
};

use crate::{
    elapsed::Elapsed,
    log::{Log, Part},
    platform::{Clock, Devices, Platform, Watchdog as _},
    stack,
};

/// What goes out for one byte that came in: a frame, or nothing.
type Answer = heapless::Vec<u8, FRAME>;

/// The lamp is lit for this many milliseconds, and dark for as many: a power of two.
const BLINK_MS: u32 = 512;

/// What the lines say.
struct Lines {
    permit: bool,
    advice: bool,
}

struct Firmware<P: Platform> {
    devices: Devices<P>,
    log: Log<P::Log>,
    board: &'static mut Board,
    /// The load switch was held when it was last looked at.
    held: bool,
    elapsed: Elapsed,
    /// Since the start, and from 0 again after 49 days.
    milliseconds: u32,
    answer: Answer,
    /// Bytes of the answer that are on their way.
    sent: usize,
}

/// Does the board's work for ever.
pub fn run<P: Platform>(devices: Devices<P>, log: P::Log, board: &'static mut Board) -> ! {
    let mut firmware = Firmware::new(devices, log, board);
    firmware.start();
    loop {
        firmware.turn();
    }
}

impl<P: Platform> Firmware<P> {
    fn new(devices: Devices<P>, log: P::Log, board: &'static mut Board) -> Self {
        let (elapsed, log) = (Elapsed::new(&devices.clock), Log::new(log));
        Self { devices, log, board, held: false, elapsed, milliseconds: 0, answer: Answer::new(), sent: 0 }
    }

    fn turn(&mut self) {
        if self.sent < self.answer.len() {
            self.send();
        } else if let Some(byte) = self.receive() {
            self.take(byte);
        }
        self.look_at_load_switch();
        let lines = self.tick();
        // A line that can't be set says what it shouldn't: then the watchdog resets the board.
        if self.set(&lines).is_some() {
            self.devices.watchdog.feed();
        }
    }

    // What the board in `core` does is called in the next three functions, and nowhere else.

    fn start(&mut self) {
        self.log.line(&[Part::Text("pinfold board: holds no limits, no route")]);
    }

    fn take(&mut self, byte: u8) {
        (self.answer, self.sent) = (Answer::new(), 0);
        let (start, answer) = (self.devices.clock.ticks(), &mut self.answer);
        // An answer is one frame, for which there is room.
        let event = self.board.take(byte, &mut |frame| {
            let _ = frame.iter().try_for_each(|byte| answer.push(*byte));
        });
        self.tell(start, event);
    }

    /// As long as the board gives no permit, the lines say nothing.
    fn tick(&mut self) -> Lines {
        let elapsed = self.elapsed.milliseconds(&self.devices.clock);
        self.milliseconds = self.milliseconds.wrapping_add(elapsed);
        Lines { permit: false, advice: false }
    }

    fn set(&mut self, lines: &Lines) -> Option<()> {
        let Devices { permit, advice, lamp, .. } = &mut self.devices;
        permit.set_state(PinState::from(lines.permit)).ok()?;
        advice.set_state(PinState::from(lines.advice)).ok()?;
        lamp.set_state(PinState::from(self.milliseconds & BLINK_MS != 0)).ok()
    }

    /// Tells when the load switch is held or released: whoever wires a board sees that it is wired well.
    fn look_at_load_switch(&mut self) {
        let held = self.devices.hardware.held();
        if held != self.held {
            self.held = held;
            self.log.line(&[Part::Text("load switch "), Part::Text(if held { "held" } else { "released" })]);
        }
    }

    /// The next byte, if there is one. What the port has to say about lost and damaged bytes, the checksums say too.
    fn receive(&mut self) -> Option<u8> {
        let mut byte = [0];
        let port = &mut self.devices.link;
        let came = port.read_ready().unwrap_or(false) && port.read(&mut byte).is_ok_and(|count| count > 0);
        came.then_some(byte[0])
    }

    /// Sends what the port takes without waiting. A port that refuses loses the answer: the host asks again.
    fn send(&mut self) {
        let port = &mut self.devices.link;
        if port.write_ready().unwrap_or(true) {
            let next = self.answer.get(self.sent..).and_then(|rest| rest.first_chunk::<1>());
            let sent = next.map_or(0, |byte| port.write(byte).unwrap_or(usize::MAX));
            self.sent = self.sent.saturating_add(sent);
        }
    }

    /// Tells on the log what happened. The answer goes afterwards: whoever has it may read the log's lines about it.
    fn tell(&mut self, start: u32, event: Option<Event>) {
        if cfg!(feature = "measure") && !self.answer.is_empty() {
            let ticks = self.devices.clock.ticks().wrapping_sub(start);
            self.log.line(&[Part::Text("ticks "), Part::Number(ticks)]);
        }
        if let Some(event) = event {
            self.log.event(event);
            let used = stack::most_used();
            self.log.line(&[
                Part::Text("stack "),
                Part::Number(used.most),
                Part::Text(" of "),
                Part::Number(used.size),
            ]);
        }
        #[cfg(feature = "plant-a-panic")]
        self.plant();
    }

    /// A panic that can be reached: what the proof has to find.
    #[cfg(feature = "plant-a-panic")]
    #[expect(clippy::indexing_slicing, reason = "the panic that is planted")]
    fn plant(&mut self) {
        self.answer.truncate(usize::from(self.answer[3]));
    }
}
