//! What judging costs on the board: instructions, stack, code and memory.

use std::{collections::BTreeMap, fs, path::Path, process::Command};

use pinfold_core::{link::PIECE, model::store::LimitsStore, wire::Kind};
use pinfold_tests::emulator::{Clock, Emulator, image};

use crate::{
    generate::{
        Chance, Place, largest_limits, long_route, packed_limits, packed_route, packed_route_parts, smallest_limits,
    },
    host,
};

/// The most that was used of the stack, as the board's log says after each event.
fn stack(board: &Emulator) -> u32 {
    let line = board.logged("stack ");
    line.split(' ').next().and_then(|most| most.parse().ok()).unwrap_or_else(|| panic!("no number in '{line}'"))
}

/// Numbers by name, from a file of lines `name = number`.
fn budgets() -> BTreeMap<String, u32> {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("../firmware-example/budgets.toml");
    let text = fs::read_to_string(file).expect("a file of budgets");
    let lines = text.lines().map(|line| line.split('#').next().unwrap_or("").trim()).filter(|line| !line.is_empty());
    lines
        .map(|line| {
            let (name, number) = line.split_once('=').unwrap_or_else(|| panic!("'{line}' is no budget"));
            (name.trim().to_owned(), number.trim().replace('_', "").parse().expect("a number"))
        })
        .collect()
}

/// Bytes of code (with constants and first values) and of static memory in an image.
fn sizes(image: &Path) -> (u32, u32) {
    let output = Command::new("arm-none-eabi-size").arg("-A").arg(image).output().expect("arm-none-eabi-size runs");
    assert!(output.status.success(), "{} can't be measured", image.display());
    let text = String::from_utf8(output.stdout).expect("text");
    let sum = |names: &[&str]| {
        let rows = text.lines().map(|line| line.split_whitespace().collect::<Vec<_>>());
        rows.filter(|row| row.len() > 1 && names.contains(&row[0])).map(|row| row[1].parse::<u32>().unwrap()).sum()
    };
    let (code, memory) = (sum(&[".vector_table", ".text", ".rodata", ".data"]), sum(&[".data", ".bss", ".uninit"]));
    assert!(code > 0, "no sections in '{text}'");
    (code, memory)
}

#[test]
#[ignore = "needs the firmware image and an emulator: tests/run runs it"]
fn a_route_of_60000_steps_takes_the_memory_of_one_of_10() {
    let firmware = image("PINFOLD_FIRMWARE");
    let mut board = Emulator::start(&firmware, Clock::Real);
    let (mut chance, place) = (Chance::new(7), Place::number(1));
    let store = smallest_limits(place);
    let limits = packed_limits(&store);
    board.load_limits(&limits).unwrap();
    let held = stack(&board);
    let mut after = |count: usize| {
        let (launch, steps) = long_route(&mut chance, place, count - 2, 80);
        let bytes = packed_route(&launch, &steps);
        board.load_route(&bytes).unwrap();
        let verdict = board.verdict().unwrap();
        assert_eq!(verdict, host::verdict(&store, &limits, (&launch, &steps), &bytes));
        stack(&board)
    };
    let (short, long) = (after(10), after(60_000));
    println!("stack: {held} bytes after limits, {short} after 10 steps, {long} after 60,000 steps");
    assert_eq!(short, long, "the stack grew with the number of steps");
}

#[test]
#[ignore = "needs the firmware image and an emulator: tests/run runs it"]
fn the_image_and_its_stack_keep_their_budgets() {
    let (budgets, firmware) = (budgets(), image("PINFOLD_FIRMWARE"));
    let (code, memory) = sizes(&firmware);
    let (mut board, place) = (Emulator::start(&firmware, Clock::Real), Place::number(2));
    let store = largest_limits(place);
    board.load_limits(&packed_limits(&store)).unwrap();
    let (launch, steps) = long_route(&mut Chance::new(8), place, 20, 250);
    board.load_route(&packed_route(&launch, &steps)).unwrap();
    let _ = board.logged("route judged ");
    let stack = stack(&board);
    let (alone, nothing) = (sizes(&image("PINFOLD_CHECKER_ALONE")), sizes(&image("PINFOLD_NOTHING")));
    let (checker_code, checker_memory) = (alone.0 - nothing.0, alone.1 - nothing.1);
    println!("firmware: {code} bytes of code, {memory} of memory, {stack} of stack at most");
    println!("checker alone: {checker_code} bytes of code, {checker_memory} of memory");
    let figures = [
        ("firmware_code_bytes", code),
        ("firmware_static_bytes", memory),
        ("firmware_stack_bytes", stack),
        ("checker_code_bytes", checker_code),
        ("checker_static_bytes", checker_memory),
    ];
    for (name, figure) in figures {
        let budget = budgets.get(name).unwrap_or_else(|| panic!("no budget {name}"));
        assert!(figure <= *budget, "{name}: {figure}, and the budget is {budget}");
    }
    assert_eq!(budgets.len(), figures.len(), "a budget that nothing is held to");
}

/// Instructions from the last byte of a piece to the answer: of each of these parts of a route, and of a piece that comes again
/// and isn't taken: what the link alone costs.
fn instructions(board: &mut Emulator, parts: &[Vec<u8>]) -> (Vec<u32>, u32) {
    let mut costs = Vec::new();
    board.load_pieces(Kind::Route, std::iter::empty()).unwrap();
    let _ = board.logged("ticks ");
    let mut offset = 0;
    for part in parts {
        let end = offset + u32::try_from(part.len()).unwrap();
        board.piece(offset, part, end).unwrap();
        costs.push(ticks(board));
        offset = end;
    }
    board.piece(0, &parts[4], offset).unwrap();
    (costs, ticks(board))
}

fn ticks(board: &Emulator) -> u32 {
    let ticks = board.logged("ticks ").parse::<u32>().expect("a number of ticks");
    (ticks * 40 + 64) / 128
}

/// What a route's parts cost; returned is what its middle fly step and its dearest one do.
fn measure(board: &mut Emulator, what: &str, store: &LimitsStore, place: Place, reach: i32) -> [u32; 2] {
    let limits = packed_limits(store);
    let pieces = limits.len().div_ceil(PIECE);
    board.load_limits(&limits).unwrap();
    let seal = (0..=pieces).fold(0, |_, _| ticks(board));
    let (launch, steps) = long_route(&mut Chance::new(9), place, 30, reach);
    let parts = packed_route_parts(&launch, &steps);
    let (costs, link) = instructions(board, &parts);
    let (head, rest) = costs.split_at(4);
    let step = |cost: &u32| cost.saturating_sub(link);
    let (climb, flights) = (step(&rest[0]), rest[1..=30].iter().map(step).collect::<Vec<_>>());
    let mut sorted = flights.clone();
    sorted.sort_unstable();
    let (least, median, most) = (sorted[0], sorted[sorted.len() / 2], sorted[sorted.len() - 1]);
    println!("{what} limits, instructions: limits' last piece {seal}, launch point {}, climb {climb},", step(&head[3]));
    println!(
        "  fly {least} to {most}, the middle one {median}, return {}, verdict {}, link alone {link}",
        step(&rest[31]),
        step(&rest[32])
    );
    assert!(climb > 0 && least > 0, "a step that costs nothing wasn't measured");
    [median, most]
}

/// The distances of a leg and of its ways home to as many edges as the largest limits have, by a plain loop in software floats:
/// beside what the middle fly step and the dearest one take by those limits, for all rules.
fn measure_floats(steps: [[u32; 2]; 2]) {
    let board = Emulator::start(&image("PINFOLD_FLOATS"), Clock::Instructions);
    let (leg, sides) = (ticks(&board), ticks(&board));
    println!(
        "a plain loop in f64 over 256 edges, distances alone, instructions: a leg {leg}, the three sides {sides},"
    );
    let [between, across] = steps.map(|[median, most]| {
        let times = |step: u32| f64::from(sides) / f64::from(step);
        format!("{:.1} times the middle one, {:.1} times the dearest", times(median), times(most))
    });
    println!("  beside a fly step by the largest limits between the zones: {between}; across them: {across}");
    assert!(leg > 0 && sides > 0, "floats that cost nothing weren't measured");
}

#[test]
#[ignore = "needs the firmware image and an emulator: tests/run runs it"]
fn what_a_step_costs_is_told() {
    let mut board = Emulator::start(&image("PINFOLD_FIRMWARE_MEASURING"), Clock::Instructions);
    let place = Place::number(3);
    measure(&mut board, "smallest", &smallest_limits(place), place, 250);
    let largest = largest_limits(place);
    let between = measure(&mut board, "largest limits, between the zones; these", &largest, place, 100);
    let across = measure(&mut board, "largest limits, across the zones; these", &largest, place, 250);
    measure_floats([between, across]);
}
