//! What a person reads on the second serial port: plain lines, written without the standard formatting, which can
//! panic.

use embedded_io::Write;
use pinfold_core::{
    board::{Event, self_test::Failure},
    fingerprint::Fingerprint,
    link::Refusal,
    verdict::{Outcome, Subject},
    wire::{Fault, Reason},
};

/// Writes lines. What can't be written is lost: the log is a comfort, the link is the interface.
#[derive(Debug)]
pub struct Log<W>(W);

impl<W: Write> Log<W> {
    /// A log on this stream.
    pub const fn new(stream: W) -> Self {
        Self(stream)
    }

    /// Writes a line of words and numbers.
    pub fn line(&mut self, parts: &[Part<'_>]) {
        for part in parts {
            match part {
                Part::Text(text) => self.bytes(text.as_bytes()),
                Part::Number(number) => self.number(*number),
                Part::Fingerprint(fingerprint) => self.fingerprint(*fingerprint),
            }
        }
        self.bytes(b"\r\n");
    }

    /// Tells what happened.
    pub fn event(&mut self, event: Event) {
        match event {
            Event::Started(Some(limits)) => {
                self.line(&[
                    Part::Text("pinfold board: holds limits "),
                    Part::Fingerprint(limits),
                    Part::Text(", no route"),
                ]);
            }
            Event::Started(None) => self.line(&[Part::Text("pinfold board: holds no limits, no route")]),
            Event::SelfTestFailed(failure) => {
                self.line(&[Part::Text("pinfold board: self test failed, no permit: "), Part::Text(failed(failure))]);
            }
            Event::LimitsHeld(fingerprint) => self.line(&[Part::Text("limits held "), Part::Fingerprint(fingerprint)]),
            Event::LimitsRefused(refusal, None) => {
                self.line(&[Part::Text("limits refused: "), Part::Text(refused(refusal))]);
            }
            Event::LimitsRefused(_, Some(fault)) => self.fault("limits refused: ", fault),
            Event::RouteRefused(fault) => self.fault("route refused, no-go: ", fault),
            Event::Judged(outcome, subject) => self.judged(outcome, subject),
        }
    }

    fn judged(&mut self, outcome: Outcome, subject: Subject) {
        let outcome = match outcome {
            Outcome::Go => "go",
            Outcome::NoGo => "no-go",
        };
        self.line(&[
            Part::Text("route judged "),
            Part::Text(outcome),
            Part::Text(" "),
            Part::Fingerprint(subject.route),
            Part::Text(" by limits "),
            Part::Fingerprint(subject.limits),
        ]);
    }

    fn fault(&mut self, what: &str, fault: Fault) {
        let (why, at) = (Part::Text(reason(fault.reason)), Part::Number(fault.offset));
        self.line(&[Part::Text(what), why, Part::Text(" at byte "), at]);
    }

    fn number(&mut self, number: u32) {
        let mut digits: heapless::Vec<u8, 10> = heapless::Vec::new();
        let mut rest = Some(number);
        while let Some(value) = rest {
            let [digit, ..] = (value % 10).to_le_bytes();
            // Ten digits are enough for every u32.
            let _ = digits.push(digit | b'0');
            rest = Some(value / 10).filter(|rest| *rest > 0);
        }
        digits.iter().rev().for_each(|digit| self.bytes(&[*digit]));
    }

    fn fingerprint(&mut self, fingerprint: Fingerprint) {
        let [a, b, c, d, e, f, g, h] = fingerprint.characters();
        self.bytes(&[a, b, c, d, b'-', e, f, g, h]);
    }

    fn bytes(&mut self, bytes: &[u8]) {
        let _ = self.0.write_all(bytes);
    }
}

/// A part of a line.
#[derive(Clone, Copy, Debug)]
pub enum Part<'a> {
    /// Words.
    Text(&'a str),
    /// A number, in decimal.
    Number(u32),
    /// A fingerprint, in its two groups.
    Fingerprint(Fingerprint),
}

const fn failed(failure: Failure) -> &'static str {
    match failure {
        Failure::Checksum => "the checksum of nine digits",
        Failure::Limits => "the limits in the image",
        Failure::Go => "the route in the image that must be go",
        Failure::NoGo => "the route in the image that must be no-go",
        Failure::Flash => "the flash",
    }
}

const fn refused(refusal: Refusal) -> &'static str {
    match refusal {
        Refusal::Unknown => "nobody knows why",
        Refusal::NotHeld => "the load switch was released",
        Refusal::Latched => "the aircraft may be flying",
        Refusal::NothingBegun => "nothing more came",
        Refusal::BadLimits => "they make no sense",
        Refusal::Flash => "the flash doesn't keep them",
        Refusal::Faulty => "the board is faulty",
    }
}

const fn reason(reason: Reason) -> &'static str {
    match reason {
        Reason::Magic => "not packed bytes",
        Reason::Kind(_) => "another kind",
        Reason::Version(_) => "another version",
        Reason::Short => "ends early",
        Reason::Trailing => "goes on after the end",
        Reason::Length => "another length than said",
        Reason::Checksum => "damaged",
        Reason::Value => "a value that can't be",
        Reason::NotCanonical => "a value written in another way",
        Reason::Limits(_) => "limits that make no sense",
    }
}
