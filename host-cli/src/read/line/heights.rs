//! From heights as they are written to heights above launch.

use std::ops::Range;

use pinfold_core::{geometry::position::Position, units::Height};

use super::{Line, Reference};
use crate::{
    arguments::route::{AsRoute, Heights},
    problem::{Problem, Source},
    read::{
        Limits,
        datum::{Converted, Datum},
        ground::Unknown,
    },
    text::decimal::written,
};

/// What heights of a line are measured from, and what it takes to make them heights above launch.
pub(super) struct Base<'a> {
    source: &'a Source,
    /// Nothing where no height of the file counts.
    pub(super) reference: Option<Heights>,
    datum: Datum<'a>,
}

impl<'a> Base<'a> {
    pub(super) fn new(
        source: &'a Source, line: &Line, launch: Position, limits: Option<&'a Limits>, as_route: &AsRoute,
        notes: &mut Vec<String>,
    ) -> Result<Self, Problem> {
        let reference = reference(source, line, as_route, notes)?;
        let base = Self { source, reference, datum: Datum::new(launch, as_route.elevation_m, limits) };
        if let Some((reference @ (Heights::Sea | Heights::Ellipsoid), first)) = reference.zip(first(line)) {
            base.demand_elevation(reference, first)?;
        }
        base.tell_elevation(notes);
        Ok(base)
    }

    /// Heights above the sea or the ellipsoid mean nothing while launch's own isn't known.
    fn demand_elevation(&self, reference: Heights, at: Range<usize>) -> Result<(), Problem> {
        self.datum.launch().map(drop).map_err(|_| {
            let say = format!("heights {} mean nothing while launch's own isn't known", reference.word());
            let help =
                "give --elevation-m H: how high launch is above the sea; ground data in the limits would tell it, too";
            self.source.problem(at, say).help(help)
        })
    }

    fn tell_elevation(&self, notes: &mut Vec<String>) {
        let needed = !matches!(self.reference, None | Some(Heights::Launch));
        if let (true, None, Ok(elevation)) = (needed, self.datum.elevation, self.datum.launch()) {
            notes.push(format!(
                "launch is taken to be {} m above the sea, as the ground data have it (else: --elevation-m)",
                written(i64::from(elevation), 2)
            ));
        }
    }

    /// A written height as one above launch.
    pub(super) fn above_launch(
        &self, height: i32, position: Position, span: Range<usize>,
    ) -> Result<(Height, Converted), Problem> {
        let converted = match self.reference {
            None | Some(Heights::Launch) => Ok(Converted { height, base: 0 }),
            Some(Heights::Sea) => self.datum.of_sea(height),
            Some(Heights::Ellipsoid) => self.datum.of_ellipsoid(height, position),
            Some(Heights::Ground) => self.datum.of_ground(height, position),
        };
        let unknown = |why: Unknown| self.source.problem(span.clone(), why.say).help(why.help);
        let converted = converted.map_err(unknown)?;
        let above = Height::new(converted.height);
        let above = above.ok_or_else(|| self.source.problem(span, "this height above launch is out of range"))?;
        Ok((above, converted))
    }

    /// How high launch is above the sea, where that was needed.
    pub(super) fn launch(&self) -> Option<i32> {
        self.datum.launch().ok()
    }
}

/// Where the first height is written.
fn first(line: &Line) -> Option<Range<usize>> {
    line.points.iter().find_map(|point| point.height.as_ref()).map(|height| height.span.clone())
}

/// What the heights are measured from: nothing is guessed.
fn reference(
    source: &Source, line: &Line, as_route: &AsRoute, notes: &mut Vec<String>,
) -> Result<Option<Heights>, Problem> {
    let Some(first) = first(line) else { return Ok(None) };
    if as_route.height_m.is_some() && line.reference != Reference::NoHeights {
        let problem = source.problem(first, "the file has heights, and --height-m gives one for all points");
        return Err(problem.help("leave --height-m out, or take the heights out of the file"));
    }
    match (line.reference, as_route.heights) {
        (Reference::Said(said), Some(asked)) if said != asked => {
            let say = format!("these heights are {}, and --heights says {}", said.word(), asked.word());
            Err(source.problem(first, say).help("leave --heights out, or correct the file"))
        }
        (Reference::Said(said), _) => Ok(Some(said)),
        (Reference::ByFormat(usual), None) => {
            notes.push(format!(
                "heights are taken as {}, which is what they are in this format (else: --heights)",
                usual.word()
            ));
            Ok(Some(usual))
        }
        (Reference::ByFormat(usual), Some(asked)) => {
            if usual != asked {
                let [asked, usual] = [asked, usual].map(Heights::word);
                notes.push(format!("--heights {asked} is taken, although heights in this format are {usual}"));
            }
            Ok(Some(asked))
        }
        (Reference::NoHeights, None) if as_route.height_m.is_some() => {
            notes.push("heights in the file are passed over: its altitudeMode says that they mean nothing".to_owned());
            Ok(None)
        }
        (Reference::NoHeights, Some(asked)) => {
            let asked = asked.word();
            notes.push(format!("--heights {asked} is taken, although the altitudeMode says that heights mean nothing"));
            Ok(as_route.heights)
        }
        (Reference::Open, Some(asked)) => Ok(Some(asked)),
        (Reference::Open, None) => {
            let problem = source.problem(first, "this height doesn't say what it is measured from");
            Err(problem.help("give --heights above-launch, above-sea, above-ground or above-ellipsoid"))
        }
        (Reference::NoHeights, None) => {
            let say =
                "the line's altitudeMode is clampToGround, as it is where none is written: its heights mean nothing";
            let help = "write <altitudeMode>relativeToGround</altitudeMode> or absolute, or give --height-m H for all points, or --heights for those in the file";
            Err(source.problem(first, say).help(help))
        }
    }
}
