//! The self test of a board: what stands in its image, and what it notices.

use std::{fs, path::Path};

use pinfold_core::{
    board::{
        Event,
        self_test::{Failure, GO, LIMITS, NO_GO},
    },
    interlock::Stage,
    link::{Answer, Ask, Refusal},
    wire::Kind,
};
use pinfold_tests::board::{
    Bench, RamFlash,
    sample::{all_asked, packed_meadow, route},
};

/// The highest that the limits in the image allow, 0.01 m, and the heights of its two routes.
const CEILING: i32 = 3_000;
const LOW: i32 = 2_000;
const HIGH: i32 = 3_050;

/// What must stand in the image, with the names of the files.
fn files() -> [(&'static str, Vec<u8>, &'static [u8]); 3] {
    [("limits", packed_meadow(CEILING, all_asked()), LIMITS), ("go", route(LOW), GO), ("no-go", route(HIGH), NO_GO)]
}

#[test]
fn what_stands_in_the_image_is_what_is_packed_today() {
    for (name, packed, held) in files() {
        assert_eq!(packed, held, "{name}: if the format has changed, run the ignored test that writes it anew");
    }
}

#[test]
#[ignore = "writes the files anew, for a new packed format"]
fn written_anew() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../core/src/board/self_test");
    for (name, packed, _) in files() {
        fs::write(folder.join(name).with_extension("packed"), packed).expect("a folder to write to");
    }
}

#[test]
fn a_sound_board_passes() {
    let mut bench = Bench::new();
    assert_eq!(bench.event, Some(Event::Started(None)));
    assert_eq!((bench.status().stage, bench.status().limits, bench.verdict()), (Stage::Idle, None, vec![]));
    assert!(!bench.wait(1_000).permit, "the test leaves nothing behind");
}

#[test]
fn a_board_whose_flash_has_no_two_slots_is_faulty_and_takes_nothing() {
    let mut bench = Bench::on(RamFlash::new(0));
    assert_eq!(bench.event, Some(Event::SelfTestFailed(Failure::Flash)));
    assert_eq!(bench.status().stage, Stage::Faulty);
    assert_eq!(bench.ask(Ask::Begin(Kind::Route)), Answer::Refused(Refusal::Faulty));
    assert_eq!(bench.load_limits(LIMITS), Err(Refusal::Faulty));
    assert!(!bench.wait(1_000).permit);
}
