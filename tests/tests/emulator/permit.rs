//! The permit line of the emulated board, from limits to a flight and its end; a board whose image is damaged.

use std::{env, fs, thread, time::Duration};

use pinfold_core::{
    board::self_test::{GO, LIMITS, NO_GO},
    fingerprint::Fingerprint,
    interlock::{Flight, Stage},
    link::{Advice, Refusal},
    wire::Kind,
};
use pinfold_tests::{
    board::sample::{all_asked, flying, packed_meadow, route, standing},
    emulator::{Clock, Emulator, LAMP, LinkError, image},
};

const PERMIT: u32 = 1;
const PERMIT_AND_ADVICE: u32 = 3;
/// The bit of the pulses in the lamp's word.
const PULSES: u32 = 2;

/// A board with a permit, on the ground.
fn permitted() -> Emulator {
    let mut board = Emulator::firmware();
    board.load_limits(&packed_meadow(5_000, all_asked())).unwrap();
    board.load_route(&route(2_000)).unwrap();
    board.lines_show(0);
    board.tell_by_wire(Some(Flight::Ground));
    board.report(standing()).unwrap();
    board.lines_show(PERMIT);
    board
}

#[test]
#[ignore = "needs the firmware image and an emulator: tests/run runs it"]
fn the_line_follows_the_permit_and_the_advice() {
    let mut board = permitted();
    board.load_route(&route(5_000)).unwrap();
    board.lines_show(0);
    board.load_route(&route(2_000)).unwrap();
    board.lines_show(PERMIT);
    board.tell_by_wire(Some(Flight::Flying));
    assert_eq!(board.status().unwrap().stage, Stage::Latched);
    board.report(flying(1_000, 2_000, 100)).unwrap();
    board.lines_show(PERMIT_AND_ADVICE);
    assert_eq!(board.status().unwrap().advice, Advice::TurnBack);
    match board.load_limits(&packed_meadow(6_000, all_asked())) {
        Err(LinkError::Refused(Refusal::Latched)) => {}
        other => panic!("limits in flight: {other:?}"),
    }
    board.tell_by_wire(Some(Flight::Ground));
    board.lines_show(PERMIT_AND_ADVICE);
    // Ten seconds later the flight is over.
    board.lines_show(0);
    assert_eq!(board.status().unwrap().stage, Stage::Idle);
}

#[test]
#[ignore = "needs the firmware image and an emulator: tests/run runs it"]
fn pulses_run_as_long_as_there_is_a_permit() {
    let mut board = permitted();
    let levels = |board: &mut Emulator| {
        let mut seen = [0; 2];
        (0..100).for_each(|_| {
            seen[usize::from(board.word(LAMP) & PULSES != 0)] += 1;
            thread::sleep(Duration::from_millis(7));
        });
        seen
    };
    let seen = levels(&mut board);
    assert!(seen[0] >= 20 && seen[1] >= 20, "low and high: {seen:?}");
    board.load(Kind::Route, &[]).unwrap();
    board.lines_show(0);
    assert_eq!(levels(&mut board), [100, 0]);
}

#[test]
#[ignore = "needs the firmware image and an emulator: tests/run runs it"]
fn limits_need_the_switch_and_survive_a_reset_which_ends_the_permit() {
    let mut board = permitted();
    let (old, new) = (packed_meadow(5_000, all_asked()), packed_meadow(6_000, all_asked()));
    board.hold_load_switch(false);
    assert!(matches!(board.load(Kind::Limits, &new), Err(LinkError::Refused(Refusal::NotHeld))));
    board.lines_show(PERMIT);
    board.reset();
    assert_eq!(board.logged("pinfold board: holds limits "), format!("{}, no route", Fingerprint::of(&old)));
    board.lines_show(0);
    assert_eq!(board.status().unwrap().limits, Some(Fingerprint::of(&old)));
}

/// The image with one bit of these bytes, which stand in it once, changed.
pub(crate) fn damaged(bytes: &[u8], at: usize) -> Vec<u8> {
    let mut image = fs::read(image("PINFOLD_FIRMWARE")).expect("the image");
    let places = (0..image.len() - bytes.len()).filter(|from| image[*from..].starts_with(bytes)).collect::<Vec<_>>();
    assert_eq!(places.len(), 1, "the bytes stand in the image at {places:?}");
    image[places[0] + at] ^= 1;
    image
}

#[test]
#[ignore = "needs the firmware image and an emulator: tests/run runs it"]
fn a_board_whose_image_is_damaged_says_so_and_gives_no_permit() {
    let file = env::temp_dir().join(format!("pinfold-damaged-{}", std::process::id()));
    for (bytes, what) in [(LIMITS, "limits in the image"), (GO, "route in the image that must be go"), (NO_GO, "no-go")]
    {
        fs::write(&file, damaged(bytes, bytes.len() / 2)).expect("a file");
        let mut board = Emulator::start(&file, Clock::Real);
        let said = board.logged("pinfold board: self test failed, no permit: the ");
        assert!(said.contains(what), "{said}");
        assert_eq!(board.status().unwrap().stage, Stage::Faulty);
        assert!(matches!(board.load_route(&route(2_000)), Err(LinkError::Refused(Refusal::Faulty))));
        board.lines_show(0);
    }
    fs::remove_file(&file).expect("the file");
}
