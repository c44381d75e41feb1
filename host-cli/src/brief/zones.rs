//! Zones on the map, and where the path crosses them.

use pinfold_core::model::{
    store::Limits,
    zone::{HeightReference, Shape, Zone, ZoneKind},
};

use super::{
    plane::{Plane, Point},
    track::{Leg, metres},
};

/// What a zone looks like.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Look {
    KeepIn,
    /// At all heights.
    KeepOut,
    /// At some heights: it can be passed over or under.
    KeepOutAtHeights,
    People,
}

/// A zone.
pub(super) struct Mapped<'a> {
    pub(super) zone: &'a Zone,
    /// What stands for its name where that has no room.
    pub(super) short: String,
    pub(super) look: Look,
    outline: Outline,
}

enum Outline {
    Rings(Vec<Vec<Point>>),
    Circle(Point, f64),
}

/// All zones.
pub(super) fn mapped(limits: Limits<'_>, plane: Plane) -> Vec<Mapped<'_>> {
    let outline = |index: u8, zone: &Zone| match zone.shape {
        Shape::Circle { center, radius } => Outline::Circle(plane.point(center), metres(radius.get())),
        Shape::Polygon => {
            let ring = |ring: &[_]| ring.iter().map(|vertex| plane.point(*vertex)).collect();
            Outline::Rings(limits.rings(index).map(ring).collect())
        }
    };
    let mapped = |(index, zone): (u8, _)| Mapped {
        zone,
        short: format!("Z{}", u16::from(index) + 1),
        look: look(zone),
        outline: outline(index, zone),
    };
    limits.zones().map(mapped).collect()
}

fn look(zone: &Zone) -> Look {
    match (zone.kind, zone.heights) {
        (ZoneKind::KeepIn, _) => Look::KeepIn,
        (ZoneKind::People, _) => Look::People,
        (ZoneKind::KeepOut, None) => Look::KeepOut,
        (ZoneKind::KeepOut, Some(_)) => Look::KeepOutAtHeights,
    }
}

impl Mapped<'_> {
    /// Its corners on the map; a circle's are those of the square about it.
    pub(super) fn corners(&self) -> Vec<Point> {
        match &self.outline {
            Outline::Rings(rings) => rings.concat(),
            Outline::Circle(center, radius) => [(-1.0, -1.0), (1.0, 1.0)]
                .map(|(east, north)| Point { east: center.east + east * radius, north: center.north + north * radius })
                .to_vec(),
        }
    }

    /// Its edges; a circle's are those of the square about it.
    pub(super) fn edges(&self) -> Vec<(Point, Point)> {
        match &self.outline {
            Outline::Rings(rings) => rings.iter().flat_map(|ring| edges(ring)).collect(),
            Outline::Circle(center, radius) => {
                let corner = |east: f64, north: f64| Point {
                    east: center.east + east * radius,
                    north: center.north + north * radius,
                };
                edges(&[corner(-1.0, -1.0), corner(1.0, -1.0), corner(1.0, 1.0), corner(-1.0, 1.0)]).collect()
            }
        }
    }

    /// The middle of its corners.
    pub(super) fn middle(&self) -> Point {
        let corners = self.corners();
        let mean = |of: fn(&Point) -> f64| {
            let (low, high) = corners.iter().map(of).fold((f64::MAX, f64::MIN), |(l, h), v| (l.min(v), h.max(v)));
            f64::midpoint(low, high)
        };
        Point { east: mean(|point| point.east), north: mean(|point| point.north) }
    }

    /// Its outline as SVG path data, with the rings one after the other.
    pub(super) fn path(&self, at: impl Fn(Point) -> (f64, f64)) -> String {
        match &self.outline {
            Outline::Rings(rings) => rings.iter().map(|ring| ring_path(ring, &at)).collect(),
            Outline::Circle(center, radius) => {
                let (left, y) = at(Point { east: center.east - radius, ..*center });
                let (right, _) = at(Point { east: center.east + radius, ..*center });
                let r = (right - left) / 2.0;
                format!("M{left:.1} {y:.1}a{r:.2} {r:.2} 0 1 0 {d:.2} 0a{r:.2} {r:.2} 0 1 0 -{d:.2} 0Z", d = 2.0 * r)
            }
        }
    }

    /// The heights that it reaches over, in metres above launch; none where its reference can't be told.
    pub(super) fn heights(&self, launch_above_sea: Option<f64>) -> Option<(f64, f64)> {
        let Some(band) = self.zone.heights else { return Some((f64::MIN, f64::MAX)) };
        let down = match band.reference {
            HeightReference::AboveLaunch => 0.0,
            HeightReference::AboveSea => launch_above_sea?,
        };
        let of = |height: Option<_>, none| {
            height.map_or(none, |height: pinfold_core::units::Height| metres(height.get()) - down)
        };
        Some((of(band.floor, f64::MIN), of(band.ceiling, f64::MAX)))
    }

    /// The shares of a leg between which it is inside.
    pub(super) fn crossed_by(&self, leg: &Leg) -> Vec<(f64, f64)> {
        let (from, to) = (leg.from.point, leg.to.point);
        let mut shares = vec![0.0, 1.0];
        match &self.outline {
            Outline::Rings(rings) => {
                let edges = rings.iter().flat_map(|ring| edges(ring));
                shares.extend(edges.filter_map(|(a, b)| meets(from, to, a, b)));
            }
            Outline::Circle(center, radius) => shares.extend(meets_circle(from, to, *center, *radius)),
        }
        shares.sort_by(f64::total_cmp);
        let pairs = shares.windows(2).filter_map(|pair| Some((*pair.first()?, *pair.last()?)));
        pairs.filter(|(a, b)| b > a && self.holds(from.toward(to, f64::midpoint(*a, *b)))).collect()
    }

    fn holds(&self, point: Point) -> bool {
        match &self.outline {
            Outline::Circle(center, radius) => center.distance(point) <= *radius,
            Outline::Rings(rings) => {
                rings.iter().flat_map(|ring| edges(ring)).filter(|edge| is_east(*edge, point)).count() % 2 == 1
            }
        }
    }
}

fn ring_path(ring: &[Point], at: &impl Fn(Point) -> (f64, f64)) -> String {
    let corners: Vec<String> = ring.iter().map(|point| at(*point)).map(|(x, y)| format!("{x:.1} {y:.1}")).collect();
    format!("M{}Z", corners.join("L"))
}

fn edges(ring: &[Point]) -> impl Iterator<Item = (Point, Point)> + '_ {
    ring.iter().zip(ring.iter().cycle().skip(1)).map(|(a, b)| (*a, *b))
}

/// Whether a line east from a point crosses an edge.
fn is_east((a, b): (Point, Point), point: Point) -> bool {
    (a.north > point.north) != (b.north > point.north)
        && point.east < a.east + (b.east - a.east) * (point.north - a.north) / (b.north - a.north)
}

/// The share of the way between two points where it meets an edge.
fn meets(from: Point, to: Point, a: Point, b: Point) -> Option<f64> {
    let cross = |u: Point, v: Point| u.east * v.north - u.north * v.east;
    let less = |u: Point, v: Point| Point { east: u.east - v.east, north: u.north - v.north };
    let (way, edge, between) = (less(to, from), less(b, a), less(a, from));
    let turn = cross(way, edge);
    let (share, along) = (cross(between, edge) / turn, cross(between, way) / turn);
    ((0.0..=1.0).contains(&share) && (0.0..=1.0).contains(&along)).then_some(share)
}

fn meets_circle(from: Point, to: Point, center: Point, radius: f64) -> Vec<f64> {
    let (east, north) = (to.east - from.east, to.north - from.north);
    let (off_east, off_north) = (from.east - center.east, from.north - center.north);
    let a = east * east + north * north;
    let b = off_east * east + off_north * north;
    let root = (b * b - a * (off_east * off_east + off_north * off_north - radius * radius)).sqrt();
    [(-b - root) / a, (-b + root) / a].into_iter().filter(|share| (0.0..=1.0).contains(share)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::brief::track::{Motion, Spot};

    fn leg(from: (f64, f64), to: (f64, f64)) -> Leg {
        let spot = |(east, north)| Spot { point: Point { east, north }, height: 10.0 };
        Leg { step: 1, motion: Motion::Fly, from: spot(from), to: spot(to), begins: 0.0 }
    }

    fn zone(outline: Outline) -> Mapped<'static> {
        let zone = Box::leak(Box::new(Zone {
            name: "pond".try_into().expect("a name"),
            kind: ZoneKind::KeepOut,
            heights: None,
            shape: Shape::Polygon,
        }));
        Mapped { zone, short: "Z1".into(), look: Look::KeepOut, outline }
    }

    #[test]
    fn a_narrow_zone_is_met_however_long_the_leg_is() {
        let corners = [(499.0, -10.0), (501.0, -10.0), (501.0, 10.0), (499.0, 10.0)];
        let ring = corners.map(|(east, north)| Point { east, north }).to_vec();
        let crossed = zone(Outline::Rings(vec![ring])).crossed_by(&leg((0.0, 0.0), (1000.0, 0.0)));
        let [(begin, end)] = crossed[..] else { panic!("{crossed:?}") };
        assert!((begin - 0.499).abs() < 1e-9 && (end - 0.501).abs() < 1e-9, "{crossed:?}");
    }

    #[test]
    fn a_circle_is_met_between_two_shares_or_not_at_all() {
        let circle = || zone(Outline::Circle(Point { east: 50.0, north: 0.0 }, 10.0));
        let crossed = circle().crossed_by(&leg((0.0, 0.0), (100.0, 0.0)));
        let [(begin, end)] = crossed[..] else { panic!("{crossed:?}") };
        assert!((begin - 0.4).abs() < 1e-9 && (end - 0.6).abs() < 1e-9, "{crossed:?}");
        assert!(circle().crossed_by(&leg((0.0, 11.0), (100.0, 11.0))).is_empty());
    }
}
