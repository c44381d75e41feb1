//! The firmware: the same on every board.
//!
//! A turn of the main loop takes a byte from the link or sends one, and with each new millisecond sets the lines and
//! feeds the watchdog. Nothing in it waits, so that the lines are set all the time; but judging a piece of a route, a
//! line of the log and erasing a slot take their time.

use embedded_hal::digital::{OutputPin, PinState};
use embedded_io::{Read, ReadReady, Write, WriteReady};
use pinfold_core::{
    board::{
        Board, Event, Hardware as _, Lines,
        line::{Form, Line},
    },
    link::{Aged, FRAME, Report},
};

use crate::{
    elapsed::Elapsed,
    log,
    platform::{Clock, Devices, Hardware, Inputs as _, Platform, Watchdog as _},
    stack,
};

/// What goes out for one byte that came in: a frame, or nothing.
type Answer = heapless::Vec<u8, FRAME>;

/// The lamp is lit for this many milliseconds, and dark for as many: a power of two.
const BLINK_MS: u32 = 512;

struct Firmware<P: Platform> {
    link: P::Link,
    hardware: Hardware<P::Flash, P::Inputs>,
    permit: Line<P::Permit>,
    pulses: Line<P::Pulses>,
    advice: Line<P::Advice>,
    lamp: P::Lamp,
    clock: P::Clock,
    watchdog: P::Watchdog,
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

/// Does the board's work for ever. Lines that can't be set at the start are left to the watchdog.
pub fn run<P: Platform>(devices: Devices<P>, board: &'static mut Board) -> ! {
    if let Some(mut firmware) = Firmware::<P>::new(devices, board) {
        firmware.start();
        loop {
            firmware.turn();
        }
    }
    loop {
        P::drop_permit();
    }
}

impl<P: Platform> Firmware<P> {
    fn new(devices: Devices<P>, board: &'static mut Board) -> Option<Self> {
        let Devices { link, permit, pulses, advice, lamp, hardware, clock, watchdog } = devices;
        Some(Self {
            link,
            hardware,
            permit: Line::new(permit, Form::Level).ok()?,
            pulses: Line::new(pulses, Form::Pulses).ok()?,
            advice: Line::new(advice, Form::Level).ok()?,
            lamp,
            elapsed: Elapsed::new(&clock),
            clock,
            watchdog,
            board,
            held: false,
            milliseconds: 0,
            answer: Answer::new(),
            sent: 0,
        })
    }

    fn turn(&mut self) {
        if self.sent < self.answer.len() {
            self.send();
        } else if let Some(byte) = self.receive() {
            self.take(byte);
        }
        let elapsed = self.elapsed.milliseconds(&self.clock);
        if elapsed > 0 {
            self.let_pass(elapsed);
        }
    }

    /// Tests itself, and takes the limits from flash.
    fn start(&mut self) {
        let event = self.board.start(&mut self.hardware);
        Self::tell(event);
    }

    fn take(&mut self, byte: u8) {
        (self.answer, self.sent) = (Answer::new(), 0);
        let (start, answer) = (self.clock.ticks(), &mut self.answer);
        // An answer is one frame, for which there is room.
        let event = self.board.take(byte, &mut self.hardware, &mut |frame| {
            let _ = frame.iter().try_for_each(|byte| answer.push(*byte));
        });
        if cfg!(feature = "measure") && !self.answer.is_empty() {
            let ticks = self.clock.ticks().wrapping_sub(start);
            defmt::println!("ticks {=u32}", ticks);
        }
        // The answer goes afterwards: whoever has it may read the log's lines about it.
        if let Some(event) = event {
            Self::tell(event);
        }
        #[cfg(feature = "plant-a-panic")]
        self.plant();
    }

    /// Milliseconds have passed.
    fn let_pass(&mut self, elapsed: u32) {
        self.milliseconds = self.milliseconds.wrapping_add(elapsed);
        self.look_at_inputs();
        let (lines, event) = self.board.tick(elapsed, &mut self.hardware);
        if let Some(event) = event {
            Self::tell(event);
        }
        // A line that can't be set may say what it shouldn't: then the watchdog resets the board.
        match self.show(lines, elapsed) {
            Some(()) => self.watchdog.feed(),
            None => self.board.fault(),
        }
    }

    fn show(&mut self, lines: Lines, elapsed: u32) -> Option<()> {
        self.permit.show(lines.permit, elapsed).ok()?;
        self.pulses.show(lines.permit, elapsed).ok()?;
        self.advice.show(lines.advice, elapsed).ok()?;
        self.lamp.set_state(PinState::from(self.milliseconds & BLINK_MS != 0)).ok()
    }

    /// Reads what is wired, and tells when the load switch is held or released: whoever wires a board sees that it is
    /// wired well.
    fn look_at_inputs(&mut self) {
        let held = self.hardware.held();
        if held != self.held {
            self.held = held;
            log::load_switch(held);
        }
        if let Some(flight) = self.hardware.inputs.flight() {
            self.board.sense(Report { flight: Some(Aged::now(flight)), ..Report::default() });
        }
    }

    /// The next byte, if there is one. What the port has to say about lost and damaged bytes, the checksums say too.
    fn receive(&mut self) -> Option<u8> {
        let mut byte = [0];
        let port = &mut self.link;
        let came = port.read_ready().unwrap_or(false) && port.read(&mut byte).is_ok_and(|count| count > 0);
        came.then_some(byte[0])
    }

    /// Sends what the port takes without waiting. A port that refuses loses the answer: the host asks again.
    fn send(&mut self) {
        let port = &mut self.link;
        if port.write_ready().unwrap_or(true) {
            let next = self.answer.get(self.sent..).and_then(|rest| rest.first_chunk::<1>());
            let sent = next.map_or(0, |byte| port.write(byte).unwrap_or(usize::MAX));
            self.sent = self.sent.saturating_add(sent);
        }
    }

    /// Tells on the log what happened.
    fn tell(event: Event) {
        log::event(event);
        let used = stack::most_used();
        defmt::println!("stack {=u32} of {=u32}", used.most, used.size);
    }

    /// A panic that can be reached: what the proof has to find.
    #[cfg(feature = "plant-a-panic")]
    #[expect(clippy::indexing_slicing, reason = "the panic that is planted")]
    fn plant(&mut self) {
        self.answer.truncate(usize::from(self.answer[3]));
    }
}
