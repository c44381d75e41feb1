//! What `pinfold board route` prints.

use std::io::{self, Write};

use anstyle::{AnsiColor, Style};
use pinfold_core::{
    geometry::position::Position,
    interlock::{Flight, Stage},
    link::Status,
    model::store::Limits,
    rules::{Aloft, Readings},
    units::{Charge, Height},
    verdict::{Outcome, Verdict},
};
use serde_json::{Value, json};

use super::{Comparison, PackedRoute};
use crate::{
    board::words::{advice, stage},
    commands::board::{row, standing},
    report::{
        Report,
        people::{folded, heading, lower_first, printable},
        words::rule,
    },
};

/// Both verdicts, and how things stand with the board's.
pub(super) struct Answer<'a> {
    pub(super) limits: Limits<'a>,
    pub(super) route: &'a PackedRoute,
    pub(super) here: Verdict,
    pub(super) board: Verdict,
    pub(super) comparison: Comparison,
    pub(super) status: Status,
}

impl Answer<'_> {
    /// For people.
    pub(super) fn write(&self, out: &mut impl Write) -> io::Result<()> {
        self.write_first(out)?;
        row(out, "", &["outcome".into(), "route".into(), "limits".into()])?;
        if !matches!(self.comparison, Comparison::InFlight) {
            write_verdict(out, "here", &self.here)?;
        }
        write_verdict(out, "board", &self.board)?;
        match &self.comparison {
            Comparison::Same => writeln!(out, "The same, byte for byte.")?,
            Comparison::Different(first) => folded(out, &format!("First difference: {first}."), 2)?,
            Comparison::InFlight => {}
        }
        self.report().write_findings(out)?;
        self.write_standing(out)
    }

    /// The answer in one word, and in one sentence.
    fn write_first(&self, out: &mut impl Write) -> io::Result<()> {
        let red = AnsiColor::Red;
        let (word, colour, tail) = match (&self.comparison, self.board.outcome()) {
            (Comparison::Different(_), _) => {
                ("DISAGREEMENT", red, "board and laptop judge the same route differently: don't fly")
            }
            (Comparison::Same, Outcome::Go) => ("GO", AnsiColor::Green, "keeps every limit that is looked at"),
            (Comparison::InFlight, Outcome::Go) => {
                ("GO", AnsiColor::Green, "the board's advice, from where the aircraft is")
            }
            (Comparison::Same, Outcome::NoGo) => ("NO-GO", red, "breaks a limit, or can't be decided"),
            (Comparison::InFlight, Outcome::NoGo) => {
                ("NO-GO", red, "the board's advice, from where the aircraft is: don't follow it")
            }
        };
        let style = Style::new().bold().fg_color(Some(colour.into()));
        writeln!(out, "{style}{word}{style:#}  \"{}\": {tail}", printable(&self.route.route.launch.name))?;
        if matches!(self.comparison, Comparison::InFlight) {
            folded(out, IN_FLIGHT, 0)?;
        }
        Ok(())
    }

    /// What the permit waits for, or that it is there.
    fn write_standing(&self, out: &mut impl Write) -> io::Result<()> {
        heading(out, "Permit")?;
        let (name, meaning) = stage(self.status.stage);
        let permit = if self.status.stage.has_permit() { "active" } else { "inactive" };
        folded(out, &format!("  {permit}; the board is {name}: {meaning}"), 4)?;
        if let Some(waiting) = &self.status.waits {
            let said = lower_first(&self.report().say(waiting), "waits");
            folded(out, &format!("  waits for {}: {said}", rule(waiting.rule)), 4)?;
        }
        if self.status.stage == Stage::Latched {
            folded(out, &format!("  advice: {}", advice(self.status.advice)), 4)?;
        }
        if self.status.stage == Stage::Latched && self.status.flight != Some(Flight::Flying) {
            folded(out, &format!("  {NO_WIRE}"), 2)?;
        }
        writeln!(out)?;
        folded(out, "A Go is no permission to fly: local rules and licensed practice decide.", 0)
    }

    /// For programs.
    pub(super) fn json(&self) -> Value {
        let in_flight = matches!(self.comparison, Comparison::InFlight);
        let (agree, difference) = match &self.comparison {
            Comparison::Same => (Some(true), None),
            Comparison::Different(first) => (Some(false), Some(first)),
            Comparison::InFlight => (None, None),
        };
        let mut status = standing::object(&self.status);
        status["waits"] = self.status.waits.map(|waiting| self.report().finding(&waiting)).into();
        json!({
            "verdict": match (agree, self.board.outcome()) {
                (Some(false), _) => "disagreement",
                (_, Outcome::Go) => "go",
                (_, Outcome::NoGo) => "no-go",
            },
            "in_flight": in_flight,
            "agree": agree,
            "difference": difference,
            "here": (!in_flight).then(|| self.report_on(&self.here).json()),
            "board": self.report().json(),
            "status": status,
        })
    }

    fn report(&self) -> Report<'_> {
        self.report_on(&self.board)
    }

    fn report_on<'a>(&'a self, verdict: &'a Verdict) -> Report<'a> {
        let launch = &self.route.route.launch;
        let readings = match self.comparison {
            Comparison::InFlight => somewhere_aloft(launch.position),
            Comparison::Same | Comparison::Different(_) => Readings::NONE,
        };
        Report { verdict, limits: self.limits, launch, readings, preset: None }
    }
}

/// Why there is one verdict only.
const IN_FLIGHT: &str = "For all that the board knows the aircraft flies. It judges from where the aircraft is, with the charge that is left; this computer knows neither and can't compare.";
/// Why a board on the bench takes itself to be in flight.
const NO_WIRE: &str = "No wire tells the board that the aircraft is on the ground. It keeps this permit, and judges what comes as in flight, until it is started again.";

/// An aircraft that flies, for the sentences: where it is and what it has left only the board knows, and no sentence says it.
fn somewhere_aloft(position: Position) -> Readings {
    let aloft = Height::new(0).zip(Charge::new(0)).map(|(height, left)| Aloft { position, height, left });
    Readings { aloft, ..Readings::NONE }
}

fn write_verdict(out: &mut impl Write, by: &str, verdict: &Verdict) -> io::Result<()> {
    let outcome = match verdict.outcome() {
        Outcome::Go => "GO",
        Outcome::NoGo => "NO-GO",
    };
    let subject = verdict.subject;
    row(out, by, &[outcome.into(), subject.route.to_string(), subject.limits.to_string()])
}
