//! Windows of time over samples that need not be evenly spaced.

use std::ops::Range;

/// For each time, the indices of the times within `half` seconds of it; always one neighbour to either side where there is
/// one.
pub(super) fn windows(times: &[f64], half: f64) -> Vec<Range<usize>> {
    let (mut low, mut high) = (0, 0);
    let window = |(at, time): (usize, &f64)| {
        // Evenly spaced times just within the window are within it whatever their last binary digit says.
        while times[low] < time - half - 1e-6 {
            low += 1;
        }
        while high < times.len() && times[high] <= time + half + 1e-6 {
            high += 1;
        }
        low.min(at.saturating_sub(1))..high.max((at + 2).min(times.len()))
    };
    times.iter().enumerate().map(window).collect()
}

/// What each window makes of the values.
pub(super) fn over(windows: &[Range<usize>], values: &[f64], make: impl Fn(&[f64]) -> f64) -> Vec<f64> {
    windows.iter().map(|window| make(&values[window.clone()])).collect()
}

pub(super) fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len().max(1) as f64
}

pub(super) fn median(values: &[f64]) -> f64 {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    match sorted.len() {
        0 => 0.0,
        count if count % 2 == 1 => sorted[count / 2],
        count => f64::midpoint(sorted[count / 2 - 1], sorted[count / 2]),
    }
}

/// Largest - smallest.
pub(super) fn spread(values: &[f64]) -> f64 {
    values.iter().copied().fold(f64::NEG_INFINITY, f64::max) - values.iter().copied().fold(f64::INFINITY, f64::min)
}

/// How fast values grow: the slope of the straight line through each window's values with the least squares.
pub(super) fn slopes(windows: &[Range<usize>], times: &[f64], values: &[f64]) -> Vec<f64> {
    windows.iter().map(|window| slope(&times[window.clone()], &values[window.clone()])).collect()
}

fn slope(times: &[f64], values: &[f64]) -> f64 {
    let (middle, level) = (mean(times), mean(values));
    let pairs = times.iter().zip(values).map(|(time, value)| (time - middle, value - level));
    let (covered, squared) = pairs.fold((0.0, 0.0), |(c, s), (time, value)| (c + time * value, s + time * time));
    if squared > 0.0 { covered / squared } else { 0.0 }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_window_holds_what_is_near_in_time_and_at_least_a_neighbour() {
        let times = [0.0, 0.1, 0.2, 0.3, 5.0, 9.0];
        assert_eq!(windows(&times, 0.1), [0..2, 0..3, 1..4, 2..5, 3..6, 4..6]);
        assert_eq!(windows(&times, 10.0), vec![0..6; 6]);
    }

    #[test]
    fn the_slope_is_that_of_the_straight_line() {
        assert!((slope(&[1.0, 2.0, 4.0], &[3.0, 5.0, 9.0]) - 2.0).abs() < 1e-12);
        assert_eq!(slope(&[1.0], &[3.0]), 0.0);
    }

    #[test]
    fn a_median_knows_no_spike() {
        assert_eq!(median(&[100.0, 1e9, 102.0]), 102.0);
        assert_eq!(median(&[100.0, 102.0]), 101.0);
        assert_eq!(spread(&[1.0, -2.0, 5.0]), 7.0);
    }
}
