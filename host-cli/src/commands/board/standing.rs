//! How things stand on a board, for people and for programs.

use std::io::{self, Write};

use pinfold_core::{
    interlock::Flight,
    link::{Advice, Status},
};
use serde_json::{Value, json};

use crate::{
    board::{
        waits::waits,
        words::{advice, flight, held, stage},
    },
    report::{json::finding, people::folded, words::rule},
};

/// One line for each thing.
pub(super) fn write(out: &mut impl Write, status: &Status) -> io::Result<()> {
    for (name, what) in lines(status) {
        folded(out, &format!("{name}: {what}"), 4)?;
    }
    Ok(())
}

/// All in one line.
pub(super) fn line(status: &Status) -> String {
    lines(status).map(|(name, what)| format!("{name}: {what}")).join("; ")
}

fn lines(status: &Status) -> [(&'static str, String); 7] {
    let (name, meaning) = stage(status.stage);
    let waiting = status.waits.map(|waiting| format!("{}: {}", rule(waiting.rule), waits(&waiting)));
    [
        ("stage", format!("{name} ({meaning})")),
        ("permit", if status.stage.has_permit() { "active" } else { "inactive" }.into()),
        ("limits", held(status.limits)),
        ("route", held(status.route)),
        ("waits for", waiting.unwrap_or_else(|| "nothing".into())),
        ("flight", flight(status.flight).into()),
        ("advice", advice(status.advice).into()),
    ]
}

/// The same for programs.
pub(super) fn object(status: &Status) -> Value {
    let (name, meaning) = stage(status.stage);
    json!({
        "stage": name,
        "means": meaning,
        "permit": status.stage.has_permit(),
        "limits": status.limits.map(|limits| limits.to_string()),
        "route": status.route.map(|route| route.to_string()),
        "waits": status.waits.map(|waiting| finding(&waiting, None, waits(&waiting))),
        "flight": status.flight.map(|flight| match flight {
            Flight::Ground => "ground",
            Flight::Flying => "flying",
        }),
        "advice": match status.advice {
            Advice::None => "none",
            Advice::DoNotFollow => "do-not-follow",
            Advice::TurnBack => "turn-back",
        },
    })
}
