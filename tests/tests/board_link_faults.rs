//! A line that does one thing wrong, at every place of an exchange and in both directions: the host learns the right
//! verdict, the permit is as it should be, and on the way there is none for a route that isn't the one.

use std::panic::{AssertUnwindSafe, catch_unwind, resume_unwind};

use pinfold_core::{
    interlock::Stage,
    link::{Answer, Ask, Request, frame},
    wire::Kind,
};
use pinfold_tests::board::{
    Bench,
    faults::{Case, Fault, HIGH, LOOSE, LOW, STRICT, Way, Wrong, permitted, wire},
    sample::{all_asked, packed_meadow, route, standing},
};

/// One thing wrong at every byte of one way.
fn each_byte(case: &Case, way: Way, wrongs: &[Wrong]) -> usize {
    let bytes = case.bytes()[way as usize];
    for at in 0..bytes {
        for wrong in wrongs {
            let fault = Fault { way, at, wrong: *wrong };
            catch_unwind(AssertUnwindSafe(|| case.run(vec![fault]))).unwrap_or_else(|broken| {
                println!("{}: {fault:?}", case.name);
                resume_unwind(broken)
            });
        }
    }
    bytes * wrongs.len()
}

/// Runs what goes wrong in all exchanges, both ways.
fn everywhere(wrongs: &[Wrong]) {
    let runs: usize =
        Case::all().iter().flat_map(|case| [Way::ToBoard, Way::ToHost].map(|way| each_byte(case, way, wrongs))).sum();
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
    let mut bench = Case::new("a permit", Some(LOOSE), None, LOOSE, LOW).line(Vec::new()).bench;
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
