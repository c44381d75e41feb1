//! A line that does one thing wrong, at every place of an exchange and in both directions: the host learns the right
//! verdict, the permit is as it should be, and on the way there is none for a route that isn't the one.

use std::panic::{AssertUnwindSafe, catch_unwind, resume_unwind};

use pinfold_core::{
    fingerprint::Fingerprint,
    interlock::{Flight, Stage},
    link::{Answer, Ask, Report, Request, frame},
    rules::Readings,
    verdict::{Outcome, Subject},
    wire::Kind,
};
use pinfold_tests::{
    board::{
        Bench, RamFlash,
        host::{Goal, Host, Learnt, Line, Restarted},
        sample::{all_asked, meadow, now, packed_meadow, route, standing, start, steps},
    },
    packed::packed_verdict,
};

/// Highest that the limits allow, and the heights of the routes: Go by both limits, and by the looser only. Unit: 0.01
/// m.
const STRICT: i32 = 3_000;
const LOOSE: i32 = 6_000;
const LOW: i32 = 2_000;
const HIGH: i32 = 3_050;

/// A way that bytes go.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Way {
    ToBoard,
    ToHost,
}

/// What happens to a byte, or at it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Wrong {
    Lost,
    Doubled,
    /// It changes places with the byte after it, however much later that comes.
    Swapped,
    Flipped(u8),
    /// It and the rest of its frame are lost.
    Cut,
    /// From it on all is lost in both directions for the time of some frames.
    Dead(usize),
    /// The whole frame comes again after the next one.
    LateAgain,
    BoardRestarts,
    HostRestarts,
}

/// One thing that goes wrong.
#[derive(Clone, Copy, Debug)]
struct Fault {
    way: Way,
    at: usize,
    wrong: Wrong,
}

/// A board, and a line to it on which one thing goes wrong.
struct Faulty<'a> {
    bench: Bench,
    fault: Option<Fault>,
    /// Bytes so far, each way.
    passed: [usize; 2],
    /// A byte that another overtakes.
    overtaken: [Option<u8>; 2],
    /// A frame that will come again.
    late: [Option<Vec<u8>>; 2],
    /// Frames that are still lost.
    dead: usize,
    goal: &'a Goal,
    /// The route that had a permit before, as long as its Go is held.
    before: Option<Fingerprint>,
    outcome: Outcome,
}

impl Faulty<'_> {
    /// What comes of bytes that are sent one way.
    fn carry(&mut self, way: Way, sent: &[u8]) -> Result<Vec<u8>, Restarted> {
        let mut come = Vec::new();
        let again = self.late[way as usize].take();
        for byte in sent {
            let here = self.fault.filter(|fault| fault.way == way && fault.at == self.passed[way as usize]);
            self.passed[way as usize] += 1;
            if self.dead > 0 {
                continue;
            }
            let held = self.overtaken[way as usize].take();
            match here.map(|fault| fault.wrong) {
                None => come.push(*byte),
                Some(Wrong::Lost) => {}
                Some(Wrong::Doubled) => come.extend([*byte; 2]),
                Some(Wrong::Swapped) => self.overtaken[way as usize] = Some(*byte),
                Some(Wrong::Flipped(bit)) => come.push(byte ^ 1 << bit),
                Some(Wrong::Cut) => {
                    self.passed[way as usize] += sent.len();
                    break;
                }
                Some(Wrong::Dead(frames)) => self.dead = frames,
                Some(Wrong::LateAgain) => {
                    self.late[way as usize] = Some(sent.to_vec());
                    come.push(*byte);
                }
                Some(Wrong::BoardRestarts) => {
                    // What came before is gone with the board's memory; this byte comes after it.
                    self.deliver(&std::mem::take(&mut come));
                    self.bench.restart();
                    wire(&mut self.bench);
                    come.push(*byte);
                }
                Some(Wrong::HostRestarts) => {
                    if way == Way::ToBoard {
                        self.deliver(&come);
                    }
                    return Err(Restarted);
                }
            }
            come.extend(held);
        }
        come.extend(again.into_iter().flatten());
        Ok(come)
    }

    /// Gives the board bytes, and looks at the permit after each.
    fn deliver(&mut self, bytes: &[u8]) -> Vec<u8> {
        let mut sent_back = Vec::new();
        for byte in bytes {
            sent_back.extend(self.bench.send(&[*byte]));
            self.look();
        }
        sent_back
    }

    fn look(&mut self) {
        let status = self.bench.status();
        // The Go from before may wait for a reading and get its permit back, until something is begun.
        self.before = self.before.filter(|before| status.route == Some(*before));
        if !self.bench.board.lines().permit {
            return;
        }
        let ours = Some(Fingerprint::of(&self.goal.route));
        let new = status.route == ours && self.outcome == Outcome::Go;
        let old = self.before.is_some() && status.route == self.before;
        assert!(new || old, "a permit for another route: {status:?}");
    }
}

/// All the time a wire says that the aircraft is on the ground.
fn wire(bench: &mut Bench) {
    bench.sense(Report { flight: now(Flight::Ground), ..Report::default() });
}

impl Line for Faulty<'_> {
    fn exchange(&mut self, sent: &[u8]) -> Result<Vec<u8>, Restarted> {
        wire(&mut self.bench);
        let come = self.carry(Way::ToBoard, sent)?;
        let sent_back = self.deliver(&come);
        let come = self.carry(Way::ToHost, &sent_back)?;
        self.dead = self.dead.saturating_sub(1);
        Ok(come)
    }

    fn wait(&mut self, time: u32) {
        for _ in 0..time / 100 {
            wire(&mut self.bench);
            self.bench.board.tick(100, &mut self.bench.hardware);
            self.look();
        }
    }
}

/// What is before an exchange, and what it is for.
struct Case {
    name: &'static str,
    flash: RamFlash,
    /// The height of a route that has a permit before.
    before: Option<i32>,
    goal: Goal,
    /// What the host must learn.
    verdict: Vec<u8>,
    outcome: Outcome,
}

impl Case {
    /// On a board that holds limits, and a permit for a route: a route by limits, which are sent if they are others.
    fn new(name: &'static str, held: Option<i32>, before: Option<i32>, ceiling: i32, height: i32) -> Self {
        let mut bench = Bench::new();
        if let Some(held) = held {
            assert_eq!(bench.load_limits(&packed_meadow(held, all_asked())), Ok(()));
        }
        let limits = Some(packed_meadow(ceiling, all_asked())).filter(|_| held != Some(ceiling));
        let (verdict, outcome) = judged(ceiling, height);
        let goal = Goal { limits, route: route(height), readings: standing() };
        Self { name, flash: bench.hardware.flash, before, goal, verdict, outcome }
    }

    fn all() -> Vec<Self> {
        vec![
            Self::new("the first limits, and a Go", None, None, STRICT, LOW),
            Self::new("another route that is No-go", Some(STRICT), Some(LOW), STRICT, HIGH),
            Self::new("another route that is Go", Some(LOOSE), Some(LOW), LOOSE, HIGH),
            Self::new("stricter limits, and the same route No-go", Some(LOOSE), Some(HIGH), STRICT, HIGH),
        ]
    }

    fn line(&self, fault: Option<Fault>) -> Faulty<'_> {
        let mut bench = Bench::on(self.flash.clone());
        let before = self.before.map(|height| permitted(&mut bench, height));
        bench.hardware.held = true;
        Faulty {
            bench,
            fault,
            passed: [0; 2],
            overtaken: [None; 2],
            late: [None, None],
            dead: 0,
            goal: &self.goal,
            before,
            outcome: self.outcome,
        }
    }

    /// How many bytes go each way where nothing is wrong.
    fn bytes(&self) -> [usize; 2] {
        let mut line = self.line(None);
        let learnt = Host::new(0).reach(&self.goal, &mut line);
        self.right(&learnt.expect("not restarted"), &line);
        line.passed
    }

    /// The exchange with a fault.
    fn run(&self, fault: Fault) {
        let mut line = self.line(Some(fault));
        // Another host has asked before, and its last question had the number of this one's first.
        let mut host = Host::new(last_number(&mut line.bench));
        let learnt = host.reach_and_stay(&self.goal, &mut line).or_else(|Restarted| {
            // The number of the old host's last question, to make it hard.
            Host::new(host.number()).reach_and_stay(&self.goal, &mut line)
        });
        self.right(&learnt.expect("a host is restarted only once"), &line);
    }

    fn right(&self, learnt: &Learnt, line: &Faulty<'_>) {
        assert_eq!(learnt.verdict, self.verdict, "a wrong verdict");
        let stage = if self.outcome == Outcome::Go { Stage::Permitted } else { Stage::NoGo };
        assert_eq!((learnt.status.stage, line.bench.status().stage), (stage, stage));
        assert_eq!(line.bench.board.lines().permit, self.outcome == Outcome::Go);
        assert_eq!(line.bench.board.verdict(), self.verdict);
    }

    /// One thing wrong at every byte of one way.
    fn each_byte(&self, way: Way, wrongs: &[Wrong]) -> usize {
        let bytes = self.bytes()[way as usize];
        for at in 0..bytes {
            for wrong in wrongs {
                let fault = Fault { way, at, wrong: *wrong };
                catch_unwind(AssertUnwindSafe(|| self.run(fault))).unwrap_or_else(|broken| {
                    println!("{}: {fault:?}", self.name);
                    resume_unwind(broken)
                });
            }
        }
        bytes * wrongs.len()
    }
}

/// What the checker alone says of a route, packed.
fn judged(ceiling: i32, height: i32) -> (Vec<u8>, Outcome) {
    let limits = meadow(ceiling, all_asked());
    let subject = Subject {
        route: Fingerprint::of(&route(height)),
        limits: Fingerprint::of(&packed_meadow(ceiling, all_asked())),
    };
    let limits = limits.limits().expect("sealed");
    let verdict = pinfold_core::check::check(limits, start(), Readings::NONE, steps(height), subject);
    (packed_verdict(&verdict), verdict.outcome())
}

/// Gets a permit for a route.
fn permitted(bench: &mut Bench, height: i32) -> Fingerprint {
    wire(bench);
    assert_eq!(bench.load(Kind::Route, &route(height)), Ok(()));
    assert_eq!(bench.report(standing()).stage, Stage::Permitted);
    Fingerprint::of(&route(height))
}

/// Asks how things stand; the number of that question.
fn last_number(bench: &mut Bench) -> u16 {
    let status = frame(&Request { sequence: 500, ask: Ask::Status });
    assert!(!bench.send(&status).is_empty());
    500
}

/// Runs what goes wrong in all exchanges, both ways.
fn everywhere(wrongs: &[Wrong]) {
    let runs: usize =
        Case::all().iter().flat_map(|case| [Way::ToBoard, Way::ToHost].map(|way| case.each_byte(way, wrongs))).sum();
    println!("{runs} exchanges");
}

#[test]
fn lost_doubled_and_swapped_bytes_end_in_the_right_verdict() {
    everywhere(&[Wrong::Lost, Wrong::Doubled, Wrong::Swapped]);
}

#[test]
fn every_flipped_bit_ends_in_the_right_verdict() {
    everywhere(&[0, 1, 2, 3, 4, 5, 6, 7].map(Wrong::Flipped));
}

#[test]
fn frames_that_are_cut_and_lines_that_are_dead_end_in_the_right_verdict() {
    everywhere(&[Wrong::Cut, Wrong::Dead(1), Wrong::Dead(3), Wrong::Dead(6)]);
}

#[test]
fn restarts_of_either_side_end_in_the_right_verdict() {
    everywhere(&[Wrong::BoardRestarts, Wrong::HostRestarts]);
}

#[test]
fn frames_that_come_late_again_end_in_the_right_verdict() {
    everywhere(&[Wrong::LateAgain]);
}

#[test]
fn a_piece_of_the_route_before_that_comes_late_gets_no_permit_back() {
    let mut bench = Bench::new();
    assert_eq!(bench.load_limits(&packed_meadow(STRICT, all_asked())), Ok(()));
    wire(&mut bench);
    let ask = |sequence, ask| frame(&Request { sequence, ask }).to_vec();
    let piece = |height| Ask::Piece { offset: 0, bytes: route(height).iter().copied().collect() };
    let first = [ask(700, Ask::Begin(Kind::Route)), ask(701, piece(LOW)), ask(702, Ask::Readings(standing()))];
    first.iter().for_each(|frame| assert!(!bench.send(frame).is_empty()));
    assert_eq!(bench.status().stage, Stage::Permitted);
    bench.send(&ask(703, Ask::Begin(Kind::Route)));
    assert!(bench.send(&first[1]).is_empty(), "a question that comes late was answered");
    assert_eq!(bench.status().stage, Stage::Idle);
    bench.send(&ask(704, piece(HIGH)));
    assert_eq!(bench.status().stage, Stage::NoGo);
    // Nor does an old reading count as a new one.
    bench.wait(10_000);
    bench.send(&first[2]);
    assert_eq!(bench.board.readings().flight.map(|flight| flight.age), Some(10_000));
}

#[test]
fn a_frame_with_a_flipped_bit_does_nothing() {
    let mut bench = Case::new("a permit", Some(LOOSE), None, LOOSE, LOW).line(None).bench;
    permitted(&mut bench, LOW);
    bench.send(&frame(&Request { sequence: 800, ask: Ask::Begin(Kind::Route) }));
    let piece = Ask::Piece { offset: 0, bytes: route(LOW).iter().copied().collect() };
    let asks = [Ask::Hello, Ask::Begin(Kind::Limits), piece, Ask::Readings(standing()), Ask::Verdict { offset: 0 }];
    let before = format!("{:?}", bench.board);
    for ask in asks {
        let whole = frame(&Request { sequence: 801, ask });
        for bit in 0..whole.len() * 8 {
            let mut flipped = whole.to_vec();
            flipped[bit / 8] ^= 1 << (bit % 8);
            // The zero byte again, in case it was that one.
            flipped.push(0);
            assert!(bench.send(&flipped).is_empty(), "bit {bit} of {whole:?}");
            assert_eq!(format!("{:?}", bench.board), before, "bit {bit} of {whole:?}");
        }
    }
}

#[test]
fn numbers_go_round_and_a_hello_is_never_late() {
    let mut bench = Bench::new();
    let mut answer = |sequence, ask| {
        let sent = bench.send(&frame(&Request { sequence, ask }));
        pinfold_tests::board::bench::replies(&sent).first().map(|reply| reply.answer.clone())
    };
    for number in [65_533, 65_534, 65_535, 0, 1] {
        assert!(answer(number, Ask::Status).is_some(), "{number}");
    }
    for number in [0, 65_535, 65_000, 32_770] {
        assert_eq!(answer(number, Ask::Status), None, "{number} is late");
    }
    assert!(matches!(answer(65_000, Ask::Hello), Some(Answer::Hello(_))));
    assert!(answer(65_001, Ask::Status).is_some(), "numbers go on from a hello");
    assert!(answer(32_234, Ask::Status).is_none());
    assert!(answer(32_233, Ask::Status).is_some(), "half of all numbers behind is as far ahead");
}
