//! What all drawings share: the sheet, its hatching, lines and words.

use maud::{Markup, html};

use super::labels::{Area, Around, Labels, Placed};

/// How drawings look; `var(--...)` stands for colours.
pub(super) const STYLE: &str = include_str!("drawing.css");

/// What a drawing is drawn on. Each is drawn for wide and for narrow pages, so that its words can be read on both.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Sheet {
    Wide,
    Narrow,
}

impl Sheet {
    pub(super) const fn width(self) -> f64 {
        match self {
            Self::Wide => 720.0,
            Self::Narrow => 330.0,
        }
    }

    /// How high letters are.
    pub(super) const fn size(self) -> f64 {
        match self {
            Self::Wide => 12.0,
            Self::Narrow => 10.5,
        }
    }

    pub(super) const fn class(self) -> &'static str {
        match self {
            Self::Wide => "wide",
            Self::Narrow => "narrow",
        }
    }

    /// The room to the left of a frame.
    pub(super) const fn left(self) -> f64 {
        match self {
            Self::Wide => 52.0,
            Self::Narrow => 44.0,
        }
    }
}

/// A drawing in the making: which sheet, and what its parts are called.
#[derive(Clone, Copy, Debug)]
pub(super) struct Drawing {
    pub(super) sheet: Sheet,
    /// Tells it from the other drawings of a page.
    pub(super) name: &'static str,
}

/// A drawing's title and its words for those who don't see it.
pub(super) struct Words {
    pub(super) title: String,
    pub(super) description: String,
}

impl Drawing {
    pub(super) fn id(self, part: &str) -> String {
        format!("{}-{}-{part}", self.name, self.sheet.class())
    }

    pub(super) fn fill(self, part: &str) -> String {
        format!("url(#{})", self.id(part))
    }

    /// The whole picture.
    pub(super) fn svg(self, height: f64, words: &Words, body: &Markup) -> Markup {
        let width = self.sheet.width();
        let (title, description) = (self.id("title"), self.id("description"));
        html! {
            svg class=(format!("drawing {}", self.sheet.class())) viewBox=(format!("0 0 {width} {height:.0}")) role="img"
                aria-labelledby=(format!("{title} {description}")) font-size=(self.sheet.size()) {
                title id=(title) { (words.title) }
                desc id=(description) { (words.description) }
                defs { (self.hatching()) }
                (body)
            }
        }
    }

    fn hatching(self) -> Markup {
        let pattern = |part: &str, side: u8, turn: &str, class: &str, lines: &str| {
            html! {
                pattern id=(self.id(part)) width=(side) height=(side) patternUnits="userSpaceOnUse" patternTransform=(turn) {
                    path class=(class) d=(lines) {}
                }
            }
        };
        html! {
            (pattern("outside", 9, "rotate(-45)", "sparse", "M0 4.5H9"))
            (pattern("keep-out", 5, "rotate(45)", "hatch", "M0 2.5H5M2.5 0V5"))
            (pattern("at-heights", 5, "rotate(45)", "hatch", "M0 2.5H5"))
            (pattern("people", 6, "", "solid", "M1 2.4a1.1 1.1 0 1 0 2.2 0a1.1 1.1 0 1 0 -2.2 0Z"))
            (pattern("ground", 7, "rotate(20)", "sparse", "M0 2H4M3.5 5.5H7"))
            (pattern("reserve", 6, "rotate(-45)", "sparse", "M0 3H6"))
        }
    }
}

/// Words on a sheet, from their left end.
pub(super) fn text(x: f64, y: f64, class: &str, words: &str) -> Markup {
    html! { text x=(short(x)) y=(short(y)) class=(class) { (words) } }
}

/// The same, from their middle or right end.
pub(super) fn text_at(x: f64, y: f64, anchor: &str, class: &str, words: &str) -> Markup {
    html! { text x=(short(x)) y=(short(y)) class=(class) text-anchor=(anchor) { (words) } }
}

/// Words about a point where there is room, with a line to it where they are far.
pub(super) fn label(
    labels: &mut Labels, words: &str, (class, size): (&str, f64), around: &Around<'_>,
) -> Option<Markup> {
    let placed = labels.place(words, size, around)?;
    Some(html! {
        @if placed.far { (leader(around.point, placed)) }
        (text(placed.x, placed.y, &format!("halo {class}"), words))
    })
}

/// A line from a point towards words, which ends before them.
fn leader((x, y): (f64, f64), placed: Placed) -> Markup {
    let (right, down) = (placed.middle.0 - x, placed.middle.1 - y);
    let on = |share: f64| (x + right * share, y + down * share);
    line("thin", [on((6.0 / right.hypot(down)).min(0.5)), on(0.66)])
}

/// A line through points.
pub(super) fn line(class: &str, points: impl IntoIterator<Item = (f64, f64)>) -> Markup {
    html! { path class=(class) d=(through(points)) {} }
}

/// The path data of a line through points.
pub(super) fn through(points: impl IntoIterator<Item = (f64, f64)>) -> String {
    let mut data = String::new();
    for (x, y) in points {
        data.push(if data.is_empty() { 'M' } else { 'L' });
        data.push_str(&format!("{} {}", short(x), short(y)));
    }
    data
}

/// A rectangle.
pub(super) fn rectangle(class: &str, fill: Option<&str>, area: Area) -> Markup {
    let Area { left, top, right, bottom } = area;
    html! { rect class=(class) fill=[fill] x=(short(left)) y=(short(top)) width=(short(right - left)) height=(short(bottom - top)) {} }
}

/// A mark at a point: a ring, or where something is wrong a diamond, which is another shape in any colour.
pub(super) fn spot(class: &str, (x, y): (f64, f64)) -> Markup {
    let diamond = [(x, y - 5.5), (x + 5.5, y), (x, y + 5.5), (x - 5.5, y)];
    html! {
        @if class == "stop" { path class=(class) d=(format!("{}Z", through(diamond))) {} }
        @else { circle class=(class) cx=(short(x)) cy=(short(y)) r="4" {} }
    }
}

/// A length on a sheet, to a tenth; nothing is drawn finer.
pub(super) fn short(length: f64) -> String {
    format!("{:.1}", length.clamp(-1e6, 1e6))
}
