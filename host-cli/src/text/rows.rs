//! Rows of cells.

/// What separates cells: what the first line has most of.
pub(crate) fn delimiter(text: &str) -> u8 {
    let header = text.trim_start().lines().next().unwrap_or("");
    let count = |delimiter: &u8| header.bytes().filter(|byte| byte == delimiter).count();
    *b";\t,".iter().max_by_key(|delimiter| count(delimiter)).unwrap_or(&b',')
}
