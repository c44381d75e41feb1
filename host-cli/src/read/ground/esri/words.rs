//! A text's words, each with its place, and the numbers that they are.

use std::ops::Range;

use rust_decimal::Decimal;

use crate::problem::{Problem, Source};

/// Most digits that a number keeps exactly.
const DIGITS: usize = 28;

/// A word and where it stands.
#[derive(Clone, Copy)]
pub(super) struct Word<'s> {
    pub(super) source: &'s Source,
    pub(super) text: &'s str,
    at: usize,
}

/// What lies between white space, line breaks being nothing special.
pub(super) fn words(source: &Source) -> impl Iterator<Item = Word<'_>> {
    let begin = source.text.as_ptr() as usize;
    let place = move |text: &str| text.as_ptr() as usize - begin;
    source.text.split_ascii_whitespace().map(move |text| Word { source, text, at: place(text) })
}

impl Word<'_> {
    fn span(&self) -> Range<usize> {
        self.at..self.at + self.text.len()
    }

    pub(super) fn problem(&self, say: impl Into<String>) -> Problem {
        self.source.problem(self.span(), say)
    }

    /// Whether it can only be a key.
    pub(super) fn is_key(&self) -> bool {
        self.text.starts_with(|first: char| first.is_alphabetic() || first == '_') && !self.is_no_finite_number()
    }

    /// NaN or an infinity.
    pub(super) fn is_no_finite_number(&self) -> bool {
        let bare = self.text.trim_start_matches(['+', '-']);
        ["nan", "inf", "infinity", "1.#qnan", "1.#ind"].iter().any(|word| bare.eq_ignore_ascii_case(word))
    }

    /// The number, every digit of it, if it is one that can be kept.
    pub(super) fn decimal(&self) -> Option<Decimal> {
        let allowed = |byte: u8| byte.is_ascii_digit() || b"+-.eE".contains(&byte);
        let digits = self.text.bytes().filter(u8::is_ascii_digit).count();
        if digits > DIGITS || !self.text.bytes().all(allowed) {
            return None;
        }
        let exponent = self.text.contains(['e', 'E']);
        if exponent { Decimal::from_scientific(self.text).ok() } else { Decimal::from_str_exact(self.text).ok() }
    }

    /// The number, or what is wrong with it.
    pub(super) fn number(&self, what: &str) -> Result<Decimal, Problem> {
        self.decimal().ok_or_else(|| {
            let say = if self.is_no_finite_number() { "no finite number" } else { "no number that can be meant" };
            let help = match self.text.contains(',') {
                true => "decimals take a point, not a comma".to_owned(),
                false => {
                    format!("write a decimal number of at most {DIGITS} digits; a gap is marked with NODATA_VALUE")
                }
            };
            self.problem(format!("{what} is {say} here: `{}`", self.shown())).help(help)
        })
    }

    /// What people are shown of it.
    pub(super) fn shown(&self) -> String {
        self.text.chars().take(30).collect()
    }
}
