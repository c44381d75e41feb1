//! From a line to a route: what the file doesn't say comes from options, or from defaults that are said.

use pinfold_core::{
    geometry::position::Position,
    model::{
        Name,
        route::{Launch, STEPS, Step},
    },
    units::{Duration, Height, Speed},
};

use super::{Line, Number, Point, heights::Base};
use crate::{
    arguments::route::{AsRoute, End},
    problem::{Problem, Source},
    read::{Limits, Route, quantity, take::fitting_name},
    text::{decimal::written, table::Quantity},
};

/// The making of one route.
struct Maker<'a> {
    source: &'a Source,
    line: &'a Line,
    as_route: &'a AsRoute,
    notes: Vec<String>,
    /// How many numbers lost digits.
    rounded: usize,
}

/// Makes a route of a line.
pub(super) fn route(
    source: &Source, line: &Line, limits: Option<&Limits>, as_route: &AsRoute, notes: Vec<String>,
) -> Result<Route, Problem> {
    let mut maker = Maker { source, line, as_route, notes, rounded: 0 };
    let places = line.points.iter().map(|point| maker.place(point)).collect::<Result<Vec<_>, _>>()?;
    maker.long_enough()?;
    let start = as_route.launch.unwrap_or(places[0]);
    let base = Base::new(source, line, start, limits, as_route, &mut maker.notes)?;
    let heights = line.points.iter().zip(&places).map(|(point, place)| maker.height(point, *place, &base));
    let heights = heights.collect::<Result<Vec<_>, _>>()?;
    let steps = maker.steps(&places, &heights)?;
    let launch = Launch { name: maker.name()?, position: start, elevation: as_route.elevation_m };
    maker.tell(&base, &heights);
    Ok(Route { launch, steps, notes: maker.notes })
}

impl Maker<'_> {
    /// Demands that there is somewhere to fly to, and not too much of it.
    fn long_enough(&self) -> Result<(), Problem> {
        let points = self.line.points.len();
        let least = if self.as_route.launch.is_some() { 1 } else { 2 };
        if points < least {
            let problem = self.source.problem(self.line.span.clone(), "a line has two points at least");
            return Err(problem.help("the first is where the aircraft starts, unless --launch says it"));
        }
        // The climb and the end are steps, too.
        if points + 2 > STEPS {
            let problem =
                self.source.problem(self.line.span.clone(), format!("{points} points; {} are the most", STEPS - 2));
            return Err(problem.help("split the line"));
        }
        Ok(())
    }

    fn place(&mut self, point: &Point) -> Result<Position, Problem> {
        let (source, rounded) = (self.source, self.rounded);
        let latitude = self.count(&point.latitude, "the latitude", quantity::LATITUDE)?;
        let longitude = self.count(&point.longitude, "the longitude", quantity::LONGITUDE)?;
        self.rounded = self.rounded.min(rounded + 1);
        let problem = || source.problem(point.span.clone(), "this is no place on Earth");
        Position::new(latitude, longitude).ok_or_else(problem)
    }

    /// The nearest count; that digits are lost is counted.
    fn count(&mut self, number: &Number, what: &str, quantity: Quantity) -> Result<i32, Problem> {
        let rounded = number.nearest(self.source, what, quantity)?;
        self.rounded += usize::from(rounded.moved);
        Ok(rounded.count)
    }

    fn height(&mut self, point: &Point, place: Position, base: &Base<'_>) -> Result<Height, Problem> {
        match (&point.height, base.reference, self.as_route.height_m) {
            (Some(number), Some(_), None) => {
                let height = self.count(number, "the height", quantity::HEIGHT)?;
                base.above_launch(height, place, number.span.clone())
            }
            (Some(number), Some(_), Some(_)) => {
                let problem =
                    self.source.problem(number.span.clone(), "the file has heights, and --height-m gives one");
                Err(problem.help("leave --height-m out"))
            }
            (None, _, Some(height)) | (Some(_), None, Some(height)) => Ok(height),
            (None, _, None) | (Some(_), None, None) => {
                let problem = self.source.problem(point.span.clone(), "this point has no height");
                Err(problem
                    .help("give --height-m H, if no point of the file has one: the height above launch of all of them"))
            }
        }
    }

    fn steps(&mut self, places: &[Position], heights: &[Height]) -> Result<Vec<Step>, Problem> {
        let skipped = usize::from(self.as_route.launch.is_none());
        let mut steps = vec![Step::Climb { height: self.climb(heights)? }];
        let line = self.line;
        for ((point, to), height) in line.points.iter().zip(places).zip(heights).skip(skipped) {
            let (speed, hold) = (self.speed(point)?, self.hold(point)?);
            steps.push(Step::Fly { to: *to, height: *height, speed, hold });
        }
        steps.push(match self.as_route.end.unwrap_or(End::Return) {
            End::Return => Step::Return,
            End::Land => Step::Land,
        });
        Ok(steps)
    }

    fn climb(&self, heights: &[Height]) -> Result<Height, Problem> {
        let height = self.as_route.climb_to_m.unwrap_or(heights[0]);
        if height.get() > 0 {
            return Ok(height);
        }
        let at = written(i64::from(height.get()), 2);
        let say = format!("the first point is {at} m above launch: that is nothing to climb to");
        let problem = self.source.problem(self.line.points[0].span.clone(), say);
        Err(problem.help("give --climb-to-m H, the height above launch that is climbed to first; or are heights measured from something else (--heights)?"))
    }

    fn speed(&mut self, point: &Point) -> Result<Speed, Problem> {
        let missing = || {
            let problem =
                self.source.problem(point.span.clone(), "nothing says how fast the aircraft flies to this point");
            problem.help("give --speed M_S: over ground, on every leg without one of its own")
        };
        match &point.speed {
            None => self.as_route.speed.ok_or_else(missing),
            Some(number) => {
                let count = self.count(number, "the speed", quantity::SPEED)?;
                Speed::new(count).ok_or_else(|| self.source.problem(number.span.clone(), "this speed is out of range"))
            }
        }
    }

    fn hold(&mut self, point: &Point) -> Result<Duration, Problem> {
        match &point.hold {
            None => Ok(self.as_route.hold_s.unwrap_or(Duration::NONE)),
            Some(number) => {
                let count = self.count(number, "the time", quantity::DURATION)?;
                Duration::new(count)
                    .ok_or_else(|| self.source.problem(number.span.clone(), "this time is out of range"))
            }
        }
    }

    fn name(&self) -> Result<Name, Problem> {
        let of_file = || self.source.path.file_stem().map(|name| name.to_string_lossy().into_owned());
        let given = self.as_route.name.clone().or_else(|| self.line.name.clone());
        let name = given.or_else(of_file).unwrap_or_default();
        fitting_name(&name).map_err(|say| {
            Problem::file(&self.source.path, format!("the route can't be called \"{name}\": {say}"))
                .help("give --name NAME")
        })
    }

    /// Says what was taken for granted and what was made of the file's numbers.
    fn tell(&mut self, base: &Base<'_>, heights: &[Height]) {
        let metres = |height: i32| written(i64::from(height), 2);
        let mut taken = Vec::new();
        if self.as_route.launch.is_none() {
            taken.push("launch at the line's first point (--launch)".to_owned());
        }
        if self.as_route.climb_to_m.is_none() {
            taken.push(format!("a climb to {} m above launch (--climb-to-m)", metres(heights[0].get())));
        }
        if self.as_route.end.is_none() {
            taken.push("a return to launch at the end (--end)".to_owned());
        }
        if self.as_route.hold_s.is_none() && self.line.points.iter().all(|point| point.hold.is_none()) {
            taken.push("no hold at any point (--hold-s)".to_owned());
        }
        if !taken.is_empty() {
            self.notes.push(format!("the file doesn't say it, so it is taken: {}", taken.join("; ")));
        }
        if let Some(reference) = base.reference {
            let all = heights.iter().map(|height| height.get());
            let (lowest, highest) = (all.clone().min().unwrap_or(0), all.max().unwrap_or(0));
            self.notes.push(format!(
                "heights {} became {} to {} m above launch",
                reference.word(),
                metres(lowest),
                metres(highest)
            ));
        }
        if self.rounded > 0 {
            self.notes.push(format!(
                "{} points or measures were finer than 1e-7 degree (at most 1.2 cm) or than 0.01, and are rounded to the nearest: it is the rounded route that is judged",
                self.rounded
            ));
        }
    }
}
