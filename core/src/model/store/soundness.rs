//! What makes zones sound: names, heights, and polygons that are simple. Exact, on integers.

use super::{Limits, LimitsError, Ring};
use crate::{
    arithmetic::product,
    geometry::{
        position::Position,
        predicate::{Location, Point, edges, locate, on_segment, segments_touch},
    },
    model::{
        is_name,
        zone::{HeightBand, Shape, Zone, ZoneKind},
    },
    units::Latitude,
};

impl Limits<'_> {
    #[inline(never)]
    pub(super) fn check_zone(self, index: u8, zone: &Zone) -> Result<(), LimitsError> {
        if !is_name(&zone.name)
            || self
                .store
                .zones
                .iter()
                .take(usize::from(index))
                .any(|other| other.name == zone.name && !self.continues(index, zone))
        {
            return Err(LimitsError::Name(index));
        }
        check_heights(zone).ok_or(LimitsError::Heights(index))?;
        let circle = matches!(zone.shape, Shape::Circle { .. });
        if zone.kind == ZoneKind::KeepIn && (circle || zone.heights.is_some()) {
            return Err(LimitsError::KeepInShape(index));
        }
        if zone.kind == ZoneKind::People && zone.heights.is_some() {
            return Err(LimitsError::PeopleHeights(index));
        }
        match zone.shape {
            Shape::Circle { radius, .. } if radius.get() == 0 => Err(LimitsError::Few(index)),
            Shape::Circle { .. } => Ok(()),
            Shape::Polygon => self.check_polygon(index),
        }
    }

    /// Ground data that are whole, or none where nothing asks for them.
    pub(super) fn check_ground(self) -> Result<(), LimitsError> {
        let heights = self.figures.heights;
        let Some(ground) = self.ground() else {
            let asked = heights.ceiling_above_ground.is_some() || heights.ground_clearance.is_some();
            return if asked { Err(LimitsError::NoGround) } else { Ok(()) };
        };
        let plan = ground.plan();
        let north = product(i32::from(plan.rows.get()), plan.cell_north.get());
        if i64::from(plan.corner.latitude.get()).saturating_add(north) > i64::from(Latitude::MAX) {
            return Err(LimitsError::GroundWide);
        }
        if ground.cells().len() == plan.cells() { Ok(()) } else { Err(LimitsError::GroundCells) }
    }

    /// Whether a zone is a further part of the zone before it: a polygon with its name, kind and heights, not of keep-in.
    fn continues(self, index: u8, zone: &Zone) -> bool {
        let before = usize::from(index).checked_sub(1).and_then(|before| self.store.zones.get(before));
        zone.kind != ZoneKind::KeepIn && zone.shape == Shape::Polygon && before.is_some_and(|before| before == zone)
    }

    fn check_polygon(self, zone: u8) -> Result<(), LimitsError> {
        let first = self.rings(zone).next().and_then(<[_]>::first).copied().ok_or(LimitsError::Few(zone))?;
        if self.rings(zone).any(|ring| ring.len() < 3) {
            return Err(LimitsError::Few(zone));
        }
        let own = || (0..=u16::MAX).zip(&self.store.rings).filter(move |(_, ring)| ring.zone == zone);
        for (_, ring) in own() {
            for (number, vertex) in (ring.start..=u16::MAX).zip(self.vertices(*ring)) {
                relative(*vertex, first).ok_or(LimitsError::Wide(zone, number))?;
            }
        }
        for (one, ring) in own() {
            self.check_simple(zone, *ring, first)?;
            own()
                .filter(|(other, _)| *other > one)
                .try_for_each(|(_, other)| self.check_apart(zone, *ring, *other, first))?;
        }
        self.check_holes(zone, first)
    }

    /// The edges of a ring as (number of the vertex that it ends in, from, to).
    fn numbered_edges(self, ring: Ring, origin: Position) -> impl Iterator<Item = (u16, Point, Point)> + Clone {
        (ring.start..=u16::MAX).zip(self.edges_about(ring, origin)).map(|(number, (from, to))| (number, from, to))
    }

    fn edges_about(self, ring: Ring, origin: Position) -> impl Iterator<Item = (Point, Point)> + Clone {
        edges(self.vertices(ring).iter().filter_map(move |vertex| relative(*vertex, origin)))
    }

    /// No two edges of a ring have more in common than the vertex between neighbours.
    #[inline(never)]
    fn check_simple(self, zone: u8, ring: Ring, origin: Position) -> Result<(), LimitsError> {
        let count = ring.end.saturating_sub(ring.start);
        for (one, a, b) in self.numbered_edges(ring, origin) {
            for (two, c, d) in self.numbered_edges(ring, origin).filter(|(two, ..)| *two > one) {
                let gap = two.saturating_sub(one);
                let wrong = if gap == 1 {
                    folds_back(a, b, d)
                } else if gap == count.saturating_sub(1) {
                    folds_back(c, d, b)
                } else {
                    segments_touch(a, b, c, d)
                };
                if wrong {
                    return Err(LimitsError::Crossing(zone, one, two));
                }
            }
        }
        Ok(())
    }

    /// Two rings of a zone have no point in common.
    fn check_apart(self, zone: u8, ring: Ring, other: Ring, origin: Position) -> Result<(), LimitsError> {
        for (one, a, b) in self.numbered_edges(ring, origin) {
            for (two, c, d) in self.numbered_edges(other, origin) {
                if segments_touch(a, b, c, d) {
                    return Err(LimitsError::Crossing(zone, one, two));
                }
            }
        }
        Ok(())
    }

    /// Each hole is inside the first ring and outside the other holes. The rings are known not to touch.
    fn check_holes(self, zone: u8, origin: Position) -> Result<(), LimitsError> {
        let own = || (0..=u16::MAX).zip(self.store.rings.iter().filter(move |ring| ring.zone == zone));
        let points = |ring: Ring| self.vertices(ring).iter().filter_map(move |vertex| relative(*vertex, origin));
        for (number, hole) in own().skip(1) {
            let Some(first) = points(*hole).next() else { continue };
            for (other, ring) in own().filter(|(other, _)| *other != number) {
                let expected = if other == 0 { Location::Inside } else { Location::Outside };
                if locate(first, points(*ring)) != expected {
                    return Err(LimitsError::Hole(zone, hole.start));
                }
            }
        }
        Ok(())
    }
}

/// Whether the edge b to c runs back along the edge a to b, or one of the two has no length.
fn folds_back(a: Point, b: Point, c: Point) -> bool {
    on_segment(c, a, b) || on_segment(a, b, c)
}

/// A vertex as the exact difference from another, within 2^29 counts of it.
fn relative(vertex: Position, origin: Position) -> Option<Point> {
    Point::new(vertex.east_of(origin), vertex.north_of(origin))
}

/// Heights that make sense, or none.
fn check_heights(zone: &Zone) -> Option<()> {
    match zone.heights {
        None => Some(()),
        Some(HeightBand { floor: None, ceiling: None, .. }) => None,
        Some(HeightBand { floor: Some(floor), ceiling: Some(ceiling), .. }) => (floor < ceiling).then_some(()),
        Some(HeightBand { floor: Some(_), ceiling: None, .. } | HeightBand { floor: None, ceiling: Some(_), .. }) => {
            Some(())
        }
    }
}
