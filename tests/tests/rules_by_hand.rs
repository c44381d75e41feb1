//! Rules on flights small enough to work out by hand.

use pinfold_core::{
    model::{
        ground::{GroundCell, GroundPlan},
        route::{Launch, Step},
        store::LimitsStore,
        zone::{HeightBand, HeightReference, ZoneKind},
    },
    units::{CellCount, CellSide, CountHeight, SpeedLimit},
    verdict::{Cause, Finding, Outcome, Rule, Severity, Unit, Verdict},
};
use pinfold_tests::sample::{
    Site, band, climb, duration, figures, fly, found, height, judge, launch, length, position, speed_limit,
};

/// A square of some 4.4 km about launch at (0, 0), and what else a test adds.
fn wide(figures: pinfold_core::model::limits::Figures) -> Site {
    let ring = vec![(-200_000, -200_000), (-200_000, 200_000), (200_000, 200_000), (200_000, -200_000)];
    Site::new(figures).polygon("around", ZoneKind::KeepIn, None, &[ring]).expect("room")
}

fn here() -> Launch {
    launch(0, 0)
}

fn plain() -> Box<LimitsStore> {
    wide(figures()).seal().expect("sound")
}

fn hold(centiseconds: i32) -> Step {
    Step::Hold { time: duration(centiseconds) }
}

fn cause(verdict: &Verdict, rule: Rule) -> Option<Cause> {
    found(verdict, rule, None).filter(|finding| finding.severity().is_some()).map(|finding| finding.cause)
}

fn spare(verdict: &Verdict, rule: Rule) -> i32 {
    found(verdict, rule, None).and_then(|finding| finding.measure).expect("a measured finding").spare()
}

#[test]
fn a_hover_costs_what_it_costs_on_paper() {
    // Up 10 m at 3 m/s: 3.334 s at 260 W. 60 s at 190 W. Down 10 m at 0.7 m/s: 14.286 s at 190 W.
    // 866.840 + 11400 + 2714.340 J = 14981.180 J = 4.16144 Wh.
    let verdict = judge(&plain(), here(), &[climb(1000), hold(6000), Step::Land]);
    assert_eq!(verdict.outcome(), Outcome::Go);
    let energy = verdict.energy.expect("energy");
    assert_eq!(energy.needed, 4162);
    // 1000 Ah x 14.8 V, all of it.
    assert_eq!((energy.held, energy.usable), (14_800_000, 14_800_000));
    assert_eq!(verdict.summary.duration, Some(334 + 6000 + 1429 - 1));
    assert_eq!(verdict.summary.length, Some(0));
}

#[test]
fn the_reserve_is_kept_to_the_last_milliwatt_hour() {
    let mut exact = figures();
    exact.battery.nominal = pinfold_core::units::Voltage::new(100).expect("1 V");
    // 6.667 s of climbing at 260 W, then at 190 W 60 s of hold, 5 s of the return's own and 28.572 s of descent: 5.42003 Wh.
    let flight = [climb(2000), hold(6000), Step::Return];
    let with = |capacity: i32| {
        let mut held = exact.clone();
        held.battery.capacity = pinfold_core::units::Capacity::new(capacity).expect("in range");
        judge(&wide(held).seal().expect("sound"), here(), &flight).outcome()
    };
    assert_eq!(with(5421), Outcome::Go);
    assert_eq!(with(5420), Outcome::NoGo);
}

#[test]
fn a_leg_faster_than_the_power_table_cannot_be_judged() {
    let mut slow = figures();
    slow.aircraft.speed_max = SpeedLimit::new(1200).expect("in range");
    let verdict =
        judge(&wide(slow).seal().expect("sound"), here(), &[climb(1000), fly((0, 10_000), 1000, 1100), Step::Return]);
    assert_eq!(cause(&verdict, Rule::Reserve), Some(Cause::PowerTableEnds));
    assert_eq!(spare(&verdict, Rule::Reserve), -100);
    assert_eq!(verdict.outcome(), Outcome::NoGo);
}

#[test]
fn the_ceiling_counts_the_margin_of_the_speed() {
    // At 4 m/s 1 + 2.8 + 0.81577 = 4.62 m; the ceiling is at 120 m.
    let at = |cm: i32| judge(&plain(), here(), &[climb(cm), fly((0, 10_000), cm, 400), Step::Land]);
    assert_eq!(spare(&at(11_538), Rule::Ceiling), 0);
    assert_eq!(at(11_538).outcome(), Outcome::Go);
    assert_eq!(cause(&at(11_539), Rule::Ceiling), Some(Cause::Measured));
}

#[test]
fn the_floor_holds_between_climb_and_landing_only() {
    let to = |cm: i32| judge(&plain(), here(), &[climb(200), fly((0, 10_000), cm, 400), Step::Land]);
    assert_eq!(to(100).outcome(), Outcome::Go);
    let low = to(99);
    assert_eq!(cause(&low, Rule::Floor), Some(Cause::Measured));
    assert_eq!(found(&low, Rule::Floor, None).map(|finding| finding.step), Some(2));
}

#[test]
fn vertical_rates_are_those_of_the_leg() {
    // 10_000 counts of longitude on the equator are 111.319 m (metres per degree: 111319.49). At 4 m/s 27.83 s;
    // 80 m in that time are 2.8747 m/s, of 3 m/s up and 2 m/s down.
    let leg = |from: i32, to: i32| judge(&plain(), here(), &[climb(from), fly((0, 10_000), to, 400), Step::Land]);
    assert_eq!(spare(&leg(1000, 9000), Rule::ClimbRate), 300 - 288);
    assert_eq!(spare(&leg(9000, 1000), Rule::DescentRate), 200 - 288);
    assert!(found(&leg(9000, 1000), Rule::ClimbRate, None).is_none());
    let vertical = judge(&plain(), here(), &[climb(1000), fly((0, 0), 9000, 400), Step::Land]);
    assert!(found(&vertical, Rule::ClimbRate, None).is_none(), "a leg without length has no rate");
}

#[test]
fn a_stray_point_is_told_by_its_distance() {
    let mut habits = figures();
    habits.route = Some(pinfold_tests::sample::route_habits(20_000, 12_000));
    let store = wide(habits).seal().expect("sound");
    let fine = judge(&store, here(), &[climb(1000), fly((0, 10_000), 1000, 400), Step::Return]);
    assert_eq!(fine.outcome(), Outcome::Go);
    // 111.319 m rounded up by at most 0.007 % and 1 cm.
    assert!((12_000 - 11_134..=12_000 - 11_132).contains(&spare(&fine, Rule::Stray)), "{}", spare(&fine, Rule::Stray));
    let far = judge(&store, here(), &[climb(1000), fly((0, 11_000), 1000, 400), Step::Return]);
    assert_eq!(cause(&far, Rule::Stray), Some(Cause::Measured), "122 m to the first point");
    let second = [climb(1000), fly((0, 10_000), 1000, 400), fly((0, 21_000), 1000, 400), Step::Return];
    assert_eq!(judge(&store, here(), &second).outcome(), Outcome::Go, "the way home isn't a leg that can stray");
}

#[test]
fn the_same_point_twice_is_a_caution_also_over_the_antimeridian() {
    let again = [climb(1000), fly((0, 10_000), 1000, 400), fly((0, 10_000), 1000, 300), Step::Return];
    let verdict = judge(&plain(), here(), &again);
    assert_eq!(cause(&verdict, Rule::Repeat), Some(Cause::SameAsBefore));
    assert_eq!(verdict.outcome(), Outcome::Go);
    let held = [climb(1000), fly((0, 10_000), 1000, 400), hold(100), fly((0, 10_000), 1000, 300), Step::Return];
    assert_eq!(cause(&judge(&plain(), here(), &held), Rule::Repeat), None, "not two in a row");
    let higher = [climb(1000), fly((0, 0), 1000, 400), Step::Return];
    assert_eq!(cause(&judge(&plain(), here(), &higher), Rule::Repeat), Some(Cause::SameAsBefore), "a climb counts too");

    let ring = vec![
        (-200_000, 1_799_800_000),
        (-200_000, -1_799_800_000),
        (200_000, -1_799_800_000),
        (200_000, 1_799_800_000),
    ];
    let store =
        Site::new(figures()).polygon("around", ZoneKind::KeepIn, None, &[ring]).expect("room").seal().expect("sound");
    let both = [climb(1000), fly((0, 1_800_000_000), 1000, 400), fly((0, -1_800_000_000), 1000, 400), Step::Return];
    let verdict = judge(&store, launch(0, 1_799_990_000), &both);
    assert_eq!(cause(&verdict, Rule::Repeat), Some(Cause::SameAsBefore), "both names of one meridian");
    assert_eq!(verdict.outcome(), Outcome::Go);
}

#[test]
fn one_height_of_its_own_is_a_caution() {
    let at = |heights: &[i32]| {
        let legs = heights.iter().zip(1..).map(|(cm, number)| fly((0, 5_000 * number), *cm, 400));
        let steps: Vec<Step> = [climb(1000)].into_iter().chain(legs).chain([Step::Return]).collect();
        let verdict = judge(&plain(), here(), &steps);
        found(&verdict, Rule::OddHeight, None).map(|finding| finding.step)
    };
    assert_eq!(at(&[1000, 1000, 1200, 1000]), Some(4));
    assert_eq!(at(&[1200, 1000, 1000]), Some(2));
    assert_eq!(at(&[1000, 1200]), None, "of two, neither is the odd one");
    assert_eq!(at(&[1000, 1000, 1200, 1200]), None);
    assert_eq!(at(&[1000, 1000, 1200, 1300]), None);
    assert_eq!(at(&[1000, 1000, 1000]), None);
}

#[test]
fn sight_is_a_caution_by_the_size_of_the_aircraft() {
    // 327 x 0.5 + 20 = 183.5 m. 11 m above launch, 183.1 m over ground is 183.43 m through the air.
    let far = |longitude: i32| judge(&plain(), here(), &[climb(1100), fly((0, longitude), 1100, 400), Step::Land]);
    assert_eq!(found(&far(16_440), Rule::Sight, None).and_then(Finding::severity), None);
    assert_eq!(found(&far(16_480), Rule::Sight, None).and_then(Finding::severity), Some(Severity::Caution));
}

#[test]
fn heights_above_the_sea_need_the_elevation_only_where_they_matter() {
    let sea = HeightBand { reference: HeightReference::AboveSea, floor: None, ceiling: Some(height(5000)) };
    let store = wide(figures()).circle("mast", Some(sea), (0, 10_000), 500).expect("room").seal().expect("sound");
    let over = [climb(3000), fly((0, 20_000), 3000, 400), Step::Land];
    let verdict = judge(&store, here(), &over);
    assert_eq!(cause(&verdict, Rule::KeepOut), Some(Cause::NoElevation));
    assert_eq!(verdict.outcome(), Outcome::NoGo);
    let known = |elevation: i32| {
        let verdict = judge(&store, Launch { elevation: Some(height(elevation)), ..here() }, &over);
        found(&verdict, Rule::KeepOut, Some(1)).map(Finding::severity)
    };
    // The zone ends at 50 m above the sea, 1 m of margin, the flight is at 30 m above launch.
    assert_eq!(known(2100), Some(None));
    assert_eq!(known(2099), Some(Some(Severity::Stop)));
    let beside = [climb(3000), fly((20_000, 0), 3000, 400), Step::Land];
    assert_eq!(judge(&store, here(), &beside).outcome(), Outcome::Go, "far away, the heights don't matter");
}

#[test]
fn a_leg_may_pass_under_a_floor_and_over_a_ceiling_by_the_margin() {
    let with = |heights: HeightBand| {
        wide(figures()).circle("wire", Some(heights), (0, 10_000), 500).expect("room").seal().expect("sound")
    };
    let at = |store: &LimitsStore, cm: i32| {
        let verdict = judge(store, here(), &[climb(cm), fly((0, 20_000), cm, 400), Step::Land]);
        found(&verdict, Rule::KeepOut, Some(1)).and_then(|finding| finding.measure).expect("measured")
    };
    // Upwards 4.62 m at 4 m/s, downwards 1 m.
    let under = with(band(Some(3000), None));
    assert_eq!((at(&under, 2538).spare(), at(&under, 2538).unit), (0, Unit::MetresVertical));
    assert_eq!(at(&under, 2539).spare(), -1);
    let over = with(band(None, Some(3000)));
    assert_eq!(at(&over, 3100).spare(), 0);
    assert_eq!(at(&over, 3099).spare(), -1);
}

#[test]
fn a_climbing_leg_is_held_to_the_heights_that_it_has_at_the_zone() {
    // A zone of 5 m about 111.32 m from launch, up to 30 m; at 2 m/s 9.21 m are needed, or 1 m of height. The leg is 333.96 m
    // long and begins at 10 m: it must be at 31 m where it has come 97.11 m, so it must climb to 82.22 m.
    let store = wide(figures())
        .circle("mast", Some(band(None, Some(3000))), (0, 10_000), 500)
        .expect("room")
        .seal()
        .expect("sound");
    let to = |cm: i32| judge(&store, here(), &[climb(1000), fly((0, 30_000), cm, 200), Step::Land]);
    assert_eq!(cause(&to(8215), Rule::KeepOut), Some(Cause::Measured), "its highest point would clear the zone");
    assert_eq!(cause(&to(8235), Rule::KeepOut), None, "its lowest point would not");
    let level = judge(&store, here(), &[climb(3100), fly((0, 30_000), 3100, 200), Step::Land]);
    assert_eq!(cause(&level, Rule::KeepOut), None);
}

#[test]
fn touching_a_zone_is_a_stop_even_without_any_margin() {
    let mut none = figures();
    none.margins.fixed = length(0);
    none.margins.reaction = duration(0);
    let touch = vec![(0, 10_000), (5_000, 20_000), (-5_000, 20_000)];
    let store = wide(none).polygon("corner", ZoneKind::KeepOut, None, &[touch]).expect("room").seal().expect("sound");
    // Straight up beside the zone's corner: on it, and one count (11 mm) before it.
    let up = |longitude: i32| {
        judge(&store, Launch { position: position(0, longitude), ..here() }, &[climb(1000), Step::Land])
    };
    assert_eq!(cause(&up(10_000), Rule::KeepOut), Some(Cause::Measured));
    assert_eq!(cause(&up(9_995), Rule::KeepOut), None);
}

#[test]
fn extent_alone_is_reported_when_it_fails() {
    let store = plain();
    let verdict = judge(&store, launch(800_000_000, 0), &[climb(1000), Step::Land]);
    let all: Vec<_> = verdict.findings.iter().map(|finding| (finding.rule, finding.cause)).collect();
    assert_eq!(all, [(Rule::Extent, Cause::LaunchTooFarNorth)]);
    let verdict = judge(&store, here(), &[climb(20_000), fly((4_600_000, 0), 20_000, 400), Step::Land]);
    let all: Vec<_> = verdict.findings.iter().map(|finding| finding.rule).collect();
    assert_eq!(all, [Rule::Extent], "the ceiling is broken too, but nothing else is asked");
}

/// Of several zones that are out of reach one is told.
#[test]
fn of_zones_beyond_reach_the_farthest_is_reported_alone() {
    let far = |site: Site, name: &str, longitude: i32| site.circle(name, None, (0, longitude), 500).expect("room");
    let site = far(far(wide(figures()), "far", 6_000_000), "farther", 7_000_000);
    let verdict = judge(&site.seal().expect("sound"), here(), &[climb(20_000), Step::Land]);
    let all: Vec<_> = verdict.findings.iter().map(|finding| (finding.rule, finding.zone)).collect();
    assert_eq!(all, [(Rule::Extent, Some(2))]);
}

#[test]
fn a_route_has_at_most_so_many_steps() {
    let route = |holds: usize| {
        let holds = std::iter::repeat_n(Step::Hold { time: duration(1) }, holds);
        let steps: Vec<Step> = [climb(1000)].into_iter().chain(holds).chain([Step::Land]).collect();
        let verdict = judge(&plain(), here(), &steps);
        (cause(&verdict, Rule::Sequence), verdict.findings.iter().count())
    };
    let all = pinfold_core::model::route::STEPS;
    assert_eq!(route(all - 2).0, None);
    assert_eq!(route(all - 1), (Some(Cause::TooManySteps), 1));
}

#[test]
fn a_step_of_no_duration_does_not_stop_an_aircraft() {
    // At 8 m/s 7 + 8 + 3.26 = 18.27 m are needed. The zone begins 15.6 m beyond the last point, above the flight: only the
    // rise of the return comes near its heights, with the margin of the leg that it starts from.
    let mut high = figures();
    high.homeward.height = height(4000);
    let zone = vec![(-5_000, 11_400), (-5_000, 20_000), (5_000, 20_000), (5_000, 11_400)];
    let site = wide(high).polygon("wood", ZoneKind::KeepOut, Some(band(Some(3500), None)), &[zone]);
    let store = site.and_then(Site::seal).expect("sound");
    let outcome = |between: &[Step]| {
        let mut steps = vec![climb(1000), fly((0, 10_000), 1000, 800)];
        steps.extend(between);
        steps.push(Step::Return);
        let verdict = judge(&store, here(), &steps);
        let severity = |rule| found(&verdict, rule, Some(1)).and_then(Finding::severity);
        assert_eq!(severity(Rule::ReturnPath), Some(Severity::Stop), "a return could begin on the leg");
        severity(Rule::KeepOut)
    };
    assert_eq!(outcome(&[]), Some(Severity::Stop));
    assert_eq!(outcome(&[hold(0)]), Some(Severity::Stop));
    assert_eq!(outcome(&[climb(1001)]), Some(Severity::Stop));
    assert_eq!(outcome(&[hold(100)]), None, "after a second of holding nothing runs on");
}

#[test]
fn between_a_long_edge_and_its_chord_the_exact_side_counts() {
    // An edge of 10 km along the 60th parallel bows 3.4 m away from its chord. Launch is 2 m north of it.
    let mut near = figures();
    near.margins.fixed = length(100);
    near.margins.reaction = duration(0);
    near.homeward.speed = speed_limit(50);
    let edge = 600_000_000 - 180;
    let ring = |far: i32| vec![(edge, -900_000), (edge, 900_000), (far, 900_000), (far, -900_000)];
    let steps = [climb(2000), fly((600_000_000, 20), 2000, 50), Step::Land];
    let to_the_south = Site::new(near.clone()).polygon("south", ZoneKind::KeepIn, None, &[ring(edge - 900_000)]);
    let outside = judge(&to_the_south.and_then(Site::seal).expect("sound"), launch(600_000_000, 0), &steps);
    assert_eq!(cause(&outside, Rule::KeepIn), Some(Cause::Measured), "it begins outside");
    let far = 900_000 * 2;
    let wide = vec![(edge - far, -far), (edge - far, far), (edge + far, far), (edge + far, -far)];
    let to_the_north = Site::new(near)
        .polygon("all", ZoneKind::KeepIn, None, &[wide])
        .and_then(|site| site.polygon("north", ZoneKind::KeepOut, None, &[ring(edge + 900_000)]));
    let inside = judge(&to_the_north.and_then(Site::seal).expect("sound"), launch(600_000_000, 0), &steps);
    assert_eq!(cause(&inside, Rule::KeepOut), Some(Cause::Measured), "it begins inside");
}

#[test]
fn people_are_as_far_away_as_the_aircraft_is_high_and_no_nearer_than_is_said() {
    // Straight up beside a crowd of 1 m radius. 7 m is the margin.
    let spare = |least: Option<i32>, up: i32| {
        let mut figures = figures();
        figures.margins.people = least.map(length);
        let site = wide(figures).circle_of("crowd", ZoneKind::People, None, (1_000, 0), 100).expect("room");
        let verdict = judge(&site.seal().expect("sound"), here(), &[climb(up), Step::Land]);
        found(&verdict, Rule::People, Some(1)).and_then(|finding| finding.measure).expect("measured").spare()
    };
    // 1,000 counts of latitude at the equator are 11.057 m (110,574.28 m a degree); less 1 m.
    let clear = 1005 - 3;
    assert!((clear..=1005).contains(&(spare(None, 500) + 700)), "the margin counts below 7 m");
    assert!((clear..=1005).contains(&(spare(None, 900) + 900)), "then the height");
    assert!((clear..=1005).contains(&(spare(Some(3000), 900) + 3000)), "but no less than is said");
    assert!((clear..=1005).contains(&(spare(Some(800), 900) + 900)), "which takes nothing from the height");
}

#[test]
fn a_zone_touched_from_above_is_a_stop_after_a_step_with_nothing_to_spare() {
    // The climb is exactly as far from the circle as it must be; the leg then lies on the zone's ceiling.
    let mut none = figures();
    (none.margins.fixed, none.margins.up_fixed) = (length(0), length(0));
    none.margins.reaction = duration(0);
    let zone = vec![(-5_000, 10_000), (-5_000, 20_000), (5_000, 20_000), (5_000, 10_000)];
    let beside = |fixed: i32| {
        let mut figures = none.clone();
        figures.margins.fixed = length(fixed);
        let site =
            wide(figures).polygon("hut", ZoneKind::KeepOut, Some(band(None, Some(2000))), std::slice::from_ref(&zone));
        // The return is as high; a landing there would go through the zone.
        let steps = [climb(2000), fly((0, 15_000), 2000, 1), Step::Return];
        let verdict = judge(&site.and_then(Site::seal).expect("sound"), here(), &steps);
        found(&verdict, Rule::KeepOut, Some(1)).and_then(Finding::severity)
    };
    for fixed in [0, 5_000, 11_100, 11_125, 11_126, 11_127, 11_128, 11_129, 11_130, 11_131, 11_132] {
        assert_eq!(beside(fixed), Some(Severity::Stop), "{fixed}");
    }
}

#[test]
fn a_way_home_that_touches_the_ground_is_a_stop_also_where_the_ceiling_has_nothing_to_spare() {
    // Ways home at 20 m, over ground of 20 m. At 4 m/s 0.82 m are needed below the ceiling, and that much is there.
    let mut none = figures();
    (none.margins.up_fixed, none.margins.reaction) = (length(0), duration(0));
    none.heights.ceiling = height(2082);
    let plan = GroundPlan {
        corner: position(-50_000, -50_000),
        rows: CellCount::new(1).expect("in range"),
        columns: CellCount::new(1).expect("in range"),
        cell_north: CellSide::new(100_000).expect("in range"),
        cell_east: CellSide::new(100_000).expect("in range"),
        base: height(0),
        count_height: CountHeight::new(1).expect("in range"),
    };
    let over = |ground: u16| {
        let cell = GroundCell::new(ground, ground).expect("a low and a high");
        let store = wide(none.clone()).ground(plan, &[cell]).seal().expect("sound");
        let known = Launch { elevation: Some(height(0)), ..here() };
        let verdict = judge(&store, known, &[climb(2000), fly((0, 10_000), 2000, 1), Step::Return]);
        let finding = found(&verdict, Rule::ReturnPath, None).copied().expect("a finding");
        (finding.severity(), finding.measure.expect("measured").spare())
    };
    assert_eq!(over(1999), (None, 0), "the ceiling has nothing to spare, the ground 1 cm");
    assert_eq!(over(2000), (Some(Severity::Stop), -1));
}
