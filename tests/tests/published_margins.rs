//! Margins against published worked examples of a contingency volume, and against the mistakes that are published, too.
//!
//! Source: JARUS guidelines on SORA, Annex A v2.5, section A.5, and the guidelines of national authorities that restate it.
//! None could be opened; the formulas were read in three public restatements, the example at 10 m/s in one of them.
//! S = S_GNSS + S_Pos + S_K + v t + v² / (2 g tan θ), H = H_AM + 0.7 v t + v² / (2 g), there with g = 9.81 m/s²; here g is
//! 9.80665 m/s² (standard gravity, 3rd CGPM, 1901), which makes the last terms 0.034 % larger.

use pinfold_core::{
    model::limits::Margins,
    rules::margin::margins_ceil,
    units::{Speed, Tilt},
};
use pinfold_tests::sample::{duration, length};

/// How much larger braking may come out: the other g.
const OTHER_G: f64 = 4e-4;
/// How far above the formula a margin may be, m: rounding, as documented; and half the table's last digit.
const ROUNDING: f64 = 0.0102 + 0.000_05;

/// Horizontal and upward margin in m at a speed in m/s.
fn margins(fixed: i32, up_fixed: i32, reaction: i32, tilt: i32, speed: f64) -> (f64, f64) {
    let margins = Margins {
        fixed: length(fixed),
        reaction: duration(reaction),
        brake_tilt: Tilt::new(tilt).expect("in range"),
        up_fixed: length(up_fixed),
        people: None,
    };
    let speed = Speed::new((speed * 100.0).round() as i32).expect("in range");
    let (horizontal, up) = margins_ceil(margins, speed);
    (f64::from(horizontal) / 100.0, f64::from(up) / 100.0)
}

/// Whether `margin` is the published one or above it by no more than its g and rounding explain.
fn matches(margin: f64, published: f64, braking: f64) -> bool {
    (-0.000_05..=OTHER_G * braking + ROUNDING).contains(&(margin - published))
}

/// Speed, braking distance, horizontal contingency volume, vertical one less the height of the flight geography (100 m).
/// θ 45 degrees, t 1 s, 3 + 3 + 1 m horizontally, 1 m vertically (barometric). At 10 m/s the restatement prints 5.1, 22.1 and
/// 113.1 m; the other rows and digits were computed.
const EXAMPLES: [(f64, f64, f64, f64); 3] =
    [(1.0, 0.0510, 8.0510, 1.7510), (4.0, 0.8155, 11.8155, 4.6155), (10.0, 5.0968, 22.0968, 13.0968)];

#[test]
fn a_contingency_volume_is_never_smaller_than_the_published_one() {
    for (speed, braking, horizontal, up) in EXAMPLES {
        let (own_horizontal, own_up) = margins(700, 100, 100, 45, speed);
        assert!(matches(own_horizontal, horizontal, braking), "{own_horizontal} m, published {horizontal}");
        assert!(matches(own_up, up, braking), "{own_up} m upwards, published {up}");
    }
    let (horizontal, up) = margins(700, 100, 100, 45, 10.0);
    assert_eq!((format!("{horizontal:.1}"), format!("{:.1}", 100.0 + up)), ("22.1".into(), "113.1".into()));
}

#[test]
fn a_flatter_brake_is_never_taken_for_a_steeper_one() {
    // v² / (2 g tan θ) at 10 m/s, computed with g = 9.81.
    let row = [(15, 19.0217), (20, 14.0035), (25, 10.9302), (30, 8.8280), (35, 7.2790), (45, 5.0968)];
    for (tilt, published) in row {
        let (braking, up) = margins(0, 0, 0, tilt, 10.0);
        assert!(matches(braking, published, published), "{tilt} degrees: {braking} m, published {published}");
        // The tilt is no matter upwards.
        assert!(matches(up, 5.0968, 5.0968), "{up} m");
        for other in row.iter().filter(|(other, _)| *other != tilt) {
            assert!(!matches(braking, other.1, other.1), "{tilt} degrees can't be told from {}", other.0);
        }
    }
}

#[test]
fn published_mistakes_are_not_repeated() {
    let (braking, rise) = margins(0, 0, 0, 45, 10.0);
    // Three public implementations of the same guideline have these: braking without the half (10.19 m, the safe side), the
    // rise halved twice (2.55 m).
    assert!(!matches(braking, 10.1937, 10.1937));
    assert!(!matches(rise, 2.5484, 2.5484));
    // Braking with the sine or the cosine of the tilt instead of its tangent, at 30 degrees where they differ.
    let (braking, _) = margins(0, 0, 0, 30, 10.0);
    for slope in [30.0_f64.to_radians().sin(), 30.0_f64.to_radians().cos()] {
        let wrong = 100.0 / (2.0 * 9.81 * slope);
        assert!(!matches(braking, wrong, wrong), "{wrong}");
    }
    // The reaction upwards in full, and horizontally by 0.7.
    let (horizontal, up) = margins(0, 0, 100, 45, 10.0);
    assert!(!matches(up, 10.0 + 5.0968, 5.0968));
    assert!(!matches(horizontal, 7.0 + 5.0968, 5.0968));
}

#[test]
fn an_aircraft_that_does_not_move_needs_the_fixed_margins_alone() {
    assert_eq!(margins(700, 100, 100, 45, 0.0), (7.0, 1.0));
    // A negative speed asks for nothing less.
    assert_eq!(margins(700, 100, 100, 45, -5.0), (7.0, 1.0));
}
