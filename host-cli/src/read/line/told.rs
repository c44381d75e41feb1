//! What is said of the making of a route: what was taken because the file doesn't say it, and what became of its numbers.

use pinfold_core::{model::route::Launch, units::Height};

use super::heights::Base;
use crate::{
    arguments::route::{AsRoute, Heights},
    report::people::printable,
    text::decimal::written,
};

/// What happened to numbers.
#[derive(Default)]
pub(super) struct Told {
    /// How many places lost digits.
    pub(super) places: usize,
    /// How many heights, speeds and times did.
    pub(super) measures: usize,
    /// Whether some point doesn't say how long to stay.
    pub(super) without_hold: bool,
    /// Between which heights of ground or geoid, in 0.01 m, the points are.
    bases: Option<(i32, i32)>,
}

impl Told {
    /// Counts in the height of ground or geoid at a point.
    pub(super) fn base(&mut self, base: i32) {
        let (lowest, highest) = self.bases.unwrap_or((base, base));
        self.bases = Some((lowest.min(base), highest.max(base)));
    }

    /// All there is to say.
    pub(super) fn notes(
        &self, launch: &Launch, as_route: &AsRoute, base: &Base<'_>, heights: &[Height],
    ) -> Vec<String> {
        let notes = [Some(self.taken(launch, as_route, heights)), self.converted(base, heights), self.rounded()];
        notes.into_iter().flatten().chain(replaced(as_route, heights)).collect()
    }

    /// What was taken for granted.
    fn taken(&self, launch: &Launch, as_route: &AsRoute, heights: &[Height]) -> String {
        let defaults = [
            (as_route.launch.is_none(), "launch at the line's first point (--launch)".to_owned()),
            (
                as_route.climb_to_m.is_none(),
                format!("a climb to {} m above launch (--climb-to-m)", metres(heights[0].get())),
            ),
            (as_route.end.is_none(), "a return to launch at the end (--end)".to_owned()),
            (
                self.without_hold && as_route.hold_s.is_none(),
                "no stay at points that don't ask for one (--hold-s)".to_owned(),
            ),
            (as_route.name.is_none(), format!("the name \"{}\" (--name)", printable(&launch.name))),
        ];
        let taken: Vec<String> = defaults.into_iter().filter(|(is, _)| *is).map(|(_, what)| what).collect();
        if taken.is_empty() {
            "nothing had to be taken for granted".into()
        } else {
            format!("taken: {}", taken.join("; "))
        }
    }

    /// What heights became.
    fn converted(&self, base: &Base<'_>, heights: &[Height]) -> Option<String> {
        let reference = base.reference.filter(|reference| *reference != Heights::Launch)?;
        let all = || heights.iter().map(|height| height.get());
        let above = between(all().min()?, all().max()?);
        let launch =
            base.launch().map_or_else(String::new, |launch| format!("launch at {} m above the sea", metres(launch)));
        let used = || self.bases.map_or_else(String::new, |(lowest, highest)| between(lowest, highest));
        let how = match reference {
            Heights::Launch | Heights::Sea => format!(": {launch}"),
            Heights::Ground => format!(": the ground at the points {} m, {launch}; straight between them", used()),
            Heights::Ellipsoid => {
                format!(": the geoid (EGM96) {} m above the ellipsoid, {launch}, each to 0.01 m", used())
            }
        };
        Some(format!("heights {} are {above} m above launch{how}", reference.word()))
    }

    /// What lost digits.
    fn rounded(&self) -> Option<String> {
        let places = (self.places > 0)
            .then(|| format!("{} positions to 1e-7 degree, which moves them by 8 mm at most", self.places));
        let measures = (self.measures > 0).then(|| format!("{} heights, speeds or times to 0.01", self.measures));
        let all: Vec<String> = places.into_iter().chain(measures).collect();
        (!all.is_empty()).then(|| format!("rounded: {}. What is judged is the rounded route", all.join("; ")))
    }
}

/// The first point's height goes where a climb of its own is asked for, and the first point is launch.
fn replaced(as_route: &AsRoute, heights: &[Height]) -> Option<String> {
    let climb = as_route.climb_to_m.filter(|climb| as_route.launch.is_none() && *climb != heights[0])?;
    let [climb, first] = [climb, heights[0]].map(|height| metres(height.get()));
    Some(format!("the climb to {climb} m above launch takes the place of the first point's height, {first} m"))
}

fn metres(height: i32) -> String {
    written(i64::from(height), 2)
}

fn between(lowest: i32, highest: i32) -> String {
    if lowest == highest { metres(lowest) } else { format!("{} to {}", metres(lowest), metres(highest)) }
}
