//! A page on a terminal: plain text in 80 columns.

use std::io::{self, Write};

use anstyle::Style;

use super::Page;
use crate::report::people::{folded, heading};

/// Begins and ends what is shown as it is.
const FENCE: &str = "```";

impl Page {
    /// Writes the page.
    pub(crate) fn write(&self, out: &mut impl Write) -> io::Result<()> {
        let bold = Style::new().bold();
        writeln!(out, "{bold}{}{bold:#}  ({})", self.name, self.severity)?;
        folded(out, &format!("{}.", self.summary), 0)?;
        let (mut fenced, mut titled) = (false, false);
        for block in self.body.trim().split("\n\n") {
            let title = block.strip_prefix("## ").filter(|_| !fenced);
            if !titled && title.is_none() {
                writeln!(out)?;
            }
            titled = title.is_some();
            match title {
                Some(title) => heading(out, title)?,
                // A fenced text may have empty lines.
                None if fenced || block.starts_with(FENCE) => fenced = verbatim(out, block, fenced)?,
                None => prose(out, block)?,
            }
        }
        Ok(())
    }
}

/// Writes a fenced text; whether it goes on in the next block.
fn verbatim(out: &mut impl Write, block: &str, mut inside: bool) -> io::Result<bool> {
    for line in block.lines() {
        if line.starts_with(FENCE) {
            inside = !inside;
        } else {
            writeln!(out, "{line}")?;
        }
    }
    Ok(inside)
}

/// Writes a paragraph, or a list.
fn prose(out: &mut impl Write, block: &str) -> io::Result<()> {
    let mut paragraph = |text: &str, indent| folded(out, &text.replace('\n', " "), indent);
    match block.strip_prefix("* ") {
        Some(list) => list.split("\n* ").try_for_each(|item| paragraph(&format!("* {item}"), 2)),
        None => paragraph(block, 0),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rulebook::all;

    fn shown(page: Page) -> String {
        let mut bytes = Vec::new();
        page.write(&mut bytes).expect("written");
        anstream::adapter::strip_str(&String::from_utf8(bytes).expect("UTF-8")).to_string()
    }

    #[test]
    fn every_page_fits_in_80_columns_and_has_no_marks_left() {
        for page in all() {
            let text = shown(page);
            for line in text.lines() {
                assert!(line.chars().count() <= 80, "{}: {line}", page.name);
                assert!(!line.starts_with(FENCE) && !line.starts_with('#') && !line.contains("]("), "{line}");
            }
        }
    }

    #[test]
    fn blocks_are_shown_each_in_its_way() {
        let body = "## Checks\n\nOne two\nthree.\n\nFour.\n\n```text\n$ five\n\n  six\n```\n\n* seven\n* eight\n";
        let page = Page { name: "x", severity: "stop", summary: "y", body };
        assert_eq!(
            shown(page),
            "x  (stop)\ny.\n\nChecks\nOne two three.\n\nFour.\n\n$ five\n\n  six\n\n* seven\n* eight\n"
        );
    }
}
