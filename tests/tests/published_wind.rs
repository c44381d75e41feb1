//! Published examples of the wind triangle: the airspeed that a track and a ground speed ask for.
//!
//! Speeds in knots are flown as so many tenths of a metre per second: triangles don't know units.

use pinfold_core::{
    model::limits::{Wind, WindFrom},
    model::{route::Step, zone::ZoneKind},
    units::{Direction, SpeedLimit, Spread, WindSpeed},
    verdict::Rule,
};
use pinfold_tests::sample::{Site, climb, figures, fly, found, judge, launch, speed_limit};

/// A published triangle, speeds in 0.01 m/s.
struct Triangle {
    source: &'static str,
    /// Where the track leads, 1e-7 degree north and east.
    to: (i32, i32),
    wind_from: i32,
    wind: i32,
    airspeed: i32,
    ground_speed: i32,
}

const TRIANGLES: [Triangle; 3] = [
    Triangle {
        // Ground speed 88 kn there, 88.3348 kn by the formula. Inputs and ground speed as two reproductions of the chapter have them.
        source: "FAA-H-8083-25, Pilot's Handbook of Aeronautical Knowledge, navigation chapter, the wind triangle, steps 1 to 4: \
                 course 090, wind 045 at 40 kn, true airspeed 120 kn",
        to: (0, 100_000),
        wind_from: 45,
        wind: 400,
        airspeed: 1200,
        ground_speed: 883,
    },
    Triangle {
        // Ground speed 176 kn there, 175.9993 kn by the formula; restated on a public page.
        source: "EASA question bank: track 180, true airspeed 180 kn, wind 100 at 18 kn",
        to: (-100_000, 0),
        wind_from: 100,
        wind: 180,
        airspeed: 1800,
        ground_speed: 1760,
    },
    Triangle {
        source: "derived: a wind across of 6 and a ground speed of 8 make an airspeed of 10 exactly",
        to: (100_000, 0),
        wind_from: 90,
        wind: 600,
        airspeed: 1000,
        ground_speed: 800,
    },
];

#[test]
fn the_airspeed_is_that_of_the_published_triangle() {
    for Triangle { source, to, wind_from, wind, airspeed, ground_speed } in TRIANGLES {
        let from = WindFrom {
            direction: Direction::new(wind_from).expect("in range"),
            spread: Spread::new(0).expect("in range"),
        };
        let mut figures = figures();
        figures.wind = Wind { up_to: WindSpeed::new(wind).expect("in range"), from: Some(from) };
        figures.aircraft.airspeed_max = SpeedLimit::new(SpeedLimit::MAX).expect("in range");
        // So slow that the way home asks for little more than the wind itself.
        figures.homeward.speed = speed_limit(1);
        let ring = vec![(-200_000, -200_000), (-200_000, 200_000), (200_000, 200_000), (200_000, -200_000)];
        let site = Site::new(figures).polygon("around", ZoneKind::KeepIn, None, &[ring]).expect("room");
        let steps = [climb(2000), fly(to, 2000, ground_speed), Step::Land];
        let verdict = judge(&site.seal().expect("sound"), launch(0, 0), &steps);
        let spare = found(&verdict, Rule::Wind, None).and_then(|finding| finding.measure).expect("a measure").clearance;
        let needed = SpeedLimit::MAX - spare;
        // The ground speed is given to a hundredth of these, the airspeed rounded up.
        assert!((airspeed - 1..=airspeed + 1).contains(&needed), "{source}: {needed}");
    }
}
