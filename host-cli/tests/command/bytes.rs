//! `unpack --bytes`: every field of packed bytes, sound or damaged.

use std::fs;

use pinfold_tests::packed::golden::cases;

use crate::support::{Copy, Run};

/// What the column of bytes holds.
fn column(run: &Run) -> Vec<u8> {
    let lines = run.out.lines().skip(1).filter(|line| !line.starts_with('#'));
    let bytes = lines.map(|line| line.get(8..22).unwrap_or_else(|| line.get(8..).expect("bytes")).to_owned());
    let words: Vec<String> =
        bytes.flat_map(|bytes| bytes.split_whitespace().map(str::to_owned).collect::<Vec<_>>()).collect();
    words.iter().map(|word| u8::from_str_radix(word, 16).unwrap_or_else(|_| panic!("{word} in\n{}", run.out))).collect()
}

/// A file of each kind: the golden ones, and the example packed.
fn files() -> (Copy, [&'static str; 5]) {
    let copy = Copy::new();
    for (text, packed) in [("route.toml", "example.route"), ("limits.toml", "example.limits")] {
        assert_eq!(copy.run(&["pack", text, "-o", packed]).code, 0);
    }
    let [route, limits, verdict] = cases().map(|case| case.bytes());
    let copy = copy.with("route", route).with("limits", limits).with("verdict", verdict);
    (copy, ["route", "limits", "verdict", "example.route", "example.limits"])
}

#[test]
fn the_column_of_bytes_is_the_file_and_lines_fit() {
    let (copy, names) = files();
    for name in names {
        let run = copy.run(&["unpack", name, "--bytes"]);
        assert_eq!((run.code, run.err.as_str()), (0, ""), "{name}");
        assert!(column(&run) == fs::read(copy.path().join(name)).expect("bytes"), "{name}: {}", run.out);
        for line in run.out.lines() {
            assert!(line.chars().count() <= 80, "{name}: {line}");
        }
    }
}

#[test]
fn names_values_and_places_are_those_of_the_route() {
    let (copy, _) = files();
    let out = copy.run(&["unpack", "example.route", "--bytes"]).out;
    for line in [
        "     0  50 4e 46 44     magic                      as it must be",
        "     4  01              kind                       a packed route",
        "     5  04              version                    4",
        "# step 1",
    ] {
        assert!(out.lines().any(|found| found == line), "no «{line}» in\n{out}");
    }
    let limits = copy.run(&["unpack", "example.limits", "--bytes"]).out;
    for (name, value) in
        [("margins.fixed", " m"), ("wind.up_to", " m/s"), ("battery.reserve", "25 %"), ("kind", "0: keep-in")]
    {
        let found = limits.lines().any(|line| line.contains(&format!("  {name} ")) && line.ends_with(value));
        assert!(found, "no {name} {value} in\n{limits}");
    }
}

#[test]
fn of_damaged_bytes_all_before_the_damage_is_shown_and_what_is_wrong() {
    let (copy, _) = files();
    let mut bytes = fs::read(copy.path().join("example.route")).expect("bytes");
    let sound = copy.run(&["unpack", "example.route", "--bytes"]).out;
    let last = bytes.len() - 4;
    bytes[last] ^= 0x10;
    let copy = copy.with("damaged", &bytes);
    let run = copy.run(&["unpack", "damaged", "--bytes"]);
    assert_eq!(run.code, 2);
    assert!(column(&run) == bytes, "{}", run.out);
    let before = sound.lines().take_while(|line| !line.contains("checksum"));
    assert!(run.out.lines().zip(before).all(|(damaged, sound)| damaged == sound), "{}", run.out);
    assert!(run.out.contains(&format!("# damaged at byte {last}: Checksum")), "{}", run.out);
    assert!(run.out.contains("is right") && run.err.contains("the checksum is wrong"), "{}{}", run.out, run.err);
    let short = copy.with("short", &bytes[..30]);
    let run = short.run(&["unpack", "short", "--bytes"]);
    assert!(run.code == 2 && run.out.contains("# damaged at byte 30: Short"), "{}", run.out);
    assert!(column(&run) == bytes[..30], "{}", run.out);
}

#[test]
fn what_isnt_packed_at_all_is_said_at_its_first_byte() {
    let run = Copy::new().run(&["unpack", "route.toml", "--bytes"]);
    assert_eq!(run.code, 2);
    assert!(run.out.contains("# damaged at byte 0: Magic") && run.out.contains("more bytes"), "{}", run.out);
    let run = Copy::new().with("empty", "").run(&["unpack", "empty", "--bytes"]);
    assert!(run.code == 2 && run.out.contains("# damaged at byte 0: Short"), "{}", run.out);
}
