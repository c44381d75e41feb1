//! Cases: limits, a route, and zones that are brought as near to it as they may be, or a little nearer.

use pinfold_core::{
    geometry::position::Position,
    model::{
        limits::{Figures, LaunchSpot, Link},
        route::{Launch, Step},
        store::{LimitsError, LimitsStore},
        zone::{HeightBand, ZoneKind},
    },
    units::{SpeedLimit, Temperature, Tilt},
};

use super::{
    compare::Judge,
    dice::Dice,
    lay::{Ground, lay},
    place::place_zones,
    zone::{Outline, Zone},
};
use crate::{
    oracle::{
        flight::{home, hundredths, local},
        sketch::{Chart, Drawn},
    },
    sample::{Site, climb, duration, figures, fly, height, launch, length, position, speed_limit},
};

/// A point of the plane in metres east and north of launch.
pub type Plane = (f64, f64);

/// A zone as drawn.
#[derive(Clone, Debug)]
pub struct Draft {
    /// What it is for.
    pub kind: ZoneKind,
    /// Its outline.
    pub drawn: Drawn,
    /// Its heights.
    pub heights: Option<HeightBand>,
}

/// All that a verdict depends on.
#[derive(Clone, Debug)]
pub struct Scene {
    /// All limits but the zones.
    pub figures: Figures,
    /// Zones, the one to keep in first.
    pub zones: Vec<Draft>,
    /// Where the route begins.
    pub launch: Launch,
    /// Its steps.
    pub steps: Vec<Step>,
    /// Ground data.
    pub ground: Option<Ground>,
    /// Where the aircraft stands.
    pub here: Option<Position>,
}

impl Scene {
    /// A case of a campaign.
    #[must_use]
    pub fn new(dice: &mut Dice) -> Self {
        let chart = Chart::about(latitude(dice), longitude(dice));
        let path = path(dice);
        let figures = limits(dice);
        let steps = steps(dice, chart, &path, &figures);
        let (latitude, longitude) = chart.counts((0.0, 0.0));
        let mut launch = launch(latitude, longitude);
        launch.elevation = Some(height(dice.whole(-5000, 300_000)));
        let mut scene = Self { figures, zones: Vec::new(), launch, steps, ground: None, here: None };
        if dice.chance(0.3) {
            lay(&mut scene, dice);
        }
        set_ranges(&mut scene, dice, chart);
        place_zones(&mut scene, dice, chart, &path);
        scene
    }

    /// What there is to be known of it, but for its zones.
    #[must_use]
    pub fn judge(&self) -> Judge {
        Judge::new(&self.figures, &self.launch, &self.steps, self.ground.as_ref())
    }

    /// A zone of it, seen from launch.
    #[must_use]
    pub fn zone(&self, number: usize) -> Zone {
        let draft = &self.zones[number];
        let seen = |place: (i32, i32)| local(&self.launch, position(place.0, place.1));
        let outline = match &draft.drawn {
            Drawn::Rings(rings) => {
                Outline::Rings(rings.iter().map(|ring| ring.iter().map(|place| seen(*place)).collect()).collect())
            }
            Drawn::Circle(center, radius) => Outline::Circle(seen(*center), hundredths(*radius)),
        };
        Zone::new(&self.launch, u8::try_from(number).unwrap_or(u8::MAX), draft.kind, outline, draft.heights)
    }

    /// The limits, sealed.
    ///
    /// # Errors
    /// The zones drawn are no polygons.
    pub fn store(&self) -> Result<Box<LimitsStore>, LimitsError> {
        let mut site = Site::new(self.figures.clone());
        for (number, zone) in self.zones.iter().enumerate() {
            let name = number.to_string();
            site = match &zone.drawn {
                Drawn::Rings(rings) => site.polygon(&name, zone.kind, zone.heights, rings)?,
                Drawn::Circle(center, radius) => site.circle_of(&name, zone.kind, zone.heights, *center, *radius)?,
            };
        }
        if let Some((plan, cells)) = &self.ground {
            site = site.ground(*plan, cells);
        }
        site.seal()
    }
}

fn latitude(dice: &mut Dice) -> i32 {
    match dice.whole(0, 9) {
        0 => dice.whole(-20_000, 20_000),
        1 => dice.whole(780_000_000, 798_000_000),
        2 => -dice.whole(780_000_000, 798_000_000),
        _ => dice.whole(-795_000_000, 795_000_000),
    }
}

fn longitude(dice: &mut Dice) -> i32 {
    match dice.whole(0, 5) {
        0 => dice.whole(1_799_999_000, 1_800_000_000),
        1 => dice.whole(-1_800_000_000, -1_799_999_000),
        _ => dice.whole(-1_800_000_000, 1_800_000_000),
    }
}

/// Where the legs lead.
fn path(dice: &mut Dice) -> Vec<Plane> {
    let longest = match dice.whole(0, 39) {
        0..=2 => dice.magnitude(5000.0, 40_000.0),
        3..=8 => dice.magnitude(500.0, 5000.0),
        _ => dice.magnitude(1.0, 500.0),
    };
    let mut path = vec![(0.0, 0.0)];
    let legs = dice.pick(&[1, 2, 2, 2, 3]);
    let first = longest * dice.magnitude(0.01, 1.0);
    path.push(away((0.0, 0.0), bearing(dice), first.max(0.3)));
    while path.len() <= legs {
        let last = path[path.len() - 1];
        path.push(next(dice, last, longest));
    }
    path
}

/// A bearing, the straight ones often.
pub(super) fn bearing(dice: &mut Dice) -> f64 {
    if dice.chance(0.3) { 45.0 * f64::from(dice.whole(0, 7)) } else { dice.between(0.0, 360.0) }
}

pub(super) fn away((east, north): Plane, degrees: f64, meters: f64) -> Plane {
    let (sin, cos) = degrees.to_radians().sin_cos();
    (east + meters * sin, north + meters * cos)
}

/// The next point: anywhere, in line with launch, beside it, or at it.
fn next(dice: &mut Dice, last: Plane, longest: f64) -> Plane {
    let point = match dice.whole(0, 9) {
        0 => {
            let factor = dice.pick(&[2.0, 3.0, 0.5, -1.0, -0.5]);
            (factor * last.0, factor * last.1)
        }
        1 => {
            let factor = dice.between(-1.5, -0.2);
            let aside = dice.magnitude(0.02, 20.0);
            away((factor * last.0, factor * last.1), bearing(dice), aside)
        }
        2 => (0.0, 0.0),
        _ => away(last, bearing(dice), longest * dice.magnitude(0.02, 1.0)),
    };
    let far = point.0.hypot(point.1);
    if far > 40_000.0 { (point.0 * 40_000.0 / far, point.1 * 40_000.0 / far) } else { point }
}

fn limits(dice: &mut Dice) -> Figures {
    let mut figures = figures();
    figures.margins.fixed = length(if dice.chance(0.15) { 0 } else { dice.whole(0, 2000) });
    figures.margins.reaction = duration(if dice.chance(0.2) { 0 } else { dice.whole(0, 200) });
    figures.margins.brake_tilt = Tilt::new(dice.whole(10, 80)).expect("in range");
    figures.margins.up_fixed = length(if dice.chance(0.15) { 0 } else { dice.whole(0, 500) });
    figures.homeward.height = height(dice.whole(200, 6000));
    figures.homeward.speed = speed_limit(dice.whole(1, SpeedLimit::MAX.min(1000)));
    if dice.chance(0.25) {
        let (one, other) = (dice.whole(-400, 450), dice.whole(-400, 450));
        let tenths = |value: i32| Temperature::new(value).expect("in range");
        figures.air =
            Some(pinfold_core::model::limits::Air { coldest: tenths(one.min(other)), warmest: tenths(one.max(other)) });
    }
    figures
}

fn steps(dice: &mut Dice, chart: Chart, path: &[Plane], figures: &Figures) -> Vec<Step> {
    let home = figures.homeward.height.get();
    let (near, any) = (home + dice.whole(-150, 150), dice.whole(300, 11_000));
    let mut level = dice.pick(&[home, near, any]).max(150);
    let mut steps = vec![climb(level)];
    for point in &path[1..] {
        if dice.chance(0.5) {
            let (low, any) = (dice.whole(150, 3000), dice.whole(300, 11_000));
            level = dice.pick(&[home, low, any]);
        }
        let speed = dice.whole(20, 1000);
        steps.push(fly(chart.counts(*point), level, speed));
        if dice.chance(0.1) {
            steps.push(Step::Hold { time: duration(dice.whole(0, 500)) });
        }
        if dice.chance(0.1) {
            level += dice.whole(50, 2000);
            steps.push(climb(level));
        }
    }
    steps.push(if dice.chance(0.7) { Step::Land } else { Step::Return });
    steps
}

/// Ceilings, floor, radio range and launch spot near what the route needs.
fn set_ranges(scene: &mut Scene, dice: &mut Dice, chart: Chart) {
    let judge = scene.judge();
    #[expect(clippy::cast_possible_truncation, reason = "some kilometres in centimetres")]
    let centimetres = |meters: f64| (meters * 100.0).round() as i32;
    let beside = |dice: &mut Dice| centimetres(dice.between(-0.15, 0.2));
    if dice.chance(0.5) {
        let station = away((0.0, 0.0), bearing(dice), dice.magnitude(0.1, 3000.0));
        let station = dice.chance(0.5).then(|| chart.counts(station)).map(|place| position(place.0, place.1));
        let needed = judge.farthest(station);
        let range = length((centimetres(needed * 1.0005) + beside(dice)).clamp(0, 9_000_000));
        scene.figures.link = Some(Link { range, station });
    }
    if dice.chance(0.5) {
        let lengths = (judge.farthest(None) * 1.0005 - 20.0) / 327.0;
        scene.figures.aircraft.size = length(centimetres(lengths).clamp(1, 9_000_000));
    }
    if dice.chance(0.5) {
        let here = chart.counts(away((0.0, 0.0), bearing(dice), dice.magnitude(0.01, 200.0)));
        let here = position(here.0, here.1);
        let far = home(&scene.launch).ground((0, 0)).meters_to(home(&scene.launch).ground(local(&scene.launch, here)));
        scene.figures.launch = Some(LaunchSpot { within: length((centimetres(far) + beside(dice)).max(0)) });
        scene.here = Some(here);
    }
    let (lowest, highest) = judge.levels();
    if dice.chance(0.4) {
        let ceiling = (centimetres(highest) + beside(dice)).max(scene.figures.homeward.height.get());
        scene.figures.heights.ceiling = height(ceiling.clamp(-900_000, 900_000));
        let floor = (centimetres(lowest) + beside(dice)).min(ceiling);
        scene.figures.heights.floor = height(floor.clamp(-900_000, 900_000));
    }
    if let Some(launch) = scene.launch.elevation.filter(|_| dice.chance(0.4)) {
        let sea = launch.get() + centimetres(highest) + beside(dice);
        scene.figures.heights.ceiling_above_sea = Some(height(sea.clamp(-900_000, 900_000)));
    }
}
