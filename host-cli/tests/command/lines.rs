//! Routes from GeoJSON, GPX, KML and CSV: the same route in every format is the same bytes, what a file doesn't say is asked for
//! or said, and nothing is guessed or passed over in silence.

mod errors;
mod foreign;
mod heights;
mod options;
mod same_bytes;
mod sites;

use crate::support::{Copy, Run};

/// A copy of the example with one more file.
fn with(file: &str, text: impl AsRef<[u8]>) -> Copy {
    Copy::new().with(file, text)
}

/// Packs a file.
fn pack(copy: &Copy, file: &str, options: &[&str]) -> Run {
    copy.run(&[&["pack", file, "-o", "out.packed"], options].concat())
}

/// The bytes that a file is packed to, and what was said.
fn packed(file: &str, text: &str, options: &[&str]) -> (Vec<u8>, String) {
    let copy = with(file, text);
    let run = pack(&copy, file, options);
    assert_eq!(run.code, 0, "{file}: {}", run.err);
    (std::fs::read(copy.path().join("out.packed")).expect("bytes"), run.err)
}

/// The route that a file becomes, as text, and what was said.
fn route(file: &str, text: &str, options: &[&str]) -> (String, String) {
    let copy = with(file, text);
    let run = pack(&copy, file, options);
    assert_eq!(run.code, 0, "{file}: {}", run.err);
    (copy.run(&["unpack", "out.packed"]).out, run.err)
}

/// Demands that a file can't be used, that all these parts are said, and that nothing is written.
fn refused(file: &str, text: impl AsRef<[u8]>, options: &[&str], parts: &[&str]) {
    let copy = with(file, text);
    let run = pack(&copy, file, options);
    assert_eq!(run.code, 2, "{file}: {}{}", run.out, run.err);
    // What is long is broken at the width of a terminal.
    let said = run.err.split_whitespace().collect::<Vec<_>>().join(" ");
    for part in parts {
        assert!(said.contains(part), "no «{part}» in:\n{}", run.err);
    }
    assert!(!copy.path().join("out.packed").exists());
}

/// GeoJSON of one line.
fn geojson(positions: &str) -> String {
    format!("{{ \"type\": \"LineString\", \"coordinates\": [{positions}] }}")
}

/// GPX of these elements.
fn gpx(inside: &str) -> String {
    format!(
        "<?xml version=\"1.0\"?>\n<gpx version=\"1.1\" xmlns=\"http://www.topografix.com/GPX/1/1\">\n{inside}\n</gpx>\n"
    )
}

/// KML of these elements.
fn kml(inside: &str) -> String {
    format!("<kml xmlns=\"http://www.opengis.net/kml/2.2\"><Document>\n{inside}\n</Document></kml>\n")
}

/// KML of one line.
fn kml_line(inside: &str) -> String {
    kml(&format!("<Placemark><name>tour</name><LineString>{inside}</LineString></Placemark>"))
}
