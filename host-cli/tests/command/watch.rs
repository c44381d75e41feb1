//! `check --watch`: again with every change.

use std::{
    fs,
    io::{BufRead as _, BufReader},
    process::{Child, Command, Stdio},
    sync::mpsc::{Receiver, channel},
    thread,
    time::Duration,
};

use serde_json::Value;

use crate::support::{Copy, example};

/// The command while it watches; ended when dropped.
struct Watching {
    child: Child,
    lines: Receiver<String>,
}

impl Watching {
    fn start(copy: &Copy, more: &[&str]) -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_pinfold"))
            .args(["check", "route.toml", "--limits", "limits.toml", "--watch"])
            .args(more)
            .current_dir(copy.path())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("the command starts");
        let out = BufReader::new(child.stdout.take().expect("a pipe"));
        let (send, lines) = channel();
        thread::spawn(move || out.lines().map_while(Result::ok).try_for_each(|line| send.send(line)));
        Self { child, lines }
    }

    /// The next line that is printed.
    fn line(&self) -> String {
        self.lines.recv_timeout(Duration::from_secs(60)).expect("a line in time")
    }

    fn object(&self) -> Value {
        serde_json::from_str(&self.line()).expect("an object a line")
    }

    /// Waits for a line that contains a text.
    fn until(&self, text: &str) -> String {
        std::iter::repeat_with(|| self.line()).find(|line| line.contains(text)).expect("a line")
    }
}

impl Drop for Watching {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

#[test]
fn each_change_of_anything_that_is_read_is_a_new_answer() {
    let copy = Copy::new();
    let watching = Watching::start(&copy, &["--json"]);
    assert_eq!(watching.object()["verdict"], "go");
    // One step fewer: no landing.
    let shipped = fs::read(example().join("no-go/no-landing.toml")).expect("text");
    let copy = copy.with("route.toml", shipped);
    assert_eq!(watching.object()["findings"][0]["rule"], "sequence");
    // What can't be used is said, and watching goes on.
    let copy = copy.with("route.toml", "[launch\n");
    assert!(watching.object()["error"]["say"].is_string());
    // As editors do it: a new file in the place of the old one.
    fs::copy(example().join("route.toml"), copy.path().join("new")).expect("a copy");
    fs::rename(copy.path().join("new"), copy.path().join("route.toml")).expect("renamed");
    assert_eq!(watching.object()["verdict"], "go");
    let copy = copy.edit("limits.toml", "range_m = 172.0", "range_m = 100.0");
    assert_eq!(watching.object()["verdict"], "no-go");
    let copy = copy.edit("limits.toml", "range_m = 100.0", "range_m = 172.0");
    assert_eq!(watching.object()["verdict"], "go");
    let site = fs::read(copy.path().join("site.geojson")).expect("text");
    fs::remove_file(copy.path().join("site.geojson")).expect("removed");
    assert!(watching.object()["error"]["say"].is_string());
    let copy = copy.with("site.geojson", site);
    assert_eq!(watching.object()["verdict"], "go");
    let copy = copy.with("ground.asc", "nothing");
    assert!(watching.object()["error"]["file"].as_str().is_some_and(|file| file.ends_with("ground.asc")));
    drop(copy);
}

#[test]
fn a_file_that_is_broken_and_another_that_changes_meanwhile_are_one_answer_each() {
    let copy = Copy::new();
    let watching = Watching::start(&copy, &["--json"]);
    assert_eq!(watching.object()["verdict"], "go");
    let copy = copy.edit("limits.toml", "[site]", "[sites]");
    assert!(watching.object()["error"].is_object());
    // The site isn't read while the limits can't be: it has changed all the same, once.
    let copy = copy.edit("site.geojson", "water meadow", "wet meadow");
    assert!(watching.object()["error"].is_object());
    assert!(watching.lines.recv_timeout(Duration::from_secs(2)).is_err(), "it is said once");
    let copy = copy.edit("limits.toml", "[sites]", "[site]");
    assert!(watching.object()["closest"].to_string().contains("wet meadow"));
    // Written anew with the same in it.
    let same = fs::read(copy.path().join("route.toml")).expect("text");
    let copy = copy.with("route.toml", same);
    assert!(watching.lines.recv_timeout(Duration::from_secs(2)).is_err(), "nothing has changed");
    drop(copy);
}

#[test]
fn for_people_each_answer_has_its_time_and_what_changed() {
    let copy = Copy::new();
    let watching = Watching::start(&copy, &[]);
    let first = watching.until("===");
    assert!(first.ends_with(" UTC") && first.len() == "=== 12:00:00 UTC".len(), "{first}");
    assert!(watching.until("GO  ").starts_with("GO  "));
    let copy = copy.edit("route.toml", "do = \"return\"", "do = \"hold\"\nseconds = 5.0");
    assert!(watching.until("===").ends_with(" UTC, changed: route.toml"));
    assert!(watching.until("GO  ").starts_with("NO-GO  "));
    drop(copy);
}
