//! The largest airspeed that a flight needs.

use super::{
    back::{Effort, Point},
    flight::Flight,
    stint::Stint,
    way::{NOTHING, Track},
    wind::{airspeeds, turn},
};
use crate::oracle::{
    course::{Course, Reading},
    space::spread::spread,
};

/// Metres that a place may be off: the bearing of a short way is not known well.
const PLACE: f64 = 0.05;

/// The largest airspeeds, in m/s.
#[derive(Clone, Copy, Debug)]
pub struct Largest {
    /// What is needed somewhere.
    pub needed: f64,
    /// The same with every bearing turned by what 5 cm may turn it: no more may be reported, but for rounding.
    pub fair: f64,
}

impl Flight {
    /// The largest airspeeds needed, on the route and on all ways home from it.
    #[must_use]
    pub fn largest(&self) -> Largest {
        let home: Vec<Vec<Point>> = self.open().map(|(number, _)| self.points(number, Effort::QUICK)).collect();
        let with = |place: f64| self.own(place).max(self.home(&home, place)).max(self.air.winds.up_to);
        let over = if self.passes_over() { self.habits.speed + self.air.winds.up_to } else { 0.0 };
        Largest { needed: with(0.0), fair: with(PLACE).max(over) }
    }

    /// Whether a leg passes launch no farther beside it than its readings are apart: then ways home lead anywhere.
    fn passes_over(&self) -> bool {
        // A leg of 100 km bows by a tenth of that at most below 80 degrees.
        let near = |stint: &&Stint| {
            let (nearest, gap, length) = self.beside(stint);
            stint.way.is_some() && (0.0..=length).contains(&nearest) && gap < length / 10.0
        };
        self.open().map(|(_, stint)| stint).filter(near).any(|stint| {
            let (from, to) = (self.home.ground(stint.piece.from), self.home.ground(stint.piece.to));
            let apart = spread(self.home, from, to).at_most;
            let passes = ![stint.piece.from, stint.piece.to].contains(&(0, 0));
            passes && self.gap(stint) <= 1.1 * apart + 0.01 + PLACE
        })
    }

    /// How far beside launch a leg passes, in metres, about.
    fn gap(&self, stint: &Stint) -> f64 {
        let center = self.home.ground((0, 0));
        let course = Course::new(self.home, stint.piece.from, stint.piece.to, Reading::Degrees);
        let places = (0..=400).map(|place| course.at(f64::from(place) / 400.0));
        let tangent: Vec<(f64, f64)> = places.map(|place| center.tangent_of(place)).collect();
        let beside = |pair: &[(f64, f64)]| {
            let ((east, north), (x, y)) = (pair[0], (pair[1].0 - pair[0].0, pair[1].1 - pair[0].1));
            let along = (-(east * x + north * y) / (x * x + y * y)).clamp(0.0, 1.0);
            (east + along * x).hypot(north + along * y)
        };
        tangent.windows(2).map(beside).fold(f64::INFINITY, f64::min)
    }

    fn own(&self, place: f64) -> f64 {
        let flown = self.stints.iter().filter_map(|stint| {
            let way = stint.way.as_ref()?;
            Some(way.tracks.iter().map(|track| self.on_track(track, stint.piece.speed, place)).fold(0.0, f64::max))
        });
        flown.fold(0.0, f64::max)
    }

    /// The bearing home turns evenly from each point of a piece to the next. Where it jumps, launch itself lies between.
    fn home(&self, pieces: &[Vec<Point>], place: f64) -> f64 {
        let speed = self.habits.speed;
        let bearing =
            |point: &Point| point.tracks.first().filter(|track| track.meters > NOTHING).map(|track| track.chords[0].1);
        let turning = pieces.iter().flat_map(|points| points.windows(2)).filter_map(|pair| {
            let (one, other) = (bearing(&pair[0])?, bearing(&pair[1])?);
            (turn(other - one).abs() < 60.0).then(|| self.between(speed, one, other, 0.0))
        });
        let flown = pieces.iter().flatten().flat_map(|point| &point.tracks).filter(|track| track.meters > NOTHING);
        flown.map(|track| self.on_track(track, speed, place)).chain(turning).fold(0.0, f64::max)
    }

    fn on_track(&self, track: &Track, speed: f64, place: f64) -> f64 {
        let blur = (place / track.meters).min(1.0).asin().to_degrees();
        track.chords.iter().map(|(_, at)| self.between(speed, *at, *at, blur)).fold(0.0, f64::max)
    }

    /// On tracks that turn from one to another the short way round, give or take some degrees.
    fn between(&self, speed: f64, one: f64, other: f64, blur: f64) -> f64 {
        let off = (self.air.winds.beside(one, other) - blur).max(0.0);
        airspeeds((speed, speed), off.to_radians().cos(), self.air.winds.up_to).1
    }
}
