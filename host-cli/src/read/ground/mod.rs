//! Ground data: surveyed heights from files, cut to the site and reduced to the cells that limits hold.

mod axis;
mod cells;
mod cells_toml;
mod esri;
mod files;
mod hgt;
mod span;
mod survey;
mod tile;
mod under;
mod zones;

#[cfg(test)]
mod never_optimistic;

use pinfold_core::{
    geometry::position::Position,
    model::{
        store::{LimitsError, LimitsStore},
        zone::ZoneKind,
    },
};

use super::site::Site;
use crate::{
    problem::{Problem, Source},
    text::{decimal::written, table::Section},
};
use cells::{Cells, Lattice};
use files::Files;
use span::{Span, Spot};
use survey::Survey;

/// How far around keep-in the ground is kept, in metres. What is flown lies inside keep-in by its margin, so nothing rests on it:
/// it is there for what is said of a path that leaves keep-in by a little. It is the same for all figures, so that the same
/// figures, laid under limits by a preset or written by hand, are the same limits.
const AROUND: f64 = 30.0;

/// The ground that limits were read with.
pub(crate) struct Ground {
    cells: Cells,
    /// The survey that the cells were made from; nothing where the cells themselves were read.
    survey: Option<Survey>,
    /// The position that longitudes go on from.
    about: Position,
}

/// Why the ground at a place isn't known.
#[derive(Clone, Copy)]
pub(crate) struct Unknown {
    pub(crate) say: &'static str,
    pub(crate) help: &'static str,
}

impl Unknown {
    /// There is no telling without limits.
    pub(crate) const NO_LIMITS: Self = Self {
        say: "a height above ground needs ground data, and no limits are given here",
        help: "give the limits that the route is made for with --limits: `ground` in their [heights] names the data",
    };
    const NO_GROUND: Self = Self {
        say: "a height above ground needs ground data, and these limits have no surveyed ones",
        help: "name an Esri ASCII grid or SRTM tiles with `ground` in [heights] of limits.toml; packed limits hold only cells",
    };
    const NO_SURVEY: Self = Self {
        say: "they need surveyed ground, and `ground` names a table of cells",
        help: "name an Esri ASCII grid or SRTM tiles with `ground`, or give the heights above launch or above the sea",
    };
    const UNDER: Self = Self {
        say: "the ground under it isn't known everywhere",
        help: "get data that cover the zone without a gap, or give the heights above launch or above the sea",
    };
    const HERE: Self = Self {
        say: "the ground below isn't known: the data have a gap here, or the place is away from the site",
        help: "correct the position, get data without a gap, or give the height above launch or above the sea",
    };
}

/// Reads the ground data that limits name, if they name any.
pub(super) fn read(
    root: &Section<'_>, source: &Source, site: &Site, notes: &mut Vec<String>,
) -> Result<Option<Ground>, Problem> {
    let Some(files) = files::named(root, source)? else { return Ok(None) };
    let Some((about, keep_in, all)) = spans(site) else { return Ok(None) };
    if let Some(table) = files.table()? {
        return Ok(Some(Ground { cells: cells_toml::read(&table)?, survey: None, about }));
    }
    let survey = files.survey(all)?;
    let lattice = Lattice::over(keep_in, &survey);
    let cells = lattice.packed().ok_or_else(|| {
        files
            .problem(nowhere(keep_in))
            .help("get the tiles or the part of the map that the site is in, in degrees of WGS 84; or leave out `ground` and what needs it (`ceiling_above_ground_m`, `ground_clearance_m`)")
    })?;
    tell(&lattice, &cells, &survey, &files, notes);
    Ok(Some(Ground { cells, survey: Some(survey), about }))
}

/// A position of keep-in, the span about it that is kept, and that which zones need.
fn spans(site: &Site) -> Option<(Position, Span, Span)> {
    let keep_in = site.zones.iter().find(|zone| zone.zone.kind == ZoneKind::KeepIn).or_else(|| site.zones.first())?;
    let about = keep_in.about()?;
    let kept = keep_in.area(about).span()?.widened(AROUND);
    let zones = site.zones.iter().filter(|zone| zone.above_ground.is_some());
    let all = zones.filter_map(|zone| zone.area(about).span()).fold(kept, Span::and);
    // Cells reach up to 32 counts beyond.
    Some((about, kept, all.grown(32, 32)))
}

fn nowhere(span: Span) -> String {
    let [south, north, west, east] = [span.south, span.north, span.west, span.east].map(|counts| written(counts, 7));
    format!("nothing is known of any ground at the site: latitude {south} to {north}, longitude {west} to {east}")
}

/// Says how coarse the cells are, where they are much coarser than the survey, and how many are unknown.
fn tell(lattice: &Lattice, cells: &Cells, survey: &Survey, files: &Files<'_>, notes: &mut Vec<String>) {
    let (cell, (east, north)) = (lattice.cell(), survey.spacing().unwrap_or_default());
    let (width, height) = cell.size();
    let (rows, columns) = (cells.plan.rows.get(), cells.plan.columns.get());
    if cell.east - cell.west > 2 * east || cell.north - cell.south > 2 * north {
        notes.push(files.note(&format!(
            "the ground is kept in {rows} x {columns} cells of about {width:.0} m x {height:.0} m, each as low and as high as any ground in it"
        )));
    }
    if cells.unknown() > 0 {
        notes.push(files.note(&format!(
            "{} of {} cells of {width:.0} m x {height:.0} m have a gap or reach beyond the data: near them every path is No-go",
            cells.unknown(),
            cells.cells.len()
        )));
    }
}

impl Ground {
    /// Puts the cells into a store.
    pub(super) fn fill(&self, store: &mut LimitsStore) -> Result<(), LimitsError> {
        self.cells.fill(store)
    }

    /// The surveyed ground at a place, 0.01 m above mean sea level.
    pub(super) fn under(ground: Option<&Self>, position: Position) -> Result<i32, Unknown> {
        let ground = ground.ok_or(Unknown::NO_GROUND)?;
        let survey = ground.survey.as_ref().ok_or(Unknown::NO_GROUND)?;
        survey.height_at(Spot::of(position, ground.about)).ok_or(Unknown::HERE)
    }
}
