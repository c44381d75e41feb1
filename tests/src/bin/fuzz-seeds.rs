//! Writes the inputs that fuzzing begins with: from the golden files, the shipped example and the boards of the tests.
//!
//! Usage: `fuzz-seeds FOLDER`; each target's are in a folder of its own in it.

use std::{env, fs, path::Path};

use pinfold_core::{
    link::{Ask, Request, frame},
    wire::{
        Kind,
        envelope::{HEAD, TAIL},
    },
};
use pinfold_tests::{
    board::sample::{packed_meadow, route, standing},
    fuzz::kept,
    oracle::space::dice::Dice,
    packed::golden::cases,
};

fn main() {
    let folder = env::args_os().nth(1).expect("usage: fuzz-seeds FOLDER");
    let folder = Path::new(&folder);
    packed(folder);
    by_chance(folder);
    frames(folder);
    texts(folder);
}

fn write(folder: &Path, target: &str, name: &str, bytes: &[u8]) {
    let folder = folder.join(target);
    fs::create_dir_all(&folder).expect("a folder");
    fs::write(folder.join(name), bytes).expect("a file");
}

/// The bodies of the golden files and of the board's limits and routes; one with its envelope.
fn packed(folder: &Path) {
    let body = |bytes: &[u8]| bytes[HEAD..bytes.len() - TAIL].to_vec();
    for (case, target) in cases().iter().zip(["packed_route", "packed_limits", "packed_verdict"]) {
        write(folder, target, "golden", &body(&case.bytes()));
        write(folder, target, "golden-whole", &case.bytes());
    }
    write(folder, "packed_route", "meadow", &body(&route(2_000)));
    let asked = pinfold_tests::board::sample::all_asked();
    write(folder, "packed_limits", "meadow", &body(&packed_meadow(3_000, asked)));
}

/// Targets that make something of any bytes: a few lengths.
fn by_chance(folder: &Path) {
    let lengths = [
        ("predicates", [26, 40, 70]),
        ("checker_space", [8, 64, 240]),
        ("checker_energy", [8, 64, 240]),
        ("interlock_events", [8, 40, 200]),
        ("link_session", [4, 12, 24]),
        ("limits_power_cuts", [10, 40, 120]),
    ];
    for (target, lengths) in lengths {
        for (number, length) in (0..).zip(lengths) {
            let mut dice = Dice::of(number, 0);
            let bytes: Vec<u8> = (0..length).map(|_| dice.bits().to_le_bytes()[0]).collect();
            write(folder, target, &format!("{length}-bytes"), &bytes);
        }
    }
}

/// Happenings that load limits and a route, say that all is well and let time pass; and frames as they go over a line.
fn frames(folder: &Path) {
    let event = |kind: u8, rest: &[u8]| [&[kind][..], rest].concat();
    let load = |file: u8| event(4, &[file, 0]);
    let stand = event(11, &[2, 1, 0]);
    let to_a_permit = [&[0][..], &event(8, &[1]), &load(0), &load(2), &stand, &event(9, &[1])].concat();
    write(folder, "link_frames", "to-a-permit", &to_a_permit);
    let flight = [&[1][..], &load(2), &stand, &event(11, &[1, 1, 1, 0]), &load(3), &event(9, &[3]).repeat(12)].concat();
    write(folder, "link_frames", "in-flight", &flight);
    let asks = [Ask::Hello, Ask::Begin(Kind::Route), Ask::Readings(standing()), Ask::Status];
    for (sequence, ask) in (1_u16..).zip(asks) {
        let whole = frame(&Request { sequence, ask });
        let raw = [&[1, 0, u8::try_from(whole.len()).expect("short")][..], &whole].concat();
        write(folder, "link_frames", &format!("frame-{sequence}"), &raw);
    }
}

/// The shipped example; a first byte says how a route's file is called.
fn texts(folder: &Path) {
    let example = kept::folder().join("../host-cli/example");
    let read = |name: &str| fs::read(example.join(name)).expect("the example");
    let routes = fs::read_dir(example.join("no-go")).expect("a folder").map(|file| file.expect("a file").path());
    for path in routes.chain([example.join("route.toml"), example.join("in-flight.toml")]) {
        let name = path.file_stem().expect("a name").to_string_lossy().into_owned();
        write(folder, "route_text", &name, &[&[0][..], &fs::read(&path).expect("the example")].concat());
    }
    write(folder, "limits_text", "example", &read("limits.toml"));
    write(folder, "site_text", "example", &read("site.geojson"));
}
