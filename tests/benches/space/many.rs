//! Many routes at once: how many a second each processor checks, beside the same distances by `geo`.

use std::{
    hint::black_box,
    num::NonZeroUsize,
    thread,
    time::{Duration, Instant},
};

use crate::{Clearances, WAYS, course::Course, median};

/// Routes that each processor checks in a turn.
const ROUTES: u32 = 40;
/// How often; the middle one counts.
const TURNS: usize = 9;

/// Measures the checker and `geo` by turns, on all processors at once.
pub(crate) fn on_all_processors(course: &Course) {
    let processors = thread::available_parallelism().map_or(1, NonZeroUsize::get);
    let ways = [WAYS[0], WAYS[1]];
    let mut times = ways.map(|_| Vec::new());
    for _ in 0..TURNS {
        for (times, (_, answer)) in times.iter_mut().zip(ways) {
            times.push(turn(processors, course, answer));
        }
    }
    let rates = times.map(|times| f64::from(ROUTES) / median(times).as_secs_f64());
    println!(
        "Such routes a second and processor, {processors} busy, the middle of {TURNS} turns of {ROUTES} routes each:"
    );
    for ((name, _), rate) in ways.iter().zip(rates) {
        println!("  {name:<48} {rate:>10.0} /s {:>8.2} x", rate / rates[0]);
    }
}

/// How long all processors take for their routes.
fn turn(processors: usize, course: &Course, answer: fn(&Course) -> Clearances) -> Duration {
    let start = Instant::now();
    let work = || {
        for _ in 0..ROUTES {
            black_box(answer(black_box(course)));
        }
    };
    thread::scope(|scope| (0..processors).for_each(|_| drop(scope.spawn(work))));
    start.elapsed()
}
