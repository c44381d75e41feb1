//! Packing, unpacking, and what happens to files.

use std::fs;

use crate::support::Copy;

/// A copy of the example with its packed route and limits beside it.
fn packed() -> Copy {
    let copy = Copy::new();
    for (text, packed) in [("route.toml", "route.packed"), ("limits.toml", "limits.packed")] {
        let run = copy.run(&["pack", text, "-o", packed]);
        assert_eq!(run.code, 0, "{}", run.err);
    }
    copy
}

#[test]
fn packed_files_are_taken_wherever_text_is() {
    let copy = packed();
    let expected = copy.check();
    for (route, limits) in
        [("route.packed", "limits.toml"), ("route.toml", "limits.packed"), ("route.packed", "limits.packed")]
    {
        let run = copy.run(&["check", route, "--limits", limits]);
        assert_eq!((run.code, &run.out), (0, &expected.out), "{route} {limits}");
    }
}

#[test]
fn unpacking_and_packing_again_gives_the_same_bytes() {
    let copy = packed();
    let run = copy.run(&["unpack", "route.packed", "-o", "again.toml"]);
    assert_eq!(run.code, 0, "{}", run.err);
    let run = copy.run(&["unpack", "limits.packed", "-o", "held.toml"]);
    assert_eq!(run.code, 0, "{}", run.err);
    for (text, packed, old) in
        [("again.toml", "again.packed", "route.packed"), ("held.toml", "held.packed", "limits.packed")]
    {
        assert_eq!(copy.run(&["pack", text, "-o", packed]).code, 0);
        let [again, before] = [packed, old].map(|name| fs::read(copy.path().join(name)).expect("bytes"));
        assert!(again == before, "{text}");
    }
    let printed = copy.run(&["unpack", "route.packed"]);
    assert_eq!(printed.out, fs::read_to_string(copy.path().join("again.toml")).expect("text"));
}

#[test]
fn damaged_bytes_are_refused_with_the_place() {
    let copy = packed();
    let bytes = fs::read(copy.path().join("route.packed")).expect("bytes");
    for (damaged, part) in [
        (bytes[..60].to_vec(), "the bytes end early, after 60"),
        ([&bytes[..], &[0]].concat(), "something follows the end"),
        ([&bytes[..bytes.len() - 1], &[bytes[bytes.len() - 1] ^ 1]].concat(), "the checksum is wrong"),
        ([&bytes[..5], &[9], &bytes[6..]].concat(), "the format is version 9"),
    ] {
        fs::write(copy.path().join("damaged"), damaged).expect("written");
        let run = copy.run(&["check", "damaged", "--limits", "limits.toml"]);
        assert_eq!(run.code, 2);
        assert!(run.err.contains(part), "no «{part}» in:\n{}", run.err);
    }
    let run = copy.run(&["check", "limits.packed", "--limits", "route.packed"]);
    assert!(run.code == 2 && run.err.contains("this is a packed route, not packed limits"), "{}", run.err);
}

#[test]
fn a_persons_file_is_never_written_over() {
    let copy = packed();
    let before = fs::read(copy.path().join("limits.toml")).expect("text");
    for arguments in [
        ["pack", "route.toml", "-o", "limits.toml"],
        ["unpack", "route.packed", "-o", "limits.toml"],
        ["unpack", "limits.packed", "-o", "limits.toml"],
    ] {
        let run = copy.run(&arguments);
        assert_eq!(run.code, 2, "{arguments:?}");
        assert!(run.err.contains("left as it is"), "{}", run.err);
    }
    assert!(fs::read(copy.path().join("limits.toml")).expect("text") == before);
    assert!(!copy.path().join("limits.site.geojson").exists(), "both files or none");
}

#[test]
fn an_older_packed_file_is_replaced_whole() {
    let copy = packed();
    let copy = copy.edit("route.toml", "morning", "evening");
    assert_eq!(copy.run(&["pack", "route.toml", "-o", "route.packed"]).code, 0);
    let unpacked = copy.run(&["unpack", "route.packed"]);
    assert!(unpacked.out.contains("evening count"), "{}", unpacked.out);
}

#[test]
fn a_problem_leaves_no_file_behind() {
    let copy = Copy::new().edit("route.toml", "height_m = 20.0", "height_m = nan");
    let count = || fs::read_dir(copy.path()).expect("a folder").count();
    let before = count();
    assert_eq!(copy.run(&["pack", "route.toml", "-o", "new.packed"]).code, 2);
    assert_eq!(count(), before);
    assert_eq!(copy.run(&["pack", "limits.toml", "-o", "no/such/folder/x"]).code, 2);
}

#[test]
fn limits_unpack_into_named_files() {
    let run = packed().run(&["unpack", "limits.packed"]);
    assert!(run.code == 2 && run.err.contains("-o limits.toml"), "{}", run.err);
}

#[cfg(target_os = "linux")]
#[test]
fn an_answer_that_is_lost_is_an_error_and_never_a_crash() {
    use std::{fs::File, process::Command};
    let copy = packed();
    let full = || File::options().write(true).open("/dev/full").expect("a full device");
    let run = |arguments: &[&str]| {
        let mut command = Command::new(env!("CARGO_BIN_EXE_pinfold"));
        command.args(arguments).current_dir(copy.path());
        command
    };
    let check = ["check", "route.toml", "--limits", "limits.toml"];
    for arguments in
        [&check[..], &["check", "route.toml", "--limits", "limits.toml", "--json"], &["unpack", "route.packed"]]
    {
        let status = run(arguments).stdout(full()).stderr(full()).status().expect("it runs");
        assert_eq!(status.code(), Some(2), "{arguments:?}");
    }
    let status = run(&["check", "nothing", "--limits", "limits.toml"]).stderr(full()).status().expect("it runs");
    assert_eq!(status.code(), Some(2));
}

#[cfg(target_os = "linux")]
#[test]
fn what_is_no_ordinary_file_is_not_read_to_its_end() {
    let copy = packed();
    let run = copy.run(&["pack", "route.toml", "-o", "/dev/full"]);
    assert!(run.code == 2 && run.err.contains("left as it is"), "{}", run.err);
    let run = copy.run(&["check", "/dev/zero", "--limits", "limits.toml"]);
    assert!(run.code == 2 && run.err.contains("which are the most"), "{}", run.err);
}
