//! XML whose every element knows its place.

use std::ops::Range;

use roxmltree::{Document, Node, ParsingOptions};

use super::number::Number;
use crate::problem::{Problem, Source};

/// Most elements and texts of a file: far above any that fits.
const NODES: u32 = 2_000_000;

/// The document that is the whole text. Entities of its own aren't taken: they can make much of little.
pub(crate) fn parse(source: &Source) -> Result<Document<'_>, Problem> {
    let options = ParsingOptions { allow_dtd: false, nodes_limit: NODES, ..ParsingOptions::default() };
    Document::parse_with_options(&source.text, options).map_err(|error| {
        let place = error.pos();
        let at = offset(&source.text, place.row, place.col);
        let problem = source.problem(at..at + 1, format!("this is not XML: {error}"));
        match error {
            roxmltree::Error::DtdDetected => problem.help("take the document type declaration out"),
            _ => problem,
        }
    })
}

/// The byte at a row and a column, both from 1; columns count characters.
fn offset(text: &str, row: u32, column: u32) -> usize {
    let begin: usize = text.split_inclusive('\n').take(row.saturating_sub(1) as usize).map(str::len).sum();
    let line = text.get(begin..).unwrap_or("");
    begin + line.chars().take(column.saturating_sub(1) as usize).map(char::len_utf8).sum::<usize>()
}

/// The beginning of an element: its name with the bracket before.
pub(crate) fn begin(node: Node<'_, '_>) -> Range<usize> {
    let start = node.range().start;
    start..start + 1 + node.tag_name().name().len()
}

/// The first child with a name, in the namespace of its parent.
pub(crate) fn child<'a, 'i>(node: Node<'a, 'i>, name: &str) -> Option<Node<'a, 'i>> {
    let same = |other: &Node<'_, '_>| other.tag_name().namespace() == node.tag_name().namespace();
    node.children().find(|other| other.is_element() && other.tag_name().name() == name && same(other))
}

/// All children with a name, in the namespace of their parent.
pub(crate) fn children<'a, 'i: 'a>(node: Node<'a, 'i>, name: &'a str) -> impl Iterator<Item = Node<'a, 'i>> {
    let namespace = node.tag_name().namespace().map(str::to_owned);
    let same = move |other: &Node<'_, '_>| other.tag_name().namespace() == namespace.as_deref();
    node.children().filter(move |other| other.is_element() && other.tag_name().name() == name && same(other))
}

/// The text in a child, without the blanks around it; nothing where there is none.
pub(crate) fn text_of(node: Node<'_, '_>, name: &str) -> Option<String> {
    let text = child(node, name)?.text()?.trim();
    (!text.is_empty()).then(|| text.to_owned())
}

/// The number that is the text of an element.
pub(super) fn number(node: Node<'_, '_>) -> Number {
    let text = node.text().unwrap_or("").trim().to_owned();
    let inside = node.first_child().map_or_else(|| begin(node), |inside| inside.range());
    Number { text, span: inside }
}

/// The words of a text with their places, where the text stands as it is: an entity in it makes places vague, not words wrong.
pub(crate) fn words<'t>(node: Node<'t, '_>) -> Vec<(&'t str, Range<usize>)> {
    let (text, start) = match node.children().find(Node::is_text) {
        Some(inside) => (inside.text().unwrap_or(""), inside.range().start),
        None => return Vec::new(),
    };
    let place = |word: &str| start + (word.as_ptr() as usize - text.as_ptr() as usize);
    text.split_whitespace().map(|word| (word, place(word)..place(word) + word.len())).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_error_is_where_it_is() {
        let source = Source { path: "x".into(), text: "<a>\n  <ü>\n</a>".into() };
        let json = parse(&source).unwrap_err().json();
        assert_eq!((&json["error"]["line"], &json["error"]["column"]), (&3.into(), &1.into()), "{json}");
    }

    #[test]
    fn a_declared_entity_is_not_taken() {
        let text = "<!DOCTYPE a [<!ENTITY b \"c\">]><a>&b;</a>";
        assert!(parse(&Source { path: "x".into(), text: text.into() }).is_err());
    }

    #[test]
    fn words_have_their_places() {
        let source = Source { path: "x".into(), text: "<a>\n 1,2  3,4 </a>".into() };
        let document = parse(&source).unwrap();
        let words = words(document.root_element());
        assert_eq!(
            words.iter().map(|(word, span)| (*word, &source.text[span.clone()])).collect::<Vec<_>>(),
            [("1,2", "1,2"), ("3,4", "3,4")]
        );
    }
}
