//! How far a transfer is: a bar on a terminal, else a line now and then.

use std::io::IsTerminal as _;

use indicatif::{ProgressBar, ProgressStyle};

use crate::commands::note;

/// Shows how many bytes of a whole the board has.
pub(crate) enum Progress {
    /// A bar.
    Bar(ProgressBar),
    /// A line for each quarter.
    Lines { what: &'static str, total: usize, quarters: usize },
    /// Nothing: a program reads the answer.
    Quiet,
}

impl Progress {
    /// Of so many bytes that are called so.
    pub(crate) fn new(what: &'static str, total: usize, quiet: bool) -> Self {
        if quiet {
            Self::Quiet
        } else if std::io::stderr().is_terminal() {
            Self::Bar(bar(what, total))
        } else {
            Self::Lines { what, total, quarters: 0 }
        }
    }

    /// The board has so many.
    pub(crate) fn taken(&mut self, bytes: usize) {
        match self {
            Self::Bar(bar) if Some(bytes as u64) == bar.length() => bar.finish_and_clear(),
            Self::Bar(bar) => bar.set_position(bytes as u64),
            Self::Lines { what, total, quarters } => {
                let done = bytes * 4 / (*total).max(1);
                if done > *quarters {
                    note(&format!("{what}: {bytes} of {total} bytes"));
                }
                // A transfer that is begun anew is told anew.
                *quarters = done;
            }
            Self::Quiet => {}
        }
    }
}

fn bar(what: &'static str, total: usize) -> ProgressBar {
    let bar = ProgressBar::new(total as u64).with_message(what);
    let style = ProgressStyle::with_template("{msg} {wide_bar} {pos}/{len} bytes, {eta} left");
    bar.set_style(style.unwrap_or_else(|_| ProgressStyle::default_bar()));
    bar
}
