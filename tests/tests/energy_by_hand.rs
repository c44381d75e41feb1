//! What flying takes, against numbers worked out by hand: those of the docs of `pinfold_core::rules::energy` among them.

use pinfold_core::{
    model::{
        limits::{Figures, Wind, WindFrom},
        route::Step,
        store::LimitsStore,
        zone::ZoneKind,
    },
    rules::{Aloft, PackReading, Readings},
    units::{Charge, Direction, Duration, Spread, Voltage, WindSpeed},
    verdict::{Cause, Finding, Outcome, Rule, Severity, Verdict},
};
use pinfold_tests::sample::{
    Site, band, climb, duration, figures, fly, found, height, judge, judge_with, launch, position, speed_limit,
};

/// A square of some 4.4 km about launch at (0, 0).
fn site(figures: Figures) -> Site {
    let ring = vec![(-200_000, -200_000), (-200_000, 200_000), (200_000, 200_000), (200_000, -200_000)];
    Site::new(figures).polygon("around", ZoneKind::KeepIn, None, &[ring]).expect("room")
}

fn held(figures: Figures) -> Box<LimitsStore> {
    site(figures).seal().expect("sound")
}

fn wind(up_to: i32, from: Option<(i32, i32)>) -> Wind {
    Wind {
        up_to: WindSpeed::new(up_to).expect("in range"),
        from: from.map(|(direction, spread)| WindFrom {
            direction: Direction::new(direction).expect("in range"),
            spread: Spread::new(spread).expect("in range"),
        }),
    }
}

fn windy(up_to: i32, from: Option<(i32, i32)>) -> Figures {
    Figures { wind: wind(up_to, from), ..figures() }
}

fn hold(time: i32) -> Step {
    Step::Hold { time: duration(time) }
}

fn needed(verdict: &Verdict) -> u32 {
    verdict.energy.expect("a need").needed
}

fn measure(verdict: &Verdict, rule: Rule) -> (i32, i32) {
    let measure = found(verdict, rule, None).and_then(|finding| finding.measure).expect("a measure");
    (measure.clearance, measure.required)
}

fn flown(figures: Figures, steps: &[Step]) -> Verdict {
    judge(&held(figures), launch(0, 0), steps)
}

#[test]
fn hovering_in_still_air_takes_what_the_docs_work_out() {
    let verdict = flown(figures(), &[climb(2000), hold(6000), Step::Return]);
    assert_eq!(needed(&verdict), 5_421);
    assert_eq!(verdict.energy.and_then(|energy| energy.worst_wind_from), None);
}

/// Out and back to the east at 5 m/s.
fn east(figures: Figures) -> Verdict {
    let mut figures = figures;
    figures.homeward.speed = speed_limit(500);
    flown(figures, &[climb(2000), fly((0, 100_000), 2000, 500), Step::Return])
}

#[test]
fn out_and_back_in_a_wind_takes_what_the_docs_work_out() {
    let verdict = east(windy(300, Some((270, 0))));
    assert_eq!(needed(&verdict), 26_498);
    assert_eq!(verdict.energy.and_then(|energy| energy.worst_wind_from).map(Direction::get), Some(270));
    // The far end is the worst place to turn back from, and what comes after it is what the route does anyway.
    assert_eq!(measure(&verdict, Rule::TurnBack).1, 26_498);
    assert_eq!(found(&verdict, Rule::TurnBack, None).map(|finding| finding.step), Some(2));
}

/// A stay at the end of a leg is what the same stay is as a step of its own.
#[test]
fn a_stay_at_the_end_of_a_leg_takes_time_and_charge() {
    let Step::Fly { to, height, speed, .. } = fly((0, 10_000), 2000, 500) else { panic!("a leg") };
    let stays = Step::Fly { to, height, speed, hold: duration(6000) };
    let within = flown(figures(), &[climb(2000), stays, Step::Return]);
    let after = flown(figures(), &[climb(2000), fly((0, 10_000), 2000, 500), hold(6000), Step::Return]);
    let without = flown(figures(), &[climb(2000), fly((0, 10_000), 2000, 500), Step::Return]);
    assert_eq!((needed(&within), within.summary.duration), (needed(&after), after.summary.duration));
    // 60 s at 190 W are 3.1667 Wh.
    assert!((3_166..=3_167).contains(&(needed(&within) - needed(&without))));
    assert_eq!(measure(&within, Rule::TurnBack), measure(&after, Rule::TurnBack));
}

#[test]
fn a_wind_along_the_way_is_against_only_one_of_two_legs() {
    // Both ways against 3 m/s would be 208 W for 445.308 s and the 8,112.1 J of climb, hold and descent: 27.983 Wh.
    let against_both = 27_983;
    for from in [Some((90, 0)), Some((270, 0)), None] {
        let needed = needed(&east(windy(300, from)));
        assert!((26_400..26_800).contains(&needed) && needed < against_both, "{from:?}: {needed}");
    }
    // In still air 175 W both ways.
    assert_eq!(needed(&east(figures())), (175 * 222_654 * 2 + 8_112_100_u32).div_ceil(3600));
}

/// 10 m/s is where the power table ends: that is known, and what it takes is held to the charge. 10.01 m/s isn't.
#[test]
fn at_the_end_of_the_power_table_the_reserve_still_counts() {
    let at = |speed: i32, capacity: i32| {
        let mut figures = figures();
        figures.aircraft.speed_max = speed_limit(1200);
        figures.battery.capacity = pinfold_core::units::Capacity::new(capacity).expect("in range");
        let verdict = flown(figures, &[climb(2000), fly((0, 100_000), 2000, speed), Step::Land]);
        found(&verdict, Rule::Reserve, None).map(|finding| (finding.cause, finding.severity()))
    };
    assert_eq!(at(1000, 1_000_000), Some((Cause::Measured, None)));
    assert_eq!(at(1000, 500), Some((Cause::Measured, Some(Severity::Stop))));
    assert_eq!(at(1001, 1_000_000), Some((Cause::PowerTableEnds, Some(Severity::Stop))));
}

#[test]
fn where_nothing_is_flown_over_ground_in_still_air_there_is_no_airspeed_to_tell() {
    let verdict = flown(figures(), &[climb(2000), Step::Land]);
    assert_eq!(found(&verdict, Rule::Wind, None).map(|finding| finding.cause), None);
}

#[test]
fn the_worst_direction_is_named_by_its_sector() {
    let leg = [climb(2000), fly((100_000, 0), 2000, 500), Step::Land];
    let worst =
        |from| flown(windy(400, from), &leg).energy.and_then(|energy| energy.worst_wind_from).map(Direction::get);
    // Northwards, against a wind from the north; 5 degrees beside it the airspeed is the same to 0.01 m/s.
    assert!(matches!(worst(None), Some(352..=357 | 2..=7)), "{:?}", worst(None));
    // From 30 to 90 degrees, the first sector is 30 to 35.
    assert_eq!(worst(Some((60, 30))), Some(32));
}

#[test]
fn a_wind_that_cannot_be_held_is_refused() {
    let spare = |figures: Figures, steps: &[Step]| measure(&flown(figures, steps), Rule::Wind).0;
    let there = [climb(2000), fly((0, 10_000), 2000, 800), Step::Land];
    // 14 m/s is the most; 8 m/s against 6 m/s takes all of it, against 6.01 m/s more. The return flies at 4 m/s.
    assert_eq!(spare(windy(600, Some((90, 0))), &there), 0);
    assert_eq!(spare(windy(601, Some((90, 0))), &there), -1);
    // From behind, the way home is against it: 4 m/s + 6 m/s, of 14 m/s.
    assert_eq!(spare(windy(600, Some((270, 0))), &there), 400);
    assert_eq!(spare(windy(1001, Some((270, 0))), &there), -1);
    // Holding in place takes the wind's own speed.
    assert_eq!(spare(windy(1300, None), &[climb(2000), Step::Land]), 100);
}

#[test]
fn the_power_table_ends_where_the_wind_asks_for_more() {
    let verdict = flown(windy(601, Some((270, 0))), &[climb(2000), fly((0, 10_000), 2000, 100), Step::Return]);
    let finding = found(&verdict, Rule::Reserve, None).expect("a finding");
    // 4 m/s home against 6.01 m/s, where the table ends at 10 m/s: on the way home that could start on step 2.
    assert_eq!((finding.cause, finding.step), (Cause::PowerTableEnds, 2));
    assert_eq!(finding.measure.map(|measure| measure.clearance), Some(-1));
    assert_eq!((verdict.outcome(), verdict.energy), (Outcome::NoGo, None));
}

/// A pack of exactly so much, 0.001 Wh.
fn pack(mut figures: Figures, charge: i32) -> Figures {
    figures.battery.nominal = Voltage::new(100).expect("1 V");
    figures.battery.capacity = pinfold_core::units::Capacity::new(charge).expect("in range");
    figures
}

#[test]
fn a_turn_back_is_held_to_the_charge_to_the_last_milliwatt_hour() {
    // Landing at the far end takes less than coming home from there.
    let steps = [climb(2000), fly((0, 100_000), 2000, 500), Step::Land];
    let figures = || {
        let mut figures = windy(300, Some((270, 0)));
        figures.homeward.speed = speed_limit(500);
        figures
    };
    let verdict = flown(figures(), &steps);
    // At the far end 26.4979 Wh, as worked out above; at touchdown there 28.572 s of descent at 190 W and 6.667 s of climb at
    // 260 W more: 28.4874 Wh.
    assert_eq!(measure(&verdict, Rule::TurnBack).1, 28_488);
    assert!(needed(&verdict) < 15_000);
    let with = |charge| flown(pack(figures(), charge), &steps);
    assert_eq!(with(28_488).outcome(), Outcome::Go);
    let short = with(28_487);
    let stops: Vec<Rule> = short
        .findings
        .broken()
        .filter(|(severity, _)| *severity == Severity::Stop)
        .map(|(_, finding)| finding.rule)
        .collect();
    assert_eq!(stops, [Rule::TurnBack]);
    assert_eq!(measure(&short, Rule::TurnBack), (28_487, 28_488));
}

/// The way home from a leg is longest at its ends, yet the worst place may be between them: in a wind from the south the way home
/// from the middle of a leg past launch is against it.
#[test]
fn the_worst_place_to_turn_back_can_be_in_the_middle_of_a_leg() {
    let mut figures = windy(500, Some((180, 0)));
    figures.power.points = [(0, 100), (850, 100), (890, 3000), (1000, 3100)]
        .into_iter()
        .map(|(airspeed, watts)| pinfold_core::model::limits::PowerPoint {
            airspeed: pinfold_core::units::Airspeed::new(airspeed).expect("in range"),
            power: pinfold_core::units::Power::new(watts).expect("in range"),
        })
        .collect();
    figures.homeward.speed = speed_limit(400);
    let steps = [climb(2000), fly((40_000, -40_000), 2000, 200), fly((40_000, 40_000), 2000, 200), Step::Return];
    let verdict = flown(figures, &steps);
    let finding = found(&verdict, Rule::TurnBack, None).expect("a finding");
    let place = finding.place.expect("a place");
    assert_eq!(finding.step, 3);
    assert!(place.position.longitude.get().abs() < 39_000, "{place:?}");
}

fn aloft(at: (i32, i32), up: i32, left: i32) -> Readings {
    let left = Charge::new(left).expect("in range");
    Readings { aloft: Some(Aloft { position: position(at.0, at.1), height: height(up), left }), ..Readings::default() }
}

#[test]
fn an_aircraft_aloft_is_judged_from_where_it_is_with_what_is_left() {
    let steps = [Step::Return];
    let from = |left| judge_with(&held(figures()), launch(0, 0), aloft((0, 100_000), 2000, left), &steps);
    // 1,113.267 m at 4 m/s: 278.317 s at 178 W, and 33.572 s at 190 W: 15.53308 Wh.
    assert_eq!(needed(&from(100_000)), (178 * 278_317 + 190 * 33_572_u32).div_ceil(3600));
    assert_eq!(from(15_534).outcome(), Outcome::Go);
    assert_eq!(from(15_533).outcome(), Outcome::NoGo);
    assert_eq!(from(100_000).energy.map(|energy| energy.usable), Some(100_000));
}

#[test]
fn an_aircraft_aloft_is_held_to_the_place_that_it_is_at() {
    let close = |at| judge_with(&held(figures()), launch(0, 0), aloft(at, 2000, 1_000_000), &[hold(100), Step::Return]);
    let spare = |at| found(&close(at), Rule::KeepIn, None).and_then(|found| found.measure);
    // At up to 10 m/s the margin is 7 + 10 + 5.0986 m, and the edge some 2,226.4 m away.
    let near = spare((0, 199_000)).expect("a measure");
    assert_eq!(near.required, 2210);
    assert_eq!(close((0, 199_000)).outcome(), Outcome::NoGo, "11 m from the edge");
    assert_eq!(close((0, 190_000)).outcome(), Outcome::Go);
}

#[test]
fn an_aircraft_aloft_is_held_to_its_place_whatever_it_does_first() {
    let landing = judge_with(&held(figures()), launch(0, 0), aloft((0, 199_000), 2000, 1_000_000), &[Step::Land]);
    let spare = found(&landing, Rule::KeepIn, None).and_then(|found| found.measure).expect("a measure");
    assert_eq!((spare.required, landing.outcome()), (2210, Outcome::NoGo));
}

/// 20 m from a zone that begins at 10 m: from 5 m an aircraft rises to the return height, at whatever speed it has.
#[test]
fn an_aircraft_aloft_may_be_at_any_speed_when_it_begins_to_rise() {
    let above = |distance: i32| {
        let at = (0, 100_000 + distance);
        let site = site(figures()).circle("mast", Some(band(Some(1000), None)), at, 500).and_then(Site::seal);
        judge_with(&site.expect("sound"), launch(0, 0), aloft((0, 100_000), 500, 1_000_000), &[Step::Return])
    };
    // 2,246 counts are 25.0 m: 20 m from the circle, of 7 + 10 + 5.0986 m that 10 m/s need; 2,700 are 30.06 m.
    assert_eq!(above(2_246).outcome(), Outcome::NoGo);
    assert_eq!(above(2_700).outcome(), Outcome::Go, "{:?}", above(2_700).findings.broken().collect::<Vec<_>>());
}

#[test]
fn an_aircraft_aloft_comes_down_through_heights_that_no_climb_has_asked_about() {
    let ring = vec![(-200, -200), (-200, 200), (200, 200), (200, -200)];
    let low = site(figures()).polygon("mast", ZoneKind::KeepOut, Some(band(None, Some(800))), &[ring]).expect("room");
    let steps = [fly((0, 90_000), 2000, 500), Step::Land];
    let verdict = judge_with(&low.seal().expect("sound"), launch(0, 0), aloft((0, 100_000), 2000, 1_000_000), &steps);
    assert!(found(&verdict, Rule::KeepOut, None).and_then(Finding::severity).is_some());
}

/// From above the return height it comes down from where it is: through a zone over launch from 40 m to 50 m.
#[test]
fn an_aircraft_high_aloft_comes_down_from_where_it_is() {
    let lid = |at| {
        let site = site(figures()).circle("lid", Some(band(Some(4000), Some(5000))), at, 500).and_then(Site::seal);
        let steps = [fly((0, 90_000), 6000, 500), Step::Land];
        judge_with(&site.expect("sound"), launch(0, 0), aloft((0, 100_000), 6000, 1_000_000), &steps)
    };
    let own = |verdict: &Verdict| found(verdict, Rule::KeepOut, None).and_then(Finding::severity);
    assert_eq!(own(&lid((0, 0))), Some(Severity::Stop));
    assert_eq!(own(&lid((0, 10_000))), None);
}

#[test]
fn an_aircraft_aloft_needs_no_climb_and_no_first_point_near_launch() {
    let mut figures = figures();
    figures.route = Some(pinfold_tests::sample::route_habits(50_000, 1_000));
    let steps = [fly((0, 99_000), 2000, 500), Step::Return];
    let verdict = judge_with(&held(figures), launch(0, 0), aloft((0, 100_000), 2000, 1_000_000), &steps);
    assert_eq!(verdict.outcome(), Outcome::Go, "{:?}", verdict.findings.broken().collect::<Vec<_>>());
}

#[test]
fn an_aircraft_aloft_beyond_reach_is_no_go() {
    let verdict = judge_with(&held(figures()), launch(0, 0), aloft((50_000_000, 0), 2000, 1_000_000), &[Step::Return]);
    assert_eq!(found(&verdict, Rule::Extent, None).map(|finding| finding.cause), Some(Cause::BeyondReach));
    assert_eq!(verdict.outcome(), Outcome::NoGo);
}

/// Half a degree is 55.3 km: it can be told where that is, but nothing is vouched for beyond 50 km.
#[test]
fn an_aircraft_aloft_just_beyond_reach_is_no_go() {
    let verdict = judge_with(&held(figures()), launch(0, 0), aloft((5_000_000, 0), 2000, 1_000_000), &[Step::Return]);
    let findings: Vec<_> = verdict.findings.iter().map(|finding| (finding.rule, finding.cause)).collect();
    assert_eq!(findings, [(Rule::Extent, Cause::Measured)]);
    assert_eq!(verdict.outcome(), Outcome::NoGo);
}

fn with_pack(figures: Figures, volts: i32, rested: Option<i32>) -> Verdict {
    let voltage = Voltage::new(volts).expect("in range");
    let pack = PackReading { voltage, rested: rested.and_then(Duration::new) };
    let readings = Readings { pack: Some(pack), ..Readings::default() };
    judge_with(&held(figures), launch(0, 0), readings, &[climb(2000), hold(6000), Step::Return])
}

#[test]
fn a_pack_is_held_to_what_its_voltage_says() {
    let small = || {
        let mut figures = figures();
        figures.battery.capacity = pinfold_core::units::Capacity::new(1000).expect("in range");
        figures
    };
    // 14.8 Wh in all. 3.8 V a cell: 42 % of it, 6.216 Wh, is more than the 5.421 Wh needed; 3.78 V: 35.2 %, 5.2096 Wh, is not.
    let verdict = with_pack(small(), 1520, None);
    assert_eq!((measure(&verdict, Rule::Pack), verdict.outcome()), ((6_216, 5_421), Outcome::Go));
    let verdict = with_pack(small(), 1512, None);
    assert_eq!((measure(&verdict, Rule::Pack), verdict.outcome()), ((5_209, 5_421), Outcome::NoGo));
    let cause =
        |volts, rested| found(&with_pack(small(), volts, rested), Rule::Pack, None).map(|finding| finding.cause);
    assert_eq!(cause(1520, Some(59_999)), Some(Cause::PackNotRested));
    assert_eq!(cause(1520, Some(60_000)), Some(Cause::Measured));
    assert_eq!(cause(1681, None), Some(Cause::PackTooHigh));
    assert_eq!(cause(1390, None), Some(Cause::PackTooLow));
    assert_eq!(cause(1260, None), Some(Cause::PackOfOtherCells));
    assert_eq!(with_pack(small(), 1260, None).outcome(), Outcome::NoGo);
}

/// At launch there is no way to fly home: what its airspeed would be doesn't matter.
#[test]
fn a_landing_at_launch_is_asked_about_turning_back_in_any_wind_that_can_be_held() {
    // 4 m/s against 6.5 m/s is beyond the power table; hovering in 6.5 m/s is not.
    let readings = aloft((0, 0), 2500, 1_000_000);
    let verdict = judge_with(&held(windy(650, None)), launch(0, 0), readings, &[Step::Land]);
    // At touchdown, after 35.715 s: 20 m up at 3 m/s again, 5 s of hold and 28.572 s down; 191.5 W is the power at 6.5 m/s.
    let needed = (191_500 * (35_715 + 5_000 + 28_572_u64) + 261_500 * 6_667).div_ceil(3_600_000);
    assert_eq!(u64::try_from(measure(&verdict, Rule::TurnBack).1), Ok(needed));
    assert_eq!(verdict.outcome(), Outcome::Go);
}
