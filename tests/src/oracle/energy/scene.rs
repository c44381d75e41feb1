//! Cases: an aircraft, a route, and a pack that holds about what it takes.

use pinfold_core::{
    model::{
        limits::Figures,
        route::{Launch, Step},
        store::{LimitsError, LimitsStore},
        zone::ZoneKind,
    },
    rules::Readings,
};

use super::{
    aircraft::aircraft,
    course::{Course, route},
    judge::Case,
    tune::tune,
};
use crate::{
    oracle::{sketch::Chart, space::dice::Dice},
    sample::{Site, launch},
};

/// Farthest that the zone to keep in reaches from launch, in metres: its corners are within 50 km.
const REACH: f64 = 34_000.0;

/// All that a verdict depends on.
#[derive(Clone, Debug)]
pub struct Scene {
    /// All limits but the zone.
    pub figures: Figures,
    /// Where the route begins.
    pub launch: Launch,
    /// What is known at the field.
    pub readings: Readings,
    /// Its steps.
    pub steps: Vec<Step>,
}

impl Scene {
    /// A case of a campaign.
    #[must_use]
    pub fn new(dice: &mut Dice) -> Self {
        let chart = Chart::about(latitude(dice), longitude(dice));
        let (latitude, longitude) = chart.counts((0.0, 0.0));
        let figures = aircraft(dice);
        let Course { steps, aloft } = route(dice, chart, &figures);
        let readings = Readings { aloft, ..Readings::default() };
        let mut scene = Self { figures, launch: launch(latitude, longitude), readings, steps };
        tune(&mut scene, dice);
        scene
    }

    /// What the oracle looks at.
    #[must_use]
    pub const fn case(&self) -> Case<'_> {
        Case { figures: &self.figures, launch: &self.launch, readings: &self.readings, steps: self.steps.as_slice() }
    }

    /// The limits, sealed, with a wide square to keep in.
    ///
    /// # Errors
    /// The figures contradict themselves.
    pub fn store(&self) -> Result<Box<LimitsStore>, LimitsError> {
        let (latitude, longitude) = (self.launch.position.latitude.get(), self.launch.position.longitude.get());
        let chart = Chart::about(latitude, longitude);
        let square = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)];
        let ring = square.map(|(east, north)| chart.counts((east * REACH, north * REACH))).to_vec();
        Site::new(self.figures.clone()).polygon("in", ZoneKind::KeepIn, None, &[ring])?.seal()
    }
}

/// Everywhere up to 79 degrees, and where it is awkward.
fn latitude(dice: &mut Dice) -> i32 {
    match dice.whole(0, 5) {
        0 => dice.whole(-20_000, 20_000),
        1 => dice.whole(780_000_000, 790_000_000),
        2 => dice.whole(-790_000_000, -780_000_000),
        _ => dice.whole(-790_000_000, 790_000_000),
    }
}

fn longitude(dice: &mut Dice) -> i32 {
    match dice.whole(0, 3) {
        0 => dice.whole(1_799_900_000, 1_800_000_000),
        1 => dice.whole(-1_800_000_000, -1_799_900_000),
        _ => dice.whole(-1_800_000_000, 1_800_000_000),
    }
}
