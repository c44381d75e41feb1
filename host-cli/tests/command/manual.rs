//! Completions, manual pages and the version: what is made from the definitions of the arguments.

use std::fs;

use pinfold_core::{
    link::LINK_VERSION,
    model::{
        ground::GROUND_SIDE,
        limits::POWER_POINTS,
        route::STEPS,
        zone::{VERTICES, ZONES},
    },
    wire::VERSION,
};

use crate::support::{Copy, Run};

/// Every command, as `--help` lists them.
fn commands() -> Vec<String> {
    let help = Copy::new().run(&["--help"]).out;
    let list = help.split("Commands:\n").nth(1).and_then(|rest| rest.split("\n\n").next()).expect("a list");
    let names = list.lines().filter(|line| line.starts_with("  ") && !line.starts_with("   "));
    names.map(|line| line.split_whitespace().next().expect("a name").to_owned()).filter(|name| name != "help").collect()
}

fn ran(run: Run) -> String {
    assert_eq!((run.code, run.err.as_str()), (0, ""));
    run.out
}

#[test]
fn every_shell_is_told_every_command() {
    let commands = commands();
    assert!(commands.len() > 10, "{commands:?}");
    for shell in ["bash", "elvish", "fish", "powershell", "zsh"] {
        let script = ran(Copy::new().run(&["completions", shell]));
        for word in commands.iter().map(String::as_str).chain(["limits", "preset"]) {
            assert!(script.contains(word), "{shell} has no {word}");
        }
    }
    assert_eq!(Copy::new().run(&["completions", "abacus"]).code, 2);
}

/// Demands of a page that each line is a request of the few that manual pages use, or text in which nothing but the known
/// escapes stands, and that it has the sections that `man` looks for.
fn is_page(name: &str, page: &str) {
    let requests = [".TH", ".SH", ".SS", ".PP", ".TP", ".IP", ".RS", ".RE", ".ie", ".el", ".nf", ".fi", ".br"];
    for line in page.lines() {
        let request = line.starts_with('.').then(|| line.split_whitespace().next().expect("a request"));
        assert!(request.is_none_or(|request| requests.contains(&request)), "{name}: {line}");
        let escapes = line.split('\\').skip(1).filter(|rest| !rest.is_empty());
        for rest in escapes {
            let known = ["fB", "fI", "fR", "-", "&", "n", "*", "(", "'", "."];
            assert!(known.iter().any(|escape| rest.starts_with(escape)), "{name}: {line}");
        }
    }
    for section in [".SH NAME", ".SH SYNOPSIS", ".SH DESCRIPTION"] {
        assert_eq!(page.lines().filter(|line| *line == section).count(), 1, "{name}: {section}\n{page}");
    }
}

#[test]
fn every_command_has_its_page() {
    let copy = Copy::new();
    let out = ran(copy.run(&["man", "-o", "pages"]));
    let mut pages = fs::read_dir(copy.path().join("pages")).expect("a folder").count();
    assert!(out.starts_with(&format!("{pages} pages")), "{out}");
    for command in commands() {
        let name = format!("pinfold-{command}.1");
        let page = fs::read_to_string(copy.path().join("pages").join(&name)).expect("a page");
        is_page(&name, &page);
        pages -= 1;
    }
    assert!(pages > 5, "those of `board` and the whole one");
    let check = fs::read_to_string(copy.path().join("pages/pinfold-check.1")).expect("a page");
    for part in ["\\-\\-limits", "\\-\\-watch", "2 input that can"] {
        assert!(check.contains(part), "no {part} in {check}");
    }
    let whole = ran(copy.run(&["man"]));
    is_page("pinfold.1", &whole);
    assert_eq!(whole, fs::read_to_string(copy.path().join("pages/pinfold.1")).expect("a page"));
    let again = copy.run(&["man", "-o", "pages"]);
    assert!(again.code == 2 && again.err.contains("left as it is"), "{}", again.err);
}

#[test]
fn the_long_version_says_the_formats_and_what_fits() {
    let copy = Copy::new();
    let [short, long] = ["-V", "--version"].map(|flag| ran(copy.run(&[flag])));
    let version = format!("pinfold {}\n", env!("CARGO_PKG_VERSION"));
    assert_eq!(short, version);
    assert!(long.starts_with(&version), "{long}");
    for part in [
        format!("packed format {VERSION}, link {LINK_VERSION};"),
        format!("{STEPS} steps"),
        format!("{ZONES} zones with {VERTICES} corners"),
        format!("{POWER_POINTS} points of power"),
        format!("{GROUND_SIDE} x {GROUND_SIDE} cells of ground"),
    ] {
        assert!(long.contains(&part), "no «{part}» in {long}");
    }
}

#[test]
fn the_changelog_has_this_version_and_its_formats() {
    let changelog = include_str!("../../CHANGELOG.md");
    let version = changelog.lines().find(|line| line.starts_with(&format!("## [{}]", env!("CARGO_PKG_VERSION"))));
    assert!(version.is_some(), "{changelog}");
    for part in [format!("packed format {VERSION}"), format!("link {LINK_VERSION}")] {
        assert!(changelog.contains(&part), "no «{part}»");
    }
}
