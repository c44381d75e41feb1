//! What is shown of packed bytes against the golden files, against core's readers, and against the bytes themselves.

use pinfold_core::{
    model::{
        route::Step,
        store::{Limits, LimitsStore},
    },
    units::{Height, Latitude, Longitude, Speed},
    wire::{Fault, Kind},
};
use pinfold_tests::packed::{
    envelope,
    golden::{self, cases, fields},
    packed_limits, packed_route,
    random::{self, launch, limits, verdict_body},
    read_limits, read_route, signed, unsigned, with_new_checksum,
};
use proptest::prelude::*;

use super::{
    Field, Fields, Raw,
    quantity::{figure, unit},
};

/// What core says of bytes.
type Read = fn(&[u8]) -> Result<(), Fault>;

/// The golden files.
fn golden() -> [(&'static str, golden::Case); 3] {
    let [route, limits, verdict] = cases();
    [(golden::ROUTE, route), (golden::LIMITS, limits), (golden::VERDICT, verdict)]
}

/// Demands that the fields and what is left are the bytes.
fn is_whole(fields: &Fields<'_>, bytes: &[u8]) {
    let mut next = 0;
    for field in &fields.fields {
        assert_eq!(field.offset, next, "{field:?}");
        next += field.bytes.len();
    }
    let shown: Vec<u8> = fields.fields.iter().flat_map(|field| field.bytes).chain(fields.rest).copied().collect();
    assert_eq!(shown, bytes);
}

/// What is written in a field, written without core's help.
fn encoded(field: &Field<'_>) -> Vec<u8> {
    match &field.raw {
        Raw::Bytes => field.bytes.to_vec(),
        Raw::Unsigned(number) if ["u8", "CellCount", "StateOfCharge"].contains(&field.quantity) => vec![*number as u8],
        Raw::Unsigned(number) | Raw::Items(number) => unsigned(*number),
        Raw::Signed(number) => signed(*number),
        Raw::Text(text) => [unsigned(text.len() as u64), text.clone().into_bytes()].concat(),
        Raw::Given(given) => vec![u8::from(*given)],
        Raw::Variant(number, _) => unsigned((*number).into()),
        Raw::Fingerprint(fingerprint) => fingerprint.bytes().to_vec(),
    }
}

/// Demands that sound bytes are shown to the last, and that the values give the same bytes again.
fn is_all(bytes: &[u8]) -> Fields<'_> {
    let shown = Fields::of(bytes);
    assert_eq!((shown.fault, shown.rest), (None, &[][..]));
    is_whole(&shown, bytes);
    assert_eq!(shown.fields.iter().flat_map(encoded).collect::<Vec<_>>(), bytes);
    shown
}

#[test]
fn the_golden_files_have_the_fields_that_are_written_in_them() {
    for (text, case) in golden() {
        let bytes = case.bytes();
        let (shown, written) = (is_all(&bytes), fields(text));
        assert_eq!(shown.fields.len(), written.len());
        for (shown, written) in shown.fields.iter().zip(&written) {
            assert_eq!((shown.offset, shown.bytes), (written.offset, &written.bytes[..]), "{shown:?}\n{written:?}");
            if written.is_bounded() {
                assert_eq!(shown.quantity, written.quantity, "{shown:?}\n{written:?}");
            }
            assert!(!shown.name.is_empty() && !shown.value.is_empty(), "{shown:?}");
        }
    }
}

#[test]
fn every_quantity_has_its_unit() {
    let table = include_str!("../../../core/src/units.rs");
    let names: Vec<&str> = table.lines().filter(|line| line.contains(" => ") && line.contains(", \"")).collect();
    assert!(names.len() > 20, "{names:?}");
    for line in names {
        let name = line.trim().split(':').next().expect("a name");
        let quoted = line.split('"').nth(1).expect("a unit");
        assert_eq!(unit(name), Some(quoted), "{line}");
    }
    assert_eq!(figure(-174_000_001, Latitude::UNIT), "-17.4000001 degree");
    assert_eq!(figure(25, Height::UNIT), "0.25 m");
}

/// Demands that the value of a field begins with a figure, and that the field is called so.
fn tells(field: &Field<'_>, name: &str, counts: i64, unit: &str) {
    assert!(field.name.ends_with(name), "{name}: {field:?}");
    let expected = format!("{} (", figure(counts, unit));
    assert!(field.value.starts_with(&expected), "{expected}: {field:?}");
}

fn tells_steps(shown: &Fields<'_>, steps: &[Step]) {
    for (index, step) in steps.iter().enumerate() {
        let of = format!("step {}", index + 1);
        let fields: Vec<_> = shown.fields.iter().filter(|field| field.of == of).collect();
        match *step {
            Step::Climb { height } => tells(fields[1], "height", height.get().into(), Height::UNIT),
            Step::Fly { to, height, speed, .. } => {
                tells(fields[1], "latitude", to.latitude.get().into(), Latitude::UNIT);
                tells(fields[2], "longitude", to.longitude.get().into(), Longitude::UNIT);
                tells(fields[3], "height", height.get().into(), Height::UNIT);
                tells(fields[4], "speed", speed.get().into(), Speed::UNIT);
            }
            Step::Hold { .. } | Step::Land | Step::Return => {}
        }
    }
}

fn tells_limits(shown: &Fields<'_>, limits: Limits<'_>) {
    let vertices = limits.zones().flat_map(|(zone, _)| limits.rings(zone)).flatten();
    let mut fields = shown.fields.iter().filter(|field| field.name.starts_with("vertex "));
    for vertex in vertices {
        let mut next = || fields.next().expect("a field");
        tells(next(), ".latitude", vertex.latitude.get().into(), Latitude::UNIT);
        tells(next(), ".longitude", vertex.longitude.get().into(), Longitude::UNIT);
    }
    assert!(fields.next().is_none());
    let Some(ground) = limits.ground() else { return };
    let mut cells = shown.fields.iter().filter(|field| field.name.starts_with("cell "));
    for cell in ground.cells() {
        assert_eq!(cells.next().expect("a field").raw, Raw::Given(cell.counts().is_some()));
        let Some((lowest, highest)) = cell.counts() else { continue };
        for (name, counts) in [(".lowest", lowest), (".highest", highest)] {
            let height = ground.plan().height(counts);
            tells(cells.next().expect("a field"), name, height.into(), Height::UNIT);
        }
    }
    assert!(cells.next().is_none());
}

#[test]
fn what_differences_come_to_is_what_core_reads() {
    let [route, held, _] = cases().map(|case| case.bytes());
    tells_steps(&is_all(&route), &read_route(&route).expect("a route").steps);
    tells_limits(&is_all(&held), read_limits(&held).expect("limits").0.limits().expect("sealed"));
}

proptest! {
    #![proptest_config(random::cases(200))]

    #[test]
    fn any_route_is_shown_to_the_last_byte(launch in launch(), steps in random::steps()) {
        let (bytes, _) = packed_route(&launch, &steps);
        tells_steps(&is_all(&bytes), &steps);
    }

    #[test]
    fn any_limits_are_shown_to_the_last_byte(store in limits()) {
        let store: Box<LimitsStore> = store;
        let limits = store.limits().expect("sealed");
        let (bytes, _) = packed_limits(limits);
        tells_limits(&is_all(&bytes), limits);
    }

    #[test]
    fn any_verdict_is_shown_to_the_last_byte(body in verdict_body()) {
        is_all(&envelope(Kind::Verdict, &body));
    }
}

/// Demands of damaged bytes that core's fault is shown, and every field before the damage.
fn is_shown_to(damaged: &[u8], from: usize, sound: &Fields<'_>, read: Read) {
    let shown = Fields::of(damaged);
    let fault = reader(damaged, read)(damaged).err();
    assert_eq!(shown.fault, fault, "damaged at {from}");
    is_whole(&shown, damaged);
    let from = fault.map_or(damaged.len(), |fault| fault.offset as usize).min(from);
    let before = |field: &&Field<'_>| field.offset + field.bytes.len() <= from;
    let expected: Vec<_> = sound.fields.iter().filter(before).map(|field| (field.offset, &field.name)).collect();
    let found: Vec<_> = shown.fields.iter().filter(before).map(|field| (field.offset, &field.name)).collect();
    assert_eq!(found, expected, "damaged at {from}");
}

/// The reader for what the bytes say they are, if that is anything.
fn reader(bytes: &[u8], read: Read) -> Read {
    let kind = bytes.get(4).copied().and_then(Kind::of_number);
    cases().into_iter().find(|case| Some(case.kind) == kind).map_or(read, |case| case.read)
}

#[test]
fn damage_at_every_byte_is_shown_where_core_notices_it() {
    for (_, case) in golden() {
        let bytes = case.bytes();
        let sound = is_all(&bytes);
        let shown_to = |damaged: &[u8], from| is_shown_to(damaged, from, &sound, case.read);
        for at in 0..bytes.len() {
            for change in [0x01, 0x80, 0xff] {
                let mut damaged = bytes.clone();
                damaged[at] ^= change;
                shown_to(&damaged, at);
                // With a checksum that fits, what is inside is what is wrong, if anything.
                if (10..bytes.len() - 4).contains(&at) {
                    shown_to(&with_new_checksum(&damaged), at);
                }
            }
            shown_to(&bytes[..at], at);
        }
        shown_to(&[&bytes[..], &[0]].concat(), bytes.len());
    }
}
