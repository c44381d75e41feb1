//! A drawing by itself: SVG that needs nothing else, and PNG made of it.

use std::{path::Path, sync::Arc};

use resvg::{
    tiny_skia::{Pixmap, Transform},
    usvg::{Options, Tree, fontdb::Database},
};

use super::drawing::STYLE;
use crate::problem::Problem;

/// What every SVG file that pinfold writes begins with: by it one is known that may be replaced.
pub(super) const MARK: &str = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<!-- made by pinfold brief -->\n";
/// What is written into every PNG file, and where: in its first text.
pub(super) const PNG_MARK: &[u8] = b"Software\0pinfold brief";
/// A licence lies beside it.
static FONT: &[u8] = include_bytes!("../../fonts/DejaVuSans-subset.ttf");
const FONT_FAMILY: &str = "DejaVu Sans";
/// Colours on white paper.
pub(super) const COLOURS: [(&str, &str); 4] =
    [("ink", "#161616"), ("grey", "#5c5c5c"), ("paper", "#ffffff"), ("accent", "#b3300f")];
/// Pixels for each unit of the sheet.
const ZOOM: f32 = 1.5;

/// An SVG file of a drawing.
pub(super) fn svg(drawing: &str) -> String {
    let style =
        COLOURS.iter().fold(STYLE.to_owned(), |style, (name, colour)| style.replace(&format!("var(--{name})"), colour));
    let alone = drawing.replacen("<svg ", "<svg xmlns=\"http://www.w3.org/2000/svg\" style=\"background:#ffffff\" ", 1);
    format!("{MARK}{}", alone.replacen("<defs>", &format!("<style>{style}</style><defs>"), 1))
}

/// A PNG file of an SVG file.
pub(super) fn png(path: &Path, svg: &str) -> Result<Vec<u8>, Problem> {
    let problem = |why: String| Problem::file(path, format!("the picture can't be drawn: {why}"));
    let mut fonts = Database::new();
    fonts.load_font_data(FONT.to_vec());
    fonts.set_sans_serif_family(FONT_FAMILY);
    let options = Options { fontdb: Arc::new(fonts), font_family: FONT_FAMILY.to_owned(), ..Options::default() };
    let tree = Tree::from_str(svg, &options).map_err(|error| problem(error.to_string()))?;
    let size = tree.size().to_int_size().scale_by(ZOOM).ok_or_else(|| problem("it has no size".to_owned()))?;
    let mut picture = Pixmap::new(size.width(), size.height()).ok_or_else(|| problem("it is too large".to_owned()))?;
    picture.fill(resvg::tiny_skia::Color::WHITE);
    resvg::render(&tree, Transform::from_scale(ZOOM, ZOOM), &mut picture.as_mut());
    encode(&picture).map_err(|error| problem(error.to_string()))
}

/// Opaque pixels as PNG that says who made it.
fn encode(picture: &Pixmap) -> Result<Vec<u8>, png::EncodingError> {
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, picture.width(), picture.height());
    encoder.set_color(png::ColorType::Rgb);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_compression(png::Compression::Best);
    encoder.set_filter(png::FilterType::NoFilter);
    encoder.add_text_chunk("Software".to_owned(), "pinfold brief".to_owned())?;
    let colours: Vec<u8> =
        picture.pixels().iter().flat_map(|pixel| [pixel.red(), pixel.green(), pixel.blue()]).collect();
    encoder.write_header()?.write_image_data(&colours)?;
    Ok(bytes)
}
