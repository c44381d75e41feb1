//! Routes and tracks of a GPX 1.1 file. Its schema says nothing of what `ele` is measured from, only that it is in metres.

use roxmltree::Node;

use super::{
    Line, Number, Point, Reference,
    xml::{begin, children, number, text_of},
};
use crate::problem::{Problem, Source};

/// The namespace that the schema names.
const NAMESPACE: &str = "http://www.topografix.com/GPX/1/1";

/// All lines of a file: each route, and each segment of a track, since between segments nobody knows the way.
pub(super) fn lines(source: &Source, root: Node<'_, '_>, notes: &mut Vec<String>) -> Result<Vec<Line>, Problem> {
    if root.tag_name().namespace() != Some(NAMESPACE) {
        let problem = source.problem(begin(root), "this is not GPX 1.1");
        return Err(problem.help(format!("save it as GPX 1.1: its namespace is {NAMESPACE}")));
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
    if root.descendants().any(|node| node.has_tag_name((NAMESPACE, "time"))) {
        notes.push(format!("{}: times mean nothing here and are passed over", source.path.display()));
    }
    Ok(lines)
}

fn line(source: &Source, node: Node<'_, '_>, points: &str, name: Option<String>) -> Result<Line, Problem> {
    let points = children(node, points).map(|point| self::point(source, point)).collect::<Result<_, _>>()?;
    Ok(Line { name, points, reference: Reference::Open, span: begin(node) })
}

fn point(source: &Source, node: Node<'_, '_>) -> Result<Point, Problem> {
    let (latitude, longitude) = (attribute(source, node, "lat")?, attribute(source, node, "lon")?);
    if longitude.text.trim().parse::<f64>().is_ok_and(|degrees| degrees >= 180.0) {
        let problem = source.problem(longitude.span, "a longitude in GPX is below 180");
        return Err(problem.help("write -180 for the antimeridian"));
    }
    let height = children(node, "ele").next().map(number);
    Ok(Point { latitude, longitude, height, speed: None, hold: None, span: begin(node) })
}

fn attribute(source: &Source, node: Node<'_, '_>, name: &str) -> Result<Number, Problem> {
    let found = node.attributes().find(|attribute| attribute.name() == name && attribute.namespace().is_none());
    let attribute = found.ok_or_else(|| source.problem(begin(node), format!("this point has no `{name}`")))?;
    Ok(Number { text: attribute.value().trim().to_owned(), span: attribute.range_value() })
}
