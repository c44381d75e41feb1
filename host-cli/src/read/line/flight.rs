//! From a line to a route: what the file doesn't say comes from options, or from defaults that are said.
//!
//! The route that is judged is the one that this makes, which its packed bytes carry: whatever is rounded or converted on the way
//! is said, and a Go is about the result.

use pinfold_core::{
    geometry::position::Position,
    model::{
        Name,
        route::{Launch, STEPS, Step},
    },
    units::{Duration, Height, Speed},
};

use super::{Line, Number, Point, heights::Base, told::Told};
use crate::{
    arguments::route::{AsRoute, End},
    problem::{Problem, Source},
    read::{Limits, Route, quantity, take::fitting_name},
    report::people::printable,
    text::{decimal::written, table::Quantity},
};

/// Steps that aren't points: the climb, a hold at its end, and what ends the route.
const OTHERS: usize = 3;

/// The making of one route.
struct Maker<'a> {
    source: &'a Source,
    line: &'a Line,
    as_route: &'a AsRoute,
    told: Told,
}

/// Makes a route of a line.
pub(super) fn route(
    source: &Source, line: &Line, limits: Option<&Limits>, as_route: &AsRoute, mut notes: Vec<String>,
) -> Result<Route, Problem> {
    let mut maker = Maker { source, line, as_route, told: Told::default() };
    maker.long_enough()?;
    let places = line.points.iter().map(|point| maker.place(point)).collect::<Result<Vec<_>, _>>()?;
    let start = as_route.launch.unwrap_or(places[0]);
    let base = Base::new(source, line, start, limits, as_route, &mut notes)?;
    let heights = line.points.iter().zip(&places).map(|(point, place)| maker.height(point, *place, &base));
    let heights = heights.collect::<Result<Vec<_>, _>>()?;
    let steps = maker.steps(&places, &heights)?;
    let launch = Launch { name: maker.name()?, position: start, elevation: as_route.elevation_m };
    notes.extend(maker.told.notes(&launch, as_route, &base, &heights));
    let path = source.path.display();
    Ok(Route { launch, steps, notes: notes.into_iter().map(|note| format!("{path}: {note}")).collect() })
}

impl Maker<'_> {
    /// Demands that there is somewhere to fly to, and not too much of it.
    fn long_enough(&self) -> Result<(), Problem> {
        let points = self.line.points.len();
        let problem = |say: String| self.source.problem(self.line.span.clone(), say);
        let least = if self.as_route.launch.is_some() { 1 } else { 2 };
        if points < least {
            let say = if points == 0 { "a line without points" } else { "a line of one point leads nowhere" };
            return Err(
                problem(say.into()).help("the first point is where the aircraft starts, unless --launch says it")
            );
        }
        let most = STEPS - OTHERS;
        if points > most {
            return Err(problem(format!("{points} points; {most} are the most")).help("split the line"));
        }
        Ok(())
    }

    fn place(&mut self, point: &Point) -> Result<Position, Problem> {
        let latitude = point.latitude.nearest(self.source, "the latitude", quantity::LATITUDE)?;
        let longitude = point.longitude.nearest(self.source, "the longitude", quantity::LONGITUDE)?;
        self.told.places += usize::from(latitude.moved || longitude.moved);
        let problem = || self.source.problem(point.span.clone(), "this is no place on Earth");
        Position::new(latitude.count, longitude.count).ok_or_else(problem)
    }

    /// The nearest count of a measure; that digits are lost is counted.
    fn measure<T>(
        &mut self, number: &Number, what: &str, quantity: Quantity, make: fn(i32) -> Option<T>,
    ) -> Result<T, Problem> {
        let rounded = number.nearest(self.source, what, quantity)?;
        self.told.measures += usize::from(rounded.moved);
        let problem = || self.source.problem(number.span.clone(), format!("{what} is out of range"));
        make(rounded.count).ok_or_else(problem)
    }

    fn height(&mut self, point: &Point, place: Position, base: &Base<'_>) -> Result<Height, Problem> {
        match (point.height.as_ref().filter(|_| base.reference.is_some()), self.as_route.height_m) {
            (Some(number), _) => {
                let height = self.measure(number, "the height", quantity::HEIGHT, Height::new)?;
                let (above, converted) = base.above_launch(height.get(), place, number.span.clone())?;
                self.told.base(converted.base);
                Ok(above)
            }
            (None, Some(height)) if base.reference.is_none() => Ok(height),
            (None, _) => {
                let problem = self.source.problem(point.span.clone(), "this point has no height");
                Err(match base.reference {
                    Some(_) => problem.help("others of the line have one: write one here, too"),
                    None => problem.help("give --height-m H: the height above launch of all points"),
                })
            }
        }
    }

    fn steps(&mut self, places: &[Position], heights: &[Height]) -> Result<Vec<Step>, Problem> {
        let (line, at_first) = (self.line, self.as_route.launch.is_none());
        let mut steps = vec![Step::Climb { height: self.climb(heights[0])? }];
        let (mut speeds, mut holds) = (0, 0);
        for (index, ((point, to), height)) in line.points.iter().zip(places).zip(heights).enumerate() {
            let hold = self.hold(point)?;
            holds += usize::from(point.hold.is_none());
            if index == 0 && at_first {
                // The climb ends where the line begins.
                steps.extend((hold != Duration::NONE).then_some(Step::Hold { time: hold }));
                continue;
            }
            speeds += usize::from(point.speed.is_none());
            steps.push(Step::Fly { to: *to, height: *height, speed: self.speed(point)?, hold });
        }
        self.demand_use("--speed", self.as_route.speed.is_some(), speeds)?;
        self.demand_use("--hold-s", self.as_route.hold_s.is_some(), holds)?;
        self.told.without_hold = holds > 0;
        steps.push(match self.as_route.end.unwrap_or(End::Return) {
            End::Return => Step::Return,
            End::Land => Step::Land,
        });
        Ok(steps)
    }

    /// An option that changes nothing is a mistake.
    fn demand_use(&self, option: &str, given: bool, uses: usize) -> Result<(), Problem> {
        if !given || uses > 0 {
            return Ok(());
        }
        let say = format!("{option} is for points that don't say it, and every point of this line does");
        Err(self.source.problem(self.line.span.clone(), say).help("leave it out, or take the column out of the file"))
    }

    fn climb(&self, first: Height) -> Result<Height, Problem> {
        match self.as_route.climb_to_m {
            Some(height) => Ok(height),
            None if first.get() > 0 => Ok(first),
            None => {
                let at = written(i64::from(first.get()), 2);
                let say = format!("the first point is {at} m above launch: that is nothing to climb to");
                let problem = self.source.problem(self.line.points[0].span.clone(), say);
                Err(problem.help("give --climb-to-m H, the height above launch that is climbed to first; or are heights measured from something else (--heights)?"))
            }
        }
    }

    fn speed(&mut self, point: &Point) -> Result<Speed, Problem> {
        let missing = || {
            let problem =
                self.source.problem(point.span.clone(), "nothing says how fast the aircraft flies to this point");
            problem.help("give --speed M_S: over ground, on every leg without one of its own")
        };
        match &point.speed {
            None => self.as_route.speed.ok_or_else(missing),
            Some(number) => self.measure(number, "the speed", quantity::SPEED, Speed::new),
        }
    }

    fn hold(&mut self, point: &Point) -> Result<Duration, Problem> {
        match &point.hold {
            None => Ok(self.as_route.hold_s.unwrap_or(Duration::NONE)),
            Some(number) => self.measure(number, "the time", quantity::DURATION, Duration::new),
        }
    }

    fn name(&self) -> Result<Name, Problem> {
        let of_file = || self.source.path.file_stem().map(|name| name.to_string_lossy().into_owned());
        let given = self.as_route.name.clone().or_else(|| self.line.name.clone());
        let name = given.or_else(of_file).unwrap_or_default();
        fitting_name(&name).map_err(|say| {
            let say = format!("the route can't be called \"{}\": {say}", printable(&name));
            Problem::file(&self.source.path, say).help("give --name NAME")
        })
    }
}
