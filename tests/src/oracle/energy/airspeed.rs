//! The largest airspeed that a flight needs.

use super::{
    back::{Effort, Point},
    flight::Flight,
    stint::Stint,
    way::{NOTHING, Track},
    wind::{airspeeds, turn},
};
use crate::oracle::space::spread::spread;

/// Metres that a place may be off: the bearing of a short way is not known well.
const PLACE: f64 = 0.05;

/// Ways home from a leg shorter than this, in metres, may lead anywhere.
const TINY: f64 = 2.0;

/// Readings of a line that are so far apart in the middle meet at its ends at an angle of four times that by its length. What is
/// allowed for is at most a tenth above how far apart they are.
const BOW: f64 = 4.4;

/// The largest airspeeds, in m/s.
#[derive(Clone, Copy, Debug)]
pub struct Largest {
    /// What is needed somewhere.
    pub needed: f64,
    /// The same with every bearing turned by what may turn it: no more may be reported, but for rounding.
    pub fair: f64,
}

impl Flight {
    /// The largest airspeeds needed, on the route and on all ways home from it; bearings are turned by what 5 cm may turn them.
    #[must_use]
    pub fn largest(&self) -> Largest {
        Largest { needed: self.with(|_| 0.0), fair: self.with(|_| PLACE) }
    }

    /// The largest airspeed with bearings turned also by how far a leg's readings are apart.
    #[must_use]
    pub fn largest_of_readings(&self) -> f64 {
        let apart = |stint: &Stint| {
            let (from, to) = (self.home.ground(stint.piece.from), self.home.ground(stint.piece.to));
            PLACE + BOW * spread(self.home, from, to).at_most
        };
        let tiny = |stint: &Stint| stint.way.as_ref().is_some_and(|way| way.meters() < TINY);
        let anywhere =
            if self.open().any(|(_, stint)| tiny(stint)) { self.habits.speed + self.air.winds.up_to } else { 0.0 };
        self.with(apart).max(anywhere)
    }

    /// The largest airspeed with places as far off as `place` says of the stint that they are on, in metres.
    fn with(&self, place: impl Fn(&Stint) -> f64) -> f64 {
        let up_to = self.air.winds.up_to;
        let own = self.stints.iter().map(|stint| self.own(stint, place(stint)));
        let home = self.open().map(|(number, stint)| self.home(&self.points(number, Effort::QUICK), place(stint)));
        own.chain(home).fold(up_to, f64::max)
    }

    fn own(&self, stint: &Stint, place: f64) -> f64 {
        let tracks = stint.way.iter().flat_map(|way| &way.tracks);
        tracks.map(|track| self.on_track(track, stint.piece.speed, place)).fold(0.0, f64::max)
    }

    /// The bearing home turns evenly from each point of a piece to the next. Where it jumps, launch itself lies between.
    fn home(&self, points: &[Point], place: f64) -> f64 {
        let speed = self.habits.speed;
        let bearing =
            |point: &Point| point.tracks.first().filter(|track| track.meters > NOTHING).map(|track| track.chords[0].1);
        let turning = points.windows(2).filter_map(|pair| {
            let (one, other) = (bearing(&pair[0])?, bearing(&pair[1])?);
            (turn(other - one).abs() < 60.0).then(|| self.between(speed, one, other, 0.0))
        });
        let flown = points.iter().flat_map(|point| &point.tracks).filter(|track| track.meters > NOTHING);
        flown.map(|track| self.on_track(track, speed, place)).chain(turning).fold(0.0, f64::max)
    }

    /// The largest airspeed along a track whose ends are known to so many metres.
    fn on_track(&self, track: &Track, speed: f64, place: f64) -> f64 {
        let blur = if place < track.meters { (place / track.meters).asin().to_degrees() } else { 180.0 };
        track.chords.iter().map(|(_, at)| self.between(speed, *at, *at, blur)).fold(0.0, f64::max)
    }

    /// On tracks that turn from one to another the short way round, give or take some degrees.
    fn between(&self, speed: f64, one: f64, other: f64, blur: f64) -> f64 {
        let off = (self.air.winds.beside(one, other) - blur).max(0.0);
        airspeeds((speed, speed), off.to_radians().cos(), self.air.winds.up_to).1
    }
}
