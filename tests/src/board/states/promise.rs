//! What must hold in every state, and between every two.

use pinfold_core::{
    fingerprint::Fingerprint,
    interlock::{LANDED, Stage},
    link::{PATIENCE, Status},
};

use super::{
    action::Action,
    files::{Limits, Route},
    world::World,
};
use crate::board::layout::Held;

/// Checks what an action led to; the account learns what a permit was given for.
///
/// # Panics
/// A promise is broken.
pub fn keep(before: &World, action: &Action, after: &mut World, printed: &str) {
    let status = after.board.status();
    limits_change_only_whole_and_while_the_input_is_held(before, action, after);
    nothing_is_begun_while_nobody_holds_the_input(before, action, after);
    what_is_held_is_what_flash_holds(after, &status, printed);
    nobody_is_waited_for_long(action, printed);
    a_restart_gives_no_permit(action, &status);
    a_latched_permit_ends_on_the_ground_only(before, action, after);
    if after.account.faulty {
        assert!(matches!(status.stage, Stage::Faulty | Stage::Latched), "{:?} with a fault", status.stage);
    }
    let active = matches!(status.stage, Stage::Permitted | Stage::Latched);
    assert_eq!(after.board.lines().permit, active, "the line isn't what the stage says");
    after.account.earned = earned(before, after, &status);
    a_verdict_is_about_the_route_that_came(after, &status);
}

fn limits_change_only_whole_and_while_the_input_is_held(before: &World, action: &Action, after: &World) {
    let (old, new) = (before.held(), after.held());
    if old == new {
        return;
    }
    assert!(before.hardware.held, "limits changed while nobody held the input");
    let Held::Limits(packed) = new else { panic!("from {old:?} to {new:?}") };
    assert!(after.files.limits_that_are(packed).is_some(), "limits that nobody sent");
    let piece = match action {
        Action::Piece(piece) => *piece,
        Action::Cut(action, ..) if let Action::Piece(piece) = **action => piece,
        other => panic!("limits changed by {other:?}"),
    };
    let (_, sent) = before.account.transfer.as_ref().expect("a piece of something");
    assert_eq!([sent, &after.files.pieces[piece].bytes[..]].concat(), *packed, "not what was sent");
}

fn nothing_is_begun_while_nobody_holds_the_input(before: &World, action: &Action, after: &World) {
    if *action == Action::Begin(true) && !before.hardware.held {
        assert_eq!(before.account, after.account, "limits were begun while nobody held the input");
        assert_eq!(before.board.status(), after.board.status(), "limits were given up while nobody held the input");
        assert_eq!(before.hardware, after.hardware, "flash was erased while nobody held the input");
    }
}

fn what_is_held_is_what_flash_holds(world: &World, status: &Status, printed: &str) {
    if printed.contains("incoming: Limits") {
        assert_eq!(status.limits, None, "limits hold while others come");
        return;
    }
    let Held::Limits(packed) = world.held() else {
        assert_eq!(status.limits, None, "flash holds no limits");
        return;
    };
    let limits = world.files.limits_that_are(packed).expect("limits that were sent");
    assert_eq!(status.limits, Some(world.files.limits_name(limits)), "not the limits in flash");
    let memory = world.files.printed(limits);
    let in_memory = printed.split_once(", limits: ").is_some_and(|(_, rest)| rest.starts_with(memory));
    assert!(in_memory, "memory doesn't hold the limits in flash");
}

fn nobody_is_waited_for_long(action: &Action, printed: &str) {
    if matches!(action, Action::Pass(elapsed) if *elapsed > PATIENCE) {
        assert!(!printed.contains("incoming: Limits"), "limits that nobody sends on are still waited for");
    }
}

fn a_restart_gives_no_permit(action: &Action, status: &Status) {
    if matches!(action, Action::Restart | Action::Cut(..)) {
        assert_eq!(
            (status.stage, status.flight, status.route),
            (Stage::Idle, None, None),
            "a restart leaves something"
        );
    }
}

fn a_latched_permit_ends_on_the_ground_only(before: &World, action: &Action, after: &World) {
    if !before.latched() || matches!(action, Action::Restart | Action::Cut(..)) {
        return;
    }
    let landed = matches!(action, Action::Pass(_)) && after.account.grounded >= LANDED;
    assert_eq!(after.latched(), !landed, "grounded for {} ms", after.account.grounded);
    assert_eq!(after.board.lines().permit, !landed);
}

/// What the permit that is active now was given for.
fn earned(before: &World, after: &World, status: &Status) -> Option<(Limits, Route)> {
    match status.stage {
        Stage::Permitted => Some(given(after, status, Some(false))),
        Stage::Latched => Some(before.account.earned.unwrap_or_else(|| given(after, status, None))),
        Stage::Waiting => {
            let (limits, route) = subject(after, status);
            assert!(after.files.go(limits, route), "{route:?} waits by {limits:?}");
            assert!(!after.account.route_aloft, "a Go for a route that came in flight");
            None
        }
        Stage::NoGo | Stage::Idle | Stage::Faulty => None,
    }
    .inspect(|earned| assert_eq!(*earned, subject(after, status), "a permit for something else than it was given for"))
}

/// What a Go is about: limits that are held, and the route that it names.
fn subject(world: &World, status: &Status) -> (Limits, Route) {
    let limits = status.limits.and_then(|held| world.files.named_limits(held)).expect("a Go without limits");
    let route = status.route.and_then(|route| world.files.named_route(route)).expect("a Go without a route");
    (limits, route)
}

/// What a permit may be given for here and now.
fn given(world: &World, status: &Status, flies: Option<bool>) -> (Limits, Route) {
    let (limits, route) = subject(world, status);
    let asked = world.files.asked(limits);
    assert!(world.files.go(limits, route), "a permit for {route:?}, which is No-go by {limits:?}");
    assert_eq!(world.account.route, Some(route), "a permit for a route that didn't come last");
    assert!(!world.account.route_aloft, "a permit for a route that came in flight");
    assert!(world.account.stands(asked), "a permit that doesn't stand: {:?}", world.account);
    assert_eq!(
        world.account.flies_for_the_permit(Some(asked)),
        flies,
        "a permit, and not on the ground for all that is known"
    );
    (limits, route)
}

fn a_verdict_is_about_the_route_that_came(world: &World, status: &Status) {
    let Some(named) = world.board.verdict().get(10..15) else { return };
    let none = named == Fingerprint::NONE.bytes();
    let route = world.account.route.map(|route| world.files.route_name(route));
    assert!(none || route.is_some_and(|route| route.bytes() == named), "a verdict on another route");
    assert!(!none || status.stage != Stage::Waiting, "a Go for no route");
}
