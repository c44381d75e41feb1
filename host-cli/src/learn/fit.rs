//! The power table that a flight's steady moments give.

use std::path::Path;

use super::{
    samples::Sample,
    steady::{ENOUGH, Flight},
};
use crate::{
    aircraft::{
        cover::cover,
        table::{FASTEST, PowerTable, watts_ceil},
    },
    problem::Problem,
};

/// Of the time in a bin, this part took no more than the table says.
pub(crate) const UPPER: f64 = 0.9;
/// Climb rates are told apart by so much, m/s; speeds by 1 m/s.
const RATE: f64 = 0.5;
/// Between speeds further apart than this nothing is known, m/s.
const GAP: i32 = 3;

/// What the moments around a whole speed tell.
#[derive(Clone, Debug)]
pub(crate) struct Bin {
    /// Nearest whole speed, m/s.
    pub(crate) whole: i32,
    /// Mean speed, m/s.
    pub(crate) speed: f64,
    pub(crate) seconds: f64,
    /// What half of the time took no more than, W.
    middle: f64,
    /// What [`UPPER`] of the time took no more than, W.
    pub(crate) upper: f64,
}

/// What was learned.
#[derive(Debug)]
pub(crate) struct Learned {
    /// The speeds that the table is made from, from 0 on.
    pub(crate) bins: Vec<Bin>,
    /// Speeds that it isn't made from.
    pub(crate) left: Vec<Bin>,
    pub(crate) table: PowerTable,
    pub(crate) climb: Option<Climb>,
    /// What time was spent climbing steadily, s.
    pub(crate) climbed: f64,
}

/// What climbing takes.
#[derive(Debug)]
pub(crate) struct Climb {
    /// W, from hover.
    pub(crate) watts: u32,
    /// The fastest climb that it is known for, m/s.
    pub(crate) rate: f64,
    pub(crate) seconds: f64,
}

/// Fits a table to a flight.
pub(crate) fn fit(path: &Path, flight: &Flight) -> Result<Learned, Problem> {
    let (mut bins, left) = supported(&flight.level);
    hovers(path, &bins, &left)?;
    has_power(path, &bins)?;
    let line = Line(bins.iter().map(|bin| (bin.speed, bin.middle)).collect());
    for bin in &mut bins {
        let ratios = flight.level.iter().filter(|sample| whole(sample) == bin.whole);
        let ratios = ratios.map(|sample| (sample.watts / line.at(sample.speed), sample.seconds)).collect();
        bin.upper = bin.middle * quantile(ratios, UPPER);
    }
    let table = covered(path, &bins)?;
    let climb = climb(&flight.climbing, &table);
    let climbed = seconds(flight.climbing.iter());
    Ok(Learned { bins, left, table, climb, climbed })
}

/// The nearest whole speed.
fn whole(sample: &Sample) -> i32 {
    sample.speed.round() as i32
}

fn seconds<'s>(samples: impl Iterator<Item = &'s Sample>) -> f64 {
    samples.map(|sample| sample.seconds).sum()
}

/// The speeds with enough time, from the lowest one on as far as they are joined; and all others.
fn supported(level: &[Sample]) -> (Vec<Bin>, Vec<Bin>) {
    let mut wholes: Vec<i32> = level.iter().map(whole).collect();
    wholes.sort_unstable();
    wholes.dedup();
    let (mut kept, mut left) = (Vec::<Bin>::new(), Vec::new());
    for bin in wholes.into_iter().map(|whole| bin(level, whole)) {
        let joined = kept.last().map_or(bin.whole == 0, |last| bin.whole - last.whole <= GAP);
        if bin.seconds >= ENOUGH && joined { kept.push(bin) } else { left.push(bin) }
    }
    (kept, left)
}

fn bin(level: &[Sample], speed: i32) -> Bin {
    let inside = || level.iter().filter(|sample| whole(sample) == speed);
    let seconds = seconds(inside());
    let mean = inside().map(|sample| sample.speed * sample.seconds).sum::<f64>() / seconds;
    let middle = quantile(inside().map(|sample| (sample.watts, sample.seconds)).collect(), 0.5);
    // What a hover's speed is above 0 is the receiver's noise.
    Bin { whole: speed, speed: if speed == 0 { 0.0 } else { mean }, seconds, middle, upper: middle }
}

/// Demands a hover and one more speed.
fn hovers(path: &Path, bins: &[Bin], left: &[Bin]) -> Result<(), Problem> {
    let say = match bins {
        [] => {
            let there = left.iter().find(|bin| bin.whole == 0).map_or(0.0, |bin| bin.seconds);
            format!(
                "a power table begins at 0 m/s, and the log has {there:.1} s of steady hover; {ENOUGH} s are needed"
            )
        }
        [_] => format!(
            "the log has no speed but hover with {ENOUGH} s of steady level flight, within {GAP} m/s of the next"
        ),
        [_, _, ..] => return Ok(()),
    };
    let flown: Vec<String> = left.iter().map(|bin| format!("{:.1} s at {} m/s", bin.seconds, bin.whole)).collect();
    let flown = if flown.is_empty() { "nothing".to_owned() } else { flown.join(", ") };
    Err(Problem::file(path, say).help(format!(
        "there is also {flown}. Hover for 30 s, then fly straight and level, out and back, for 30 s at 2, 4, 6 … m/s"
    )))
}

/// Demands that every speed takes power.
fn has_power(path: &Path, bins: &[Bin]) -> Result<(), Problem> {
    let Some(none) = bins.iter().find(|bin| bin.middle < 1.0) else { return Ok(()) };
    let say = format!("at {} m/s the log has {:.3} W, which carries no aircraft", none.whole, none.middle);
    Err(Problem::file(path, say).help("look at the columns of volts and amperes, and their units"))
}

/// The table that covers the upper powers.
fn covered(path: &Path, bins: &[Bin]) -> Result<PowerTable, Problem> {
    let line = Line(bins.iter().map(|bin| (bin.speed, bin.upper)).collect());
    let end = bins.last().map_or(0.0, |bin| bin.speed).min(FASTEST);
    // 0.1 m/s are finer than a log can tell.
    let table = cover(|speed| line.at(speed), (end * 10.0).round() as u16 * 10, None);
    if table.fits() {
        return Ok(table);
    }
    let say = format!("the log has more power than limits take: {table}");
    Err(Problem::file(path, say).help("look at the units of volts and amperes: a column may end in _mv or _ma"))
}

/// Straight between points, and on beyond its ends.
struct Line(Vec<(f64, f64)>);

impl Line {
    fn at(&self, speed: f64) -> f64 {
        let after = self.0.iter().position(|(at, _)| *at >= speed).unwrap_or(self.0.len());
        let after = after.clamp(1, self.0.len() - 1);
        let ((low, start), (high, end)) = (self.0[after - 1], self.0[after]);
        let watts = start + (end - start) * (speed - low) / (high - low);
        // On beyond an end it must not run away.
        watts.clamp(0.5 * start.min(end), 2.0 * start.max(end))
    }
}

/// What climbing takes above level flight at the same speed, on top of hover: the most of all climb rates with enough time.
fn climb(climbing: &[Sample], table: &PowerTable) -> Option<Climb> {
    let whole = |sample: &Sample| (sample.climb / RATE).round() as i32;
    let extra = |sample: &&Sample| Some((sample.watts - table.at(sample.speed)?, sample.seconds));
    let known: Vec<&Sample> = climbing.iter().filter(|sample| extra(sample).is_some()).collect();
    let mut rates: Vec<i32> = known.iter().map(|sample| whole(sample)).collect();
    rates.sort_unstable();
    rates.dedup();
    let at = |rate: i32| known.iter().copied().filter(move |sample| whole(sample) == rate);
    rates.retain(|rate| seconds(at(*rate)) >= ENOUGH);
    let fastest = *rates.last()?;
    let extras = rates.iter().map(|rate| quantile(at(*rate).filter_map(|sample| extra(&sample)).collect(), UPPER));
    let enough = seconds(at(fastest));
    let rate = at(fastest).map(|sample| sample.climb * sample.seconds).sum::<f64>() / enough;
    let watts = watts_ceil(table.hover() + extras.fold(0.0, f64::max));
    Some(Climb { watts, rate: (rate * 10.0).round() / 10.0, seconds: enough })
}

/// What `part` of the weight is no more than.
fn quantile(mut weighted: Vec<(f64, f64)>, part: f64) -> f64 {
    weighted.sort_by(|a, b| a.0.total_cmp(&b.0));
    let enough = part * weighted.iter().map(|(_, weight)| weight).sum::<f64>();
    let mut sum = 0.0;
    let found = weighted.iter().find(|(_, weight)| {
        sum += weight;
        sum >= enough
    });
    found.or(weighted.last()).map_or(0.0, |(value, _)| *value)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_quantile_counts_time_and_not_rows() {
        let weighted = vec![(3.0, 1.0), (1.0, 8.0), (2.0, 1.0)];
        assert_eq!(quantile(weighted.clone(), 0.5), 1.0);
        assert_eq!(quantile(weighted.clone(), 0.9), 2.0);
        assert_eq!(quantile(weighted, 0.95), 3.0);
    }

    #[test]
    fn a_line_is_straight_and_goes_on() {
        let line = Line(vec![(0.0, 100.0), (2.0, 110.0), (4.0, 150.0)]);
        assert_eq!([-1.0, 1.0, 3.0, 4.5].map(|speed| line.at(speed)), [95.0, 105.0, 130.0, 160.0]);
    }
}
