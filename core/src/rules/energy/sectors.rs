//! Where the wind may come from, in sectors of at most 5 degrees.

use super::heading::{Angle, Heading, Headings, ONE};
use crate::{model::limits::Wind, units::Direction};

/// Most sectors.
pub(crate) const SECTORS: usize = 72;
/// Half degrees in a sector, and in half of one.
const WIDTH: i32 = 10;
const HALF: i32 = 5;
/// Half degrees in a turn.
const TURN: i32 = 720;

/// The sectors that the wind may come from.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Sectors {
    /// Middle of the first and of the last, half degrees from north.
    first: i32,
    last: i32,
    /// Half degrees to either side of a middle.
    half: i32,
    pub(crate) count: usize,
    /// All of them as one: middle and half degrees to either side.
    whole: (i32, i32),
}

impl Sectors {
    pub(crate) fn new(wind: &Wind) -> Self {
        let (middle, spread) = match wind.from {
            // Without wind it matters to nothing where it comes from.
            _ if wind.up_to.get() == 0 => (0, 0),
            Some(from) => (from.direction.get().saturating_mul(2), from.spread.get().saturating_mul(2)),
            None => (0, TURN / 2),
        };
        let half = spread.min(HALF);
        let from = middle.saturating_sub(spread).saturating_add(half);
        let last = middle.saturating_add(spread).saturating_sub(half);
        let steps = last.saturating_sub(from).saturating_add(WIDTH - 1) / WIDTH;
        let count = usize::try_from(steps).unwrap_or(0).saturating_add(1).min(SECTORS);
        Self { first: from, last, half, count, whole: (middle, spread) }
    }

    /// Where the wind in the middle of each sector goes.
    pub(crate) fn towards(&self) -> impl Iterator<Item = Heading> {
        let sectors = *self;
        (0..self.count).map(move |number| toward(sectors.middle(number)))
    }

    /// How much to either side of its middle a sector is.
    pub(crate) fn half(&self) -> Angle {
        angle(self.half)
    }

    /// Where any wind goes.
    pub(crate) fn toward_any(&self) -> Headings {
        let (middle, spread) = self.whole;
        if spread >= TURN / 2 { Headings::ALL } else { Headings::about(toward(middle), angle(spread)) }
    }

    /// Where the wind of a sector comes from: its middle.
    pub(crate) fn from(&self, number: usize) -> Direction {
        Direction::new(self.middle(number).rem_euclid(TURN) / 2).unwrap_or(Direction::NORTH)
    }

    /// The middle of a sector, half degrees. The last one ends where the wind's range does, and so may lie over the one before.
    fn middle(&self, number: usize) -> i32 {
        let steps = i32::try_from(number).unwrap_or(TURN);
        self.first.saturating_add(steps.saturating_mul(WIDTH)).min(self.last)
    }
}

/// Where a wind goes that comes from so many half degrees.
fn toward(half_degrees: i32) -> Heading {
    Heading { east: sine(half_degrees).saturating_neg(), north: cosine(half_degrees).saturating_neg() }
}

fn angle(half_degrees: i32) -> Angle {
    Angle { cosine: cosine(half_degrees), sine: sine(half_degrees) }
}

fn cosine(half_degrees: i32) -> i32 {
    sine(half_degrees.saturating_add(TURN / 4))
}

/// The sine of half degrees, times 2^30, to the nearest.
fn sine(half_degrees: i32) -> i32 {
    const QUARTER: i32 = TURN / 4;
    let turned = half_degrees.rem_euclid(TURN);
    let negative = turned >= TURN / 2;
    let half_turn = if negative { turned.saturating_sub(TURN / 2) } else { turned };
    let within = if half_turn > QUARTER { (TURN / 2).saturating_sub(half_turn) } else { half_turn };
    let value = usize::try_from(within).ok().and_then(|place| SINES.get(place)).copied().unwrap_or(ONE);
    if negative { value.saturating_neg() } else { value }
}

/// Sines of 0 to 90 degrees by half degrees, times 2^30.
static SINES: [i32; 181] = sines();

#[expect(
    clippy::indexing_slicing,
    clippy::arithmetic_side_effects,
    reason = "run by the compiler: a fault stops the build"
)]
const fn sines() -> [i32; 181] {
    let mut table = [0; 181];
    let mut place = 0;
    while place < table.len() {
        table[place] = sine_by_series(place as i128);
        place += 1;
    }
    table
}

/// x - x³ / 3! + x⁵ / 5! ..., x up to π / 2, in units of 2^-60.
#[expect(
    clippy::arithmetic_side_effects,
    clippy::cast_possible_truncation,
    reason = "run by the compiler: a fault stops the build"
)]
const fn sine_by_series(half_degrees: i128) -> i32 {
    /// π times 2^60.
    const PI: i128 = 3_622_009_729_038_561_421;
    let angle = half_degrees * PI / 360;
    let (mut term, mut sum, mut factor) = (angle, 0, 1);
    while factor < 25 {
        sum += term;
        term = -((((term * angle) >> 60) * angle) >> 60) / ((factor + 1) * (factor + 2));
        factor += 2;
    }
    ((sum + (1 << 29)) >> 30) as i32
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        model::limits::WindFrom,
        units::{Spread, WindSpeed},
    };

    #[test]
    fn sines_are_the_nearest() {
        for half_degrees in -1000..1000 {
            let exact = (f64::from(half_degrees) / 2.0).to_radians().sin() * f64::from(ONE);
            assert!((f64::from(sine(half_degrees)) - exact).abs() < 0.51, "{half_degrees}");
        }
    }

    fn sectors(direction: i32, spread: i32) -> Sectors {
        let from = WindFrom { direction: Direction::new(direction).unwrap(), spread: Spread::new(spread).unwrap() };
        Sectors::new(&Wind { up_to: WindSpeed::new(500).unwrap(), from: Some(from) })
    }

    /// Whether a wind from so many half degrees is in some sector.
    fn covered(sectors: &Sectors, half_degrees: i32) -> bool {
        (0..sectors.count).any(|number| {
            let off = half_degrees.wrapping_sub(sectors.middle(number)).rem_euclid(TURN);
            off.min(TURN.wrapping_sub(off)) <= sectors.half
        })
    }

    #[test]
    fn sectors_cover_what_they_are_to_cover_and_no_more() {
        for direction in [0, 1, 90, 243, 359] {
            for spread in 0..=180 {
                let sectors = sectors(direction, spread);
                assert!(sectors.count <= SECTORS && sectors.half <= 5);
                for half_degrees in 0..TURN {
                    let off = half_degrees.wrapping_sub(direction.wrapping_mul(2)).rem_euclid(TURN);
                    let inside = off.min(TURN.wrapping_sub(off)) <= spread.wrapping_mul(2);
                    assert_eq!(covered(&sectors, half_degrees), inside, "{direction} {spread} {half_degrees}");
                }
            }
        }
    }

    #[test]
    fn from_anywhere_is_a_turn_of_sectors() {
        let anywhere = Sectors::new(&Wind { up_to: WindSpeed::new(1).unwrap(), from: None });
        assert_eq!(anywhere.count, SECTORS);
        assert!((0..TURN).all(|half_degrees| covered(&anywhere, half_degrees)));
        assert_eq!(sectors(10, 0).from(0).get(), 10);
        assert_eq!(sectors(2, 10).from(0).get(), 354, "352 to 357 degrees");
        assert_eq!(Sectors::new(&Wind { up_to: WindSpeed::new(0).unwrap(), from: None }).count, 1);
    }
}
