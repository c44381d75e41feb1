//! The turn-back that takes the most.

use super::{
    flight::Flight,
    stint::Stint,
    sweep::Worst,
    table::watt_hours,
    way::{NOTHING, Track, Way},
};
use crate::oracle::course::{Course, Reading};

/// A leg that passes no farther beside launch than this, in metres, is looked at as if it passed so far beside it.
const OVERHEAD: f64 = 0.02;

/// How closely the worst turn-back is looked for.
#[derive(Clone, Copy, Debug)]
pub struct Effort {
    /// Places along a leg.
    pub places: u32,
    /// Degrees between bearings home where a leg passes launch.
    pub bearing: f64,
    /// Degrees between directions of the wind.
    pub direction: f64,
    /// How many pieces are looked at closely.
    pub pieces: usize,
}

impl Effort {
    /// Enough to see a fault.
    pub const QUICK: Self = Self { places: 12, bearing: 20.0, direction: 6.0, pieces: 3 };
    /// Enough to be nearly sure.
    pub const FINE: Self = Self { places: 60, bearing: 10.0, direction: 2.0, pieces: 5 };
}

/// A point of the route that an automatic return may begin at.
#[derive(Clone, Debug)]
pub struct Point {
    /// Number of its stint.
    pub stint: usize,
    /// Which part of the stint's energy is used there.
    pub share: f64,
    /// Watt-hours home but for the way over ground.
    upright: f64,
    /// Ways home.
    pub tracks: Vec<Track>,
    /// Place along the stint, from 0 to 1.
    along: f64,
}

/// The turn-back that takes the most.
#[derive(Clone, Copy, Debug)]
pub struct Back {
    /// Watt-hours and wind.
    pub worst: Worst,
    /// Number of its stint.
    pub stint: usize,
    /// Place along the stint, from 0 to 1.
    pub along: f64,
}

impl Flight {
    /// The point at a place along a stint.
    #[must_use]
    pub fn point(&self, number: usize, along: f64) -> Point {
        let (stint, center) = (&self.stints[number], self.home.ground((0, 0)));
        let home = |place| Way::new(center, place, center).tracks;
        let piece = &stint.piece;
        let (share, tracks) = match &stint.way {
            None => (along, home(self.home.ground(piece.from))),
            Some(way) => {
                let course = |reading| Course::new(self.home, piece.from, piece.to, reading);
                let degrees = course(Reading::Degrees);
                let mut tracks = home(degrees.at(along));
                if way.tracks.len() > 1 {
                    for reading in [Reading::Geodesic, Reading::Tangent] {
                        let place = course(reading).at(along);
                        tracks.extend(Way::read(center, place, center, reading).tracks);
                    }
                }
                (degrees.covered(along), tracks)
            }
        };
        let height = piece.heights.0 + share * (piece.heights.1 - piece.heights.0);
        Point { stint: number, share, upright: self.habits.upright(&self.air, height), tracks, along }
    }

    /// Watt-hours from a point home, the wind from a direction.
    #[must_use]
    pub fn home_from(&self, point: &Point, from: f64) -> f64 {
        let way = |track| self.air.along(track, self.habits.speed, 0.0, false, from);
        let flown = point.tracks.iter().filter(|track| track.meters > NOTHING);
        point.upright + flown.map(way).fold(0.0, f64::max)
    }

    /// Watt-hours that a way home rounded up may add.
    #[must_use]
    pub fn home_rounding(&self, point: &Point) -> f64 {
        let meters = point.tracks.iter().map(|track| track.meters).fold(0.0, f64::max);
        let most = self.air.table.most((0.0, self.air.table.end()));
        watt_hours(most, (0.001 * meters + 0.05) / self.habits.speed)
    }

    /// The points of a stint that are looked at, in order.
    #[must_use]
    pub fn points(&self, number: usize, effort: Effort) -> Vec<Point> {
        let stint = &self.stints[number];
        let mut places = vec![0.0, 1.0];
        places.extend(self.at_return_height(stint));
        if stint.way.is_some() {
            places.extend((0..=effort.places).map(|place| f64::from(place) / f64::from(effort.places)));
            places.extend(self.passing(stint, effort.bearing));
        }
        places.sort_by(f64::total_cmp);
        places.dedup();
        places.into_iter().map(|along| self.point(number, along)).collect()
    }

    /// Where a stint passes the return height: what goes home from below rises first.
    fn at_return_height(&self, stint: &Stint) -> Option<f64> {
        let (low, high) = stint.piece.heights;
        let along = (self.habits.height - low) / (high - low);
        (high != low && 0.0 < along && along < 1.0).then_some(along)
    }

    /// Places where a leg passes launch, even in the bearing home.
    fn passing(&self, stint: &Stint, step: f64) -> Vec<f64> {
        if [stint.piece.from, stint.piece.to].contains(&(0, 0)) {
            return Vec::new();
        }
        let (nearest, gap, length) = self.beside(stint);
        let gap = gap.max(OVERHEAD);
        let mut angle = step / 2.0 - 90.0;
        let mut places = Vec::new();
        while angle < 90.0 {
            places.push((nearest + gap * angle.to_radians().tan()) / length);
            angle += step;
        }
        places.retain(|along| (0.0..=1.0).contains(along));
        places
    }

    /// Where along a leg launch is, how far beside it, and how long it is, in metres, about.
    fn beside(&self, stint: &Stint) -> (f64, f64, f64) {
        let scale = self.home.ground((0, 0)).meters_per_degree();
        #[expect(clippy::cast_precision_loss, reason = "local coordinates have 33 bits")]
        let plane = |place: (i64, i64)| (place.0 as f64 * 1e-7 * scale.0, place.1 as f64 * 1e-7 * scale.1);
        let (from, to) = (plane(stint.piece.from), plane(stint.piece.to));
        let (east, north) = (to.0 - from.0, to.1 - from.1);
        let length = east.hypot(north);
        let nearest = -(from.0 * east + from.1 * north) / length;
        (nearest, (from.0 * north - from.1 * east).abs() / length, length)
    }

    /// How closely a leg passes launch, as a part of its length; one from or to launch doesn't pass it.
    #[must_use]
    pub fn closeness(&self, stint: &Stint) -> f64 {
        if stint.way.is_none() || [stint.piece.from, stint.piece.to].contains(&(0, 0)) {
            return f64::INFINITY;
        }
        let (nearest, gap, length) = self.beside(stint);
        gap.hypot(nearest - nearest.clamp(0.0, length)) / length
    }

    /// The turn-back that takes the most, or `None` if none can begin.
    #[must_use]
    pub fn worst_back(&self, effort: Effort) -> Option<Back> {
        let open: Vec<Vec<Point>> = self.open().map(|(number, _)| self.points(number, effort)).collect();
        let mut best: Vec<Option<Back>> = vec![None; open.len()];
        for from in self.air.winds.directions(effort.direction) {
            let mut used = 0.0;
            for (number, points) in open.iter().enumerate() {
                let whole = self.stints[number].watt_hours(&self.air, from);
                for point in points {
                    let needed = used + point.share * whole + self.home_from(point, from);
                    if best[number].is_none_or(|back| needed > back.worst.needed) {
                        best[number] = Some(Back { worst: Worst { needed, from }, stint: number, along: point.along });
                    }
                }
                used += whole;
            }
        }
        let mut best: Vec<Back> = best.into_iter().flatten().collect();
        best.sort_by(|a, b| b.worst.needed.total_cmp(&a.worst.needed));
        best.truncate(effort.pieces);
        best.into_iter().map(|back| self.closer(back, effort)).max_by(|a, b| a.worst.needed.total_cmp(&b.worst.needed))
    }

    /// Watt-hours of a turn-back at a place, the wind from a direction.
    #[must_use]
    pub fn back(&self, stint: usize, along: f64, from: f64) -> Back {
        let energy = |number: usize| self.stints[number].watt_hours(&self.air, from);
        let point = self.point(stint, along);
        let used: f64 = (0..stint).map(energy).sum();
        let needed = used + point.share * energy(stint) + self.home_from(&point, from);
        Back { worst: Worst { needed, from }, stint, along }
    }

    /// The most that a turn-back from a step takes, the wind from about a direction.
    #[must_use]
    pub fn back_of_step(&self, step: u16, from: f64) -> f64 {
        let open: Vec<usize> =
            self.open().filter(|(_, stint)| stint.piece.step == step).map(|(number, _)| number).collect();
        let places = (0..=20).flat_map(|place| open.iter().map(move |number| (*number, f64::from(place) / 20.0)));
        places.map(|(number, along)| self.back(number, along, from).worst.needed).fold(0.0, f64::max)
    }

    /// Goes up from a turn-back in ever smaller steps of place and wind.
    fn closer(&self, start: Back, effort: Effort) -> Back {
        let (mut best, mut step) = (start, 1.0);
        if !start.worst.needed.is_finite() {
            return start;
        }
        while step > 1e-3 {
            let mut better = best;
            for (place, turn) in [(0, 1), (0, -1), (1, 0), (-1, 0), (1, 1), (-1, -1), (1, -1), (-1, 1)] {
                let along = (best.along + step * f64::from(place) / f64::from(effort.places)).clamp(0.0, 1.0);
                let from = self.air.winds.allowed(best.worst.from + step * f64::from(turn) * effort.direction);
                let one = self.back(best.stint, along, from);
                if one.worst.needed > better.worst.needed {
                    better = one;
                }
            }
            let gain = better.worst.needed - best.worst.needed;
            best = better;
            if gain <= 1e-9 {
                step /= 2.0;
            }
        }
        best
    }
}
