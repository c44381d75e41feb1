//! Zones: what they are for, their heights and shapes.

use serde::{Deserialize, Serialize};

use super::Name;
use crate::{
    geometry::position::Position,
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
    /// There are people: the aircraft stays as far away as it is high.
    People,
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
