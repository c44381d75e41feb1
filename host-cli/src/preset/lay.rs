//! A preset laid under limits: of each figure the stricter of the two counts.

use std::path::Path;

use pinfold_core::{
    fingerprint::Fingerprint,
    model::{
        ground::Ground,
        limits::{Contradiction, Figures},
        store::{self, LimitsError, LimitsStore},
    },
    wire::limits::pack_limits,
};

use super::{Figure, Preset, Wanted};
use crate::{
    problem::Problem,
    read::{
        Limits,
        limits_toml::{self, ROUNDED, contradicted, widen},
        site::describe,
    },
};

/// A preset, and what became of its figures.
pub(crate) struct Laid {
    pub(crate) preset: Preset,
    /// What the limits had of each of its figures.
    had: Vec<Option<i32>>,
    /// Of the limits as they are written.
    pub(crate) written: Fingerprint,
}

/// A figure of a preset beside what the limits had.
pub(crate) struct Met<'a> {
    pub(crate) wanted: &'a Wanted,
    pub(crate) had: Option<i32>,
}

impl Laid {
    /// All figures of the preset.
    pub(crate) fn figures(&self) -> impl Iterator<Item = Met<'_>> {
        self.preset.figures.iter().zip(&self.had).map(|(wanted, had)| Met { wanted, had: *had })
    }

    /// Why these limits and this preset can't both be kept: the limits alone are sound.
    fn problem(&self, path: &Path, held: &Limits, figures: &Figures, error: LimitsError) -> Problem {
        let name = &self.preset.name;
        let (section, key, say, help) = match error {
            LimitsError::Contradiction(Contradiction::PositionWithoutLaunch) => {
                let say = format!(
                    "the preset `{name}` asks a board where the aircraft stands: no [launch] says where it must"
                );
                ("launch", "within_m", say, "say with within_m in [launch] how far from launch it may stand")
            }
            LimitsError::Contradiction(why) => {
                let (section, key, say) = contradicted(figures, why);
                (section, key, format!("with the preset `{name}` {say}"), "set the aircraft up so that it keeps both")
            }
            LimitsError::NoGround => {
                let say =
                    format!("the preset `{name}` holds heights above the ground: these limits have no ground data");
                ("heights", "ceiling_above_ground_m", say, "name a file of ground heights with `ground` in [heights]")
            }
            _ => ("name", "", describe(error), "correct the limits"),
        };
        let problem = limits_toml::problem_in(held, path, section, key, &say);
        problem.help(format!("{help}, and write that here; or check without the preset"))
    }
}

impl Met<'_> {
    pub(crate) const fn figure(&self) -> &'static Figure {
        self.wanted.figure
    }

    /// Whether the preset's figure counts.
    pub(crate) fn tightens(&self) -> bool {
        self.figure().tightens(self.wanted.count, self.had)
    }
}

/// Lays a preset under limits: limits that are at least as strict as both.
pub(crate) fn lay(preset: Preset, path: &Path, held: &Limits) -> Result<(Limits, Laid), Problem> {
    let limits = held.sound(path)?;
    let mut figures = limits.figures().clone();
    // What rounded positions need comes on top of whichever margin is the stricter.
    let rounded = if held.widened { ROUNDED } else { 0 };
    widen(&mut figures, -rounded);
    let laid = Laid {
        had: preset.figures.iter().map(|wanted| (wanted.figure.get)(&figures)).collect(),
        written: pack_limits(limits, &mut |_| {}),
        preset,
    };
    for met in laid.figures().filter(Met::tightens) {
        let out_of_range = || Problem::file(path, format!("{} is out of range in the preset", met.figure().name()));
        (met.figure().set)(&mut figures, met.wanted.count).ok_or_else(out_of_range)?;
    }
    widen(&mut figures, rounded);
    let store = with_figures(limits, figures.clone()).map_err(|error| laid.problem(path, held, &figures, error))?;
    Ok((Limits { store, notes: Vec::new(), text: None, widened: held.widened, ground: None }, laid))
}

/// The same limits with other figures.
fn with_figures(limits: store::Limits<'_>, figures: Figures) -> Result<Box<LimitsStore>, LimitsError> {
    let mut store = Box::new(LimitsStore::new());
    store.begin(figures);
    for (index, zone) in limits.zones() {
        store.zone(zone.clone())?;
        for ring in limits.rings(index) {
            store.ring()?;
            ring.iter().try_for_each(|vertex| store.vertex(*vertex))?;
        }
    }
    limits.ground().into_iter().for_each(|ground| store.ground(*ground.plan()));
    limits.ground().map_or(&[][..], Ground::cells).iter().try_for_each(|cell| store.cell(*cell))?;
    store.seal()?;
    Ok(store)
}

#[cfg(test)]
mod tests {
    use pinfold_core::units::Duration;

    use super::*;
    use crate::problem::Source;

    /// The example's limits with a part of their text left out, and this preset laid under them.
    fn laid(left_out: &[&str], readings: &str) -> Result<(Limits, Laid), Problem> {
        let example = Path::new(env!("CARGO_MANIFEST_DIR")).join("example").join("limits.toml");
        let mut source = crate::read::text_file(&example)?;
        for part in left_out {
            assert!(source.text.contains(part), "no {part}");
            source.text = source.text.replacen(part, "", 1);
        }
        let held = Limits { text: Some(source.clone()), ..limits_toml::read(&source)? };
        let text = format!("name = \"fresh\"\nabout = \"invented\"\n[readings]\n{readings}");
        lay(crate::preset::read(&Source { path: "fresh.toml".into(), text })?, &example, &held)
    }

    /// What may be the ages of a position, the pack's voltage and whether it flies, in 0.01 s.
    fn ages(laid: &(Limits, Laid)) -> [Option<i32>; 3] {
        let readings = laid.0.store.limits().expect("sound").figures().readings;
        [readings.position, readings.pack, readings.flight].map(|age| age.map(Duration::get))
    }

    const WITHIN: &str = r#"
position_within_s = { figure = 5.01, source = "invented" }
pack_within_s = { figure = 599.99, source = "invented" }
flight_within_s = { figure = 2.0, source = "invented" }
"#;

    #[test]
    fn of_how_old_a_reading_may_be_the_shorter_time_counts() {
        let both = laid(&[], WITHIN).expect("limits");
        assert_eq!(ages(&both), [Some(500), Some(59_999), Some(200)]);
        let tightened: Vec<String> = both.1.figures().filter(Met::tightens).map(|met| met.figure().name()).collect();
        assert_eq!(tightened, ["[readings] pack_within_s"]);
    }

    #[test]
    fn what_the_limits_leave_out_is_as_the_preset_has_it_and_the_other_way_round() {
        let nothing = ["position_within_s = 5.0\n", "pack_within_s = 600.0\n", "flight_within_s = 2.0\n"];
        let preset = laid(&nothing, WITHIN).expect("limits");
        assert_eq!(ages(&preset), [Some(501), Some(59_999), Some(200)]);
        assert_eq!(preset.1.figures().filter(Met::tightens).count(), 3);
        let limits = laid(&[], "").expect("limits");
        assert_eq!(ages(&limits), [Some(500), Some(60_000), Some(200)]);
    }

    #[test]
    fn a_preset_that_asks_where_the_aircraft_stands_needs_to_be_told_where_it_must() {
        let nowhere = ["[launch]\nwithin_m = 5.0\n", "position_within_s = 5.0\n"];
        let Err(problem) = laid(&nowhere, WITHIN) else { panic!("there is no [launch]") };
        let said = problem.json().to_string();
        for part in ["the preset `fresh` asks a board where the aircraft stands", "within_m in [launch]"] {
            assert!(said.contains(part), "no «{part}» in {said}");
        }
        assert!(laid(&nowhere, "").is_ok());
    }
}
