//! Rectangles in longitude and latitude.

use pinfold_core::geometry::position::Position;

/// Counts of 1e-7 degree in a full turn.
pub(super) const TURN: i64 = 3_600_000_000;
/// Metres in a count of 1e-7 degree of latitude, and of longitude at the equator: never more than that there are. The least is
/// at the equator along the meridian, 0.011057 m (WGS 84, a (1 - e^2) x pi / 180).
const METRES: f64 = 0.011_05;

/// A place in counts of 1e-7 degree. `x` goes on past the antimeridian, so that a site across it is in one piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Spot {
    pub(super) x: i64,
    pub(super) y: i64,
}

impl Spot {
    /// A position the short way round from the meridian of another.
    pub(super) fn of(position: Position, about: Position) -> Self {
        let from = i64::from(about.longitude.get());
        let east = (i64::from(position.longitude.get()) - from + TURN / 2).rem_euclid(TURN) - TURN / 2;
        Self { x: from + east, y: i64::from(position.latitude.get()) }
    }
}

/// A closed rectangle.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Span {
    pub(super) west: i64,
    pub(super) east: i64,
    pub(super) south: i64,
    pub(super) north: i64,
}

impl Span {
    /// A single place.
    pub(super) fn dot(spot: Spot) -> Self {
        Self { west: spot.x, east: spot.x, south: spot.y, north: spot.y }
    }

    /// The smallest that has both.
    pub(super) fn and(self, other: Self) -> Self {
        Self {
            west: self.west.min(other.west),
            east: self.east.max(other.east),
            south: self.south.min(other.south),
            north: self.north.max(other.north),
        }
    }

    /// Wider by so many counts on each side.
    pub(super) fn grown(self, east: i64, north: i64) -> Self {
        Self { west: self.west - east, east: self.east + east, south: self.south - north, north: self.north + north }
    }

    /// Wider by at least so many metres on each side.
    pub(super) fn widened(self, metres: f64) -> Self {
        let north = metres / METRES;
        let far = self.grown(0, north.ceil() as i64);
        // Nothing is flown beyond 80 degrees; the least cosine keeps the number small there.
        let east = north / far.least_cosine().max(0.1);
        self.grown(east.ceil() as i64, north.ceil() as i64)
    }

    /// What of the span is outside another, in up to four parts. Where only edges are shared nothing is left.
    pub(super) fn without(self, other: Self) -> Vec<Self> {
        let (south, north) = (self.south.max(other.south), self.north.min(other.north));
        let parts = [
            Self { north: self.north.min(other.south), ..self },
            Self { south: self.south.max(other.north), ..self },
            Self { south, north, east: self.east.min(other.west), ..self },
            Self { south, north, west: self.west.max(other.east), ..self },
        ];
        parts.into_iter().filter(|part| part.west < part.east && part.south < part.north).collect()
    }

    /// Metres to a place, never more than they are, but for less than a thousandth of them in 100 km.
    pub(super) fn metres_to(self, spot: Spot) -> f64 {
        let off = |low: i64, high: i64, value: i64| (low - value).max(value - high).max(0) as f64 * METRES;
        let cosine = self.and(Self::dot(spot)).least_cosine();
        (off(self.west, self.east, spot.x) * cosine).hypot(off(self.south, self.north, spot.y))
    }

    /// Width and height, in metres, for people: within a hundredth.
    pub(super) fn size(self) -> (f64, f64) {
        let middle = (self.south + self.north) as f64 / 2e7;
        let (width, height) = ((self.east - self.west) as f64, (self.north - self.south) as f64);
        (width * 0.011_13 * middle.to_radians().cos(), height * 0.011_11)
    }

    fn least_cosine(self) -> f64 {
        let farthest = self.south.abs().max(self.north.abs()) as f64 / 1e7;
        farthest.min(90.0).to_radians().cos()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn spot(longitude: i32, about: i32) -> i64 {
        let [position, about] = [longitude, about].map(|longitude| Position::new(0, longitude).unwrap());
        Spot::of(position, about).x
    }

    #[test]
    fn longitudes_go_on_past_the_antimeridian() {
        assert_eq!(spot(-1_799_999_990, 1_799_999_990), 1_800_000_010);
        assert_eq!(spot(1_799_999_990, -1_799_999_990), -1_800_000_010);
        assert_eq!(spot(5, -7), 5);
    }

    #[test]
    fn what_is_left_of_a_span_has_an_area() {
        let span = |west, east, south, north| Span { west, east, south, north };
        let all = span(0, 10, 0, 10);
        assert_eq!(all.without(span(0, 10, -5, 15)), []);
        assert_eq!(all.without(span(10, 20, 0, 10)), [all]);
        assert_eq!(all.without(span(0, 4, 0, 10)), [span(4, 10, 0, 10)]);
        assert_eq!(all.without(span(2, 4, 3, 5)).len(), 4);
        assert_eq!(all.without(span(20, 30, 0, 10)), [all]);
    }

    #[test]
    fn a_distance_is_never_too_long() {
        // One minute of latitude at the equator is 1842.9 m, of longitude 1855.3 m (WGS 84 radii of curvature).
        let minute = 166_667;
        let dot = Span::dot(Spot { x: 0, y: 0 });
        let metres = dot.metres_to(Spot { x: 0, y: minute });
        assert!((1840.0..1842.9).contains(&metres), "{metres}");
        let metres = dot.metres_to(Spot { x: minute, y: 0 });
        assert!((1840.0..1855.3).contains(&metres), "{metres}");
        let wide = dot.widened(1000.0);
        assert!(wide.north > 90_000 && wide.east > 89_800, "{wide:?}");
    }
}
