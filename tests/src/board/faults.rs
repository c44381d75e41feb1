//! A line that does things wrong, and exchanges over it that must end as if nothing had been.

use crate::{
    board::{
        Bench, RamFlash,
        host::{Goal, Host, Learnt, Line, Restarted},
        sample::{all_asked, meadow, now, packed_meadow, route, standing, start, steps},
    },
    packed::packed_verdict,
};
use pinfold_core::{
    check::check,
    fingerprint::Fingerprint,
    interlock::{Flight, Stage},
    link::{Ask, Report, Request, frame},
    rules::Readings,
    verdict::{Outcome, Subject},
    wire::Kind,
};

/// Highest that the stricter limits allow. Unit: 0.01 m.
pub const STRICT: i32 = 3_000;
/// Highest that the looser limits allow.
pub const LOOSE: i32 = 6_000;
/// The height of a route that is Go by both.
pub const LOW: i32 = 2_000;
/// The height of a route that is Go by the looser only.
pub const HIGH: i32 = 3_050;

/// A way that bytes go.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// What the host sends.
    ToBoard,
    /// What the board answers.
    ToHost,
}

/// What happens to a byte, or at it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wrong {
    /// It is lost.
    Lost,
    /// It comes twice.
    Doubled,
    /// It changes places with the byte after it, however much later that comes.
    Swapped,
    /// This bit of it is flipped.
    Flipped(u8),
    /// It and the rest of its frame are lost.
    Cut,
    /// From it on all is lost in both directions for the time of some frames.
    Dead(usize),
    /// The whole frame comes again after the next one.
    LateAgain,
    /// The board is restarted.
    BoardRestarts,
    /// The host is restarted.
    HostRestarts,
}

/// One thing that goes wrong.
#[derive(Clone, Copy, Debug)]
pub struct Fault {
    /// Which way the byte goes.
    pub way: Way,
    /// How many bytes go that way before it.
    pub at: usize,
    /// What happens.
    pub wrong: Wrong,
}

/// A board, and a line to it on which things go wrong.
pub struct Faulty<'a> {
    /// The board.
    pub bench: Bench,
    faults: Vec<Fault>,
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
            let at = self.passed[way as usize];
            let here = self.faults.iter().find(|fault| fault.way == way && fault.at == at).copied();
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
pub fn wire(bench: &mut Bench) {
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
pub struct Case {
    /// What it is called.
    pub name: &'static str,
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
    ///
    /// # Panics
    /// The board doesn't take the limits that are there before.
    #[must_use]
    pub fn new(name: &'static str, held: Option<i32>, before: Option<i32>, ceiling: i32, height: i32) -> Self {
        let mut bench = Bench::new();
        if let Some(held) = held {
            assert_eq!(bench.load_limits(&packed_meadow(held, all_asked())), Ok(()));
        }
        let limits = Some(packed_meadow(ceiling, all_asked())).filter(|_| held != Some(ceiling));
        let (verdict, outcome) = judged(ceiling, height);
        let goal = Goal { limits, route: route(height), readings: standing() };
        Self { name, flash: bench.hardware.flash, before, goal, verdict, outcome }
    }

    /// Four of them.
    #[must_use]
    pub fn all() -> Vec<Self> {
        vec![
            Self::new("the first limits, and a Go", None, None, STRICT, LOW),
            Self::new("another route that is No-go", Some(STRICT), Some(LOW), STRICT, HIGH),
            Self::new("another route that is Go", Some(LOOSE), Some(LOW), LOOSE, HIGH),
            Self::new("stricter limits, and the same route No-go", Some(LOOSE), Some(HIGH), STRICT, HIGH),
        ]
    }

    /// The board, and a line to it.
    #[must_use]
    pub fn line(&self, faults: Vec<Fault>) -> Faulty<'_> {
        let mut bench = Bench::on(self.flash.clone());
        let before = self.before.map(|height| permitted(&mut bench, height));
        bench.hardware.held = true;
        Faulty {
            bench,
            faults,
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
    ///
    /// # Panics
    /// It doesn't end as it must.
    #[must_use]
    pub fn bytes(&self) -> [usize; 2] {
        let mut line = self.line(Vec::new());
        let learnt = Host::new(0).reach(&self.goal, &mut line);
        self.right(&learnt.expect("not restarted"), &line);
        line.passed
    }

    /// The exchange with these faults.
    ///
    /// # Panics
    /// It doesn't end as it must.
    pub fn run(&self, faults: Vec<Fault>) {
        let mut line = self.line(faults);
        // Another host has asked before, and its last question had the number of this one's first.
        let mut host = Host::new(last_number(&mut line.bench));
        let learnt = host.reach_and_stay(&self.goal, &mut line).or_else(|Restarted| {
            // The number of the old host's last question, to make it hard.
            Host::new(host.number()).reach_and_stay(&self.goal, &mut line)
        });
        self.right(&learnt.expect("a host is restarted only once"), &line);
    }

    /// The same, whatever else has gone wrong meanwhile; and once more when the line is right again.
    ///
    /// # Panics
    /// A verdict that is learnt is wrong, or it doesn't end as it must.
    pub fn run_until_right(&self, faults: Vec<Fault>) {
        let mut line = self.line(faults);
        let mut host = Host::new(last_number(&mut line.bench));
        let learnt = loop {
            match host.reach_and_stay(&self.goal, &mut line) {
                Ok(learnt) => break learnt,
                Err(Restarted) => host = Host::new(host.number()),
            }
        };
        assert_eq!(learnt.verdict, self.verdict, "a wrong verdict");
        line.faults.clear();
        let learnt = host.reach_and_stay(&self.goal, &mut line);
        self.right(&learnt.expect("nothing is restarted any more"), &line);
    }

    fn right(&self, learnt: &Learnt, line: &Faulty<'_>) {
        assert_eq!(learnt.verdict, self.verdict, "a wrong verdict");
        let stage = if self.outcome == Outcome::Go { Stage::Permitted } else { Stage::NoGo };
        assert_eq!((learnt.status.stage, line.bench.status().stage), (stage, stage));
        assert_eq!(line.bench.board.lines().permit, self.outcome == Outcome::Go);
        assert_eq!(line.bench.board.verdict(), self.verdict);
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
    let verdict = check(limits, start(), Readings::NONE, steps(height), subject);
    (packed_verdict(&verdict), verdict.outcome())
}

/// Gets a permit for a route.
///
/// # Panics
/// It gets none.
pub fn permitted(bench: &mut Bench, height: i32) -> Fingerprint {
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
