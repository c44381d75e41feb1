//! Keep-in and keep-out: how far the path really is from each zone.

use num_traits::ToPrimitive;
use pinfold_core::model::{
    limits::Margins,
    route::Launch,
    store::Limits,
    zone::{HeightReference, Shape, Zone as Described, ZoneKind},
};

use super::{
    course::{Course, Home, Line, Reading},
    distance::{Apart, apart, least_along, place_to_line, to_lines, to_place},
    earth::Ground,
    exact::{Local, edges, stretches, within},
    flight::{Demand, Doing, Piece, demand, hundredths, local},
};

/// A zone as the oracle sees it.
#[derive(Debug)]
pub struct Zone {
    /// Its number.
    pub number: u8,
    /// What it is for.
    pub kind: ZoneKind,
    outline: Outline,
    /// Lowest and highest height above launch, in metres, where it has heights that can be compared.
    pub band: Option<(f64, f64)>,
}

#[derive(Debug)]
enum Outline {
    Polygon { rings: Vec<Vec<Local>>, lines: Vec<Line> },
    Circle { center: Ground, radius: f64 },
}

/// What a piece of path really has and what it must have, in metres.
#[derive(Clone, Copy, Debug)]
pub struct Gap {
    /// Number of the step.
    pub step: u16,
    /// Smallest distance of the line in degrees from what must not be reached.
    pub meters: f64,
    /// Whether it has a point in common with that.
    pub touches: bool,
    /// The margin, at least and at most.
    pub margin: (f64, f64),
    /// How far the readings are apart.
    pub apart: Apart,
    /// Length of the piece.
    pub length: f64,
}

/// For a zone with heights: the larger of what is to spare across and up or down, least over a piece of path. Metres.
#[derive(Clone, Copy, Debug)]
pub struct Spare {
    /// Number of the step.
    pub step: u16,
    /// On the line in degrees, with the smallest margins: no more may be reported.
    pub most: f64,
    /// On the worst reading, with the smallest margins: below zero there must be a refusal.
    pub worst: f64,
    /// With all that may be lost to rounding: no less may be reported.
    pub least: f64,
    /// With all that may be lost before a refusal: above zero there must be none.
    pub needless: f64,
}

/// The zones of limits, seen from the launch point.
#[must_use]
pub fn zones(limits: Limits<'_>, launch: &Launch, home: Home) -> Vec<Zone> {
    limits.zones().map(|(number, zone)| Zone::new(limits, launch, home, number, zone)).collect()
}

/// What may be lost of a clearance: 5 cm, a thousandth, and on long legs how far the readings are apart.
#[must_use]
pub fn tolerance(clearance: f64, length: f64, apart: &Apart) -> f64 {
    0.05 + 0.001 * clearance + if length > 500.0 { apart.sideways } else { 0.0 }
}

impl Zone {
    fn new(limits: Limits<'_>, launch: &Launch, home: Home, number: u8, zone: &Described) -> Self {
        let outline = match zone.shape {
            Shape::Circle { center, radius } => {
                Outline::Circle { center: home.ground(local(launch, center)), radius: hundredths(radius.get()) }
            }
            Shape::Polygon => {
                let ring = |ring: &[_]| ring.iter().map(|vertex| local(launch, *vertex)).collect();
                let rings: Vec<Vec<Local>> = limits.rings(number).map(ring).collect();
                let lines = edges(&rings).map(|(from, to)| Line::new(home, from, to)).collect();
                Outline::Polygon { rings, lines }
            }
        };
        let band = zone.heights.map(|heights| {
            let zero = match heights.reference {
                HeightReference::AboveLaunch => 0.0,
                HeightReference::AboveSea => launch.elevation.map_or(f64::NAN, |sea| hundredths(sea.get())),
            };
            let height = |height: Option<pinfold_core::units::Height>, none: f64| {
                height.map_or(none, |height| hundredths(height.get()) - zero)
            };
            (height(heights.floor, f64::NEG_INFINITY), height(heights.ceiling, f64::INFINITY))
        });
        Self { number, kind: zone.kind, outline, band }
    }

    /// Whether a line in degrees has a point in common with what must not be reached.
    #[must_use]
    pub fn touches(&self, course: &Course, from: Local, to: Local) -> bool {
        match (&self.outline, self.kind) {
            (Outline::Polygon { rings, .. }, ZoneKind::KeepIn) => !within(from, to, rings),
            (Outline::Polygon { rings, .. }, ZoneKind::KeepOut | ZoneKind::People) => {
                !stretches(from, to, rings).is_empty()
            }
            (Outline::Circle { center, radius }, _) => to_place(course, *center) <= *radius,
        }
    }

    /// Smallest distance of a course from the zone's outline, in metres.
    #[must_use]
    pub fn outline_distance(&self, course: &Course) -> f64 {
        match &self.outline {
            Outline::Polygon { lines, .. } => to_lines(course, lines),
            Outline::Circle { center, radius } => (to_place(course, *center) - radius).max(0.0),
        }
    }

    /// What a piece of path really has, heights left aside.
    #[must_use]
    pub fn gap(&self, margins: &Margins, home: Home, piece: &Piece) -> Gap {
        let course = Course::new(home, piece.from, piece.to, Reading::Degrees);
        let touches = self.touches(&course, piece.from, piece.to);
        Gap {
            step: piece.step,
            meters: if touches { 0.0 } else { self.outline_distance(&course) },
            touches,
            margin: (demand(margins, piece.margin_speeds.0).across, demand(margins, piece.margin_speeds.1).across),
            apart: apart(home, piece.from, piece.to),
            length: course.meters,
        }
    }

    /// What a piece of path really has to spare, heights counted.
    #[must_use]
    pub fn spare(&self, margins: &Margins, home: Home, piece: &Piece) -> Option<Spare> {
        let band = self.band?;
        let course = |reading: Reading| Course::new(home, piece.from, piece.to, reading);
        let degrees = course(Reading::Degrees);
        let apart = apart(home, piece.from, piece.to);
        let (low, high) = (across_and_up(margins, piece, false), across_and_up(margins, piece, true));
        let plain = |course: &Course| {
            self.least_spare(course, piece, |gap, height| {
                (gap - low.across).max(vertical(band, height, &low, |gap| gap.max(0.0)))
            })
        };
        let slope = slope_lost(&degrees, piece);
        let eased = |lost: f64| {
            self.least_spare(&degrees, piece, |gap, height| {
                let across = gap - tolerance(gap, degrees.meters, &apart) - high.across - lost;
                across.max(vertical(band, height, &high, |gap| gap - 0.05 - 0.001 * gap.abs() - slope))
            })
        };
        let most = plain(&degrees);
        let others = [Reading::Geodesic, Reading::Tangent].map(course);
        let worst = others.iter().filter(|_| degrees.meters > 0.0).map(plain).fold(most, f64::min);
        let (least, needless) = (eased(1.1 * apart.sideways + 0.02), eased(apart.sideways));
        Some(Spare { step: piece.step, most, worst, least, needless })
    }

    /// The least over a course of a value that depends on the distance from the zone and the height.
    fn least_spare(&self, course: &Course, piece: &Piece, value: impl Fn(f64, f64) -> f64) -> f64 {
        let height = |share: f64| piece.heights.0 + course.covered(share) * (piece.heights.1 - piece.heights.0);
        let along = |gap: &dyn Fn(f64) -> f64| search(course, |share| value(gap(share), height(share)));
        match &self.outline {
            Outline::Circle { center, radius } => {
                along(&|share| (course.at(share).meters_to(*center) - radius).max(0.0))
            }
            Outline::Polygon { rings, lines } => {
                let outside = lines.iter().map(|line| along(&|share| place_to_line(course.at(share), line)));
                let inside = stretches(piece.from, piece.to, rings).into_iter().map(|(from, to)| {
                    let (from, to) = (to_share(&from), to_share(&to));
                    super::search::least(2, 1e-12, |share| value(0.0, height(from + share * (to - from)))).0
                });
                outside.chain(inside).fold(f64::INFINITY, f64::min)
            }
        }
    }
}

/// Height that a long slope may lose: it is reached sooner or later by as much as the most crooked leg of its length and latitude
/// strays sideways.
fn slope_lost(degrees: &Course, piece: &Piece) -> f64 {
    const RADIUS: f64 = 6.371e6;
    if degrees.meters <= 500.0 {
        return 0.0;
    }
    let curvature = 1.1 * (degrees.at(0.5).latitude.abs() + 0.5).to_radians().tan() / RADIUS + 0.01 / RADIUS;
    (piece.heights.1 - piece.heights.0).abs() * curvature * degrees.meters / 8.0
}

fn to_share(value: &num_rational::BigRational) -> f64 {
    value.to_f64().unwrap_or(f64::NAN)
}

/// Like [`least_along`], but a piece without length is searched too: its height changes.
fn search(course: &Course, value: impl Fn(f64) -> f64) -> f64 {
    if course.meters > 0.0 { least_along(course, value).0 } else { super::search::least(2, 1e-10, value).0 }
}

/// The margins of a piece; the largest that can be meant, or the smallest.
fn across_and_up(margins: &Margins, piece: &Piece, largest: bool) -> Demand {
    let speed = if largest { piece.margin_speeds.1 } else { piece.margin_speeds.0 };
    let climbs = if piece.doing == Doing::Rise { 0.0 } else { speed };
    Demand { across: demand(margins, speed).across, ..demand(margins, climbs) }
}

/// What is to spare vertically: below a floor the aircraft may rise, above a ceiling it may sink.
fn vertical(band: (f64, f64), height: f64, demand: &Demand, gap: impl Fn(f64) -> f64) -> f64 {
    let side = |meters: f64, margin: f64| if meters.is_finite() { gap(meters) - margin } else { f64::NEG_INFINITY };
    side(band.0 - height, demand.up).max(side(height - band.1, demand.down))
}
