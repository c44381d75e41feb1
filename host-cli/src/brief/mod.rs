//! A route's brief: verdict, plan, profiles and what a person must still do, on one page that can be printed.

mod charge_profile;
mod checklist;
mod closest;
mod drawing;
mod figures;
mod height_profile;
mod labels;
mod legend;
mod page;
mod picture;
mod plan;
mod plane;
mod replace;
mod scale;
mod steps;
mod terrain;
mod track;
mod zones;

use std::path::Path;

use pinfold_core::{model::route::Step, verdict::Outcome};

use crate::{judged::Judged, problem::Problem, report::Report};
use closest::Closest;
use drawing::Sheet;
use plane::Plane;
pub(crate) use replace::Kind;
use terrain::Terrain;
use track::{Charge, Leg};
use zones::Mapped;

/// Everything that a brief shows.
pub(crate) struct Brief<'a> {
    report: Report<'a>,
    outcome: Outcome,
    steps: &'a [Step],
    /// What the limits are read from.
    limits_file: String,
    plane: Plane,
    terrain: Option<Terrain<'a>>,
    legs: Vec<Leg>,
    charges: Vec<Charge>,
    zones: Vec<Mapped<'a>>,
    closest: Vec<Closest<'a>>,
}

impl<'a> Brief<'a> {
    pub(crate) fn new(report: Report<'a>, judged: &'a Judged, limits_file: &Path) -> Self {
        let (limits, launch, steps) = (report.limits, report.launch, &judged.route.steps[..]);
        let plane = Plane::about(launch.position);
        let terrain = Terrain::new(limits, launch, plane);
        Self {
            outcome: report.verdict.outcome(),
            steps,
            limits_file: limits_file.file_name().map_or_else(String::new, |name| shown(&name.to_string_lossy())),
            plane,
            terrain,
            legs: track::legs(steps, plane, terrain.as_ref(), &limits.figures().homeward),
            charges: track::charges(steps, limits, launch, report.verdict.subject),
            zones: zones::mapped(limits, plane),
            closest: closest::lettered(&report),
            report,
        }
    }

    /// The page.
    pub(crate) fn html(&self) -> String {
        page::html(self)
    }

    /// The plan alone, as an SVG file.
    pub(crate) fn svg(&self) -> String {
        picture::svg(&plan::draw(self, Sheet::Wide).into_string())
    }

    /// The plan alone, as a PNG file.
    pub(crate) fn png(&self, path: &Path) -> Result<Vec<u8>, Problem> {
        picture::png(path, &self.svg())
    }

    /// The launch point above the sea, in metres, where that is known.
    fn launch_above_sea(&self) -> Option<f64> {
        self.report.launch.elevation.map(|height| track::metres(height.get()))
    }
}

/// A name as it may stand on a page: nothing that turns text round, and nothing that XML has no place for.
fn shown(name: &str) -> String {
    let whole = crate::report::people::printable(name);
    whole.chars().map(|letter| if matches!(letter, '\u{fffe}' | '\u{ffff}') { '\u{fffd}' } else { letter }).collect()
}
