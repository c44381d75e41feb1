//! How high mean sea level is above the WGS 84 ellipsoid: the geoid model EGM96, to degree and order 360.

use pinfold_core::geometry::position::Position;

/// How far the geoid is above the ellipsoid at a place, in 0.01 m, rounded to the nearest.
pub(super) fn above_ellipsoid(position: Position) -> i32 {
    let degrees = |counts: i32| f64::from(counts) * 1e-7;
    let metres = egm96::egm96_compute_altitude_offset(
        degrees(position.latitude.get()),
        degrees(position.longitude.get()).rem_euclid(360.0),
    );
    // Nowhere more than 110 m: far within what an i32 holds.
    (metres * 100.0).round() as i32
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Sample output OUTINTPT.DAT in the README of the geoid file of NGA (EGM96, 15' grid): latitude, longitude, undulation.
    /// That grid's interpolation and the harmonics themselves differ by up to 4 cm in flat places and more in steep ones.
    const PUBLISHED: [(f64, f64, f64); 6] = [
        (38.628_155, 269.779_155, -31.628),
        (-14.621_217, 305.021_114, -2.969),
        (46.874_319, 102.448_729, -43.575),
        (-23.617_446, 133.874_712, 15.871),
        (38.625_473, 359.999_5, 50.066),
        (-0.466_744, 0.002_3, 17.329),
    ];

    #[test]
    fn published_undulations_are_met_to_two_centimetres() {
        for (latitude, longitude, metres) in PUBLISHED {
            let east: f64 = if longitude > 180.0 { longitude - 360.0 } else { longitude };
            let place = Position::new((latitude * 1e7) as i32, (east * 1e7) as i32).expect("a place");
            let found = f64::from(above_ellipsoid(place)) / 100.0;
            assert!((found - metres).abs() < 0.02, "{latitude}, {longitude}: {found} instead of {metres}");
        }
    }
}
