//! Cases to compare on: sites and routes from a few numbers, all of which can shrink.

use pinfold_core::model::{
    limits::Figures,
    route::{Launch, Step},
    store::{LimitsError, LimitsStore},
    zone::{HeightBand, ZoneKind},
};
use proptest::{collection::vec, option, prelude::*};

use super::sketch::{Chart, Drawn, Plane, Sketch, bearing, magnitude, sketch, star, step_from};
use crate::sample::{Site, band, climb, duration, figures, fly, launch, length};

/// A case: everything that a verdict depends on.
#[derive(Clone, Debug)]
pub struct Case {
    /// All limits but the zones.
    pub figures: Figures,
    /// The zones; the first is to keep in.
    pub zones: Vec<(Drawn, Option<HeightBand>)>,
    /// Where the route begins.
    pub launch: Launch,
    /// Its steps.
    pub steps: Vec<Step>,
    /// Which zone to bring the margin close to, and how many centimetres beside the distance. Of a zone with heights it is the
    /// vertical margin where the number is beyond the zones.
    pub tune: Option<(usize, i32)>,
}

impl Case {
    /// The limits, sealed.
    ///
    /// # Errors
    /// The zones drawn are no polygons.
    pub fn store(&self) -> Result<Box<LimitsStore>, LimitsError> {
        let mut site = Site::new(self.figures.clone());
        for (number, (drawn, heights)) in self.zones.iter().enumerate() {
            let (name, kind) = (number.to_string(), if number == 0 { ZoneKind::KeepIn } else { ZoneKind::KeepOut });
            site = match drawn {
                Drawn::Rings(rings) => site.polygon(&name, kind, *heights, rings)?,
                Drawn::Circle(center, radius) => site.circle(&name, *heights, *center, *radius)?,
            };
        }
        site.seal()
    }
}

/// A fly step: bearing, share of the longest length, height in 0.01 m, speed in 0.01 m/s, hold in 0.01 s.
type Leg = (f64, f64, i32, i32, i32);

fn leg() -> impl Strategy<Value = Leg> {
    let heights = prop_oneof![2 => Just(3000), 1 => 2700..3300_i32, 1 => 150..11_000_i32];
    (bearing(), 0.0..1.0_f64, heights, 20..1000_i32, prop_oneof![Just(0), 0..3000_i32])
}

/// Where routes begin: everywhere, and where it is awkward.
fn start() -> impl Strategy<Value = (i32, i32)> {
    let latitude = prop_oneof![
        4 => -795_000_000..795_000_000_i32,
        1 => -20_000..20_000_i32,
        1 => 780_000_000..798_900_000_i32,
        1 => -798_900_000..-780_000_000_i32,
    ];
    let longitude = prop_oneof![
        3 => -1_800_000_000..=1_800_000_000_i32,
        1 => 1_799_900_000..=1_800_000_000_i32,
        1 => -1_800_000_000..-1_799_900_000_i32,
    ];
    (latitude, longitude)
}

/// Cases whose steps are a flight, a share of them with legs of kilometres.
pub fn case(far: f64) -> impl Strategy<Value = Case> {
    let margins = (0..2000_i32, 0..200_i32, 5..80_i32, 0..500_i32);
    let tune = option::weighted(0.7, (0..8_usize, -12..12_i32));
    let far = prop::bool::weighted(far);
    let parts = (start(), far, vec(leg(), 1..4), vec(sketch(), 0..4), sketch());
    (parts, margins, tune, any::<bool>()).prop_map(|((start, far, legs, sketches, outer), margins, tune, land)| {
        assemble(start, far, &legs, &sketches, &outer, margins, tune, land)
    })
}

#[expect(clippy::too_many_arguments, reason = "the strategy's parts")]
fn assemble(
    start: (i32, i32), far: bool, legs: &[Leg], sketches: &[Sketch], outer: &Sketch, margins: (i32, i32, i32, i32),
    tune: Option<(usize, i32)>, land: bool,
) -> Case {
    let chart = Chart::about(start.0, start.1);
    let mut path = vec![(0.0, 0.0)];
    let mut steps = vec![climb(legs[0].2)];
    for (bearing, share, height, speed, hold) in legs {
        path.push(next_point(*path.last().unwrap_or(&(0.0, 0.0)), *bearing, *share, far));
        let to = chart.counts(path[path.len() - 1]);
        let mut step = fly(to, *height, *speed);
        if let Step::Fly { hold: time, .. } = &mut step {
            *time = duration(*hold);
        }
        steps.push(step);
    }
    steps.push(if land { Step::Land } else { Step::Return });
    let mut figures = figures();
    figures.margins.fixed = length(margins.0);
    figures.margins.reaction = duration(margins.1);
    figures.margins.brake_tilt = pinfold_core::units::Tilt::new(margins.2).expect("in range");
    figures.margins.up_fixed = length(margins.3);
    let reach = path.iter().map(|(east, north)| east.hypot(*north)).fold(0.0, f64::max);
    let size = (reach + magnitude(outer.size, 1.0, 30_000.0)).min(44_000.0) * 1.1;
    let turn = outer.bearing;
    let mut zones = vec![(Drawn::Rings(vec![star(chart, (0.0, 0.0), turn, &wide(&outer.radii, far), size)]), None)];
    let heights = |sketch: &Sketch| sketch.band.map(|(floor, ceiling)| band(floor, ceiling));
    zones.extend(sketches.iter().map(|sketch| (sketch.draw(chart, &path, far), heights(sketch))));
    Case { figures, zones, launch: launch(start.0, start.1), steps, tune }
}

/// Where a leg leads: of far ones, every other anywhere within 40 km of launch.
fn next_point(from: Plane, bearing: f64, share: f64, far: bool) -> Plane {
    match (far, share < 0.5) {
        (false, _) => step_from(from, bearing, magnitude(share, 0.011, 500.0)),
        (true, true) => step_from(from, bearing, magnitude(2.0 * share, 2000.0, 13_000.0)),
        (true, false) => step_from((0.0, 0.0), bearing, magnitude(2.0 * share - 1.0, 5000.0, 40_000.0)),
    }
}

/// Radii of an outline that has its centre well inside, and of one that reaches far everywhere.
fn wide(radii: &[f64], far: bool) -> Vec<f64> {
    if far && radii.len().is_multiple_of(2) {
        return vec![1.0; 9];
    }
    radii.iter().map(|radius| 0.5 + 0.5 * radius).chain([0.8, 1.0]).collect()
}
