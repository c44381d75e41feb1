//! Published examples of the wind triangle: the airspeed and the heading that a course and a ground speed ask for.
//!
//! Knots are flown as so many tenths of a metre per second: triangles don't know units.

use pinfold_core::{
    model::{
        limits::{Wind, WindFrom},
        route::Step,
        zone::ZoneKind,
    },
    units::{Direction, SpeedLimit, Spread, WindSpeed},
    verdict::Rule,
};
use pinfold_tests::{
    oracle::energy::wind::through_air,
    sample::{Site, climb, figures, fly, found, judge, launch, speed_limit},
};

/// A published triangle. Speeds in its own unit, directions in degrees.
struct Triangle {
    source: &'static str,
    course: f64,
    wind_from: i32,
    wind: f64,
    airspeed: f64,
    ground_speed: f64,
    heading: f64,
    /// What the published figures are rounded to: speeds, directions.
    off: (f64, f64),
}

const TRIANGLES: [Triangle; 7] = [
    Triangle {
        // Course, wind, airspeed and ground speed as two reproductions of the chapter have them; the heading from memory.
        source: "FAA-H-8083-25, Pilot's Handbook of Aeronautical Knowledge, navigation, the wind triangle, steps 1 to 4",
        course: 90.0,
        wind_from: 45,
        wind: 40.0,
        airspeed: 120.0,
        ground_speed: 88.0,
        heading: 76.0,
        off: (0.5, 0.5),
    },
    Triangle {
        // As a public page restates it.
        source: "EASA question bank: track 180, true airspeed 180 kn, wind 100 at 18 kn",
        course: 180.0,
        wind_from: 100,
        wind: 18.0,
        airspeed: 180.0,
        ground_speed: 176.0,
        heading: 174.0,
        off: (0.5, 0.5),
    },
    Triangle {
        // Heading and airspeed are given there; the track is 304 there and 303.6901 by the formula.
        source: "mathematics for air crews, 1943, Smithsonian transcription, exercise 2",
        course: 303.6901,
        wind_from: 45,
        wind: 30.0,
        airspeed: 150.0,
        ground_speed: 153.0,
        heading: 315.0,
        off: (0.5, 0.01),
    },
    Triangle {
        source: "navigation by drawing, museum transcription, example 16: read off a drawing, good to one unit",
        course: 94.0,
        wind_from: 154,
        wind: 34.0,
        airspeed: 165.0,
        ground_speed: 146.0,
        heading: 104.0,
        off: (1.0, 1.0),
    },
    Triangle {
        source: "derived: 6 across and 8 along are 10, at the angle of a triangle of 3, 4 and 5",
        course: 0.0,
        wind_from: 90,
        wind: 6.0,
        airspeed: 10.0,
        ground_speed: 8.0,
        heading: 36.8699,
        off: (1e-9, 1e-4),
    },
    Triangle {
        source: "derived: as fast as the wind and against it gets nowhere",
        course: 0.0,
        wind_from: 0,
        wind: 5.0,
        airspeed: 5.0,
        ground_speed: 0.0,
        heading: 0.0,
        off: (1e-9, 1e-9),
    },
    Triangle {
        source: "derived: hardly faster than the wind",
        course: 45.0,
        wind_from: 0,
        wind: 7.9,
        airspeed: 8.0,
        ground_speed: 0.140_548,
        heading: 0.711_8,
        off: (1e-6, 1e-3),
    },
];

impl Triangle {
    /// The ground speed by the formula that goes with the examples, and the angle between course and heading, in degrees.
    fn solved(&self) -> (f64, f64) {
        let angle = (f64::from(self.wind_from) - self.course).to_radians();
        let correction = (self.wind / self.airspeed * angle.sin()).asin();
        (self.airspeed * correction.cos() - self.wind * angle.cos(), correction.to_degrees())
    }
}

#[test]
fn the_oracle_turns_a_triangle_the_wrong_way() {
    for triangle in TRIANGLES {
        let (ground_speed, correction) = triangle.solved();
        let source = triangle.source;
        assert!((ground_speed - triangle.ground_speed).abs() <= triangle.off.0, "{source}: {ground_speed}");
        let air = through_air((ground_speed, triangle.course), (triangle.wind, f64::from(triangle.wind_from)));
        let heading = air.0.atan2(air.1).to_degrees().rem_euclid(360.0);
        assert!((air.0.hypot(air.1) - triangle.airspeed).abs() < 1e-9, "{source}: {air:?}");
        assert!((heading - triangle.course - correction).abs() < 1e-6, "{source}: {heading}");
        assert!((heading - triangle.heading).abs() <= triangle.off.1, "{source}: {heading}");
    }
}

/// Counts of a published speed.
#[expect(clippy::cast_possible_truncation, reason = "some hundreds")]
fn counts(speed: f64, scale: f64) -> i32 {
    (speed * scale).round() as i32
}

/// Where a course leads in a kilometre from launch on the equator: 1e-7 degree north and east.
#[expect(clippy::cast_possible_truncation, reason = "a hundredth of a degree")]
fn target(course: f64) -> (i32, i32) {
    const NORTH: f64 = 110_574.3;
    const EAST: f64 = 111_319.5;
    let (east, north) = course.to_radians().sin_cos();
    ((north * 1e10 / NORTH).round() as i32, (east * 1e10 / EAST).round() as i32)
}

/// The airspeed that a leg is said to need, in the triangle's unit.
fn said(triangle: &Triangle, scale: f64) -> f64 {
    let from = WindFrom {
        direction: Direction::new(triangle.wind_from).expect("in range"),
        spread: Spread::new(0).expect("in range"),
    };
    let mut figures = figures();
    figures.wind = Wind { up_to: WindSpeed::new(counts(triangle.wind, scale)).expect("in range"), from: Some(from) };
    figures.aircraft.airspeed_max = speed_limit(SpeedLimit::MAX);
    // So slow that the way home asks for little more than the wind itself.
    figures.homeward.speed = speed_limit(1);
    let ring = vec![(-200_000, -200_000), (-200_000, 200_000), (200_000, 200_000), (200_000, -200_000)];
    let site = Site::new(figures).polygon("around", ZoneKind::KeepIn, None, &[ring]).expect("room");
    let ground_speed = counts(triangle.solved().0, scale);
    let steps = [climb(2000), fly(target(triangle.course), 2000, ground_speed), Step::Land];
    let verdict = judge(&site.seal().expect("sound"), launch(0, 0), &steps);
    let spare = found(&verdict, Rule::Wind, None).and_then(|finding| finding.measure).expect("a measure").clearance;
    f64::from(SpeedLimit::MAX - spare) / scale
}

#[test]
fn the_airspeed_is_not_that_of_the_published_triangle() {
    // Where the wind helps, less of it takes more airspeed; and nobody flies at no ground speed.
    let against = TRIANGLES.into_iter().filter(|one| one.airspeed > one.ground_speed && one.ground_speed > 0.0);
    for triangle in against {
        let scale = if triangle.airspeed > 100.0 { 10.0 } else { 100.0 };
        let said = said(&triangle, scale);
        // A count is lost by rounding the ground speed, another by rounding the airspeed up.
        let off = 2.0 / scale;
        assert!((said - triangle.airspeed).abs() <= off, "{}: {said}", triangle.source);
    }
}
