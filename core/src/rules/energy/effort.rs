//! What a leg takes: time, and power for every sector that the wind may come from.

use super::{
    airspeed::{Airspeeds, Speeds},
    heading::{Heading, Headings, angle_ceil},
    homeward::WaysHome,
    power::{climb_extra, most_ceil},
    sectors::{SECTORS, Sectors},
};
use crate::{
    arithmetic::{bounded_product, clamp_i32, clamp_i64, divide_ceil, divide_floor, divisor},
    geometry::{frame::Frame, plane::PlanePoint},
    model::{limits::Figures, path::Motion},
    rules::leg::Leg,
};

/// For each sector of the wind, mW: 50 kW and as much for climbing at most.
pub(crate) type Powers = [u32; SECTORS];

/// What a leg takes.
#[derive(Clone, Debug)]
pub(crate) struct Effort {
    /// ms, rounded up; `None` where a length has no speed.
    pub(crate) time: Option<u64>,
    /// The largest airspeed that it needs, 0.01 m/s, rounded up.
    pub(crate) airspeed: i32,
    /// The largest that ways home from it need, where returns can start on it.
    pub(crate) airspeed_home: i32,
    /// `None` where that is beyond the power table.
    pub(crate) powers: Option<Powers>,
}

impl Effort {
    pub(crate) const UNKNOWN: Self = Self { time: None, airspeed: 0, airspeed_home: 0, powers: None };

    #[inline(never)]
    pub(crate) fn new(figures: &Figures, frame: &Frame, leg: &Leg, turns_back: bool) -> Self {
        let (horizontal, vertical) = (horizontal_time_ceil(leg), vertical_time_ceil(figures, leg));
        let hold = u64::from(leg.piece.time.unsigned_abs()).saturating_mul(10);
        let Some(flown) = horizontal else { return Self::UNKNOWN };
        let slowest = if vertical > flown { slowed_floor(leg, vertical) } else { leg.piece.speed };
        let speeds = Speeds { slowest, fastest: leg.piece.speed };
        let (wind, along) = (figures.wind.up_to.get(), headings(frame, leg));
        let airspeed = along.map_or(wind, |along| {
            Airspeeds::new(speeds, wind, along.cosines(&Sectors::new(&figures.wind).toward_any())).most_ceil
        });
        let extra = if leg.rise() > 0 { climb_extra(&figures.power) } else { 0 };
        let powers = powers(figures, along.map(|along| (along, speeds)), extra);
        let airspeed_home = if turns_back { WaysHome::new(figures, frame, leg).airspeed_ceil() } else { 0 };
        Self { time: Some(flown.max(vertical).saturating_add(hold)), airspeed, airspeed_home, powers }
    }
}

/// The largest power in every sector: of moving along headings with ground speeds, or of holding still, moving only up or down.
/// Sectors that there are none of have none. `None` beyond the power table.
#[inline(never)]
pub(crate) fn powers(figures: &Figures, moving: Option<(Headings, Speeds)>, extra: u32) -> Option<Powers> {
    let wind = figures.wind.up_to.get();
    let mut powers = [0; SECTORS];
    let sectors = Sectors::new(&figures.wind);
    let Some((along, speeds)) = moving else {
        let still = most_ceil(&figures.power, Airspeeds::still(wind))?.saturating_add(extra);
        powers.iter_mut().take(sectors.count).for_each(|power| *power = still);
        return Some(powers);
    };
    let along = along.widened(sectors.half(), 0);
    for (power, toward) in powers.iter_mut().zip(sectors.towards()) {
        let airspeeds = Airspeeds::new(speeds, wind, along.cosines_with(toward));
        *power = most_ceil(&figures.power, airspeeds)?.saturating_add(extra);
    }
    Some(powers)
}

/// What a power (mW) takes over a time (ms), in µJ. At most 10^8 mW and 1.2 x 10^10 ms: 61 bits.
pub(crate) fn microjoules(power: u32, time: u64) -> i64 {
    bounded_product(clamp_i64(time), clamp_i32(i64::from(power)))
}

/// Where a leg leads, with what a line's curvature and that of the meridians can turn it; `None` where it has no length.
fn headings(frame: &Frame, leg: &Leg) -> Option<Headings> {
    let (from, to) = (leg.line.chord.from, leg.line.chord.to);
    if leg.piece.from.place == leg.piece.to.place {
        return None;
    }
    let farthest = from.distance_ceil(PlanePoint::ORIGIN).max(to.distance_ceil(PlanePoint::ORIGIN));
    // A line of curvature κ and length L leaves its chord by κ L / 2 at most; true north turns by κ for each mm from launch.
    let slack = frame.turn_ceil(farthest.saturating_add(leg.length_ceil.saturating_add(1) / 2));
    // Ends that the plane can't tell apart are in no direction that is known.
    let along = Heading::between(from, to).filter(|_| leg.length_floor > 0);
    let rounding = angle_ceil(2, leg.length_floor);
    Some(along.map_or(Headings::ALL, |along| Headings::one(along, slack.saturating_add(rounding))))
}

/// Time for the way over ground, ms, rounded up; `None` where it has a length and no speed.
fn horizontal_time_ceil(leg: &Leg) -> Option<u64> {
    match leg.length_ceil.unsigned_abs() {
        0 => Some(0),
        length if leg.piece.speed > 0 => Some(time_ceil(length, leg.piece.speed)),
        _ => None,
    }
}

/// Time for a length (mm) at a speed (0.01 m/s), ms, rounded up.
pub(crate) fn time_ceil(length: u64, speed: i32) -> u64 {
    divide_ceil(length.saturating_mul(100), divisor(u64::from(speed.unsigned_abs())))
}

/// Time for the change of height, ms, rounded up.
fn vertical_time_ceil(figures: &Figures, leg: &Leg) -> u64 {
    let rate = if leg.piece.motion == Motion::Descent {
        figures.homeward.landing
    } else if leg.rise() > 0 {
        figures.aircraft.climb
    } else {
        figures.aircraft.descent
    };
    time_ceil(u64::from(leg.rise().unsigned_abs()).saturating_mul(10), rate.get())
}

/// The ground speed of a leg that its change of height slows down to take `time` ms, 0.01 m/s, rounded down.
fn slowed_floor(leg: &Leg, time: u64) -> i32 {
    let speed = divide_floor(leg.length_floor.unsigned_abs().saturating_mul(100), divisor(time));
    clamp_i32(clamp_i64(speed)).min(leg.piece.speed)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        geometry::position::Position,
        model::limits::Wind,
        rules::energy::samples::{LONG_LEGS, bearings, figures, holds, leg_at, turn_at_75},
        units::WindSpeed,
    };

    fn frame(latitude: i32) -> Frame {
        Frame::new(Position::new(latitude, 0).unwrap()).unwrap()
    }

    fn power(figures: &Figures, leg: &Leg) -> u32 {
        let powers = Effort::new(figures, &frame(0), leg, false).powers.unwrap();
        powers.iter().copied().max().unwrap()
    }

    #[test]
    fn a_leg_leads_where_it_leads_at_both_ends_whichever_way_straight_is_read() {
        let frame = frame(750_000_000);
        for ends in LONG_LEGS {
            let leg = leg_at(&frame, ends, (1000, 1000), 500);
            let headings = headings(&frame, &leg).unwrap();
            let [from, to] = [leg.piece.from, leg.piece.to].map(|spot| frame.position(spot.place));
            let (begin, end) = (bearings(from, to), bearings(to, from).map(|back| back + 180.0));
            for bearing in begin.into_iter().chain(end) {
                assert!(holds(&headings, bearing.to_radians()), "{ends:?}: {bearing}");
            }
            // No more than three tenths more than that: 1.1 are for the ellipsoid, and the largest curvature about launch.
            let away = |end: PlanePoint| end.distance_ceil(PlanePoint::ORIGIN);
            let farthest = away(leg.line.chord.from).max(away(leg.line.chord.to));
            let turn = turn_at_75(f64::from(clamp_i32(farthest + leg.length_ceil / 2)));
            let (east, north) = (
                f64::from(leg.line.chord.to.east - leg.line.chord.from.east),
                f64::from(leg.line.chord.to.north - leg.line.chord.from.north),
            );
            let along = east.atan2(north).to_degrees();
            for beside in [along - 1.3 * turn, along + 1.3 * turn] {
                assert!(!holds(&headings, beside.to_radians()), "{ends:?}: {beside}");
            }
        }
    }

    /// 75 m over ground and 50 m down: 25 s at 2 m/s, in which 5 m/s become 3 m/s. At 5 m/s it is 175 W, at 3 m/s 181 W.
    #[test]
    fn a_change_of_height_slows_a_leg_down_to_what_takes_more() {
        let mut figures = figures();
        figures.aircraft.descent = crate::units::SpeedLimit::new(200).unwrap();
        let leg = leg_at(&frame(0), ((0, 0), (0, 6_737)), (6000, 1000), 500);
        let found = power(&figures, &leg);
        assert!((181_000..181_040).contains(&found), "{found}");
        let level = leg_at(&frame(0), ((0, 0), (0, 6_737)), (1000, 1000), 500);
        assert!((175_000..175_010).contains(&power(&figures, &level)));
        // In 25.01 s it is 2.998 m/s at least.
        assert_eq!((slowed_floor(&leg, 25_000), slowed_floor(&leg, 25_010)), (299, 299));
        assert_eq!(slowed_floor(&leg, 1), 500, "no faster than it is told to fly");
        // The time is the descent's.
        assert_eq!(Effort::new(&figures, &frame(0), &leg, false).time, Some(25_000));
    }

    /// 260 W take 70 W more than hovering does: so much more than level flight a climb takes, still or along.
    #[test]
    fn climbing_takes_more_on_a_leg_too() {
        let mut windy = figures();
        windy.wind = Wind { up_to: WindSpeed::new(300).unwrap(), from: None };
        for figures in [figures(), windy] {
            let [up, level] = [(1000, 1500), (1000, 1000)]
                .map(|heights| power(&figures, &leg_at(&frame(0), ((0, 0), (0, 10_000)), heights, 500)));
            assert_eq!(up, level + 70_000);
        }
    }

    #[test]
    fn a_leg_without_speed_takes_nobody_knows_how_long() {
        let leg = |ends, speed| leg_at(&frame(0), ends, (1000, 1000), speed);
        assert_eq!(horizontal_time_ceil(&leg(((0, 0), (0, 10_000)), 0)), None);
        assert_eq!(horizontal_time_ceil(&leg(((0, 7), (0, 7)), 0)), Some(0));
    }
}
