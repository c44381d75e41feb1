//! From heights as they are written to heights above launch.

use pinfold_core::{geometry::position::Position, units::Height};

use super::{Line, Reference, geoid::above_ellipsoid};
use crate::{
    arguments::route::{AsRoute, Heights},
    problem::{Problem, Source},
    read::{
        Limits,
        ground::{Ground, Unknown},
    },
    text::decimal::written,
};

/// What heights of a line are measured from, and what it takes to make them heights above launch.
pub(super) struct Base<'a> {
    source: &'a Source,
    /// Nothing where no height of the file counts.
    pub(super) reference: Option<Heights>,
    /// How high launch is above the sea, 0.01 m, where it matters.
    launch: i32,
    ground: Result<Option<&'a Ground>, Unknown>,
}

impl<'a> Base<'a> {
    pub(super) fn new(
        source: &'a Source, line: &Line, launch: Position, limits: Option<&'a Limits>, as_route: &AsRoute,
        notes: &mut Vec<String>,
    ) -> Result<Self, Problem> {
        let ground = limits.map(|limits| limits.ground.as_ref()).ok_or(Unknown::NO_LIMITS);
        let mut base = Self { source, reference: reference(source, line, as_route, notes)?, launch: 0, ground };
        if !matches!(base.reference, None | Some(Heights::Launch)) {
            base.launch = base.elevation(launch, as_route, notes)?;
        }
        Ok(base)
    }

    /// How high launch is above the sea: as is said, or else as the ground data have it.
    fn elevation(&self, launch: Position, as_route: &AsRoute, notes: &mut Vec<String>) -> Result<i32, Problem> {
        if let Some(elevation) = as_route.elevation_m {
            return Ok(elevation.get());
        }
        let unknown = |_| {
            let problem = Problem::file(&self.source.path, "these heights mean nothing while launch's own isn't known");
            problem.help("give --elevation-m H: how high launch is above the sea")
        };
        let elevation = self.under(launch).map_err(unknown)?;
        notes.push(format!(
            "launch is taken to be {} m above the sea, as the ground data have it (else: --elevation-m)",
            written(i64::from(elevation), 2)
        ));
        Ok(elevation)
    }

    fn under(&self, position: Position) -> Result<i32, Unknown> {
        self.ground.and_then(|ground| Ground::under(ground, position))
    }

    /// A written height as one above launch.
    pub(super) fn above_launch(
        &self, height: i32, position: Position, span: std::ops::Range<usize>,
    ) -> Result<Height, Problem> {
        let above_sea = match self.reference {
            None | Some(Heights::Launch) => height,
            Some(Heights::Sea) => height - self.launch,
            Some(Heights::Ellipsoid) => height - above_ellipsoid(position) - self.launch,
            Some(Heights::Ground) => {
                let unknown = |why: Unknown| self.source.problem(span.clone(), why.say).help(why.help);
                self.under(position).map_err(unknown)? + height - self.launch
            }
        };
        Height::new(above_sea).ok_or_else(|| self.source.problem(span, "this height above launch is out of range"))
    }
}

/// What the heights are measured from: nothing is guessed.
fn reference(
    source: &Source, line: &Line, as_route: &AsRoute, notes: &mut Vec<String>,
) -> Result<Option<Heights>, Problem> {
    let written = line.points.iter().find_map(|point| point.height.as_ref());
    let Some(first) = written else { return Ok(None) };
    if line.reference == Reference::NoHeights && as_route.height_m.is_some() {
        notes.push("heights in the file are passed over: it says itself that they mean nothing".to_owned());
        return Ok(None);
    }
    match (line.reference, as_route.heights) {
        (Reference::Said(said), Some(asked)) if said != asked => {
            let say = format!("these heights are {}, and --heights says {}", said.word(), asked.word());
            Err(source.problem(first.span.clone(), say).help("leave --heights out, or correct the file"))
        }
        (Reference::Said(said), _) => Ok(Some(said)),
        (Reference::ByFormat(usual), Some(asked)) => {
            if usual != asked {
                notes.push(format!(
                    "--heights {} is taken, although heights in this format are {}",
                    asked.word(),
                    usual.word()
                ));
            }
            Ok(Some(asked))
        }
        (Reference::ByFormat(usual), None) => {
            notes.push(format!(
                "heights are taken as {}, which is what they are in this format (else: --heights)",
                usual.word()
            ));
            Ok(Some(usual))
        }
        (Reference::Open | Reference::NoHeights, Some(asked)) => Ok(Some(asked)),
        (Reference::Open, None) => {
            let problem = source.problem(first.span.clone(), "this height doesn't say what it is measured from");
            Err(problem.help("give --heights above-launch, above-sea, above-ground or above-ellipsoid"))
        }
        (Reference::NoHeights, None) => {
            let say =
                "the line's altitudeMode is clampToGround, as it is where none is written: its heights mean nothing";
            Err(source.problem(first.span.clone(), say).help(
                "write <altitudeMode>relativeToGround</altitudeMode> or absolute, or give --height-m H for all points, or --heights for those in the file",
            ))
        }
    }
}
