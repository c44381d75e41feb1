//! The WGS 84 ellipsoid in floating point: geodesic distances, geocentric coordinates and the tangent plane at a place.

use std::sync::LazyLock;

use geographiclib_rs::{DirectGeodesic, Geodesic, InverseGeodesic};

/// A vector in geocentric coordinates, in metres.
pub type Vector = [f64; 3];

const SEMI_MAJOR: f64 = 6_378_137.0;
const FLATTENING: f64 = 1.0 / 298.257_223_563;
const SEMI_MINOR: f64 = SEMI_MAJOR * (1.0 - FLATTENING);
const ECCENTRICITY_SQUARED: f64 = FLATTENING * (2.0 - FLATTENING);

static GEODESIC: LazyLock<Geodesic> = LazyLock::new(Geodesic::wgs84);

/// The inner product.
#[must_use]
pub fn dot(a: Vector, b: Vector) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

/// `a - b`.
#[must_use]
pub fn minus(a: Vector, b: Vector) -> Vector {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

/// `a + factor * b`.
#[must_use]
pub fn plus(a: Vector, factor: f64, b: Vector) -> Vector {
    [a[0] + factor * b[0], a[1] + factor * b[1], a[2] + factor * b[2]]
}

/// A place on the ellipsoid, in degrees. Longitudes count from the launch point's meridian: the ellipsoid is round, so
/// that nothing changes, and nothing is lost by a large longitude or at the antimeridian.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ground {
    /// Degrees north.
    pub latitude: f64,
    /// Degrees east of the launch point.
    pub longitude: f64,
}

impl Ground {
    /// Length of the geodesic to another place, in metres.
    #[must_use]
    pub fn meters_to(self, other: Self) -> f64 {
        GEODESIC.inverse(self.latitude, self.longitude, other.latitude, other.longitude)
    }

    /// Azimuth and length of the geodesic to another place: degrees, metres.
    #[must_use]
    pub fn toward(self, other: Self) -> (f64, f64) {
        let (meters, azimuth, _, _): (f64, f64, f64, f64) =
            GEODESIC.inverse(self.latitude, self.longitude, other.latitude, other.longitude);
        (azimuth, meters)
    }

    /// The place that a geodesic leads to.
    #[must_use]
    pub fn along(self, azimuth: f64, meters: f64) -> Self {
        let (latitude, longitude): (f64, f64) = GEODESIC.direct(self.latitude, self.longitude, azimuth, meters);
        Self { latitude, longitude }
    }

    /// Geocentric coordinates.
    #[must_use]
    pub fn geocentric(self) -> Vector {
        let (sin, cos) = self.latitude.to_radians().sin_cos();
        let (sin_longitude, cos_longitude) = self.longitude.to_radians().sin_cos();
        let normal = SEMI_MAJOR / (1.0 - ECCENTRICITY_SQUARED * sin * sin).sqrt();
        [normal * cos * cos_longitude, normal * cos * sin_longitude, normal * (1.0 - ECCENTRICITY_SQUARED) * sin]
    }

    /// Unit vectors to the east, north and up.
    #[must_use]
    pub fn axes(self) -> [Vector; 3] {
        let (sin, cos) = self.latitude.to_radians().sin_cos();
        let (sin_longitude, cos_longitude) = self.longitude.to_radians().sin_cos();
        [
            [-sin_longitude, cos_longitude, 0.0],
            [-sin * cos_longitude, -sin * sin_longitude, cos],
            [cos * cos_longitude, cos * sin_longitude, sin],
        ]
    }

    /// Metres for one degree of longitude and of latitude here.
    #[must_use]
    pub fn meters_per_degree(self) -> (f64, f64) {
        let (sin, cos) = self.latitude.to_radians().sin_cos();
        let root = (1.0 - ECCENTRICITY_SQUARED * sin * sin).sqrt();
        let meridional = SEMI_MAJOR * (1.0 - ECCENTRICITY_SQUARED) / root.powi(3);
        ((SEMI_MAJOR / root * cos).to_radians(), meridional.to_radians())
    }

    /// How the geocentric coordinates change for a change in degrees, per unit of a parameter.
    #[must_use]
    pub fn rate(self, north: f64, east: f64) -> Vector {
        let [to_east, to_north, _] = self.axes();
        let (east_meters, north_meters) = self.meters_per_degree();
        plus(to_east.map(|x| x * east * east_meters), north * north_meters, to_north)
    }

    /// Geocentric coordinates and their [`Self::rate`] at once.
    #[must_use]
    pub fn moving(self, north: f64, east: f64) -> (Vector, Vector) {
        let (sin, cos) = self.latitude.to_radians().sin_cos();
        let (sin_longitude, cos_longitude) = self.longitude.to_radians().sin_cos();
        let square = 1.0 - ECCENTRICITY_SQUARED * sin * sin;
        let normal = SEMI_MAJOR / square.sqrt();
        let place =
            [normal * cos * cos_longitude, normal * cos * sin_longitude, normal * (1.0 - ECCENTRICITY_SQUARED) * sin];
        let east = (normal * cos).to_radians() * east;
        let north = (normal * (1.0 - ECCENTRICITY_SQUARED) / square).to_radians() * north;
        let rate = [
            -sin_longitude * east - sin * cos_longitude * north,
            cos_longitude * east - sin * sin_longitude * north,
            cos * north,
        ];
        (place, rate)
    }

    /// East and north of a place in the tangent plane here: its foot along this place's vertical.
    #[must_use]
    pub fn tangent_of(self, other: Self) -> (f64, f64) {
        let [east, north, _] = self.axes();
        let offset = minus(other.geocentric(), self.geocentric());
        (dot(offset, east), dot(offset, north))
    }

    /// The place on the ellipsoid whose foot in the tangent plane here is this one.
    #[must_use]
    pub fn from_tangent(self, east: f64, north: f64) -> Self {
        let [to_east, to_north, up] = self.axes();
        let foot = plus(plus(self.geocentric(), east, to_east), north, to_north);
        let scale = |v: Vector| [v[0] / SEMI_MAJOR, v[1] / SEMI_MAJOR, v[2] / SEMI_MINOR];
        let (foot_scaled, up_scaled) = (scale(foot), scale(up));
        let (a, b) = (dot(up_scaled, up_scaled), 2.0 * dot(foot_scaled, up_scaled));
        let c = dot(foot_scaled, foot_scaled) - 1.0;
        let lift = -2.0 * c / (b + (b * b - 4.0 * a * c).sqrt());
        let [x, y, z] = plus(foot, lift, up);
        let latitude = z.atan2((1.0 - ECCENTRICITY_SQUARED) * x.hypot(y)).to_degrees();
        Self { latitude, longitude: y.atan2(x).to_degrees() }
    }
}
