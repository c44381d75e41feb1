//! What lines and hatching mean, in rows below a drawing.

use maud::{Markup, html};

use super::{
    drawing::{Drawing, line, rectangle, spot, text},
    labels::{Area, width},
};

/// What something looks like.
pub(super) enum Swatch {
    /// A line of these classes.
    Line(&'static str),
    /// A field of a class with hatching.
    Field(&'static str, &'static str),
    /// A field of a class alone.
    Plain(&'static str),
    Spot(&'static str),
}

/// Draws rows from `top`, and says where they end.
pub(super) fn rows(drawing: Drawing, left: f64, top: f64, entries: &[(Swatch, String)]) -> (Markup, f64) {
    let size = drawing.sheet.size();
    let (high, mark) = (size * 1.6, 26.0);
    let (mut x, mut y, mut drawn) = (left, top + size, Vec::new());
    for (swatch, words) in entries {
        let room = mark + 6.0 + width(words, size) + 10.0;
        if x > left && x + room > drawing.sheet.width() {
            (x, y) = (left, y + high);
        }
        drawn.push(html! { (self::swatch(drawing, swatch, x, y)) (text(x + mark + 6.0, y, "", words)) });
        x += room;
    }
    (html! { @for entry in &drawn { (entry) } }, y + size * 0.6)
}

fn swatch(drawing: Drawing, swatch: &Swatch, x: f64, baseline: f64) -> Markup {
    let middle = baseline - 0.36 * drawing.sheet.size();
    let area = Area { left: x, top: middle - 5.5, right: x + 26.0, bottom: middle + 5.5 };
    match swatch {
        Swatch::Line(class) => line(class, [(x, middle), (x + 26.0, middle)]),
        Swatch::Field(class, hatch) => rectangle(class, Some(&drawing.fill(hatch)), area),
        Swatch::Plain(class) => rectangle(class, None, area),
        Swatch::Spot(class) => spot(class, (x + 13.0, middle)),
    }
}
