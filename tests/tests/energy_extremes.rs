//! Energy at the ends of every range: nothing wraps, nothing is cut short, and what takes more is never said to take less.

use pinfold_core::{
    model::{
        limits::{Figures, PowerPoint, PowerTable, Wind},
        route::Step,
        zone::ZoneKind,
    },
    units::{Airspeed, Capacity, Duration, Height, Power, Speed, SpeedLimit, Voltage, WindSpeed},
    verdict::{Outcome, Rule, Verdict},
};
use pinfold_tests::{
    oracle::{
        energy::{bombard::hold, extremes},
        space::dice::Dice,
        tally::Fault,
    },
    sample::{Site, climb, figures, fly, found, judge, launch, speed_limit},
};

/// As much as can be written down: 50 kW at any airspeed up to 100 m/s, and a wind of 100 m/s from anywhere, with the largest pack.
fn extreme(wind: i32, watts: i32) -> Figures {
    let power = Power::new(watts).expect("in range");
    let point = |airspeed| PowerPoint { airspeed: Airspeed::new(airspeed).expect("in range"), power };
    let mut figures = figures();
    figures.power = PowerTable { points: [point(0), point(Airspeed::MAX)].into_iter().collect(), climb: power };
    figures.wind = Wind { up_to: WindSpeed::new(wind).expect("in range"), from: None };
    figures.aircraft.airspeed_max = speed_limit(SpeedLimit::MAX);
    figures.aircraft.speed_max = speed_limit(SpeedLimit::MAX);
    figures.battery.capacity = Capacity::new(Capacity::MAX).expect("in range");
    figures.battery.nominal = Voltage::new(Voltage::MAX).expect("in range");
    figures.heights.ceiling = Height::new(Height::MAX).expect("in range");
    figures
}

/// Round the equator's 0.4 degrees: everything within 50 km.
fn flown(figures: Figures, steps: &[Step]) -> Verdict {
    let ring = vec![(-3_100_000, -3_100_000), (-3_100_000, 3_100_000), (3_100_000, 3_100_000), (3_100_000, -3_100_000)];
    let site = Site::new(figures).polygon("around", ZoneKind::KeepIn, None, &[ring]).expect("room");
    judge(&site.seal().expect("sound"), launch(0, 0), steps)
}

fn needed(verdict: &Verdict) -> f64 {
    f64::from(verdict.energy.expect("a need").needed) / 1000.0
}

#[test]
fn a_crawl_at_full_power_takes_what_it_takes() {
    // 33.396 km at 0.01 m/s with 50 kW: 46 GWh, more than any number that is reported can say.
    let mut figures = extreme(0, Power::MAX);
    figures.homeward.speed = speed_limit(1);
    let verdict = flown(figures, &[climb(2000), fly((0, 3_000_000), 2000, 1), Step::Land]);
    assert_eq!(verdict.outcome(), Outcome::NoGo);
    assert_eq!(verdict.energy.map(|energy| energy.needed), Some(u32::try_from(i32::MAX).expect("positive")));
    for rule in [Rule::Reserve, Rule::TurnBack] {
        let measure = found(&verdict, rule, None).and_then(|finding| finding.measure).expect("a measure");
        assert!(measure.clearance < measure.required && measure.required == i32::MAX, "{rule:?}: {measure:?}");
    }
}

#[test]
fn the_longest_holds_add_up_without_wrapping() {
    let day = Step::Hold { time: Duration::new(Duration::MAX).expect("in range") };
    // A day at 50 kW is 1,200 kWh; the largest pack has 100 kWh.
    for days in [1, 2, 1000, 65_000] {
        let steps: Vec<Step> = [vec![climb(2000)], vec![day; days], vec![Step::Land]].concat();
        let verdict = flown(extreme(0, Power::MAX), &steps);
        let by_hand = (1_200_000.0 * f64::from(u32::try_from(days).expect("few"))).min(f64::from(i32::MAX) / 1000.0);
        assert!(needed(&verdict) >= by_hand, "{days} days: {}", needed(&verdict));
        assert_eq!(verdict.outcome(), Outcome::NoGo);
    }
}

#[test]
fn the_least_power_takes_next_to_nothing_and_not_nothing() {
    let verdict = flown(extreme(0, Power::MIN), &[climb(1), Step::Land]);
    assert!(verdict.energy.is_some_and(|energy| (1..10).contains(&energy.needed)), "{:?}", verdict.energy);
    assert_eq!(found(&verdict, Rule::Reserve, None).map(|finding| finding.severity()), Some(None));
}

#[test]
fn the_strongest_wind_asks_for_no_more_than_there_are_numbers_for() {
    // 100 m/s against 100 m/s are 200: the power table ends at 100.
    let step = fly((0, 3_000_000), 2000, Speed::MAX);
    let verdict = flown(extreme(WindSpeed::MAX, Power::MAX), &[climb(2000), step, Step::Land]);
    let reserve = found(&verdict, Rule::Reserve, None).and_then(|finding| finding.measure).expect("a measure");
    assert_eq!(reserve.clearance, -10_000);
    let wind = found(&verdict, Rule::Wind, None).and_then(|finding| finding.measure).expect("a measure");
    assert_eq!(wind.clearance, -10_000);
    assert_eq!(verdict.energy, None);
}

#[test]
fn more_wind_never_takes_less() {
    let mut before = (0.0, 0);
    for wind in [0, 1, 10, 100, 300, 500, 600] {
        let mut figures = figures();
        figures.wind = Wind { up_to: WindSpeed::new(wind).expect("in range"), from: None };
        let steps = [climb(2000), fly((100_000, 50_000), 2500, 300), fly((-70_000, 90_000), 2000, 400), Step::Return];
        let verdict = flown(figures, &steps);
        let turn_back = found(&verdict, Rule::TurnBack, None).and_then(|finding| finding.measure).expect("a measure");
        assert!(needed(&verdict) >= before.0 && turn_back.required >= before.1, "{wind}");
        before = (needed(&verdict), turn_back.required);
    }
}

#[test]
fn the_farthest_leg_at_the_highest_speed_is_exact() {
    // 33.396 km in 333.96 s at 50 kW: 4,638 Wh; a climb of 20 m at 3 m/s and 28.572 s of descent add 489.4 Wh.
    let verdict = flown(extreme(0, Power::MAX), &[climb(2000), fly((0, 3_000_000), 2000, Speed::MAX), Step::Land]);
    let by_hand = (33_395.85 / 100.0 + 20.0 / 3.0 + 20.0 / 0.7) * 50_000.0 / 3600.0;
    let found = needed(&verdict);
    assert!(found >= by_hand && found <= by_hand * 1.0002, "{found} {by_hand}");
}

/// Any number at the ends of every range is held to the oracle: what wraps would promise what isn't there.
#[test]
fn figures_at_the_ends_of_their_ranges_are_promised_more_than_there_is() {
    let (mut compared, mut kept) = (0, 0);
    for case in 0..1500 {
        let scene = extremes::extreme(&mut Dice::of(1, case));
        let Some(claims) = hold(&scene) else { continue };
        let unsound: Vec<_> = claims.wrong.iter().filter(|one| one.fault == Fault::Unsound).collect();
        assert!(unsound.is_empty(), "case {case}: {unsound:#?}\n{scene:#?}");
        compared += 1;
        let count = |what| claims.counts.get(what).copied().unwrap_or(0);
        kept += count("reserve") - count("stop by reserve");
    }
    assert!(compared > 1200 && kept > 50, "{compared} compared, the reserve kept by {kept}");
}
