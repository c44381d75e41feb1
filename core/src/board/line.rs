//! The permit as a pin shows it.
//!
//! * *Level*: active is high, all else is low. A pull-down resistor keeps it low while the board is off or restarts.
//! * *Pulses*: active is a square wave of [`HALF_PERIOD`] high, [`HALF_PERIOD`] low; all else is low. Every edge needs
//!   a call with time gone by, so a processor that is stuck, whether the pin is high or low, makes none. The receiver
//!   takes the permit as gone where no edge has come for [`SILENCE`].
//!
//! Neither may be wired to what can stop an aircraft in flight. See [`crate::board`].

use embedded_hal::digital::{OutputPin, PinState};

/// Half a period of the pulses. Unit: ms.
pub const HALF_PERIOD: u32 = 50;
/// From this long without an edge on there is no permit. Unit: ms. It leaves room for a step with the largest limits
/// that is judged meanwhile.
pub const SILENCE: u32 = 200;

/// How a line shows that it is active.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// High.
    Level,
    /// High and low by turns.
    Pulses,
}

/// A pin that shows a line.
#[derive(Debug)]
pub struct Line<P> {
    pin: P,
    form: Form,
    high: bool,
    /// Time since the last edge of a pulse, ms.
    since: u32,
}

impl<P: OutputPin> Line<P> {
    /// A line that is inactive.
    ///
    /// # Errors
    /// The pin's.
    pub fn new(mut pin: P, form: Form) -> Result<Self, P::Error> {
        pin.set_low()?;
        Ok(Self { pin, form, high: false, since: 0 })
    }

    /// Shows whether the line is active, with the time since the last call in ms.
    ///
    /// # Errors
    /// The pin's: tell [`crate::board::Board::fault`].
    pub fn show(&mut self, active: bool, elapsed: u32) -> Result<(), P::Error> {
        self.since = self.since.saturating_add(elapsed);
        let high = match (active, self.form) {
            (false, _) => false,
            (true, Form::Level) => true,
            (true, Form::Pulses) if self.since >= HALF_PERIOD => !self.high,
            (true, Form::Pulses) => self.high,
        };
        if high != self.high {
            self.since = 0;
        }
        self.high = high;
        self.pin.set_state(PinState::from(high))
    }
}
