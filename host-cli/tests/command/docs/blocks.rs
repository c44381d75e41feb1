//! The fenced blocks of a page.

/// Begins and ends a block.
const FENCE: &str = "```";

/// A fenced block.
pub(super) struct Block<'a> {
    /// What its first line says that it is; empty where that says nothing.
    pub(super) kind: &'a str,
    /// The file that the first line names, if any.
    pub(super) file: Option<&'a str>,
    /// What is inside, each line ended.
    pub(super) text: &'a str,
}

/// All blocks of a page, in order.
pub(super) fn blocks(page: &str) -> Vec<Block<'_>> {
    // Between fences every second part is a block.
    page.split("\n```").skip(1).step_by(2).map(block).collect()
}

fn block(part: &str) -> Block<'_> {
    let (first, _) = part.split_once('\n').unwrap_or((part, ""));
    let mut words = first.split_whitespace();
    let text = part.get(first.len() + 1..).unwrap_or("");
    Block { kind: words.next().unwrap_or(""), file: words.next(), text }
}

/// A page without its blocks.
pub(super) fn prose(page: &str) -> String {
    let parts: Vec<&str> = page.split(&format!("\n{FENCE}")).collect();
    parts.iter().step_by(2).copied().collect::<Vec<_>>().join("\n")
}
