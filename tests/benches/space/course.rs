//! The invented site and the routes over it: a keep-in zone with seven zones to keep out of, and legs of 30 to 150 m about
//! and between them, all of which may be flown.

use pinfold_core::{
    model::{
        limits::Figures,
        route::{Launch, Step},
        store::LimitsStore,
        zone::ZoneKind,
    },
    units::Voltage,
};
use pinfold_tests::{
    oracle::space::dice::Dice,
    sample::{Site, climb, figures, fly, launch},
};

use crate::planar::Plane;

/// Number of zones: the first is to keep in, the others are to keep out of.
pub(crate) const ZONES: usize = 8;
/// Vertices of each.
const CORNERS: u32 = 20;
/// Where the route begins, 1e-7 degree.
const LAUNCH: (i32, i32) = (475_000_000, 85_000_000);
/// How far every leg and every way home is from every edge at least, in metres: 11.82 m are demanded.
const APART: f64 = 12.5;
/// How long legs are, in metres.
const LEG: (f64, f64) = (30.0, 150.0);
/// 0.01 m and 0.01 m/s.
const HEIGHT: i32 = 2_000;
const SPEED: i32 = 400;

/// A place in 1e-7 degree: latitude, longitude.
pub(crate) type Place = (i32, i32);

/// A route and what it is held to.
pub(crate) struct Course {
    pub(crate) limits: Box<LimitsStore>,
    pub(crate) rings: Vec<Vec<Place>>,
    pub(crate) launch: Launch,
    pub(crate) steps: Vec<Step>,
    /// Launch, where each fly step leads, launch.
    pub(crate) path: Vec<Place>,
}

impl Course {
    /// A route of so many steps, the same one each time.
    pub(crate) fn new(count: usize) -> Self {
        let mut dice = Dice::of(20, 0);
        let rings = rings(&mut dice);
        let path = path(&mut dice, &rings, count - 2);
        let flights = path[1..path.len() - 1].iter().map(|place| fly(*place, HEIGHT, SPEED));
        let steps = [climb(HEIGHT)].into_iter().chain(flights).chain([Step::Return]).collect();
        Self { limits: limits(&rings), launch: launch(LAUNCH.0, LAUNCH.1), steps, path, rings }
    }
}

/// A place so many metres north and east of launch, about.
fn at((north, east): (f64, f64)) -> Place {
    const PER_METRE: f64 = 1e7 / 111_195.0;
    let narrow = (f64::from(LAUNCH.0) / 1e7).to_radians().cos();
    #[expect(clippy::cast_possible_truncation, reason = "some hundred metres")]
    let counts = |metres: f64| (metres * PER_METRE) as i32;
    (LAUNCH.0 + counts(north), LAUNCH.1 + counts(east / narrow))
}

fn rings(dice: &mut Dice) -> Vec<Vec<Place>> {
    let mut rings = vec![ring(dice, (0.0, 0.0), (380.0, 420.0))];
    for number in 1..=7 {
        let (bearing, away) = (f64::from(number) * std::f64::consts::TAU / 7.0, dice.between(160.0, 260.0));
        rings.push(ring(dice, (away * bearing.cos(), away * bearing.sin()), (18.0, 30.0)));
    }
    assert_eq!(rings.len(), ZONES);
    rings
}

/// Vertices in the order of their bearings from a middle, each as far from it as the dice say.
fn ring(dice: &mut Dice, middle: (f64, f64), (near, far): (f64, f64)) -> Vec<Place> {
    let turn = std::f64::consts::TAU / f64::from(CORNERS);
    let corner = |number| {
        let (bearing, away) = (f64::from(number) * turn, dice.between(near, far));
        at((middle.0 + away * bearing.cos(), middle.1 + away * bearing.sin()))
    };
    (0..CORNERS).map(corner).collect()
}

fn limits(rings: &[Vec<Place>]) -> Box<LimitsStore> {
    let mut site = Site::new(figures_for_long_routes());
    for (number, ring) in rings.iter().enumerate() {
        let kind = if number == 0 { ZoneKind::KeepIn } else { ZoneKind::KeepOut };
        site = site.polygon(&format!("zone {number}"), kind, None, std::slice::from_ref(ring)).expect("room");
    }
    site.seal().expect("sound limits")
}

/// A battery that no aircraft has: 10,000 steps are days of flight.
fn figures_for_long_routes() -> Figures {
    let mut figures = figures();
    figures.battery.nominal = Voltage::new(Voltage::MAX).expect("in range");
    figures
}

/// Legs by chance; those that come too near are thrown away.
fn path(dice: &mut Dice, rings: &[Vec<Place>], count: usize) -> Vec<Place> {
    let plane = Plane::new(LAUNCH, rings);
    let (mut here, mut path) = ((0.0, 0.0), vec![LAUNCH]);
    while path.len() <= count {
        let (length, bearing) = (dice.between(LEG.0, LEG.1), dice.between(0.0, std::f64::consts::TAU));
        let next = (here.0 + length * bearing.cos(), here.1 + length * bearing.sin());
        if plane.clearances(&[at(here), at(next)]).least() >= APART {
            path.push(at(next));
            here = next;
        }
    }
    path.push(LAUNCH);
    path
}
