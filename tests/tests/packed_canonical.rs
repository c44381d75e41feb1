//! One byte string for one meaning, and no value out of range: each field of the golden files is written in another way, the
//! length and the checksum being right, so that nothing but the field itself can be what is refused.

use std::collections::BTreeSet;

use pinfold_core::wire::{Kind, Reason};
use pinfold_tests::packed::{
    golden::{Case, cases, index_of},
    overlong, signed, unsigned,
};

/// Why a case's reader refuses another field `index`, which it must notice neither before the field nor after the body.
fn refusal(case: &Case, index: usize, bytes: &[u8]) -> Option<Reason> {
    let whole = case.with_field(index, bytes);
    let fault = (case.read)(&whole).err()?;
    let noticed = fault.offset as usize;
    let order = case.kind == Kind::Verdict && (noticed, fault.reason) == (0, Reason::NotCanonical);
    let within = case.fields[index].offset..whole.len() - 4;
    assert!(order || within.contains(&noticed), "{} noticed at {noticed}", case.fields[index].meaning);
    Some(fault.reason)
}

#[test]
fn an_over_long_integer_is_refused() {
    let mut forms = BTreeSet::new();
    for case in cases() {
        for (index, field) in case.fields.iter().enumerate() {
            let Some(longest) = field.longest() else { continue };
            // Of a text the length is the integer.
            let integer = if field.form == "text" { 1 } else { field.bytes.len() };
            let (integer, rest) = field.bytes.split_at(integer);
            let reason = if integer.len() < longest { Reason::NotCanonical } else { Reason::Value };
            let longer = [&overlong(integer), rest].concat();
            assert_eq!(refusal(&case, index, &longer), Some(reason), "{}", field.meaning);
            forms.insert(field.form.clone());
        }
    }
    let all = ["enum", "i32", "i64", "list", "text", "u16", "u32"];
    assert!(forms.iter().eq(all.iter()), "{forms:?}");
}

#[test]
fn an_integer_that_is_far_too_long_is_refused() {
    for case in cases() {
        for (index, field) in case.fields.iter().enumerate() {
            let Some(longest) = field.longest() else { continue };
            let endless = [&vec![0x80; longest][..], &[1]].concat();
            assert_eq!(refusal(&case, index, &endless), Some(Reason::Value), "{}", field.meaning);
        }
    }
}

/// The ranges of version 4 of the format, written down a second time: another range is another format.
const RANGES: [(&str, i64, i64); 24] = [
    ("Latitude", -900_000_000, 900_000_000),
    ("Longitude", -1_800_000_000, 1_800_000_000),
    ("Height", -1_000_000, 1_000_000),
    ("Length", 0, 10_000_000),
    ("Speed", -10_000, 10_000),
    ("SpeedLimit", 1, 10_000),
    ("Duration", 0, 8_640_000),
    ("Tilt", 1, 80),
    ("Power", 1, 50_000),
    ("Voltage", 1, 10_000),
    ("Capacity", 1, 1_000_000),
    ("Cells", 1, 30),
    ("Health", 1, 100),
    ("Reserve", 0, 99),
    ("Airspeed", 0, 10_000),
    ("CellVoltage", 1, 6000),
    ("StateOfCharge", 0, 100),
    ("WindSpeed", 0, 10_000),
    ("Direction", 0, 359),
    ("Spread", 0, 180),
    ("Temperature", -600, 600),
    ("CellSide", 1, 10_000_000),
    ("CellCount", 1, 32),
    ("CountHeight", 1, 30),
];

/// The ends of the range of a quantity.
fn range(quantity: &str) -> (i64, i64) {
    let found = RANGES.iter().find(|(name, ..)| *name == quantity);
    found.map(|(_, min, max)| (*min, *max)).unwrap_or_else(|| panic!("a golden file has a quantity {quantity}"))
}

#[test]
fn a_value_out_of_range_is_refused_and_one_at_its_end_is_not() {
    let mut quantities = BTreeSet::new();
    for case in cases() {
        for (index, field) in case.fields.iter().enumerate().filter(|(_, field)| field.is_bounded()) {
            let (min, max) = range(&field.quantity);
            for outside in [min - 1, max + 1] {
                let Some(bytes) = field.written(outside) else { continue };
                let reason = refusal(&case, index, &bytes);
                assert_eq!(reason, Some(Reason::Value), "{}: {outside}", field.meaning);
            }
            for end in [min, max] {
                // What follows may not fit a value at its end: later positions, other limits. That is refused elsewhere.
                let bytes = field.written(end).expect("the form can say the range's ends");
                let fault = (case.read)(&case.with_field(index, &bytes)).err();
                let at_field = fault.is_some_and(|fault| (fault.offset as usize) < field.offset + bytes.len());
                assert!(!at_field, "{}: {end}: {fault:?}", field.meaning);
            }
            quantities.insert(field.quantity.clone());
        }
    }
    // A step's speed is written as a difference and has its own test below.
    assert_eq!(quantities.len(), RANGES.len() - 1, "{quantities:?}");
}

#[test]
fn a_difference_that_leads_out_of_range_is_refused() {
    let [route, limits, _] = cases();
    let step = |meaning: &str| index_of(&route.fields, meaning);
    let differences = [
        (step("latitude -175008993, less the one before: -8993"), range("Latitude"), -175_000_000),
        (step("longitude 1799999420, less the one before: 9420"), range("Longitude"), 1_799_990_000),
        (step("height 2500, less the one before: 500"), range("Height"), 2000),
        (step("speed 300, less the one before: 300"), range("Speed"), 0),
    ];
    for (index, (min, max), before) in differences {
        for outside in [min - 1, max + 1] {
            let difference = signed(outside - before);
            assert_eq!(refusal(&route, index, &difference), Some(Reason::Value), "{outside}");
        }
        for end in [min, max] {
            assert_ne!(refusal_at(&route, index, &signed(end - before)), Some(Reason::Value), "{end}");
        }
    }
    let vertex = index_of(&limits.fields, "latitude -175030000, less the one before: -175030000");
    for wide in [range("Latitude").0, i64::MIN / 2, i64::MAX / 2] {
        assert_eq!(refusal(&limits, vertex, &signed(wide - 1)), Some(Reason::Value), "{wide}");
    }
}

/// Why a case's reader refuses another field `index` at the last byte of the step that the field is in or before.
fn refusal_at(case: &Case, index: usize, bytes: &[u8]) -> Option<Reason> {
    let whole = case.with_field(index, bytes);
    let next = case.fields[index + 1..].iter().find(|field| field.form == "enum").expect("a step follows");
    let end = next.offset + bytes.len() - case.fields[index].bytes.len();
    (case.read)(&whole).err().filter(|fault| (fault.offset as usize) < end).map(|fault| fault.reason)
}

/// How many variants the enums have in version 4 of the format, written down a second time.
const VARIANTS: [(&str, u64); 7] =
    [("Step", 5), ("ZoneKind", 3), ("HeightReference", 2), ("Shape", 2), ("Rule", 24), ("Cause", 26), ("Unit", 5)];

fn variants(name: &str) -> u64 {
    let found = VARIANTS.iter().find(|(known, _)| *known == name);
    found.map(|(_, count)| *count).unwrap_or_else(|| panic!("a golden file has an enum {name}"))
}

#[test]
fn the_last_variant_of_each_enum_is_known() {
    let mut enums = BTreeSet::new();
    for case in cases() {
        for (index, field) in case.fields.iter().enumerate().filter(|(_, field)| field.form == "enum") {
            let fault = (case.read)(&case.with_field(index, &unsigned(variants(&field.quantity) - 1))).err();
            // What follows, and the whole, may not fit it.
            let unknown =
                fault.is_some_and(|fault| (fault.offset as usize, fault.reason) == (field.offset, Reason::Value));
            assert!(!unknown, "{}: {fault:?}", field.meaning);
            enums.insert(field.quantity.clone());
        }
    }
    assert_eq!(enums.len(), VARIANTS.len(), "{enums:?}");
}

#[test]
fn a_variant_that_does_not_exist_is_refused() {
    let mut tried = 0;
    for case in cases() {
        for (index, field) in case.fields.iter().enumerate() {
            let unknown: Vec<Vec<u8>> = match field.form.as_str() {
                "enum" => [variants(&field.quantity), 64, 127, 128, u32::MAX.into()].map(unsigned).to_vec(),
                "option" => (2..=u8::MAX).map(|byte| vec![byte]).collect(),
                _ => continue,
            };
            for bytes in unknown {
                assert_eq!(refusal(&case, index, &bytes), Some(Reason::Value), "{}: {bytes:?}", field.meaning);
                tried += 1;
            }
        }
    }
    assert!(tried > 2000, "only {tried}");
}

#[test]
fn a_name_that_is_no_text_or_too_long_is_refused() {
    let [route, limits, _] = cases();
    for case in [route, limits] {
        let index = case.fields.iter().position(|field| field.form == "text").expect("a name");
        let text = |bytes: &[u8]| [&unsigned(bytes.len() as u64), bytes].concat();
        // Not UTF-8: a byte that never occurs, a sequence cut short, an over-long slash, half of a surrogate pair.
        let no_text: [&[u8]; 4] = [&[0xFF], &[0xC3], &[0xC0, 0xAF], &[0xED, 0xA0, 0x80]];
        for bytes in no_text {
            assert_eq!(refusal(&case, index, &text(bytes)), Some(Reason::Value), "{bytes:?}");
        }
        assert_eq!(refusal(&case, index, &text(&[b'a'; 33])), Some(Reason::Value));
        assert_eq!(refusal(&case, index, &text(&[b'a'; 32])), None);
    }
    // A name that says nothing, or moves a terminal's cursor, is no name: it could not be written as text again. (Limits are
    // looked at as a whole; `packed_unsound_limits` has their name.)
    let [route, ..] = cases();
    let index = route.fields.iter().position(|field| field.form == "text").expect("a name");
    for name in ["", "a\x1b[2J"] {
        let text = [&unsigned(name.len() as u64), name.as_bytes()].concat();
        assert_eq!(refusal(&route, index, &text), Some(Reason::Value), "{name:?}");
    }
}

#[test]
fn a_finding_of_a_zone_that_can_not_be_is_refused() {
    let [_, _, verdict] = cases();
    // Of keep-in, keep-out, people and the last return. The largest number stays in order.
    let zones: Vec<_> = (0..verdict.fields.len()).filter(|index| verdict.fields[*index].form == "u8").skip(1).collect();
    assert_eq!(zones.len(), 4);
    for index in &zones {
        for zone in [16, 31, 32, 255] {
            assert_eq!(refusal(&verdict, *index, &[zone]), Some(Reason::Value), "{zone}");
        }
    }
    for index in &zones[2..] {
        assert_eq!(refusal(&verdict, *index, &[15]), None);
    }
}

#[test]
fn findings_out_of_order_or_twice_are_refused() {
    let [_, _, verdict] = cases();
    let start = |rule: &str| index_of(&verdict.fields, rule);
    let end = verdict.fields.len() - 1;
    // Two of rules, two of zones, and one of a zone before one of a return.
    let neighbours = [
        [start("rule: ground"), start("rule: landing"), start("rule: turn-back")],
        [start("rule: keep-in, zone 0"), start("rule: keep-out, zone 1"), start("rule: people, zone 2")],
        [start("rule: people, zone 2"), start("rule: return-path, zone 3"), end],
    ];
    for [first, second, third] in neighbours {
        let mut swapped = verdict.clone();
        swapped.fields[first..third].rotate_left(second - first);
        let mut twice = verdict.clone();
        let again = verdict.fields[second..third].to_vec();
        twice.fields.splice(first..second, again);
        for changed in [swapped, twice] {
            let read = (changed.read)(&changed.enveloped()).map_err(|fault| fault.reason);
            assert_eq!(read, Err(Reason::NotCanonical));
        }
    }
}
