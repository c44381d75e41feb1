//! Which moments tell what level flight, and what climbing, takes.

use super::samples::Sample;

/// Level is up to this climb rate either way, m/s; climbing begins above [`CLIMBING`].
const LEVEL: f64 = 0.3;
const CLIMBING: f64 = 0.5;
/// Steady is a speed, and a climb rate, that changes no more than this in three seconds, m/s.
const STEADY: f64 = 1.0;
/// Below this part of the power that is exceeded for [`ENOUGH`] seconds the aircraft stands on the ground.
const IDLE: f64 = 0.2;
/// Fewer seconds than this tell nothing.
pub(crate) const ENOUGH: f64 = 10.0;

/// What a flight's moments are good for.
#[derive(Debug, Default)]
pub(crate) struct Flight {
    pub(crate) level: Vec<Sample>,
    pub(crate) climbing: Vec<Sample>,
    /// On the ground, s.
    pub(crate) idle: f64,
    /// Neither steady and level nor steadily climbing, s.
    pub(crate) other: f64,
}

/// Sorts the moments of a flight.
pub(crate) fn sort(samples: &[Sample]) -> Flight {
    let idle = IDLE * exceeded(samples);
    let mut flight = Flight::default();
    for sample in samples {
        let steady = sample.change.iter().all(|change| *change <= STEADY);
        if sample.watts < idle {
            flight.idle += sample.seconds;
        } else if steady && sample.climb.abs() <= LEVEL {
            flight.level.push(*sample);
        } else if steady && sample.climb >= CLIMBING {
            flight.climbing.push(*sample);
        } else {
            flight.other += sample.seconds;
        }
    }
    flight
}

/// The power that is exceeded for [`ENOUGH`] seconds in all.
fn exceeded(samples: &[Sample]) -> f64 {
    let mut sorted: Vec<&Sample> = samples.iter().collect();
    sorted.sort_by(|a, b| b.watts.total_cmp(&a.watts));
    let mut seconds = 0.0;
    let mut enough = sorted.iter().skip_while(|sample| {
        seconds += sample.seconds;
        seconds < ENOUGH
    });
    enough.next().map_or(0.0, |sample| sample.watts)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sample(speed: f64, climb: f64, watts: f64, change: f64) -> Sample {
        Sample { speed, climb, watts, seconds: 1.0, change: [change, 0.0] }
    }

    #[test]
    fn moments_are_sorted_by_what_they_tell() {
        let mut samples = vec![sample(0.0, 0.0, 8.0, 0.0); 1000];
        samples.extend(vec![sample(5.0, 0.1, 180.0, 0.2); 30]);
        samples.extend(vec![sample(0.0, 2.0, 230.0, 0.2); 8]);
        samples.extend([sample(5.0, 0.0, 200.0, 1.5), sample(0.0, -1.0, 150.0, 0.0), sample(0.0, 0.4, 190.0, 0.0)]);
        let flight = sort(&samples);
        assert_eq!((flight.level.len(), flight.climbing.len()), (30, 8));
        assert_eq!((flight.idle, flight.other), (1000.0, 3.0));
    }
}
