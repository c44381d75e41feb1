//! Numeric search for a least value.

/// A golden section.
const GOLDEN: f64 = 0.618_033_988_749_894_9;

/// Steps that narrow a stretch of any length here to less than a nanometre.
const STEPS: usize = 120;

/// The least value of `value` between 0 and 1 and where it is. The stretch is cut into `pieces`, each with one valley at most;
/// each is narrowed until it is shorter than `narrow`.
pub fn least(pieces: u32, narrow: f64, value: impl Fn(f64) -> f64) -> (f64, f64) {
    let cut = |number: u32| f64::from(number) / f64::from(pieces);
    let ends = (0..=pieces).map(|number| (value(cut(number)), cut(number)));
    let valleys = (0..pieces).map(|number| valley(cut(number), cut(number + 1), narrow, &value));
    ends.chain(valleys).min_by(|a, b| a.0.total_cmp(&b.0)).unwrap_or((f64::INFINITY, 0.0))
}

fn valley(mut low: f64, mut high: f64, narrow: f64, value: &impl Fn(f64) -> f64) -> (f64, f64) {
    let inner = |low: f64, high: f64| (high - GOLDEN * (high - low), low + GOLDEN * (high - low));
    let (mut left, mut right) = inner(low, high);
    let (mut at_left, mut at_right) = (value(left), value(right));
    for _ in 0..STEPS {
        if high - low < narrow {
            break;
        }
        if at_left < at_right {
            (high, right, at_right) = (right, left, at_left);
            left = inner(low, high).0;
            at_left = value(left);
        } else {
            (low, left, at_left) = (left, right, at_right);
            right = inner(low, high).1;
            at_right = value(right);
        }
    }
    if at_left < at_right { (at_left, left) } else { (at_right, right) }
}
