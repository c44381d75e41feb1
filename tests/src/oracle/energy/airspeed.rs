//! The largest airspeed that a flight needs.

use super::{
    back::{Effort, Point},
    flight::Flight,
    way::Track,
    wind::airspeeds,
};

/// The largest airspeeds, in m/s.
#[derive(Clone, Copy, Debug)]
pub struct Largest {
    /// On the route.
    pub own: f64,
    /// On any way home from it.
    pub home: f64,
}

impl Largest {
    /// On either.
    #[must_use]
    pub const fn any(self) -> f64 {
        self.own.max(self.home)
    }
}

impl Flight {
    /// The largest airspeeds needed.
    #[must_use]
    pub fn largest(&self) -> Largest {
        let up_to = self.air.winds.up_to;
        let own = self.stints.iter().filter_map(|stint| {
            let way = stint.way.as_ref()?;
            Some(way.tracks.iter().map(|track| self.on_track(track, stint.piece.speed)).fold(0.0, f64::max))
        });
        let home = self.open().map(|(number, _)| self.on_ways_home(&self.points(number, Effort::QUICK)));
        Largest { own: own.fold(up_to, f64::max), home: home.fold(up_to, f64::max) }
    }

    fn on_track(&self, track: &Track, speed: f64) -> f64 {
        track.chords.iter().map(|(_, at)| self.between(speed, *at, *at)).fold(0.0, f64::max)
    }

    /// On tracks that turn from one to another the short way round.
    fn between(&self, speed: f64, one: f64, other: f64) -> f64 {
        let off = self.air.winds.beside(one, other);
        airspeeds((speed, speed), off.to_radians().cos(), self.air.winds.up_to).1
    }

    /// The bearing home turns evenly from each point of a piece to the next. Where it jumps, launch itself lies between.
    fn on_ways_home(&self, points: &[Point]) -> f64 {
        let speed = self.habits.speed;
        let bearing =
            |point: &Point| point.tracks.first().filter(|track| track.meters > 0.0).map(|track| track.chords[0].1);
        let turning = points.windows(2).filter_map(|pair| {
            let (one, other) = (bearing(&pair[0])?, bearing(&pair[1])?);
            (super::wind::turn(other - one).abs() < 60.0).then(|| self.between(speed, one, other))
        });
        let flown = points.iter().flat_map(|point| &point.tracks).filter(|track| track.meters > 0.0);
        flown.map(|track| self.on_track(track, speed)).chain(turning).fold(0.0, f64::max)
    }
}
