//! A board that may be sent anything: bytes, frames, questions in any order, files that are changed; and to which
//! anything may happen. Somebody who hears the line and looks at flash says what a permit may be given for.

use std::collections::BTreeSet;

use pinfold_core::{
    interlock::{Flight, Stage},
    link::{Answer, Ask, Capacities, PIECE, Report, Request, Status, frame},
    rules::PackReading,
    units::Voltage,
    verdict::Subject,
    wire::{Kind, envelope::checksum},
};

use super::{given::Given, sent::Sent};
use crate::{
    board::{
        Bench, RamFlash,
        bench::replies,
        layout::{self, Held},
        sample::{all_asked, flying, now, packed_meadow, route, standing},
    },
    packed::with_new_checksum,
    sample::position,
};

/// Most things that happen to one board.
const EVENTS: usize = 64;

/// A board, what it was sent, and what is known of its permit.
struct Heard {
    bench: Bench,
    sent: Sent,
    number: u16,
    files: [Vec<u8>; 4],
    /// What was a Go while it was the route that came last.
    approved: BTreeSet<[u8; 10]>,
    before: Status,
}

/// What a subject is called.
fn name(subject: Subject) -> [u8; 10] {
    [subject.route.bytes(), subject.limits.bytes()].concat().try_into().expect("two of five bytes")
}

/// Anything that a line and a field can do.
///
/// # Panics
/// A permit is active that nothing approves, something on the line takes one from a flight, or the board wedges.
pub fn frames(input: &[u8]) {
    let mut given = Given::new(input);
    let mut heard = Heard::new(given.yes());
    for _ in 0..EVENTS {
        if given.is_empty() {
            break;
        }
        heard.event(&mut given);
    }
    heard.answers_still();
}

impl Heard {
    /// With limits in flash already, or without.
    fn new(holding: bool) -> Self {
        let files = [packed_meadow(3_000, all_asked()), packed_meadow(6_000, all_asked()), route(2_000), route(3_050)];
        let mut bench = Bench::on(RamFlash::new(1));
        if holding {
            bench.load_limits(&files[0]).expect("limits that fit");
            bench.restart();
        }
        let before = bench.status();
        Self { bench, sent: Sent::default(), number: 1, files, approved: BTreeSet::new(), before }
    }

    fn event(&mut self, given: &mut Given<'_>) {
        match given.below(16) {
            0 => self.send(given.bytes(64)),
            1 => self.send(&framed(given.bytes(80))),
            2 => self.ask(Ask::Begin(given.pick(&[Kind::Route, Kind::Limits, Kind::Verdict]))),
            3 => self.piece(given),
            4 | 5 => self.file(given),
            6 => self.ask(Ask::Readings(report(given))),
            7 => self.ask(given.pick_of([Ask::Hello, Ask::Status, Ask::Verdict { offset: 0 }])),
            8 => self.bench.hardware.held = given.yes(),
            9 | 10 => self.pass(given.pick(&[0, 10, 500, 1_000, 1_001, 2_010, 5_010, 11_000])),
            11..=13 => {
                self.bench.board.sense(report(given));
                self.look(false);
            }
            14 => self.restart(),
            _ => {
                if given.below(8) == 0 {
                    self.bench.board.fault();
                }
                self.number = self.number.wrapping_add(u16::from(given.byte()) << 8);
                self.look(false);
            }
        }
    }

    /// Bytes over the line, looked at after each.
    fn send(&mut self, bytes: &[u8]) {
        for byte in bytes {
            let back = self.bench.send(&[*byte]);
            self.sent.heard(*byte, &back);
            self.look(true);
        }
    }

    fn ask(&mut self, ask: Ask) {
        self.number = self.number.wrapping_add(1);
        self.send(&frame(&Request { sequence: self.number, ask }));
    }

    /// Some bytes, where the last ended or not.
    fn piece(&mut self, given: &mut Given<'_>) {
        let offset = u32::try_from(self.sent.taken()).expect("short") + u32::from(given.below(8) == 0);
        let bytes = given.bytes(PIECE).iter().copied().collect();
        self.ask(Ask::Piece { offset, bytes });
    }

    /// A file from begin to end, a byte of it changed or not; the checksum is right all the same, mostly.
    fn file(&mut self, given: &mut Given<'_>) {
        let number = given.below(4);
        let mut bytes = self.files[number].clone();
        if given.yes() {
            let at = given.below(bytes.len());
            bytes[at] ^= given.byte();
            if given.below(8) > 0 {
                bytes = with_new_checksum(&bytes);
            }
        }
        self.ask(Ask::Begin(if number < 2 { Kind::Limits } else { Kind::Route }));
        for (number, piece) in (0_u32..).zip(bytes.chunks(PIECE)) {
            self.ask(Ask::Piece { offset: number * PIECE as u32, bytes: piece.iter().copied().collect() });
        }
    }

    fn pass(&mut self, elapsed: u32) {
        self.bench.board.tick(elapsed, &mut self.bench.hardware);
        self.look(false);
    }

    fn restart(&mut self) {
        self.bench.restart();
        self.sent.restart();
        self.approved.clear();
        self.before = self.bench.status();
        assert!(!self.bench.board.lines().permit, "a restart gives a permit");
        self.look(false);
    }

    /// Holds the board to what is known.
    fn look(&mut self, by_line: bool) {
        let (status, flash) = (self.bench.status(), layout::held(self.bench.hardware.flash.bytes()));
        let active = matches!(status.stage, Stage::Permitted | Stage::Latched);
        assert_eq!(self.bench.board.lines().permit, active, "the line isn't what the stage says");
        if let Held::Limits(limits) = &flash {
            self.approved.extend(self.sent.approved(limits).map(name));
        }
        let was_latched = self.before.stage == Stage::Latched;
        if active {
            let subject = subject(&status);
            assert!(self.approved.contains(&name(subject)), "a permit that nothing approves: {status:?}");
            assert!(!was_latched || (status.route, status.limits) == (self.before.route, self.before.limits));
        }
        if status.stage == Stage::Permitted {
            let Held::Limits(limits) = &flash else { panic!("a permit without limits in flash") };
            assert_eq!(self.sent.approved(limits), Some(subject(&status)), "not the route that came last");
            assert_eq!(status.flight, Some(Flight::Ground), "a permit on the ground, in the air");
        }
        assert!(!(by_line && was_latched) || status.stage == Stage::Latched, "the line took the permit from a flight");
        self.before = status;
    }

    /// Whatever has come, a host gets its answer with the second of two hellos: the first may have the number of a
    /// question that was answered before.
    fn answers_still(&mut self) {
        self.send(&[0]);
        let hello = |sequence| frame(&Request { sequence, ask: Ask::Hello });
        self.bench.send(&hello(self.number.wrapping_add(1)));
        let number = self.number.wrapping_add(2);
        let back = self.bench.send(&hello(number));
        let [reply] = &replies(&back)[..] else { panic!("the board is wedged: {back:?}") };
        assert_eq!((reply.sequence, &reply.answer), (number, &Answer::Hello(Capacities::HERE)));
    }
}

fn subject(status: &Status) -> Subject {
    let known = status.route.zip(status.limits);
    let (route, limits) = known.unwrap_or_else(|| panic!("a permit for nothing: {status:?}"));
    Subject { route, limits }
}

/// Any bytes as a frame with the right checksum.
fn framed(body: &[u8]) -> Vec<u8> {
    let whole = [body, &checksum(body).to_le_bytes()].concat();
    let mut frame = vec![0; cobs::max_encoding_length(whole.len())];
    let length = cobs::try_encode(&whole, &mut frame).expect("room for the frame");
    frame.truncate(length);
    frame.push(0);
    frame
}

/// Readings that are as they should be, or are not.
fn report(given: &mut Given<'_>) -> Report {
    let mut report = match given.below(4) {
        0 => flying(given.between(-30_000, 30_000), given.between(-1_000, 9_000), given.between(0, 60_000)),
        1 => Report { flight: now(given.pick(&[Flight::Ground, Flight::Flying])), ..Report::NONE },
        _ => standing(),
    };
    if given.below(4) == 0 {
        report.position = now(position(given.between(-2_000, 2_000), 0));
        let voltage = Voltage::new(given.between(1, 10_000)).expect("in range");
        report.pack = now(PackReading { voltage, rested: None });
    }
    report.older(given.pick(&[0, 0, 0, 1, 1_000, 2_001, 5_001, u32::MAX]))
}
