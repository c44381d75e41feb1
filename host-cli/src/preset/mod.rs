//! Presets: figures with their sources that are laid under limits and can only tighten them.

mod figure;
mod lay;

use crate::{
    problem::{Problem, Source},
    text::table::{Finer, Section, parse},
};
use figure::{FIGURES, Figure};
pub(crate) use lay::{Laid, lay};

/// The presets that ship: names and texts.
const PRESETS: [(&str, &str); 3] = [
    ("first-flight", include_str!("../../presets/first-flight.toml")),
    ("small-site", include_str!("../../presets/small-site.toml")),
    ("open-category", include_str!("../../presets/open-category.toml")),
];

/// Their names.
pub(crate) fn names() -> [&'static str; PRESETS.len()] {
    PRESETS.map(|(name, _)| name)
}

/// A preset.
pub(crate) struct Preset {
    pub(crate) name: String,
    /// What it is for.
    pub(crate) about: String,
    /// What belongs to it and can't be said in limits.
    pub(crate) left_out: Option<String>,
    pub(crate) figures: Vec<Wanted>,
}

/// A figure that a preset asks for.
pub(crate) struct Wanted {
    pub(crate) figure: &'static Figure,
    pub(crate) count: i32,
    pub(crate) source: String,
}

/// All presets that ship.
pub(crate) fn all() -> Result<Vec<Preset>, Problem> {
    names().into_iter().map(named).collect()
}

/// The preset of a name.
pub(crate) fn named(name: &str) -> Result<Preset, Problem> {
    let path = std::path::PathBuf::from(format!("presets/{name}.toml"));
    let Some((_, text)) = PRESETS.iter().find(|(known, _)| *known == name) else {
        return Err(Problem::file(&path, "there is no such preset").help(format!("known: {}", names().join(", "))));
    };
    read(&Source { path, text: (*text).to_owned() })
}

fn read(source: &Source) -> Result<Preset, Problem> {
    let document = parse(source)?;
    let sections = FIGURES.iter().map(|figure| figure.section);
    let known: Vec<&str> = ["name", "about", "left_out"].into_iter().chain(sections).collect();
    let root = Section::open(source, "", 0..0, document.get_ref(), &known)?;
    let figures = FIGURES.iter().filter_map(|figure| wanted(&root, figure).transpose());
    Ok(Preset {
        name: root.text("name")?.0,
        about: root.text("about")?.0,
        left_out: root.text_if("left_out")?.map(|(text, _)| text),
        figures: figures.collect::<Result<_, _>>()?,
    })
}

/// What a preset asks of a figure, if anything.
fn wanted(root: &Section<'_>, figure: &'static Figure) -> Result<Option<Wanted>, Problem> {
    let beside = FIGURES.iter().filter(|other| other.section == figure.section);
    let keys: Vec<&str> = beside.map(|other| other.key).collect();
    let Some(section) = root.section_if(figure.section, &keys)? else { return Ok(None) };
    let Some(entry) = section.section_if(figure.key, &["figure", "source"])? else { return Ok(None) };
    let count = entry.count("figure", figure.quantity, Finer::Refuse, &mut Vec::new())?;
    let count = i32::try_from(count).map_err(|_| entry.problem_at("figure", "out of range"))?;
    Ok(Some(Wanted { figure, count, source: entry.text("source")?.0 }))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_preset_that_ships_has_figures_and_a_source_for_each() {
        for (preset, name) in all().expect("presets").iter().zip(names()) {
            assert_eq!(preset.name, name);
            assert!(!preset.figures.is_empty() && !preset.about.is_empty(), "{name}");
            assert!(preset.figures.iter().all(|wanted| wanted.source.len() > 10), "{name}");
        }
    }

    #[test]
    fn a_figure_without_a_source_or_of_an_unknown_key_is_refused() {
        let text = |line: &str| format!("name = \"x\"\nabout = \"y\"\n[heights]\n{line}\n");
        let refused = |line: &str| {
            let source = Source { path: "x.toml".into(), text: text(line) };
            read(&source).err().map(|problem| problem.summary().to_owned()).unwrap_or_default()
        };
        assert!(refused("ceiling_m = { figure = 30.0 }").contains("`source`"));
        assert!(refused("ceilling_m = { figure = 30.0, source = \"z\" }").contains("`ceilling_m`"));
        assert!(refused("ceiling_m = 30.0").contains("is to be a table"));
        assert!(refused("ceiling_m = { figure = 30.001, source = \"z\" }").contains("finer"));
        assert_eq!(refused("ceiling_m = { figure = 30.0, source = \"z\" }"), "");
    }
}
