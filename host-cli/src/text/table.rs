//! TOML tables whose every key and value knows its place, so that whatever is wrong can be shown.

use std::ops::Range;

use toml::{
    Spanned,
    de::{DeTable, DeValue},
};

use super::decimal::{Counts, NotANumber, written};
use crate::problem::{Problem, Source, nearest};

/// What a number counts.
#[derive(Clone, Copy)]
pub(crate) struct Quantity {
    /// What people call the unit.
    pub(crate) unit: &'static str,
    /// Digits after the point.
    pub(crate) digits: u32,
    /// Smallest and largest count.
    pub(crate) range: (i64, i64),
    /// What is rounded to a count below this is refused.
    pub(crate) coarse: i64,
}

/// What is done with digits beyond the unit.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Finer {
    /// They are refused.
    Refuse,
    /// The count is rounded down, and that is said.
    Down,
    /// The count is rounded up, and that is said.
    Up,
}

/// Rounding a count below this to a whole one changes it by more than 5 %: rather a wrong unit than a fine value.
pub(crate) const COARSE: i64 = 20;

/// A table, its keys known to be among those that mean something there.
pub(crate) struct Section<'s> {
    source: &'s Source,
    name: String,
    span: Range<usize>,
    table: &'s DeTable<'s>,
}

/// The whole document.
pub(crate) fn parse(source: &Source) -> Result<Spanned<DeTable<'_>>, Problem> {
    DeTable::parse(&source.text).map_err(|error| {
        let span = error.span().unwrap_or(0..0);
        let line = line_at(&source.text, span.start);
        let problem = source.problem(span, format!("this is not TOML: {}", error.message()));
        if has_decimal_comma(line) { problem.help("decimals take a point, not a comma: write 47.5") } else { problem }
    })
}

fn line_at(text: &str, offset: usize) -> &str {
    let start = text.get(..offset).and_then(|before| before.rfind('\n')).map_or(0, |at| at + 1);
    text.get(start..).and_then(|rest| rest.lines().next()).unwrap_or("")
}

/// Whether a comma stands between two digits, as in 47,5.
fn has_decimal_comma(line: &str) -> bool {
    line.as_bytes().windows(3).any(|w| w[0].is_ascii_digit() && w[1] == b',' && w[2].is_ascii_digit())
}

impl<'s> Section<'s> {
    /// The table called `name` (empty for the whole file), if all its keys are among `known`.
    pub(crate) fn open(
        source: &'s Source, name: &str, span: Range<usize>, table: &'s DeTable<'s>, known: &[&str],
    ) -> Result<Self, Problem> {
        let section = Self { source, name: name.to_owned(), span, table };
        for key in table.keys() {
            let word = key.get_ref().as_ref();
            if !known.contains(&word) {
                let problem = source.problem(key.span(), format!("unknown key `{word}`{}", section.within()));
                return Err(problem.help(suggestion(word, known)));
            }
        }
        Ok(section)
    }

    /// A table inside this one that must be there.
    pub(crate) fn section(&self, key: &str, known: &[&str]) -> Result<Self, Problem> {
        self.section_if(key, known)?.ok_or_else(|| self.missing(key, &format!("[{key}]")))
    }

    /// A table inside this one, if it is there.
    pub(crate) fn section_if(&self, key: &str, known: &[&str]) -> Result<Option<Self>, Problem> {
        let Some(value) = self.value(key) else { return Ok(None) };
        let DeValue::Table(table) = value.get_ref() else {
            return Err(self
                .source
                .problem(value.span(), format!("`{key}` is to be a table"))
                .help(format!("write [{key}] and its keys on the lines below")));
        };
        Self::open(self.source, key, value.span(), table, known).map(Some)
    }

    /// The tables of a list `[[key]]`, with their places; none where the key is missing.
    pub(crate) fn list(&self, key: &str) -> Result<Vec<(Range<usize>, &'s DeTable<'s>)>, Problem> {
        let Some(value) = self.value(key) else { return Ok(Vec::new()) };
        let wrong = |span: Range<usize>| {
            self.source
                .problem(span, format!("`{key}` is to be a list of tables"))
                .help(format!("write [[{key}]] above the keys of each"))
        };
        let DeValue::Array(items) = value.get_ref() else { return Err(wrong(value.span())) };
        items
            .iter()
            .map(|item| match item.get_ref() {
                DeValue::Table(table) => Ok((item.span(), table)),
                DeValue::String(_)
                | DeValue::Integer(_)
                | DeValue::Float(_)
                | DeValue::Boolean(_)
                | DeValue::Datetime(_)
                | DeValue::Array(_) => Err(wrong(item.span())),
            })
            .collect()
    }

    /// A text that must be there.
    pub(crate) fn text(&self, key: &str) -> Result<(String, Range<usize>), Problem> {
        self.text_if(key)?.ok_or_else(|| self.missing(key, &format!("{key} = \"…\"")))
    }

    /// A text, if it is there.
    pub(crate) fn text_if(&self, key: &str) -> Result<Option<(String, Range<usize>)>, Problem> {
        let Some(value) = self.value(key) else { return Ok(None) };
        match value.get_ref() {
            DeValue::String(text) => Ok(Some((text.to_string(), value.span()))),
            other => Err(self
                .source
                .problem(value.span(), format!("`{key}` is to be a text, not {}", called(other)))
                .help("put it in quotation marks")),
        }
    }

    /// A count that must be there.
    pub(crate) fn count(
        &self, key: &str, quantity: Quantity, finer: Finer, notes: &mut Vec<String>,
    ) -> Result<i64, Problem> {
        self.count_if(key, quantity, finer, notes)?
            .ok_or_else(|| self.missing(key, &format!("{key} = … ({})", quantity.unit)))
    }

    /// A count, if it is there.
    pub(crate) fn count_if(
        &self, key: &str, quantity: Quantity, finer: Finer, notes: &mut Vec<String>,
    ) -> Result<Option<i64>, Problem> {
        self.value(key).map(|value| self.number(key, value, quantity, finer, notes)).transpose()
    }

    /// The count that a value stands for.
    pub(crate) fn number(
        &self, key: &str, value: &Spanned<DeValue<'_>>, quantity: Quantity, finer: Finer, notes: &mut Vec<String>,
    ) -> Result<i64, Problem> {
        let problem = |say: String| self.source.problem(value.span(), say);
        let text = match value.get_ref() {
            DeValue::Integer(integer) if integer.radix() == 10 => integer.as_str().to_owned(),
            DeValue::Float(float) => float.as_str().to_owned(),
            DeValue::Integer(_) => {
                return Err(problem(format!("`{key}` is not written in decimal")).help("write decimal digits"));
            }
            other => {
                return Err(problem(format!("`{key}` is to be a number, not {}", called(other))).help(format!(
                    "write it in {} without quotation marks, with a point for decimals: {key} = 12.5",
                    quantity.unit
                )));
            }
        };
        let counts = Counts::parse(&text, quantity.digits).map_err(|error| match error {
            NotANumber::NotFinite => problem(format!("`{key}` is {text}, which is no number"))
                .help(format!("write a number in {}", quantity.unit)),
            NotANumber::Form | NotANumber::Long => problem(format!("`{key}` is no number that can be meant here"))
                .help(format!(
                    "write a number in {} with at most {} digits after the point",
                    quantity.unit, quantity.digits
                )),
        })?;
        let count = match finer {
            _ if counts.is_whole() => counts.floor(),
            Finer::Refuse => counts.nearest(),
            Finer::Down => counts.floor(),
            Finer::Up => counts.ceil(),
        };
        let (least, most) = quantity.range;
        let count = count.filter(|count| (least..=most).contains(count)).ok_or_else(|| {
            let range = [least, most].map(|end| written(end, quantity.digits));
            problem(format!("`{key}` is out of range: {text}"))
                .help(format!("from {} to {} {}", range[0], range[1], quantity.unit))
        })?;
        if !counts.is_whole() && finer == Finer::Refuse {
            return Err(self.too_fine(key, &text, value.span(), count, quantity));
        }
        if !counts.is_whole() && count.abs() < quantity.coarse {
            let unit = written(1, quantity.digits);
            return Err(problem(format!("`{key}` = {text} is too coarsely rounded to whole {unit} {}", quantity.unit))
                .help(format!("`{key}` is in {}: is another number meant?", quantity.unit)));
        }
        if !counts.is_whole() {
            let way = if finer == Finer::Down { "down" } else { "up" };
            let taken = written(count, quantity.digits);
            notes.push(format!(
                "{}: `{key}` = {text} is rounded {way} to {taken} {}",
                self.source.path.display(),
                quantity.unit
            ));
        }
        Ok(count)
    }

    /// A number with too many digits; `nearest` is the one that can be written.
    fn too_fine(&self, key: &str, text: &str, span: Range<usize>, nearest: i64, quantity: Quantity) -> Problem {
        let (nearest, unit) = (written(nearest, quantity.digits), quantity.unit);
        let finer = match quantity.digits {
            0 => format!("is no whole number of {unit}"),
            digits => format!("is finer than {} {unit}", written(1, digits)),
        };
        self.source
            .problem(span, format!("`{key}` = {text} {finer}"))
            .help(format!("the verdict is about the very numbers given, so none is rounded here: write {nearest}"))
    }

    /// A problem at the value of a key.
    pub(crate) fn problem_at(&self, key: &str, say: impl Into<String>) -> Problem {
        self.source.problem(self.place_of(key), say)
    }

    /// A problem at the value of a key of a section inside this one.
    pub(crate) fn problem_in(&self, section: &str, key: &str, say: impl Into<String>) -> Problem {
        let inner = self.value(section).and_then(|value| value.get_ref().get(key)).map(Spanned::span);
        self.source.problem(inner.unwrap_or_else(|| self.place_of(section)), say)
    }

    /// Where a key's value stands; the section where there is none.
    pub(crate) fn place_of(&self, key: &str) -> Range<usize> {
        self.value(key).map_or_else(|| self.span.clone(), Spanned::span)
    }

    pub(crate) fn has(&self, key: &str) -> bool {
        self.value(key).is_some()
    }

    pub(crate) fn value(&self, key: &str) -> Option<&'s Spanned<DeValue<'s>>> {
        self.table.get(key)
    }

    /// File, line and name, for notes.
    pub(crate) fn place(&self) -> String {
        let line = self.source.text.get(..self.span.start).unwrap_or("").matches('\n').count() + 1;
        format!("{}:{line}: {}", self.source.path.display(), self.name)
    }

    fn missing(&self, key: &str, write: &str) -> Problem {
        let say = format!("{} is missing{}", if write.starts_with('[') { "a section" } else { "a key" }, self.within());
        self.source.problem(self.span.clone(), format!("{say}: `{key}`")).help(format!("write {write}"))
    }

    fn within(&self) -> String {
        if self.name.is_empty() { String::new() } else { format!(" in [{}]", self.name) }
    }
}

/// What to write instead of an unknown word.
pub(crate) fn suggestion(word: &str, known: &[&str]) -> String {
    match nearest(word, known) {
        Some(near) => format!("did you mean `{near}`?"),
        None => format!("known here: {}", known.join(", ")),
    }
}

/// What people call a kind of value.
fn called(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "a text",
        DeValue::Integer(_) | DeValue::Float(_) => "a number",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}
