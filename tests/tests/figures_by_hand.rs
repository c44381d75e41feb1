//! Rules that hold a flight to one figure of the limits, on flights small enough to work out by hand.

use pinfold_core::{
    model::{
        ground::GroundCell,
        limits::{Figures, LaunchSpot, Link},
        route::{Launch, Step},
        zone::ZoneKind,
    },
    verdict::{Cause, Finding, Place, Rule, Severity, Unit, Verdict},
};
use pinfold_tests::sample::{
    Site, climb, duration, figures, fly, found, ground_plan, height, judge, judge_here, launch, length, position,
    speed_limit,
};

fn wide(figures: Figures) -> Site {
    let ring = vec![(-200_000, -200_000), (-200_000, 200_000), (200_000, 200_000), (200_000, -200_000)];
    Site::new(figures).polygon("around", ZoneKind::KeepIn, None, &[ring]).expect("room")
}

fn here() -> Launch {
    launch(0, 0)
}

fn verdict(figures: Figures, steps: &[Step]) -> Verdict {
    judge(&wide(figures).seal().expect("sound"), here(), steps)
}

fn finding(verdict: &Verdict, rule: Rule) -> Finding {
    *found(verdict, rule, None).expect("a finding")
}

fn spare(finding: Finding) -> i32 {
    finding.measure.expect("a measure").spare()
}

#[test]
fn a_landing_is_held_to_its_rate() {
    let at = |rate: i32| {
        let mut figures = figures();
        figures.homeward.landing = speed_limit(rate);
        let found = finding(&verdict(figures, &[climb(1000), Step::Land]), Rule::Landing);
        (spare(found), found.severity(), found.step, found.measure.map(|measure| measure.unit))
    };
    let per_second = Some(Unit::MetresPerSecond);
    assert_eq!(at(70), (30, None, 2, per_second));
    assert_eq!(at(100), (0, None, 2, per_second));
    assert_eq!(at(101), (-1, Some(Severity::Stop), 2, per_second));
}

#[test]
fn five_seconds_to_disarm_are_prompt() {
    let after = |delay: Option<i32>| {
        let mut figures = figures();
        figures.homeward.disarm = delay.map(duration);
        let found = finding(&verdict(figures, &[climb(1000), Step::Return]), Rule::Landing);
        (found.cause, found.severity(), found.measure.map(|measure| (measure.spare(), measure.unit)))
    };
    assert_eq!(after(Some(500)), (Cause::Measured, None, Some((30, Unit::MetresPerSecond))));
    assert_eq!(after(Some(501)), (Cause::LateDisarm, Some(Severity::Caution), Some((-1, Unit::Seconds))));
    assert_eq!(after(Some(900)), (Cause::LateDisarm, Some(Severity::Caution), Some((-400, Unit::Seconds))));
    assert_eq!(after(None), (Cause::NoDisarm, Some(Severity::Caution), None));
}

#[test]
fn a_fly_step_is_held_to_the_speed_limit_and_has_a_speed() {
    let at = |speed: i32| {
        let found = finding(&verdict(figures(), &[climb(1000), fly((0, 5_000), 1000, speed), Step::Land]), Rule::Speed);
        (found.cause, spare(found), found.severity())
    };
    assert_eq!(at(1), (Cause::Measured, 999, None));
    assert_eq!(at(1000), (Cause::Measured, 0, None));
    assert_eq!(at(1001), (Cause::Measured, -1, Some(Severity::Stop)));
    assert_eq!(at(0), (Cause::NoSpeed, -1, Some(Severity::Stop)));
    assert_eq!(at(-5), (Cause::NoSpeed, -6, Some(Severity::Stop)));
}

/// 2,695 counts of longitude on the equator are 30.0006 m; 40 m above that are 50.0004 m from launch.
#[test]
fn a_link_reaches_through_the_air_from_its_station() {
    let of = |station: Option<(i32, i32)>| {
        let mut figures = figures();
        figures.link = Some(Link { range: length(6000), station: station.map(|(north, east)| position(north, east)) });
        finding(&verdict(figures, &[climb(4000), fly((0, 2695), 4000, 100), Step::Land]), Rule::Link)
    };
    let from_launch = of(None);
    assert!((6000 - 5003..=6000 - 5000).contains(&spare(from_launch)), "{from_launch:?}");
    assert_eq!((from_launch.step, from_launch.place.map(|place| place.position)), (2, Some(position(0, 2695))));
    let from_afar = of(Some((0, 2695)));
    assert!((6000 - 5003..=6000 - 5000).contains(&spare(from_afar)), "{from_afar:?}");
    assert_eq!((from_afar.step, from_afar.place), (1, Some(Place { position: position(0, 0), height: 4000 })));
}

#[test]
fn a_slanted_leg_is_highest_and_lowest_at_the_end_that_is() {
    let (near, far) = ((0, 0), (0, 10_000));
    let places = |from: i32, to: i32| {
        let verdict = verdict(figures(), &[climb(from), fly(far, to, 400), Step::Land]);
        let place = |rule| finding(&verdict, rule).place.map(|place| (place.position, place.height));
        (place(Rule::Ceiling), place(Rule::Floor))
    };
    let at = |(north, east): (i32, i32), height: i32| Some((position(north, east), height));
    assert_eq!(places(3000, 9000), (at(far, 9000), at(near, 3000)));
    assert_eq!(places(9000, 3000), (at(near, 9000), at(far, 3000)));
}

#[test]
fn a_circle_is_within_reach_with_all_of_its_radius() {
    // 3,600,000 counts of longitude on the equator are 40.0750 km.
    let with = |radius: i32| {
        let store = wide(figures()).circle("far", None, (0, 3_600_000), radius).and_then(Site::seal).expect("sound");
        let verdict = judge(&store, here(), &[climb(1000), Step::Land]);
        *found(&verdict, Rule::Extent, Some(1)).expect("a finding")
    };
    assert_eq!(with(900_000).severity(), None);
    let out = with(1_100_000);
    assert_eq!(out.severity(), Some(Severity::Stop));
    // 50 - 40.0750 - 11 km; the distance is rounded up by at most 0.007 %.
    assert!((-107_780..=-107_500).contains(&spare(out)), "{out:?}");
}

#[test]
fn a_route_is_as_long_as_its_legs_together() {
    // Twice 111.319 m; the way home twice that, straight.
    let there = [climb(1000), fly((0, 10_000), 1000, 400), fly((0, 20_000), 1000, 400), Step::Return];
    let long = verdict(figures(), &there).summary.length.expect("a length");
    assert!((44_528..=44_535).contains(&long), "{long}");
}

#[test]
fn a_level_leg_asks_for_no_rate() {
    let level = verdict(figures(), &[climb(1000), fly((0, 10_000), 1000, 400), Step::Land]);
    assert!([Rule::ClimbRate, Rule::DescentRate].iter().all(|rule| found(&level, *rule, None).is_none()));
}

#[test]
fn a_launch_on_the_edge_of_two_cells_is_on_both() {
    // 90 to 92 m to the west, 95 to 96 m to the east; 3 m lower or higher is a fit.
    let cells = [(9000, 9200), (9500, 9600)].map(|(low, high)| GroundCell::new(low, high).expect("a low and a high"));
    let spare_at = |planned: i32| {
        let plan = ground_plan((-60_000, -60_000), (1, 2), (120_000, 60_000), (0, 1));
        let store = wide(figures()).ground(plan, &cells).seal().expect("sound");
        let planned = Launch { elevation: Some(height(planned)), ..here() };
        spare(finding(&judge(&store, planned, &[climb(1000), Step::Land]), Rule::Launch))
    };
    assert_eq!(
        [8699, 8700, 8999, 9000, 9300, 9600, 9601, 9900, 9901].map(spare_at),
        [-1, 0, 299, 300, 300, 300, 299, 0, -1]
    );
}

#[test]
fn an_aircraft_stands_within_reach_of_where_its_route_begins() {
    let mut figures = figures();
    figures.launch = Some(LaunchSpot { within: length(500) });
    let store = wide(figures).seal().expect("sound");
    let stands = |east: i32| {
        finding(&judge_here(&store, here(), Some(position(0, east)), &[climb(1000), Step::Land]), Rule::Launch)
    };
    // 400 counts are 4.453 m, 450 are 5.009 m; a distance is rounded up.
    assert!((54 - 2..=54).contains(&spare(stands(400))), "{:?}", stands(400));
    assert_eq!(stands(450).severity(), Some(Severity::Stop));
    assert_eq!(stands(1 << 26).cause, Cause::BeyondReach);
}
