//! What happens to single frames changes nothing.

use super::*;

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
    let before = frame(&Request { sequence: 8, ask: Ask::Status });
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
