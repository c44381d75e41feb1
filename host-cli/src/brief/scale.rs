//! Round numbers for axes and scale bars, and where on the sheet a number lies.

/// The smallest of 1, 2, 5, 10, 20 ... that cuts a span into at most so many parts.
pub(super) fn step(span: f64, most: f64) -> f64 {
    let least = (span / most).max(1e-6);
    let power = 10_f64.powf(least.log10().floor());
    let fits = |factor: &&f64| **factor * power >= least * (1.0 - 1e-9);
    [1.0, 2.0, 5.0].iter().find(fits).map_or(10.0, |factor| *factor) * power
}

/// The largest of 1, 2, 5, 10, 20 ... that isn't above a number.
pub(super) fn round_below(number: f64) -> f64 {
    let power = 10_f64.powf(number.max(1e-6).log10().floor());
    let fits = |factor: &&f64| **factor * power <= number * (1.0 + 1e-9);
    [5.0, 2.0, 1.0].iter().find(fits).map_or(1.0, |factor| *factor) * power
}

/// The multiples of a step from one number to another.
pub(super) fn ticks(from: f64, to: f64, step: f64) -> Vec<f64> {
    let slack = step * 1e-6;
    let first = ((from - slack) / step).ceil();
    (0..200).map(|index| (first + f64::from(index)) * step).take_while(|tick| *tick <= to + slack).collect()
}

/// A tick as it is written: as many digits as its step needs, and no more.
pub(super) fn written(tick: f64, step: f64) -> String {
    let digits = if step < 0.95 { 1 + usize::from(step < 0.095) } else { 0 };
    let text = format!("{tick:.digits$}");
    if text.trim_start_matches(['-', '0', '.']).is_empty() { "0".to_owned() } else { text.replace('-', "\u{2212}") }
}

/// What lengths are written in: kilometres where metres would have many digits.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct LengthUnit {
    pub(super) metres: f64,
    pub(super) sign: &'static str,
    pub(super) name: &'static str,
}

impl LengthUnit {
    /// For lengths up to one.
    pub(super) const fn up_to(metres: f64) -> Self {
        if metres < 5000.0 {
            Self { metres: 1.0, sign: "m", name: "metres" }
        } else {
            Self { metres: 1000.0, sign: "km", name: "kilometres" }
        }
    }

    /// A tick in metres, as it is written in this unit.
    pub(super) fn written(self, tick: f64, step: f64) -> String {
        written(tick / self.metres, step / self.metres)
    }
}

/// An axis: numbers from `low` to `high` lie from `start` to `end` of the sheet.
#[derive(Clone, Copy, Debug)]
pub(super) struct Axis {
    pub(super) low: f64,
    pub(super) high: f64,
    pub(super) start: f64,
    pub(super) end: f64,
}

impl Axis {
    pub(super) fn at(&self, number: f64) -> f64 {
        let span = (self.high - self.low).max(1e-9);
        self.start + (number - self.low) / span * (self.end - self.start)
    }

    /// The step between ticks that are at least so far apart on the sheet.
    pub(super) fn step(&self, apart: f64) -> f64 {
        step(self.high - self.low, ((self.end - self.start).abs() / apart).max(1.0))
    }

    pub(super) fn ticks(&self, apart: f64) -> Vec<f64> {
        ticks(self.low, self.high, self.step(apart))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_one_two_or_five_times_a_power_of_ten() {
        let steps = [(10.0, 5.0), (10.0, 4.0), (10.0, 2.0), (0.7, 5.0), (5_230.0, 6.0), (99.0, 10.0)];
        assert_eq!(steps.map(|(span, most)| step(span, most)), [2.0, 5.0, 5.0, 0.2, 1_000.0, 10.0]);
    }

    #[test]
    fn a_scale_bar_is_a_round_number_that_fits() {
        assert_eq!([0.9, 1.0, 4.9, 77.0, 260.0].map(round_below), [0.5, 1.0, 2.0, 50.0, 200.0]);
    }

    #[test]
    fn ticks_lie_within_and_are_written_short() {
        let of = |from, to, step| ticks(from, to, step).iter().map(|tick| written(*tick, step)).collect::<Vec<_>>();
        assert_eq!(of(-25.0, 20.0, 10.0), ["\u{2212}20", "\u{2212}10", "0", "10", "20"]);
        assert_eq!(of(0.0, 0.6, 0.2), ["0", "0.2", "0.4", "0.6"]);
    }

    #[test]
    fn far_away_is_written_in_kilometres() {
        assert_eq!(LengthUnit::up_to(4_999.0).written(500.0, 500.0), "500");
        assert_eq!(LengthUnit::up_to(5_000.0).written(500.0, 500.0), "0.5");
    }

    #[test]
    fn an_axis_leads_its_ends_to_its_ends() {
        let axis = Axis { low: -10.0, high: 30.0, start: 200.0, end: 0.0 };
        assert_eq!([-10.0, 10.0, 30.0].map(|number| axis.at(number)), [200.0, 100.0, 0.0]);
    }
}
