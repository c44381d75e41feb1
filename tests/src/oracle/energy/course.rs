//! Routes made to be hard: past launch, out and back, squares, slopes too steep for their speed, holds, landings far away.

use pinfold_core::{
    model::{limits::Figures, route::Step},
    rules::Aloft,
    units::{Charge, Duration},
};

use super::aircraft::speed;
use crate::{
    oracle::{sketch::Chart, space::dice::Dice},
    sample::{climb, duration, fly, height, position},
};

/// Most steps that are made.
const STEPS: usize = 12;

/// A point of the plane in metres east and north of launch.
type Plane = (f64, f64);

/// A route, and where the aircraft is if it is in the air already.
#[derive(Clone, Debug)]
pub struct Course {
    /// Its steps.
    pub steps: Vec<Step>,
    /// Where it starts, what is left to be said later.
    pub aloft: Option<Aloft>,
}

/// A route.
pub fn route(dice: &mut Dice, chart: Chart, figures: &Figures) -> Course {
    let aloft = dice.chance(0.2);
    let size = if dice.chance(0.06) { dice.magnitude(3000.0, 20_000.0) } else { dice.magnitude(1.0, 3000.0) };
    let path = path(dice, size, if aloft { 0 } else { 1 });
    let mut maker = Maker {
        dice,
        chart,
        steps: Vec::new(),
        height: 0,
        level: 0,
        usual: 0,
        homeward: figures.homeward.height.get(),
    };
    maker.usual = speed(maker.dice);
    maker.level = maker.any_height();
    let start = if aloft { Some(maker.start(size)) } else { None };
    if start.is_none() {
        maker.climb();
    }
    for place in path {
        maker.leg(place);
        maker.between();
    }
    maker.end();
    Course { steps: maker.steps, aloft: start }
}

fn away((east, north): Plane, degrees: f64, meters: f64) -> Plane {
    let (sin, cos) = degrees.to_radians().sin_cos();
    (east + meters * sin, north + meters * cos)
}

/// Where legs lead.
fn path(dice: &mut Dice, size: f64, least: i32) -> Vec<Plane> {
    let bearing = if dice.chance(0.3) { 90.0 * f64::from(dice.whole(0, 3)) } else { dice.between(0.0, 360.0) };
    let far = away((0.0, 0.0), bearing, size);
    match dice.whole(0, 6) {
        0 => vec![far],
        1 => vec![far, (0.0, 0.0)],
        2 => [0.0, 1.0, 1.0, 0.0]
            .iter()
            .zip([1.0, 1.0, 0.0, 0.0])
            .map(|(ahead, right)| away(away((0.0, 0.0), bearing, ahead * size), bearing + 90.0, right * size))
            .collect(),
        // Over launch, or past it.
        3 | 4 => {
            let beside = dice.pick(&[0.0, 0.011, 0.3, 3.0, size / 10.0, size]);
            let to = away((0.0, 0.0), bearing + 180.0, size * dice.between(0.1, 1.5));
            vec![far, away(to, bearing + 90.0, beside * dice.pick(&[-2.0, 1.0]))]
        }
        5 => (0..dice.whole(least, 4))
            .map(|_| {
                let bearing = dice.between(0.0, 360.0);
                away((0.0, 0.0), bearing, size * dice.share())
            })
            .collect(),
        _ => {
            let mut at = (0.0, 0.0);
            (0..dice.whole(least, 7))
                .map(|_| {
                    at =
                        away(at, bearing + 90.0 * f64::from(dice.whole(0, 3)), dice.magnitude(size / 50.0, size / 3.0));
                    at
                })
                .collect()
        }
    }
}

struct Maker<'a> {
    dice: &'a mut Dice,
    chart: Chart,
    steps: Vec<Step>,
    height: i32,
    level: i32,
    usual: i32,
    homeward: i32,
}

impl Maker<'_> {
    /// A height, often about that of the return.
    fn any_height(&mut self) -> i32 {
        let near = self.homeward + self.dice.whole(-300, 300);
        let low = self.dice.whole(100, 3000);
        let high = self.dice.whole(100, 11_900);
        self.dice.pick(&[near.clamp(100, 11_900), low, high])
    }

    fn start(&mut self, size: f64) -> Aloft {
        let bearing = self.dice.between(0.0, 360.0);
        let meters = if self.dice.chance(0.2) { 0.0 } else { size * self.dice.share() };
        let (latitude, longitude) = self.chart.counts(away((0.0, 0.0), bearing, meters));
        self.height = self.level;
        Aloft {
            position: position(latitude, longitude),
            height: height(self.level),
            left: Charge::new(0).expect("in range"),
        }
    }

    fn climb(&mut self) {
        if self.level > self.height {
            self.steps.push(climb(self.level));
            self.height = self.level;
        }
    }

    fn hold_time(&mut self) -> Duration {
        let time = self.dice.magnitude(100.0, 60_000.0);
        #[expect(clippy::cast_possible_truncation, reason = "ten minutes")]
        let time = duration(time as i32);
        time
    }

    fn leg(&mut self, place: Plane) {
        if self.steps.len() + 1 >= STEPS {
            return;
        }
        let speed = if self.dice.chance(0.6) { self.usual } else { speed(self.dice) };
        let to = if self.dice.chance(0.3) { self.any_height() } else { self.level };
        let mut step = fly(self.chart.counts(place), to, speed);
        if self.dice.chance(0.2) {
            let time = self.hold_time();
            if let Step::Fly { hold, .. } = &mut step {
                *hold = time;
            }
        }
        self.height = to;
        self.steps.push(step);
    }

    /// A hold or a climb, now and then.
    fn between(&mut self) {
        if self.steps.len() + 1 >= STEPS {
            return;
        }
        match self.dice.whole(0, 9) {
            0 => {
                let time = self.hold_time();
                self.steps.push(Step::Hold { time });
            }
            1 => {
                self.level = self.any_height();
                self.climb();
            }
            _ => {}
        }
    }

    fn end(&mut self) {
        self.steps.push(if self.dice.chance(0.4) { Step::Land } else { Step::Return });
    }
}
