//! Rules that are about heights or about one distance: ceiling, floor, link, sight, launch.

use pinfold_core::{
    geometry::position::Position,
    model::{limits::Figures, route::Launch},
};

use super::{
    ground::Terrain,
    passage::{Kind, Passage},
    zone::{Airs, Spare},
};
use crate::oracle::{
    course::Home,
    flight::{Doing, hundredths, local},
};

fn spare(passage: &Passage, most: f64, least: f64) -> Spare {
    Spare { step: passage.step, kind: passage.kind, most, least, needless: least, flat: None, touched: false }
}

/// What there is to spare below the ceilings above launch and above the sea.
#[must_use]
pub fn below_ceilings(figures: &Figures, elevation: Option<(f64, f64)>, passage: &Passage, airs: &Airs) -> Spare {
    let sea = figures
        .heights
        .ceiling_above_sea
        .map(|sea| elevation.map_or(f64::NEG_INFINITY, |(_, launch)| hundredths(sea.get()) - launch));
    let ceiling = hundredths(figures.heights.ceiling.get()).min(sea.unwrap_or(f64::INFINITY));
    let highest = passage.heights(0.0).1.max(passage.heights(1.0).1);
    let most = ceiling - airs.least.highest(highest) - passage.up.0;
    let least = ceiling - airs.most.highest(highest) - passage.up.1 - 0.05;
    spare(passage, most, least)
}

/// What there is to spare above the lowest height; nothing where it isn't asked for.
#[must_use]
pub fn above_floor(figures: &Figures, passage: &Passage, airs: &Airs) -> Option<Spare> {
    if passage.kind != Kind::Own || passage.doing == Doing::Descent {
        return None;
    }
    let floor = hundredths(figures.heights.floor.get());
    let lowest = if passage.doing == Doing::Climb {
        passage.end_height()
    } else {
        passage.heights(0.0).0.min(passage.heights(1.0).0)
    };
    Some(spare(passage, airs.least.lowest(lowest) - floor, airs.most.lowest(lowest) - floor - 0.05))
}

/// The greatest distance through the air from a place at launch height.
fn slant(home: Home, station: (i64, i64), passage: &Passage) -> f64 {
    let station = home.ground(station);
    let at = |share: f64| {
        let over_ground = passage.slice(share).at(0.0).meters_to(station);
        over_ground.hypot(passage.heights(share).0.abs().max(passage.heights(share).1.abs()))
    };
    (0..=20_u8).map(|number| at(f64::from(number) / 20.0)).fold(0.0, f64::max)
}

/// What a radio's range, or an eye's, leaves.
#[must_use]
pub fn in_range(home: Home, station: (i64, i64), range: f64, passage: &Passage) -> Spare {
    let far = slant(home, station, passage);
    spare(passage, range - far, range - far - 0.05 - 0.001 * far)
}

/// What the place of the aircraft leaves of how far it may be from launch.
#[must_use]
pub fn stands_there(figures: &Figures, launch: &Launch, home: Home, here: Option<Position>) -> Option<(f64, f64)> {
    let (spot, here) = (figures.launch?, here?);
    let far = home.ground((0, 0)).meters_to(home.ground(local(launch, here)));
    let most = hundredths(spot.within.get()) - far;
    Some((most, most - 0.05 - 0.001 * far))
}

/// How well the planned height of launch fits the ground: what is left of 3 m. Minus infinity where the ground isn't known.
#[must_use]
pub fn fits_ground(launch: &Launch, terrain: &Terrain) -> Option<(f64, f64)> {
    let Some((low, high)) = terrain.at((0, 0)) else { return Some((f64::NEG_INFINITY, f64::NEG_INFINITY)) };
    let planned = hundredths(launch.elevation?.get());
    let left = 3.0 - (low - planned).max(planned - high).max(0.0);
    Some((left, left - 0.01))
}
