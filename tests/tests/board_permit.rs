//! A board on the bench, from limits to a flight and its end.

use pinfold_core::{
    board::{Event, Lines},
    fingerprint::Fingerprint,
    interlock::{Flight, Stage},
    link::{Advice, Aged, Answer, Ask, Capacities, LINK_VERSION, PATIENCE, Refusal, Report, Request, frame},
    model::limits::Freshness,
    rules::{Aloft, PackReading, Readings},
    units::{Charge, Voltage},
    verdict::{Cause, Finding, Outcome, Rule},
    wire::{Kind, envelope::checksum, verdict::unpack_verdict},
};
use pinfold_tests::{
    board::{
        Bench,
        bench::replies,
        sample::{all_asked, flying, meadow, now, packed_meadow, route, standing, start, steps},
    },
    packed::{packed_route, packed_verdict},
    sample::{climb, height, judge_with, launch, position},
};

const ACTIVE: Lines = Lines { permit: true, advice: false };
const ADVISING: Lines = Lines { permit: true, advice: true };
const INACTIVE: Lines = Lines { permit: false, advice: false };

/// A board with the meadow's limits that asks for all readings.
fn meadow_board() -> Bench {
    let mut bench = Bench::new();
    bench.load_limits(&packed_meadow(5_000, all_asked())).expect("limits");
    bench
}

/// The same with a Go.
fn cleared() -> Bench {
    let mut bench = meadow_board();
    bench.load(Kind::Route, &route(2_000)).expect("a route");
    assert_eq!(bench.status().stage, Stage::Waiting);
    bench
}

/// The same with a permit.
fn permitted() -> Bench {
    let mut bench = cleared();
    bench.sense(standing());
    assert_eq!(bench.wait(10), ACTIVE);
    bench
}

/// The same in flight, 11 m north of launch with much left.
fn in_flight() -> Bench {
    let mut bench = permitted();
    assert_eq!(bench.sense(flying(1_000, 2_000, 10_000_000)).stage, Stage::Latched);
    bench
}

/// The route without its climb: for an aircraft that flies.
fn onward(at: i32) -> Vec<u8> {
    packed_route(&start(), &steps(at)[1..]).0
}

/// What a report says of an aircraft that flies, as the checker takes it.
fn known_aloft(report: &Report) -> Readings {
    let aloft = Aloft {
        position: report.position.expect("said").value,
        height: report.height.expect("said").value,
        left: report.left.expect("said").value,
    };
    Readings { aloft: Some(aloft), ..Readings::NONE }
}

fn waits(bench: &Bench) -> Option<(Rule, Cause)> {
    bench.status().waits.map(|finding: Finding| (finding.rule, finding.cause))
}

fn outcome(bench: &mut Bench) -> Outcome {
    unpack_verdict(&bench.verdict()).expect("a verdict").outcome()
}

/// The rule and cause of a verdict that has one finding.
fn only_finding(bench: &mut Bench) -> (Rule, Cause) {
    let verdict = unpack_verdict(&bench.verdict()).expect("a verdict");
    let found = verdict.findings.iter().map(|finding| (finding.rule, finding.cause)).collect::<Vec<_>>();
    assert_eq!((verdict.outcome(), found.len()), (Outcome::NoGo, 1), "{found:?}");
    found[0]
}

#[test]
fn a_go_gets_its_permit_once_everything_asked_for_is_known() {
    let mut bench = cleared();
    assert_eq!(outcome(&mut bench), Outcome::Go);
    let Report { flight, position, pack, .. } = standing();
    assert_eq!(waits(&bench), Some((Rule::Launch, Cause::NoReading)));
    bench.sense(Report { position, ..Report::default() });
    assert_eq!(waits(&bench), Some((Rule::Pack, Cause::NoReading)));
    bench.sense(Report { pack, ..Report::default() });
    assert_eq!(waits(&bench), Some((Rule::Form, Cause::NoReading)));
    assert_eq!(bench.wait(10), INACTIVE);
    let status = bench.sense(Report { flight, ..Report::default() });
    assert_eq!((status.stage, status.waits), (Stage::Permitted, None));
    let held = (Fingerprint::of(&packed_meadow(5_000, all_asked())), Fingerprint::of(&route(2_000)));
    assert_eq!((status.limits, status.route), (Some(held.0), Some(held.1)));
    assert_eq!(bench.wait(10), ACTIVE);
}

#[test]
fn each_reading_that_grows_too_old_or_worse_ends_the_permit_on_the_ground() {
    let aged = |age| Report { position: now(position(0, 0)).map(|here| Aged { age, ..here }), ..Report::default() };
    let mut bench = permitted();
    assert_eq!(bench.sense(aged(5_000)).stage, Stage::Permitted);
    assert_eq!(bench.wait(10), INACTIVE, "older than 5 s");
    assert_eq!(waits(&bench), Some((Rule::Launch, Cause::NoReading)));
    bench.sense(standing());
    assert_eq!(bench.wait(10), ACTIVE);
    // 10 m are allowed; 900 counts of 1e-7 degree are 9.95 m, 910 are 10.06 m (110.574 km to the degree at the equator,
    // WGS 84).
    assert_eq!(bench.sense(Report { position: now(position(900, 0)), ..Report::default() }).stage, Stage::Permitted);
    let away = bench.sense(Report { position: now(position(910, 0)), ..Report::default() });
    assert_eq!((away.stage, waits(&bench)), (Stage::Waiting, Some((Rule::Launch, Cause::Measured))));
    bench.sense(standing());
    let flat = PackReading { voltage: Voltage::new(1_300).expect("in range"), rested: None };
    assert_eq!(bench.sense(Report { pack: now(flat), ..Report::default() }).stage, Stage::Waiting);
    assert_eq!(waits(&bench).map(|(rule, _)| rule), Some(Rule::Pack));
}

#[test]
fn a_pack_that_holds_too_little_for_the_worst_turn_back_gets_no_permit() {
    let store = meadow(5_000, all_asked());
    let mut bench = cleared();
    for centivolts in 1_440..=1_680 {
        let pack = PackReading { voltage: Voltage::new(centivolts).expect("in range"), rested: None };
        let known = Readings { pack: Some(pack), ..Readings::NONE };
        let verdict = judge_with(&store, start(), known, &steps(2_000));
        let status = bench.sense(Report { pack: now(pack), ..standing() });
        let expected = if verdict.outcome() == Outcome::Go { Stage::Permitted } else { Stage::Waiting };
        assert_eq!(status.stage, expected, "{centivolts}");
        let found = verdict.findings.iter().find(|finding| finding.rule == Rule::Pack);
        assert!(status.waits.is_none() || status.waits.as_ref() == found, "{centivolts}: {found:?}");
    }
}

#[test]
fn a_no_go_and_no_limits_get_none() {
    let mut bench = meadow_board();
    bench.sense(standing());
    bench.load(Kind::Route, &route(5_000)).expect("a route");
    assert_eq!((outcome(&mut bench), bench.status().stage), (Outcome::NoGo, Stage::NoGo));
    assert_eq!(bench.wait(1_000), INACTIVE);
    let mut bench = Bench::new();
    bench.load(Kind::Route, &route(2_000)).expect("a route");
    assert_eq!(only_finding(&mut bench), (Rule::Form, Cause::NoLimits));
    assert_eq!(bench.status().stage, Stage::NoGo);
}

#[test]
fn a_byte_after_the_route_ends_its_permit() {
    let mut bench = permitted();
    let offset = u32::try_from(route(2_000).len()).expect("short");
    let bytes = std::iter::once(0).collect();
    assert_eq!(bench.ask(Ask::Piece { offset, bytes }), Answer::Taken(offset + 1));
    assert_eq!(only_finding(&mut bench), (Rule::Form, Cause::NotARoute));
    assert_eq!(bench.wait(10), INACTIVE);
}

#[test]
fn limits_need_the_input_from_the_first_byte_to_the_last() {
    let (old, new) = (packed_meadow(5_000, all_asked()), packed_meadow(6_000, all_asked()));
    let mut bench = permitted();
    assert_eq!(bench.load(Kind::Limits, &new), Err(Refusal::NotHeld));
    assert_eq!(bench.wait(10), ACTIVE, "nothing has changed");
    bench.hardware.held = true;
    assert_eq!(bench.ask(Ask::Begin(Kind::Limits)), Answer::Taken(0));
    assert_eq!(bench.wait(10), INACTIVE, "what comes may be anything");
    assert_eq!(bench.status().limits, None);
    let piece = |bench: &mut Bench| bench.ask(Ask::Piece { offset: 0, bytes: new[..64].iter().copied().collect() });
    assert_eq!(piece(&mut bench), Answer::Taken(64));
    bench.hardware.held = false;
    bench.wait(10);
    bench.hardware.held = true;
    assert_eq!(bench.status().limits, Some(Fingerprint::of(&old)), "those in flash hold again");
    assert_eq!(piece(&mut bench), Answer::Refused(Refusal::NotHeld));
    let (last, rest) = new.split_last().expect("bytes");
    assert_eq!(bench.load(Kind::Limits, rest), Ok(()));
    bench.hardware.held = false;
    let offset = u32::try_from(rest.len()).expect("short");
    let last = Ask::Piece { offset, bytes: std::iter::once(*last).collect() };
    assert_eq!(bench.ask(last), Answer::Refused(Refusal::NotHeld), "not even for the last byte");
    assert_eq!(bench.status().limits, Some(Fingerprint::of(&old)));
    assert_eq!(bench.load_limits(&new), Ok(()));
    assert_eq!(bench.event, Some(Event::LimitsHeld(Fingerprint::of(&new))));
    bench.restart();
    assert_eq!(bench.status().limits, Some(Fingerprint::of(&new)));
}

#[test]
fn limits_that_are_damaged_or_never_end_leave_the_old_ones() {
    let (old, new) = (packed_meadow(5_000, all_asked()), packed_meadow(6_000, all_asked()));
    let mut bench = permitted();
    let mut bad = new.clone();
    *bad.last_mut().expect("bytes") ^= 1;
    assert_eq!(bench.load_limits(&bad), Err(Refusal::BadLimits));
    assert_eq!(bench.status().limits, Some(Fingerprint::of(&old)));
    bench.hardware.held = true;
    assert_eq!(bench.load(Kind::Limits, &new[..new.len() - 1]), Ok(()));
    assert_eq!(bench.wait(10_000), INACTIVE);
    assert_eq!(bench.status().limits, None);
    bench.wait(10);
    assert_eq!(bench.status().limits, Some(Fingerprint::of(&old)), "given up after ten seconds");
    bench.load(Kind::Route, &route(2_000)).expect("a route");
    assert_eq!(outcome(&mut bench), Outcome::Go);
}

#[test]
fn nothing_takes_a_permit_from_a_flight() {
    let mut bench = in_flight();
    bench.hardware.held = true;
    assert_eq!(bench.ask(Ask::Begin(Kind::Limits)), Answer::Refused(Refusal::Latched));
    for high in [2_000, 5_000] {
        bench.load(Kind::Route, &route(high)).expect("a route");
        assert!(bench.wait(10).permit, "a route of {high}");
    }
    bench.load(Kind::Route, b"no route at all").expect("bytes");
    bench.board.fault();
    assert!(bench.wait(10_000).permit, "and every reading too old");
    assert_eq!((bench.status().stage, bench.status().flight), (Stage::Latched, None));
}

#[test]
fn a_flight_is_over_after_ten_seconds_on_the_ground_and_its_go_is_spent() {
    let mut bench = in_flight();
    for second in 0..11 {
        bench.sense(standing());
        assert_eq!(bench.wait(1_000).permit, second < 9, "{second}");
    }
    assert_eq!(bench.status().stage, Stage::Idle);
    bench.load(Kind::Route, &route(2_000)).expect("a route");
    assert_eq!(bench.status().stage, Stage::Permitted);
}

#[test]
fn one_reading_alone_never_ends_a_flight() {
    let mut bench = in_flight();
    bench.sense(standing());
    assert!(bench.wait(60_000).permit);
}

#[test]
fn where_nobody_says_whether_it_flies_a_permit_stays_until_the_restart() {
    let mut bench = Bench::new();
    bench.load_limits(&packed_meadow(5_000, Freshness::default())).expect("limits");
    bench.load(Kind::Route, &route(2_000)).expect("a route");
    assert_eq!(bench.wait(10), ACTIVE);
    assert_eq!(bench.status().stage, Stage::Latched);
    bench.load(Kind::Route, &route(2_000)).expect("a route");
    assert_eq!(only_finding(&mut bench), (Rule::Launch, Cause::NoReading), "from where, nobody knows");
    assert_eq!(bench.wait(100_000), ADVISING);
    bench.restart();
    assert_eq!(bench.wait(10), INACTIVE);
}

#[test]
fn nobody_can_take_a_permit_back_over_the_link() {
    let mut bench = cleared();
    assert_eq!(bench.report(standing()).stage, Stage::Latched, "it is on the ground, they say");
    for _ in 0..20 {
        bench.report(standing());
        assert_eq!(bench.wait(1_000), ACTIVE);
    }
    bench.load(Kind::Route, &route(5_000)).expect("a route");
    assert!(bench.wait(10).permit);
    let mut bench = permitted();
    assert_eq!(bench.report(flying(0, 2_000, 10_000_000)).stage, Stage::Permitted, "the wire knows better");
    let mut bench = cleared();
    bench.report(standing());
    bench.sense(standing());
    (0..11).for_each(|_| {
        bench.sense(standing());
        bench.wait(1_000);
    });
    assert_eq!(bench.status().stage, Stage::Idle, "the wire can");
}

#[test]
fn a_bad_reading_counts_where_none_is_asked_for() {
    let mut bench = Bench::new();
    bench.load_limits(&packed_meadow(5_000, Freshness::default())).expect("limits");
    bench.sense(Report { position: now(position(2_000, 0)), ..Report::default() });
    bench.load(Kind::Route, &route(2_000)).expect("a route");
    assert_eq!((bench.wait(60_000), waits(&bench)), (INACTIVE, Some((Rule::Launch, Cause::Measured))));
    assert_eq!(bench.wait(10), ACTIVE, "after a minute it is as good as none");
}

#[test]
fn an_aircraft_that_flies_already_gets_advice_and_no_permit() {
    let mut bench = meadow_board();
    bench.sense(flying(1_000, 2_000, 10_000_000));
    bench.load(Kind::Route, &onward(2_000)).expect("a route");
    assert_eq!((outcome(&mut bench), bench.status().stage), (Outcome::Go, Stage::Idle));
    assert_eq!(bench.wait(10), INACTIVE);
    bench.sense(standing());
    assert_eq!(bench.wait(10), INACTIVE, "that verdict was about a flight");
}

#[test]
fn a_route_that_changes_in_flight_is_judged_from_where_the_aircraft_is() {
    let mut bench = in_flight();
    let store = meadow(5_000, all_asked());
    for (high, left, lines) in [(2_000, 10_000_000, ACTIVE), (5_000, 10_000_000, ADVISING), (2_000, 300, ADVISING)] {
        let report = flying(1_000, 2_000, left);
        bench.sense(report);
        bench.load(Kind::Route, &onward(high)).expect("a route");
        let known = known_aloft(&report);
        let mut expected = judge_with(&store, start(), known, &steps(high)[1..]);
        expected.subject.route = Fingerprint::of(&onward(high));
        expected.subject.limits = Fingerprint::of(&packed_meadow(5_000, all_asked()));
        assert_eq!(bench.verdict(), packed_verdict(&expected), "{high}, {left}");
        assert_eq!(bench.wait(10), lines, "{high}, {left}");
        let follow = if lines.advice { Advice::DoNotFollow } else { Advice::None };
        assert!([follow, Advice::TurnBack].contains(&bench.status().advice));
    }
    bench.sense(flying(1_000, 2_000, 10_000_000));
    let elsewhere = packed_route(&launch(0, 10), &steps(2_000)[1..]).0;
    bench.load(Kind::Route, &elsewhere).expect("a route");
    assert_eq!(only_finding(&mut bench), (Rule::Launch, Cause::AnotherLaunch));
    assert_eq!(bench.status().advice, Advice::DoNotFollow);
    let cut = packed_route(&start(), &[climb(2_000)]).0;
    bench.load(Kind::Route, &cut).expect("a route");
    assert_eq!((outcome(&mut bench), bench.wait(10)), (Outcome::NoGo, ADVISING));
}

#[test]
fn it_advises_to_turn_back_when_the_return_would_use_the_reserve() {
    let mut bench = in_flight();
    let store = meadow(5_000, all_asked());
    let mut told = Vec::new();
    for left in (0..6_000).step_by(50) {
        let report = flying(10_000, 2_000, left);
        let status = bench.sense(report);
        let known = known_aloft(&report);
        let home = judge_with(&store, start(), known, &[pinfold_core::model::route::Step::Return]);
        let expected = if home.outcome() == Outcome::Go { Advice::None } else { Advice::TurnBack };
        assert_eq!((status.advice, status.stage), (expected, Stage::Latched), "{left}");
        assert_eq!(bench.wait(10).advice, expected == Advice::TurnBack);
        told.push(status.advice);
    }
    assert!(told.contains(&Advice::None) && told.contains(&Advice::TurnBack), "one-sided");
    (0..11).for_each(|_| {
        bench.sense(standing());
        bench.wait(1_000);
    });
    assert_eq!((bench.status().stage, bench.status().advice), (Stage::Idle, Advice::None));
}

/// Each reading of where the aircraft is and what it has left is news by itself, on the wire and over the link.
#[test]
fn each_reading_by_itself_is_news_for_the_return() {
    let whole = || {
        let mut bench = in_flight();
        assert_eq!(bench.sense(flying(10_000, 2_000, 10_000_000)).advice, Advice::None);
        bench
    };
    let far_or_high_or_empty = [
        Report { position: now(position(30_000, 0)), ..Report::default() },
        Report { height: now(height(9_000)), ..Report::default() },
        Report { left: now(Charge::new(0).expect("in range")), ..Report::default() },
    ];
    for news in far_or_high_or_empty {
        assert_eq!(whole().sense(news).advice, Advice::TurnBack, "{news:?}");
        assert_eq!(whole().report(news).advice, Advice::TurnBack, "{news:?} over the link");
    }
}

#[test]
fn on_the_ground_there_is_no_advice() {
    let mut bench = cleared();
    let empty = Report { flight: None, ..flying(10_000, 2_000, 0) };
    assert_eq!((bench.sense(empty).advice, bench.status().stage), (Advice::None, Stage::Waiting));
    let mut bench = in_flight();
    assert_eq!(bench.sense(flying(10_000, 2_000, 0)).advice, Advice::TurnBack);
    (0..11).for_each(|_| {
        bench.sense(standing());
        bench.wait(1_000);
    });
    assert_eq!((bench.status().advice, bench.wait(10)), (Advice::None, INACTIVE), "the flight is over");
}

#[test]
fn a_route_that_begins_ends_what_was_said_of_the_last() {
    let mut bench = in_flight();
    bench.load(Kind::Route, &onward(5_000)).expect("a route");
    assert_eq!((outcome(&mut bench), bench.status().advice), (Outcome::NoGo, Advice::DoNotFollow));
    assert_eq!(bench.ask(Ask::Begin(Kind::Route)), Answer::Taken(0));
    assert_eq!((bench.verdict(), bench.status().advice), (vec![], Advice::None));
}

#[test]
fn a_route_that_comes_amid_limits_is_judged_by_those_before() {
    let mut bench = meadow_board();
    bench.hardware.held = true;
    assert_eq!(bench.ask(Ask::Begin(Kind::Limits)), Answer::Taken(0));
    let piece = Ask::Piece { offset: 0, bytes: packed_meadow(2_500, all_asked()).iter().copied().take(20).collect() };
    assert_eq!(bench.ask(piece), Answer::Taken(20));
    bench.load(Kind::Route, &route(2_000)).expect("a route");
    assert_eq!(outcome(&mut bench), Outcome::Go);
}

/// Without a moment in between: the second Go is asked about what is known, not taken for the first.
#[test]
fn a_go_that_follows_another_at_once_gets_its_own_permit() {
    let mut bench = permitted();
    bench.load(Kind::Route, &route(1_500)).expect("a route");
    assert_eq!(bench.status().stage, Stage::Permitted);
    assert_eq!(bench.status().route, Some(Fingerprint::of(&route(1_500))));
}

#[test]
fn limits_that_come_slowly_come_all_the_same() {
    let mut bench = Bench::new();
    bench.hardware.held = true;
    let bytes = packed_meadow(5_000, all_asked());
    assert_eq!(bench.ask(Ask::Begin(Kind::Limits)), Answer::Taken(0));
    let mut offset = 0;
    for part in bytes.chunks(40) {
        bench.wait(PATIENCE - 1_000);
        let Answer::Taken(taken) = bench.ask(Ask::Piece { offset, bytes: part.iter().copied().collect() }) else {
            panic!("given up after {offset} bytes")
        };
        offset = taken;
    }
    assert_eq!(bench.status().limits, Some(Fingerprint::of(&bytes)));
    // What comes after them has no place.
    let more = Ask::Piece { offset, bytes: [0].into_iter().collect() };
    assert_eq!(bench.ask(more), Answer::Refused(Refusal::NothingBegun));
    assert_eq!(bench.status().limits, Some(Fingerprint::of(&bytes)));
}

#[test]
fn what_is_asked_twice_is_done_once() {
    let mut bench = permitted();
    let again = frame(&Request { sequence: 900, ask: Ask::Begin(Kind::Route) });
    assert_eq!(bench.send(&again), bench.send(&again));
    let piece = Ask::Piece { offset: 0, bytes: route(2_000).iter().copied().collect() };
    let piece = frame(&Request { sequence: 901, ask: piece });
    assert_eq!(bench.send(&piece), bench.send(&piece));
    assert_eq!(bench.status().stage, Stage::Permitted, "and is no trailing bytes");
}

#[test]
fn an_unknown_question_is_answered_and_a_damaged_one_is_not() {
    let mut bench = permitted();
    let whole = |body: &[u8]| [body, &checksum(body).to_le_bytes()].concat();
    let send = |bench: &mut Bench, bytes: &[u8]| {
        let mut out = vec![0; bytes.len() + 4];
        let length = cobs::try_encode(bytes, &mut out).expect("room");
        out.truncate(length + 1);
        replies(&bench.send(&out))
    };
    let unknown = send(&mut bench, &whole(&[77, 200]));
    assert_eq!(unknown.iter().map(|reply| reply.sequence).collect::<Vec<_>>(), [77]);
    assert_eq!(unknown[0].answer, Answer::Refused(Refusal::Unknown));
    let mut damaged = whole(&[78, 0]);
    damaged[1] ^= 1;
    assert_eq!(send(&mut bench, &damaged), []);
    assert_eq!(bench.ask(Ask::Hello), Answer::Hello(Capacities { link: LINK_VERSION, ..Capacities::HERE }));
    assert_eq!(bench.ask(Ask::Begin(Kind::Verdict)), Answer::Refused(Refusal::Unknown));
    assert_eq!(bench.status().stage, Stage::Permitted);
    assert_eq!(bench.status().flight, Some(Flight::Ground));
}
