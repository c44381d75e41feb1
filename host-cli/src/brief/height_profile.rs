//! The height profile: path, limits, ground and zones over the distance flown.

use maud::{Markup, html};

use super::{
    Brief,
    drawing::{Drawing, Sheet, Words, label, line, rectangle, text, text_at, through},
    labels::{Area, Around, Labels},
    legend::{self, Swatch},
    scale::{self, Axis, LengthUnit},
    shown,
    track::{Leg, metres},
    zones::{Look, Mapped},
};

/// Most numbers of steps.
const NUMBERS: usize = 30;
/// Above and below.
pub(super) const LEVEL: [(f64, f64); 2] = [(0.0, -1.0), (0.0, 1.0)];
/// The same first, then beside.
pub(super) const UPRIGHT: [(f64, f64); 8] =
    [(0.0, -1.0), (0.0, 1.0), (0.7, -0.7), (0.7, 0.7), (-0.7, -0.7), (-0.7, 0.7), (1.0, 0.0), (-1.0, 0.0)];
/// How far crossings of one zone are apart that are named each.
const APART: f64 = 60.0;
/// How many places of the ground are drawn.
const SAMPLES: u16 = 400;

/// The frame, and where distances and heights lie in it.
pub(super) struct Chart {
    pub(super) drawing: Drawing,
    pub(super) frame: Area,
    pub(super) across: Axis,
    pub(super) up: Axis,
}

impl Chart {
    /// A chart of numbers from `low` to `high`.
    pub(super) fn new(drawing: Drawing, across: (f64, f64), (low, high): (f64, f64)) -> Self {
        let sheet = drawing.sheet;
        let (left, top, right) = (sheet.left(), 12.0, sheet.width() - 10.0);
        let bottom = top + (right - left) * if sheet == Sheet::Wide { 0.4 } else { 0.72 };
        Self {
            drawing,
            frame: Area { left, top, right, bottom },
            across: Axis { low: across.0, high: across.1, start: left, end: right },
            up: Axis { low, high, start: bottom, end: top },
        }
    }

    pub(super) fn at(&self, across: f64, up: f64) -> (f64, f64) {
        (self.across.at(across), self.up.at(up))
    }

    /// A line over the whole width.
    pub(super) fn level(&self, class: &str, up: f64) -> Markup {
        let y = self.up.at(up);
        line(class, [(self.frame.left, y), (self.frame.right, y)])
    }

    /// Ticks and titles of both axes, and where they end. Ticks across are written as so many of `per`.
    pub(super) fn axes(&self, per: f64, across: &str, up: &str) -> (Markup, f64) {
        let Area { left, top, right, bottom } = self.frame;
        let size = self.drawing.sheet.size();
        let (apart, rise) = (size * 5.5, size * 3.0);
        let (step, lift) = (self.across.step(apart), self.up.step(rise));
        let drawn = html! {
            @for tick in self.across.ticks(apart) {
                (line("grid", [(self.across.at(tick), top), (self.across.at(tick), bottom)]))
                @if self.across.at(tick) < right - size {
                    (text_at(self.across.at(tick), bottom + 5.0 + size, "middle", "faint", &scale::written(tick / per, step / per)))
                }
            }
            @for tick in self.up.ticks(rise) {
                (line("grid", [(left, self.up.at(tick)), (right, self.up.at(tick))]))
                @if self.up.at(tick) > top + size {
                    (text_at(left - 6.0, self.up.at(tick) + size * 0.36, "end", "faint", &scale::written(tick, lift)))
                }
            }
            (text_at(right, bottom + 8.0 + size * 2.1, "end", "faint", across))
            (text(2.0, top + size * 0.3, "faint", up))
        };
        (drawn, bottom + 8.0 + size * 2.8)
    }
}

/// Draws the profile.
pub(super) fn draw(brief: &Brief<'_>, sheet: Sheet) -> Markup {
    let drawing = Drawing { sheet, name: "heights" };
    let chart = chart(brief, drawing);
    let mut labels = Labels::new(chart.frame);
    let unit = LengthUnit::up_to(chart.across.high);
    let (axes, end) = chart.axes(unit.metres, &format!("distance along the route, {}", unit.sign), "m");
    let limits = limits(brief, &chart);
    avoid(brief, &limits, &chart, &mut labels);
    let limit_names = limit_names(&limits, &chart, &mut labels);
    let (zones, names) = zones(brief, &chart, &mut labels);
    let words = html! { (limit_names) (names) (numbers(brief, &chart, &mut labels)) };
    let (legend, end) = legend::rows(drawing, chart.frame.left, end, &entries(brief, &limits));
    let body = html! {
        clipPath id=(drawing.id("frame")) { (rectangle("", None, chart.frame)) }
        (axes)
        g clip-path=(drawing.fill("frame")) {
            (ground(brief, &chart)) (zones)
            @for limit in &limits { (limit.line(brief, &chart)) }
            (path(brief, &chart))
        }
        (rectangle("frame", None, chart.frame))
        (words) (legend)
    };
    drawing.svg(end, &describe(brief), &body)
}

fn chart(brief: &Brief<'_>, drawing: Drawing) -> Chart {
    let length = brief.legs.last().map_or(0.0, Leg::ends).max(1.0);
    let heights = brief.legs.iter().map(|leg| leg.to.height);
    let figures = brief.report.limits.figures();
    let (low, high) = heights.fold((0.0_f64, metres(figures.homeward.height.get())), |(l, h), v| (l.min(v), h.max(v)));
    let low = ground_samples(brief).filter_map(|(_, relief)| relief).fold(low, |low, (lowest, _)| low.min(lowest));
    let ceiling = metres(figures.heights.ceiling.get());
    // A ceiling far above everything would press the path flat.
    let top = if ceiling < 3.0 * high { ceiling.max(high) } else { high * 1.2 };
    let room = (top - low) * 0.06;
    Chart::new(drawing, (0.0, length), (low - room, top + room * 1.6))
}

/// A limit that is a line.
struct Limit {
    class: &'static str,
    name: String,
    at: At,
}

#[derive(Clone, Copy)]
enum At {
    Height(f64),
    /// So much above the lowest or the highest ground.
    AboveLowest(f64),
    AboveHighest(f64),
}

fn limits(brief: &Brief<'_>, chart: &Chart) -> Vec<Limit> {
    let figures = brief.report.limits.figures();
    let heights = &figures.heights;
    let level = |class, what: &str, height: f64| Limit {
        class,
        name: format!("{what} {} m", tidy(height)),
        at: At::Height(height),
    };
    let sea = heights.ceiling_above_sea.zip(brief.launch_above_sea());
    let sea = sea.map(|(sea, launch)| level("limit", "ceiling above the sea,", metres(sea.get()) - launch));
    let over_ground = heights.ceiling_above_ground.filter(|_| brief.terrain.is_some()).map(|height| {
        let height = metres(height.get());
        Limit { class: "follows", name: format!("{} m above the ground", tidy(height)), at: At::AboveLowest(height) }
    });
    let clearance = heights.ground_clearance.filter(|_| brief.terrain.is_some()).map(|height| {
        let height = metres(height.get());
        Limit {
            class: "follows",
            name: format!("{} m of ground clearance", tidy(height)),
            at: At::AboveHighest(height),
        }
    });
    let all = [
        Some(level("limit", "ceiling", metres(heights.ceiling.get()))),
        sea,
        over_ground,
        Some(level("return", "return height", metres(figures.homeward.height.get()))),
        Some(level("floor", "floor", metres(heights.floor.get()))),
        clearance,
    ];
    let ground = |of: fn((f64, f64)) -> f64| {
        ground_samples(brief).filter_map(|(_, relief)| relief).map(of).fold(f64::MAX, f64::min)
    };
    let seen = |limit: &Limit| match limit.at {
        At::Height(height) => height < chart.up.high,
        At::AboveLowest(above) => ground(|(lowest, _)| lowest) + above < chart.up.high,
        At::AboveHighest(above) => ground(|(_, highest)| highest) + above < chart.up.high,
    };
    all.into_iter().flatten().filter(seen).collect()
}

/// Metres without needless digits.
fn tidy(height: f64) -> String {
    let text = format!("{height:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

impl Limit {
    fn line(&self, brief: &Brief<'_>, chart: &Chart) -> Markup {
        let over = |above: f64, of: fn((f64, f64)) -> f64| {
            let known = ground_samples(brief).filter_map(|(along, relief)| Some(chart.at(along, of(relief?) + above)));
            line(self.class, known)
        };
        match self.at {
            At::Height(height) => chart.level(self.class, height),
            At::AboveLowest(above) => over(above, |(lowest, _)| lowest),
            At::AboveHighest(above) => over(above, |(_, highest)| highest),
        }
    }
}

/// Words keep clear of the path and of level lines.
fn avoid(brief: &Brief<'_>, limits: &[Limit], chart: &Chart, labels: &mut Labels) {
    for leg in brief.legs.iter().take(1500) {
        labels.avoid(chart.at(leg.begins, leg.from.height), chart.at(leg.ends(), leg.to.height));
    }
    for limit in limits {
        if let At::Height(height) = limit.at {
            let y = chart.up.at(height);
            labels.avoid((chart.frame.left, y), (chart.frame.right, y));
        }
    }
}

fn limit_names(limits: &[Limit], chart: &Chart, labels: &mut Labels) -> Markup {
    let size = chart.drawing.sheet.size();
    let mut name = |limit: &Limit| {
        let At::Height(height) = limit.at else { return None };
        let half = super::labels::width(&limit.name, size) / 2.0;
        let point = (chart.frame.right - half - 6.0, chart.up.at(height));
        label(labels, &limit.name, ("", size), &Around { point, positions: &LEVEL, gaps: &[2.0] })
    };
    let names: Vec<Markup> = limits.iter().filter_map(&mut name).collect();
    html! { @for name in &names { (name) } }
}

fn path(brief: &Brief<'_>, chart: &Chart) -> Markup {
    let points = || {
        let starts = brief.legs.first().map(|leg| chart.at(leg.begins, leg.from.height));
        starts.into_iter().chain(brief.legs.iter().map(|leg| chart.at(leg.ends(), leg.to.height)))
    };
    html! { (line("under", points())) (line("route", points())) }
}

/// Numbers of steps above the middle of their legs.
fn numbers(brief: &Brief<'_>, chart: &Chart, labels: &mut Labels) -> Markup {
    let every = brief.steps.len().div_ceil(NUMBERS).max(1);
    let mut last = 0;
    let mut numbers = Vec::new();
    for leg in brief.legs.iter().filter(|leg| (leg.step - 1) % every == 0) {
        let at = chart.at(f64::midpoint(leg.begins, leg.ends()), f64::midpoint(leg.from.height, leg.to.height));
        if leg.step != last {
            last = leg.step;
            numbers.extend(label(
                labels,
                &leg.step.to_string(),
                ("", chart.drawing.sheet.size()),
                &Around { point: at, positions: &UPRIGHT, gaps: &[3.0, 7.0] },
            ));
        }
    }
    html! { @for number in &numbers { (number) } }
}

/// Places along the path, and the ground there.
fn ground_samples<'a>(brief: &'a Brief<'_>) -> impl Iterator<Item = (f64, Option<(f64, f64)>)> + 'a {
    let length = brief.legs.last().map_or(0.0, Leg::ends);
    let terrain = brief.terrain.filter(|_| length > 0.0);
    let along = (0..=SAMPLES).map(move |index| length * f64::from(index) / f64::from(SAMPLES));
    let mut legs = brief.legs.iter().filter(|leg| leg.length() > 0.0).peekable();
    terrain
        .into_iter()
        .zip(std::iter::repeat(along))
        .flat_map(|(terrain, along)| along.map(move |along| (terrain, along)))
        .map(move |(terrain, along)| {
            while legs.next_if(|leg| leg.ends() < along - 1e-6).is_some() {}
            let leg = legs.peek();
            let place = leg.map(|leg| leg.from.point.toward(leg.to.point, (along - leg.begins) / leg.length()));
            (along, place.and_then(|place| terrain.at(place)))
        })
}

/// The highest ground, filled; a thin line where the lowest is.
fn ground(brief: &Brief<'_>, chart: &Chart) -> Markup {
    let known: Vec<(f64, (f64, f64))> =
        ground_samples(brief).filter_map(|(along, relief)| Some((along, relief?))).collect();
    let highest = known.iter().map(|(along, (_, highest))| chart.at(*along, *highest));
    let ends = known.first().zip(known.last());
    html! {
        @if let Some((first, last)) = ends {
            @let foot = [last, first].map(|(along, _)| (chart.across.at(*along), chart.frame.bottom + 2.0));
            path class="ground" fill=(chart.drawing.fill("ground")) d=(format!("{}Z", through(highest.chain(foot)))) {}
            (line("thin", known.iter().map(|(along, (lowest, _))| chart.at(*along, *lowest))))
        }
    }
}

/// Where the path crosses zones, with the heights that they reach over; and their names.
fn zones(brief: &Brief<'_>, chart: &Chart, labels: &mut Labels) -> (Markup, Markup) {
    let (mut fields, mut names) = (Vec::new(), Vec::new());
    for zone in brief.zones.iter().filter(|zone| zone.look != Look::KeepIn) {
        let Some((low, high)) = zone.heights(brief.launch_above_sea()) else { continue };
        let areas = crossed(brief, zone).into_iter().map(|(begin, end)| {
            let middle = chart.across.at(f64::midpoint(begin, end));
            let half = ((chart.across.at(end) - chart.across.at(begin)) / 2.0).max(1.5);
            let up = |height: f64| chart.up.at(height.clamp(chart.up.low - 1.0, chart.up.high + 1.0));
            Area { left: middle - half, top: up(high), right: middle + half, bottom: up(low) }
        });
        let mut named: Option<f64> = None;
        for area in areas {
            fields.push(field(zone, chart, area));
            labels.avoid((area.left, area.top), (area.left, area.bottom));
            labels.avoid((area.right, area.top), (area.right, area.bottom));
            let point = (f64::midpoint(area.left, area.right), area.top.max(chart.frame.top));
            let (size, around) =
                (chart.drawing.sheet.size(), Around { point, positions: &UPRIGHT, gaps: &[2.0, 10.0] });
            // Of crossings side by side the first is named.
            if named.is_none_or(|before| area.left - before > APART) {
                let name = label(labels, &shown(&zone.zone.name), ("", size), &around);
                names.extend(name.or_else(|| label(labels, &zone.short, ("", size), &around)));
            }
            named = Some(area.right);
        }
    }
    (html! { @for field in &fields { (field) } }, html! { @for name in &names { (name) } })
}

fn field(zone: &Mapped<'_>, chart: &Chart, area: Area) -> Markup {
    let (class, hatch) = match zone.look {
        Look::KeepOutAtHeights => ("at-heights", "at-heights"),
        Look::People => ("people", "people"),
        Look::KeepIn | Look::KeepOut => ("keep-out", "keep-out"),
    };
    html! { (rectangle("paper", None, area)) (rectangle(class, Some(&chart.drawing.fill(hatch)), area)) }
}

/// Between which distances the path is above or below a zone, or in it; what touches is one.
fn crossed(brief: &Brief<'_>, zone: &Mapped<'_>) -> Vec<(f64, f64)> {
    let mut spans: Vec<(f64, f64)> = Vec::new();
    for leg in brief.legs.iter().filter(|leg| leg.length() > 0.0) {
        for (begin, end) in zone.crossed_by(leg) {
            let (begin, end) = (leg.begins + begin * leg.length(), leg.begins + end * leg.length());
            match spans.last_mut() {
                Some(last) if begin - last.1 < 1e-6 => last.1 = end,
                _ => spans.push((begin, end)),
            }
        }
    }
    spans
}

fn entries(brief: &Brief<'_>, limits: &[Limit]) -> Vec<(Swatch, String)> {
    let crossed = |look: Look| {
        brief.zones.iter().filter(move |zone| zone.look == look).any(|zone| !crossed(brief, zone).is_empty())
    };
    let lines = limits.iter().map(|limit| (Swatch::Line(limit.class), limit.name.clone()));
    let fields = [
        (brief.terrain.is_some(), Swatch::Field("ground", "ground"), "ground, as high as data allow"),
        (
            crossed(Look::KeepOutAtHeights),
            Swatch::Field("at-heights", "at-heights"),
            "keep-out zone passed over or under",
        ),
        (crossed(Look::KeepOut), Swatch::Field("keep-out", "keep-out"), "keep-out zone entered"),
        (crossed(Look::People), Swatch::Field("people", "people"), "people below"),
    ];
    let fields = fields.into_iter().filter(|(there, ..)| *there).map(|(_, swatch, words)| (swatch, words.to_owned()));
    [(Swatch::Line("route"), "path, with numbers of steps".to_owned())].into_iter().chain(lines).chain(fields).collect()
}

fn describe(brief: &Brief<'_>) -> Words {
    let highest = brief.legs.iter().map(|leg| leg.to.height).fold(0.0, f64::max);
    let heights = &brief.report.limits.figures().heights;
    Words {
        title: "Heights along the route".to_owned(),
        description: format!(
            "The path goes up to {} m above launch; the ceiling is {} m, the floor {} m, the return height {} m. The table of steps has all heights.",
            tidy(highest),
            tidy(metres(heights.ceiling.get())),
            tidy(metres(heights.floor.get())),
            tidy(metres(brief.report.limits.figures().homeward.height.get()))
        ),
    }
}
