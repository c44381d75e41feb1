//! The ground under a zone.

use pinfold_core::{
    geometry::position::Position,
    model::{ground::Relief, zone::Shape},
};

use super::{
    cells::Lattice,
    span::{Span, Spot},
    survey::{Survey, both},
};

/// A zone's area.
pub(super) enum Area {
    /// Rings of straight edges; what is inside an odd number of them belongs to it.
    Rings(Vec<Vec<Spot>>),
    /// All that is within so many metres of a place.
    Circle(Spot, f64),
}

impl Area {
    /// The area of a zone, its longitudes going on from those about a position.
    pub(super) fn new<'p>(shape: &Shape, rings: impl Iterator<Item = Vec<&'p Position>>, about: Position) -> Self {
        match shape {
            Shape::Polygon => {
                Self::Rings(rings.map(|ring| ring.into_iter().map(|place| Spot::of(*place, about)).collect()).collect())
            }
            Shape::Circle { center, radius } => Self::Circle(Spot::of(*center, about), f64::from(radius.get()) / 100.0),
        }
    }

    /// The rectangle around it; nothing where it has no corner.
    pub(super) fn span(&self) -> Option<Span> {
        match self {
            Self::Rings(rings) => rings.iter().flatten().copied().map(Span::dot).reduce(Span::and),
            Self::Circle(center, radius) => Some(Span::dot(*center).widened(*radius)),
        }
    }

    /// Between which heights the ground under it is: that of all cells of its own that it touches.
    pub(super) fn relief(&self, survey: &Survey) -> Option<Relief> {
        let lattice = Lattice::over(self.span()?, survey);
        let mut touched = lattice.cells().filter(|(cell, _)| self.touches(*cell)).map(|(_, relief)| relief);
        let first = touched.next()??;
        touched.try_fold(first, |so_far, relief| relief.map(|relief| both(so_far, relief)))
    }

    /// Whether any point of it is in a rectangle: exact for rings, but that the rectangle is a count wider, since corners may have
    /// been rounded to counts; for a circle never no where it is yes.
    fn touches(&self, span: Span) -> bool {
        let span = span.grown(1, 1);
        match self {
            Self::Rings(rings) => {
                let edges = || rings.iter().flat_map(|ring| ring.iter().zip(ring.iter().cycle().skip(1)));
                edges().any(|(from, to)| crosses(*from, *to, span)) || inside(edges(), span)
            }
            Self::Circle(center, radius) => span.metres_to(*center) <= *radius,
        }
    }
}

/// Twice the area of a triangle, positive where it turns left.
fn turn(a: Spot, b: Spot, c: Spot) -> i128 {
    let wide = i128::from;
    wide(b.x - a.x) * wide(c.y - a.y) - wide(b.y - a.y) * wide(c.x - a.x)
}

/// Whether an edge has a point in a closed rectangle: their boxes meet, and not all corners are strictly on one side of it.
fn crosses(from: Spot, to: Spot, span: Span) -> bool {
    let bounds = Span::dot(from).and(Span::dot(to));
    let meet = bounds.west <= span.east
        && bounds.east >= span.west
        && bounds.south <= span.north
        && bounds.north >= span.south;
    let corners = [(span.west, span.south), (span.east, span.south), (span.east, span.north), (span.west, span.north)];
    let sides = corners.map(|(x, y)| turn(from, to, Spot { x, y }).signum());
    meet && !sides.iter().all(|side| *side > 0) && !sides.iter().all(|side| *side < 0)
}

/// Whether a rectangle that no edge meets is inside an odd number of rings: its corner is.
fn inside<'s>(edges: impl Iterator<Item = (&'s Spot, &'s Spot)>, span: Span) -> bool {
    let corner = Spot { x: span.west, y: span.south };
    let beyond = |(from, to): &(&Spot, &Spot)| {
        let (low, high) = if from.y <= to.y { (**from, **to) } else { (**to, **from) };
        low.y <= corner.y && corner.y < high.y && turn(low, high, corner) > 0
    };
    edges.filter(beyond).count() % 2 == 1
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ring(corners: &[(i64, i64)]) -> Vec<Spot> {
        corners.iter().map(|(x, y)| Spot { x: *x, y: *y }).collect()
    }

    fn span(west: i64, east: i64, south: i64, north: i64) -> Span {
        Span { west, east, south, north }
    }

    #[test]
    fn a_polygon_touches_what_it_has_a_point_in_and_nothing_else() {
        let corners = [(0, 0), (1000, 0), (0, 1000)];
        triangle_touches(&corners);
        triangle_touches(&[corners[2], corners[1], corners[0]]);
    }

    fn triangle_touches(corners: &[(i64, i64)]) {
        let triangle = Area::Rings(vec![ring(corners)]);
        assert!(triangle.touches(span(100, 200, 100, 200)), "inside");
        assert!(triangle.touches(span(-500, 2000, -500, 2000)), "around");
        assert!(triangle.touches(span(400, 900, 400, 900)), "across the slanted edge");
        assert!(triangle.touches(span(501, 900, 501, 900)), "a corner was rounded");
        assert!(!triangle.touches(span(502, 900, 502, 900)), "in the box, beyond the slanted edge");
        assert!(!triangle.touches(span(1002, 1100, 0, 100)));
        assert!(!triangle.touches(span(-100, -2, 0, 100)));
    }

    #[test]
    fn a_hole_is_no_part_of_a_polygon() {
        let outer = ring(&[(0, 0), (1000, 0), (1000, 1000), (0, 1000)]);
        let area = Area::Rings(vec![outer, ring(&[(200, 200), (800, 200), (800, 800), (200, 800)])]);
        assert!(!area.touches(span(300, 700, 300, 700)));
        assert!(area.touches(span(100, 700, 300, 700)));
        assert!(area.touches(span(50, 100, 50, 100)));
    }

    #[test]
    fn a_circle_touches_what_is_within_its_radius() {
        // 100 m are 9,044 counts of latitude at the equator (0.011057 m each).
        let circle = Area::Circle(Spot { x: 0, y: 0 }, 100.0);
        assert!(circle.touches(span(-10, 10, 9_040, 9_900)));
        assert!(!circle.touches(span(-10, 10, 9_060, 9_900)));
        assert!(!circle.touches(span(6_500, 9_000, 6_500, 9_000)), "in the box, not in the circle");
        assert!(circle.span().unwrap().north > 9_044);
    }
}
