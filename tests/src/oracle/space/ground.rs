//! Ground data as an obstacle: heights above it, ceilings above it, and where nothing is known of it.

use pinfold_core::model::{limits::Figures, route::Launch, zone::ZoneKind};

use super::{
    lay::Ground,
    passage::{Kind, Passage},
    zone::{Airs, Outline, Spare, Zone},
};
use crate::oracle::{
    exact::{Local, Side, side},
    flight::{Doing, hundredths, local},
};

/// What a needless refusal may take of a height that is known to a centimetre.
const LOST: f64 = 0.05;

#[derive(Clone, Debug)]
struct Cell {
    outline: Zone,
    rings: Vec<Vec<Local>>,
    /// Lowest and highest above the sea, where they are known.
    relief: Option<(f64, f64)>,
}

/// The ground of a site.
#[derive(Clone, Debug)]
pub struct Terrain {
    cells: Vec<Cell>,
    /// All of it, to stay inside.
    whole: Zone,
    /// Lowest and highest that launch may be above the sea; nothing where that isn't known.
    pub elevation: Option<(f64, f64)>,
    clearance: f64,
    ceiling: Option<f64>,
}

fn rectangle(launch: &Launch, kind: ZoneKind, corner: Local, far: Local) -> (Zone, Vec<Vec<Local>>) {
    let rings = vec![vec![corner, (far.0, corner.1), far, (corner.0, far.1)]];
    (Zone::new(launch, 0, kind, Outline::Rings(rings.clone()), None), rings)
}

impl Terrain {
    /// Of limits.
    #[must_use]
    pub fn new(figures: &Figures, launch: &Launch, (plan, counts): &Ground) -> Self {
        let corner = local(launch, plan.corner);
        let (rows, columns) = (plan.rows.get(), plan.columns.get());
        let at = |row: u8, column: u8| {
            let steps = |count: u8, side: i32| i64::from(count) * i64::from(side);
            (corner.0 + steps(column, plan.cell_east.get()), corner.1 + steps(row, plan.cell_north.get()))
        };
        let mut counts = counts.iter();
        let mut cells = Vec::new();
        for row in 0..rows {
            for column in 0..columns {
                let (outline, rings) = rectangle(launch, ZoneKind::KeepOut, at(row, column), at(row + 1, column + 1));
                let height =
                    |count: u16| hundredths(plan.base.get()) + hundredths(plan.count_height.get()) * f64::from(count);
                let relief =
                    counts.next().and_then(|cell| cell.counts()).map(|(low, high)| (height(low), height(high)));
                cells.push(Cell { outline, rings, relief });
            }
        }
        let (whole, _) = rectangle(launch, ZoneKind::KeepIn, at(0, 0), at(rows, columns));
        let meters = |height: Option<pinfold_core::units::Height>| height.map(|height| hundredths(height.get()));
        let clearance = meters(figures.heights.ground_clearance).unwrap_or(0.0);
        let ceiling = meters(figures.heights.ceiling_above_ground);
        let mut terrain = Self { cells, whole, elevation: None, clearance, ceiling };
        let planned = launch.elevation.map(|height| hundredths(height.get()));
        terrain.elevation = planned.map(|height| (height, height)).or_else(|| terrain.at((0, 0)));
        terrain
    }

    /// Between which heights the ground is at a place.
    #[must_use]
    pub fn at(&self, place: Local) -> Option<(f64, f64)> {
        let below = self.cells.iter().filter(|cell| side(place, &cell.rings) != Side::Outside);
        let reliefs: Option<Vec<(f64, f64)>> = below.map(|cell| cell.relief).collect();
        reliefs?.into_iter().reduce(|one, other| (one.0.min(other.0), one.1.max(other.1)))
    }

    /// What there is to spare above the ground.
    #[must_use]
    pub fn above(&self, passage: &Passage, airs: &Airs) -> Vec<Spare> {
        let asked = match (passage.kind, passage.doing) {
            (Kind::Own, Doing::Fly | Doing::Home) => true,
            (Kind::Home, _) => passage.triangle != [(0, 0); 3],
            (Kind::Own | Kind::Rise | Kind::Column, _) => false,
        };
        if !asked {
            return Vec::new();
        }
        let Some((launch, _)) = self.elevation else { return vec![unknown(passage)] };
        self.held(passage, &|relief, share, loosely| {
            let air = if loosely { &airs.most } else { &airs.least };
            air.lowest(passage.heights(share).0) + launch - relief.1 - self.clearance
        })
    }

    /// What there is to spare below the ceiling above the ground.
    #[must_use]
    pub fn below(&self, passage: &Passage, airs: &Airs) -> Vec<Spare> {
        let Some(ceiling) = self.ceiling.filter(|_| passage.kind != Kind::Column) else { return Vec::new() };
        let Some((_, launch)) = self.elevation else { return vec![unknown(passage)] };
        self.held(passage, &|relief, share, loosely| {
            let (air, up) = if loosely { (&airs.most, passage.up.1) } else { (&airs.least, passage.up.0) };
            relief.0 + ceiling - launch - air.highest(passage.heights(share).1) - up
        })
    }

    /// Those of its cells with this number only.
    #[must_use]
    pub fn only(&self, number: usize) -> Self {
        let cells = self.cells.iter().skip(number).take(1).cloned().collect();
        Self { cells, ..self.clone() }
    }

    /// The least that `value` (of a cell's heights, a place, and whether loosely) has within the margin of a passage.
    fn held(&self, passage: &Passage, value: &dyn Fn((f64, f64), f64, bool) -> f64) -> Vec<Spare> {
        let mut all = vec![blank(self.whole.spare(passage, &Airs::default()))];
        for cell in &self.cells {
            let flat = cell.outline.spare(passage, &Airs::default());
            let Some(relief) = cell.relief else {
                all.push(blank(flat));
                continue;
            };
            if flat.least > 0.0 {
                continue;
            }
            let spread = passage.spread;
            let surely = passage.across.0 + spread.surely - 1e-7;
            let wide = |meters: f64| passage.across.1 + 1.1 * spread.at_most + 0.02 + passage.tolerance(meters);
            let fair = |meters: f64| passage.across.1 + 1.1 * spread.at_most + 0.06 + 0.001 * meters;
            let least = |reach: &dyn Fn(f64) -> bool, loosely: bool| {
                let share = cell.outline.first_within(passage, reach, &|share| value(relief, share, loosely));
                share.map_or(f64::INFINITY, |share| value(relief, share, loosely))
            };
            let lost = |value: f64| value - LOST - 0.001 * value.abs() - passage.slope_lost();
            all.push(Spare {
                step: passage.step,
                kind: passage.kind,
                most: least(&|meters| meters < surely, false),
                least: lost(least(&|meters| meters <= wide(meters), true)),
                needless: lost(least(&|meters| meters <= fair(meters), true)),
                flat: None,
                touched: false,
            });
        }
        all
    }
}

/// Nothing can be said.
fn unknown(passage: &Passage) -> Spare {
    let (most, least) = (f64::INFINITY, f64::NEG_INFINITY);
    Spare { step: passage.step, kind: passage.kind, most, least, needless: least, flat: None, touched: true }
}

/// Something of which nothing is known: a refusal where it is within the margin, no number.
fn blank(flat: Spare) -> Spare {
    let free = |value: f64| if value > 0.0 { f64::INFINITY } else { f64::NEG_INFINITY };
    Spare {
        most: f64::INFINITY,
        least: free(flat.least),
        needless: free(flat.needless),
        flat: None,
        touched: flat.most < -1e-6 || flat.touched,
        ..flat
    }
}
