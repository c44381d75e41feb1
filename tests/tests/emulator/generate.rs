//! Limits and routes by chance, the same ones each time: from a seed.

use pinfold_core::{
    model::{
        limits::{Figures, Freshness, Wind, WindFrom},
        route::{Launch, Step},
        store::LimitsStore,
        zone::{HeightBand, HeightReference, ZoneKind},
    },
    rules::{Aloft, PackReading, Readings},
    units::{Capacity, Charge, Direction, Spread, Voltage, WindSpeed},
    wire::{limits::pack_limits, route::pack_route},
};
use pinfold_tests::sample::{self, Site, climb, duration, fly, height, launch, position};

/// The invented quad on a board that wants to know whether it flies: as long as nobody says so, a Go waits, and nothing is latched.
fn figures() -> Figures {
    let readings = Freshness { flight: Some(duration(200)), ..Freshness::default() };
    Figures { readings, ..sample::figures() }
}

/// A sequence of numbers that look random (SplitMix64).
pub(crate) struct Chance(u64);

impl Chance {
    pub(crate) const fn new(seed: u64) -> Self {
        Self(seed)
    }

    pub(crate) fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^ (mixed >> 31)
    }

    /// A number from `low` up to and with `high`.
    pub(crate) fn between(&mut self, low: i32, high: i32) -> i32 {
        let span = u64::from(high.abs_diff(low)) + 1;
        low + i32::try_from(self.next() % span).expect("a span of an i32")
    }

    /// True once in so many times.
    pub(crate) fn once_in(&mut self, times: u64) -> bool {
        self.next().is_multiple_of(times)
    }
}

/// Where launch points are, 1e-7 degree: from the equator to 79 degrees, both sides of it, and about the antimeridian.
const LAUNCHES: [(i32, i32); 8] = [
    (0, 0),
    (12_345_678, 1_799_999_000),
    (-338_000_000, -1_799_998_500),
    (475_000_000, 85_000_000),
    (600_000_000, 1_800_000_000),
    (-600_000_000, -1_800_000_000),
    (789_990_000, 150_000_000),
    (-789_990_000, -1_799_999_999),
];

/// Where things are about a launch point.
#[derive(Clone, Copy)]
pub(crate) struct Place {
    launch: (i32, i32),
}

impl Place {
    pub(crate) fn number(number: usize) -> Self {
        Self { launch: LAUNCHES[number % LAUNCHES.len()] }
    }

    /// The point so many metres north and east, 1e-7 degree, about: exactness doesn't matter, being the same for board and host does.
    fn at(self, north: f64, east: f64) -> (i32, i32) {
        let per_metre = 1e7 / 111_195.0;
        let narrow = (f64::from(self.launch.0) / 1e7).to_radians().cos();
        #[expect(clippy::cast_possible_truncation, reason = "some hundred metres are far from the end of an i64")]
        let counts = |metres: f64| (metres * per_metre) as i64;
        let longitude = (i64::from(self.launch.1) + counts(east / narrow) + 1_800_000_000).rem_euclid(3_600_000_000);
        let latitude = i64::from(self.launch.0) + counts(north);
        (i32::try_from(latitude).expect("near"), i32::try_from(longitude - 1_800_000_000).expect("wrapped"))
    }

    /// A simple ring about a point: corners in the order of their bearings, each at a distance of its own.
    fn ring(self, chance: &mut Chance, center: (f64, f64), distances: (i32, i32), corners: u32) -> Vec<(i32, i32)> {
        let turn = std::f64::consts::TAU / f64::from(corners);
        (0..corners)
            .map(|corner| {
                let distance = f64::from(chance.between(distances.0, distances.1));
                let bearing = f64::from(corner) * turn;
                self.at(center.0 + distance * bearing.cos(), center.1 + distance * bearing.sin())
            })
            .collect()
    }
}

/// A height band of either reference; seldom none.
fn heights(chance: &mut Chance) -> Option<HeightBand> {
    let floor = chance.between(-5_000, 4_000);
    let ceiling = floor + chance.between(1, 6_000);
    let reference = if chance.once_in(3) { HeightReference::AboveSea } else { HeightReference::AboveLaunch };
    match chance.between(0, 3) {
        0 => None,
        1 => Some(HeightBand { reference, floor: Some(height(floor)), ceiling: None }),
        2 => Some(HeightBand { reference, floor: None, ceiling: Some(height(ceiling)) }),
        _ => Some(HeightBand { reference, floor: Some(height(floor)), ceiling: Some(height(ceiling)) }),
    }
}

/// A wind: seldom none, from anywhere or from somewhere.
fn wind(chance: &mut Chance) -> Wind {
    let from = WindFrom {
        direction: Direction::new(chance.between(0, 359)).expect("in range"),
        spread: Spread::new(chance.between(0, 180)).expect("in range"),
    };
    let from = if chance.once_in(3) { None } else { Some(from) };
    Wind { up_to: WindSpeed::new(chance.between(-100, 600).max(0)).expect("in range"), from }
}

/// What may be known at the field: often nothing, a pack's voltage, or an aircraft aloft.
pub(crate) fn readings(chance: &mut Chance, place: Place) -> Readings {
    let volts = Voltage::new(chance.between(1_400, 1_720)).expect("in range");
    let rested = if chance.once_in(3) { Some(duration(chance.between(0, 120_000))) } else { None };
    let at = place.at(f64::from(chance.between(-200, 200)), f64::from(chance.between(-200, 200)));
    let aloft = Aloft {
        position: position(at.0, at.1),
        height: height(chance.between(500, 3_000)),
        left: Charge::new(chance.between(0, 60_000)).expect("in range"),
    };
    match chance.between(0, 3) {
        0 => Readings { pack: Some(PackReading { voltage: volts, rested }), ..Readings::NONE },
        1 => Readings { aloft: Some(aloft), ..Readings::NONE },
        _ => Readings::NONE,
    }
}

/// Limits about a place: one keep-in zone, up to seven keep-out zones of both shapes.
pub(crate) fn limits(chance: &mut Chance, place: Place) -> Box<LimitsStore> {
    let corners = u32::try_from(chance.between(3, 40)).expect("positive");
    let keep_in = place.ring(chance, (0.0, 0.0), (250, 400), corners);
    let mut figures = figures();
    figures.margins.reaction = duration(chance.between(0, 200));
    figures.wind = wind(chance);
    figures.battery.capacity = Capacity::new(chance.between(500, 4_000)).expect("in range");
    let mut site = Site::new(figures).polygon("keep-in", ZoneKind::KeepIn, None, &[keep_in]).expect("room");
    for number in 0..chance.between(0, 7) {
        let center = (f64::from(chance.between(-250, 250)), f64::from(chance.between(-250, 250)));
        let (name, band) = (format!("zone {number}"), heights(chance));
        let corners = u32::try_from(chance.between(3, 12)).expect("positive");
        site = if chance.once_in(3) {
            site.circle(&name, band, place.at(center.0, center.1), chance.between(1, 4_000)).expect("room")
        } else {
            let ring = place.ring(chance, center, (5, 60), corners);
            site.polygon(&name, ZoneKind::KeepOut, band, &[ring]).expect("room")
        };
    }
    site.seal().expect("sound limits")
}

/// The largest limits: 16 zones with 256 vertices in all, all of them where the route of [`far_leg`] can't skip them.
pub(crate) fn largest_limits(place: Place) -> Box<LimitsStore> {
    let mut chance = Chance::new(16);
    let keep_in = place.ring(&mut chance, (0.0, 0.0), (395, 400), 16);
    let mut figures = figures();
    // From anywhere: the most sectors that there are.
    figures.wind = Wind { up_to: WindSpeed::new(400).expect("in range"), from: None };
    let mut site = Site::new(figures).polygon("keep-in", ZoneKind::KeepIn, None, &[keep_in]).expect("room");
    for number in 0..15 {
        let bearing = f64::from(number) * std::f64::consts::TAU / 15.0;
        let center = (200.0 * bearing.cos(), 200.0 * bearing.sin());
        let ring = place.ring(&mut chance, center, (15, 20), 16);
        let band = HeightBand { reference: HeightReference::AboveLaunch, floor: Some(height(500)), ceiling: None };
        site = site.polygon(&format!("zone {number}"), ZoneKind::KeepOut, Some(band), &[ring]).expect("room");
    }
    site.seal().expect("sound limits")
}

/// The smallest limits: one zone with three vertices.
pub(crate) fn smallest_limits(place: Place) -> Box<LimitsStore> {
    let keep_in = place.ring(&mut Chance::new(3), (0.0, 0.0), (700, 700), 3);
    Site::new(figures()).polygon("keep-in", ZoneKind::KeepIn, None, &[keep_in]).expect("room").seal().expect("sound")
}

/// A route of `count` steps between climb and return, within `reach` metres of launch.
pub(crate) fn long_route(chance: &mut Chance, place: Place, count: usize, reach: i32) -> (Launch, Vec<Step>) {
    let mut steps = vec![climb(1_500)];
    for _ in 0..count {
        let point = place.at(f64::from(chance.between(-reach, reach)), f64::from(chance.between(-reach, reach)));
        steps.push(fly(point, chance.between(1_000, 2_500), chance.between(100, 400)));
    }
    steps.push(Step::Return);
    (launch(place.launch.0, place.launch.1), steps)
}

/// A route as a person may send it: usually flyable, sometimes wrong in one way or another.
pub(crate) fn route(chance: &mut Chance, place: Place) -> (Launch, Vec<Step>) {
    let reach = if chance.once_in(3) { 250 } else { 80 };
    let count = usize::try_from(chance.between(1, 8)).expect("positive");
    let (mut launch, mut steps) = long_route(chance, place, count, reach);
    if chance.once_in(2) {
        launch.elevation = Some(height(chance.between(-1_000, 3_000)));
    }
    match chance.between(0, 20) {
        0 => steps.insert(0, Step::Land),
        1 => steps.push(Step::Land),
        2 => steps.truncate(1),
        3 => steps.clear(),
        4 => steps.insert(1, fly(place.at(60_000.0, 0.0), 1_500, 300)),
        5 => steps.insert(1, fly(place.launch, 30_000, chance.between(-10, 3_000))),
        6 => steps.insert(1, Step::Hold { time: duration(chance.between(0, 600_000)) }),
        7 => steps.extend([Step::Return, Step::Return]),
        _ => {}
    }
    (launch, steps)
}

/// Packed limits.
pub(crate) fn packed_limits(store: &LimitsStore) -> Vec<u8> {
    let mut bytes = Vec::new();
    pack_limits(store.limits().expect("sealed"), &mut |piece| bytes.extend_from_slice(piece));
    bytes
}

/// A packed route in the parts that it consists of: four of the envelope and the launch point, one for each step, the checksum.
pub(crate) fn packed_route_parts(launch: &Launch, steps: &[Step]) -> Vec<Vec<u8>> {
    let mut parts = Vec::new();
    pack_route(launch, steps.iter(), &mut |part| parts.push(part.to_vec())).expect("not too many steps");
    assert_eq!(parts.len(), steps.len() + 5, "magic, kind, length, head, steps, checksum");
    parts
}

/// A packed route.
pub(crate) fn packed_route(launch: &Launch, steps: &[Step]) -> Vec<u8> {
    packed_route_parts(launch, steps).concat()
}
