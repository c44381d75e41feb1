//! The one-to-one rule where height and distance change together, against numbers worked out on paper or by trying all places.
//! Everything is on the equator: 1e-7 degree is 11.131949 mm east and 11.057427 mm north (WGS 84).

use pinfold_core::{
    model::{
        limits::Figures,
        route::{Launch, Step},
        zone::ZoneKind,
    },
    verdict::{Finding, Measure, Rule, Verdict},
};
use pinfold_tests::sample::{Site, climb, figures, fly, found, judge, launch, length};

const EAST: f64 = 0.011_131_949;
const NORTH: f64 = 0.011_057_427;

/// Where people are: a point, or a square beyond a point to the north of it, in 1e-7 degree.
#[derive(Clone, Copy, Debug)]
enum People {
    Circle { center: (i32, i32), radius: i32 },
    Square { south: (i32, i32) },
}

fn site(figures: Figures, people: People) -> Site {
    let ring = vec![(-80_000, -80_000), (-80_000, 80_000), (80_000, 80_000), (80_000, -80_000)];
    let site = Site::new(figures).polygon("around", ZoneKind::KeepIn, None, &[ring]).expect("room");
    match people {
        People::Circle { center, radius } => site.circle_of("crowd", ZoneKind::People, None, center, radius),
        People::Square { south: (north, east) } => {
            let square =
                vec![(north, east), (north + 1000, east + 1000), (north + 2000, east), (north + 1000, east - 1000)];
            site.polygon("crowd", ZoneKind::People, None, &[square])
        }
    }
    .expect("room")
}

fn verdict(figures: Figures, people: People, from: Launch, steps: &[Step]) -> Verdict {
    judge(&site(figures, people).seal().expect("sound"), from, steps)
}

fn finding(verdict: &Verdict, rule: Rule) -> &Finding {
    found(verdict, rule, Some(1)).expect("a finding about people")
}

fn measure(finding: &Finding) -> Measure {
    finding.measure.expect("a measure")
}

/// A height that falls by s for each metre leaves d √(1 - s²) - h at a distance d beside the path, h its height there.
#[test]
fn a_slanted_leg_is_held_to_the_least_of_distance_less_height() {
    // 400 m from west to east, people d north of its middle, their circle's radius taken off.
    let half = 18_000;
    for (from, to, north, radius) in [
        (6000, 2000, 6000, 100),
        (2000, 6000, 6000, 100),
        (2500, 11_000, 9000, 1000),
        (9000, 1000, -8000, 0),
        (300, 5000, 9500, 0),
    ] {
        let (d, s) = (f64::from(north).abs() * NORTH, f64::from(to - from) / 100.0 / (2.0 * f64::from(half) * EAST));
        let middle = f64::from(from + to) / 200.0;
        let exact = d * (1.0 - s * s).sqrt() - middle - f64::from(radius) / 100.0;
        let zones = [
            Some(People::Circle { center: (north, 0), radius: radius.max(1) }),
            Some(People::Square { south: (north, 0) }).filter(|_| radius == 0 && north > 0),
            Some(People::Square { south: (north - 2000, 0) }).filter(|_| radius == 0 && north < 0),
        ];
        for people in zones.into_iter().flatten() {
            let steps = [climb(from), fly((0, half), to, 200), Step::Land];
            let verdict = verdict(figures(), people, launch(0, -half), &steps);
            let finding = finding(&verdict, Rule::People);
            let (measure, place) = (measure(finding), finding.place.expect("a place"));
            // Taken off: 1 cm for the readings of "straight", two bows of 1 mm (one for a circle's centre), 5, 4 and 8 mm for
            // rounding and narrowing. Narrowing misses up to 5 mm, places and heights are cut to 1 mm, all of it to 1 cm.
            let spare = f64::from(measure.spare()) / 100.0;
            let taken_off = if matches!(people, People::Circle { .. }) { 0.028 } else { 0.029 };
            let bound = exact - taken_off - 0.014..=exact - taken_off + 0.005;
            assert!(bound.contains(&spare), "{spare} in {bound:?}, {people:?}: {finding:?}");
            let beside = d * s / (1.0 - s * s).sqrt();
            let at = f64::from(place.position.longitude.get()) * EAST;
            assert!((at - beside).abs() < 2.0, "{at} for {beside}");
            let here = middle + beside * s;
            assert!((f64::from(place.height) / 100.0 - here).abs() < 2.0 * s.abs() + 0.02, "{place:?} for {here}");
            assert_eq!(measure.required, place.height + 1, "the height there, and 1 cm for the readings");
        }
    }
}

/// How far a point is from the way between two places, m.
fn apart((x, y): (f64, f64), (a, b): (f64, f64)) -> f64 {
    let share = ((x * a + y * b) / (a * a + b * b).max(1e-9)).clamp(0.0, 1.0);
    (x - share * a).hypot(y - share * b)
}

/// A route over two legs, and people.
#[derive(Debug)]
struct Case {
    ends: [(i32, i32); 2],
    heights: [i32; 2],
    center: (i32, i32),
    radius: i32,
}

impl Case {
    fn any(mut next: impl FnMut(i32, i32) -> i32) -> Self {
        let mut place = |far: i32| (next(-far, far), next(-far, far));
        let (ends, center) = ([place(20_000), place(20_000)], place(24_000));
        Self { ends, center, heights: [next(4000, 11_000), next(1000, 11_000)], radius: next(1, 1500) }
    }

    fn verdict(&self, people: Option<i32>) -> Verdict {
        let mut figures = figures();
        figures.margins.people = people.map(length);
        let people = People::Circle { center: self.center, radius: self.radius };
        let [first, second] = self.heights;
        let steps = [climb(first), fly(self.ends[0], first, 400), fly(self.ends[1], second, 400), Step::Land];
        verdict(figures, people, launch(0, 0), &steps)
    }

    /// The least that a place of the second leg, or the way home from it, leaves, by trying many, and the least distance.
    fn tried(&self, home: bool, least_required: f64) -> (f64, f64) {
        let metres = |(north, east): (i32, i32)| (f64::from(east) * EAST, f64::from(north) * NORTH);
        let ([from, to], center) = (self.ends.map(metres), metres(self.center));
        let way = |number: u32| {
            let share = f64::from(number) / 4000.0;
            let along = |from: f64, to: f64| from + (to - from) * share;
            let end = (along(from.0, to.0), along(from.1, to.1));
            // Where people are passed over 1 cm less than nothing is told.
            let apart = if home { apart(center, end) } else { (center.0 - end.0).hypot(center.1 - end.1) };
            let distance = (apart - f64::from(self.radius) / 100.0).max(-0.01);
            let own = along(f64::from(self.heights[0]), f64::from(self.heights[1])) / 100.0;
            (distance - own.max(if home { 20.0 } else { 0.0 }).max(least_required), distance)
        };
        (0..=4000).map(way).fold((f64::MAX, f64::MAX), |least, way| (least.0.min(way.0), least.1.min(way.1)))
    }
}

/// Compares what a rule finds on the second leg of many routes with what trying finds.
fn compare(rule: Rule) {
    let mut state = 1_u64;
    let mut next = |low: i32, high: i32| {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        low + i32::try_from((state >> 33) % u64::try_from(high - low).expect("positive")).expect("small")
    };
    let mut met = 0;
    for _ in 0..2000 {
        let case = Case::any(&mut next);
        // 7 + 4 + 0.82 m at 4 m/s, or 30 m where limits keep people at least as far away.
        let people = Some(3000).filter(|_| next(0, 4) == 0);
        let verdict = case.verdict(people);
        let least_required = if people.is_some() { 30.0 } else { 11.82 };
        let (exact, distance) = case.tried(rule == Rule::ReturnPath, least_required);
        let finding = finding(&verdict, rule);
        let spare = f64::from(measure(finding).spare()) / 100.0;
        assert!(spare <= exact, "{spare} for {exact}: {case:?}, {finding:?}");
        if finding.step == 3 && distance > 0.0 {
            met += 1;
            assert!(spare >= exact - 0.08 - 1e-3 * distance, "{spare} for {exact}: {case:?}, {finding:?}");
        }
    }
    assert!(met > 500, "{met}");
}

#[test]
fn a_slanted_leg_is_held_to_the_least_that_any_place_leaves() {
    compare(Rule::People);
}

/// The first leg's ways home are asked as well, but all of them at the height where the second begins: what is less than they
/// leave is of the second leg.
#[test]
fn ways_home_from_a_slanted_leg_are_held_to_the_least_that_any_leaves() {
    compare(Rule::ReturnPath);
}

/// Towards people, and down as fast: every place leaves the same 39 m, more pieces than there is room for.
#[test]
fn ways_home_that_all_leave_about_the_same_are_held_to_the_least() {
    for (metres, down, radius) in [
        (360, 36_000, 100),
        (360, 36_020, 100),
        (360, 35_980, 100),
        (360, 36_100, 4000),
        (800, 80_000, 1),
        (800, 79_980, 1),
    ] {
        let far = 1000 + i32::try_from((f64::from(metres) / EAST).round() as i64).expect("small");
        let case = Case { ends: [(0, 1000), (0, far)], heights: [down + 2000, 2000], center: (0, far + 4000), radius };
        let (exact, _) = case.tried(true, 11.82);
        let verdict = case.verdict(None);
        let finding = finding(&verdict, Rule::ReturnPath);
        let spare = f64::from(measure(finding).spare()) / 100.0;
        assert!(spare <= exact && spare >= exact - 0.5, "{spare} for {exact}: {case:?}, {finding:?}");
    }
}

/// Nothing slants on a climb or a level leg: what people are away, less the height. 5 mm and up to two bows of 1 mm are taken off.
#[test]
fn a_climb_and_a_level_leg_are_held_to_their_height() {
    let people = People::Circle { center: (0, 8_000), radius: 1 };
    let climbs = verdict(figures(), people, launch(0, 0), &[climb(4000), Step::Land]);
    let level = [climb(3000), fly((0, -4_000), 3000, 200), fly((2_000, 0), 4500, 200), Step::Land];
    let level = verdict(figures(), people, launch(0, -6_000), &[level[0], level[1], Step::Land]);
    for (verdict, distance, height) in [(climbs, 8_000.0 * EAST - 0.01, 40.0), (level, 12_000.0 * EAST - 0.01, 30.01)] {
        let spare = f64::from(measure(finding(&verdict, Rule::People)).spare()) / 100.0;
        let exact = distance - height;
        assert!(spare <= exact && spare >= exact - 0.018, "{spare} for {exact}");
    }
}
