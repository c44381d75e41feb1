//! A conversation with a real board in memory, over lines that lose, double, damage and hold back what goes over them.

use std::{cell::RefCell, collections::VecDeque, io, rc::Rc, time::Duration};

use pinfold_core::{
    link::{Answer, Ask, Capacities, PIECE, Refusal, Reply, frame},
    model::limits::Freshness,
    verdict::{Outcome, Verdict},
    wire::Kind,
};
use pinfold_tests::{
    board::{
        Bench,
        bench::replies,
        sample::{flying, meadow, packed_meadow, route, standing, start, steps},
    },
    packed::{packed_limits, packed_route, packed_verdict},
    sample::judge,
};

use super::{conversation::Conversation, load, transport::Transport, trouble::Trouble};
use crate::board::words::Sentence;

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

/// All of it over lines on which each frame in turn has a fate, each way.
fn each_frame_in_turn(fate: impl Fn(&mut Bench, &[u8]) -> Vec<u8> + Copy + 'static) {
    let clear = Pipe::clear(board());
    assert_eq!(all_of_it(&clear).expect("a verdict"), verdict_here().0);
    let frames = clear.frames() / 2;
    assert!(frames > 12, "{frames} frames each way");
    for number in 0..frames {
        for pipe in [
            Pipe::new(board(), to_one(number, fate), Box::new(unharmed)),
            Pipe::new(board(), Box::new(unharmed), to_one(number, fate)),
        ] {
            assert_eq!(all_of_it(&pipe).expect("a verdict"), verdict_here().0, "frame {number}");
        }
    }
}

#[test]
fn a_lost_frame_changes_nothing() {
    each_frame_in_turn(|_, _| Vec::new());
}

#[test]
fn a_doubled_frame_changes_nothing() {
    each_frame_in_turn(|_, frame| frame.repeat(2));
}

#[test]
fn a_damaged_frame_changes_nothing() {
    each_frame_in_turn(|_, frame| frame.iter().enumerate().map(|(at, byte)| byte ^ u8::from(at == 3)).collect());
}

#[test]
fn a_frame_without_its_end_changes_nothing() {
    each_frame_in_turn(|_, frame| frame[..frame.len() - 1].to_vec());
}

#[test]
fn a_frame_after_noise_changes_nothing() {
    each_frame_in_turn(|_, frame| [&[1, 2, 3][..], frame].concat());
}

#[test]
fn a_board_that_is_started_again_at_any_moment_is_begun_with_anew() {
    each_frame_in_turn(|bench, frame| {
        bench.restart();
        frame.to_vec()
    });
}

#[test]
fn a_line_that_harms_every_fifth_frame_gives_the_right_verdict_or_none() {
    let (mut whole, expected) = (0, verdict_here().0);
    for seed in 0..60 {
        let harm = move |salt: u64| -> Fate {
            let mut random = fastrand::Rng::with_seed(seed * 2 + salt);
            Box::new(move |_, frame| match random.u32(0..15) {
                0 => Vec::new(),
                1 => frame.repeat(2),
                2 => frame.iter().map(|byte| byte ^ u8::from(random.bool())).collect(),
                _ => frame.to_vec(),
            })
        };
        match all_of_it(&Pipe::new(board(), harm(0), harm(1))) {
            Ok(verdict) => {
                whole += 1;
                assert_eq!(verdict, expected, "seed {seed}");
            }
            Err(Trouble::Silent(_) | Trouble::NeverWhole) => {}
            Err(other) => panic!("seed {seed}: {other:?}"),
        }
    }
    assert!(whole > 50, "{whole} of 60 came through");
}

#[test]
fn an_answer_that_comes_late_is_not_taken_for_the_next_ones() {
    // Each answer arrives with the one after it.
    let mut late = Vec::new();
    let back = move |_: &mut Bench, frame: &[u8]| std::mem::replace(&mut late, frame.to_vec());
    let pipe = Pipe::new(board(), Box::new(unharmed), Box::new(back));
    assert_eq!(all_of_it(&pipe).expect("a verdict"), verdict_here().0);
}

#[test]
fn what_was_asked_last_before_this_conversation_is_not_answered_in_it() {
    let mut bench = board();
    // The number that this conversation begins with, and an answer that isn't to hello.
    let before = frame(&pinfold_core::link::Request { sequence: 8, ask: Ask::Status });
    assert!(matches!(replies(&bench.send(&before))[..], [Reply { answer: Answer::Status(_), .. }]));
    assert!(Pipe::clear(bench).talk().is_ok());
}

#[test]
fn half_a_frame_of_somebody_else_costs_nothing() {
    let mut bench = board();
    assert!(bench.send(&[3, 1, 4]).is_empty());
    let pipe = Pipe::clear(bench);
    assert!(pipe.talk().is_ok());
    assert_eq!(pipe.frames(), 1 + 2 * 2, "a zero byte, two hellos and their answers: nothing was sent again");
}

fn sentence(trouble: Trouble) -> Sentence {
    let json = trouble.problem("/dev/ttyX").json();
    let say = json["error"]["say"].as_str().expect("a text").to_owned();
    Sentence::new(say, "")
}

#[test]
fn limits_without_the_input_held_are_refused_with_what_to_do() {
    let pipe = Pipe::clear(Bench::new());
    let refused = all_of_it(&pipe).expect_err("nobody holds it");
    assert!(matches!(refused, Trouble::Refused(Refusal::NotHeld)), "{refused:?}");
    assert!(sentence(refused).say.contains("hold the button"));
}

#[test]
fn an_input_let_go_halfway_leaves_what_was_held_before() {
    let release = to_one(5, |bench, frame| {
        bench.hardware.held = false;
        frame.to_vec()
    });
    let mut bench = board();
    bench.load_limits(&packed_meadow(CEILING + 1, Freshness::default())).expect("limits");
    let before = bench.status().limits;
    assert!(before.is_some());
    let pipe = Pipe::new(bench, release, Box::new(unharmed));
    let refused = all_of_it(&pipe).expect_err("it was let go");
    assert!(matches!(refused, Trouble::Refused(Refusal::NotHeld)), "{refused:?}");
    assert_eq!(pipe.0.borrow().bench.status().limits, before);
}

#[test]
fn limits_that_come_too_slowly_are_begun_anew() {
    // Once, nothing comes for longer than the board waits.
    let slow = to_one(5, |bench, frame| {
        bench.wait(pinfold_core::link::PATIENCE + 10);
        frame.to_vec()
    });
    let pipe = Pipe::new(board(), slow, Box::new(unharmed));
    assert_eq!(all_of_it(&pipe).expect("a verdict"), verdict_here().0);
}

#[test]
fn a_board_that_erases_flash_is_waited_for_longer() {
    let pipe = Pipe::clear(board());
    all_of_it(&pipe).expect("a verdict");
    let ends = pipe.0.borrow();
    let longer: Vec<usize> =
        (0..ends.waits.len()).filter(|at| ends.waits[*at] > Duration::from_millis(1_000)).collect();
    // After two hellos the begin, and the last piece.
    let pieces = limits().len().div_ceil(PIECE);
    assert_eq!(longer, [2, 2 + pieces]);
}

#[test]
fn a_board_that_never_keeps_what_was_begun_is_given_up() {
    let restarts: Fate = Box::new(|bench, frame| {
        bench.restart();
        frame.to_vec()
    });
    let trouble = all_of_it(&Pipe::new(board(), restarts, Box::new(unharmed))).expect_err("never whole");
    assert!(matches!(trouble, Trouble::NeverWhole), "{trouble:?}");
    assert!(sentence(trouble).say.contains("4 times"));
}

#[test]
fn silence_says_what_was_asked_how_often_and_where_to_look() {
    let deaf: fn(&mut Bench, &[u8]) -> Vec<u8> = |_, _| Vec::new();
    let pipe = Pipe::new(board(), Box::new(deaf), Box::new(unharmed));
    let say = sentence(pipe.talk().err().expect("silence")).say;
    for part in
        ["no answer to hello: asked 8 times, 1.0 s each; nothing came", "wiring", "TX to RX", "nothing else uses it"]
    {
        assert!(say.contains(part), "no «{part}» in {say}");
    }
    assert_eq!(pipe.frames(), 1 + 8);
    let babble: Fate = Box::new(|_, frame| vec![0x55; frame.len()]);
    let say = sentence(Pipe::new(board(), Box::new(unharmed), babble).talk().err().expect("silence")).say;
    assert!(say.contains("bytes came, and no answer among them") && say.contains("--baud"), "{say}");
    let cut = Rc::new(RefCell::new(false));
    let wire = Rc::clone(&cut);
    let there: Fate = Box::new(move |_, frame| if *wire.borrow() { Vec::new() } else { frame.to_vec() });
    let mut talk = Pipe::new(board(), there, Box::new(unharmed)).talk().expect("a board");
    *cut.borrow_mut() = true;
    let say = sentence(talk.status().expect_err("silence")).say;
    assert!(say.contains("no answer to the status") && say.contains("is a wire loose"), "{say}");
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

#[test]
fn a_board_of_another_version_is_told_by_both_numbers_and_asked_nothing_more() {
    let here = Capacities::HERE;
    for (board_has, said) in [
        (
            Capacities { link: here.link + 1, ..here },
            format!("the version of the link: the board has {}, this program {}", here.link + 1, here.link),
        ),
        (
            Capacities { format: 1, ..here },
            format!("the version of the packed format: the board has 1, this program {}", here.format),
        ),
        (
            Capacities { rules: here.rules - 1, ..here },
            format!("the number of rules: the board has {}, this program {}", here.rules - 1, here.rules),
        ),
    ] {
        let back = changed(move |reply| {
            if matches!(reply.answer, Answer::Hello(_)) {
                reply.answer = Answer::Hello(board_has);
            }
        });
        let pipe = Pipe::new(board(), Box::new(unharmed), back);
        let say = sentence(pipe.talk().err().expect("another version")).say;
        assert!(say.contains(&said) && say.contains("nothing more was sent"), "{say}");
        assert_eq!(pipe.frames(), 1 + 2 * 2, "only the two hellos");
    }
}

#[test]
fn a_smaller_board_is_told_by_both_numbers_before_anything_is_loaded() {
    let small = Capacities { zones: 0, vertices: 3, steps: 2, ..Capacities::HERE };
    let back = changed(move |reply| {
        if matches!(reply.answer, Answer::Hello(_)) {
            reply.answer = Answer::Hello(small);
        }
    });
    let talk = Pipe::new(board(), Box::new(unharmed), back).talk().expect("a board");
    let say = sentence(talk.has_room_for_steps(3).expect_err("too many")).say;
    assert!(say.contains("the board holds 2 steps, and this has 3"), "{say}");
    assert!(talk.has_room_for_steps(2).is_ok());
    let store = meadow(CEILING, Freshness::default());
    let say = sentence(talk.has_room_for_limits(store.limits().expect("sealed")).expect_err("too many")).say;
    assert!(say.contains("the board holds 0 zones, and this has 1"), "{say}");
}

#[test]
fn an_answer_that_belongs_to_another_question_ends_the_conversation() {
    let back = changed(|reply| {
        if matches!(reply.answer, Answer::Status(_)) {
            reply.answer = Answer::Taken(0);
        }
    });
    let mut talk = Pipe::new(board(), Box::new(unharmed), back).talk().expect("a board");
    let trouble = talk.status().expect_err("astray");
    assert!(sentence(trouble).say.contains("the board's answer to the status belongs to another question"));
}

#[test]
fn a_route_in_flight_is_judged_and_takes_no_permit() {
    let pipe = Pipe::clear(board());
    all_of_it(&pipe).expect("a verdict");
    pipe.0.borrow_mut().bench.sense(standing());
    pipe.0.borrow_mut().bench.sense(flying(1_000, HIGH, 10_000_000));
    let mut talk = pipe.talk().expect("a board");
    let (_, verdict) = load::judge(&mut talk, &route(CEILING + 1), &mut quietly).expect("a verdict");
    let status = talk.status().expect("a status");
    assert_eq!(verdict.outcome(), Outcome::NoGo);
    assert!(super::words::flies(&status) && super::words::is_permit(status.stage), "{status:?}");
}
