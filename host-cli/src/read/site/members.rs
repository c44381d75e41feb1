//! Members of JSON objects, with a complaint where they are missing or of another kind.

use std::{collections::HashSet, ops::Range};

use jsonc_parser::ast::{Array, Object, Value};

use super::Reader;
use crate::{
    problem::Problem,
    read::json::{called, span},
};

impl Reader<'_> {
    pub(super) fn member<'v>(&self, object: &'v Object<'v>, key: &str, what: &str) -> Result<&'v Value<'v>, Problem> {
        let start = span(object).start;
        let missing =
            || self.problem(start..start + 1, format!("{what} has no `{key}`")).help(format!("add \"{key}\": …"));
        object.get(key).map(|property| &property.value).ok_or_else(missing)
    }

    pub(super) fn word<'v>(
        &self, object: &'v Object<'v>, key: &str, what: &str,
    ) -> Result<(&'v str, Range<usize>), Problem> {
        let value = self.member(object, key, what)?;
        match value {
            Value::StringLit(text) => Ok((&text.value, span(value))),
            other => Err(self.problem(span(value), format!("`{key}` is to be a text, not {}", called(other)))),
        }
    }

    /// An object, with no member twice: programs differ in which of the two they take.
    pub(super) fn object<'v>(&self, value: &'v Value<'v>, what: &str) -> Result<&'v Object<'v>, Problem> {
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

    pub(super) fn array<'v>(&self, value: &'v Value<'v>, what: &str) -> Result<&'v Array<'v>, Problem> {
        value
            .as_array()
            .ok_or_else(|| self.problem(span(value), format!("{what} is to be a list, not {}", called(value))))
    }
}
