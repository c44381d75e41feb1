//! Work on many things, on as many at once as there are processors.

use std::{
    sync::atomic::{AtomicUsize, Ordering},
    thread,
};

/// Does `work` for every one, with its number.
pub(crate) fn for_each<T: Sync>(all: &[T], work: impl Fn(usize, &T) + Sync) {
    let next = AtomicUsize::new(0);
    let worker = || {
        loop {
            let number = next.fetch_add(1, Ordering::Relaxed);
            let Some(one) = all.get(number) else { return };
            work(number, one);
        }
    };
    thread::scope(|scope| {
        for _ in 0..thread::available_parallelism().map_or(1, usize::from) {
            scope.spawn(worker);
        }
    });
}
