//! `pinfold board`, as a person uses it, with the emulated board.

use std::{
    env,
    path::{Path, PathBuf},
};

use pinfold_core::interlock::Flight;
use pinfold_tests::emulator::{Clock, Emulator};

use crate::host;

const PERMIT: u32 = 1;

fn example(file: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../host-cli/example").join(file)
}

/// What `pinfold board` says to these words and files, and its exit code.
fn pinfold(board: &mut Emulator, words: &[&str], files: &[PathBuf]) -> (i32, String) {
    let run = board.lend(|address| {
        let mut command = host::pinfold();
        command.arg("board").args(words).args(files).arg("--port").arg(address.to_string());
        command.output().expect("the command runs")
    });
    let said = [&run.stdout[..], &run.stderr[..]].concat();
    (run.status.code().expect("an exit code"), String::from_utf8(said).expect("text"))
}

/// The fingerprint that `pinfold pack` shows.
fn fingerprint(file: &Path) -> String {
    let out = Path::new(env!("CARGO_TARGET_TMPDIR")).join("emulator-command.packed");
    let packed = host::packed_by_command(file, &out);
    pinfold_core::fingerprint::Fingerprint::of(&packed).to_string()
}

fn route_words(route: &str) -> [PathBuf; 3] {
    [example(route), "--limits".into(), example("limits.toml")]
}

#[test]
#[ignore = "needs the firmware image and an emulator: tests/run runs it"]
fn from_limits_to_a_permit_and_back() {
    let mut board = Emulator::firmware();
    let (limits, route) = (fingerprint(&example("limits.toml")), fingerprint(&example("route.toml")));

    let (code, said) = pinfold(&mut board, &["limits"], &[example("limits.toml")]);
    assert_eq!(code, 2, "nobody holds the switch: {said}");
    assert!(said.contains("hold"), "{said}");

    board.hold_load_switch(true);
    let (code, said) = pinfold(&mut board, &["limits"], &[example("limits.toml")]);
    assert!(code == 0 && said.contains(&limits), "{code}: {said}");
    board.hold_load_switch(false);

    let (code, said) = pinfold(&mut board, &["route"], &route_words("route.toml"));
    assert!(code == 0 && said.contains(&limits) && said.contains(&route), "{code}: {said}");
    board.lines_show(0);

    board.tell_by_wire(Some(Flight::Ground));
    let place = ["readings", "--here", "46.2,-17.4", "--pack-volts", "12.5"];
    let (code, said) = pinfold(&mut board, &place, &[]);
    assert_eq!(code, 0, "{said}");
    board.lines_show(PERMIT);
    let (code, said) = pinfold(&mut board, &["status", "--json"], &[]);
    assert!(code == 0 && said.contains(&limits) && said.contains(&route), "{code}: {said}");
    let (code, said) = pinfold(&mut board, &["compare"], &route_words("route.toml"));
    assert_eq!(code, 0, "{said}");

    let (code, said) = pinfold(&mut board, &["route"], &route_words("no-go/no-way-home.toml"));
    assert_eq!(code, 1, "{said}");
    board.lines_show(0);
    let (code, said) = pinfold(&mut board, &["compare"], &route_words("route.toml"));
    assert_eq!(code, 1, "another route is held: {said}");
}

#[test]
#[ignore = "needs the firmware image and an emulator: tests/run runs it"]
fn a_board_that_is_faulty_is_told() {
    let file = env::temp_dir().join(format!("pinfold-faulty-{}", std::process::id()));
    std::fs::write(&file, super::permit::damaged(pinfold_core::board::self_test::GO, 20)).expect("a file");
    let mut board = Emulator::start(&file, Clock::Real);
    let (code, said) = pinfold(&mut board, &["route"], &route_words("route.toml"));
    assert!(code == 2 && said.contains("self test"), "{code}: {said}");
    std::fs::remove_file(&file).expect("the file");
}
