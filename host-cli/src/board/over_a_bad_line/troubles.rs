//! What ends a conversation, or makes it begin anew.

use super::*;

#[test]
fn limits_without_the_input_held_are_refused_with_what_to_do() {
    let pipe = Pipe::clear(Bench::new());
    let refused = all_of_it(&pipe).expect_err("nobody holds it");
    assert!(matches!(refused, Trouble::Refused(Refusal::NotHeld)), "{refused:?}");
    assert!(said(&refused).contains("hold the button"));
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

/// Does something before a part of the verdict is asked for, counted from 0.
fn before_part_of_verdict(number: usize, mut deed: impl FnMut(&mut Bench) + 'static) -> Fate {
    let (mut reader, mut seen) = (FrameReader::new(), 0);
    Box::new(move |bench, frame| {
        let asked = frame.iter().find_map(|byte| reader.take::<Request>(*byte)?.message());
        if matches!(asked, Some(Request { ask: Ask::Verdict { .. }, .. })) {
            if seen == number {
                deed(bench);
            }
            seen += 1;
        }
        frame.to_vec()
    })
}

#[test]
fn a_verdict_that_becomes_another_while_it_is_read_is_read_again() {
    for other in [route(CEILING + 100), route(HIGH + 1)] {
        let sent = other.clone();
        let somebody = before_part_of_verdict(2, move |bench| {
            // Whoever says hello is heard.
            assert!(matches!(bench.ask(Ask::Hello), Answer::Hello(_)));
            bench.load(Kind::Route, &sent).expect("a route");
        });
        let mut bench = board();
        // They ask for readings, so that no permit latches between the two routes.
        bench.load_limits(&packed_meadow(CEILING, all_asked())).expect("limits");
        let pipe = Pipe::new(bench, somebody, Box::new(unharmed));
        let mut talk = pipe.talk().expect("a board");
        let (packed, verdict) = load::judge(&mut talk, &route(HIGH), &mut quietly).expect("a verdict");
        assert_eq!(packed, pipe.0.borrow().bench.board.verdict(), "the other one, whole");
        assert_eq!(verdict.subject.route, Fingerprint::of(&other));
    }
}

#[test]
fn what_is_never_a_verdict_is_told() {
    let back = changed(|reply| {
        if let Answer::Verdict { bytes, .. } = &mut reply.answer {
            bytes.iter_mut().for_each(|byte| *byte ^= 1);
        }
    });
    let trouble = all_of_it(&Pipe::new(board(), Box::new(unharmed), back)).expect_err("no verdict");
    assert!(said(&trouble).contains("what the board sends is no verdict"));
}

#[test]
fn a_board_that_never_keeps_what_was_begun_is_given_up() {
    let restarts: Fate = Box::new(|bench, frame| {
        bench.restart();
        frame.to_vec()
    });
    let trouble = all_of_it(&Pipe::new(board(), restarts, Box::new(unharmed))).expect_err("never whole");
    assert!(matches!(trouble, Trouble::NeverWhole), "{trouble:?}");
    assert!(said(&trouble).contains("4 times"));
}

#[test]
fn silence_says_what_was_asked_how_often_and_where_to_look() {
    let deaf: fn(&mut Bench, &[u8]) -> Vec<u8> = |_, _| Vec::new();
    let pipe = Pipe::new(board(), Box::new(deaf), Box::new(unharmed));
    let say = said(&pipe.talk().err().expect("silence"));
    for part in
        ["no answer to hello: asked 8 times, 1.0 s each; nothing came", "wiring", "TX to RX", "nothing else uses it"]
    {
        assert!(say.contains(part), "no «{part}» in {say}");
    }
    assert_eq!(pipe.frames(), 1 + 8);
    let babble: Fate = Box::new(|_, frame| vec![0x55; frame.len()]);
    let say = said(&Pipe::new(board(), Box::new(unharmed), babble).talk().err().expect("silence"));
    assert!(say.contains("bytes came, and no answer among them") && say.contains("--baud"), "{say}");
    let cut = Rc::new(RefCell::new(false));
    let wire = Rc::clone(&cut);
    let there: Fate = Box::new(move |_, frame| if *wire.borrow() { Vec::new() } else { frame.to_vec() });
    let mut talk = Pipe::new(board(), there, Box::new(unharmed)).talk().expect("a board");
    *cut.borrow_mut() = true;
    let say = said(&talk.status().expect_err("silence"));
    assert!(say.contains("no answer to the status") && say.contains("is a wire loose"), "{say}");
}

#[test]
fn a_board_of_another_version_is_told_by_both_numbers_and_asked_nothing_more() {
    let here = Capacities::HERE;
    for (board_has, numbers) in [
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
        let say = said(&pipe.talk().err().expect("another version"));
        assert!(say.contains(&numbers) && say.contains("nothing more was sent"), "{say}");
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
    let say = said(&talk.has_room_for_steps(3).expect_err("too many"));
    assert!(say.contains("the board holds 2 steps, and this has 3"), "{say}");
    assert!(talk.has_room_for_steps(2).is_ok());
    let store = meadow(CEILING, Freshness::default());
    let say = said(&talk.has_room_for_limits(store.limits().expect("sealed")).expect_err("too many"));
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
    assert!(said(&trouble).contains("the board's answer to the status belongs to another question"));
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
    assert!(status.aloft() && status.stage.has_permit(), "{status:?}");
}

/// All readings that a board was sent, by what is heard on the line.
fn readings_sent(lost: usize) -> (Vec<Request>, Result<Status, Trouble>) {
    let heard = Rc::new(RefCell::new(Vec::new()));
    let (listener, mut reader) = (Rc::clone(&heard), FrameReader::new());
    let there: Fate = Box::new(move |_, frame| {
        let asked = frame.iter().find_map(|byte| reader.take::<Request>(*byte));
        let Some(Came::Message(request @ Request { ask: Ask::Readings(_), .. })) = asked else { return frame.to_vec() };
        listener.borrow_mut().push(request);
        if listener.borrow().len() > lost { frame.to_vec() } else { Vec::new() }
    });
    let pipe = Pipe::new(board(), there, Box::new(unharmed));
    let status = pipe.talk().expect("a board").report(standing());
    let sent = heard.borrow().clone();
    (sent, status)
}

#[test]
fn readings_without_an_answer_are_sent_anew_and_older() {
    let (sent, status) = readings_sent(2);
    assert!(status.is_ok(), "{status:?}");
    let ages: Vec<_> = sent
        .iter()
        .map(|request| match &request.ask {
            Ask::Readings(report) => [report.flight.expect("said").age, report.position.expect("said").age],
            other => panic!("{other:?}"),
        })
        .collect();
    assert_eq!(ages.len(), 3);
    for (times, ages) in (0..).zip(ages) {
        // What time the test itself takes comes on top.
        assert!(ages.iter().all(|age| (1_000 * times..1_000 * times + 900).contains(age)), "{times}: {ages:?}");
    }
    assert!(sent.windows(2).all(|two| two[1].sequence == two[0].sequence + 1), "{sent:?}");
}

#[test]
fn readings_that_never_arrive_are_given_up() {
    let (sent, status) = readings_sent(usize::MAX);
    assert_eq!(sent.len(), 8);
    assert!(said(&status.expect_err("silence")).contains("no answer to readings: asked 8 times"));
}
