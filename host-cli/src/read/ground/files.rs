//! The files that `ground` in `[heights]` names.

use std::{ops::Range, path::PathBuf};

use toml::de::DeValue;

use super::{span::Span, survey::Survey};
use crate::{
    problem::{Problem, Source},
    read,
    text::table::Section,
};

/// Most files: the four tiles around a corner, and room.
const MOST: usize = 16;

/// The files, and where they are named.
pub(super) struct Files<'s> {
    source: &'s Source,
    paths: Vec<(PathBuf, Range<usize>)>,
}

/// What `ground` names, if it is there: one file, or a list.
pub(super) fn named<'s>(root: &Section<'_>, source: &'s Source) -> Result<Option<Files<'s>>, Problem> {
    let heights = root.value("heights").and_then(|heights| heights.get_ref().as_table());
    let Some(value) = heights.and_then(|table| table.get("ground")) else { return Ok(None) };
    let wrong = |span: Range<usize>, say: &str| {
        source.problem(span, say).help("write ground = \"ground.asc\", or [\"N51E010.hgt\", \"N51E011.hgt\"]")
    };
    let base = source.path.parent().unwrap_or_else(|| std::path::Path::new(""));
    let names = match value.get_ref() {
        DeValue::Array(names) => &names[..],
        _ => std::slice::from_ref(value),
    };
    if names.is_empty() || names.len() > MOST {
        return Err(wrong(value.span(), &format!("`ground` names 1 to {MOST} files")));
    }
    let paths = names.iter().map(|name| match name.get_ref().as_str() {
        Some(text) => Ok((base.join(text), name.span())),
        None => Err(wrong(name.span(), "`ground` is to be the name of a file, or a list of names")),
    });
    Ok(Some(Files { source, paths: paths.collect::<Result<_, _>>()? }))
}

impl Files<'_> {
    /// The table of cells, if that is what is named.
    pub(super) fn table(&self) -> Result<Option<Source>, Problem> {
        let is_table =
            |path: &PathBuf| path.extension().is_some_and(|extension| extension.eq_ignore_ascii_case("toml"));
        match self.paths.as_slice() {
            [(path, span)] if is_table(path) => read::as_text(path, self.bytes(path, span)?).map(Some),
            several => match several.iter().find(|(path, _)| is_table(path)) {
                None => Ok(None),
                Some((_, span)) => {
                    let problem =
                        self.source.problem(span.clone(), "a table of cells can't be joined with other files");
                    Err(problem.help("name it alone"))
                }
            },
        }
    }

    /// What of the survey in all files touches a window.
    pub(super) fn survey(&self, window: Span) -> Result<Survey, Problem> {
        let mut survey = Survey::default();
        for (path, span) in &self.paths {
            survey.add(path, self.bytes(path, span)?, window)?;
        }
        Ok(survey)
    }

    fn bytes(&self, path: &std::path::Path, span: &Range<usize>) -> Result<Vec<u8>, Problem> {
        read::bytes(path).map_err(|problem| {
            let say = format!("the ground file can't be read: {}", problem.summary());
            self.source.problem(span.clone(), say).help("the path is taken from the folder of this file")
        })
    }

    /// A problem with all of them.
    pub(super) fn problem(&self, say: String) -> Problem {
        self.source.problem(self.paths.first().map_or(0..0, |(_, span)| span.clone()), say)
    }

    /// Something to say of all of them.
    pub(super) fn note(&self, say: &str) -> String {
        let names: Vec<String> = self.paths.iter().map(|(path, _)| path.display().to_string()).collect();
        format!("{}: {say}", names.join(", "))
    }
}
