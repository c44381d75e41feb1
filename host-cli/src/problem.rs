//! What is wrong with an input file: where, what, and what to write instead.

use std::{
    ops::Range,
    path::{Path, PathBuf},
};

use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet, renderer::DecorStyle};

/// A text file that a person wrote.
#[derive(Clone, Debug)]
pub(crate) struct Source {
    pub(crate) path: PathBuf,
    pub(crate) text: String,
}

impl Source {
    /// A problem at a place in the file.
    pub(crate) fn problem(&self, span: Range<usize>, say: impl Into<String>) -> Problem {
        let place = Some(Place { text: self.text.clone(), span: clamp(&self.text, span) });
        Problem { path: self.path.clone(), place, say: say.into(), help: None }
    }
}

/// A span that lies within the text, on character boundaries.
fn clamp(text: &str, span: Range<usize>) -> Range<usize> {
    let start = text.floor_char_boundary(span.start.min(text.len()));
    let end = text.ceil_char_boundary(span.end.clamp(start, text.len()));
    start..end
}

/// Where in a text.
#[derive(Debug)]
struct Place {
    text: String,
    span: Range<usize>,
}

impl Place {
    /// Line and column, both from 1; columns count characters.
    fn line_and_column(&self) -> (usize, usize) {
        let before = self.text.get(..self.span.start).unwrap_or("");
        let line = before.matches('\n').count() + 1;
        let column = before.rsplit('\n').next().map_or(0, |begin| begin.chars().count()) + 1;
        (line, column)
    }
}

/// Why there is nothing to check: always exit code 2.
#[derive(Debug)]
pub(crate) struct Problem {
    path: PathBuf,
    place: Option<Place>,
    say: String,
    help: Option<String>,
}

impl Problem {
    /// A problem with a file as a whole.
    pub(crate) fn file(path: &Path, say: impl Into<String>) -> Self {
        Self { path: path.to_owned(), place: None, say: say.into(), help: None }
    }

    /// What to do or write instead.
    pub(crate) fn help(self, help: impl Into<String>) -> Self {
        Self { help: Some(help.into()), ..self }
    }

    /// What is wrong, in a few words.
    pub(crate) fn summary(&self) -> &str {
        &self.say
    }

    /// What is wrong, where, and what to write instead, one after the other.
    pub(crate) fn in_a_line(&self) -> String {
        let place = self.place.as_ref().map(Place::line_and_column);
        let place = place.map(|(line, column)| format!("line {line}, column {column}: ")).unwrap_or_default();
        let help = self.help.as_ref().map(|help| format!("; {help}")).unwrap_or_default();
        format!("{place}{}{help}", self.say)
    }

    /// The error object of `--json`.
    pub(crate) fn json(&self) -> serde_json::Value {
        let place = self.place.as_ref().map(Place::line_and_column);
        let say = match &self.help {
            Some(help) => format!("{}; {help}", self.say),
            None => self.say.clone(),
        };
        serde_json::json!({ "error": {
            "file": self.path.display().to_string(),
            "line": place.map(|(line, _)| line),
            "column": place.map(|(_, column)| column),
            "say": say,
        } })
    }

    /// The problem for people, with the offending text; with colours where `colour` says so.
    pub(crate) fn render(&self, colour: bool) -> String {
        let path = self.path.display().to_string();
        let renderer = if colour { Renderer::styled() } else { Renderer::plain() };
        let renderer = renderer.decor_style(DecorStyle::Ascii).term_width(80);
        let title = Level::ERROR.primary_title(&*self.say);
        let mut report =
            match &self.place {
                Some(place) => vec![
                    title.element(
                        Snippet::source(&*place.text)
                            .path(&*path)
                            .annotation(AnnotationKind::Primary.span(place.span.clone())),
                    ),
                ],
                None => vec![title.element(annotate_snippets::Origin::path(&*path))],
            };
        if let Some(help) = &self.help {
            report.push(Group::with_title(Level::HELP.secondary_title(&**help)));
        }
        renderer.render(&report)
    }
}

/// The known word nearest to an unknown one, if it is near enough to be a slip: one edit for words of up to five letters,
/// two for longer ones.
pub(crate) fn nearest<'k>(word: &str, known: &[&'k str]) -> Option<&'k str> {
    let allowed = |key: &str| if key.chars().count() <= 5 { 1 } else { 2 };
    let distance = |key: &str| strsim::damerau_levenshtein(&word.to_lowercase(), key);
    known.iter().copied().filter(|key| distance(key) <= allowed(key)).min_by_key(|key| distance(key))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_place_is_counted_in_characters_from_one() {
        let source = Source { path: "x.toml".into(), text: "a = 1\nü = 2\n".into() };
        let json = source.problem(9..10, "wrong").json();
        assert_eq!(json["error"]["line"], 2);
        assert_eq!(json["error"]["column"], 3);
    }

    #[test]
    fn only_a_slip_is_taken_for_a_known_word() {
        assert_eq!(nearest("heigth_m", &["height_m", "lat"]), Some("height_m"));
        assert_eq!(nearest("lot", &["lat", "lon"]), Some("lat"));
        assert_eq!(nearest("colour", &["lat", "lon"]), None);
    }
}
