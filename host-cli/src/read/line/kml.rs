//! Lines of a KML file. `altitudeMode` says what their heights are measured from; where it is missing they mean nothing.

use roxmltree::Node;

use super::{
    Line, Number, Point, Reference,
    xml::{begin, child, text_of, words},
};
use crate::{
    arguments::route::Heights,
    problem::{Problem, Source, nearest},
};

/// The modes that a line may have here.
const MODES: [&str; 3] = ["clampToGround", "relativeToGround", "absolute"];

/// All lines of a file.
pub(super) fn lines(source: &Source, root: Node<'_, '_>, notes: &mut Vec<String>) -> Result<Vec<Line>, Problem> {
    let namespace = root.tag_name().namespace();
    if !namespace.is_some_and(|name| name.contains("/kml/2.")) {
        let problem = source.problem(begin(root), "this is no KML 2");
        return Err(problem.help("its namespace is http://www.opengis.net/kml/2.2"));
    }
    let named = |name: &'static str| root.descendants().filter(move |node| node.tag_name().name() == name);
    let timed = named("Track").count();
    if timed > 0 {
        let say =
            format!("{}: {timed} Track elements are passed over: they are records, not plans", source.path.display());
        notes.push(say);
    }
    let own = named("LineString").filter(|node| node.tag_name().namespace() == namespace);
    own.map(|node| line(source, node)).collect()
}

fn line(source: &Source, node: Node<'_, '_>) -> Result<Line, Problem> {
    let placemark = node.ancestors().find(|node| node.tag_name().name() == "Placemark");
    let name = placemark.and_then(|placemark| text_of(placemark, "name"));
    let missing = || source.problem(begin(node), "this LineString has no `coordinates`");
    let coordinates = child(node, "coordinates").ok_or_else(missing)?;
    let points = points(source, coordinates)?;
    Ok(Line { name, points, reference: reference(source, node)?, span: begin(node) })
}

/// The points of a `coordinates` element.
fn points(source: &Source, coordinates: Node<'_, '_>) -> Result<Vec<Point>, Problem> {
    words(coordinates).into_iter().map(|(word, span)| point(source, word, span)).collect()
}

/// One longitude, latitude and perhaps height, with commas between and no blanks.
fn point(source: &Source, word: &str, span: std::ops::Range<usize>) -> Result<Point, Problem> {
    let mut numbers = Vec::new();
    let mut at = span.start;
    for text in word.split(',') {
        numbers.push(Number { text: text.to_owned(), span: at..at + text.len() });
        at += text.len() + 1;
    }
    let mut numbers = numbers.into_iter();
    match (numbers.next(), numbers.next(), numbers.next(), numbers.next()) {
        (Some(longitude), Some(latitude), height, None) => {
            Ok(Point { latitude, longitude, height, speed: None, hold: None, span })
        }
        _ => {
            let problem = source.problem(span, format!("`{word}` is no position"));
            Err(problem.help("write longitude,latitude,height without blanks, and blanks between positions"))
        }
    }
}

fn reference(source: &Source, node: Node<'_, '_>) -> Result<Reference, Problem> {
    // Also one of an extension's namespace: those are for the sea floor.
    let mode = node.children().find(|child| child.tag_name().name() == "altitudeMode");
    let Some(mode) = mode else { return Ok(Reference::NoHeights) };
    match mode.text().unwrap_or("").trim() {
        "clampToGround" => Ok(Reference::NoHeights),
        "relativeToGround" => Ok(Reference::Said(Heights::Ground)),
        "absolute" => Ok(Reference::Said(Heights::Sea)),
        other => {
            let problem = source.problem(begin(mode), format!("the altitudeMode `{other}` means nothing to a route"));
            let help = nearest(other, &MODES)
                .map_or_else(|| format!("use {}", MODES.join(", ")), |near| format!("did you mean {near}?"));
            Err(problem.help(help))
        }
    }
}
