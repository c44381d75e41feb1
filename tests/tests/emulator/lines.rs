//! The lines of the board, its load switch, its watchdog, and what survives a reset.

use std::{env, process, thread, time::Duration};

use pinfold_core::link::{Answer, Ask, Capacities};
use pinfold_tests::emulator::{Debugger, Emulator, LAMP, LINES, SLOTS};

/// What the board says first of all.
const START: &str = "pinfold board: ";

fn board() -> Emulator {
    let board = Emulator::firmware();
    let _ = board.logged(START);
    board
}

fn debugger(board: &mut Emulator, test: &str) -> Debugger {
    board.debugger(&env::temp_dir().join(format!("pinfold-{test}-{}", process::id())))
}

#[test]
#[ignore = "needs the firmware image and an emulator: tests/run runs it"]
fn a_board_that_has_just_started_gives_no_permit_and_blinks() {
    let mut board = board();
    let mut seen = [false; 2];
    for _ in 0..100 {
        assert_eq!(board.word(LINES), 0, "permit or advice without a route");
        seen[usize::from(board.word(LAMP) & 1 == 1)] = true;
        thread::sleep(Duration::from_millis(20));
    }
    assert_eq!(seen, [true; 2], "in two seconds the lamp wasn't both dark and lit");
}

#[test]
#[ignore = "needs the firmware image and an emulator: tests/run runs it"]
fn the_load_switch_is_seen() {
    let mut board = board();
    for held in [true, false, true] {
        // Fails where the board doesn't say so.
        board.hold_load_switch(held);
    }
}

#[test]
#[ignore = "needs the firmware image and an emulator: tests/run runs it"]
fn a_fault_takes_the_permit_at_once_and_ends_in_a_reset_by_the_watchdog() {
    let mut board = board();
    let mut debugger = debugger(&mut board, "fault");
    debugger.write_and_fault(LINES, 3);
    debugger.go();
    // Sooner than the watchdog waits.
    thread::sleep(Duration::from_millis(500));
    assert_eq!(board.word(LINES), 0, "the permit outlives a fault");
    board.reset_by_watchdog();
    let _ = board.logged(START);
    assert_eq!(board.ask(Ask::Hello).unwrap(), Answer::Hello(Capacities::HERE));
}

#[test]
#[ignore = "needs the firmware image and an emulator: tests/run runs it"]
fn what_is_in_the_slots_survives_a_reset() {
    let mut board = board();
    assert_eq!(board.word(SLOTS), u32::MAX, "a new flash isn't erased");
    let mut debugger = debugger(&mut board, "slots");
    debugger.write(SLOTS, 0x0123_4567);
    debugger.go();
    board.reset();
    let _ = board.logged(START);
    assert_eq!(board.word(SLOTS), 0x0123_4567);
}
