//! What can go wrong between a laptop and a board, and what to do about it.

use std::{io, path::Path, time::Duration};

use pinfold_core::{link::Refusal, wire::Fault};

use super::{
    conversation::TIMES,
    load::BEGINNINGS,
    ports::address,
    words::{Sentence, refusal},
};
use crate::problem::Problem;

/// What went wrong.
#[derive(Debug)]
pub(crate) enum Trouble {
    /// The line itself fails.
    Line(io::Error),
    /// No answer came.
    Silent(Silence),
    /// The board is of another version.
    Version { what: &'static str, board: u8, here: u8 },
    /// It answers something that isn't known here.
    Unknown(String),
    /// It answers another question than this one.
    Astray(String),
    /// It can't hold so much.
    TooSmall { what: &'static str, board: usize, needed: usize },
    /// It doesn't do what it is asked.
    Refused(Refusal),
    /// What was begun was never finished.
    NeverWhole,
    /// Its verdict is none.
    BadVerdict(Fault),
}

/// A question without an answer.
#[derive(Debug)]
pub(crate) struct Silence {
    /// What was asked.
    pub(crate) asked: String,
    /// How long each answer was waited for.
    pub(crate) wait: Duration,
    /// Bytes that came meanwhile, of which no answer could be made.
    pub(crate) bytes: usize,
    /// Whether the board has answered other questions before.
    pub(crate) before: bool,
}

impl Trouble {
    /// For people, with what to do; the port stands for the file.
    pub(crate) fn problem(&self, port: &str) -> Problem {
        let Sentence { say, help } = self.sentence(port);
        Problem::file(Path::new(port), say).help(help)
    }

    fn sentence(&self, port: &str) -> Sentence {
        let same = "put the same version of pinfold on the board and on this computer";
        match self {
            Self::Line(error) if error.kind() == io::ErrorKind::UnexpectedEof => {
                Sentence::new("the other side has closed the line", "is the board still there? Then try again")
            }
            Self::Line(error) => {
                Sentence::new(format!("the line fails: {error}"), "is the board still plugged in? Then try again")
            }
            Self::Silent(silence) => silence.sentence(port),
            Self::Version { what, board, here } => Sentence::new(
                format!("the {what}: the board has {board}, this program {here}; nothing more was sent"),
                same,
            ),
            Self::Unknown(asked) => {
                Sentence::new(format!("the board's answer to {asked} isn't known here; nothing more was sent"), same)
            }
            Self::Astray(asked) => Sentence::new(
                format!("the board's answer to {asked} belongs to another question; nothing more was sent"),
                "does another program talk to the board? Then end it, and try again",
            ),
            Self::TooSmall { what, board, needed } => Sentence::new(
                format!("the board holds {board} {what}, and this has {needed}; nothing was loaded"),
                "make it smaller, or take a board that holds more",
            ),
            Self::Refused(why) => refusal(*why),
            Self::NeverWhole => Sentence::new(
                format!("the board lost what was begun, {BEGINNINGS} times"),
                "does it start again and again (its power), does another program talk to it?",
            ),
            Self::BadVerdict(fault) => Sentence::new(
                format!("what the board sends is no verdict ({:?} at byte {})", fault.reason, fault.offset),
                "don't fly with this board; does it hold the same version of pinfold?",
            ),
        }
    }
}

impl Silence {
    fn sentence(&self, port: &str) -> Sentence {
        let seconds = self.wait.as_secs_f64();
        let came = match self.bytes {
            0 => "nothing came".to_owned(),
            bytes => format!("{bytes} bytes came, and no answer among them"),
        };
        let say = format!("no answer to {}: asked {TIMES} times, {seconds:.1} s each; {came}", self.asked);
        Sentence::new(say, self.where_to_look(port))
    }

    fn where_to_look(&self, port: &str) -> &'static str {
        match (self.before, self.bytes, address(port)) {
            (true, ..) => "the board has answered before: is a wire loose, is it out of reach, has it lost its power?",
            (false, 0, Some(_)) => "is this the port of the link, not of a log; is another program connected to it?",
            (false, _, Some(_)) => "is this the port of the link, not of a log?",
            (false, 0, None) => {
                "look at the board's power, at the wiring (its TX to RX here, RX to TX, ground to ground), and whether this is its port (`pinfold board ports`) and nothing else uses it"
            }
            (false, _, None) => {
                "is the baud rate right (--baud), is this the port of the link, not of a log; does another program use it?"
            }
        }
    }
}
