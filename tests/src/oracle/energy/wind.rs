//! The wind: where it may come from, and the airspeeds that it asks for.

use pinfold_core::model::limits::Wind;

use crate::oracle::flight::hundredths;

/// The winds that are allowed for. Degrees and m/s.
#[derive(Clone, Copy, Debug)]
pub struct Winds {
    /// The strongest.
    pub up_to: f64,
    from: Option<(f64, f64)>,
}

impl Winds {
    /// From the limits' figures.
    #[must_use]
    pub fn new(wind: &Wind) -> Self {
        let from = wind.from.map(|from| (f64::from(from.direction.get()), f64::from(from.spread.get())));
        Self { up_to: hundredths(wind.up_to.get()), from: from.filter(|(_, spread)| *spread < 180.0) }
    }

    /// Directions that it may come from, no farther apart than `step`; the outermost are among them.
    #[must_use]
    pub fn directions(&self, step: f64) -> Vec<f64> {
        let (middle, spread) = self.from.unwrap_or((180.0, 180.0));
        if self.up_to == 0.0 || spread == 0.0 {
            return vec![middle];
        }
        let count = (2.0 * spread / step).ceil();
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "at most some thousands")]
        let whole = count as u32;
        (0..=whole).map(|number| middle - spread + 2.0 * spread * f64::from(number) / count).collect()
    }

    /// The allowed direction that is nearest.
    #[must_use]
    pub fn allowed(&self, direction: f64) -> f64 {
        self.from.map_or(direction, |(middle, spread)| middle + turn(direction - middle).clamp(-spread, spread))
    }

    /// By how many degrees the allowed direction that is nearest to any of those between two, the short way round, misses them.
    #[must_use]
    pub fn beside(&self, one: f64, other: f64) -> f64 {
        let Some((middle, spread)) = self.from else { return 0.0 };
        let (start, sweep) = (turn(one - middle), turn(other - one));
        let (low, high) = (start.min(start + sweep), start.max(start + sweep));
        let gap = |shift: f64| (low + shift - spread).max(-spread - high - shift).max(0.0);
        gap(-360.0).min(gap(0.0)).min(gap(360.0))
    }
}

/// An angle in degrees, the short way round.
#[must_use]
pub fn turn(degrees: f64) -> f64 {
    (degrees + 180.0).rem_euclid(360.0) - 180.0
}

/// The airspeed vector, east and north, that holds a track against a wind: ground velocity less the air's own. Degrees.
#[must_use]
pub fn through_air((speed, track): (f64, f64), (wind, from): (f64, f64)) -> (f64, f64) {
    let (track, from) = (track.to_radians(), from.to_radians());
    (speed * track.sin() + wind * from.sin(), speed * track.cos() + wind * from.cos())
}

/// Least and largest airspeed at ground speeds from one to another, in winds from none to the strongest that come from `cosine`
/// of the angle off the track. The square of the airspeed is a bowl over speed and wind: its most is at a corner, its least
/// on an edge.
#[must_use]
pub fn airspeeds((slow, fast): (f64, f64), cosine: f64, up_to: f64) -> (f64, f64) {
    let square = |speed: f64, wind: f64| (speed * speed + wind * wind + 2.0 * speed * wind * cosine).max(0.0);
    let most = square(slow, up_to).max(square(fast, up_to)).max(fast * fast);
    let along = |speed: f64| square(speed, (-speed * cosine).clamp(0.0, up_to));
    let across = |wind: f64| square((-wind * cosine).clamp(slow, fast), wind);
    let least = along(slow).min(along(fast)).min(across(up_to)).min(across(0.0));
    (least.sqrt(), most.sqrt())
}
