//! What the board says of sound and of damaged bytes.

use std::{
    env, fs,
    path::{Path, PathBuf},
};

use pinfold_core::{
    fingerprint::Fingerprint,
    interlock::{Flight, Stage},
    link::{Aged, Answer, Ask, Capacities, Refusal, Report},
    rules::Readings,
    verdict::{Cause, Outcome, Rule},
    wire::Kind,
};
use pinfold_tests::emulator::{Board, Clock, Emulator, LinkError, image};

use crate::{
    generate::{Chance, Place, limits, packed_limits, packed_route, readings, route},
    host,
};

/// The routes of the shipped example: the good one first.
fn example_routes(example: &Path) -> Vec<PathBuf> {
    let mut refused = fs::read_dir(example.join("no-go"))
        .expect("a folder of routes that are refused")
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| path.extension().is_some_and(|extension| extension == "toml"))
        .collect::<Vec<_>>();
    refused.sort();
    assert!(!refused.is_empty(), "the example has no refused routes");
    [vec![example.join("route.toml")], refused].concat()
}

#[test]
#[ignore = "needs the firmware image and an emulator: tests/run runs it"]
fn the_example_gets_the_verdict_that_it_gets_on_the_host() {
    let example = Path::new(env!("CARGO_MANIFEST_DIR")).join("../host-cli/example");
    let out = Path::new(env!("CARGO_TARGET_TMPDIR")).join("emulator-example.packed");
    let limits = host::packed_by_command(&example.join("limits.toml"), &out);
    let mut board = Emulator::firmware();
    board.load_limits(&limits).unwrap();
    for (number, file) in example_routes(&example).iter().enumerate() {
        let route = host::packed_by_command(file, &out);
        board.load_route(&route).unwrap();
        let verdict = board.verdict().unwrap();
        assert_eq!(verdict, host::verdict_on_bytes(&limits, &route), "{}", file.display());
        let expected = if number == 0 { Outcome::Go } else { Outcome::NoGo };
        assert_eq!(host::outcome(&verdict), expected, "{}", file.display());
    }
}

/// Tells the board what is known, by wire and over the link.
fn tell(board: &mut Emulator, known: Readings) {
    // A permit from before would be one in flight.
    board.load(Kind::Route, &[]).unwrap();
    let aloft = known.aloft;
    board.tell_by_wire(Some(if aloft.is_some() { Flight::Flying } else { Flight::Ground }));
    let report = Report {
        position: aloft.map(|aloft| Aged::now(aloft.position)),
        height: aloft.map(|aloft| Aged::now(aloft.height)),
        left: aloft.map(|aloft| Aged::now(aloft.left)),
        pack: known.pack.map(Aged::now),
        flight: None,
    };
    board.report(report).unwrap();
}

#[test]
#[ignore = "needs the firmware image and an emulator: tests/run runs it"]
fn routes_by_chance_get_the_verdict_that_they_get_on_the_host() {
    let (mut board, mut chance) = (Emulator::firmware(), Chance::new(1));
    let (mut go, mut no_go, mut waits, mut permits, mut pack) = (0, 0, 0, 0, None);
    for number in 0..64 {
        let place = Place::number(number);
        let store = limits(&mut chance, place);
        let packed = packed_limits(&store);
        board.load_limits(&packed).unwrap();
        for _ in 0..4 {
            let (launch, steps) = route(&mut chance, place);
            let (bytes, known) = (packed_route(&launch, &steps), readings(&mut chance, place));
            // What was said before about the pack stays.
            pack = known.pack.or(pack);
            tell(&mut board, known);
            board.load_route(&bytes).unwrap();
            let verdict = board.verdict().unwrap();
            let judged = Readings { aloft: known.aloft, ..Readings::NONE };
            let expected = host::verdict_with(judged, &store, &packed, (&launch, &steps), &bytes);
            assert_eq!(verdict, expected, "{known:?} {launch:?} {steps:?}");
            match host::outcome(&verdict) {
                Outcome::Go => go += 1,
                Outcome::NoGo => no_go += 1,
            }
            if known.aloft.is_none() && host::outcome(&verdict) == Outcome::Go {
                let with_pack = Readings { pack, ..Readings::NONE };
                let verdict = host::verdict_with(with_pack, &store, &packed, (&launch, &steps), &bytes);
                let (status, broken) = (board.status().unwrap(), host::broken(&verdict, Rule::Pack));
                assert_eq!(status.waits, broken, "{pack:?}");
                assert_eq!(status.stage, if broken.is_some() { Stage::Waiting } else { Stage::Permitted });
                *(if broken.is_some() { &mut waits } else { &mut permits }) += 1;
            }
        }
    }
    println!("{go} go, {no_go} no-go; {permits} permits, {waits} that wait for another pack");
    assert!(go >= 30 && no_go >= 100, "one-sided: {go} go, {no_go} no-go");
    assert!(permits >= 5 && waits >= 5, "one-sided: {permits} permits, {waits} that wait");
}

#[test]
#[ignore = "needs the firmware image and an emulator: tests/run runs it"]
fn a_board_says_what_it_can_hold_and_logs_what_it_does() {
    let (mut board, mut chance) = (Emulator::firmware(), Chance::new(2));
    assert_eq!(board.ask(Ask::Hello).unwrap(), Answer::Hello(Capacities::HERE));
    let place = Place::number(3);
    let (launch, steps) = route(&mut chance, place);
    let (limits, route) = (packed_limits(&limits(&mut chance, place)), packed_route(&launch, &steps));
    board.load_route(&route).unwrap();
    host::assert_form(&board.verdict().unwrap(), Cause::NoLimits, "a route before any limits");
    assert!(board.logged("route judged ").starts_with("no-go "));
    board.load_limits(&limits).unwrap();
    let fingerprint = Fingerprint::of(&limits).to_string();
    assert_eq!(board.logged("limits held "), fingerprint);
    assert!(board.verdict().unwrap().is_empty(), "new limits leave no verdict on an older route");
    board.load_route(&route).unwrap();
    assert!(board.logged("route judged ").ends_with(&fingerprint));
}

#[test]
#[ignore = "needs the firmware image and an emulator: tests/run runs it"]
fn the_image_for_an_stm32f405_starts_and_answers() {
    let mut board = Emulator::start_on(Board::Stm32f405, &image("PINFOLD_STM32F405"), Clock::Real);
    let _ = board.logged("pinfold board: ");
    assert_eq!(board.ask(Ask::Hello).unwrap(), Answer::Hello(Capacities::HERE));
    let (launch, steps) = route(&mut Chance::new(10), Place::number(6));
    board.load_route(&packed_route(&launch, &steps)).unwrap();
    host::assert_form(&board.verdict().unwrap(), Cause::NoLimits, "a route before any limits");
    assert!(board.logged("route judged ").starts_with("no-go "));
}

#[test]
#[ignore = "needs the firmware image and an emulator: tests/run runs it"]
fn a_damaged_route_is_no_go_by_form_and_the_next_is_judged() {
    let (mut board, mut chance) = (Emulator::firmware(), Chance::new(3));
    let place = Place::number(4);
    let store = limits(&mut chance, place);
    let packed = packed_limits(&store);
    board.load_limits(&packed).unwrap();
    let (launch, steps) = route(&mut chance, place);
    let good = packed_route(&launch, &steps);
    let expected = host::verdict(&store, &packed, (&launch, &steps), &good);
    for at in 0..good.len() {
        let mut bad = good.clone();
        bad[at] ^= 1 << (chance.next() % 8);
        board.load_route(&bad).unwrap();
        let verdict = board.verdict().unwrap();
        // With a greater length the board waits for what never comes, and has no verdict at all.
        if !((6..10).contains(&at) && bad[at] > good[at] && verdict.is_empty()) {
            host::assert_form(&verdict, Cause::NotARoute, &format!("damaged at byte {at}"));
        }
    }
    board.load_route(&[&good[..], &[0]].concat()).unwrap();
    host::assert_form(&board.verdict().unwrap(), Cause::NotARoute, "a byte too many");
    for end in 0..good.len() {
        board.load_route(&good[..end]).unwrap();
        assert!(board.verdict().unwrap().is_empty(), "a route of which {end} bytes came has no verdict");
    }
    board.load_route(&good).unwrap();
    assert_eq!(board.verdict().unwrap(), expected);
}

#[test]
#[ignore = "needs the firmware image and an emulator: tests/run runs it"]
fn damaged_limits_leave_the_old_ones() {
    let (mut board, mut chance) = (Emulator::firmware(), Chance::new(4));
    let place = Place::number(5);
    let (old, new) = (packed_limits(&limits(&mut chance, place)), packed_limits(&limits(&mut chance, place)));
    let (launch, steps) = route(&mut chance, place);
    let good = packed_route(&launch, &steps);
    board.load_limits(&old).unwrap();
    for at in (0..new.len()).step_by(7) {
        let mut bad = new.clone();
        bad[at] ^= 1 << (chance.next() % 8);
        match board.load_limits(&bad) {
            Err(LinkError::Refused(Refusal::BadLimits | Refusal::NothingBegun)) => {
                assert_eq!(board.status().unwrap().limits, Some(Fingerprint::of(&old)), "damaged at byte {at}");
            }
            // With a greater length the board waits for what never comes.
            Ok(()) if (6..10).contains(&at) && bad[at] > new[at] => {
                assert_eq!(board.status().unwrap().limits, None, "damaged at byte {at}");
            }
            other => panic!("damaged at byte {at}: {other:?}"),
        }
    }
    board.load(Kind::Limits, &new[..new.len() - 1]).unwrap();
    board.load_route(&good).unwrap();
    assert_eq!(board.verdict().unwrap(), host::verdict_on_bytes(&old, &good), "given up for a route");
    board.load_limits(&new).unwrap();
    board.load_route(&good).unwrap();
    assert_eq!(board.verdict().unwrap(), host::verdict_on_bytes(&new, &good));
}
