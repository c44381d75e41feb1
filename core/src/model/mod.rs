//! What is judged and what it is held to: values that are valid or do not exist.

pub mod ground;
pub mod limits;
pub mod path;
pub mod route;
pub mod store;
pub mod zone;

/// Longest name of a route, of limits or of a zone, in bytes of UTF-8.
pub const NAME_BYTES: usize = 32;

/// A name that a person gave.
pub type Name = heapless::String<NAME_BYTES>;

/// Whether a text can be a name: it says something, and can't move a terminal's cursor.
#[must_use]
pub fn is_name(text: &str) -> bool {
    !text.is_empty() && !text.chars().any(char::is_control)
}
