//! How high mean sea level is above the WGS 84 ellipsoid: the geoid model EGM96, to degree and order 360.
//!
//! Error budget: the harmonics meet the published values within 4 mm; they are taken at the nearest 1e-4 degree (8 m at most from
//! the place, which is 2 mm where the geoid is as steep as 2e-4), since a value takes some 2 ms and a line may have 65,000 points;
//! the result is rounded to the nearest 0.01 m. How far the model itself is from the sea (up to about a metre; from memory) can't be
//! computed here: the margins are to cover it. Nothing is loaded or computed for files without heights above the ellipsoid.

use std::{cell::RefCell, collections::HashMap};

use pinfold_core::geometry::position::Position;

/// Counts of 1e-7 degree between the places at which the model is computed.
const APART: i32 = 1000;

/// The geoid, as far as it was asked for.
#[derive(Default)]
pub(super) struct Geoid {
    known: RefCell<HashMap<(i32, i32), i32>>,
}

impl Geoid {
    /// How far the geoid is above the ellipsoid at a place, in 0.01 m.
    pub(super) fn above_ellipsoid(&self, position: Position) -> i32 {
        let nearest = |counts: i32| (counts + counts.signum() * (APART / 2)) / APART;
        let at = (nearest(position.latitude.get()), nearest(position.longitude.get()));
        *self.known.borrow_mut().entry(at).or_insert_with(|| computed(at))
    }
}

/// The model's value at a latitude and longitude in 1e-4 degree.
fn computed((latitude, longitude): (i32, i32)) -> i32 {
    let metres = egm96::egm96_compute_altitude_offset(f64::from(latitude) * 1e-4, f64::from(longitude) * 1e-4);
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

    /// 4 mm of the harmonics, 2 mm of the place and 5 mm of rounding.
    #[test]
    fn published_undulations_are_met_to_a_centimetre() {
        let geoid = Geoid::default();
        for (latitude, longitude, metres) in PUBLISHED {
            let found = f64::from(geoid.above_ellipsoid(place(latitude, longitude))) / 100.0;
            assert!((found - metres).abs() <= 0.011, "{latitude}, {longitude}: {found} instead of {metres}");
        }
    }

    #[test]
    fn a_long_line_computes_each_place_once() {
        let geoid = Geoid::default();
        let places = (0..65_000).map(|step| place(46.2 + f64::from(step) * 1e-7, -17.4));
        let found: Vec<i32> = places.map(|place| geoid.above_ellipsoid(place)).collect();
        assert_eq!(geoid.known.borrow().len(), 66);
        assert!(found.windows(2).all(|pair| (pair[0] - pair[1]).abs() <= 1));
    }

    #[test]
    fn both_names_of_the_antimeridian_are_one_place() {
        let geoid = Geoid::default();
        assert_eq!(geoid.above_ellipsoid(place(45.0, 180.0)), geoid.above_ellipsoid(place(45.0, -180.0)));
    }
}
