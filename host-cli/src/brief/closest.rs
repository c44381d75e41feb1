//! The closest places, with letters that the plan and the table share.

use pinfold_core::verdict::{Finding, Measure, Place};

use crate::report::Report;

/// One of the closest places.
pub(super) struct Closest<'a> {
    pub(super) finding: &'a Finding,
    pub(super) measure: Measure,
    /// Its letter and place, where it has a place.
    pub(super) lettered: Option<(String, Place)>,
}

impl Closest<'_> {
    pub(super) fn is_broken(&self) -> bool {
        self.finding.severity().is_some()
    }
}

/// All of them in the order of the report; places get letters in that order, and one place has one letter.
pub(super) fn lettered<'a>(report: &Report<'a>) -> Vec<Closest<'a>> {
    let mut places: Vec<Place> = Vec::new();
    let mut letter_of = |place: Place| {
        let known = places.iter().position(|known| known.position == place.position);
        letter(known.unwrap_or_else(|| {
            places.push(place);
            places.len() - 1
        }))
    };
    let closest = report.closest().filter_map(|finding| Some((finding, finding.measure?)));
    closest
        .map(|(finding, measure)| Closest {
            finding,
            measure,
            lettered: finding.place.map(|place| (letter_of(place), place)),
        })
        .collect()
}

/// A, B, ... Z, A2, B2 ...
fn letter(index: usize) -> String {
    let letter = ('A'..='Z').nth(index % 26).unwrap_or('?');
    if index < 26 { letter.to_string() } else { format!("{letter}{}", index / 26 + 1) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn after_z_letters_begin_again_with_a_number() {
        assert_eq!([0, 25, 26, 52].map(letter), ["A", "Z", "A2", "A3"]);
    }
}
