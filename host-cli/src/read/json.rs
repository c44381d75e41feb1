//! Strict JSON in which every value knows its place.

use std::{collections::HashSet, ops::Range};

use jsonc_parser::{
    CollectOptions, ParseOptions,
    ast::{Array, Object, Value},
    common::Ranged,
    parse_to_ast,
};

use crate::problem::{Problem, Source};

/// Deepest nesting: GeoJSON needs eight.
const DEEPEST: usize = 64;

/// The value that is the whole text.
pub(crate) fn parse(source: &Source) -> Result<Value<'_>, Problem> {
    if let Some(at) = too_deep(&source.text) {
        return Err(source
            .problem(at..at + 1, format!("nested deeper than {DEEPEST} levels"))
            .help("GeoJSON needs eight"));
    }
    let strict = ParseOptions {
        allow_comments: false,
        allow_loose_object_property_names: false,
        allow_trailing_commas: false,
        allow_missing_commas: false,
        allow_single_quoted_strings: false,
        allow_hexadecimal_numbers: false,
        allow_unary_plus_numbers: false,
        allow_bare_decimal_point_numbers: false,
        allow_extended_string_escapes: false,
        allow_non_finite_numbers: false,
    };
    let parsed = parse_to_ast(&source.text, &CollectOptions::default(), &strict).map_err(|error| {
        let range = error.range();
        source.problem(range.start..range.end, format!("this is not JSON: {}", error.kind()))
    })?;
    parsed.value.ok_or_else(|| source.problem(0..0, "the file is empty").help("write a GeoJSON FeatureCollection"))
}

/// Where the text is nested too deeply, before a parser gets to see it.
fn too_deep(text: &str) -> Option<usize> {
    let (mut depth, mut in_string, mut escaped) = (0_usize, false, false);
    for (at, byte) in text.bytes().enumerate() {
        match byte {
            _ if escaped => escaped = false,
            b'\\' if in_string => escaped = true,
            b'"' => in_string = !in_string,
            b'[' | b'{' if !in_string => depth += 1,
            b']' | b'}' if !in_string => depth = depth.saturating_sub(1),
            _ => {}
        }
        if depth > DEEPEST {
            return Some(at);
        }
    }
    None
}

/// Where a value stands.
pub(crate) fn span(value: &impl Ranged) -> Range<usize> {
    value.start()..value.end()
}

/// What people call a kind of value.
pub(crate) fn called(value: &Value<'_>) -> &'static str {
    match value {
        Value::StringLit(_) => "a text",
        Value::NumberLit(_) => "a number",
        Value::BooleanLit(_) => "true or false",
        Value::Object(_) => "an object",
        Value::Array(_) => "a list",
        Value::NullKeyword(_) => "null",
    }
}

/// What reads JSON of a source.
pub(crate) trait Members {
    /// A problem at a place in the source.
    fn problem(&self, span: Range<usize>, say: impl Into<String>) -> Problem;

    /// A member that must be there.
    fn member<'v>(&self, object: &'v Object<'v>, key: &str, what: &str) -> Result<&'v Value<'v>, Problem> {
        let start = span(object).start;
        let missing =
            || self.problem(start..start + 1, format!("{what} has no `{key}`")).help(format!("add \"{key}\": …"));
        object.get(key).map(|property| &property.value).ok_or_else(missing)
    }

    /// A member that must be there and be a text; and where it stands.
    fn word<'v>(&self, object: &'v Object<'v>, key: &str, what: &str) -> Result<(&'v str, Range<usize>), Problem> {
        let value = self.member(object, key, what)?;
        match value {
            Value::StringLit(text) => Ok((&text.value, span(value))),
            other => Err(self.problem(span(value), format!("`{key}` is to be a text, not {}", called(other)))),
        }
    }

    /// An object, with no member twice: programs differ in which of the two they take.
    fn object<'v>(&self, value: &'v Value<'v>, what: &str) -> Result<&'v Object<'v>, Problem> {
        let object = value
            .as_object()
            .ok_or_else(|| self.problem(span(value), format!("{what} is to be an object, not {}", called(value))))?;
        let mut seen = HashSet::new();
        match object.properties.iter().find(|property| !seen.insert(property.name.as_str())) {
            None => Ok(object),
            Some(again) => {
                let problem = self.problem(span(again), format!("`{}` stands here twice", again.name.as_str()));
                Err(problem.help("programs differ in which of the two they take: take one out"))
            }
        }
    }

    /// A list.
    fn array<'v>(&self, value: &'v Value<'v>, what: &str) -> Result<&'v Array<'v>, Problem> {
        value
            .as_array()
            .ok_or_else(|| self.problem(span(value), format!("{what} is to be a list, not {}", called(value))))
    }
}
