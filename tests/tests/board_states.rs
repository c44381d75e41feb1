//! Every state that a board gets into, whoever is at the other end of the link: none breaks a promise, and from each a
//! host that means well gets to a permit.

use std::time::Instant;

use pinfold_core::{interlock::Stage, model::limits::Freshness, wire::Kind};
use pinfold_tests::{
    board::{
        Bench, sample,
        states::{
            action::{Action, LONG, SECOND, Said},
            files::{Files, LIMITS, Limits, Route, all_asked},
            search::States,
            world::World,
        },
    },
    sample::duration,
};

/// Rounds of a second that end every flight: one more than it takes.
const ROUNDS: usize = 11;

/// Everything that can be said.
const ALL_SAID: [Said; 6] = [Said::Standing, Said::Flying, Said::Ground, Said::Elsewhere, Said::Flat, Said::Ready];

/// What can happen but for what is said.
fn anything(files: &Files) -> Vec<Action> {
    let others = [
        Action::Begin(true),
        Action::Begin(false),
        Action::Rubbish,
        Action::Stray,
        Action::Pass(SECOND),
        Action::Pass(LONG),
        Action::Hold(true),
        Action::Hold(false),
        Action::Restart,
    ];
    others.into_iter().chain((0..files.pieces.len()).map(Action::Piece)).collect()
}

/// What can happen where limits stay as they are.
fn routes_only(files: &Files) -> Vec<Action> {
    let pieces = files.pieces.iter().enumerate().filter(|(_, piece)| piece.kind == Kind::Route);
    let others = [Action::Begin(false), Action::Pass(SECOND), Action::Pass(LONG)];
    others.into_iter().chain(pieces.map(|(number, _)| Action::Piece(number))).collect()
}

fn loading(files: &Files, limits: Limits) -> Vec<Action> {
    let pieces = files.pieces_of(Kind::Limits, files.limits(limits)).into_iter().map(Action::Piece);
    [Action::Hold(true), Action::Begin(true)].into_iter().chain(pieces).chain([Action::Hold(false)]).collect()
}

/// What a host that means well does, whatever was before: it waits until every flight is over, loads limits where it is
/// to, and the lower route, and tells what is known.
fn helpful(files: &Files, limits: Option<Limits>) -> Vec<Action> {
    let standing = || Action::Say(Said::Standing);
    let mut actions: Vec<_> = (0..ROUNDS).flat_map(|_| [standing(), Action::Pass(SECOND)]).collect();
    actions.extend(limits.into_iter().flat_map(|limits| loading(files, limits)));
    actions.push(Action::Begin(false));
    actions.extend(files.pieces_of(Kind::Route, files.route(Route::Low)).into_iter().map(Action::Piece));
    actions.push(standing());
    actions
}

/// Looks at all states after these limits are loaded, if any are; hosts that load these get to a permit.
fn search(name: &str, world: World, actions: Vec<Action>, said: &[Said], hosts: &[Option<Limits>]) -> States {
    let began = Instant::now();
    let hosts: Vec<_> = hosts.iter().map(|limits| helpful(&world.files, *limits)).collect();
    let menu = actions.into_iter().chain(said.iter().map(|said| Action::Say(*said))).collect();
    let states = States::all(world, menu);
    println!(
        "{name}: {} states, {} of them permitted and {} latched, {} transitions, at most {} waiting, {:.0?}",
        states.count(),
        states.count_of(Stage::Permitted),
        states.count_of(Stage::Latched),
        states.transitions,
        states.widest,
        began.elapsed()
    );
    assert!(states.count_of(Stage::Permitted) > 0 && states.count_of(Stage::Latched) > 0);
    hosts.iter().for_each(|actions| states.lead_to_a_permit(actions));
    states
}

/// Any host: with limits, or with those that are held.
const ANY: [Option<Limits>; 3] = [None, Some(Limits::Strict), Some(Limits::Loose)];

#[test]
fn no_state_breaks_a_promise_or_wedges() {
    let files = Files::new([all_asked(); 2]);
    let actions = anything(&files);
    search("all", World::new(files), actions, &[Said::Standing, Said::Flying], &ANY);
}

/// A board that holds these limits.
fn holding(files: Files, limits: Limits) -> World {
    let first = loading(&files, limits);
    first.iter().fold(World::new(files), |world, action| world.after(action).expect("a load"))
}

#[test]
fn no_reading_gives_or_takes_a_permit_that_it_should_not() {
    let files = Files::new([all_asked(); 2]);
    let actions = [&routes_only(&files)[..], &[Action::Fault]].concat();
    let said = [Said::Standing, Said::Flying, Said::Elsewhere, Said::Flat];
    search("readings", holding(files, Limits::Loose), actions, &said, &[None]);
}

#[test]
fn nothing_that_is_told_takes_a_permit_from_a_flight() {
    let files = Files::new([all_asked(); 2]);
    let told = [Said::Standing, Said::Ground, Said::Flying].map(Action::Tell);
    let actions = [&routes_only(&files)[..], &told].concat();
    search("told", holding(files, Limits::Loose), actions, &[Said::Standing, Said::Flying], &[None]);
}

/// A board with a permit, by limits that ask whether the aircraft flies by a reading this fresh, 0.01 s.
fn permitted(fresh: i32) -> Bench {
    let mut bench = Bench::new();
    let asked = Freshness { flight: Some(duration(fresh)), ..sample::all_asked() };
    assert_eq!(bench.load_limits(&sample::packed_meadow(3_000, asked)), Ok(()));
    assert_eq!(bench.load(Kind::Route, &sample::route(2_000)), Ok(()));
    bench.board.sense(sample::standing());
    assert_eq!(bench.status().stage, Stage::Permitted);
    bench
}

#[test]
fn nobody_knows_whether_an_aircraft_flies_by_a_reading_of_more_than_five_seconds() {
    // Limits may ask for less than that, but not for more.
    for (fresh, known) in [(100, 1_000), (500, 5_000), (6_000, 5_000)] {
        let mut bench = permitted(fresh);
        bench.wait(known);
        assert_ne!(bench.status().flight, None, "{fresh}");
        bench.wait(10);
        assert_eq!((bench.status().flight, bench.status().stage), (None, Stage::Latched), "{fresh}");
    }
}

#[test]
fn a_flight_ends_after_ten_seconds_of_looks_that_are_a_second_apart_at_most() {
    for (apart, ends) in [(1_000, true), (1_001, false)] {
        let mut bench = permitted(500);
        bench.board.sense(sample::flying(0, 2_000, 14_000));
        for _ in 0..20 {
            assert_eq!(bench.status().stage, Stage::Latched);
            bench.board.sense(sample::standing());
            bench.board.tick(apart, &mut bench.hardware);
            if bench.status().stage != Stage::Latched {
                break;
            }
        }
        assert_eq!(bench.status().stage == Stage::Idle, ends, "{apart} ms");
    }
}

/// Limits of which the looser don't ask whether the aircraft flies.
fn flight_not_asked() -> Files {
    Files::new([all_asked(), Freshness { flight: None, ..all_asked() }])
}

#[test]
#[ignore = "two minutes and half a GB"]
fn no_state_breaks_a_promise_or_wedges_where_flight_is_not_asked_for() {
    let files = flight_not_asked();
    let actions = anything(&files);
    search("all, flight not asked for", World::new(files), actions, &[Said::Flying, Said::Standing, Said::Ready], &ANY);
}

#[test]
#[ignore = "a minute"]
fn no_state_breaks_a_promise_or_wedges_whatever_flash_holds_that_nothing_reads() {
    let mut files = Files::new([all_asked(); 2]);
    files.every_byte = true;
    let actions = anything(&files);
    search("all, every byte of flash", World::new(files), actions, &[Said::Standing], &ANY);
}

#[test]
#[ignore = "two minutes"]
fn no_reading_that_is_not_asked_for_gives_or_takes_a_permit() {
    for limits in LIMITS {
        let files = flight_not_asked();
        let actions = [&routes_only(&files)[..], &[Action::Fault, Action::Restart]].concat();
        search(&format!("readings, {limits:?}"), holding(files, limits), actions, &ALL_SAID, &[None]);
    }
}
