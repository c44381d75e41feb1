//! Rules about heights, speeds, rates and lengths: what ought to be to spare.

use pinfold_core::{
    model::{limits::Figures, route::Launch},
    verdict::Rule,
};

use super::{
    course::{Course, Home, Reading},
    flight::{Doing, Piece, demand, hundredths},
};

/// What a rule may report as to spare, in metres or m/s.
#[derive(Clone, Copy, Debug)]
pub struct Expected {
    /// The rule.
    pub rule: Rule,
    /// No less: what rounding may take is taken off.
    pub least: f64,
    /// No more: what there really is.
    pub most: f64,
}

impl Expected {
    /// The tightest of several.
    fn tightest(rule: Rule, spans: impl Iterator<Item = (f64, f64)>) -> Option<Self> {
        spans.reduce(|a, b| (a.0.min(b.0), a.1.min(b.1))).map(|(least, most)| Self { rule, least, most })
    }
}

/// What the rules of this file ought to report. Rules that have nothing to say about a route are left out.
#[must_use]
pub fn expected(figures: &Figures, launch: &Launch, home: Home, pieces: &[Piece]) -> Vec<Expected> {
    let rates = [
        (Rule::ClimbRate, 1.0, figures.aircraft.climb.get()),
        (Rule::DescentRate, -1.0, figures.aircraft.descent.get()),
    ];
    let mut all = vec![ceiling(figures, launch, pieces), floor(figures, pieces), speed(figures, pieces)];
    all.extend(rates.map(|(rule, sign, limit)| rate(rule, sign, hundredths(limit), home, pieces)));
    all.push(stray(figures, home, pieces));
    all.into_iter().flatten().collect()
}

fn ceiling(figures: &Figures, launch: &Launch, pieces: &[Piece]) -> Option<Expected> {
    let sea = figures.heights.ceiling_above_sea.map(|ceiling| {
        launch.elevation.map_or(f64::NEG_INFINITY, |elevation| hundredths(ceiling.get()) - hundredths(elevation.get()))
    });
    let ceiling = hundredths(figures.heights.ceiling.get()).min(sea.unwrap_or(f64::INFINITY));
    let spare = |piece: &Piece, speed: f64| {
        let speed = if piece.doing == Doing::Rise { 0.0 } else { speed };
        ceiling - piece.heights.0.max(piece.heights.1) - demand(&figures.margins, speed).up
    };
    let span = |piece: &Piece| (spare(piece, piece.margin_speeds.1) - 0.05, spare(piece, piece.margin_speeds.0));
    Expected::tightest(Rule::Ceiling, pieces.iter().map(span))
}

fn floor(figures: &Figures, pieces: &[Piece]) -> Option<Expected> {
    let floor = hundredths(figures.heights.floor.get());
    let lowest = |(number, piece): (usize, &Piece)| match piece.doing {
        Doing::Climb if number == 0 => Some(piece.heights.1),
        Doing::Descent => None,
        Doing::Climb | Doing::Fly | Doing::Hold | Doing::Rise | Doing::Home => {
            Some(piece.heights.0.min(piece.heights.1))
        }
    };
    let spans = pieces.iter().enumerate().filter_map(lowest).map(|height| (height - floor - 0.01, height - floor));
    Expected::tightest(Rule::Floor, spans)
}

fn speed(figures: &Figures, pieces: &[Piece]) -> Option<Expected> {
    let limit = hundredths(figures.aircraft.speed_max.get());
    let flown = pieces.iter().filter(|piece| piece.doing == Doing::Fly);
    Expected::tightest(Rule::Speed, flown.map(|piece| (limit - piece.speed - 0.001, limit - piece.speed)))
}

/// A leg's height change in the time that its speed leaves: on the shortest reading, the geodesic.
fn rate(rule: Rule, sign: f64, limit: f64, home: Home, pieces: &[Piece]) -> Option<Expected> {
    let rises = |piece: &&Piece| {
        piece.doing == Doing::Fly && piece.from != piece.to && sign * (piece.heights.1 - piece.heights.0) > 0.0
    };
    let span = |piece: &Piece| {
        let meters = Course::new(home, piece.from, piece.to, Reading::Geodesic).meters;
        let rate = (piece.heights.1 - piece.heights.0).abs() * piece.speed / meters;
        (limit - rate - 0.01 - rate * (0.001 + 0.05 / meters), limit - rate)
    };
    Expected::tightest(rule, pieces.iter().filter(rises).map(span))
}

/// A leg's length on the longest reading: neither the geodesic nor, on the ground, the tangent plane's line is longer.
fn stray(figures: &Figures, home: Home, pieces: &[Piece]) -> Option<Expected> {
    let habits = figures.route?;
    let flown = || pieces.iter().filter(|piece| piece.doing == Doing::Fly);
    let span = |limit: i32, meters: f64| {
        let most = hundredths(limit) - meters;
        (most - 0.05 - 0.001 * meters, most)
    };
    let length = |piece: &Piece| Course::new(home, piece.from, piece.to, Reading::Degrees).meters;
    let first = flown()
        .take(1)
        .map(|piece| span(habits.first_point_within.get(), home.ground((0, 0)).meters_to(home.ground(piece.to))));
    let legs = flown().map(|piece| span(habits.longest_leg.get(), length(piece)));
    Expected::tightest(Rule::Stray, first.chain(legs))
}
