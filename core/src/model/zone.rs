//! The site: zones, their shapes, and the memory that holds them.

use serde::{Deserialize, Serialize};

use super::{
    Name,
    limits::{Contradiction, Figures},
};
use crate::{
    geometry::{
        position::Position,
        predicate::{Location, Point, edges, locate, on_segment, segments_touch},
    },
    units::{Height, Length},
};

/// Most zones.
pub const ZONES: usize = 16;
/// Most vertices of all zones together.
pub const VERTICES: usize = 256;
/// Most rings of all zones together: each has three vertices at least.
pub const RINGS: usize = VERTICES / 3;

/// What a zone is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum ZoneKind {
    /// The aircraft stays inside.
    KeepIn,
    /// The aircraft stays outside.
    KeepOut,
}

/// What a zone's height is measured from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum HeightReference {
    /// The launch point.
    AboveLaunch,
    /// Mean sea level.
    AboveSea,
}

/// The heights that a zone reaches from and to, both of one reference. Without a floor it reaches down for ever, without a ceiling up.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct HeightBand {
    /// What the heights are measured from.
    pub reference: HeightReference,
    /// Lowest height.
    pub floor: Option<Height>,
    /// Highest height.
    pub ceiling: Option<Height>,
}

/// What shape a zone has; a polygon's rings follow it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Shape {
    /// Rings of straight edges; what is inside an odd number of them belongs to the zone.
    Polygon,
    /// All that is within a distance of a place.
    Circle {
        /// The place.
        center: Position,
        /// The distance.
        radius: Length,
    },
}

/// A zone but for its rings.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Zone {
    /// What it is called. No other zone is called the same, but that parts of one keep-out zone may follow each other.
    pub name: Name,
    /// What it is for.
    pub kind: ZoneKind,
    /// Which heights it reaches over, where not all.
    pub heights: Option<HeightBand>,
    /// Its shape.
    pub shape: Shape,
}

/// Why limits can't be used. The numbers count from 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LimitsError {
    /// The figures are missing.
    NoFigures,
    /// The figures contradict themselves.
    Contradiction(Contradiction),
    /// More zones than [`ZONES`].
    TooManyZones,
    /// More vertices than [`VERTICES`], or rings than [`RINGS`].
    TooManyVertices,
    /// A ring or a vertex came before any polygon or ring, or a ring for a circle.
    Misplaced,
    /// There is no keep-in zone, or this second one.
    KeepInCount(Option<u8>),
    /// A keep-in zone that is a circle or has heights.
    KeepInShape(u8),
    /// Two zones have the same name and are not parts of one, or one has none.
    Name(u8),
    /// A zone's floor is above its ceiling, or it has heights and neither.
    Heights(u8),
    /// A zone has no ring, a ring fewer than three vertices, or a circle no radius.
    Few(u8),
    /// A vertex is more than 2^29 counts (53 degrees) away from the zone's first.
    Wide(u8, u16),
    /// The edges that end in these two vertices (counted over all zones) touch or cross where they should not.
    Crossing(u8, u16, u16),
    /// A hole that isn't inside the zone's first ring, or is inside another hole; its first vertex.
    Hole(u8, u16),
}

/// A ring: the vertices up to `end`, from the end of the ring before.
#[derive(Clone, Copy, Debug)]
struct Ring {
    zone: u8,
    start: u16,
    end: u16,
}

/// The memory that limits are read into, piece by piece; [`Self::limits`] lends them out once they are complete and sound.
#[derive(Debug, Default)]
pub struct LimitsStore {
    figures: Option<Figures>,
    zones: heapless::Vec<Zone, ZONES>,
    rings: heapless::Vec<Ring, RINGS>,
    vertices: heapless::Vec<Position, VERTICES>,
    sealed: bool,
}

impl LimitsStore {
    /// Empty memory.
    #[must_use]
    pub const fn new() -> Self {
        Self {
            figures: None,
            zones: heapless::Vec::new(),
            rings: heapless::Vec::new(),
            vertices: heapless::Vec::new(),
            sealed: false,
        }
    }

    /// Forgets everything.
    pub fn clear(&mut self) {
        self.sealed = false;
        self.figures = None;
        self.zones.clear();
        self.rings.clear();
        self.vertices.clear();
    }

    /// Begins anew with these figures.
    pub fn begin(&mut self, figures: Figures) {
        self.clear();
        self.figures = Some(figures);
    }

    /// Adds a zone.
    ///
    /// # Errors
    /// [`LimitsError::TooManyZones`].
    pub fn zone(&mut self, zone: Zone) -> Result<(), LimitsError> {
        self.sealed = false;
        self.zones.push(zone).map_err(|_| LimitsError::TooManyZones)
    }

    /// Adds an empty ring to the last zone.
    ///
    /// # Errors
    /// [`LimitsError::Misplaced`] or [`LimitsError::TooManyVertices`].
    pub fn ring(&mut self) -> Result<(), LimitsError> {
        self.sealed = false;
        let polygon = self.zones.last().is_some_and(|zone| zone.shape == Shape::Polygon);
        let zone = u8::try_from(self.zones.len().saturating_sub(1)).unwrap_or(u8::MAX);
        let end = u16::try_from(self.vertices.len()).unwrap_or(u16::MAX);
        if !polygon {
            return Err(LimitsError::Misplaced);
        }
        self.rings.push(Ring { zone, start: end, end }).map_err(|_| LimitsError::TooManyVertices)
    }

    /// Adds a vertex to the last ring.
    ///
    /// # Errors
    /// [`LimitsError::Misplaced`] or [`LimitsError::TooManyVertices`].
    pub fn vertex(&mut self, vertex: Position) -> Result<(), LimitsError> {
        self.sealed = false;
        let last = u8::try_from(self.zones.len().saturating_sub(1)).unwrap_or(u8::MAX);
        let ring = self.rings.last_mut().filter(|ring| ring.zone == last).ok_or(LimitsError::Misplaced)?;
        self.vertices.push(vertex).map_err(|_| LimitsError::TooManyVertices)?;
        ring.end = ring.end.saturating_add(1);
        Ok(())
    }

    /// Looks at the whole: only then are there limits.
    ///
    /// # Errors
    /// The first thing that is wrong.
    #[inline(never)]
    pub fn seal(&mut self) -> Result<Limits<'_>, LimitsError> {
        self.sealed = false;
        let figures = self.figures.as_ref().ok_or(LimitsError::NoFigures)?;
        figures.consistent().map_err(LimitsError::Contradiction)?;
        let limits = Limits { figures, store: self };
        let mut keep_in = None;
        for (index, zone) in (0..=u8::MAX).zip(&self.zones) {
            limits.check_zone(index, zone)?;
            if zone.kind == ZoneKind::KeepIn && keep_in.replace(index).is_some() {
                return Err(LimitsError::KeepInCount(Some(index)));
            }
        }
        keep_in.ok_or(LimitsError::KeepInCount(None))?;
        self.sealed = true;
        self.limits().ok_or(LimitsError::NoFigures)
    }

    /// The limits, if they were found sound and nothing changed since.
    #[must_use]
    pub fn limits(&self) -> Option<Limits<'_>> {
        let figures = self.figures.as_ref().filter(|_| self.sealed)?;
        Some(Limits { figures, store: self })
    }
}

/// Sound limits: they can only be had from a sealed [`LimitsStore`].
#[derive(Clone, Copy, Debug)]
pub struct Limits<'a> {
    figures: &'a Figures,
    store: &'a LimitsStore,
}

impl<'a> Limits<'a> {
    /// All but the zones.
    #[must_use]
    pub const fn figures(self) -> &'a Figures {
        self.figures
    }

    /// The zones with their numbers, from 0.
    pub fn zones(self) -> impl Iterator<Item = (u8, &'a Zone)> + Clone {
        // Here and below the ranges are closed: an open one panics where it would pass its end.
        (0..=u8::MAX).zip(&self.store.zones)
    }

    /// The rings of a zone, each as its vertices. The last vertex joins the first.
    pub fn rings(self, zone: u8) -> impl Iterator<Item = &'a [Position]> + Clone {
        self.store.rings.iter().filter(move |ring| ring.zone == zone).map(move |ring| self.vertices(*ring))
    }

    fn vertices(self, ring: Ring) -> &'a [Position] {
        self.store.vertices.get(usize::from(ring.start)..usize::from(ring.end)).unwrap_or(&[])
    }

    #[inline(never)]
    fn check_zone(self, index: u8, zone: &Zone) -> Result<(), LimitsError> {
        if zone.name.is_empty()
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
        match zone.shape {
            Shape::Circle { radius, .. } if radius.get() == 0 => Err(LimitsError::Few(index)),
            Shape::Circle { .. } => Ok(()),
            Shape::Polygon => self.check_polygon(index),
        }
    }

    /// Whether a zone is a further part of the zone before it: a keep-out polygon with its name and heights.
    fn continues(self, index: u8, zone: &Zone) -> bool {
        let before = usize::from(index).checked_sub(1).and_then(|before| self.store.zones.get(before));
        zone.kind == ZoneKind::KeepOut && before.is_some_and(|before| before == zone)
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
