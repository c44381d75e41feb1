//! Many pieces of work on all processors, with a bar on a terminal.

use std::{
    num::NonZeroUsize,
    path::{Path, PathBuf},
    sync::{
        OnceLock,
        atomic::{AtomicUsize, Ordering},
    },
    thread,
};

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

/// Does the work for each route; what came of it, in the routes' order.
pub(super) fn each<T: Send + Sync>(
    routes: &[PathBuf], jobs: Option<NonZeroUsize>, work: impl Fn(&Path) -> T + Sync,
) -> Vec<T> {
    let jobs = jobs.or_else(|| thread::available_parallelism().ok()).map_or(1, NonZeroUsize::get);
    let (next, bar) = (AtomicUsize::new(0), bar(routes.len()));
    let done: Vec<OnceLock<T>> = routes.iter().map(|_| OnceLock::new()).collect();
    let worker = || {
        while let Some((route, done)) = {
            let index = next.fetch_add(1, Ordering::Relaxed);
            routes.get(index).zip(done.get(index))
        } {
            // Each number is drawn once: the place is empty.
            let _ = done.set(work(route));
            bar.inc(1);
        }
    };
    thread::scope(|scope| (0..jobs.min(routes.len())).for_each(|_| drop(scope.spawn(worker))));
    bar.finish_and_clear();
    done.into_iter().filter_map(OnceLock::into_inner).collect()
}

/// A bar, which is drawn on a terminal only.
fn bar(routes: usize) -> ProgressBar {
    let bar = ProgressBar::with_draw_target(Some(routes as u64), ProgressDrawTarget::stderr());
    let style = ProgressStyle::with_template("{wide_bar} {pos}/{len} routes, {eta} left");
    bar.with_style(style.unwrap_or_else(|_| ProgressStyle::default_bar()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_came_of_it_is_in_order_and_complete_with_any_number_of_workers() {
        let routes: Vec<PathBuf> = (0..200).map(|number| number.to_string().into()).collect();
        for jobs in [1, 2, 7, 500] {
            let done = each(&routes, NonZeroUsize::new(jobs), |route| {
                // Later ones are done earlier.
                thread::sleep(std::time::Duration::from_micros(
                    200 - route.to_string_lossy().parse::<u64>().expect("one"),
                ));
                route.to_owned()
            });
            assert_eq!(done, routes, "{jobs}");
        }
    }
}
