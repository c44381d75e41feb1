//! The answers by the `geo` crate: all places into a plane that touches the ellipsoid at launch, metres north and east by the
//! two radii of curvature there. Right to some centimetres within a kilometre; it doesn't bound its error.

use geo::{Contains, Coord, Distance, Euclidean, Intersects, Line, Point, Polygon, Triangle};

use crate::{
    Clearances,
    course::{Course, Place},
};

/// The triangle of the ways home as `geo` has it: one distance of two polygons.
pub(crate) fn planar(course: &Course) -> Clearances {
    Plane::new(course.path[0], &course.rings).clearances(&course.path)
}

/// The same by the three sides of the triangle, each looked at once: the leg is one, and the next leg's triangle shares one.
pub(crate) fn planar_by_sides(course: &Course) -> Clearances {
    Plane::new(course.path[0], &course.rings).clearances_by_sides(&course.path)
}

/// From degrees to metres east and north of launch.
struct Projection {
    launch: Place,
    metres_a_degree: (f64, f64),
}

impl Projection {
    fn at(&self, place: Place) -> Coord {
        let degrees = |there: i32, here: i32| f64::from(there - here) / 1e7;
        let (north, east) = self.metres_a_degree;
        Coord { x: degrees(place.1, self.launch.1) * east, y: degrees(place.0, self.launch.0) * north }
    }
}

/// The zones in the plane.
pub(crate) struct Plane {
    projection: Projection,
    keep_in: Polygon,
    keep_out: Vec<Polygon>,
}

impl Plane {
    pub(crate) fn new(launch: Place, rings: &[Vec<Place>]) -> Self {
        let projection = Projection { launch, metres_a_degree: metres_a_degree(f64::from(launch.0) / 1e7) };
        let polygon =
            |ring: &Vec<Place>| Polygon::new(ring.iter().map(|place| projection.at(*place)).collect(), Vec::new());
        let (keep_in, keep_out) = (polygon(&rings[0]), rings[1..].iter().map(polygon).collect());
        Self { projection, keep_in, keep_out }
    }

    pub(crate) fn clearances(&self, path: &[Place]) -> Clearances {
        let mut least = self.nothing_yet();
        for (leg, triangle) in self.legs(path) {
            self.take(&leg, &mut least.legs);
            let triangle = triangle.to_polygon();
            take(&mut least.ways_home[0], Euclidean.distance(triangle.exterior(), self.keep_in.exterior()));
            for (least, zone) in least.ways_home[1..].iter_mut().zip(&self.keep_out) {
                take(least, Euclidean.distance(&triangle, zone));
            }
        }
        least
    }

    fn clearances_by_sides(&self, path: &[Place]) -> Clearances {
        let mut least = self.nothing_yet();
        for (leg, triangle) in self.legs(path) {
            self.take(&leg, &mut least.legs);
            self.take(&Line::new(Coord::zero(), leg.end), &mut least.ways_home);
            for (least, zone) in least.ways_home[1..].iter_mut().zip(&self.keep_out) {
                // Sides don't see a zone that is all within the triangle.
                if triangle.intersects(&zone.exterior()[0]) {
                    take(least, 0.0);
                }
            }
        }
        for (home, leg) in least.ways_home.iter_mut().zip(least.legs) {
            take(home, leg);
        }
        least
    }

    /// Nothing is right where launch itself is outside.
    fn nothing_yet(&self) -> Clearances {
        let mut least = Clearances::NONE;
        if !self.keep_in.contains(&Point::new(0.0, 0.0)) {
            (least.legs[0], least.ways_home[0]) = (0.0, 0.0);
        }
        least
    }

    fn legs(&self, path: &[Place]) -> impl Iterator<Item = (Line, Triangle)> {
        path.windows(2).map(|ends| {
            let (from, to) = (self.projection.at(ends[0]), self.projection.at(ends[1]));
            (Line::new(from, to), Triangle::new(Coord::zero(), from, to))
        })
    }

    /// The distances of a line to the edge of the zone to keep in and to the zones to keep out of, where they are less.
    fn take(&self, line: &Line, least: &mut [f64]) {
        take(&mut least[0], Euclidean.distance(line, self.keep_in.exterior()));
        for (least, zone) in least[1..].iter_mut().zip(&self.keep_out) {
            take(least, Euclidean.distance(line, zone));
        }
    }
}

fn take(least: &mut f64, distance: f64) {
    *least = least.min(distance);
}

/// Metres in a degree northwards and eastwards at a latitude: by the radii of curvature of WGS 84 (semi-major axis 6,378,137 m,
/// flattening 1 / 298.257223563: NGA.STND.0036).
fn metres_a_degree(latitude: f64) -> (f64, f64) {
    const FLATTENING: f64 = 1.0 / 298.257_223_563;
    let eccentricity_squared = FLATTENING * (2.0 - FLATTENING);
    let (sin, cos) = latitude.to_radians().sin_cos();
    let squeeze = 1.0 - eccentricity_squared * sin * sin;
    let across = 6_378_137.0 / squeeze.sqrt();
    let along = across * (1.0 - eccentricity_squared) / squeeze;
    (along.to_radians(), (across * cos).to_radians())
}
