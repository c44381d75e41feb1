//! Lines of a KML file. `altitudeMode` says what their heights are measured from; where it is missing they mean nothing.

use roxmltree::Node;

use super::{Line, Point, Reference};
use crate::{
    arguments::route::Heights,
    problem::{Problem, Source, nearest},
    read::{
        kml::{Tuple, demand, positions},
        xml::{begin, called, inside, text, text_of},
    },
};

/// The modes that a line may have here.
const MODES: [&str; 3] = ["clampToGround", "relativeToGround", "absolute"];

/// All lines of a file.
pub(super) fn lines(source: &Source, root: Node<'_, '_>, notes: &mut Vec<String>) -> Result<Vec<Line>, Problem> {
    demand(source, root)?;
    tell(root, notes);
    inside(root, "LineString").map(|node| line(source, node)).collect()
}

/// Says what is passed over. What is a time, a record or elsewhere may also be of an extension's namespace.
fn tell(root: Node<'_, '_>, notes: &mut Vec<String>) {
    let count = |names: &[&str]| root.descendants().filter(|node| names.contains(&called(*node))).count();
    if count(&["TimeStamp", "TimeSpan", "when"]) > 0 {
        notes.push("times mean nothing here and are passed over".to_owned());
    }
    for (names, what) in [
        (["Track", "MultiTrack"], "records of movement (Track) are passed over"),
        (["Point", "Polygon"], "points and polygons are passed over"),
        (["NetworkLink", "Update"], "what is elsewhere (NetworkLink) is not looked at"),
    ] {
        if count(&names) > 0 {
            notes.push(format!("{what}: {}", count(&names)));
        }
    }
}

fn line(source: &Source, node: Node<'_, '_>) -> Result<Line, Problem> {
    let placemark = node.ancestors().find(|node| called(*node) == "Placemark");
    let name = placemark.and_then(|placemark| text_of(placemark, "name"));
    let point = |tuple: Tuple| {
        let Tuple { longitude, latitude, height, span } = tuple;
        Point { latitude, longitude, height, speed: None, hold: None, span }
    };
    let points = positions(source, node)?.into_iter().map(point).collect();
    Ok(Line { name, points, reference: reference(source, node)?, span: begin(node) })
}

fn reference(source: &Source, node: Node<'_, '_>) -> Result<Reference, Problem> {
    // Of any namespace: an extension's has the modes for the sea floor, and offsets.
    let named = |name: &'static str| node.children().filter(move |child| called(*child) == name);
    if let Some(offset) = named("altitudeOffset").next() {
        let problem = source.problem(begin(offset), "an `altitudeOffset` isn't understood");
        return Err(problem.help("add it to the heights and take it out"));
    }
    let mut modes = named("altitudeMode");
    let Some(mode) = modes.next() else { return Ok(Reference::NoHeights) };
    if let Some(second) = modes.next() {
        return Err(source.problem(begin(second), "a second `altitudeMode`").help("take one of them out"));
    }
    match text(mode).as_deref().unwrap_or("") {
        "clampToGround" => Ok(Reference::NoHeights),
        "relativeToGround" => Ok(Reference::Said(Heights::Ground)),
        "absolute" => Ok(Reference::Said(Heights::Sea)),
        other => {
            let problem = source.problem(begin(mode), format!("the altitudeMode `{other}` means nothing to a route"));
            let near = MODES.into_iter().find(|mode| nearest(&other.to_lowercase(), &[&mode.to_lowercase()]).is_some());
            let all = || format!("use {}", MODES.join(", "));
            Err(problem.help(near.map_or_else(all, |near| format!("did you mean `{near}`?"))))
        }
    }
}
