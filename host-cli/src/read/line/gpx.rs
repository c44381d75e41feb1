//! Routes and tracks of a GPX 1.1 file. Its schema says nothing of what `ele` is measured from, only that it is in metres.

use roxmltree::Node;

use super::{Line, Number, Point, Reference};
use crate::{
    problem::{Problem, Source},
    read::xml::{begin, called, children, inside, number, only, text_of},
};

/// The namespace that the schema of GPX 1.1 names. Of GPX 1.0 no schema was at hand to hold this reader to.
const NAMESPACE: &str = "http://www.topografix.com/GPX/1/1";

/// All lines of a file: each route, and each segment of a track, since between segments nobody knows the way.
pub(super) fn lines(source: &Source, root: Node<'_, '_>, notes: &mut Vec<String>) -> Result<Vec<Line>, Problem> {
    if root.tag_name().namespace() != Some(NAMESPACE) {
        let problem = source.problem(begin(root), "this doesn't say that it is GPX 1.1");
        return Err(problem
            .help(format!("save it as GPX 1.1; where it is, begin with <gpx version=\"1.1\" xmlns=\"{NAMESPACE}\">")));
    }
    let mut lines = Vec::new();
    for route in children(root, "rte") {
        lines.push(line(source, route, "rtept", text_of(route, "name"))?);
    }
    for track in children(root, "trk") {
        let segments: Vec<_> = children(track, "trkseg").collect();
        for (segment, number) in segments.iter().zip(1..) {
            let name = text_of(track, "name");
            let name = if segments.len() > 1 { name.map(|name| format!("{name}, part {number}")) } else { name };
            lines.push(line(source, *segment, "trkpt", name)?);
        }
    }
    tell(root, notes);
    Ok(lines)
}

/// Says what is passed over.
fn tell(root: Node<'_, '_>, notes: &mut Vec<String>) {
    if inside(root, "time").next().is_some() {
        notes.push("times mean nothing here and are passed over".to_owned());
    }
    let alone = children(root, "wpt").count();
    if alone > 0 {
        notes.push(format!("points that are no part of a route or track (wpt) are passed over: {alone}"));
    }
}

fn line(source: &Source, node: Node<'_, '_>, points: &str, name: Option<String>) -> Result<Line, Problem> {
    let points = children(node, points).map(|point| self::point(source, point)).collect::<Result<_, _>>()?;
    Ok(Line { name, points, reference: Reference::Open, span: begin(node) })
}

fn point(source: &Source, node: Node<'_, '_>) -> Result<Point, Problem> {
    let (latitude, longitude) = (attribute(source, node, "lat")?, attribute(source, node, "lon")?);
    if longitude.text.parse::<f64>().is_ok_and(|degrees| (180.0..181.0).contains(&degrees)) {
        let problem = source.problem(longitude.span, "a longitude in GPX is below 180");
        return Err(problem.help("write -180 for the antimeridian"));
    }
    let height = only(source, node, "ele")?.map(|height| number(source, height)).transpose()?;
    Ok(Point { latitude, longitude, height, speed: None, hold: None, span: begin(node) })
}

fn attribute(source: &Source, node: Node<'_, '_>, name: &str) -> Result<Number, Problem> {
    let found = node.attributes().find(|attribute| attribute.name() == name && attribute.namespace().is_none());
    let missing = || {
        let problem = source.problem(begin(node), format!("this `{}` has no `{name}`", called(node)));
        problem.help(format!("write <{} lat=\"46.2\" lon=\"-17.4\">, in degrees", called(node)))
    };
    let attribute = found.ok_or_else(missing)?;
    Ok(Number { text: attribute.value().trim().to_owned(), span: attribute.range_value() })
}
