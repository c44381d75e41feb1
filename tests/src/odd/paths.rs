//! Routes at the ends of every range, and in odd orders, held to a plain meadow.

use pinfold_core::{
    model::route::{Launch, STEPS, Step},
    units::{Duration, Height, Latitude, Longitude, Speed},
    verdict::Rule,
};

use super::{
    Expected::{self, Go, NoGo},
    Odd, route_from, route_of,
};
use crate::{
    board::sample::start,
    sample::{climb, duration, fly, height, launch},
};

/// All of them.
#[must_use]
pub fn cases() -> Vec<Odd> {
    [orders(), places(), levels(), speeds(), times(), long()].concat()
}

/// A climb to 20 m, these steps, and the way home.
fn flight(name: &str, provokes: &str, between: &[Step], expected: Expected) -> Odd {
    let steps = [&[climb(2_000)], between, &[Step::Return]].concat();
    Odd::route(name, provokes, route_of(&steps), expected)
}

fn orders() -> Vec<Odd> {
    let of = |name: &str, provokes: &str, steps: &[Step], expected: Expected| {
        Odd::route(name, provokes, route_of(steps), expected)
    };
    let hold = Step::Hold { time: duration(100) };
    vec![
        of("orders/no-steps", "a route without steps", &[], NoGo(Rule::Sequence)),
        of("orders/climb-alone", "no end", &[climb(2_000)], NoGo(Rule::Sequence)),
        of("orders/fly-first", "a fly on the ground", &[fly((100, 100), 2_000, 300), Step::Land], NoGo(Rule::Sequence)),
        of("orders/hold-first", "a hold on the ground", &[hold, climb(2_000), Step::Land], NoGo(Rule::Sequence)),
        of("orders/land-first", "a landing on the ground", &[Step::Land], NoGo(Rule::Sequence)),
        of("orders/return-first", "a return from the ground", &[Step::Return], NoGo(Rule::Sequence)),
        of("orders/after-the-end", "a step after the landing", &[climb(2_000), Step::Land, hold], NoGo(Rule::Sequence)),
        of("orders/two-ends", "two returns", &[climb(2_000), Step::Return, Step::Return], NoGo(Rule::Sequence)),
        of(
            "orders/second-flight",
            "a climb after the landing",
            &[climb(2_000), Step::Land, climb(2_000), Step::Land],
            NoGo(Rule::Sequence),
        ),
        of("orders/shortest", "up and down", &[climb(2_000), Step::Land], Go),
        of("orders/climbs", "three climbs, each higher", &[climb(1_000), climb(1_500), climb(2_000), Step::Return], Go),
        of(
            "orders/climb-down",
            "a climb that goes down",
            &[climb(2_000), climb(1_999), Step::Land],
            NoGo(Rule::Sequence),
        ),
    ]
}

fn places() -> Vec<Odd> {
    let (north, east) = (Latitude::MAX, Longitude::MAX);
    let here = (0, 0);
    let from = |name: &str, provokes: &str, at: (i32, i32), expected: Expected| {
        let launch = Launch { position: crate::sample::position(at.0, at.1), ..start() };
        Odd::route(name, provokes, route_from(&launch, &[climb(2_000), Step::Land]), expected)
    };
    let all_equal = vec![fly((100, 100), 2_000, 300); 30];
    vec![
        flight("places/all-equal", "thirty times the same place", &all_equal, Go),
        flight("places/at-launch", "a flight to launch", &[fly(here, 2_000, 300)], Go),
        flight("places/one-unit", "a flight of 1 unit", &[fly((0, 1), 2_000, 300)], Go),
        flight(
            "places/other-side",
            "a flight to the other side of the Earth",
            &[fly((0, east), 2_000, 300)],
            NoGo(Rule::Extent),
        ),
        flight("places/north-pole", "a flight to the pole", &[fly((north, 0), 2_000, 300)], NoGo(Rule::Extent)),
        flight(
            "places/corners",
            "from corner to corner of what can be written",
            &[fly((north, east), 2_000, 300), fly((-north, -east), 2_000, 300)],
            NoGo(Rule::Extent),
        ),
        flight("places/exchanged", "coordinates some 1 km away", &[fly((90_000, 0), 2_000, 300)], NoGo(Rule::KeepIn)),
        flight(
            "places/on-the-fence",
            "a place on the keep-in zone's edge",
            &[fly((20_000, 0), 2_000, 300)],
            NoGo(Rule::KeepIn),
        ),
        from("places/launch-elsewhere", "limits of another place", (450_000_000, 100_000_000), NoGo(Rule::Extent)),
        from("places/launch-at-80", "launch at 80 degrees", (800_000_000, 0), NoGo(Rule::Extent)),
        from("places/launch-at-the-pole", "launch at the pole", (north, 0), NoGo(Rule::Extent)),
        from("places/launch-outside", "launch outside the keep-in zone", (21_000, 0), NoGo(Rule::KeepIn)),
        over_the_antimeridian(),
    ]
}

/// 180 degrees east and west are one place.
fn over_the_antimeridian() -> Odd {
    use pinfold_core::model::zone::ZoneKind;
    let west = |east: i32| Longitude::MIN + east;
    let east = |west: i32| Longitude::MAX - west;
    let ring = vec![(-20_000, east(20_000)), (-20_000, west(20_000)), (20_000, west(20_000)), (20_000, east(20_000))];
    let site = crate::sample::Site::new(super::figures()).polygon("in", ZoneKind::KeepIn, None, &[ring]);
    let store = site.and_then(crate::sample::Site::seal).expect("sound limits");
    let limits = crate::packed::packed_limits(store.limits().expect("sealed")).0;
    let steps = [
        climb(2_000),
        fly((0, Longitude::MIN), 2_000, 300),
        fly((0, west(5_000)), 2_000, 300),
        fly((0, east(5_000)), 2_000, 300),
        Step::Return,
    ];
    let route = route_from(&launch(0, Longitude::MAX), &steps);
    Odd { limits, ..Odd::route("places/antimeridian", "a launch at 180 degrees, and a flight to -180", route, Go) }
}

fn levels() -> Vec<Odd> {
    let at = |name: &str, provokes: &str, level: i32, rule: Rule| {
        flight(name, provokes, &[fly((5_000, 5_000), level, 300)], NoGo(rule))
    };
    let up = |name: &str, provokes: &str, level: i32, expected: Expected| {
        Odd::route(name, provokes, route_of(&[climb(level), Step::Land]), expected)
    };
    let mut below = start();
    below.elevation = Some(height(Height::MIN));
    let mut above = start();
    above.elevation = Some(height(Height::MAX));
    vec![
        at("levels/highest", "a flight at the highest height", Height::MAX, Rule::Ceiling),
        at("levels/lowest", "a flight at the lowest height", Height::MIN, Rule::Floor),
        at("levels/on-the-ground", "a flight at launch height", 0, Rule::Floor),
        up("levels/climb-highest", "a climb to the highest height", Height::MAX, NoGo(Rule::Ceiling)),
        up("levels/climb-lowest", "a climb to the lowest height", Height::MIN, NoGo(Rule::Sequence)),
        up("levels/climb-nowhere", "a climb to launch height", 0, NoGo(Rule::Sequence)),
        Odd::route(
            "levels/launch-lowest",
            "launch 10 km below the sea",
            route_from(&below, &[climb(2_000), Step::Land]),
            Go,
        ),
        Odd::route(
            "levels/launch-highest",
            "launch 10 km above the sea",
            route_from(&above, &[climb(2_000), Step::Land]),
            Go,
        ),
    ]
}

fn speeds() -> Vec<Odd> {
    let at = |name: &str, provokes: &str, speed: i32, expected: Expected| {
        flight(name, provokes, &[fly((5_000, 5_000), 2_000, speed)], expected)
    };
    vec![
        at("speeds/none", "a speed of nothing", 0, NoGo(Rule::Speed)),
        at("speeds/least", "the lowest negative speed", Speed::MIN, NoGo(Rule::Speed)),
        at("speeds/most", "the highest speed", Speed::MAX, NoGo(Rule::Speed)),
        at("speeds/slowest", "1 cm/s over 78 m: two hours", 1, Go),
        flight(
            "speeds/steep",
            "40 m down over 8 m",
            &[fly((500, 500), 5_500, 300), fly((0, 0), 1_500, 300)],
            NoGo(Rule::ClimbRate),
        ),
    ]
}

fn times() -> Vec<Odd> {
    let hold = |time: i32| Step::Hold { time: duration(time) };
    vec![
        flight("times/no-hold", "a hold of no time", &[hold(0)], Go),
        flight("times/longest-hold", "a hold of a day", &[hold(Duration::MAX)], Go),
        flight("times/many-days", "holds of a week", &[hold(Duration::MAX); 7], NoGo(Rule::Reserve)),
    ]
}

/// As many steps as there can be.
fn long() -> Vec<Odd> {
    let hold = Step::Hold { time: duration(0) };
    let days = Step::Hold { time: duration(Duration::MAX) };
    let back_and_forth: Vec<_> =
        (0..STEPS - 2).map(|number| fly((100 * i32::from(number % 2 == 0), 0), 2_000, 300)).collect();
    vec![
        flight("counts/steps", "65,535 steps, all but two of them holds of no time", &vec![hold; STEPS - 2], Go),
        flight("counts/days", "65,533 days", &vec![days; STEPS - 2], NoGo(Rule::Reserve)),
        flight("counts/back-and-forth", "65,533 flights of a metre", &back_and_forth, Go),
    ]
}
