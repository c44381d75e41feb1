//! Rows of cells.

/// What separates cells: what the first line has most of.
pub(crate) fn delimiter(text: &str) -> u8 {
    let header = text.trim_start().lines().next().unwrap_or("");
    let count = |delimiter: &u8| header.bytes().filter(|byte| byte == delimiter).count();
    *b";\t,".iter().max_by_key(|delimiter| count(delimiter)).unwrap_or(&b',')
}

/// A column's name as words in small letters, joined by `_`: "Ground speed (m/s)" is "ground_speed_m_s".
pub(crate) fn plain(name: &str) -> String {
    let name = name.to_lowercase().replace('µ', "u");
    let words = name.split(|letter: char| !letter.is_alphanumeric()).filter(|word| !word.is_empty());
    words.collect::<Vec<_>>().join("_")
}
