//! Figures to test with: an invented small quad. Legs, and what a sphere says of lines near the poles.

use super::heading::{Heading, Headings, ONE};
use crate::{
    arithmetic::{clamp_i32, nearest},
    geometry::{frame::Frame, position::Position},
    model::{
        limits::{Aircraft, Battery, Figures, Freshness, Heights, Margins, PowerPoint, PowerTable, ReturnHabits, Wind},
        path::{Motion, Piece, Spot},
    },
    rules::leg::Leg,
    units::{
        Airspeed, Capacity, Cells, Duration, Health, Height, Length, Power, Reserve, SpeedLimit, Tilt, Voltage,
        WindSpeed,
    },
};

pub(crate) fn figures() -> Figures {
    let point = |(airspeed, watts)| PowerPoint {
        airspeed: Airspeed::new(airspeed).unwrap(),
        power: Power::new(watts).unwrap(),
    };
    let (height, length) = (|value| Height::new(value).unwrap(), |value| Length::new(value).unwrap());
    let (speed, time) = (|value| SpeedLimit::new(value).unwrap(), |value| Duration::new(value).unwrap());
    Figures {
        name: "invented quad".try_into().unwrap(),
        margins: Margins {
            fixed: length(0),
            reaction: time(0),
            brake_tilt: Tilt::new(45).unwrap(),
            up_fixed: length(0),
            people: None,
        },
        heights: Heights {
            ceiling: height(12_000),
            floor: height(0),
            ceiling_above_sea: None,
            ceiling_above_ground: None,
            ground_clearance: None,
        },
        air: None,
        aircraft: Aircraft {
            size: length(50),
            airspeed_max: speed(1400),
            speed_max: speed(1000),
            climb: speed(200),
            descent: speed(150),
        },
        wind: Wind { up_to: WindSpeed::new(0).unwrap(), from: None },
        homeward: ReturnHabits {
            height: height(2000),
            speed: speed(400),
            hold: time(500),
            landing: speed(50),
            landing_max: speed(100),
            disarm: Some(time(200)),
        },
        battery: Battery {
            capacity: Capacity::new(5000).unwrap(),
            cells: Cells::new(4).unwrap(),
            nominal: Voltage::new(1480).unwrap(),
            health: Health::new(90).unwrap(),
            reserve: Reserve::new(25).unwrap(),
            rest: None,
        },
        charge: None,
        power: PowerTable {
            points: [(0, 190), (500, 175), (1000, 230)].into_iter().map(point).collect(),
            climb: Power::new(260).unwrap(),
        },
        link: None,
        route: None,
        launch: None,
        readings: Freshness::default(),
    }
}

/// Counts of 1e-7 degree from launch: north, east.
pub(crate) type Counts = (i32, i32);

pub(crate) fn leg_at(frame: &Frame, (from, to): (Counts, Counts), heights: (i32, i32), speed: i32) -> Leg {
    let spot = |(north, east): Counts, height: i32| Spot {
        place: frame.local(frame.launch().offset(north, east).unwrap()).unwrap(),
        height,
    };
    let (from, to) = (spot(from, heights.0), spot(to, heights.1));
    Leg::new(frame, 2, Piece { motion: Motion::Fly, from, to, speed, margin_speed: speed, time: 0 })
}

/// A direction by its angle from north, rad.
fn heading(bearing: f64) -> Heading {
    let [east, north] = [bearing.sin(), bearing.cos()].map(|side| clamp_i32(nearest(side * f64::from(ONE))));
    Heading { east, north }
}

/// Whether a bearing is among headings: a quarter turn from it is among the angles to what is square to it. (The cosine of
/// the angle to the bearing itself tells where they end to a fiftieth of a degree alone.)
pub(crate) fn holds(headings: &Headings, bearing: f64) -> bool {
    let square = headings.cosines_with(heading(bearing + std::f64::consts::FRAC_PI_2));
    square.least <= 0 && square.most >= 0 && headings.cosines_with(heading(bearing)).most == ONE
}

/// Degrees of longitude between two positions, and their latitudes, all as radians.
fn radians(from: Position, to: Position) -> (f64, f64, f64) {
    let radians = |counts: i32| (f64::from(counts) * 1e-7).to_radians();
    (
        radians(to.longitude.get()) - radians(from.longitude.get()),
        radians(from.latitude.get()),
        radians(to.latitude.get()),
    )
}

/// The degrees from true north in which one leaves for another place on a sphere: by the shortest line, and by the one that is
/// straight in longitude and latitude.
pub(crate) fn bearings(from: Position, to: Position) -> [f64; 2] {
    let (east, one, other) = radians(from, to);
    let north = one.cos() * other.sin() - one.sin() * other.cos() * east.cos();
    [(east.sin() * other.cos()).atan2(north), (east * one.cos()).atan2(other - one)].map(f64::to_degrees)
}

/// What a line of the largest curvature at 75 degrees, and a little further north, turns over a length, degrees. Unit of the length: mm.
pub(crate) fn turn_at_75(length: f64) -> f64 {
    (length / 6.371e9 * 75.5_f64.to_radians().tan()).to_degrees()
}

/// Legs about a launch point at 75 degrees, where 1,000,000 counts are 2.9 km east or 11.2 km north: straight away from it, past it,
/// to it, through it, across, and a short one far away.
pub(crate) const LONG_LEGS: [(Counts, Counts); 9] = [
    ((0, 15_000_000), (0, 15_300_000)),
    ((0, -12_000_000), (10, 12_000_000)),
    ((0, 6_900_000), (0, 13_800_000)),
    ((0, 13_800_000), (0, 6_900_000)),
    ((2_600_000, 100_000), (1_300_000, 12_000_000)),
    ((-1_000_000, -12_000_000), (1_000_000, 12_000_000)),
    ((0, 0), (0, 13_800_000)),
    ((1_000_000, -12_000_000), (0, 0)),
    ((-3_500_000, 3_000_000), (3_500_000, 2_000_000)),
];

/// What tests are held to is held to something itself.
mod tests {
    use super::*;

    /// The shortest line leaves a parallel by half of what its length turns there.
    #[test]
    fn bearings_differ_by_half_of_what_a_line_turns() {
        let [from, to] = [0, 13_800_000].map(|longitude| Position::new(750_000_000, longitude).unwrap());
        let [shortest, straight] = bearings(from, to);
        let half = 1.38 / 2.0 * 75_f64.to_radians().sin();
        assert!((straight - 90.0).abs() < 1e-9 && (90.0 - shortest - half).abs() < 1e-3, "{shortest} {straight}");
    }

    /// 6,371 km turn by the tangent as a radian: 3.8667 of them.
    #[test]
    fn a_line_turns_by_its_curvature_for_every_mm() {
        let turn = turn_at_75(6.371e9);
        assert!((turn.to_radians() - 3.8667).abs() < 1e-4, "{turn}");
        assert!((turn_at_75(6.371e6) * 1000.0 - turn).abs() < 1e-9);
    }
}
