//! Members of JSON objects, with a complaint where they are missing or of another kind.

use std::ops::Range;

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

    pub(super) fn object<'v>(&self, value: &'v Value<'v>, what: &str) -> Result<&'v Object<'v>, Problem> {
        value
            .as_object()
            .ok_or_else(|| self.problem(span(value), format!("{what} is to be an object, not {}", called(value))))
    }

    pub(super) fn array<'v>(&self, value: &'v Value<'v>, what: &str) -> Result<&'v Array<'v>, Problem> {
        value
            .as_array()
            .ok_or_else(|| self.problem(span(value), format!("{what} is to be a list, not {}", called(value))))
    }
}
