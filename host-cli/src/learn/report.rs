//! What was learned, as the section of limits.toml with its origin above it.

use std::{fmt::Write as _, path::Path};

use super::{
    columns::Motion,
    fit::{Bin, Learned, UPPER},
    log::Log,
    samples::Samples,
    steady::{ENOUGH, Flight},
};

/// Everything that is told.
pub(crate) struct Report<'a> {
    pub(crate) path: &'a Path,
    pub(crate) log: &'a Log,
    pub(crate) samples: &'a Samples,
    pub(crate) flight: &'a Flight,
    pub(crate) learned: &'a Learned,
}

impl Report<'_> {
    /// The section, ready to be pasted.
    pub(crate) fn text(&self) -> String {
        let mut text = String::new();
        for line in [self.origin(), self.support(), self.left(), self.not_counted()].concat() {
            // Writing into a text can't fail.
            let _ = writeln!(text, "# {line}");
        }
        let _ = writeln!(text, "[power]\n{}", self.learned.table);
        match &self.learned.climb {
            Some(climb) => writeln!(text, "climb_w = {}.0", climb.watts),
            None => writeln!(text, "# climb_w isn't known: see above."),
        }
        .ok();
        text
    }

    fn origin(&self) -> Vec<String> {
        let names: Vec<String> = self.log.columns.all().iter().map(|column| shown(&column.name)).collect();
        let speed = match self.log.columns.motion {
            Motion::Speed(_) => "The log's speed",
            Motion::Position { .. } => "Speed between positions",
        };
        vec![
            format!(
                "Learned from {}: {} rows, {:.1} a second; columns {}.",
                shown(&self.path.display().to_string()),
                self.log.rows.len(),
                1.0 / self.samples.interval,
                names.join(", ")
            ),
            format!("{speed} is taken for airspeed: a log knows no wind. Learn on a calm day: in wind, hovering is flying"),
            "  at the wind's speed, which takes less. Fly every speed out and back: the way that takes more then counts.".to_owned(),
            "True for this aircraft with this load, pack and propellers, in air like that day's.".to_owned(),
        ]
    }

    /// What each speed rests on.
    fn support(&self) -> Vec<String> {
        let row = |bin: &Bin| format!("{:>8.1} {:>8.1} {:>8.1}", bin.speed, bin.seconds, bin.upper);
        let head = format!(
            "{:>8} {:>8} {:>8}  steady level flight; {:.0} % of the time took no more",
            "m/s",
            "s",
            "W",
            UPPER * 100.0
        );
        let climb = match &self.learned.climb {
            Some(climb) => format!(
                "climb_w is for climbing at {:.1} m/s ({:.1} s): no more as climb_m_s in [aircraft].",
                climb.rate, climb.seconds
            ),
            None => format!(
                "climb_w isn't known: {:.1} s of steady climbing, {ENOUGH} s at one rate are needed. Climb for 15 s.",
                self.learned.climbed
            ),
        };
        [vec![head], self.learned.bins.iter().map(row).collect(), vec![climb]].concat()
    }

    /// Speeds that the table isn't made from.
    fn left(&self) -> Vec<String> {
        let end = self.learned.table.end();
        let few = |bin: &&Bin| bin.seconds < ENOUGH;
        let list = |bins: Vec<&Bin>| -> Vec<String> {
            bins.iter().map(|bin| format!("{} m/s ({:.1} s)", bin.whole, bin.seconds)).collect()
        };
        let (few, apart): (Vec<&Bin>, Vec<&Bin>) = self.learned.left.iter().partition(few);
        let mut lines = vec![format!("The table ends at {end:.1} m/s.")];
        if !few.is_empty() {
            lines.push(format!("Too little to count at {}: {ENOUGH} s are needed.", list(few).join(", ")));
        }
        if !apart.is_empty() {
            let apart = list(apart).join(", ");
            lines.push(format!("Not joined, since nothing is known of the speeds before: {apart}."));
        }
        lines
    }

    /// What isn't used.
    fn not_counted(&self) -> Vec<String> {
        let (skipped, samples) = (self.log.skipped, self.samples);
        let parts = [
            (skipped.incomplete, counted(skipped.incomplete, "row") + " with an empty cell or no number"),
            (skipped.implausible, counted(skipped.implausible, "row") + " with a number that can't be meant"),
            (samples.repeated, counted(samples.repeated, "row") + " with the time of the row before"),
            (samples.pauses, format!("{}, {:.1} s", counted(samples.pauses, "pause"), samples.paused)),
            (samples.backwards, counted(samples.backwards, "jump") + " back in time"),
            (usize::from(self.flight.idle > 0.0), format!("{:.1} s on the ground", self.flight.idle)),
            (usize::from(self.flight.other > 0.0), format!("{:.1} s neither steady nor level", self.flight.other)),
        ];
        let there = parts.into_iter().filter(|(count, _)| *count > 0);
        there.map(|(_, part)| format!("Not counted: {part}.")).collect()
    }
}

/// So many things of a kind.
fn counted(count: usize, thing: &str) -> String {
    if count == 1 { format!("1 {thing}") } else { format!("{count} {thing}s") }
}

/// A text from outside, on one line and without anything that moves the cursor.
fn shown(text: &str) -> String {
    text.escape_debug().to_string()
}
