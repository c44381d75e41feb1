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
use pinfold_tests::{
    sample::{Site, climb, figures, fly, found, judge, launch, length},
    tried::{EAST, NORTH, TwoLegs, lots},
};

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

/// The verdict on two legs and people in the circle, and the least that the second leg leaves: 7 + 4 + 0.82 m are needed at 4 m/s,
/// or as much as limits say, or the height, which is 20 m at least on ways home.
fn held(case: &TwoLegs, rule: Rule, people: Option<i32>) -> (Verdict, (f64, f64)) {
    let mut figures = figures();
    figures.margins.people = people.map(length);
    let circle = People::Circle { center: case.center, radius: case.radius };
    let home = rule == Rule::ReturnPath;
    let lowest = f64::max(if home { 20.0 } else { 0.0 }, people.map_or(11.82, |least| f64::from(least) / 100.0));
    let least = case.least(home, |distance, own| distance - own.max(lowest));
    (verdict(figures, circle, launch(0, 0), &case.steps()), least)
}

/// Compares what a rule finds on the second leg of many routes with what trying finds.
fn compare(rule: Rule) {
    let (mut next, mut met) = (lots(), 0);
    for _ in 0..2000 {
        let case = TwoLegs::any(&mut next);
        let people = Some(3000).filter(|_| next(0, 4) == 0);
        let (verdict, (exact, distance)) = held(&case, rule, people);
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
        let case =
            TwoLegs { ends: [(0, 1000), (0, far)], heights: [down + 2000, 2000], center: (0, far + 4000), radius };
        let (verdict, (exact, _)) = held(&case, Rule::ReturnPath, None);
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
