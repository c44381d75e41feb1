//! What boards do and ask, as people read it.

use pinfold_core::{
    fingerprint::Fingerprint,
    interlock::{Flight, Stage},
    link::{Advice, Ask, Refusal},
    wire::Kind,
};

/// What is wrong, and what to do.
#[derive(Debug)]
pub(crate) struct Sentence {
    pub(crate) say: String,
    pub(crate) help: String,
}

impl Sentence {
    pub(crate) fn new(say: impl Into<String>, help: impl Into<String>) -> Self {
        Self { say: say.into(), help: help.into() }
    }
}

/// What is asked.
pub(crate) fn asked(ask: &Ask) -> String {
    match ask {
        Ask::Hello => "hello".into(),
        Ask::Begin(Kind::Limits) => "the begin of limits".into(),
        Ask::Begin(Kind::Route | Kind::Verdict) => "the begin of a route".into(),
        Ask::Piece { offset, .. } => format!("the piece from byte {offset} on"),
        Ask::Verdict { offset } => format!("the verdict from byte {offset} on"),
        Ask::Readings(_) => "readings".into(),
        Ask::Status => "the status".into(),
    }
}

/// Why the board doesn't do what it is asked.
pub(crate) fn refusal(refusal: Refusal) -> Sentence {
    match refusal {
        Refusal::Unknown => Sentence::new(
            "the board doesn't know what it was asked",
            "put the same version of pinfold on the board and on this computer",
        ),
        Refusal::NotHeld => Sentence::new(
            "the board takes limits only while its load input is held, and it isn't, or was let go too early; what it held before holds again",
            "hold the button, or set the jumper, from before this command until it ends",
        ),
        Refusal::Latched => Sentence::new(
            "the aircraft flies, for all that the board knows, and has a permit: its limits stay",
            "load them on the ground: once its wire has told the board so for ten seconds, or after a restart of the board",
        ),
        Refusal::NothingBegun => {
            Sentence::new("the board lost what was begun", "try again; does another program talk to the board?")
        }
        Refusal::BadLimits => Sentence::new(
            "the board can't make limits of what it got; what it held before holds again",
            "put the same version of pinfold on the board and on this computer, and try again",
        ),
        Refusal::Flash => Sentence::new(
            "the board's flash doesn't keep what is written, or there is no room for it",
            "try again; if it stays so, the board can't hold these limits: don't fly with it",
        ),
        Refusal::Faulty => Sentence::new(
            "something is wrong with the board: its self test or its lines failed, and it gives no permit",
            "start it again; if it stays so, don't fly with it",
        ),
    }
}

/// The name of a stage, and what it means.
pub(crate) const fn stage(stage: Stage) -> (&'static str, &'static str) {
    match stage {
        Stage::Faulty => ("faulty", "something is wrong with the board: no permit until it is started again"),
        Stage::Idle => ("idle", "no route is held that was judged"),
        Stage::NoGo => ("no-go", "the route that came last is No-go"),
        Stage::Waiting => ("waiting", "a Go; what is known at the field doesn't stand, or isn't known yet"),
        Stage::Permitted => ("permitted", "a permit, on the ground"),
        Stage::Latched => ("latched", "a permit, in flight for all that is known"),
    }
}

/// Whether the aircraft flies.
pub(crate) const fn flight(flight: Option<Flight>) -> &'static str {
    match flight {
        Some(Flight::Ground) => "on the ground",
        Some(Flight::Flying) => "flying",
        None => "not known",
    }
}

/// What the board advises.
pub(crate) const fn advice(advice: Advice) -> &'static str {
    match advice {
        Advice::None => "none",
        Advice::DoNotFollow => "don't follow the route that came in flight: it is No-go",
        Advice::TurnBack => "turn back now: from where the aircraft is, a return can't be vouched for any more",
    }
}

/// A fingerprint, or a dash where nothing is held.
pub(crate) fn held(fingerprint: Option<Fingerprint>) -> String {
    fingerprint.map_or_else(|| "-".to_owned(), |fingerprint| fingerprint.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_permit_is_active_in_two_stages() {
        let stages = [Stage::Faulty, Stage::Idle, Stage::NoGo, Stage::Waiting, Stage::Permitted, Stage::Latched];
        let active: Vec<_> = stages.into_iter().filter(|stage| stage.has_permit()).collect();
        assert_eq!(active, [Stage::Permitted, Stage::Latched]);
        // Each stage that is active says so, and no other.
        for of in stages {
            assert_eq!(stage(of).1.starts_with("a permit"), of.has_permit());
        }
    }
}
