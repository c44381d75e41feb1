//! Ways home from parts of legs, and true bearings and lengths worked out on the ellipsoid in f64.

use super::{super::heading::ONE, *};
use crate::{
    arithmetic::{clamp_i32, nearest},
    geometry::{plane::Chord, position::Position},
    model::limits::Wind,
    rules::energy::samples::{Counts, figures, holds, leg_at},
    units::WindSpeed,
};

fn leg(frame: &Frame, ends: (Counts, Counts)) -> Leg {
    leg_at(frame, ends, (1000, 1000), 500)
}

fn windy() -> Figures {
    Figures { wind: Wind { up_to: WindSpeed::new(300).unwrap(), from: None }, ..figures() }
}

/// The stretches of legs past launch, to launch, from launch, through it, and far from it.
const LEGS: [((i32, i32), (i32, i32)); 6] = [
    ((10_000, -20_000), (10_000, 20_000)),
    ((10_000, 5_000), (0, 0)),
    ((0, 0), (-5_000, 10_000)),
    ((-7_000, -7_000), (7_000, 7_000)),
    ((40_000, 1_000), (40_000, 2_000)),
    ((100, -30_000), (100, 50_000)),
];

#[test]
fn stretches_follow_each_other_from_the_end_to_the_beginning() {
    let frame = Frame::new(Position::new(470_000_000, 80_000_000).unwrap()).unwrap();
    let figures = windy();
    for ends in LEGS {
        let leg = leg(&frame, ends);
        let mut next = WHOLE;
        for Stretch { ends: [from, to], .. } in WaysHome::new(&figures, &frame, &leg).stretches() {
            assert_eq!(to.part, next);
            assert!(from.part < to.part);
            next = from.part;
        }
        assert_eq!(next, 0);
    }
}

#[test]
fn headings_of_a_stretch_hold_every_way_home_from_it() {
    let frame = Frame::new(Position::new(470_000_000, 80_000_000).unwrap()).unwrap();
    let figures = windy();
    for ends in LEGS {
        let leg = leg(&frame, ends);
        for Stretch { ends: [from, to], headings } in WaysHome::new(&figures, &frame, &leg).stretches() {
            for number in 0..=32 {
                let part = from.part.wrapping_add(to.part.wrapping_sub(from.part).wrapping_mul(number) / 32);
                let place = frame.plane(leg.point(part));
                let Some(home) = Heading::between(place, PlanePoint::ORIGIN) else { continue };
                let cosines = headings.cosines(&Headings::one(home, 0));
                assert_eq!(cosines.most, ONE, "{ends:?} {part}");
            }
        }
    }
}

#[test]
fn a_way_home_takes_its_length_at_the_speed_of_the_return() {
    let frame = Frame::new(Position::new(0, 0).unwrap()).unwrap();
    let (figures, leg) = (figures(), leg(&frame, ((0, 0), (0, 100_000))));
    let ways = WaysHome::new(&figures, &frame, &leg);
    // 1,113.195 m at 4 m/s, with 6.1e-5 and some mm more; half of it from the middle.
    let time = |part| ways.time_ceil(&ways.begin(part));
    assert_eq!(time(0), 0);
    assert!((278_299..=278_320).contains(&time(WHOLE)), "{}", time(WHOLE));
    assert!((139_150..=139_163).contains(&time(WHOLE / 2)), "{}", time(WHOLE / 2));
    assert_eq!(WaysHome::time_before_ceil(&ways.begin(WHOLE / 4), 1000), 251);
    assert_eq!(WaysHome::time_before_ceil(&ways.begin(WHOLE), 1000), 1000);
}

#[test]
fn what_is_upright_is_the_rise_the_hold_and_the_descent() {
    let frame = Frame::new(Position::new(0, 0).unwrap()).unwrap();
    let (figures, leg) = (figures(), leg(&frame, ((0, 0), (0, 100_000))));
    let ways = WaysHome::new(&figures, &frame, &leg);
    // From 10 m to 20 m at 2 m/s and 260 W; 5 s and 20 m down at 0.5 m/s at 190 W.
    assert_eq!(ways.upright_ceil(&ways.begin(0)), Some(5_000 * 260_000 + 45_000 * 190_000));
}

#[test]
fn how_near_a_line_comes_is_never_said_too_large() {
    let at = |east, north| PlanePoint { east, north };
    for (from, to) in
        [(at(100, -50), at(100, 50)), (at(10, 0), at(1000, 0)), (at(50, 50), at(70, 200)), (at(-5, 9), at(8, -3))]
    {
        let exact = Chord::new(from, to).distance_floor(PlanePoint::ORIGIN);
        let found = nearest_floor(from, to);
        assert!(found <= exact + 1 && found * 10 >= exact * 7 - 20, "{from:?} {to:?}: {found} {exact}");
    }
}

/// A short line far away: cut to whole mm, its length makes the distance too large by a tenth.
#[test]
fn how_near_a_short_line_comes_is_told_with_its_length_rounded_up() {
    let ends = [-5, 5].map(|north| PlanePoint { east: 1_000_000, north });
    assert!((700_000..=1_000_000).contains(&nearest_floor(ends[0], ends[1])));
}

#[test]
fn along_the_chord_a_reading_can_be_off_by_half_the_bow() {
    let frame = Frame::new(Position::new(750_000_000, 0).unwrap()).unwrap();
    let figures = windy();
    let bows = [100_000, 300_000, 1_000_000, 2_000_000, 5_000_000].map(|east| {
        let leg = leg(&frame, ((50_000, -east), (50_000, east)));
        let (bow, along) = (leg.line.bow, WaysHome::new(&figures, &frame, &leg).along);
        assert!(along * 2 >= bow && along * 2 <= bow + 1, "{along} {bow}");
        bow
    });
    assert!(bows.iter().any(|bow| bow % 2 == 1), "one that can't be halved: {bows:?}");
}

/// WGS 84 in f64: a place on the ellipsoid, m, what is up, east and north there, and the m in a radian of longitude and of
/// latitude.
struct Station {
    place: [f64; 3],
    up: [f64; 3],
    east: [f64; 3],
    north: [f64; 3],
    scale: [f64; 2],
}

/// A place by longitude (east of launch) and latitude, rad.
fn station([longitude, latitude]: [f64; 2]) -> Station {
    const SQUARE: f64 = 0.006_694_379_990_141_317;
    let ((sine, cosine), (across, along)) = (latitude.sin_cos(), longitude.sin_cos());
    let share = 1.0 - SQUARE * sine * sine;
    let normal = 6_378_137.0 / share.sqrt();
    let radius = normal * cosine;
    Station {
        place: [radius * along, radius * across, normal * (1.0 - SQUARE) * sine],
        up: [cosine * along, cosine * across, sine],
        east: [-across, along, 0.0],
        north: [-sine * along, -sine * across, cosine],
        scale: [radius, normal * (1.0 - SQUARE) / share],
    }
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn cross(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

fn between(from: [f64; 2], to: [f64; 2], share: f64) -> [f64; 2] {
    [from[0] + (to[0] - from[0]) * share, from[1] + (to[1] - from[1]) * share]
}

/// A launch point's latitude, rad: what true bearings home are worked out about.
#[derive(Clone, Copy)]
struct Home(f64);

impl Home {
    fn launch(self) -> [f64; 2] {
        [0.0, self.0]
    }

    /// East and north of launch in the plane that touches the ellipsoid there, m.
    fn plane(self, place: [f64; 2]) -> [f64; 2] {
        let (here, there) = (station(self.launch()), station(place));
        let away = [0, 1, 2].map(|axis| there.place[axis] - here.place[axis]);
        [dot(away, here.east), dot(away, here.north)]
    }

    /// The place that is there in the plane: what is left is a thirtieth of it after every step.
    fn on_the_ground(self, plane: [f64; 2]) -> [f64; 2] {
        (0..8).fold(self.launch(), |place, _| {
            let (found, scale) = (self.plane(place), station(place).scale);
            [0, 1].map(|axis| place[axis] + (plane[axis] - found[axis]) / scale[axis])
        })
    }

    /// Where a share of the way along a leg is: straight in longitude and latitude, straight in the plane, and on the geodesic,
    /// which bulges away from launch by s (1 - s) L² c / (2 R²) where the chord passes it at a distance of c.
    fn readings(self, from: [f64; 2], to: [f64; 2], share: f64) -> [[f64; 2]; 3] {
        let (start, end) = (self.plane(from), self.plane(to));
        let chord = between(start, end, share);
        let (east, north) = (end[0] - start[0], end[1] - start[1]);
        let squared = (east * east + north * north).max(1e-9);
        let foot = between(start, end, -(start[0] * east + start[1] * north) / squared);
        let bulge = share * (1.0 - share) * squared / 2.0 / 6_371_008.8_f64.powi(2);
        let geodesic = [0, 1].map(|axis| chord[axis] + foot[axis] * bulge);
        [between(from, to, share), self.on_the_ground(chord), self.on_the_ground(geodesic)]
    }

    /// True bearings along the ways home from a place, rad: straight in longitude and latitude, and straight in the plane (as
    /// geodesics through launch are: those are cuts of the ellipsoid with an upright plane through it).
    fn bearings(self, place: [f64; 2]) -> [[f64; 2]; 3] {
        let (here, plane) = (station(self.launch()), self.plane(place));
        let home = [0, 1, 2].map(|axis| -plane[0] * here.east[axis] - plane[1] * here.north[axis]);
        let along = |share: f64| {
            let steady = station(between(self.launch(), place, share));
            let east = -place[0] * steady.scale[0];
            let north = (self.0 - place[1]) * steady.scale[1];
            let straight = station(self.on_the_ground(plane.map(|side| side * share)));
            let track = cross(straight.up, cross(home, here.up));
            [east.atan2(north), dot(track, straight.east).atan2(dot(track, straight.north))]
        };
        [0.0, 0.5, 1.0].map(along)
    }
}

/// How far to both sides of a bearing headings go, rad: up to a quarter turn each.
fn width(headings: &Headings, bearing: f64) -> [f64; 2] {
    [-1.0, 1.0].map(|side| {
        let (mut low, mut high) = (0.0, std::f64::consts::FRAC_PI_2);
        for _ in 0..40 {
            let middle = f64::midpoint(low, high);
            let goal = if holds(headings, bearing + side * middle) { &mut low } else { &mut high };
            *goal = middle;
        }
        low
    })
}

/// Longitude (east of launch) and latitude of an end of a leg, rad.
fn exactly(frame: &Frame, (north, east): (i32, i32)) -> [f64; 2] {
    let latitude = frame.launch().latitude.get();
    [east, latitude.saturating_add(north)].map(|counts| (f64::from(counts) * 1e-7).to_radians())
}

/// Counts of 1e-7 degree north and east, for m.
fn counts(frame: &Frame, (north, east): (f64, f64)) -> (i32, i32) {
    let [wide, high] = station(exactly(frame, (0, 0))).scale;
    let [north, east] = [north / high, east / wide].map(|angle| clamp_i32(nearest(angle.to_degrees() * 1e7)));
    (north, east)
}

fn frame(latitude: f64) -> Frame {
    Frame::new(Position::new(clamp_i32(nearest(latitude * 1e7)), 0).unwrap()).unwrap()
}

/// That all true bearings home from all readings of a leg are among the headings of its parts.
fn all_bearings_are_held(frame: &Frame, ends: ((i32, i32), (i32, i32))) {
    let (figures, leg) = (windy(), leg(frame, ends));
    let [launch, from, to] = [(0, 0), ends.0, ends.1].map(|end| exactly(frame, end));
    let home = Home(launch[1]);
    for Stretch { ends: parts, headings } in WaysHome::new(&figures, frame, &leg).stretches() {
        let [start, end] = parts.map(|begin| f64::from(begin.part) / f64::from(WHOLE));
        for number in 0..=8 {
            let share = start + (end - start) * f64::from(number) / 8.0;
            for place in home.readings(from, to, share) {
                let [east, north] = home.plane(place);
                // At launch there is no way home.
                for bearing in home.bearings(place).into_iter().flatten().filter(|_| east.hypot(north) > 1e-5) {
                    assert!(holds(&headings, bearing), "{ends:?} from {start} to {end}, at {share}: {bearing}");
                }
            }
        }
    }
}

#[test]
fn true_bearings_home_from_all_readings_of_long_legs_are_among_the_headings() {
    for latitude in [75.0, -75.0, 79.0, 47.0, 0.0] {
        let frame = frame(latitude);
        for ends in [
            // Past launch, to it, from it, through it, beside it, and far from it, m north and east.
            ((20_000.0, -30_000.0), (20_000.0, 30_000.0)),
            ((0.0, -45_000.0), (0.0, 0.0)),
            ((25_000.0, -36_000.0), (0.0, 0.0)),
            ((0.0, 0.0), (-5_000.0, 40_000.0)),
            ((0.0, -30_000.0), (0.0, 30_000.0)),
            ((-20_000.0, -30_000.0), (20_000.0, 30_000.0)),
            ((-40_000.0, -100.0), (30_000.0, 200.0)),
            ((100.0, -30_000.0), (100.0, 35_000.0)),
            ((2_000.0, -20_000.0), (-1_000.0, 40_000.0)),
            ((-30_000.0, 30_000.0), (-29_999.0, 30_001.0)),
            ((0.0, 45_000.0), (1.0, 45_000.0)),
        ] {
            all_bearings_are_held(&frame, (counts(&frame, ends.0), counts(&frame, ends.1)));
        }
    }
}

/// A count is 11 mm, and the plane knows whole mm.
#[test]
fn true_bearings_home_from_legs_of_some_mm_are_among_the_headings() {
    for latitude in [47.0, 75.0] {
        let frame = frame(latitude);
        for (north, east) in (-4..=4).flat_map(|north| (-4..=4).map(move |east| (north, east))) {
            for other in [(0, 0), (1, 2), (-3, 1), (0, -4)] {
                all_bearings_are_held(&frame, ((north, east), other));
                all_bearings_are_held(&frame, (other, (north, east)));
            }
        }
    }
}

/// 1.5 κ D for a way home, and 0.5 κ L where the leg leads to launch or from there, κ = 1.0887 tan φ / N (see
/// [`crate::geometry::straightness`]); the code's κ is that of half a degree nearer to the pole, and a hundredth more.
#[test]
fn headings_home_are_widened_by_what_turns_a_line_and_true_north() {
    let frame = frame(75.0);
    let curvature = 1.0887 * 75_f64.to_radians().tan() / 6_398_000.0;
    let there = counts(&frame, (0.0, 40_000.0));
    for (ends, least) in [
        ((there, (there.0 + 10, there.1)), 1.5 * 40_000.0 * curvature),
        ((there, (0, 0)), 2.0 * 40_000.0 * curvature),
        (((0, 0), there), 2.0 * 40_000.0 * curvature),
    ] {
        let (figures, leg) = (windy(), leg(&frame, ends));
        let mut stretches = WaysHome::new(&figures, &frame, &leg).stretches();
        let headings = stretches.next().unwrap().headings;
        assert!(stretches.next().is_none(), "all in one direction");
        let plane = Home(75_f64.to_radians()).plane(exactly(&frame, there));
        for side in width(&headings, (-plane[0]).atan2(-plane[1])) {
            assert!((least..=least * 1.08).contains(&side), "{side} for {least}");
        }
    }
}

/// A tenth of a radian, what turns lines and true north, and a sixteenth of a radian to both sides for where beside its chord
/// the leg is, and at most as much for where along it.
#[test]
fn parts_that_could_be_smaller_lead_nearly_in_one_direction() {
    let frame = frame(75.0);
    let curvature = 1.0887 * 1.08 * 75_f64.to_radians().tan() / 6_398_000.0;
    let mut seen = 0;
    for north in [-300.0, 60.0, 150.0, 400.0, 8_000.0] {
        let ends = [-30_000.0, 30_000.0].map(|east| counts(&frame, (north, east)));
        let (figures, leg) = (windy(), leg(&frame, (ends[0], ends[1])));
        for Stretch { ends: [from, to], headings } in WaysHome::new(&figures, &frame, &leg).stretches() {
            if to.part - from.part <= SMALLEST {
                continue;
            }
            let middle = frame.plane(leg.point(from.part.midpoint(to.part)));
            let bearing = f64::from(-middle.east).atan2(f64::from(-middle.north));
            let turned = 2.0 * curvature * (1.5 * 30_000.0 + 0.5 * 60_000.0);
            let found: f64 = width(&headings, bearing).iter().sum();
            assert!(found < 0.1 + turned + 4.0 / 16.0 * 1.07, "{found} {turned} {north} {}", from.part);
            seen += 1;
        }
    }
    assert!(seen >= 8, "{seen}");
}

/// Between two places that are on opposite sides of launch, as long as the leg can't pass it on the other side: 1 mm for the
/// leg, and 1 mm for the places.
#[test]
fn a_part_that_surely_passes_launch_on_one_side_leads_to_that_side() {
    let frame = frame(0.0);
    let (figures, leg) = (windy(), leg(&frame, ((1000, -1000), (1000, 1000))));
    let ways = WaysHome::new(&figures, &frame, &leg);
    assert_eq!(ways.across, 1);
    for north in -100..=100 {
        let begin = |east: i32| Begin { part: WHOLE / 2, plane: PlanePoint { east, north } };
        let (begin, end) = (begin(-100_000), begin(100_000));
        for headings in [ways.headings(begin, end), ways.headings(end, begin)] {
            let [to_south, to_north] = [std::f64::consts::PI, 0.0].map(|bearing| holds(&headings, bearing));
            assert!(to_south || north <= 0, "{north}");
            assert!(to_north || north >= 0, "{north}");
            // Nothing is known as near as that; far away only half of all is left.
            assert!(to_south && to_north || north.abs() > 3, "{north}");
            assert!(to_south != to_north || north.abs() < 6, "{north}");
        }
    }
}

/// The length of the line straight in longitude and latitude, in thousands of chords.
#[test]
fn a_way_home_that_bends_takes_as_long_as_it_is() {
    let figures = windy();
    for latitude in [0.0_f64, 60.0, 79.74] {
        let frame = frame(latitude);
        for ends in [(0.0, 49_000.0), (28_500.0, 40_800.0), (-28_000.0, 40_000.0), (-49_000.0, 0.0), (300.0, 400.0)] {
            let there = counts(&frame, ends);
            let [launch, place] = [(0, 0), there].map(|end| exactly(&frame, end));
            let at = |number: i32| station(between(launch, place, f64::from(number) / 2000.0)).place;
            let chord = |number: i32| {
                let (from, to) = (at(number), at(number + 1));
                let way = [0, 1, 2].map(|axis| to[axis] - from[axis]);
                dot(way, way).sqrt()
            };
            let length: f64 = (0..2000).map(chord).sum();
            // Staying there, nothing is added for the readings of a leg.
            let leg = leg(&frame, (there, there));
            let ways = WaysHome::new(&figures, &frame, &leg);
            let time = ways.time_ceil(&ways.begin(WHOLE));
            let flown = f64::from(u32::try_from(time).unwrap()) * 0.004;
            assert!(flown >= length, "{latitude} {ends:?}: {flown} {length}");
            let bend = (length * latitude.to_radians().tan() / 6_378_137.0).powi(2) / 24.0;
            assert!(flown <= length * (1.0 + 7e-5 + 2.0 * bend) + 0.01, "{latitude} {ends:?}: {flown} {length}");
        }
    }
}

/// From every reading of a leg at the same share of it. 1.5 bows are added for across and along, and one reading can be a bow
/// nearer than another.
#[test]
fn a_way_home_takes_its_length_however_the_leg_is_read() {
    let (figures, frame) = (windy(), frame(75.0));
    for ends in [
        ((20_000.0, -30_000.0), (20_000.0, 30_000.0)),
        ((-20_000.0, -30_000.0), (-20_000.0, 30_000.0)),
        ((8_000.0, 8_000.0), (30_000.0, 30_000.0)),
        ((-30_000.0, 30_000.0), (-8_000.0, 8_000.0)),
        ((5_000.0, -30_000.0), (25_000.0, 20_000.0)),
    ] {
        let (start, end) = (counts(&frame, ends.0), counts(&frame, ends.1));
        let [launch, from, to] = [(0, 0), start, end].map(|end| exactly(&frame, end));
        let leg = leg(&frame, (start, end));
        let ways = WaysHome::new(&figures, &frame, &leg);
        for number in 0..=16 {
            let time = ways.time_ceil(&ways.begin(WHOLE / 16 * number));
            let flown = f64::from(u32::try_from(time).unwrap()) * 0.004;
            for place in Home(launch[1]).readings(from, to, f64::from(number) / 16.0) {
                let [east, north] = Home(launch[1]).plane(place);
                let (length, bow) = (east.hypot(north), f64::from(clamp_i32(leg.line.bow)) / 1e3);
                assert!(flown >= length && flown <= length * 1.0002 + 2.5 * bow, "{ends:?} {number}: {flown} {length}");
            }
        }
    }
}

/// Half way from 30 m up to 30.07 m it is 30.035 m up: what descends from there takes no less.
#[test]
fn a_height_between_two_is_rounded_up_before_it_is_descended_from() {
    let frame = frame(0.0);
    let mut leg = leg(&frame, ((0, 0), (0, 100_000)));
    leg.piece.from.height = 3000;
    leg.piece.to.height = 3007;
    let figures = figures();
    let ways = WaysHome::new(&figures, &frame, &leg);
    let found = ways.upright_ceil(&ways.begin(WHOLE / 2)).unwrap();
    // 5 s of hold and 30.035 m at 0.5 m/s, at 190 W; at most 1 cm of descent (20 ms) and of climb (5 ms at 260 W) more.
    let exact = (5_000 + 60_070) * 190_000;
    assert!((exact..=exact + 20 * 190_000 + 5 * 260_000).contains(&found), "{found} {exact}");
    // At the ends it is known.
    assert_eq!(ways.upright_ceil(&ways.begin(0)), Some((5_000 + 60_000) * 190_000));
    assert_eq!(ways.upright_ceil(&ways.begin(WHOLE)), Some((5_000 + 60_140) * 190_000));
}

#[test]
fn the_power_of_flying_home_in_any_wind_is_the_largest_that_one_asks_for() {
    let frame = frame(0.0);
    let leg = leg(&frame, ((0, 0), (0, 100_000)));
    // 4 m/s in 3 m/s: airspeeds of 1 to 7 m/s. 187 W at 1 m/s, and at 7 m/s two fifths of the way from 175 W to 230 W.
    assert_eq!(WaysHome::new(&windy(), &frame, &leg).power_anyhow(), Some(197_000));
    let beyond = Figures { wind: Wind { up_to: WindSpeed::new(700).unwrap(), from: None }, ..figures() };
    assert_eq!(WaysHome::new(&beyond, &frame, &leg).power_anyhow(), None, "11 m/s are beyond the table");
}
#[test]
fn a_way_home_takes_most_against_the_wind_and_none_from_launch() {
    let (figures, frame) = (windy(), frame(0.0));
    let (away, at_launch) = (leg(&frame, ((0, 50_000), (0, 100_000))), leg(&frame, ((0, 0), (0, 0))));
    let found = |leg: &Leg| {
        let ways = WaysHome::new(&figures, &frame, leg);
        let powers = ways.stretches().map(|stretch| ways.powers(&stretch).unwrap());
        (ways.airspeed_ceil(), powers.last().unwrap())
    };
    let (airspeed, powers) = found(&away);
    // 4 m/s against 3 m/s: 7 m/s, 197 W. Across it takes least: 178 W at 4 m/s without a wind, less with one.
    assert_eq!((airspeed, powers.iter().max()), (700, Some(&197_000)));
    assert!(powers.iter().min().is_some_and(|least| (178_000..=178_600).contains(least)), "{powers:?}");
    assert_eq!(found(&at_launch), (0, [0; SECTORS]));
}
