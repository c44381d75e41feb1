//! How high mean sea level is above the WGS 84 ellipsoid: the geoid model EGM96, to degree and order 360.
//!
//! Error budget: the harmonics meet the published values within 4 mm, and the result is rounded to the nearest 0.01 m. How far
//! the model itself is from the sea (up to about a metre; from memory) is nothing that can be computed here: the margins are to
//! cover it. It is only evaluated where a file has heights above the ellipsoid; nothing is loaded or computed before.

use pinfold_core::geometry::position::Position;

/// How far the geoid is above the ellipsoid at a place, in 0.01 m.
pub(super) fn above_ellipsoid(position: Position) -> i32 {
    let degrees = |counts: i32| f64::from(counts) * 1e-7;
    let metres =
        egm96::egm96_compute_altitude_offset(degrees(position.latitude.get()), degrees(position.longitude.get()));
    // Nowhere more than 110 m: far within what an i32 holds.
    (metres * 100.0).round() as i32
}

#[cfg(test)]
mod tests {
    use super::*;

    /// NGA, README of the EGM96 geoid file, sample output OUTINTPT.DAT: latitude, longitude, undulation in metres.
    const PUBLISHED: [(f64, f64, f64); 6] = [
        (38.628_155, 269.779_155, -31.628),
        (-14.621_217, 305.021_114, -2.969),
        (46.874_319, 102.448_729, -43.575),
        (-23.617_446, 133.874_712, 15.871),
        (38.625_473, 359.999_5, 50.066),
        (-0.466_744, 0.002_3, 17.329),
    ];

    fn place(latitude: f64, longitude: f64) -> Position {
        let east = if longitude > 180.0 { longitude - 360.0 } else { longitude };
        let counts = |degrees: f64| (degrees * 1e7).round() as i32;
        Position::new(counts(latitude), counts(east)).expect("a place")
    }

    /// 4 mm of the harmonics and 5 mm of rounding.
    #[test]
    fn published_undulations_are_met_to_a_centimetre() {
        for (latitude, longitude, metres) in PUBLISHED {
            let found = f64::from(above_ellipsoid(place(latitude, longitude))) / 100.0;
            assert!((found - metres).abs() <= 0.009, "{latitude}, {longitude}: {found} instead of {metres}");
        }
    }

    #[test]
    fn both_names_of_the_antimeridian_are_one_place() {
        assert_eq!(above_ellipsoid(place(45.0, 180.0)), above_ellipsoid(place(45.0, -180.0)));
    }
}
