//! Numbers as other people's programs write them, with their places.

use std::ops::Range;

use crate::{
    problem::{Problem, Source},
    text::{
        decimal::{Counts, written},
        table::Quantity,
    },
};

/// Digits after the point that are looked at: far below any unit here.
const DIGITS: usize = 15;

/// A decimal number, as it is written.
#[derive(Clone, Debug)]
pub(super) struct Number {
    pub(super) text: String,
    pub(super) span: Range<usize>,
}

/// A whole count, and whether digits were lost on the way.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Rounded {
    pub(super) count: i32,
    pub(super) moved: bool,
}

impl Number {
    /// The nearest count.
    pub(super) fn nearest(&self, source: &Source, what: &str, quantity: Quantity) -> Result<Rounded, Problem> {
        let (nearest, moved) = nearest(&self.text, quantity.digits).ok_or_else(|| {
            let problem = source.problem(self.span.clone(), format!("`{}` is no number for {what}", self.text));
            problem.help(format!("write a decimal number of {}, with a point: 47.5", quantity.unit))
        })?;
        let (least, most) = quantity.range;
        let within = nearest.filter(|count| (least..=most).contains(count));
        let count = within.and_then(|count| i32::try_from(count).ok()).ok_or_else(|| {
            let [least, most] = [least, most].map(|end| written(end, quantity.digits));
            let say = format!("{what} is out of range: from {least} to {most} {}", quantity.unit);
            let problem = source.problem(self.span.clone(), say);
            if quantity.digits == 7 { problem.help("are latitude and longitude exchanged?") } else { problem }
        })?;
        Ok(Rounded { count, moved })
    }
}

/// The nearest count, nothing where it is beyond all counts, and whether digits were lost; nothing for what is no number.
fn nearest(text: &str, digits: u32) -> Option<(Option<i64>, bool)> {
    if !text.chars().all(|letter| letter.is_ascii_digit() || "+-.eE".contains(letter)) {
        return None;
    }
    let (kept, lost) = cut(text);
    match Counts::parse(kept, digits) {
        Ok(counts) => Some((counts.nearest(), lost || !counts.is_whole())),
        Err(_) => beyond(text.parse().ok()?),
    }
}

/// What is too small or too large to be counted. 4.4e-17 and the like is what programs' sums leave of nothing.
fn beyond(number: f64) -> Option<(Option<i64>, bool)> {
    match number.abs() {
        tiny if tiny < 1e-12 => Some((Some(0), true)),
        huge if huge > 1e12 => Some((None, true)),
        _ => None,
    }
}

/// A number without its digits beyond [`DIGITS`], and whether they were any but noughts.
fn cut(text: &str) -> (&str, bool) {
    let end = text.find('.').map(|point| point + 1 + DIGITS).filter(|end| *end < text.len());
    match end.and_then(|end| text.split_at_checked(end)) {
        Some((kept, rest)) if rest.bytes().all(|digit| digit.is_ascii_digit()) => {
            (kept, rest.contains(|digit| digit != '0'))
        }
        Some(_) | None => (text, false),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn digits_that_programs_write_are_rounded_to_the_nearest_count() {
        assert_eq!(nearest("7.5", 7), Some((Some(75_000_000), false)));
        assert_eq!(nearest("-112.0814237830345", 7), Some((Some(-1_120_814_238), true)));
        assert_eq!(nearest("1.2345678901234567890123456789", 7), Some((Some(12_345_679), true)));
        assert_eq!(nearest("1.5000000000000000000000000000", 7), Some((Some(15_000_000), false)));
        assert_eq!(nearest("1.2e-5", 7), Some((Some(120), false)));
        assert_eq!(nearest("0.000012345678901234567", 7), Some((Some(123), true)));
        assert_eq!(nearest("-4.440892098500626e-16", 7), Some((Some(0), true)));
    }

    #[test]
    fn what_is_no_number_is_none() {
        for text in [
            "",
            "-",
            ".",
            "NaN",
            "inf",
            "1_0",
            "1,5",
            "1 2",
            "0x10",
            "1e",
            "--1",
            "1.2.3",
            "1.e.5",
            "1.0000000000000000-3",
            "१",
        ] {
            assert_eq!(nearest(text, 7), None, "{text}");
        }
        assert_eq!(nearest("1e30", 7), Some((None, true)), "it is beyond everything");
    }
}
