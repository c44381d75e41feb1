//! Numbers as they are written, with their places.

use std::ops::Range;

use crate::{
    problem::{Problem, Source},
    text::{
        decimal::{Counts, written},
        table::Quantity,
    },
};

/// A decimal number, as it is written.
#[derive(Clone, Debug)]
pub(super) struct Number {
    pub(super) text: String,
    pub(super) span: Range<usize>,
}

/// A whole count, and whether digits were lost on the way.
#[derive(Clone, Copy)]
pub(super) struct Rounded {
    pub(super) count: i32,
    pub(super) moved: bool,
}

impl Number {
    /// The nearest count.
    pub(super) fn nearest(&self, source: &Source, what: &str, quantity: Quantity) -> Result<Rounded, Problem> {
        let counts = Counts::parse(&self.text, quantity.digits).map_err(|_| {
            let problem = source.problem(self.span.clone(), format!("`{}` is no number for {what}", self.text));
            problem.help(format!("write a decimal number of {}, with a point", quantity.unit))
        })?;
        let (least, most) = quantity.range;
        let count = counts.nearest().filter(|count| (least..=most).contains(count));
        let count = count.and_then(|count| i32::try_from(count).ok()).ok_or_else(|| {
            let [least, most] = [least, most].map(|end| written(end, quantity.digits));
            let say = format!("{what} is out of range: from {least} to {most} {}", quantity.unit);
            source.problem(self.span.clone(), say)
        })?;
        Ok(Rounded { count, moved: !counts.is_whole() })
    }
}
