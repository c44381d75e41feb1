//! `pinfold board route`: two verdicts on the same bytes, made apart from each other.

mod answer;

use std::{path::Path, process::ExitCode};

use pinfold_core::{
    check::check,
    fingerprint::Fingerprint,
    interlock::Stage,
    link::Status,
    model::store,
    rules::Readings,
    verdict::{Outcome, Subject, Verdict},
    wire::verdict::pack_verdict,
};

use super::{Link, PackedLimits, PackedRoute};
use crate::{
    arguments::board::{Files, Line},
    board::{
        conversation::Conversation,
        difference,
        load::judge,
        progress::Progress,
        words::{held, refusal},
    },
    commands::{Done, NO_GO, UNUSABLE, print},
    problem::Problem,
};
use answer::Answer;

/// What holding the two verdicts side by side gives.
enum Comparison {
    /// They are the same, byte for byte.
    Same,
    /// They aren't, which must not be: here first.
    Different(String),
    /// The board judges from where the aircraft is, which only it knows.
    InFlight,
}

/// Loads a route, and holds the board's verdict beside the one made here.
pub(super) fn run(files: &Files, line: &Line) -> Done {
    let limits = PackedLimits::read(&files.limits)?;
    let route = PackedRoute::read(files, &limits.held)?;
    let sound = limits.sound(&files.limits)?;
    let here = judged_here(sound, &route, limits.fingerprint);
    let mut link = Link::open(line)?;
    link.ask(|talk| talk.has_room_for_steps(route.route.steps.len()))?;
    let before = link.ask(Conversation::status)?;
    ready(&link, &before, limits.fingerprint, &files.limits)?;
    let mut progress = Progress::new("route", route.bytes.len(), line.json);
    let (packed, board) = link.ask(|talk| judge(talk, &route.bytes, &mut |taken| progress.taken(taken)))?;
    let comparison = if before.aloft() { Comparison::InFlight } else { compared(&here, &board, &packed) };
    its_own(&link, &board, route.fingerprint)?;
    let after = link.ask(Conversation::status)?;
    let answer = Answer { limits: sound, route: &route, here, board, comparison, status: after };
    print(|out| if line.json { writeln_json(out, &answer) } else { answer.write(out) })?;
    Ok(answer.exit_code())
}

fn writeln_json(out: &mut impl std::io::Write, answer: &Answer<'_>) -> std::io::Result<()> {
    writeln!(out, "{:#}", answer.json())
}

/// The verdict on the packed bytes that is made here.
fn judged_here(limits: store::Limits<'_>, route: &PackedRoute, held: Fingerprint) -> Verdict {
    let subject = Subject { route: route.fingerprint, limits: held };
    let (launch, steps) = (route.route.launch.clone(), route.route.steps.iter().copied());
    check(limits, launch, Readings::NONE, steps, subject)
}

/// Demands that the board can judge, and by these limits: by others its permit would not mean what is shown here.
fn ready(link: &Link<'_>, status: &Status, limits: Fingerprint, file: &Path) -> Result<(), Problem> {
    if status.stage == Stage::Faulty {
        let why = refusal(pinfold_core::link::Refusal::Faulty);
        return Err(link.problem(why.say).help(why.help));
    }
    if status.limits == Some(limits) {
        return Ok(());
    }
    let (say, file) = (held(status.limits), file.display());
    let say = match status.limits {
        Some(_) => format!("the board holds other limits, {say}; {file} is {limits}; the route was not sent"),
        None => format!("the board holds no limits; {file} is {limits}; the route was not sent"),
    };
    Err(link
        .problem(say)
        .help(format!("load them with `pinfold board limits {file}`, or name those that the board holds")))
}

/// Demands that the board's verdict is about this route, or about none: then it says why it didn't judge.
fn its_own(link: &Link<'_>, board: &Verdict, route: Fingerprint) -> Result<(), Problem> {
    let about = board.subject.route;
    if about == route || (about == Fingerprint::NONE && board.outcome() == Outcome::NoGo) {
        return Ok(());
    }
    let say = format!("the board's verdict is about another route, {about}; the file is {route}");
    Err(link.problem(say).help("does another program talk to the board? Load the route again"))
}

/// Holds the packed verdicts side by side.
fn compared(here: &Verdict, board: &Verdict, board_bytes: &[u8]) -> Comparison {
    let mut bytes = Vec::new();
    pack_verdict(here, &mut |piece| bytes.extend_from_slice(piece));
    if bytes == board_bytes {
        return Comparison::Same;
    }
    let at = bytes.iter().zip(board_bytes).take_while(|(here, board)| here == board).count();
    Comparison::Different(difference::first(here, board).unwrap_or_else(|| format!("byte {at} of the packed verdicts")))
}

impl Answer<'_> {
    /// Of two verdicts that differ neither counts.
    fn exit_code(&self) -> ExitCode {
        match (&self.comparison, self.board.outcome()) {
            (Comparison::Different(_), _) => ExitCode::from(UNUSABLE),
            (Comparison::Same | Comparison::InFlight, Outcome::Go) => ExitCode::SUCCESS,
            (Comparison::Same | Comparison::InFlight, Outcome::NoGo) => ExitCode::from(NO_GO),
        }
    }
}
