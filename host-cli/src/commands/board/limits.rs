//! `pinfold board limits`: the only way in for limits, and only while somebody stands beside the board.

use std::{io::Write as _, path::Path, process::ExitCode};

use pinfold_core::wire::Kind;
use serde_json::json;

use super::{Link, PackedLimits, row};
use crate::{
    arguments::board::Line,
    board::{conversation::Conversation, load::load, progress::Progress, words::held},
    commands::{Done, print},
};

/// Loads limits, and demands that the board then holds the very same.
pub(super) fn run(path: &Path, line: &Line) -> Done {
    let packed = PackedLimits::read(path)?;
    let mut link = Link::open(line)?;
    let sound = packed.sound(path)?;
    link.ask(|talk| talk.has_room_for_limits(sound))?;
    if !line.json {
        print(|out| writeln!(out, "Hold the board's load input (button or jumper) until this ends."))?;
    }
    let mut progress = Progress::new("limits", packed.bytes.len(), line.json);
    link.ask(|talk| load(talk, Kind::Limits, &packed.bytes, &mut |taken| progress.taken(taken)))?;
    let now = link.ask(Conversation::status)?.limits;
    if now != Some(packed.fingerprint) {
        let (now, file) = (held(now), packed.fingerprint);
        let problem = link.problem(format!("the board took the limits, and holds {now}; the file is {file}"));
        return Err(problem
            .help("does another program talk to the board? Load them again, and don't fly before they are the same"));
    }
    let fingerprint = packed.fingerprint.to_string();
    print(|out| {
        if line.json {
            let same = json!({ "file": fingerprint, "board": fingerprint, "same": true, "bytes": packed.bytes.len() });
            return writeln!(out, "{same:#}");
        }
        row(out, "file", std::slice::from_ref(&fingerprint))?;
        row(out, "board", std::slice::from_ref(&fingerprint))?;
        writeln!(out, "The same: the board holds these limits. Let the load input go.")
    })?;
    Ok(ExitCode::SUCCESS)
}
