//! Every state of the interlock with everything that can happen to it.

use pinfold_core::{
    check::{Checker, Go, Standing},
    fingerprint::Fingerprint,
    interlock::{Flight, Happening, Interlock, LANDED, Stage},
    model::limits::Freshness,
    rules::Readings,
    verdict::Subject,
};
use pinfold_tests::{
    board::sample::{meadow, start, steps},
    packed::{packed_limits, packed_route},
};

/// A Go for a route at a height, and that it stands.
fn go(at: i32) -> (Go, Standing) {
    let store = meadow(5_000, Freshness::default());
    let limits = store.limits().expect("sealed");
    let held: Fingerprint = packed_limits(limits).1;
    let subject = Subject { route: packed_route(&start(), &steps(at)).1, limits: held };
    let mut checker = Checker::new(limits, start(), Readings::NONE);
    steps(at).iter().for_each(|step| checker.step(limits, step));
    let (_, go) = checker.decide(limits, subject);
    let go = go.expect("a Go");
    let standing = go.stands(limits, held, &Readings::NONE).expect("it stands");
    (go, standing)
}

/// A look at what is known, for so long.
fn look(standing: Option<&Standing>, flight: Option<Flight>, elapsed: u32) -> Happening<'_> {
    Happening::Looked { standing, flight, elapsed }
}

const STAGES: [Stage; 6] = [Stage::Faulty, Stage::Idle, Stage::NoGo, Stage::Waiting, Stage::Permitted, Stage::Latched];

/// An interlock in this state; where there is a Go in it, that for the lower route.
fn in_state(stage: Stage) -> Interlock {
    let mut interlock = Interlock::default();
    let (go, standing) = go(2_000);
    match stage {
        Stage::Idle => {}
        Stage::Faulty => interlock.take(Happening::Fault),
        Stage::NoGo => interlock.take(Happening::Judged(None)),
        Stage::Waiting => interlock.take(Happening::Judged(Some(go))),
        Stage::Permitted | Stage::Latched => {
            interlock.take(Happening::Judged(Some(go)));
            interlock.take(look(Some(&standing), Some(Flight::Ground), 0));
        }
    }
    if stage == Stage::Latched {
        interlock.take(look(None, Some(Flight::Flying), 10));
    }
    assert_eq!(interlock.stage(), stage);
    interlock
}

/// Where each state leads, in the order of `STAGES`.
fn expect(name: &str, mut happen: impl FnMut(&mut Interlock), expected: [Stage; 6]) {
    for (from, to) in STAGES.into_iter().zip(expected) {
        let mut interlock = in_state(from);
        happen(&mut interlock);
        assert_eq!(interlock.stage(), to, "{name} in {from:?}");
        let active = matches!(to, Stage::Permitted | Stage::Latched);
        assert_eq!(interlock.permit().is_some(), active, "{name} in {from:?}: the permit");
        let held = matches!(to, Stage::Waiting) || active;
        assert_eq!(interlock.go().is_some(), held, "{name} in {from:?}: the Go");
    }
}

#[test]
fn a_fault_ends_everything_but_a_flight() {
    use Stage::{Faulty, Latched};
    let happen = |interlock: &mut Interlock| interlock.take(Happening::Fault);
    expect("a fault", happen, [Faulty, Faulty, Faulty, Faulty, Faulty, Latched]);
}

#[test]
fn a_new_beginning_ends_everything_but_a_fault_and_a_flight() {
    use Stage::{Faulty, Idle, Latched};
    let happen = |interlock: &mut Interlock| interlock.take(Happening::Begun);
    expect("a beginning", happen, [Faulty, Idle, Idle, Idle, Idle, Latched]);
}

#[test]
fn a_verdict_counts_on_the_ground_alone() {
    use Stage::{Faulty, Latched, NoGo, Waiting};
    let no_go = |interlock: &mut Interlock| interlock.take(Happening::Judged(None));
    expect("a No-go", no_go, [Faulty, NoGo, NoGo, NoGo, NoGo, Latched]);
    let other = |interlock: &mut Interlock| interlock.take(Happening::Judged(Some(go(2_500).0)));
    expect("another Go", other, [Faulty, Waiting, Waiting, Waiting, Waiting, Latched]);
}

#[test]
fn a_go_of_the_route_before_is_not_kept_and_that_of_a_flight_is() {
    let (low, high) = (go(2_000).0.subject(), go(2_500).0.subject());
    assert_ne!(low, high);
    for (stage, expected) in [(Stage::Waiting, high), (Stage::Permitted, high), (Stage::Latched, low)] {
        let mut interlock = in_state(stage);
        interlock.take(Happening::Judged(Some(go(2_500).0)));
        assert_eq!(interlock.subject(), Some(expected), "{stage:?}");
    }
}

#[test]
fn a_look_gives_a_permit_where_a_go_stands_and_nothing_flies() {
    use Stage::{Faulty, Idle, Latched, NoGo, Permitted, Waiting};
    let (_, standing) = go(2_000);
    let cases = [
        (Some(&standing), Some(Flight::Ground), Permitted, Permitted),
        (Some(&standing), None, Latched, Latched),
        (Some(&standing), Some(Flight::Flying), Waiting, Latched),
        (None, Some(Flight::Ground), Waiting, Waiting),
        (None, None, Waiting, Latched),
        (None, Some(Flight::Flying), Waiting, Latched),
    ];
    for (standing, flight, from_waiting, from_permitted) in cases {
        let happen = |interlock: &mut Interlock| interlock.take(look(standing, flight, 10));
        let expected = [Faulty, Idle, NoGo, from_waiting, from_permitted, Latched];
        expect(&format!("{} and {flight:?}", standing.is_some()), happen, expected);
    }
}

#[test]
fn what_stands_for_another_route_gives_no_permit() {
    let (_, other) = go(2_500);
    for stage in [Stage::Waiting, Stage::Permitted] {
        for flight in [Some(Flight::Ground), None] {
            let mut interlock = in_state(stage);
            interlock.take(look(Some(&other), flight, 10));
            let expected = if (stage, flight) == (Stage::Permitted, None) { Stage::Latched } else { Stage::Waiting };
            assert_eq!(interlock.stage(), expected, "{stage:?}, {flight:?}");
        }
    }
}

#[test]
fn a_flight_ends_after_the_ground_has_been_said_long_enough_without_a_break() {
    let ground = || look(None, Some(Flight::Ground), 1_000);
    let seconds = LANDED / 1_000;
    for breaks in [look(None, None, 10), look(None, Some(Flight::Flying), 10), look(None, Some(Flight::Ground), 1_001)]
    {
        let mut interlock = in_state(Stage::Latched);
        (1..seconds).for_each(|_| interlock.take(ground()));
        interlock.take(breaks);
        (1..seconds).for_each(|_| interlock.take(ground()));
        assert_eq!(interlock.stage(), Stage::Latched);
        interlock.take(ground());
        assert_eq!(interlock.stage(), Stage::Idle, "the Go is spent");
    }
}

#[test]
fn a_go_is_about_its_limits_alone() {
    let (go, _) = go(2_000);
    let other = meadow(5_100, Freshness::default());
    let limits = other.limits().expect("sealed");
    let fingerprint = packed_limits(limits).1;
    assert!(go.stands(limits, fingerprint, &Readings::NONE).is_err());
}
