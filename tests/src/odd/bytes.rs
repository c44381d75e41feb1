//! Bytes that are written wrong: one field at a time of the golden route and the golden limits, with a length and a
//! checksum that fit, so that nothing else can be what is refused; and envelopes.

use pinfold_core::{
    units::Latitude,
    wire::{
        Kind, Reason, VERSION,
        envelope::{HEAD, TAIL},
    },
};

use super::{
    Expected::{self, Go, LimitsRefused, RouteRefused},
    Odd, plain_limits, plain_route,
};
use crate::packed::{
    envelope,
    golden::{Case, Field, cases as golden, index_of},
    overlong, unsigned, with_checksum, with_new_checksum,
};

/// All of them.
#[must_use]
pub fn cases() -> Vec<Odd> {
    let mut all = envelopes();
    for case in golden().into_iter().take(2) {
        all.extend(over_long(&case));
        all.extend(no_such_value(&case));
        all.extend(truncated(&case));
    }
    all.extend(counts());
    all.extend(names());
    all
}

/// A case of a kind of packed bytes.
fn of(kind: Kind, name: String, provokes: String, bytes: Vec<u8>, reason: Reason) -> Odd {
    match kind {
        Kind::Limits => Odd::limits(format!("{name}-limits"), provokes, bytes, LimitsRefused(reason)),
        Kind::Route | Kind::Verdict => Odd::route(format!("{name}-route"), provokes, bytes, RouteRefused(reason)),
    }
}

/// Magic, kind, version, length, checksum, and what follows the end.
fn envelopes() -> Vec<Odd> {
    let mut all = vec![
        Odd::route("envelope/plain", "nothing: the route and limits of most other cases", plain_route(), Go),
        Odd::route("envelope/empty", "no bytes at all", Vec::new(), RouteRefused(Reason::Short)),
    ];
    for (kind, whole) in [(Kind::Route, plain_route()), (Kind::Limits, plain_limits())] {
        let mut with = |name: &str, provokes: &str, change: &dyn Fn(&mut Vec<u8>), reason: Reason| {
            let mut bytes = whole.clone();
            change(&mut bytes);
            all.push(of(kind, format!("envelope/{name}"), provokes.to_owned(), bytes, reason));
        };
        let set = |at: usize, value: u8| move |bytes: &mut Vec<u8>| bytes[at] = value;
        for at in 0..4 {
            with(&format!("magic-{at}"), "another magic", &|bytes| bytes[at] ^= 0x20, Reason::Magic);
        }
        for number in [0, 1, 2, 3, 4, 255].into_iter().filter(|number| *number != kind.number()) {
            with(&format!("kind-{number}"), "another kind", &set(4, number), Reason::Kind(number));
        }
        for number in [0, 1, VERSION - 1, VERSION + 1, 127, 255] {
            with(&format!("version-{number}"), "another version", &set(5, number), Reason::Version(number));
        }
        for at in 1..=TAIL {
            let flip = move |bytes: &mut Vec<u8>| {
                let end = bytes.len() - at;
                bytes[end] ^= 1;
            };
            with(&format!("checksum-{at}"), "a wrong checksum", &flip, Reason::Checksum);
        }
        let reverse = |bytes: &mut Vec<u8>| {
            let from = bytes.len() - TAIL;
            bytes[from..].reverse();
        };
        with("checksum-reversed", "a checksum with its most significant byte first", &reverse, Reason::Checksum);
        with("trailing", "a byte after the end", &|bytes| bytes.push(0), Reason::Trailing);
        with("twice", "the whole a second time", &|bytes| bytes.extend_from_within(..), Reason::Trailing);
        let length = |length: u32| move |bytes: &mut Vec<u8>| bytes[6..HEAD].copy_from_slice(&length.to_le_bytes());
        let body = u32::try_from(whole.len() - HEAD - TAIL).expect("short");
        with("length-less", "a body a byte shorter than what is in it", &length(body - 1), Reason::Length);
        with("length-none", "no body", &length(0), Reason::Checksum);
        with("length-too-much", "a body of 16 MiB", &length(1 << 24), Reason::Length);
        with("length-most", "a body of 4 GiB", &length(u32::MAX), Reason::Length);
        let body = [&whole[HEAD..whole.len() - TAIL], &[0]].concat();
        let longer = envelope(kind, &body);
        all.push(of(kind, "envelope/body-longer".into(), "a byte after the last value".into(), longer, Reason::Length));
    }
    all
}

/// What a field is called in a file's name.
fn called(case: &Case, index: usize) -> String {
    let words: String =
        case.fields[index].meaning.chars().map(|sign| if sign.is_ascii_alphanumeric() { sign } else { '-' }).collect();
    let words: Vec<_> = words.split('-').filter(|word| !word.is_empty()).take(4).collect();
    format!("{index:03}-{}", words.join("-"))
}

/// Every integer of variable length in a byte more than it needs, and in far more than it can have.
fn over_long(case: &Case) -> Vec<Odd> {
    let integers = case.fields.iter().enumerate().filter_map(|(index, field)| Some((index, field, field.longest()?)));
    integers.flat_map(|(index, field, longest)| long_forms(case, index, field, longest)).collect()
}

fn long_forms(case: &Case, index: usize, field: &Field, longest: usize) -> [Odd; 2] {
    // Of a text the length is the integer.
    let (integer, rest) = field.bytes.split_at(if field.form == "text" { 1 } else { field.bytes.len() });
    let reason = if integer.len() < longest { Reason::NotCanonical } else { Reason::Value };
    let longer = case.with_field(index, &[&overlong(integer), rest].concat());
    let endless = case.with_field(index, &[&vec![0x80; longest][..], &[1]].concat());
    let name = |form: &str| format!("integers/{form}-{}", called(case, index));
    let say = |form: &str| format!("{form}: {}", field.meaning);
    [
        of(case.kind, name("over-long"), say("an integer in a byte more than it needs"), longer, reason),
        of(case.kind, name("endless"), say("an integer of more bytes than it can have"), endless, Reason::Value),
    ]
}

/// Enums and options that don't exist.
fn no_such_value(case: &Case) -> Vec<Odd> {
    let mut all = Vec::new();
    for (index, field) in case.fields.iter().enumerate() {
        let unknown: &[u8] = match field.form.as_str() {
            "enum" => &[64],
            "option" => &[2],
            _ => continue,
        };
        let bytes = case.with_field(index, unknown);
        let say = format!("an unknown value: {}", field.meaning);
        all.push(of(case.kind, format!("values/unknown-{}", called(case, index)), say, bytes, Reason::Value));
    }
    all
}

/// The beginning alone, up to each field.
fn truncated(case: &Case) -> Vec<Odd> {
    let whole = case.bytes();
    let mut ends: Vec<_> = case.fields.iter().map(|field| field.offset).skip(1).collect();
    // Inside the envelope's fields, and a byte short of the end.
    ends.extend([1, 3, 7, 9, whole.len() - 3, whole.len() - 1]);
    ends.sort_unstable();
    ends.dedup();
    let cut = |end: usize| {
        let say = format!("the first {end} of {} bytes", whole.len());
        of(case.kind, format!("truncated/{end:03}"), say, whole[..end].to_vec(), Reason::Short)
    };
    ends.into_iter().map(cut).collect()
}

/// Numbers of steps and zones that aren't those that follow.
fn counts() -> Vec<Odd> {
    let [route, limits, _] = golden();
    let steps = index_of(&route.fields, "steps: 12");
    let zones = limits.fields.iter().position(|field| field.form == "u8" && field.meaning == "4").expect("zones");
    let mut all = Vec::new();
    for (count, say) in [(0, "none"), (11, "one less"), (13, "one more"), (u16::MAX, "most")] {
        let bytes = route.with_field(steps, &unsigned(count.into()));
        let name = format!("counts/steps-{count}");
        all.push(of(Kind::Route, name, format!("{say} than the steps that follow"), bytes, Reason::Length));
    }
    let most = limits.with_field(zones, &[u8::MAX]);
    all.push(Odd::limits("counts/zones-255", "more zones than follow", most, refused_somehow(&limits, zones)));
    all
}

/// What follows zones that aren't there is read as if it were one.
fn refused_somehow(limits: &Case, zones: usize) -> Expected {
    let fault = (limits.read)(&limits.with_field(zones, &[u8::MAX])).expect_err("there aren't 255 zones");
    LimitsRefused(fault.reason)
}

/// Names that say nothing, are no text, or are as long as can be.
fn names() -> Vec<Odd> {
    let [route, ..] = golden();
    let index = route.fields.iter().position(|field| field.form == "text").expect("a name");
    let names: [(&str, &[u8]); 5] = [
        ("empty", b""),
        ("control", b"a\x1b[2J"),
        ("half-a-character", &[0xC3]),
        ("over-long-slash", &[0xC0, 0xAF]),
        ("33-bytes", &[b'a'; 33]),
    ];
    let refused = names.into_iter().map(|(name, text)| {
        let bytes = route.with_field(index, &[&unsigned(text.len() as u64), text].concat());
        of(Kind::Route, format!("names/{name}"), "a name that is none".into(), bytes, Reason::Value)
    });
    let mut all: Vec<_> = refused.collect();
    let launch = pinfold_core::model::route::Launch {
        name: "\u{1F6E1}".repeat(8).as_str().try_into().expect("32 bytes"),
        ..crate::board::sample::start()
    };
    let longest = super::route_from(&launch, &crate::board::sample::steps(2_000));
    all.push(Odd::route("names/longest", "a name of 32 bytes", longest, Go));
    // A checksum alone, over nothing that makes sense.
    all.push(Odd::route(
        "names/nothing-but-a-checksum",
        "no packed bytes",
        with_checksum(&[]),
        RouteRefused(Reason::Magic),
    ));
    let far = index_of(&route.fields, "latitude -175008993, less the one before: -8993");
    let beyond = crate::packed::signed(i64::from(Latitude::MAX) * 2);
    let bytes = with_new_checksum(&route.with_field(far, &beyond));
    all.push(of(
        Kind::Route,
        "values/beyond-the-pole".into(),
        "a difference that leads out of range".into(),
        bytes,
        Reason::Value,
    ));
    all
}
