//! `pinfold check --watch`: again with every change of what was read.
//!
//! Files are looked at four times a second instead of asking the system to tell: an editor that writes a new file and puts it in
//! the place of the old one, a network folder and a file that is missing for a moment are then all the same. What counts is
//! what is in a file, not when it was written.

use std::{
    fs,
    io::Write as _,
    path::PathBuf,
    process::ExitCode,
    thread::sleep,
    time::{Duration, SystemTime, UNIX_EPOCH},
};

use super::once;
use crate::{
    arguments::Check,
    commands::{Done, Layout, printed, tell},
    problem::Problem,
    read::seen::{Content, Seen},
    report::people::printable,
};

/// How long between two looks. A change counts once two looks in a row are the same: nobody writes on.
const BETWEEN: Duration = Duration::from_millis(250);

/// Checks now and after each change, until nobody reads the answers any more or the program is ended.
pub(super) fn run(asked: &Check) -> Done {
    let layout = if asked.json { Layout::Line } else { Layout::People };
    let (mut watched, mut changed) = (Vec::new(), String::new());
    loop {
        let (result, seen) = Seen::during(|| Ok(stamp(layout, &changed)? && once(asked, layout)?.1));
        match result {
            Ok(true) => {}
            Ok(false) => return Ok(ExitCode::SUCCESS),
            Err(problem) => tell(&problem, layout),
        }
        remember(&mut watched, seen);
        changed = wait(&mut watched);
    }
}

/// Says when, and what changed; whether somebody still reads. A program that reads lines needs no stamp.
fn stamp(layout: Layout, changed: &str) -> Result<bool, Problem> {
    if layout != Layout::People {
        return Ok(true);
    }
    let seconds = SystemTime::now().duration_since(UNIX_EPOCH).map_or(0, |since| since.as_secs()) % (24 * 60 * 60);
    let (hours, minutes, seconds) = (seconds / 3600, seconds / 60 % 60, seconds % 60);
    printed(|out| writeln!(out, "\n=== {hours:02}:{minutes:02}:{seconds:02} UTC{changed}"))
}

/// A file that is watched.
struct Watched {
    path: PathBuf,
    /// What was in it when it was read.
    read: Content,
    /// When it was written and how long it was at the last look, and what was in it then.
    look: Option<(Glance, Content)>,
}

/// What is known of a file without opening it.
#[derive(Clone, Copy, PartialEq, Eq)]
struct Glance {
    modified: Option<SystemTime>,
    length: u64,
}

impl Watched {
    /// What is in the file now. It is opened only where it looks as if it had changed.
    fn look(&mut self) -> Content {
        let Ok(data) = fs::metadata(&self.path) else {
            self.look = None;
            return Content::MISSING;
        };
        if !data.is_file() {
            // What comes through a pipe can't be read twice.
            return self.read;
        }
        let glance = Glance { modified: data.modified().ok(), length: data.len() };
        match self.look {
            Some((before, content)) if before == glance && settled(glance) => content,
            _ => {
                let content = Content::of_file(&self.path);
                self.look = Some((glance, content));
                content
            }
        }
    }
}

/// Whether a file was written long enough ago that another change would show in its time.
fn settled(glance: Glance) -> bool {
    let age = glance.modified.and_then(|modified| SystemTime::now().duration_since(modified).ok());
    age.is_some_and(|age| age > Duration::from_secs(3))
}

/// What was read now counts, and of a file that was read twice what was in it first. What was read before only is watched on,
/// since a file that can't be used hides others.
fn remember(watched: &mut Vec<Watched>, seen: Vec<Seen>) {
    for Seen { path, content } in seen.into_iter().rev() {
        watched.retain(|known| known.path != path);
        watched.push(Watched { path, read: content, look: None });
    }
}

/// Waits for a change that has come to rest; what changed, for people.
fn wait(watched: &mut [Watched]) -> String {
    let mut before: Vec<Content> = watched.iter().map(|file| file.read).collect();
    loop {
        let now: Vec<Content> = watched.iter_mut().map(Watched::look).collect();
        let changed = watched.iter().zip(&now).filter(|(file, now)| file.read != **now);
        let names: Vec<String> = changed.map(|(file, _)| printable(&file.path.display().to_string())).collect();
        if !names.is_empty() && now == before {
            // A file that isn't read again, since another one can't be used, has changed once and not for ever.
            watched.iter_mut().zip(now).for_each(|(file, now)| file.read = now);
            return format!(", changed: {}", names.join(", "));
        }
        before = now;
        sleep(BETWEEN);
    }
}
