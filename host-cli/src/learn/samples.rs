//! From rows to samples: speed, climb rate and power at moments, smoothed over a second or four.

use std::path::Path;

use super::{
    columns::{Motion, Rise},
    log::{Log, Row},
    window::{mean, median, over, slopes, spread, windows},
};
use crate::problem::Problem;

/// Half a window for power: first the median of one second, which knows no spike, then the mean of two.
const POWER_MEDIAN_S: f64 = 0.5;
const POWER_MEAN_S: f64 = 1.0;
/// Half a window for speeds that are logged, s.
const SPEED_S: f64 = 1.0;
/// Half a window for speeds that are made from positions or heights, s: these are noisier.
const SLOPE_S: f64 = 2.0;
/// Half a window that must be steady, s.
const STEADY_S: f64 = 1.5;
/// Rows further apart than this, s, and than three usual intervals, are a pause.
const PAUSE_S: f64 = 1.0;
/// Rows further apart than this tell too little, s.
const COARSE_S: f64 = 2.0;
/// Rows nearer together than this are a wrong unit of time, s.
const FINE_S: f64 = 0.000_2;

/// A moment of the flight.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Sample {
    /// m/s.
    pub(crate) speed: f64,
    /// m/s.
    pub(crate) climb: f64,
    /// W.
    pub(crate) watts: f64,
    /// What time it stands for, s.
    pub(crate) seconds: f64,
    /// How much the speed, and the climb rate, change around it, m/s.
    pub(crate) change: [f64; 2],
}

/// The samples of a log.
#[derive(Debug, Default)]
pub(crate) struct Samples {
    pub(crate) all: Vec<Sample>,
    /// Usual time from row to row, s.
    pub(crate) interval: f64,
    /// Rows with the time of the row before.
    pub(crate) repeated: usize,
    /// How often time goes backwards.
    pub(crate) backwards: usize,
    /// How often the log pauses, and for how long in all, s.
    pub(crate) pauses: usize,
    pub(crate) paused: f64,
}

/// The samples of a log.
pub(crate) fn make(path: &Path, log: &Log) -> Result<Samples, Problem> {
    forwards(path, log)?;
    let mut samples = Samples { interval: interval(path, &log.rows)?, ..Samples::default() };
    let pieces = samples.pieces(&log.rows);
    samples.all = pieces.iter().flat_map(|piece| piece_samples(piece, log)).collect();
    Ok(samples)
}

/// A log may begin anew once or twice; one whose time often goes backwards has no time there.
fn forwards(path: &Path, log: &Log) -> Result<(), Problem> {
    let backwards = log.rows.windows(2).filter(|pair| pair[1].time < pair[0].time).count();
    if backwards <= 3 || backwards * 100 <= log.rows.len() {
        return Ok(());
    }
    let say = format!("time goes backwards {backwards} times: is `{}` the time?", log.columns.time.name);
    Err(Problem::file(path, say).help("give --time COLUMN, and the rows in the order of time"))
}

/// The usual time from row to row.
fn interval(path: &Path, rows: &[Row]) -> Result<f64, Problem> {
    let steps: Vec<f64> = rows.windows(2).map(|pair| pair[1].time - pair[0].time).filter(|step| *step > 0.0).collect();
    let interval = median(&steps);
    if (FINE_S..=COARSE_S).contains(&interval) {
        return Ok(interval);
    }
    let say = format!("from row to row are {interval:.6} s, which is no log of a flight that can be learned from");
    let help = format!(
        "log a row at least every {COARSE_S} s (5 a second are good); if the unit is wrong give --time-unit s, ms or us"
    );
    Err(Problem::file(path, say).help(help))
}

impl Samples {
    /// The rows, cut where the log pauses or time goes backwards.
    fn pieces(&mut self, rows: &[Row]) -> Vec<Vec<Row>> {
        let mut pieces: Vec<Vec<Row>> = vec![Vec::new()];
        let mut before: Option<f64> = None;
        for row in rows {
            let step = before.map_or(0.0, |before| row.time - before);
            if before.is_some() && step == 0.0 {
                self.repeated += 1;
                continue;
            }
            if step < 0.0 || step > PAUSE_S.max(3.0 * self.interval) {
                self.cut(step);
                pieces.push(Vec::new());
            }
            before = Some(row.time);
            pieces.last_mut().into_iter().for_each(|piece| piece.push(*row));
        }
        pieces
    }

    fn cut(&mut self, step: f64) {
        if step < 0.0 {
            self.backwards += 1;
        } else {
            self.pauses += 1;
            self.paused += step;
        }
    }
}

/// The samples of a piece. Its ends have no whole window around them.
fn piece_samples(piece: &[Row], log: &Log) -> Vec<Sample> {
    let times: Vec<f64> = piece.iter().map(|row| row.time).collect();
    let [Some(first), Some(last)] = [times.first(), times.last()] else { return Vec::new() };
    let column = |value: fn(&Row) -> f64| piece.iter().map(value).collect::<Vec<_>>();
    let watts = column(|row| row.watts.max(0.0));
    let watts = over(&windows(&times, POWER_MEAN_S), &over(&windows(&times, POWER_MEDIAN_S), &watts, median), mean);
    let speed = speeds(piece, &times, &log.columns.motion);
    let rise = column(|row| row.rise);
    let climb = match log.columns.rise {
        Rise::Rate(_) => over(&windows(&times, SPEED_S), &rise, mean),
        Rise::Height(_) => slopes(&windows(&times, SLOPE_S), &times, &rise),
    };
    let near = windows(&times, STEADY_S);
    let changes = [over(&near, &speed, spread), over(&near, &climb, spread)];
    let whole = |at: &usize| times[*at] - first >= SLOPE_S && last - times[*at] >= SLOPE_S;
    let inner = (1..times.len().saturating_sub(1)).filter(whole);
    let sample = |at: usize| Sample {
        speed: speed[at],
        climb: climb[at],
        watts: watts[at],
        seconds: (times[at + 1] - times[at - 1]) / 2.0,
        change: [changes[0][at], changes[1][at]],
    };
    inner.map(sample).collect()
}

fn speeds(piece: &[Row], times: &[f64], motion: &Motion) -> Vec<f64> {
    if let Motion::Speed(_) = motion {
        let logged: Vec<f64> = piece.iter().map(|row| row.motion[0]).collect();
        return over(&windows(times, SPEED_S), &logged, mean);
    }
    let near = windows(times, SLOPE_S);
    let along = |axis: usize| {
        let degrees: Vec<f64> = piece.iter().map(|row| row.motion[axis]).collect();
        slopes(&near, times, &unwrapped(degrees))
    };
    let speed = |(row, (north, east)): (&Row, (&f64, &f64))| {
        let [metres_north, metres_east] = metres_per_degree(row.motion[0]);
        (north * metres_north).hypot(east * metres_east)
    };
    piece.iter().zip(along(0).iter().zip(&along(1))).map(speed).collect()
}

/// Longitudes that don't jump where 180 degrees become -180.
fn unwrapped(mut degrees: Vec<f64>) -> Vec<f64> {
    for at in 1..degrees.len() {
        let turns = ((degrees[at] - degrees[at - 1]) / 360.0).round();
        degrees[at] -= turns * 360.0;
    }
    degrees
}

/// How long a degree of latitude, and of longitude, is on the ellipsoid of WGS 84, m.
fn metres_per_degree(latitude: f64) -> [f64; 2] {
    const AXIS: f64 = 6_378_137.0;
    const FLATTENING: f64 = 1.0 / 298.257_223_563;
    let squared = FLATTENING * (2.0 - FLATTENING);
    let (sine, cosine) = latitude.to_radians().sin_cos();
    let root = (1.0 - squared * sine * sine).sqrt();
    [AXIS * (1.0 - squared) / root.powi(3), AXIS / root * cosine].map(f64::to_radians)
}

#[cfg(test)]
mod tests {
    use super::*;

    // WGS 84: 110.574 km for a degree of latitude and 111.320 km for one of longitude at the equator, 111.694 km for one of
    // latitude at the pole (rounded values that textbooks give; from memory).
    #[test]
    fn a_degree_is_as_long_as_on_the_ellipsoid() {
        let [north, east] = metres_per_degree(0.0);
        assert!((north - 110_574.0).abs() < 1.0 && (east - 111_320.0).abs() < 1.0, "{north} {east}");
        assert!((metres_per_degree(90.0)[0] - 111_694.0).abs() < 1.0);
    }

    #[test]
    fn the_line_where_days_change_is_no_jump() {
        assert_eq!(unwrapped(vec![179.5, -179.5, -179.0, 179.5]), [179.5, 180.5, 181.0, 179.5]);
    }
}
