//! Holds the oracle of energy to itself: numbers worked out by hand, dense sweeps, and verdicts that are known to be wrong.

use pinfold_core::{
    model::{
        limits::{Figures, PowerPoint, PowerPoints, Wind, WindFrom},
        route::Step,
    },
    rules::Readings,
    units::{Airspeed, Direction, Power, Spread, WindSpeed},
    verdict::Rule,
};
use pinfold_tests::{
    oracle::{
        energy::{
            back::Effort,
            claims::claims,
            flight::Flight,
            judge::{Case, Truth},
            scene::Scene,
            table::Table,
            wind::{Winds, airspeeds, through_air},
        },
        space::dice::Dice,
        tally::Fault,
    },
    sample::{climb, duration, figures, fly, judge_with, launch, speed_limit},
};

fn points(points: &[(u16, i32)]) -> PowerPoints {
    let point = |(airspeed, watts): &(u16, i32)| PowerPoint {
        airspeed: Airspeed::new(*airspeed).expect("in range"),
        power: Power::new(*watts).expect("in range"),
    };
    points.iter().map(point).collect()
}

fn wind(up_to: i32, direction: i32, spread: i32) -> Wind {
    let from = WindFrom {
        direction: Direction::new(direction).expect("in range"),
        spread: Spread::new(spread).expect("in range"),
    };
    Wind { up_to: WindSpeed::new(up_to).expect("in range"), from: Some(from) }
}

fn truth(figures: &Figures, steps: &[Step], effort: Effort) -> Truth {
    let (launch, readings) = (launch(0, 0), Readings::default());
    Truth::of(&Case { figures, launch: &launch, readings: &readings, steps }, effort).expect("speeds above 0")
}

fn near(found: f64, by_hand: f64, off: f64) {
    assert!((found - by_hand).abs() < off, "{found}, by hand {by_hand}");
}

/// Metres of 0.009 degrees of longitude on the equator: a circle's arc.
fn kilometre() -> f64 {
    6_378_137.0 * 0.009_f64.to_radians()
}

#[test]
fn a_hover_takes_another_time_or_power() {
    // 20 m up at 3 m/s and 260 W, a minute at 190 W, 20 m down at 0.7 m/s and 190 W.
    let found = truth(&figures(), &[climb(2000), Step::Hold { time: duration(6000) }, Step::Land], Effort::QUICK);
    near(found.worst.needed, 20.0 / 3.0 * 260.0 / 3600.0 + 190.0 * 60.0 / 3600.0 + 20.0 / 0.7 * 190.0 / 3600.0, 1e-9);
    near(found.flight.stints[1].watt_hours(&found.flight.air, 0.0), 3.166_666_667, 1e-9);
}

/// 8 m/s out to the east and back, the wind from the west with up to 3 m/s: airspeeds from 5 to 8, and from 8 to 11.
#[test]
fn out_and_back_has_the_wind_behind_it_twice() {
    let mut figures = figures();
    figures.wind = wind(300, 270, 0);
    figures.homeward.speed = speed_limit(800);
    figures.power.points = points(&[(0, 100), (400, 100), (1400, 600)]);
    let flight = [climb(2000), fly((0, 90_000), 2000, 800), fly((0, 0), 2000, 800), Step::Land];
    let found = truth(&figures, &flight, Effort::QUICK);
    // 100 W and 50 W more for each m/s above 4; the climb adds 160 W, as 260 W are 160 more than hovering takes.
    let legs = kilometre() / 8.0 * (300.0 + 450.0) / 3600.0;
    near(found.worst.needed, legs + (20.0 / 3.0 * 260.0 + 20.0 / 0.7 * 100.0) / 3600.0, 1e-6);
    near(found.largest.needed, 11.0, 1e-9);
    // Of all turn-backs, the one from the ground at launch is the last of all and takes another rise, hold and descent.
    let again = (20.0 / 3.0 * 260.0 + 5.0 * 100.0 + 20.0 / 0.7 * 100.0) / 3600.0;
    near(found.back_needed().expect("turn-backs"), found.worst.needed + again, 1e-6);
}

/// A slope that takes a minute while the leg's speed would take 10 s: any speed from 1/6 of it counts, and so does a valley between.
#[test]
fn a_slow_climb_is_flown_at_one_speed() {
    let mut figures = figures();
    figures.power.points = points(&[(0, 100), (300, 900), (600, 100), (1000, 100)]);
    figures.power.climb = Power::new(100).expect("in range");
    figures.aircraft.climb = speed_limit(100);
    let height = |steps: i32| 1000 + 100 * steps;
    let meters = kilometre() / 10.0;
    let speed = 1000.0 * (meters / 100.0).round();
    #[expect(clippy::cast_possible_truncation, reason = "ten m/s")]
    let flight = [climb(1000), fly((0, 9_000), height(60), speed as i32), Step::Land];
    let found = truth(&figures, &flight, Effort::QUICK);
    near(found.flight.stints[1].watt_hours(&found.flight.air, 0.0), 900.0 * 60.0 / 3600.0, 1e-9);
}

/// A leg past launch: in the middle the way home is shorter than at either end, but dead against the wind.
#[test]
fn only_the_ends_of_a_leg_are_looked_at() {
    let mut figures = figures();
    figures.wind = wind(500, 180, 0);
    figures.homeward.speed = speed_limit(400);
    figures.power.points = points(&[(0, 300), (450, 100), (850, 100), (890, 3000), (1000, 3100)]);
    let flight = [climb(2000), fly((40_000, -40_000), 2000, 200), fly((40_000, 40_000), 2000, 200), Step::Return];
    for effort in [Effort::QUICK, Effort::FINE] {
        let found = truth(&figures, &flight, effort);
        let back = found.back.expect("turn-backs");
        let leg = found.flight.stints.iter().position(|stint| stint.piece.step == 3).expect("a third step");
        assert!(back.stint == leg && (0.1..0.9).contains(&back.along), "{back:?}");
        let ends = [0.0, 1.0].map(|along| found.flight.back(leg, along, 180.0).worst.needed);
        assert!(ends.iter().all(|end| *end < 0.9 * back.worst.needed), "{ends:?} {back:?}");
    }
}

#[test]
fn airspeeds_of_a_sweep_over_winds_and_speeds_lie_outside_what_is_worked_out() {
    let mut dice = Dice::of(3, 0);
    for _ in 0..400 {
        let (slow, more) = (dice.between(0.0, 12.0), dice.pick(&[0.0, 0.5, 10.0]));
        let (up_to, track, from) = (dice.between(0.0, 15.0), dice.between(0.0, 360.0), dice.between(0.0, 360.0));
        let (least, most) = airspeeds((slow, slow + more), (track - from).to_radians().cos(), up_to);
        let mut seen = (f64::INFINITY, 0.0_f64);
        for number in 0..=100 * 100 {
            let (speed, wind) = (slow + more * f64::from(number / 100) / 99.0, up_to * f64::from(number % 100) / 99.0);
            let (east, north) = through_air((speed.min(slow + more), track), (wind, from));
            seen = (seen.0.min(east.hypot(north)), seen.1.max(east.hypot(north)));
        }
        assert!(least <= seen.0 + 1e-9 && seen.0 <= least + 0.3, "least {least}, swept {seen:?}");
        near(most, seen.1, 1e-9);
    }
}

#[test]
fn a_hill_between_two_airspeeds_is_overlooked() {
    let mut figures = figures();
    figures.power.points = points(&[(0, 190), (300, 120), (450, 700), (460, 90), (1200, 300)]);
    let table = Table::new(&figures.power);
    let mut dice = Dice::of(4, 0);
    for _ in 0..300 {
        let (low, wide) = (dice.between(0.0, 11.0), dice.magnitude(0.001, 1.0));
        let swept = (0..=4000).map(|step| table.at(low + wide * f64::from(step) / 4000.0)).fold(0.0, f64::max);
        let found = table.most((low, low + wide));
        assert!(found >= swept - 1e-9 && found <= swept + 20.0, "{low} {wide}: {found} {swept}");
    }
    assert!(table.most((0.0, 12.1)).is_infinite());
    near(table.most((0.0, 12.0)), 700.0, 1e-9);
}

#[test]
fn directions_of_the_wind_leave_out_those_at_the_edge_or_across_north() {
    let winds = Winds::new(&wind(500, 350, 25));
    let all = winds.directions(1.0);
    near(all[0], 325.0, 1e-9);
    near(all[all.len() - 1], 375.0, 1e-9);
    for (from, allowed) in [(10.0, 370.0), (16.0, 375.0), (300.0, 325.0), (324.0, 325.0), (0.0, 360.0)] {
        near(winds.allowed(from), allowed, 1e-9);
    }
    // From 90 to 100 degrees, the short way round, misses 15 by 75; from 300 to 20 misses nothing.
    near(winds.beside(90.0, 100.0), 75.0, 1e-9);
    near(winds.beside(300.0, 20.0), 0.0, 1e-9);
    near(winds.beside(20.0, 300.0), 0.0, 1e-9);
}

/// The worst of so many turn-backs, none of them searched for.
fn swept(flight: &Flight) -> f64 {
    let mut most = 0.0_f64;
    for (number, _) in flight.open() {
        for place in 0..=60 {
            let along = f64::from(place) / 60.0;
            for from in flight.air.winds.directions(3.0) {
                most = most.max(flight.back(number, along, from).worst.needed);
            }
        }
    }
    most
}

#[test]
fn the_quick_search_for_a_turn_back_misses_what_a_sweep_finds() {
    for case in 0..40 {
        let scene = Scene::new(&mut Dice::of(5, case));
        let truth = Truth::of(&scene.case(), Effort::QUICK).expect("speeds above 0");
        let Some(quick) = truth.back_needed().filter(|needed| needed.is_finite()) else { continue };
        let (fine, swept) = (truth.closer().back_needed().expect("turn-backs"), swept(&truth.flight));
        assert!(quick >= swept * (1.0 - 1e-4), "case {case}: {quick}, swept {swept}");
        assert!(fine >= swept * (1.0 - 1e-6) && fine >= quick * (1.0 - 1e-6), "case {case}: {fine} {quick} {swept}");
    }
}

/// Verdicts on one strength of the wind held against what is true of another.
fn faults(scale: i32) -> Vec<(Rule, Fault)> {
    let judged = |case: u64| {
        let scene = Scene::new(&mut Dice::of(6, case));
        let mut other = scene.clone();
        let up_to = scene.figures.wind.up_to.get() * scale / 100;
        other.figures.wind.up_to = WindSpeed::new(up_to).expect("in range");
        let store = other.store().expect("sound");
        let verdict = judge_with(&store, scene.launch.clone(), scene.readings, &scene.steps);
        let truth = Truth::of(&scene.case(), Effort::QUICK).expect("speeds above 0");
        claims(&scene.case(), truth, &verdict).wrong
    };
    (0..150).flat_map(judged).map(|one| (one.rule, one.fault)).collect()
}

#[test]
fn a_verdict_on_other_winds_passes() {
    let count =
        |faults: &[(Rule, Fault)], fault: Fault, rule: Rule| faults.iter().filter(|one| **one == (rule, fault)).count();
    let (weaker, stronger) = (faults(90), faults(130));
    for rule in [Rule::Reserve, Rule::TurnBack, Rule::Wind] {
        assert!(count(&weaker, Fault::Unsound, rule) > 30, "{rule:?}: {}", count(&weaker, Fault::Unsound, rule));
        assert!(count(&stronger, Fault::Loose, rule) > 3, "{rule:?}: {}", count(&stronger, Fault::Loose, rule));
    }
    assert!(faults(100).is_empty(), "{:?}", faults(100));
}
