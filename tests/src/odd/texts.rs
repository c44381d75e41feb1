//! Text that is nested deeper than anybody writes, or is no text. Whatever the format, it is unusable input: exit code
//! 2.

/// So deep.
const DEEP: usize = 50_000;

/// A file: its name, what it is meant to provoke, and what is in it.
#[derive(Clone, Debug)]
pub struct Text {
    /// What the file is called.
    pub name: &'static str,
    /// What it is meant to provoke.
    pub provokes: &'static str,
    /// What is in it.
    pub bytes: Vec<u8>,
}

/// Files to be given as routes.
#[must_use]
pub fn routes() -> Vec<Text> {
    let text = |name, provokes, text: String| Text { name, provokes, bytes: text.into_bytes() };
    let (open, close) = ("[".repeat(DEEP), "]".repeat(DEEP));
    vec![
        text("arrays.toml", "a name of arrays in arrays", format!("name = {open}{close}\n")),
        text("open-arrays.toml", "arrays that are never closed", format!("name = {open}")),
        text("tables.toml", "tables in tables", format!("name = {}{}\n", "{a = ".repeat(DEEP), "}".repeat(DEEP))),
        text("dots.toml", "a key of keys of keys", format!("{}a = 1\n", "a.".repeat(DEEP))),
        text("arrays.geojson", "coordinates in arrays in arrays", feature(&format!("{open}{close}"))),
        text("open-arrays.geojson", "arrays that are never closed", feature(&open)),
        text("collections.geojson", "collections in collections", collections()),
        text(
            "elements.gpx",
            "elements in elements",
            format!("<gpx>{}{}</gpx>", "<a>".repeat(DEEP), "</a>".repeat(DEEP)),
        ),
        text("folders.kml", "folders in folders", folders()),
        text("quotes.csv", "nothing but quotation marks", "\"".repeat(DEEP)),
        Text { name: "zeros.toml", provokes: "no text", bytes: vec![0; DEEP] },
        Text { name: "half-a-character.toml", provokes: "text that isn't UTF-8", bytes: b"name = \"\xC3\"\n".to_vec() },
        Text { name: "empty.toml", provokes: "no bytes at all", bytes: Vec::new() },
    ]
}

/// Files to be given as the site of limits.
#[must_use]
pub fn sites() -> Vec<Text> {
    routes().into_iter().filter(|text| text.name.ends_with(".geojson")).collect()
}

fn feature(coordinates: &str) -> String {
    let geometry = format!(r#"{{"type": "LineString", "coordinates": {coordinates}}}"#);
    format!(r#"{{"type": "Feature", "properties": {{}}, "geometry": {geometry}}}"#)
}

fn collections() -> String {
    let open = r#"{"type": "GeometryCollection", "geometries": ["#;
    format!(r#"{{"type": "Feature", "properties": {{}}, "geometry": {}{}}}"#, open.repeat(DEEP), "]}".repeat(DEEP))
}

fn folders() -> String {
    let (open, close) = ("<Folder>".repeat(DEEP), "</Folder>".repeat(DEEP));
    format!(r#"<kml xmlns="http://www.opengis.net/kml/2.2"><Document>{open}{close}</Document></kml>"#)
}
