//! What a route is judged in: everything that is worked out once, when a route begins.

use super::{air::AirFactors, grid::relief_at, margin::MarginFactors};
use crate::{
    geometry::{
        frame::Frame,
        plane::PlanePoint,
        position::Position,
        predicate::Point,
        separation::Line,
        shape::{Corner, Extent},
    },
    model::{
        ground::Relief,
        route::Launch,
        store::Limits,
        zone::{VERTICES, ZONES},
    },
};

/// Between which heights above mean sea level the launch point is, 0.01 m.
pub(crate) type Elevation = Relief;

/// The launch point's own view of the limits.
#[derive(Clone, Debug)]
pub(crate) struct Surroundings {
    pub(crate) frame: Frame,
    pub(crate) margins: MarginFactors,
    /// `None` where nobody knows it.
    pub(crate) elevation: Option<Elevation>,
    pub(crate) air: AirFactors,
    /// All vertices in the plane.
    vertices: heapless::Vec<PlanePoint, VERTICES>,
    /// Each zone as a whole.
    extents: [Extent; ZONES],
}

impl Surroundings {
    /// The surroundings of a launch point, before [`Self::look_at_zones`].
    pub(crate) fn new(limits: Limits<'_>, launch: &Launch, frame: Frame) -> Self {
        let figures = limits.figures();
        let known = launch.elevation.map(|height| Elevation { lowest: height.get(), highest: height.get() });
        let elevation = known.or_else(|| {
            let ground = limits.ground()?;
            relief_at(&frame, ground, Point { x: 0, y: 0 })
        });
        let air = figures.air.zip(elevation).map_or_else(AirFactors::default, |(air, elevation)| {
            AirFactors::new(air, elevation.lowest, elevation.highest, figures.heights.ceiling.get())
        });
        Self {
            frame,
            margins: MarginFactors::new(figures.margins),
            elevation,
            air,
            vertices: heapless::Vec::new(),
            extents: [Extent::NOWHERE; ZONES],
        }
    }

    /// Works out where the zones' corners are; zones are to be within reach. Apart from [`Self::new`], so that so much memory
    /// is filled where it is and not moved there.
    #[inline(never)]
    pub(crate) fn look_at_zones(&mut self, limits: Limits<'_>) {
        for vertex in limits.all_vertices() {
            let plane = self.frame.local(*vertex).map_or(PlanePoint::ORIGIN, |point| self.frame.plane(point));
            // There is room: the limits hold no more.
            let _ = self.vertices.push(plane);
        }
        for (zone, _) in limits.zones() {
            let extent = Extent::new(&self.frame, self.rings(limits, zone).map(|(_, ring)| ring));
            self.extents.iter_mut().skip(usize::from(zone)).take(1).for_each(|slot| *slot = extent);
        }
    }

    fn rings<'a>(
        &'a self, limits: Limits<'a>, zone: u8,
    ) -> impl Iterator<Item = (&'a [Position], &'a [PlanePoint])> + Clone {
        limits
            .spans(zone)
            .filter_map(move |span| Some((limits.all_vertices().get(span.clone())?, self.vertices.get(span)?)))
    }

    /// The rings of a zone as corners.
    pub(crate) fn outline<'a>(
        &'a self, limits: Limits<'a>, zone: u8,
    ) -> impl Iterator<Item = impl DoubleEndedIterator<Item = Corner> + Clone> + Clone {
        let corner = |(position, plane): (&Position, &PlanePoint)| Corner { position: *position, plane: *plane };
        self.rings(limits, zone).map(move |(places, planes)| places.iter().zip(planes).map(corner))
    }

    /// A polygon as a whole.
    pub(crate) fn extent(&self, zone: u8) -> Extent {
        self.extents.get(usize::from(zone)).copied().unwrap_or(Extent::NOWHERE)
    }

    /// A single place as a line.
    pub(crate) fn dot(&self, point: Point) -> Line {
        Line::new(&self.frame, point, point)
    }
}
