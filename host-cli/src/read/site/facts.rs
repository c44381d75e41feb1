//! What is said of a zone besides where it is, whichever format says it.

use std::ops::Range;

use jsonc_parser::ast::{Object, Value};
use pinfold_core::{
    model::{
        Name,
        zone::{HeightBand, HeightReference, ZoneKind},
    },
    units::{Height, Length},
};

use super::Reader;
use crate::{
    problem::{Problem, nearest},
    read::{
        json::{Members as _, called, span},
        quantity,
        take::fitting_name,
    },
    text::{
        decimal::{Counts, written},
        table::{Finer, Quantity, suggestion},
    },
};

/// What may be said of a zone.
pub(super) const PROPERTIES: [&str; 6] = ["zone", "name", "floor_m", "ceiling_m", "heights", "radius_m"];

/// A value, as it is written.
pub(super) enum Said {
    Text(String),
    Number(String),
    /// In XML there is no telling the two apart.
    Words(String),
    /// Something else, and what people call it.
    Other(&'static str),
}

/// One thing that is said.
pub(super) struct Fact {
    pub(super) key: String,
    pub(super) said: Said,
    /// Where key and value stand.
    pub(super) span: Range<usize>,
    /// Where the value stands.
    pub(super) value: Range<usize>,
}

/// All that is said of a zone.
pub(super) struct Facts {
    pub(super) list: Vec<Fact>,
    /// The beginning of where it is said.
    pub(super) begin: Range<usize>,
    /// How more is said: what to write for a key.
    pub(super) write: fn(&str) -> String,
}

/// A zone but for its shape.
pub(super) struct Character {
    pub(super) name: Name,
    pub(super) kind: ZoneKind,
    pub(super) heights: Option<HeightBand>,
    /// Where it is written that the heights are above ground.
    pub(super) above_ground: Option<Range<usize>>,
}

impl Facts {
    /// What the properties of a feature say.
    pub(super) fn of_json(properties: &Object<'_>) -> Self {
        let fact = |property: &jsonc_parser::ast::ObjectProp<'_>| Fact {
            key: property.name.as_str().to_owned(),
            said: match &property.value {
                Value::StringLit(text) => Said::Text(text.value.to_string()),
                Value::NumberLit(number) => Said::Number(number.value.to_owned()),
                other => Said::Other(called(other)),
            },
            span: span(property),
            value: span(&property.value),
        };
        let begin = span(properties).start;
        Self {
            list: properties.properties.iter().map(fact).collect(),
            begin: begin..begin + 1,
            write: |key| format!("\"{key}\": …"),
        }
    }

    pub(super) fn get(&self, key: &str) -> Option<&Fact> {
        self.list.iter().find(|fact| fact.key == key)
    }
}

impl Reader<'_> {
    /// What is said of a zone, all of it understood.
    pub(super) fn character(&mut self, facts: &Facts) -> Result<Character, Problem> {
        let kind = self.kind(facts)?;
        if kind == ZoneKind::People {
            self.refuse_heights(facts)?;
        }
        let (name, at) = self.said_word(facts, "name")?;
        let name = fitting_name(&name).map_err(|say| self.problem(at, say))?;
        let heights = self.heights(facts)?;
        let above_ground = facts.get("heights").filter(|fact| match &fact.said {
            Said::Text(word) | Said::Words(word) => word == "above-ground",
            Said::Number(_) | Said::Other(_) => false,
        });
        Ok(Character { name, kind, heights, above_ground: above_ground.map(|fact| fact.value.clone()) })
    }

    /// The radius of a circle.
    pub(super) fn radius(&mut self, fact: &Fact) -> Result<Length, Problem> {
        let count = self.count(fact, quantity::LENGTH, Finer::Up)?;
        let radius = i32::try_from(count).ok().and_then(Length::new);
        radius.ok_or_else(|| self.problem(fact.span.clone(), "`radius_m` is out of range"))
    }

    /// Whether a word that nobody knows is passed over: not if it looks like a slip of a known one, or like a measure.
    pub(super) fn pass_over(&mut self, word: &str, at: Range<usize>, known: &[&str]) -> Result<(), Problem> {
        let misplaced = PROPERTIES.contains(&word) && !known.contains(&word);
        if misplaced || word.ends_with("_m") || nearest(word, &[known, &PROPERTIES].concat()).is_some() {
            let problem = self.problem(at, format!("unknown member `{word}`"));
            let help = if misplaced { "it belongs into \"properties\"".into() } else { suggestion(word, known) };
            return Err(problem.help(help));
        }
        self.notes.push(format!("{}: `{word}` means nothing here and is passed over", self.source.path.display()));
        Ok(())
    }

    fn kind(&self, facts: &Facts) -> Result<ZoneKind, Problem> {
        let words = ["keep-in", "keep-out", "people"];
        let (word, at) = self.said_word(facts, "zone")?;
        match word.as_str() {
            "keep-in" => Ok(ZoneKind::KeepIn),
            "keep-out" => Ok(ZoneKind::KeepOut),
            "people" => Ok(ZoneKind::People),
            _ => Err(self.problem(at, format!("`{word}` is no kind of zone")).help(suggestion(&word, &words))),
        }
    }

    /// People are at no height of their own: the aircraft's above launch is the distance that counts.
    fn refuse_heights(&self, facts: &Facts) -> Result<(), Problem> {
        match ["floor_m", "ceiling_m", "heights"].into_iter().find_map(|key| facts.get(key)) {
            None => Ok(()),
            Some(fact) => {
                let say = format!("`{}` means nothing on a zone of people", fact.key);
                Err(self.problem(fact.span.clone(), say).help(
                    "leave floor_m, ceiling_m and heights out: the aircraft stays as far away as it is high, at any height",
                ))
            }
        }
    }

    fn heights(&mut self, facts: &Facts) -> Result<Option<HeightBand>, Problem> {
        let mut end = |key: &str, finer| -> Result<Option<Height>, Problem> {
            let Some(fact) = facts.get(key) else { return Ok(None) };
            let count = self.count(fact, quantity::HEIGHT, finer)?;
            Ok(i32::try_from(count).ok().and_then(Height::new))
        };
        let (floor, ceiling) = (end("floor_m", Finer::Down)?, end("ceiling_m", Finer::Up)?);
        if floor.is_none() && ceiling.is_none() {
            return match facts.get("heights") {
                Some(fact) => Err(self
                    .problem(fact.span.clone(), "`heights` without floor_m or ceiling_m means nothing")
                    .help("add floor_m or ceiling_m, or leave heights out: the zone then reaches over all heights")),
                None => Ok(None),
            };
        }
        if facts.get("heights").is_none() {
            return Err(self
                .problem(facts.begin.clone(), "the zone's heights don't say what they are measured from")
                .help("write \"heights\": \"above-launch\", \"above-sea\" or \"above-ground\" beside them"));
        }
        self.reference(facts).map(|reference| Some(HeightBand { reference, floor, ceiling }))
    }

    fn reference(&self, facts: &Facts) -> Result<HeightReference, Problem> {
        let (word, at) = self.said_word(facts, "heights")?;
        match word.as_str() {
            "above-launch" => Ok(HeightReference::AboveLaunch),
            // What is above ground becomes so once the ground is known.
            "above-sea" | "above-ground" => Ok(HeightReference::AboveSea),
            _ => Err(self
                .problem(at, format!("`{word}` is no reference of heights"))
                .help(suggestion(&word, &["above-launch", "above-sea", "above-ground"]))),
        }
    }

    /// A word that must be said, and where it stands.
    fn said_word(&self, facts: &Facts, key: &str) -> Result<(String, Range<usize>), Problem> {
        let missing = || {
            let problem = self.problem(facts.begin.clone(), format!("a zone's properties has no `{key}`"));
            problem.help(format!("add {}", (facts.write)(key)))
        };
        let fact = facts.get(key).ok_or_else(missing)?;
        let wrong = |kind: &str| self.problem(fact.value.clone(), format!("`{key}` is to be a text, not {kind}"));
        match &fact.said {
            Said::Text(word) | Said::Words(word) => Ok((word.clone(), fact.value.clone())),
            Said::Number(_) => Err(wrong("a number")),
            Said::Other(kind) => Err(wrong(kind)),
        }
    }

    /// A measure, rounded where it is finer than the unit, and that is said.
    fn count(&mut self, fact: &Fact, quantity: Quantity, finer: Finer) -> Result<i64, Problem> {
        let key = &fact.key;
        let wrong = |say: String| {
            let problem = self.problem(fact.value.clone(), say);
            problem.help(format!("write a number in {}", quantity.unit))
        };
        let text = match &fact.said {
            Said::Number(text) | Said::Words(text) => text,
            Said::Text(_) => return Err(wrong(format!("{key} is to be a number, not a text"))),
            Said::Other(kind) => return Err(wrong(format!("{key} is to be a number, not {kind}"))),
        };
        let counts = Counts::parse(text, quantity.digits).ok().filter(|_| !text.contains('_'));
        let counts = counts.ok_or_else(|| wrong(format!("{key} is no number that can be meant here")))?;
        let count = if finer == Finer::Down { counts.floor() } else { counts.ceil() };
        let count = self.ranged(fact.value.clone(), count, quantity)?;
        if !counts.is_whole() {
            let taken = written(count, quantity.digits);
            self.notes.push(format!("{}: `{key}` is rounded to {taken} {}", self.source.path.display(), quantity.unit));
        }
        Ok(count)
    }
}
