//! Power, or the flash, fails at every byte of every write and erase of a load: the old limits or the new are held,
//! never a mix, never none where there were some; and what flash forgets is never made up for by older limits.

use std::{collections::BTreeSet, convert::Infallible};

use embedded_storage::nor_flash::{ErrorType, NorFlash, ReadNorFlash};
use pinfold_core::{
    board::{
        Event,
        self_test::Failure,
        slots::{FlashFault, Slots},
    },
    fingerprint::Fingerprint,
    link::{Answer, Ask, Refusal},
    model::{
        ground::GroundCell,
        limits::Freshness,
        store::{LimitsError, LimitsStore},
    },
    wire::Kind,
};
use pinfold_tests::{
    board::{
        Bench, Failing, Order, RamFlash, SECTOR,
        layout::{self, HEAD, Held, SAID, held, slot},
        sample::{all_asked, meadow_site, packed_meadow},
    },
    packed::packed_limits,
    sample::{Site, ground_plan},
};

/// Which bits of the byte in work change when the power fails in it: none, or some.
const TORN: [u8; 2] = [0x00, 0x5A];

/// Limits that differ in their highest height, 0.01 m.
fn limits(ceiling: i32) -> Vec<u8> {
    packed_meadow(ceiling, all_asked())
}

fn packed(site: Result<Box<LimitsStore>, LimitsError>) -> Vec<u8> {
    packed_limits(site.expect("sound").limits().expect("sealed")).0
}

/// Limits that end where a block of flash ends.
fn whole_blocks() -> Vec<u8> {
    let packed = packed(meadow_site("q", 7_000, Freshness::default()).seal());
    let (name, blocks) = (128 - packed.len() + 1, 128);
    let packed = self::packed(meadow_site(&"q".repeat(name), 7_000, Freshness::default()).seal());
    assert_eq!(packed.len(), blocks);
    packed
}

/// Limits with so much ground data that they don't fit in a slot of a sector.
fn large() -> Vec<u8> {
    let plan = ground_plan((-20_000, -20_000), (32, 32), (1_250, 1_250), (0, 10));
    let cells = [(0, 3), (9, 12)].map(|(lowest, highest)| GroundCell::new(lowest, highest).expect("in order"));
    let site: Site = meadow_site("large", 7_000, Freshness::default()).ground(plan, &cells.repeat(512));
    let packed = packed(site.seal());
    assert!(packed.len() > SECTOR);
    packed
}

/// A load onto a board: what it holds before, and what comes.
struct Load {
    before: Bench,
    old: Held,
    new: Vec<u8>,
}

impl Load {
    /// After all these, the next.
    fn after(order: Order, loaded: &[Vec<u8>], new: Vec<u8>) -> Self {
        let mut flash = RamFlash::new(1);
        flash.order = order;
        let mut before = Bench::on(flash);
        loaded.iter().for_each(|limits| assert_eq!(before.load_limits(limits), Ok(())));
        let old = loaded.last().map_or(Held::Nothing, |limits| Held::Limits(limits.clone()));
        assert_eq!(held(before.hardware.flash.bytes()), old);
        Self { before, old, new }
    }

    fn all(order: Order) -> Vec<Self> {
        let (first, second, third) = (limits(3_000), limits(6_000), whole_blocks());
        vec![
            Self::after(order, &[], first.clone()),
            Self::after(order, std::slice::from_ref(&first), second.clone()),
            Self::after(order, &[first, second], third),
        ]
    }

    /// Bytes that the whole load touches.
    fn bytes(&self) -> usize {
        let mut bench = self.again();
        assert_eq!(bench.load_limits(&self.new), Ok(()));
        bench.hardware.flash.touched
    }

    fn again(&self) -> Bench {
        let mut flash = self.before.hardware.flash.clone();
        flash.touched = 0;
        Bench::on(flash)
    }

    /// The load, in which something fails after so many bytes; whether it was said to be done.
    fn fails(&self, failing: Failing, after: usize, torn: u8) -> (Bench, bool) {
        let mut bench = self.again();
        let flash = &mut bench.hardware.flash;
        (flash.failing, flash.left, flash.torn) = (failing, Some(after), torn);
        let loaded = bench.load_limits(&self.new);
        assert!(matches!(loaded, Ok(()) | Err(Refusal::Flash)), "{loaded:?}");
        (bench, loaded.is_ok())
    }
}

/// What the board says that it holds must be what its flash holds.
fn holds(bench: &Bench) -> Held {
    let held = held(bench.hardware.flash.bytes());
    let said = bench.status().limits;
    match &held {
        Held::Limits(packed) => assert_eq!(said, Some(Fingerprint::of(packed)), "not what flash holds"),
        Held::Nothing | Held::Damaged => assert_eq!(said, None, "flash holds nothing"),
    }
    held
}

/// Whatever has happened, the next limits can be loaded, and hold after a restart.
fn loads_the_next(bench: &mut Bench) {
    let next = limits(9_000);
    assert_eq!(bench.load_limits(&next), Ok(()));
    assert_eq!(holds(bench), Held::Limits(next.clone()));
    bench.restart();
    assert_eq!(holds(bench), Held::Limits(next));
}

#[test]
fn a_power_cut_at_any_byte_leaves_the_old_limits_or_the_new() {
    let mut cuts = 0;
    for order in [Order::Up, Order::Down] {
        for load in Load::all(order) {
            let new = Held::Limits(load.new.clone());
            let total = load.bytes();
            for torn in TORN {
                let mut first_new = None;
                for after in 0..=total {
                    let (mut bench, done) = load.fails(Failing::Power, after, torn);
                    bench.restart();
                    let held = holds(&bench);
                    assert!(held == load.old || held == new, "{held:?} after {after} bytes");
                    assert!(held == new || !done, "the host was told that new limits are held, after {after} bytes");
                    first_new = first_new.or((held == new).then_some(after));
                    assert_eq!(held == new, first_new.is_some(), "old limits come back after {after} bytes");
                    loads_the_next(&mut bench);
                    cuts += 1;
                }
                // A slot is erased, its whole blocks and its head are written; the head's last words are no part of it.
                let blocks = load.new.len().div_ceil(HEAD) * HEAD;
                let head = SECTOR + blocks..SECTOR + blocks + SAID;
                let first_new = first_new.expect("uncut, the new are held");
                assert!(head.contains(&(first_new - 1)), "new limits count from byte {first_new} on");
            }
        }
    }
    println!("{cuts} cuts");
}

#[test]
fn flash_that_can_not_be_written_any_more_leaves_what_it_holds() {
    for order in [Order::Up, Order::Down] {
        for load in Load::all(order) {
            let mut seen = BTreeSet::new();
            for after in 0..=load.bytes() {
                let (mut bench, done) = load.fails(Failing::Writing, after, 0x5A);
                let held = holds(&bench);
                assert!(held == Held::Limits(load.new.clone()) || (held == load.old && !done), "after {after} bytes");
                seen.insert(format!("{held:?}"));
                bench.hardware.flash.mend();
                // Without a restart: the flash had a bad moment only.
                loads_the_next(&mut bench);
            }
            assert_eq!(seen.len(), 2, "old and new were to be seen");
        }
    }
}

#[test]
fn flash_that_silently_keeps_nothing_holds_no_new_limits() {
    let (old, new) = (limits(3_000), limits(6_000));
    let load = Load::after(Order::Up, std::slice::from_ref(&old), new.clone());
    let written = slot(1, &new, SECTOR);
    for at in (0..SAID).chain(HEAD..HEAD + new.len()).filter(|at| written[*at] != 0xFF) {
        let mut bench = load.again();
        // The first load went to the first slot, so this one goes to the second.
        bench.hardware.flash.stuck = Some(SECTOR + at);
        assert_eq!(bench.load_limits(&new), Err(Refusal::Flash), "byte {at}");
        assert_eq!(holds(&bench), Held::Limits(old.clone()));
        bench.restart();
        assert_eq!(holds(&bench), Held::Limits(old.clone()));
    }
}

#[test]
fn damaged_limits_are_none_and_older_ones_do_not_come_back() {
    for loaded in
        [vec![limits(6_000)], vec![limits(6_000), limits(3_000)], vec![limits(3_000), limits(6_000), limits(3_000)]]
    {
        let whole = Load::after(Order::Up, &loaded, limits(9_000)).before;
        let flash = whole.hardware.flash;
        let newest = newest(flash.bytes());
        let length = loaded.last().expect("one at least").len();
        for at in (0..SAID).chain(HEAD..HEAD + length) {
            for bit in 0..8 {
                let mut damaged = flash.clone();
                damaged.bytes_mut()[newest + at] ^= 1 << bit;
                let mut bench = Bench::on(damaged);
                assert_eq!(bench.event, Some(Event::Started(None)), "byte {at} of the slot, bit {bit}");
                loads_the_next(&mut bench);
            }
        }
    }
}

/// Where the slot with the highest sequence number begins.
fn newest(flash: &[u8]) -> usize {
    let size = flash.len() / 2;
    let slots = flash.chunks(size).enumerate();
    size * slots.max_by_key(|(_, slot)| layout::sequence(slot)).expect("two slots").0
}

#[test]
fn a_power_cut_before_the_older_head_is_erased_is_made_good_at_the_next_start() {
    let load = Load::after(Order::Up, &[limits(6_000)], limits(3_000));
    let (mut bench, _) = load.fails(Failing::Power, load.bytes() - SECTOR, 0);
    let sequences = |bench: &Bench| bench.hardware.flash.bytes().chunks(SECTOR).filter_map(layout::sequence).count();
    assert_eq!(sequences(&bench), 2);
    bench.restart();
    assert_eq!((sequences(&bench), holds(&bench)), (1, Held::Limits(load.new)));
}

#[test]
fn limits_that_flash_forgets_meanwhile_are_gone_when_a_load_is_given_up() {
    let mut bench = Load::after(Order::Up, &[limits(6_000), limits(3_000)], limits(9_000)).before;
    let at = newest(bench.hardware.flash.bytes()) + HEAD + 40;
    bench.hardware.flash.bytes_mut()[at] ^= 4;
    let mut wrong = limits(9_000);
    wrong[60] ^= 1;
    assert_eq!(bench.load_limits(&wrong), Err(Refusal::BadLimits));
    assert_eq!(bench.status().limits, None);
    loads_the_next(&mut bench);
}

/// Flash that can't be erased takes no limits, and no piece of them: those before stay, or there are none.
#[test]
fn limits_that_flash_can_not_be_erased_for_are_not_taken() {
    let mut bench = Bench::new();
    bench.load(Kind::Route, &pinfold_tests::board::sample::route(2_000)).expect("a route, that is refused");
    let flash = &mut bench.hardware.flash;
    (flash.failing, flash.left, bench.hardware.held) = (Failing::Writing, Some(0), true);
    assert_eq!(bench.ask(Ask::Begin(Kind::Limits)), Answer::Refused(Refusal::Flash));
    let piece = Ask::Piece { offset: 0, bytes: [0].into_iter().collect() };
    assert_eq!(bench.ask(piece), Answer::Refused(Refusal::Flash));
}

#[test]
fn what_a_slot_doesn_t_need_stays_erased() {
    let mut bench = Bench::new();
    let packed = limits(3_000);
    bench.load_limits(&packed).expect("limits");
    let slot = newest(bench.hardware.flash.bytes());
    let rest = &bench.hardware.flash.bytes()[slot + HEAD + packed.len()..slot + SECTOR];
    assert!(!packed.len().is_multiple_of(HEAD) && rest.iter().all(|byte| *byte == 0xFF), "{rest:02x?}");
}

/// A board whose flash holds these slots.
fn on(slots: [Vec<u8>; 2]) -> Bench {
    Bench::on(RamFlash::holding(slots))
}

#[test]
fn of_two_slots_the_higher_number_counts_and_equal_ones_are_settled() {
    let (low, high) = (limits(3_000), limits(6_000));
    for (sequences, counts) in
        [([7, 8], Some(&high)), ([8, 7], Some(&low)), ([0, u32::MAX], Some(&high)), ([5, 5], None)]
    {
        let mut bench = on([slot(sequences[0], &low, SECTOR), slot(sequences[1], &high, SECTOR)]);
        let held = match bench.status().limits.expect("two slots hold limits") {
            one if one == Fingerprint::of(&low) => &low,
            other => {
                assert_eq!(other, Fingerprint::of(&high));
                &high
            }
        };
        assert!(counts.is_none_or(|counts| counts == held), "{sequences:?}");
        if sequences[1] < u32::MAX {
            loads_the_next(&mut bench);
        }
    }
}

#[test]
fn at_its_end_the_sequence_keeps_what_is_held() {
    let (old, new) = (limits(3_000), limits(6_000));
    let empty = vec![0xFF; SECTOR];
    let mut bench = on([slot(u32::MAX - 1, &old, SECTOR), empty.clone()]);
    assert_eq!(bench.load_limits(&new), Ok(()));
    bench.restart();
    assert_eq!(holds(&bench), Held::Limits(new.clone()));
    assert_eq!(bench.load_limits(&old), Err(Refusal::Flash));
    assert_eq!(holds(&bench), Held::Limits(new.clone()));
    bench.restart();
    assert_eq!(holds(&bench), Held::Limits(new));
}

#[test]
fn a_head_that_says_too_much_or_too_little_holds_nothing() {
    let limits = limits(3_000);
    let empty = || vec![0xFF; SECTOR];
    let with_more = [&limits[..], &[0xFF]].concat();
    let cases: [(&str, Vec<u8>); 6] = [
        ("nothing", slot(1, &[], SECTOR)),
        ("no limits", slot(1, &[7; 100], SECTOR)),
        ("a byte less", slot(1, &limits[..limits.len() - 1], SECTOR)),
        ("a byte more", slot(1, &with_more, SECTOR)),
        ("more than fits", slot(1, &large(), 2 * SECTOR)[..SECTOR].to_vec()),
        ("a route", slot(1, &pinfold_tests::board::sample::route(2_000), SECTOR)),
    ];
    for (name, bytes) in cases {
        for slots in [[bytes.clone(), empty()], [empty(), bytes.clone()]] {
            let mut bench = on(slots);
            assert_eq!(bench.event, Some(Event::Started(None)), "{name}");
            loads_the_next(&mut bench);
        }
    }
}

#[test]
fn limits_that_do_not_fit_are_refused_and_the_old_stay() {
    let old = limits(3_000);
    let mut bench = Load::after(Order::Up, std::slice::from_ref(&old), large()).before;
    assert_eq!(bench.load_limits(&large()), Err(Refusal::Flash));
    assert_eq!(holds(&bench), Held::Limits(old));
    loads_the_next(&mut bench);
}

#[test]
fn slots_of_other_sizes_hold_whole_limits_or_none() {
    for sectors in 1..5 {
        let mut bench = Bench::on(RamFlash::new(sectors));
        for ceiling in [3_000, 6_000, 4_000] {
            assert_eq!(bench.load_limits(&limits(ceiling)), Ok(()), "{sectors} sectors");
        }
        let bytes = bench.hardware.flash.bytes().to_vec();
        for other in (2 * SECTOR..=10 * SECTOR).step_by(SECTOR) {
            let mut flash = RamFlash::new(0);
            *flash.bytes_mut() = bytes.iter().copied().chain(std::iter::repeat(0xFF)).take(other).collect();
            let moved = Bench::on(flash);
            if (other / 2).is_multiple_of(SECTOR) {
                let whole = [None, Some(Fingerprint::of(&limits(4_000)))];
                assert!(whole.contains(&moved.status().limits), "{sectors} sectors, {other} bytes");
            } else {
                assert_eq!(moved.event, Some(Event::SelfTestFailed(Failure::Flash)), "half a sector more");
            }
        }
    }
}

/// Flash that reads, writes and erases so many bytes at once.
struct Grained<const READ: usize, const WRITE: usize, const ERASE: usize>(Vec<u8>);

impl<const READ: usize, const WRITE: usize, const ERASE: usize> ErrorType for Grained<READ, WRITE, ERASE> {
    type Error = Infallible;
}

impl<const READ: usize, const WRITE: usize, const ERASE: usize> ReadNorFlash for Grained<READ, WRITE, ERASE> {
    const READ_SIZE: usize = READ;

    fn read(&mut self, offset: u32, bytes: &mut [u8]) -> Result<(), Infallible> {
        let from = offset as usize;
        assert!(from.is_multiple_of(READ) && bytes.len().is_multiple_of(READ));
        bytes.copy_from_slice(&self.0[from..from + bytes.len()]);
        Ok(())
    }

    fn capacity(&self) -> usize {
        self.0.len()
    }
}

impl<const READ: usize, const WRITE: usize, const ERASE: usize> NorFlash for Grained<READ, WRITE, ERASE> {
    const WRITE_SIZE: usize = WRITE;
    const ERASE_SIZE: usize = ERASE;

    fn erase(&mut self, from: u32, to: u32) -> Result<(), Infallible> {
        assert!((from as usize).is_multiple_of(ERASE) && (to as usize).is_multiple_of(ERASE));
        self.0[from as usize..to as usize].fill(0xFF);
        Ok(())
    }

    fn write(&mut self, offset: u32, bytes: &[u8]) -> Result<(), Infallible> {
        let from = offset as usize;
        assert!(from.is_multiple_of(WRITE) && bytes.len().is_multiple_of(WRITE));
        let places = &mut self.0[from..from + bytes.len()];
        // Words are written once after an erase: most flash allows no more.
        assert!(places.iter().all(|byte| *byte == 0xFF), "written twice without an erase");
        places.copy_from_slice(bytes);
        Ok(())
    }
}

/// The bytes that count.
fn read(flash: &mut impl NorFlash) -> Result<Vec<u8>, FlashFault> {
    let mut bytes = Vec::new();
    Slots::find(flash)?.read(flash, &mut |byte| {
        bytes.push(byte);
        Ok(())
    })?;
    Ok(bytes)
}

/// Three loads onto flash of this grain; what is found and read back.
fn kept<const READ: usize, const WRITE: usize, const ERASE: usize>(capacity: usize) -> Result<Vec<u8>, FlashFault> {
    let mut flash = Grained::<READ, WRITE, ERASE>(vec![0; capacity]);
    for round in 0..3 {
        let slots = Slots::find(&mut flash)?;
        assert_eq!(slots.any(), round > 0);
        let mut filling = slots.begin(&mut flash)?;
        (0..200).try_for_each(|byte| filling.take(byte ^ round, &mut flash))?;
        filling.finish(&mut flash)?;
    }
    let bytes = read(&mut flash)?;
    let slot = newest(&flash.0);
    for at in slot + HEAD..slot + HEAD + bytes.len() {
        // Whatever the slot holds: that it is damaged doesn't show by what it says of itself.
        flash.0[at] ^= 1;
        assert_eq!(read(&mut flash), Err(FlashFault), "byte {at}");
        flash.0[at] ^= 1;
    }
    Ok(bytes)
}

#[test]
fn flash_of_any_grain_that_a_block_is_made_of_will_do_and_no_other() {
    let expected: Vec<u8> = (0..200).map(|byte| byte ^ 2).collect();
    assert_eq!(kept::<1, 1, 1>(1024), Ok(expected.clone()));
    assert_eq!(kept::<4, 4, 512>(1024), Ok(expected.clone()));
    assert_eq!(kept::<64, 64, 4096>(8192), Ok(expected.clone()));
    assert_eq!(kept::<1, 8, 2048>(8192), Ok(expected));
    assert_eq!(kept::<1, 0, 1024>(8192), Err(FlashFault));
    assert_eq!(kept::<1, 128, 1024>(8192), Err(FlashFault));
    assert_eq!(kept::<128, 4, 1024>(8192), Err(FlashFault));
    assert_eq!(kept::<3, 4, 1024>(8192), Err(FlashFault));
    assert_eq!(kept::<1, 4, 1024>(1024), Err(FlashFault));
    assert_eq!(kept::<1, 4, 64>(64), Err(FlashFault));
    // A block for the head and four for 200 bytes.
    assert_eq!(kept::<1, 4, 64>(512), Err(FlashFault));
    assert_eq!(kept::<1, 4, 64>(640).map(|bytes| bytes.len()), Ok(200));
    // A slot is a head and a block at least, and may be full to its end.
    let found = |bytes: usize| Slots::find(&mut Grained::<1, 4, 32>(vec![0; bytes])).is_ok();
    assert_eq!([128, 192, 256].map(found), [false, false, true]);
    let full = [slot(1, &[7; 128], 192), vec![0xFF; 192]].concat();
    assert_eq!(read(&mut Grained::<1, 4, 64>(full)), Ok(vec![7; 128]));
}
