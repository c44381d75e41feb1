//! The plan: what a surveyor would draw of site and route, seen from above, north up.

mod extent;
mod route;

use maud::{Markup, html};

use super::{
    Brief, drawing,
    drawing::{Drawing, Sheet, Words, label, line, rectangle, text, text_at},
    labels::{Area, Around, Labels},
    legend::{self, Swatch},
    plane::Point,
    scale::{self, Axis, LengthUnit},
    shown,
    zones::{Look, Mapped},
};
use extent::Extent;

/// The frame, and where places lie in it.
#[derive(Clone, Copy)]
struct Map {
    drawing: Drawing,
    frame: Area,
    east: Axis,
    north: Axis,
    unit: LengthUnit,
}

impl Map {
    fn at(&self, point: Point) -> (f64, f64) {
        (self.east.at(point.east), self.north.at(point.north))
    }

    /// Whether a place is within the frame.
    fn holds(&self, (x, y): (f64, f64)) -> bool {
        let Area { left, top, right, bottom } = self.frame;
        (left..=right).contains(&x) && (top..=bottom).contains(&y)
    }
}

/// Draws the plan.
pub(super) fn draw(brief: &Brief<'_>, sheet: Sheet) -> Markup {
    let drawing = Drawing { sheet, name: "plan" };
    let map = map(drawing, &extent::of(brief));
    let mut labels = Labels::new(map.frame);
    route::avoid(brief, &map, &mut labels);
    let clip = drawing.id("frame");
    let route = route::lines(brief, &map);
    let words = html! { (route::words(brief, &map, &mut labels)) (zone_names(brief, &map, &mut labels)) };
    let (below, end) = below(brief, &map);
    let body = html! {
        clipPath id=(clip) { (rectangle("", None, map.frame)) }
        g clip-path=(drawing.fill("frame")) { (grid(&map)) (zones(brief, &map)) (route) }
        (words)
        (rectangle("frame", None, map.frame))
        (axes(&map))
        (below)
    };
    drawing.svg(end, &describe(brief), &body)
}

fn map(drawing: Drawing, extent: &Extent) -> Map {
    let (left, top, right) = (drawing.sheet.left(), 10.0, drawing.sheet.width() - 8.0);
    let wide = right - left;
    // No higher than leaves room for the answer on the first sheet of paper.
    let most = if drawing.sheet == Sheet::Wide { 0.8 } else { 1.15 };
    let high = (wide * extent.high() / extent.wide()).clamp(wide * 0.5, wide * most);
    let extent = extent.filled(wide / high);
    let frame = Area { left, top, right, bottom: top + high };
    let east = Axis { low: extent.west, high: extent.east, start: left, end: right };
    let north = Axis { low: extent.south, high: extent.north, start: frame.bottom, end: top };
    let unit = LengthUnit::up_to(extent.wide().max(extent.high()));
    Map { drawing, frame, east, north, unit }
}

fn grid(map: &Map) -> Markup {
    let Area { left, top, right, bottom } = map.frame;
    let apart = map.drawing.sheet.size() * 6.0;
    let upright = map.east.ticks(apart).into_iter().map(|tick| map.east.at(tick));
    let level = map.north.ticks(apart).into_iter().map(|tick| map.north.at(tick));
    html! {
        @for x in upright { (line("grid", [(x, top), (x, bottom)])) }
        @for y in level { (line("grid", [(left, y), (right, y)])) }
    }
}

/// Metres east and north of launch along the frame.
fn axes(map: &Map) -> Markup {
    let Area { left, right, bottom, .. } = map.frame;
    let size = map.drawing.sheet.size();
    let (apart, step) = (size * 6.0, map.east.step(size * 6.0));
    let up = map.north.step(apart);
    html! {
        @for tick in map.east.ticks(apart) {
            (line("thin", [(map.east.at(tick), bottom), (map.east.at(tick), bottom + 4.0)]))
            @if map.east.at(tick) > left + size && map.east.at(tick) < right - size {
                (text_at(map.east.at(tick), bottom + 5.0 + size, "middle", "faint", &map.unit.written(tick, step)))
            }
        }
        @for tick in map.north.ticks(apart) {
            (line("thin", [(left - 4.0, map.north.at(tick)), (left, map.north.at(tick))]))
            (text_at(left - 6.0, map.north.at(tick) + size * 0.36, "end", "faint", &map.unit.written(tick, up)))
        }
        (text_at(f64::midpoint(left, right), bottom + 8.0 + size * 2.1, "middle", "faint", &format!("east and north of launch, in {}", map.unit.name)))
    }
}

/// The class that a zone's outline has.
fn class(look: Look) -> &'static str {
    match look {
        Look::KeepIn => "keep-in",
        Look::KeepOut => "keep-out",
        Look::KeepOutAtHeights => "at-heights",
        Look::People => "people",
    }
}

fn zones(brief: &Brief<'_>, map: &Map) -> Markup {
    let Area { left, top, right, bottom } = map.frame;
    let frame = drawing::through([(left, top), (right, top), (right, bottom), (left, bottom)]);
    let fill = |look: Look| map.drawing.fill(if look == Look::KeepIn { "outside" } else { class(look) });
    html! {
        @for zone in &brief.zones {
            @let outline = zone.path(|point| map.at(point));
            @if zone.look == Look::KeepIn {
                path fill=(fill(zone.look)) fill-rule="evenodd" d=(format!("{frame}Z{outline}")) {}
                path class="keep-in" d=(outline) {}
            } @else {
                path class="paper" fill-rule="evenodd" d=(outline) {}
                path class=(class(zone.look)) fill=(fill(zone.look)) fill-rule="evenodd" d=(outline) {}
            }
        }
    }
}

/// Names of zones, or what stands for them where a name has no room.
fn zone_names(brief: &Brief<'_>, map: &Map, labels: &mut Labels) -> Markup {
    let size = map.drawing.sheet.size();
    let mut named = |zone: &Mapped<'_>| {
        let (point, reach) = name_point(zone, map);
        let name = shown(&zone.zone.name);
        // Of what is too small to be seen a name says nothing.
        (map.holds(point) && reach > 0.4).then_some(())?;
        let gaps = [reach + 4.0, reach + 14.0, reach + 30.0];
        let gaps: &[f64] = if reach > 4.0 * size { &[0.0] } else { &gaps };
        let mut around = Around::any(point, gaps);
        if zone.look == Look::KeepIn {
            around.positions = &[(0.7, 0.7), (0.7, -0.7), (1.0, 0.0), (0.0, 1.0)];
        }
        let whole = (name.chars().count() <= 28).then(|| label(labels, &name, ("", size), &around));
        whole.flatten().or_else(|| label(labels, &zone.short, ("", size), &around))
    };
    let names: Vec<Markup> = brief.zones.iter().filter_map(&mut named).collect();
    html! { @for name in &names { (name) } }
}

/// What a zone's name stands beside, and how far it reaches from there: its middle; of the keep-in zone its north-west end,
/// since all else is in its middle.
fn name_point(zone: &Mapped<'_>, map: &Map) -> ((f64, f64), f64) {
    let corners: Vec<(f64, f64)> = zone.corners().into_iter().map(|corner| map.at(corner)).collect();
    let north_west = corners.iter().copied().min_by(|a, b| (a.0 + a.1).total_cmp(&(b.0 + b.1)));
    let middle = map.at(zone.middle());
    let reach =
        |of: fn(&(f64, f64)) -> f64, middle: f64| corners.iter().map(|at| (of(at) - middle).abs()).fold(0.0, f64::max);
    match (zone.look, north_west) {
        (Look::KeepIn, Some(corner)) => (corner, 2.0),
        _ => (middle, reach(|at| at.0, middle.0).min(reach(|at| at.1, middle.1))),
    }
}

/// Scale bar, north arrow and legend; and where they end.
fn below(brief: &Brief<'_>, map: &Map) -> (Markup, f64) {
    let size = map.drawing.sheet.size();
    let left = map.frame.left;
    let top = map.frame.bottom + 8.0 + size * 2.1 + size;
    let (legend, end) = legend::rows(map.drawing, left, top + size * 2.9, &entries(brief));
    (html! { (scale_bar(map, left, top)) (north_arrow(map, top)) (legend) }, end)
}

fn scale_bar(map: &Map, left: f64, top: f64) -> Markup {
    let size = map.drawing.sheet.size();
    let metre = map.east.at(1.0) - map.east.at(0.0);
    let whole = scale::round_below((map.frame.right - left) * 0.45 / metre);
    let (part, high) = (whole * metre / 4.0, 6.0);
    let bar = |index: u8| left + f64::from(index) * part;
    html! {
        @for index in 0..4_u8 {
            @let area = Area { left: bar(index), top, right: bar(index + 1), bottom: top + high };
            (rectangle(if index % 2 == 0 { "solid" } else { "paper" }, None, area))
            (rectangle("thin", None, area))
        }
        (text(left, top + high + 3.0 + size, "", "0"))
        (text_at(bar(4), top + high + 3.0 + size, "middle", "", &format!("{} {}", map.unit.written(whole, whole), map.unit.sign)))
    }
}

fn north_arrow(map: &Map, top: f64) -> Markup {
    let (x, size) = (map.frame.right - 16.0, map.drawing.sheet.size());
    let (tip, foot) = (top - 4.0, top + size * 2.2);
    html! {
        path class="thin" d=(drawing::through([(x, tip), (x + 7.0, foot), (x, foot - 6.0), (x - 7.0, foot), (x, tip)])) {}
        path class="solid" d=(drawing::through([(x, tip), (x, foot - 6.0), (x - 7.0, foot), (x, tip)])) {}
        (text_at(x - 12.0, foot - size * 0.4, "end", "strong", "N"))
    }
}

fn entries(brief: &Brief<'_>) -> Vec<(Swatch, String)> {
    let has = |look: Look| brief.zones.iter().any(|zone| zone.look == look);
    let entries = [
        (true, Swatch::Line("route"), "route, with numbers of steps"),
        (brief.has_return(), Swatch::Line("route home"), "automatic return"),
        (true, Swatch::Plain("envelope"), "where a turn-back may fly"),
        (true, Swatch::Field("keep-in", "outside"), "edge of keep-in; hatched: outside"),
        (has(Look::KeepOut), Swatch::Field("keep-out", "keep-out"), "keep-out, all heights"),
        (has(Look::KeepOutAtHeights), Swatch::Field("at-heights", "at-heights"), "keep-out, some heights"),
        (has(Look::People), Swatch::Field("people", "people"), "people"),
        (
            brief.closest.iter().any(|closest| closest.lettered.is_some()),
            Swatch::Spot("spot"),
            "closest place, with its letter",
        ),
        (brief.has_stop_place(), Swatch::Spot("stop"), "the same, where a limit is broken"),
    ];
    entries.into_iter().filter(|(there, ..)| *there).map(|(_, swatch, words)| (swatch, words.to_owned())).collect()
}

fn describe(brief: &Brief<'_>) -> Words {
    let zones: Vec<String> =
        brief.zones.iter().map(|zone| format!("{} ({})", shown(&zone.zone.name), say(zone.look))).collect();
    Words {
        title: format!("Plan of \u{201c}{}\u{201d}", shown(&brief.report.launch.name)),
        description: format!(
            "Site and route seen from above, north up: {} steps from launch, and the zones {}. The tables of steps, closest places and zones have all of it in figures.",
            brief.steps.len(),
            zones.join(", ")
        ),
    }
}

/// What a zone is, in a few words.
pub(super) const fn say(look: Look) -> &'static str {
    match look {
        Look::KeepIn => "keep-in",
        Look::KeepOut => "keep-out, all heights",
        Look::KeepOutAtHeights => "keep-out, some heights",
        Look::People => "people, all heights",
    }
}
