//! `pinfold board compare`: are a route and limits those that the board holds?

use std::{io::Write as _, process::ExitCode};

use pinfold_core::fingerprint::Fingerprint;
use serde_json::{Value, json};

use super::{Link, PackedLimits, PackedRoute, row};
use crate::{
    arguments::board::{Files, Line},
    board::{conversation::Conversation, words::held},
    commands::{Done, print},
};

/// What differs.
const DIFFERENT: u8 = 1;

/// A fingerprint of a file, and the board's.
struct Pair {
    file: Fingerprint,
    board: Option<Fingerprint>,
}

impl Pair {
    fn same(&self) -> bool {
        self.board == Some(self.file)
    }

    fn cells(&self, other: &str) -> [String; 3] {
        let said = match (self.same(), self.board) {
            (true, _) => "the same",
            (false, Some(_)) => "different",
            (false, None) => other,
        };
        [self.file.to_string(), held(self.board), said.to_owned()]
    }

    fn object(&self) -> Value {
        let board = self.board.map(|board| board.to_string());
        json!({ "file": self.file.to_string(), "board": board, "same": self.same() })
    }
}

/// Compares fingerprints.
pub(super) fn run(files: &Files, line: &Line) -> Done {
    let limits = PackedLimits::read(&files.limits)?;
    let route = PackedRoute::read(files, &limits.held)?;
    let status = Link::open(line)?.ask(Conversation::status)?;
    let route = Pair { file: route.fingerprint, board: status.route };
    let limits = Pair { file: limits.fingerprint, board: status.limits };
    let same = route.same() && limits.same();
    print(|out| {
        if line.json {
            let both = json!({ "same": same, "route": route.object(), "limits": limits.object() });
            return writeln!(out, "{both:#}");
        }
        row(out, "", &["file".into(), "board".into()])?;
        row(out, "route", &route.cells("the board holds no route that is Go"))?;
        row(out, "limits", &limits.cells("the board holds no limits"))
    })?;
    Ok(if same { ExitCode::SUCCESS } else { ExitCode::from(DIFFERENT) })
}
