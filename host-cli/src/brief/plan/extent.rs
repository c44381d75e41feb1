//! How much of the world the plan shows.

use crate::brief::{Brief, plane::Point, zones::Look};

/// A rectangle of the map, in metres east and north of launch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Extent {
    pub(super) west: f64,
    pub(super) east: f64,
    pub(super) south: f64,
    pub(super) north: f64,
}

/// A keep-in zone that is more than this much larger than the route is only shown in part.
const MUCH_LARGER: f64 = 3.0;

/// Zones are all shown where that makes the plan no more than this much larger.
const NEAR: f64 = 1.4;

/// The route with the keep-in zone about it, unless that would make the route tiny.
pub(super) fn of(brief: &Brief<'_>) -> Extent {
    let ends = brief.legs.iter().flat_map(|leg| [leg.from.point, leg.to.point]);
    let route = Extent::about(ends.chain([Point::LAUNCH]));
    let keep_in = brief.zones.iter().filter(|zone| zone.look == Look::KeepIn).flat_map(|zone| zone.corners());
    let site = keep_in.fold(route, Extent::with);
    let span = |extent: Extent| extent.wide().max(extent.high());
    let shown = if span(site) > MUCH_LARGER * span(route) { route.grown(0.4) } else { site };
    // Other zones where they are near.
    let all = brief.zones.iter().flat_map(|zone| zone.corners()).fold(shown, Extent::with);
    if span(all) > NEAR * span(shown) { shown.grown(0.04) } else { all.grown(0.04) }
}

impl Extent {
    fn about(points: impl IntoIterator<Item = Point>) -> Self {
        // At least 20 m: a route may go straight up and down.
        points.into_iter().fold(Self { west: -10.0, east: 10.0, south: -10.0, north: 10.0 }, Self::with)
    }

    fn with(self, point: Point) -> Self {
        Self {
            west: self.west.min(point.east),
            east: self.east.max(point.east),
            south: self.south.min(point.north),
            north: self.north.max(point.north),
        }
    }

    pub(super) fn wide(&self) -> f64 {
        self.east - self.west
    }

    pub(super) fn high(&self) -> f64 {
        self.north - self.south
    }

    /// With a share of its larger side more on each side.
    fn grown(self, share: f64) -> Self {
        let more = self.wide().max(self.high()) * share;
        self.widened(more, more)
    }

    fn widened(self, east: f64, north: f64) -> Self {
        Self { west: self.west - east, east: self.east + east, south: self.south - north, north: self.north + north }
    }

    /// As much larger as a frame is that is so many times as wide as high.
    pub(super) fn filled(self, shape: f64) -> Self {
        let (wide, high) = (self.wide(), self.high());
        self.widened(((high * shape - wide) / 2.0).max(0.0), ((wide / shape - high) / 2.0).max(0.0))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_filled_frame_has_its_shape_and_holds_what_it_held() {
        let extent = Extent { west: -5.0, east: 15.0, south: 0.0, north: 100.0 };
        let filled = extent.filled(1.5);
        assert!((filled.wide() / filled.high() - 1.5).abs() < 1e-9, "{filled:?}");
        assert!(filled.west <= -5.0 && filled.east >= 15.0 && filled.south <= 0.0 && filled.north >= 100.0);
    }
}
