//! Metres in a degree, and how far a line straight in longitude and latitude is from the geodesic.

use pinfold_tests::measured::{
    allowance_ceil, counts, distance_budget, distance_floor, length_budget, length_ceil, wrapped,
};

/// Latitude, length of one degree of latitude and of longitude, m.
///
/// Exact columns: π / 180 times the radius of curvature of the meridian, and times that of the prime vertical and the cosine
/// (ICSM, GDA2020 Technical Manual v1.6, eqs. C-14 and C-15, with WGS 84's constants), computed with 40 digits. Rounded to
/// metres they are those of a widely reproduced encyclopedia table ("Latitude"; read in four copies), but for the degree of
/// longitude at the equator, which that table gives as 111.320 km instead of 111.319.
const DEGREES: [(f64, f64, f64); 6] = [
    (0.0, 110574.2758, 111319.4908),
    (15.0, 110648.6962, 107550.4887),
    (30.0, 110852.4425, 96486.2803),
    (45.0, 111131.7774, 78846.8351),
    (60.0, 111412.2875, 55800.0016),
    (75.0, 111618.3841, 28902.0058),
];

/// The legs: a fifth of a degree.
const PART: f64 = 0.2;

/// What a leg of 0.2 degrees of latitude can differ by, m, because the table's value is that of its middle. One degree is
/// 111132.9 - 559.8 cos 2φ + 1.2 cos 4φ to 0.1 m; the mean over a span differs from the middle by a twenty-fourth of the span's
/// square (in radians) times the second derivative, which is below 2260 m; and the leg is a fifth of a degree.
const MEAN: f64 = 0.0003;

#[test]
fn a_degree_of_latitude_is_never_taken_for_shorter_nor_for_longer() {
    for (latitude, degree, _) in DEGREES {
        for sign in [1.0, -1.0] {
            let south = (counts(sign * latitude - PART / 2.0), 0);
            let north = (counts(sign * latitude + PART / 2.0), 0);
            hold(south, north, PART * degree, latitude + PART / 2.0, MEAN);
        }
    }
}

#[test]
fn a_degree_of_longitude_is_never_taken_for_shorter_nor_for_longer() {
    for (latitude, _, degree) in DEGREES {
        for (sign, west) in [(1.0, 179.9), (-1.0, -180.0), (1.0, 10.0)] {
            let west = (counts(sign * latitude), counts(west));
            let east = (west.0, wrapped(i64::from(west.1) + i64::from(counts(PART))));
            hold(west, east, PART * degree, latitude, 0.0);
        }
    }
}

/// Length of one degree of longitude, m, by the formula of the table (C-15).
fn degree_of_longitude(latitude: f64) -> f64 {
    let eccentricity_squared = (2.0 - 1.0 / 298.257223563) / 298.257223563;
    let (sine, cosine) = latitude.to_radians().sin_cos();
    (6_378_137.0 * cosine / (1.0 - eccentricity_squared * sine * sine).sqrt()).to_radians()
}

#[test]
fn a_long_parallel_near_the_last_latitude_is_not_taken_for_its_chord() {
    for (latitude, _, degree) in DEGREES {
        assert!((degree_of_longitude(latitude) - degree).abs() < 1e-4, "{latitude}");
    }
    for latitude in [79.4, -79.4] {
        // The arc of 4.6 degrees, 94 km, bulges by some 900 m: it is 24 m longer than its chord.
        let length = 4.6 * degree_of_longitude(latitude);
        let middle = (counts(latitude), counts(-30.0));
        let (west, east) = ((middle.0, middle.1 - counts(2.3)), (middle.0, middle.1 + counts(2.3)));
        for (from, to) in [(west, east), (east, west)] {
            let above = length_ceil(middle, from, to) - length;
            let budget = length_budget(length, latitude);
            assert!((0.0..=budget).contains(&above), "{above} m above {length}, {budget} allowed");
        }
    }
}

/// Holds a line to the length of its parallel or meridian. A parallel is longer than the geodesic, by far less than the
/// distance may be below.
fn hold(one: (i32, i32), other: (i32, i32), length: f64, latitude: f64, tolerance: f64) {
    for (from, to) in [(one, other), (other, one)] {
        let above = length_ceil(from, from, to) - length;
        let budget = length_budget(length, latitude) + tolerance;
        assert!((-tolerance..=budget).contains(&above), "{from:?}: {above} m above {length}, {budget} allowed");
        let below = length - distance_floor(from, to);
        let budget = distance_budget(length) + tolerance;
        assert!((-tolerance..=budget).contains(&below), "{from:?}: {below} m below {length}, {budget} allowed");
    }
}

#[test]
fn a_sphere_would_be_noticed() {
    // The mean radius R1 = (2 a + b) / 3 = 6371008.7714 m makes every degree of latitude 111,195 m: 0.56 % too much at the
    // equator, where the bounds above leave 0.1 %.
    let sphere = 6371008.7714_f64.to_radians() * PART;
    let (south, north) = ((counts(-PART / 2.0), 0), (counts(PART / 2.0), 0));
    assert!(length_ceil(south, south, north) < sphere);
    let (south, north) = ((counts(75.0 - PART / 2.0), 0), (counts(75.0 + PART / 2.0), 0));
    assert!(distance_floor(south, north) > sphere);
}

/// Latitude, and the largest gap in m between an edge straight in longitude and latitude (RFC 7946, section 3.1.1, which says
/// itself that the two may differ) and the geodesic, for edges of 1, 5 and 20 km due east: s² tan φ / (8 N). Computed, within
/// 0.2 % of a geodesic library's.
const GAPS: [(f64, [f64; 3]); 4] = [
    (15.0, [0.005, 0.131, 2.100]),
    (47.0, [0.021, 0.524, 8.392]),
    (60.0, [0.034, 0.846, 13.544]),
    (75.0, [0.073, 1.823, 29.165]),
];

/// A degree of longitude at latitude 47, m, by the common series 111412.84 cos φ - 93.5 cos 3φ + 0.118 cos 5φ (attributed to
/// a mapping agency: the attribution is from memory; it is right to 0.1 m).
const AT_47: f64 = 76_056.0;

#[test]
fn the_gap_between_readings_of_straight_is_allowed_for_in_full_and_no_more() {
    for (latitude, gaps) in GAPS {
        let degree = DEGREES.iter().find(|(there, ..)| *there == latitude).map_or(AT_47, |(.., degree)| *degree);
        for (gap, length) in gaps.into_iter().zip([1000.0, 5000.0, 20_000.0]) {
            let from = (counts(latitude), counts(8.0));
            let to = (from.0, from.1 + counts(length / degree));
            let allowance = allowance_ceil(from, to);
            // The table's last digit, a tenth above and 1 cm for the allowance, 1 cm for rounding it up, braking from 1 cm/s.
            let range = 0.998 * gap - 0.0005..=1.1 * gap + 0.0005 + 0.02 + 0.0002;
            assert!(range.contains(&allowance), "{length} m at {latitude}: {allowance}, the gap is {gap}");
        }
    }
}
