//! A conversation with a real board in memory, over lines that lose, double, damage and hold back what goes over them.

mod frames;
mod troubles;

use std::{cell::RefCell, collections::VecDeque, io, rc::Rc, time::Duration};

use pinfold_core::{
    fingerprint::Fingerprint,
    link::{Answer, Ask, Came, Capacities, FrameReader, PIECE, Refusal, Reply, Request, frame},
    model::limits::Freshness,
    verdict::{Outcome, Verdict},
    wire::Kind,
};
use pinfold_tests::{
    board::{
        Bench,
        bench::replies,
        sample::{all_asked, flying, meadow, packed_meadow, route, standing, start, steps},
    },
    packed::{packed_limits, packed_route, packed_verdict},
    sample::judge,
};

use super::{conversation::Conversation, load, transport::Transport, trouble::Trouble};

/// What a line makes of a frame.
type Fate = Box<dyn FnMut(&mut Bench, &[u8]) -> Vec<u8>>;

/// A line to a board. Whoever waits in vain lets the board's time pass, and needs none here.
#[derive(Clone)]
struct Pipe(Rc<RefCell<Ends>>);

struct Ends {
    bench: Bench,
    /// What happens to a frame on its way there, and back.
    there: Fate,
    back: Fate,
    arrived: VecDeque<u8>,
    frames: usize,
    /// How long an answer was waited for, once for each frame that was sent.
    waits: Vec<Duration>,
    fresh: bool,
}

impl Pipe {
    fn new(bench: Bench, there: Fate, back: Fate) -> Self {
        Self(Rc::new(RefCell::new(Ends {
            bench,
            there,
            back,
            arrived: VecDeque::new(),
            frames: 0,
            waits: Vec::new(),
            fresh: false,
        })))
    }

    fn clear(bench: Bench) -> Self {
        Self::new(bench, Box::new(unharmed), Box::new(unharmed))
    }

    fn talk(&self) -> Result<Conversation<Self>, Trouble> {
        Conversation::begin(self.clone(), 7)
    }

    fn frames(&self) -> usize {
        self.0.borrow().frames
    }
}

fn unharmed(_: &mut Bench, frame: &[u8]) -> Vec<u8> {
    frame.to_vec()
}

impl Transport for Pipe {
    fn send(&mut self, bytes: &[u8]) -> io::Result<()> {
        let Ends { bench, there, back, arrived, frames, fresh, .. } = &mut *self.0.borrow_mut();
        *fresh = true;
        *frames += 1;
        let there = there(bench, bytes);
        let answer = bench.send(&there);
        if !answer.is_empty() {
            *frames += 1;
            arrived.extend(back(bench, &answer));
        }
        Ok(())
    }

    fn receive(&mut self, buffer: &mut [u8], within: Duration) -> io::Result<usize> {
        let Ends { bench, arrived, waits, fresh, .. } = &mut *self.0.borrow_mut();
        if std::mem::replace(fresh, false) {
            waits.push(within);
        }
        let count = arrived.len().min(buffer.len()).min(7);
        buffer.iter_mut().zip(arrived.drain(..count)).for_each(|(place, byte)| *place = byte);
        if count == 0 {
            bench.wait(u32::try_from(within.as_millis()).expect("short"));
        }
        Ok(count)
    }

    fn transit(&self, _: usize) -> Duration {
        Duration::ZERO
    }
}

/// Height of the route, and of the ceiling, 0.01 m.
const HIGH: i32 = 2_000;
const CEILING: i32 = 5_000;

fn limits() -> Vec<u8> {
    packed_meadow(CEILING, Freshness::default())
}

/// The verdict on the route that is made without a board.
fn verdict_here() -> (Vec<u8>, Verdict) {
    let store = meadow(CEILING, Freshness::default());
    let mut verdict = judge(&store, start(), &steps(HIGH));
    verdict.subject.route = packed_route(&start(), &steps(HIGH)).1;
    verdict.subject.limits = packed_limits(store.limits().expect("sealed")).1;
    (packed_verdict(&verdict), verdict)
}

/// A board whose load input is held.
fn board() -> Bench {
    let mut bench = Bench::new();
    bench.hardware.held = true;
    bench
}

fn quietly(_: usize) {}

/// Loads limits and a route: the packed verdict.
fn all_of_it(pipe: &Pipe) -> Result<Vec<u8>, Trouble> {
    let mut talk = pipe.talk()?;
    load::load(&mut talk, Kind::Limits, &limits(), &mut quietly)?;
    let held = talk.status()?.limits;
    assert_eq!(held, Some(verdict_here().1.subject.limits), "what the board says it holds");
    load::judge(&mut talk, &route(HIGH), &mut quietly).map(|(packed, _)| packed)
}

/// Something that befalls the frame with a number, counted from 0; all others pass.
fn to_one(number: usize, mut fate: impl FnMut(&mut Bench, &[u8]) -> Vec<u8> + 'static) -> Fate {
    let mut seen = 0;
    Box::new(move |bench, frame| {
        seen += 1;
        if seen == number + 1 { fate(bench, frame) } else { frame.to_vec() }
    })
}

/// The answers of a board, with some of them changed.
fn changed(change: impl Fn(&mut Reply) + 'static) -> Fate {
    Box::new(move |_, frame_back| {
        let mut all = Vec::new();
        for mut reply in replies(frame_back) {
            change(&mut reply);
            all.extend(frame(&reply));
        }
        all
    })
}

/// What is said of trouble, and what to do.
fn said(trouble: &Trouble) -> String {
    trouble.problem("/dev/ttyX").json()["error"]["say"].as_str().expect("a text").to_owned()
}
