//! A line that loses, doubles and damages bytes: slow, but never wrong.

use pinfold_core::wire::Kind;
use pinfold_tests::emulator::{Emulator, LinkError, Noise};

use crate::{
    generate::{Chance, Place, limits, packed_limits, packed_route, route},
    host,
};

/// Does something to about one byte in `rarity`.
fn noise(seed: u64, rarity: u64) -> Noise {
    let mut chance = Chance::new(seed);
    Box::new(move |bytes| {
        let mut heard = Vec::new();
        for byte in bytes {
            match chance.next() % (4 * rarity) {
                0 => {}
                1 => heard.extend([*byte, *byte]),
                2 => heard.push(byte ^ (1 << (chance.next() % 8))),
                3 => heard.push(0),
                _ => heard.push(*byte),
            }
        }
        // Seldom a whole frame comes twice, or not at all.
        match chance.next() % 32 {
            0 => heard.clear(),
            1 => heard.extend_from_within(..),
            _ => {}
        }
        heard
    })
}

#[test]
#[ignore = "needs the firmware image and an emulator: tests/run runs it"]
fn noise_on_the_line_never_changes_a_verdict() {
    let mut board = Emulator::firmware();
    let (mut chance, mut judged) = (Chance::new(5), 0);
    for number in 0..12 {
        let place = Place::number(number);
        let store = limits(&mut chance, place);
        let (launch, steps) = route(&mut chance, place);
        let (limits, bytes) = (packed_limits(&store), packed_route(&launch, &steps));
        let seed = chance.next();
        board.noisy(noise(seed, 400), noise(seed ^ 1, 400));
        if let Ok(verdict) = loaded(&mut board, &limits, &bytes) {
            assert_eq!(verdict, host::verdict(&store, &limits, (&launch, &steps), &bytes));
            judged += 1;
        }
    }
    println!("{judged} of 12 routes were judged over a noisy line, {} questions were repeated", board.resent());
    assert!(board.resent() >= 20, "the noise did nothing");
    assert!(judged >= 3, "so little came through that this shows nothing: {judged}");
}

fn loaded(board: &mut Emulator, limits: &[u8], route: &[u8]) -> Result<Vec<u8>, LinkError> {
    board.load_limits(limits)?;
    board.load_route(route)?;
    board.verdict()
}

#[test]
#[ignore = "needs the firmware image and an emulator: tests/run runs it"]
fn rubbish_on_the_line_does_not_wedge_the_board() {
    let mut board = Emulator::firmware();
    let mut chance = Chance::new(6);
    let place = Place::number(0);
    let store = limits(&mut chance, place);
    let (launch, steps) = route(&mut chance, place);
    let (limits, bytes) = (packed_limits(&store), packed_route(&launch, &steps));
    let rubbish = (0..20_000).flat_map(|_| chance.next().to_le_bytes()).collect::<Vec<_>>();
    board.send(&rubbish).unwrap();
    board.send(&[0]).unwrap();
    let verdict = loaded(&mut board, &limits, &bytes).unwrap();
    let expected = host::verdict(&store, &limits, (&launch, &steps), &bytes);
    assert_eq!(verdict, expected);
    // In the middle of a route, too: what was taken stays, what follows is taken.
    let (begin, end) = bytes.split_at(bytes.len() / 2);
    let offset = u32::try_from(begin.len()).unwrap();
    board.load(Kind::Route, begin).unwrap();
    board.send(&rubbish).unwrap();
    board.send(&[0]).unwrap();
    for (number, piece) in (0..).zip(end.chunks(16)) {
        let start = offset + 16 * number;
        board.piece(start, piece, start + u32::try_from(piece.len()).unwrap()).unwrap();
    }
    assert_eq!(board.verdict().unwrap(), expected);
}
