//! A flat map about launch, good enough to draw on: nothing is decided with it.

use pinfold_core::geometry::position::Position;

/// Metres in a degree of latitude, on average over the ellipsoid WGS 84.
const METRES_A_DEGREE: f64 = 111_132.954;
/// Counts in a degree.
const COUNTS: f64 = 1e7;
/// Counts in a full turn.
const TURN: f64 = 360.0 * COUNTS;

/// A place on the map: metres east and north of launch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Point {
    pub(super) east: f64,
    pub(super) north: f64,
}

impl Point {
    pub(super) const LAUNCH: Self = Self { east: 0.0, north: 0.0 };

    pub(super) fn distance(self, other: Self) -> f64 {
        (self.east - other.east).hypot(self.north - other.north)
    }

    /// The point a share of the way to another.
    pub(super) fn toward(self, other: Self, share: f64) -> Self {
        let between = |from: f64, to: f64| from + (to - from) * share;
        Self { east: between(self.east, other.east), north: between(self.north, other.north) }
    }
}

/// The map.
#[derive(Clone, Copy, Debug)]
pub(super) struct Plane {
    launch: Position,
    /// Metres to the east in a count of longitude.
    east: f64,
    /// Metres to the north in a count of latitude.
    north: f64,
}

impl Plane {
    pub(super) fn about(launch: Position) -> Self {
        let latitude = (f64::from(launch.latitude.get()) / COUNTS).to_radians();
        let north = METRES_A_DEGREE / COUNTS;
        Self { launch, east: north * latitude.cos().max(1e-3), north }
    }

    pub(super) fn point(self, position: Position) -> Point {
        let east = f64::from(position.longitude.get()) - f64::from(self.launch.longitude.get());
        let wrapped = east - TURN * (east / TURN).round();
        let north = f64::from(position.latitude.get()) - f64::from(self.launch.latitude.get());
        Point { east: wrapped * self.east, north: north * self.north }
    }

    /// Counts of latitude and of longitude east of another place, the short way round.
    pub(super) fn counts_from(self, corner: Position, point: Point) -> (f64, f64) {
        let corner = self.point(corner);
        ((point.north - corner.north) / self.north, (point.east - corner.east) / self.east)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn across_the_antimeridian_the_way_is_the_short_one() {
        let plane = Plane::about(Position::new(0, 1_799_999_000).expect("a place"));
        let point = plane.point(Position::new(1_000, -1_799_999_000).expect("a place"));
        assert!((point.east - 22.2).abs() < 0.1 && (point.north - 11.1).abs() < 0.1, "{point:?}");
    }

    #[test]
    fn counts_lead_back_to_where_they_came_from() {
        let plane = Plane::about(Position::new(462_000_000, -174_000_000).expect("a place"));
        let corner = Position::new(461_990_000, -174_010_000).expect("a place");
        let (north, east) = plane.counts_from(corner, Point::LAUNCH);
        assert!((north - 10_000.0).abs() < 1e-3 && (east - 10_000.0).abs() < 1e-3);
    }
}
