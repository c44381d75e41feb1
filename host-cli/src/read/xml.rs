//! XML whose every element knows its place.
//!
//! What stands in an element is read whole or refused: a comment, or a second element where one is meant, must never make a
//! part of a file disappear.

use std::ops::Range;

use roxmltree::{Document, Node, ParsingOptions};

use super::number::Number;
use crate::problem::{Problem, Source};

/// Most elements and texts of a file: far above any route that fits.
const NODES: u32 = 4_000_000;

/// A word, and where it stands.
pub(super) type Word<'t> = (&'t str, Range<usize>);

/// The document that is the whole text. Entities of its own aren't taken: they can make much of little.
pub(super) fn parse(source: &Source) -> Result<Document<'_>, Problem> {
    let options = ParsingOptions { allow_dtd: false, nodes_limit: NODES, ..ParsingOptions::default() };
    Document::parse_with_options(&source.text, options).map_err(|error| {
        let place = error.pos();
        let at = offset(&source.text, place.row, place.col);
        let problem = |say: String| source.problem(at..at + 1, say);
        match error {
            roxmltree::Error::DtdDetected => problem("a document type declaration (DTD) isn't taken".into())
                .help("take `<!DOCTYPE ...>` out: neither GPX nor KML needs it"),
            roxmltree::Error::NodesLimitReached => {
                problem(format!("more than {NODES} elements and texts")).help("take out what is no part of the route")
            }
            _ => problem(format!("this is not XML: {error}")),
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
pub(super) fn begin(node: Node<'_, '_>) -> Range<usize> {
    let start = node.range().start;
    start..start + 1 + node.tag_name().name().len()
}

/// What an element is called, without a prefix.
pub(super) fn called<'a>(node: Node<'a, '_>) -> &'a str {
    node.tag_name().name()
}

/// Whether a node is an element with this name in the namespace of another.
fn is(node: Node<'_, '_>, name: &str, like: Node<'_, '_>) -> bool {
    node.is_element() && called(node) == name && node.tag_name().namespace() == like.tag_name().namespace()
}

/// All children with a name, in the namespace of their parent.
pub(super) fn children<'a, 'i: 'a>(node: Node<'a, 'i>, name: &'a str) -> impl Iterator<Item = Node<'a, 'i>> {
    node.children().filter(move |other| is(*other, name, node))
}

/// All elements with a name anywhere inside, in the namespace of the outer one.
pub(super) fn inside<'a, 'i: 'a>(node: Node<'a, 'i>, name: &'a str) -> impl Iterator<Item = Node<'a, 'i>> {
    node.descendants().filter(move |other| is(*other, name, node))
}

/// The only child with a name, in the namespace of its parent; a second one is refused, since programs differ in which they take.
pub(super) fn only<'a, 'i: 'a>(
    source: &Source, node: Node<'a, 'i>, name: &'a str,
) -> Result<Option<Node<'a, 'i>>, Problem> {
    let mut all = children(node, name);
    let first = all.next();
    match all.next() {
        None => Ok(first),
        Some(second) => {
            let problem = source.problem(begin(second), format!("a second `{name}` in one `{}`", called(node)));
            Err(problem.help("only one has a meaning there: take one of them out"))
        }
    }
}

/// The only child with a name, which must be there.
pub(super) fn needed<'a, 'i: 'a>(source: &Source, node: Node<'a, 'i>, name: &'a str) -> Result<Node<'a, 'i>, Problem> {
    let missing = || {
        let problem = source.problem(begin(node), format!("this `{}` has no `{name}`", called(node)));
        problem.help(format!("write <{name}>...</{name}> inside"))
    };
    only(source, node, name)?.ok_or_else(missing)
}

/// The text of an element, without the blanks around it; nothing where there is none.
pub(super) fn text(node: Node<'_, '_>) -> Option<String> {
    let parts = node.children().filter(Node::is_text).filter_map(|part| part.text());
    let all = parts.collect::<String>().trim().to_owned();
    (!all.is_empty()).then_some(all)
}

/// The text in the first child with a name.
pub(super) fn text_of(node: Node<'_, '_>, name: &str) -> Option<String> {
    children(node, name).next().and_then(text)
}

/// Where the text of an element stands; the element's beginning where there is none.
pub(super) fn place_of_text(node: Node<'_, '_>) -> Range<usize> {
    node.children().find(Node::is_text).map_or_else(|| begin(node), |text| text.range())
}

/// The number that is the text of an element.
pub(super) fn number(source: &Source, node: Node<'_, '_>) -> Result<Number, Problem> {
    match words(source, node)?.as_slice() {
        [(word, span)] => Ok(Number { text: (*word).to_owned(), span: span.clone() }),
        others => {
            let text = others.iter().map(|(word, _)| *word).collect::<Vec<_>>().join(" ");
            let end = others.last().map_or_else(|| begin(node).end, |(_, span)| span.end);
            let start = others.first().map_or_else(|| begin(node).start, |(_, span)| span.start);
            Ok(Number { text, span: start..end })
        }
    }
}

/// The words of all of an element's text with their places. Where the text doesn't stand as it is (entities, CDATA) the place is
/// that of the whole text.
pub(super) fn words<'t>(source: &'t Source, node: Node<'t, '_>) -> Result<Vec<Word<'t>>, Problem> {
    let mut words = Vec::new();
    let mut open = false;
    for part in node.children() {
        if part.is_element() {
            let say = format!("`{}` stands in `{}`, where only text has a meaning", called(part), called(node));
            return Err(source.problem(begin(part), say).help("take it out"));
        }
        let Some(text) = part.text().filter(|_| part.is_text()) else { continue };
        if open && text.starts_with(|letter: char| !letter.is_whitespace()) {
            let problem = source.problem(part.range(), "a comment in the midst of a number");
            return Err(problem.help("take the comment out, or leave blanks around it"));
        }
        open = text.ends_with(|letter: char| !letter.is_whitespace());
        words.extend(placed(source, part));
    }
    Ok(words)
}

/// The words of a piece of text.
fn placed<'t>(source: &'t Source, part: Node<'t, '_>) -> Vec<Word<'t>> {
    let range = part.range();
    let written = source.text.get(range.clone()).unwrap_or("");
    if written.contains(['&', '<']) {
        return part.text().unwrap_or("").split_whitespace().map(|word| (word, range.clone())).collect();
    }
    // As it is written, since line ends of two characters are one in what the parser gives.
    let place = |word: &str| range.start + (word.as_ptr() as usize - written.as_ptr() as usize);
    written.split_whitespace().map(|word| (word, place(word)..place(word) + word.len())).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn source(text: &str) -> Source {
        Source { path: "x".into(), text: text.into() }
    }

    fn found(text: &str) -> Vec<(String, String)> {
        let source = source(text);
        let document = parse(&source).unwrap();
        let words = words(&source, document.root_element()).unwrap();
        words.into_iter().map(|(word, span)| (word.to_owned(), source.text[span].to_owned())).collect()
    }

    fn same(word: &str) -> (String, String) {
        (word.to_owned(), word.to_owned())
    }

    #[test]
    fn an_error_is_where_it_is() {
        let json = parse(&source("<a>\n  <ü>\n</a>")).unwrap_err().json();
        assert_eq!((&json["error"]["line"], &json["error"]["column"]), (&3.into(), &1.into()), "{json}");
    }

    #[test]
    fn a_declared_entity_is_not_taken() {
        let error = parse(&source("<!DOCTYPE a [<!ENTITY b \"c\">]><a>&b;</a>")).unwrap_err();
        assert!(error.summary().contains("DTD"), "{error:?}");
    }

    #[test]
    fn elements_in_elements_without_end_are_no_trouble() {
        let deep = "<a>".repeat(1_000_000);
        assert!(parse(&source(&deep)).is_err());
    }

    #[test]
    fn words_have_their_places_whatever_ends_a_line() {
        for text in ["<a>\n 1,2  3,4 </a>", "<a>\r\n 1,2\r\n3,4\r\n</a>", "<a><!-- x -->1,2 <!-- y --> 3,4</a>"] {
            assert_eq!(found(text), [same("1,2"), same("3,4")], "{text}");
        }
        let words: Vec<String> =
            found("<a><![CDATA[1,2]]> 3,4 5&#44;6</a>").into_iter().map(|(word, _)| word).collect();
        assert_eq!(words, ["1,2", "3,4", "5,6"]);
    }

    #[test]
    fn nothing_disappears_behind_a_comment_or_an_element() {
        let refused = |text: &str| {
            let source = source(text);
            let document = parse(&source).unwrap();
            words(&source, document.root_element()).unwrap_err().summary().to_owned()
        };
        assert!(refused("<a>1,2<!-- x -->3,4</a>").contains("comment"));
        assert!(refused("<a>1,2 <b/> 3,4</a>").contains("`b`"));
    }

    #[test]
    fn a_second_child_of_a_name_is_refused() {
        let source = source("<a><b/><c/><c/></a>");
        let document = parse(&source).unwrap();
        let root = document.root_element();
        assert!(only(&source, root, "b").unwrap().is_some());
        assert!(only(&source, root, "d").unwrap().is_none());
        assert!(only(&source, root, "c").unwrap_err().summary().contains("second `c`"));
    }
}
