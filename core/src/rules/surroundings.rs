//! What a route is judged in: everything that is worked out once, when a route begins.

use super::{air::AirFactors, margin::MarginFactors};
use crate::{
    geometry::{frame::Frame, plane::PlanePoint, predicate::Point, separation::Line, shape::Corner},
    model::{
        ground::{Ground, Relief},
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
    /// The largest bow of each zone's edges, mm.
    bows: [i32; ZONES],
}

impl Surroundings {
    /// The surroundings of a launch point; zones are to be within its reach.
    #[inline(never)]
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
        let mut vertices = heapless::Vec::new();
        for vertex in limits.all_vertices() {
            let plane = frame.local(*vertex).map_or(PlanePoint::ORIGIN, |point| frame.plane(point));
            // There is room: the limits hold no more.
            let _ = vertices.push(plane);
        }
        let margins = MarginFactors::new(figures.margins);
        let mut surroundings = Self { frame, margins, elevation, air, vertices, bows: [0; ZONES] };
        for (zone, _) in limits.zones() {
            let bow = surroundings.largest_bow(limits, zone);
            surroundings.bows.iter_mut().skip(usize::from(zone)).take(1).for_each(|slot| *slot = bow);
        }
        surroundings
    }

    fn largest_bow(&self, limits: Limits<'_>, zone: u8) -> i32 {
        let rings = self.rings(limits, zone);
        let longest = |ring: &[PlanePoint]| {
            let ends = ring.iter().zip(ring.iter().cycle().skip(1));
            ends.map(|(a, b)| b.minus(*a).length_squared()).max().unwrap_or(0)
        };
        let longest = rings.map(|(_, ring)| longest(ring)).max().unwrap_or(0);
        crate::arithmetic::clamp_i32(self.frame.bow_ceil(longest))
    }

    fn rings<'a>(
        &'a self, limits: Limits<'a>, zone: u8,
    ) -> impl Iterator<Item = (&'a [crate::geometry::position::Position], &'a [PlanePoint])> + Clone {
        limits
            .spans(zone)
            .filter_map(move |span| Some((limits.all_vertices().get(span.clone())?, self.vertices.get(span)?)))
    }

    /// The rings of a zone as corners, and the largest bow of their edges, mm.
    pub(crate) fn outline<'a>(
        &'a self, limits: Limits<'a>, zone: u8,
    ) -> (impl Iterator<Item = impl DoubleEndedIterator<Item = Corner> + Clone> + Clone, i64) {
        let corner = |(position, plane): (&crate::geometry::position::Position, &PlanePoint)| Corner {
            position: *position,
            plane: *plane,
        };
        let rings = self.rings(limits, zone).map(move |(places, planes)| places.iter().zip(planes).map(corner));
        (rings, self.bows.get(usize::from(zone)).copied().map_or(0, i64::from))
    }

    /// A single place as a line.
    pub(crate) fn dot(&self, point: Point) -> Line {
        Line::new(&self.frame, point, point)
    }
}

/// The ground at a place: lowest and highest of all cells that it belongs to; `None` where any of them is unknown.
pub(crate) fn relief_at(frame: &Frame, ground: Ground<'_>, point: Point) -> Option<Relief> {
    let (rows, columns) = super::ground::Grid::new(frame, ground).cells_at(point)?;
    let mut all: Option<Relief> = None;
    for row in rows.0..=rows.1 {
        for column in columns.0..=columns.1 {
            let relief = ground.relief(row, column)?;
            let so_far = all.unwrap_or(relief);
            all =
                Some(Relief { lowest: so_far.lowest.min(relief.lowest), highest: so_far.highest.max(relief.highest) });
        }
    }
    all
}
