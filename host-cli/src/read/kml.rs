//! What routes and sites from KML have in common.

use roxmltree::Node;

use super::{
    number::Number,
    xml::{Word, begin, needed, words},
};
use crate::problem::{Problem, Source};

/// A position as it is written: longitude, latitude and perhaps a height.
pub(super) struct Tuple {
    pub(super) longitude: Number,
    pub(super) latitude: Number,
    pub(super) height: Option<Number>,
    pub(super) span: std::ops::Range<usize>,
}

/// Demands that a document is KML 2. KML 2.3 kept the namespace of 2.2.
pub(super) fn demand(source: &Source, root: Node<'_, '_>) -> Result<(), Problem> {
    let namespace = root.tag_name().namespace();
    if root.tag_name().name() == "kml" && namespace.is_some_and(|name| name.contains("/kml/2.")) {
        return Ok(());
    }
    let problem = source.problem(begin(root), "this is no KML 2");
    Err(problem.help("it begins with <kml xmlns=\"http://www.opengis.net/kml/2.2\">"))
}

/// The positions in the `coordinates` of an element.
pub(super) fn positions(source: &Source, node: Node<'_, '_>) -> Result<Vec<Tuple>, Problem> {
    let coordinates = needed(source, node, "coordinates")?;
    words(source, coordinates)?.into_iter().map(|word| tuple(source, word)).collect()
}

/// Numbers with commas between and no blanks.
fn tuple(source: &Source, (word, span): Word<'_>) -> Result<Tuple, Problem> {
    // Where the word doesn't stand as it is written, a part's place is the whole's.
    let as_written = source.text.get(span.clone()) == Some(word);
    let mut at = span.start;
    let numbers = word.split(',').map(|text| {
        let place = if as_written { at..at + text.len() } else { span.clone() };
        at += text.len() + 1;
        Number { text: text.to_owned(), span: place }
    });
    let numbers: Vec<Number> = numbers.collect();
    match <[Number; 2]>::try_from(numbers) {
        Ok([longitude, latitude]) => Ok(Tuple { longitude, latitude, height: None, span }),
        Err(numbers) => match <[Number; 3]>::try_from(numbers) {
            Ok([longitude, latitude, height]) => Ok(Tuple { longitude, latitude, height: Some(height), span }),
            Err(_) => {
                let problem = source.problem(span, format!("`{word}` is no position"));
                Err(problem.help("write longitude,latitude,height without blanks, and blanks between positions"))
            }
        },
    }
}
