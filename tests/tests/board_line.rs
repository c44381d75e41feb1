//! What a permit looks like on a pin.

use std::convert::Infallible;

use embedded_hal::digital::{ErrorType, OutputPin};
use pinfold_core::board::line::{Form, HALF_PERIOD, Line, SILENCE};

/// A pin that remembers its level and how often it has changed.
#[derive(Debug, Default)]
struct Pin {
    high: bool,
    edges: usize,
}

impl ErrorType for &mut Pin {
    type Error = Infallible;
}

impl OutputPin for &mut Pin {
    fn set_low(&mut self) -> Result<(), Infallible> {
        self.edges += usize::from(self.high);
        self.high = false;
        Ok(())
    }

    fn set_high(&mut self) -> Result<(), Infallible> {
        self.edges += usize::from(!self.high);
        self.high = true;
        Ok(())
    }
}

/// The level and the number of edges after these calls: active, and ms since the call before.
fn after(form: Form, calls: impl IntoIterator<Item = (bool, u32)>) -> (bool, usize) {
    let mut pin = Pin { high: true, edges: 0 };
    let mut line = Line::new(&mut pin, form).unwrap_or_else(|never| match never {});
    for (active, elapsed) in calls {
        line.show(active, elapsed).unwrap_or_else(|never| match never {});
    }
    // The first edge is that of the beginning: whatever the pin was, it is low then.
    (pin.high, pin.edges - 1)
}

#[test]
fn a_level_is_high_while_active() {
    assert_eq!(after(Form::Level, []), (false, 0));
    assert_eq!(after(Form::Level, [(true, 0), (true, 1_000)]), (true, 1));
    assert_eq!(after(Form::Level, [(true, 0), (false, 0)]), (false, 2));
}

#[test]
fn pulses_have_an_edge_each_half_period_while_active() {
    let second = |active| (0..100).map(move |_| (active, 10));
    assert_eq!(after(Form::Pulses, second(true)).1, 1_000 / HALF_PERIOD as usize);
    assert_eq!(after(Form::Pulses, second(false)), (false, 0));
    for count in 0..100 {
        let ended = second(true).take(count).chain([(false, 0)]);
        assert!(!after(Form::Pulses, ended).0, "low at once after {count}");
    }
}

#[test]
fn pulses_need_time_and_calls() {
    assert_eq!(after(Form::Pulses, (0..10_000).map(|_| (true, 0))), (false, 0), "a clock that stands still");
    let (_, edges) = after(Form::Pulses, [(true, 10 * SILENCE)]);
    assert_eq!(edges, 1, "a call late makes one edge, however late");
}
