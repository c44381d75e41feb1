//! A route as route.toml.

use std::fmt::Write as _;

use pinfold_core::model::route::Step;

use super::{degrees, hundredths, quoted};
use crate::read::Route;

/// The text of a route.
pub(crate) fn text(route: &Route) -> String {
    let launch = &route.launch;
    let mut text = format!(
        "name = {}\n\n[launch]\nlat = {}\nlon = {}\n",
        quoted(&launch.name),
        degrees(launch.position.latitude.get()),
        degrees(launch.position.longitude.get())
    );
    if let Some(elevation) = launch.elevation {
        let _ = writeln!(text, "elevation_m = {}", hundredths(elevation.get()));
    }
    text.push_str("\n[defaults]\nheights = \"above-launch\"\n");
    route.steps.iter().for_each(|one| step(&mut text, one));
    text
}

fn step(text: &mut String, step: &Step) {
    let mut line = |key: &str, value: String| {
        let _ = writeln!(text, "{key} = {value}");
    };
    line("\n[[step]]\ndo", quoted(doing(step)));
    match step {
        Step::Climb { height } => line("height_m", hundredths(height.get())),
        Step::Fly { to, height, speed, hold } => {
            line("lat", degrees(to.latitude.get()));
            line("lon", degrees(to.longitude.get()));
            line("height_m", hundredths(height.get()));
            line("speed_m_s", hundredths(speed.get()));
            if hold.get() > 0 {
                line("hold_s", hundredths(hold.get()));
            }
        }
        Step::Hold { time } => line("seconds", hundredths(time.get())),
        Step::Land | Step::Return => {}
    }
}

/// The word for what a step does.
fn doing(step: &Step) -> &'static str {
    match step {
        Step::Climb { .. } => "climb",
        Step::Fly { .. } => "fly",
        Step::Hold { .. } => "hold",
        Step::Land => "land",
        Step::Return => "return",
    }
}
