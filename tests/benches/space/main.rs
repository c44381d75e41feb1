//! How long the check of a route takes, beside two other ways to answer the same questions. Prints; asserts only that all of
//! them answer the same.
//!
//! The questions: how close does each leg, and how close does any way home from it, come to each of 8 zones of 20 vertices?
//! The checker judges all its other rules in the time that is measured here, too; the others answer these questions alone.

mod course;
mod geodesic;
mod many;
mod planar;

use std::{
    hint::black_box,
    time::{Duration, Instant},
};

use pinfold_core::verdict::{Measure, Outcome, Rule, Verdict};
use pinfold_tests::sample::{found, judge};

use course::{Course, ZONES};
use geodesic::geodesic;
use planar::{planar, planar_by_sides};

/// How often everything is measured; the middle one counts.
const ROUNDS: usize = 31;
/// How far apart two answers to one question may be, in metres.
const AGREED: f64 = 0.5;
/// How long the routes are.
const LENGTHS: [usize; 3] = [100, 1_000, 10_000];

/// The smallest distances to each zone's edge, in metres; 0 where it is touched or the path is on the wrong side of it.
#[derive(Clone, Copy)]
struct Clearances {
    legs: [f64; ZONES],
    ways_home: [f64; ZONES],
}

impl Clearances {
    const NONE: Self = Self { legs: [f64::INFINITY; ZONES], ways_home: [f64::INFINITY; ZONES] };

    fn all(&self) -> impl Iterator<Item = f64> {
        self.legs.into_iter().chain(self.ways_home)
    }

    fn least(&self) -> f64 {
        self.all().fold(f64::INFINITY, f64::min)
    }
}

/// A way to answer: its name, and its answer.
type Way = (&'static str, fn(&Course) -> Clearances);

const WAYS: [Way; 4] = [
    ("pinfold, every rule", checked),
    ("geo in a local plane, the triangle by its sides", planar_by_sides),
    ("geo in a local plane, the triangle as a polygon", planar),
    ("geographiclib-rs, search along both lines", geodesic),
];

fn main() {
    let course = Course::new(LENGTHS[0]);
    compare(&course);
    many::on_all_processors(&course);
    grow();
}

fn compare(course: &Course) {
    agree(course);
    let mut times = WAYS.map(|_| Vec::new());
    // By turns, so that a busy moment of the machine is everybody's.
    for _ in 0..ROUNDS {
        for (times, (_, answer)) in times.iter_mut().zip(WAYS) {
            times.push(time(|| answer(course)));
        }
    }
    let times = times.map(median);
    println!(
        "A route of {} steps against {ZONES} zones of 20 vertices, the middle of {ROUNDS} runs:",
        course.steps.len()
    );
    for ((name, _), time) in WAYS.iter().zip(times) {
        let ratio = time.as_secs_f64() / times[0].as_secs_f64();
        println!("  {name:<48} {:>10.3} ms {ratio:>8.2} x", time.as_secs_f64() * 1e3);
    }
}

/// All have the same answers, and by all of them the route may be flown.
fn agree(course: &Course) {
    let verdict = verdict(course);
    assert_eq!(verdict.outcome(), Outcome::Go, "{:?}", verdict.findings.broken().next());
    let (ours, required) = (checked(course), required(&verdict));
    let differences = WAYS.map(|(name, answer)| {
        let theirs = answer(course);
        assert!(theirs.least() >= required, "{name}: no go");
        let apart = ours.all().zip(theirs.all()).map(|(our, their)| (our - their).abs()).fold(0.0, f64::max);
        assert!(apart < AGREED, "{name}: {apart} m from the checker's answers");
        apart
    });
    let most = differences.into_iter().fold(0.0, f64::max);
    println!("{} clearances, all Go, {most:.3} m apart at most; the least is {:.2} m.", 2 * ZONES, ours.least());
}

fn grow() {
    println!("The check alone, by the route's length:");
    for length in LENGTHS {
        let course = Course::new(length);
        assert_eq!(verdict(&course).outcome(), Outcome::Go, "{length} steps");
        let time = median((0..ROUNDS).map(|_| time(|| verdict(&course))).collect());
        #[expect(clippy::cast_precision_loss, reason = "ten thousand steps")]
        let each = time.as_secs_f64() * 1e6 / length as f64;
        println!("  {length:>6} steps {:>10.3} ms {each:>8.2} us a step", time.as_secs_f64() * 1e3);
    }
}

fn verdict(course: &Course) -> Verdict {
    judge(&course.limits, course.launch.clone(), &course.steps)
}

fn checked(course: &Course) -> Clearances {
    let verdict = verdict(course);
    let clearance = |rule, zone| f64::from(measure(&verdict, rule, zone).clearance) / 100.0;
    Clearances {
        legs: std::array::from_fn(|zone| clearance(own_rule(zone), zone)),
        ways_home: std::array::from_fn(|zone| clearance(Rule::ReturnPath, zone)),
    }
}

/// The rule that legs are held to by a zone.
fn own_rule(zone: usize) -> Rule {
    if zone == 0 { Rule::KeepIn } else { Rule::KeepOut }
}

/// The largest margin that is demanded anywhere, in metres.
fn required(verdict: &Verdict) -> f64 {
    let of = |rule, zone| measure(verdict, rule, zone).required;
    let most = (0..ZONES).map(|zone| of(own_rule(zone), zone).max(of(Rule::ReturnPath, zone))).max();
    f64::from(most.expect("zones")) / 100.0
}

fn measure(verdict: &Verdict, rule: Rule, zone: usize) -> Measure {
    let zone = u8::try_from(zone).expect("few zones");
    found(verdict, rule, Some(zone)).and_then(|finding| finding.measure).expect("a clearance for every zone")
}

fn time<T>(run: impl FnOnce() -> T) -> Duration {
    let start = Instant::now();
    black_box(run());
    start.elapsed()
}

fn median(mut times: Vec<Duration>) -> Duration {
    times.sort_unstable();
    times[times.len() / 2]
}
