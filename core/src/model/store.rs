//! The memory that limits are read into, and sound limits, which can only be had from it.

mod soundness;

use core::ops::Range;

use super::{
    ground::{GROUND_CELLS, Ground, GroundCell, GroundPlan},
    limits::{Contradiction, Figures},
    zone::{RINGS, Shape, VERTICES, ZONES, Zone, ZoneKind},
};
use crate::geometry::position::Position;

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
    /// A people zone that has heights.
    PeopleHeights(u8),
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
    /// Figures ask for ground data, and there are none.
    NoGround,
    /// There are fewer or more cells of ground data than their plan says.
    GroundCells,
    /// Ground data reach beyond a pole.
    GroundWide,
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
    ground: Option<GroundPlan>,
    cells: heapless::Vec<GroundCell, GROUND_CELLS>,
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
            ground: None,
            cells: heapless::Vec::new(),
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
        self.ground = None;
        self.cells.clear();
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

    /// Begins ground data: as many cells follow as the plan has, row by row from the south-west.
    pub fn ground(&mut self, plan: GroundPlan) {
        self.sealed = false;
        self.ground = Some(plan);
        self.cells.clear();
    }

    /// Adds a cell of ground data.
    ///
    /// # Errors
    /// [`LimitsError::GroundCells`].
    pub fn cell(&mut self, cell: GroundCell) -> Result<(), LimitsError> {
        self.sealed = false;
        self.cells.push(cell).map_err(|_| LimitsError::GroundCells)
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
        limits.check_ground()?;
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

    /// The ground data, where there are any.
    #[must_use]
    pub fn ground(self) -> Option<Ground<'a>> {
        self.store.ground.as_ref().map(|plan| Ground::new(plan, &self.store.cells))
    }

    /// The rings of a zone, each as its vertices. The last vertex joins the first.
    pub fn rings(self, zone: u8) -> impl Iterator<Item = &'a [Position]> + Clone {
        self.store.rings.iter().filter(move |ring| ring.zone == zone).map(move |ring| self.vertices(*ring))
    }

    /// Where the rings of a zone stand among all vertices.
    pub(crate) fn spans(self, zone: u8) -> impl Iterator<Item = Range<usize>> + Clone + 'a {
        let rings = self.store.rings.iter().filter(move |ring| ring.zone == zone);
        rings.map(|ring| usize::from(ring.start)..usize::from(ring.end))
    }

    /// The vertices of all zones.
    pub(crate) fn all_vertices(self) -> &'a [Position] {
        &self.store.vertices
    }

    fn vertices(self, ring: Ring) -> &'a [Position] {
        self.store.vertices.get(usize::from(ring.start)..usize::from(ring.end)).unwrap_or(&[])
    }
}
