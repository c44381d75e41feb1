//! What every step between the numbers of a route and a reported figure can lose, added up. There is no code here.
//!
//! # The bound
//! > reported clearance >= true clearance - (0.05 m + 0.1 % of it), and never above it, for legs up to 500 m.
//!
//! "True" is the smallest geodesic distance on WGS 84 between the two sets of points, each line straight in longitude and
//! latitude. What loses nothing isn't listed: topology ([`super::predicate`]) is exact, and so are differences of positions,
//! squares of distances and their comparisons.
//!
//! # A horizontal clearance
//!
//! | step | where | what it can lose | at most |
//! | --- | --- | --- | --- |
//! | ellipsoid to tangent plane: projection | [`super::frame`] | the normal turns by 7.9e-3 rad within 50 km | 3.2e-5 of the distance |
//! | arc to chord | [`super::frame`] | L² / (24 R²) within 100 km | 1.1e-5 of the distance |
//! | a plane coordinate | [`super::frame`], `Frame::plane` | polynomials, fixed point and the last rounding, below 0.8 mm | in the next line |
//! | four ends in the plane, middles to 1/16 of 1e-7 degree | [`super::separation`], `END_ERROR` | 4.2 mm, for which 5 mm are taken off | 9.2 mm |
//! | two bows, taken off | [`super::separation`], `BOW_FINE` | 8 mm + 2.5e-4 of the distance together | 8 mm + 2.5e-4 of the distance |
//! | distance of two chords | `Chord::separation_floor` | a root and a quotient, rounded down | 1 mm + 1e-9 of the distance |
//! | mm to 0.01 m | `measure_of`, rounded down | | 10 mm |
//! | **together** | | | **28.2 mm + 0.03 %** |
//!
//! Bows are halved until they are that small: nine halvings do for a line of 100 km, and the list of pieces has room for more.
//! Where it had not, or where the work for one edge came to its end, the bound is still one, only less tight.
//! The distance of a circle is measured to its centre, so projection and chord take their share of the radius: 0.05 m are kept
//! up to a radius of 1 km anywhere, and up to some 20 km where the circle's centre is near launch.
//!
//! # A margin
//! Never below the formula, less than 0.0102 m above it ([`crate::rules::margin`]). The allowance for the three readings of
//! "straight" is never below how far apart they are, and at most a tenth and 0.01 m above it for a leg; for the ways home from
//! a leg it is told from up to 65 places of it ([`super::straightness`]).
//!
//! # Heights
//! Heights are whole 0.01 m; comparing them loses nothing. Along a leg that climbs, the part with heights that matter is taken
//! longer by half the leg's bow at both ends and by 2^-24 of the leg, and what is to spare is found to 0.01 m. What a barometric
//! height is off is rounded up to 0.01 m ([`crate::rules::air`]). Ground heights are as exact as their counts.
//!
//! # Distance less height (people)
//! Along a leg: as for a clearance, with whole bows of up to 8 mm each instead of halved ones, 4 mm for places and heights
//! along the leg and 8 mm for narrowing: below 44 mm + 0.01 %. On ways home from a leg that descends above the return height:
//! 0.01 m more, unless a hundred pieces of the leg are about equally bad; then what is known of the worst of them.
//!
//! # At-most rules
//! Lengths and distances from a point: rounded up, 6.1e-5 + 3 mm (2^-14 and the rounding of two ends), to 0.01 m. Rates: see
//! `Leg::rate_finding`. Time: rounded up to 1 ms a leg. Energy and airspeeds: see [`crate::rules::energy`].
