//! The charge profile: what is used, and what a turn-back would take, over time.

use maud::{Markup, html};
use pinfold_core::verdict::Unit;

use super::{
    Brief,
    drawing::{Drawing, Sheet, Words, label, line, rectangle, spot},
    height_profile::{Chart, LEVEL, UPRIGHT},
    labels::{Area, Around, Labels, width},
    legend::{self, Swatch},
    track::{Charge, watt_hours},
};

/// Most numbers of steps.
const NUMBERS: usize = 30;
/// Longer flights are shown in minutes.
const MINUTES_FROM: f64 = 300.0;

/// Draws the profile; none where nothing can be said of the charge.
pub(super) fn draw(brief: &Brief<'_>, sheet: Sheet) -> Option<Markup> {
    let energy = brief.report.verdict.energy?;
    let last = brief.charges.last().filter(|last| last.time > 0.0)?;
    let (unit, second) = if last.time > MINUTES_FROM { ("min", 1.0 / 60.0) } else { ("s", 1.0) };
    let drawing = Drawing { sheet, name: "charge" };
    let [held, usable] = [energy.held, energy.usable].map(watt_hours);
    let between = between_ends(brief);
    let most = brief.charges.iter().map(most).fold(held.max(between.unwrap_or(0.0)), f64::max);
    let chart = Chart::new(drawing, (0.0, last.time * second * 1.02), (0.0, most * 1.08));
    let at = |charge: &Charge, watt_hours: f64| chart.at(charge.time * second, watt_hours);
    let mut labels = Labels::new(chart.frame);
    let (axes, end) = chart.axes(1.0, &format!("time since the start, {unit}"), "Wh");
    let reserve = Area { top: chart.up.at(held), bottom: chart.up.at(usable), ..chart.frame };
    avoid(brief, &mut labels, at);
    let names = limit_names(
        &chart,
        &mut labels,
        [Some(("usable", usable)), Some(("held", held)), between.map(|most| (MOST, most))],
    );
    let used = || brief.charges.iter().map(|charge| at(charge, charge.used));
    let turned = || brief.charges.iter().filter_map(|charge| Some(at(charge, charge.turned_back?)));
    let every = brief.charges.len().div_ceil(NUMBERS).max(1);
    let beyond = brief
        .charges
        .iter()
        .filter(|charge| charge.step % every == 0 && charge.turned_back.is_some_and(|needed| needed > usable));
    let numbers = numbers(brief, &mut labels, sheet, |charge| at(charge, charge.used));
    let (legend, end) = legend::rows(drawing, chart.frame.left, end, &entries(brief, usable));
    let body = html! {
        (axes)
        rect fill=(drawing.fill("reserve")) x=(reserve.left) y=(reserve.top) width=(reserve.right - reserve.left)
            height=((reserve.bottom - reserve.top).max(0.0)) {}
        (chart.level("limit", usable)) (chart.level("thin", held))
        @if let Some(most) = between { (chart.level("follows", most)) }
        (line("turned", turned())) (line("route", used()))
        @for charge in beyond { (spot("stop", at(charge, charge.turned_back.unwrap_or_default()))) }
        (rectangle("frame", None, chart.frame))
        (names) (numbers) (legend)
    };
    Some(drawing.svg(end, &describe(brief, usable), &body))
}

/// Words keep clear of both lines.
fn avoid(brief: &Brief<'_>, labels: &mut Labels, at: impl Fn(&Charge, f64) -> (f64, f64)) {
    for pair in brief.charges.windows(2).take(1500) {
        let [from, to] = pair else { continue };
        labels.avoid(at(from, from.used), at(to, to.used));
        if let Some((begins, ends)) = from.turned_back.zip(to.turned_back) {
            labels.avoid(at(from, begins), at(to, ends));
        }
    }
}

fn most(charge: &Charge) -> f64 {
    charge.turned_back.unwrap_or(charge.used).max(charge.used)
}

/// What the most is called that a turn-back takes.
const MOST: &str = "if turned back, at most";

/// What a turn-back takes at most, where that is more than at the end of any step.
fn between_ends(brief: &Brief<'_>) -> Option<f64> {
    let (_, measure) = brief.report.turn_back().filter(|(_, measure)| measure.unit == Unit::WattHours)?;
    let most = f64::from(measure.required) / 1000.0;
    let at_ends = brief.charges.iter().filter_map(|charge| charge.turned_back).fold(0.0, f64::max);
    (most > at_ends * 1.005).then_some(most)
}

/// Names of level lines, at their left ends.
fn limit_names(chart: &Chart, labels: &mut Labels, levels: [Option<(&str, f64)>; 3]) -> Markup {
    let size = chart.drawing.sheet.size();
    let mut name = |(what, watt_hours): (&str, f64)| {
        let words = format!("{what} {watt_hours:.3} Wh");
        let point = (chart.frame.left + width(&words, size) / 2.0 + 6.0, chart.up.at(watt_hours));
        label(labels, &words, ("", size), &Around { point, positions: &LEVEL, gaps: &[2.0] })
    };
    let names: Vec<Markup> = levels.into_iter().flatten().filter_map(&mut name).collect();
    html! { @for name in &names { (name) } }
}

fn numbers(brief: &Brief<'_>, labels: &mut Labels, sheet: Sheet, at: impl Fn(&Charge) -> (f64, f64)) -> Markup {
    let every = brief.charges.len().div_ceil(NUMBERS).max(1);
    let those = brief.charges.iter().filter(|charge| charge.step > 0 && (charge.step - 1) % every == 0);
    let numbers: Vec<Markup> = those
        .filter_map(|charge| {
            label(
                labels,
                &charge.step.to_string(),
                ("", sheet.size()),
                &Around { point: at(charge), positions: &UPRIGHT, gaps: &[4.0, 8.0] },
            )
        })
        .collect();
    html! { @for number in &numbers { (number) } }
}

fn entries(brief: &Brief<'_>, usable: f64) -> Vec<(Swatch, String)> {
    let reserve = brief.report.limits.figures().battery.reserve.get();
    let beyond = brief.charges.iter().any(|charge| charge.turned_back.is_some_and(|needed| needed > usable));
    let mut entries = vec![
        (Swatch::Line("route"), "used at the end of a step".to_owned()),
        (Swatch::Line("turned"), "needed in all if turned back there".to_owned()),
        (Swatch::Line("limit"), "usable".to_owned()),
        (Swatch::Field("reserve", "reserve"), format!("reserve, {reserve} %")),
    ];
    if between_ends(brief).is_some() {
        entries.push((Swatch::Line("follows"), MOST.to_owned()));
    }
    if beyond {
        entries.push((Swatch::Spot("stop"), "no charge for the way home".to_owned()));
    }
    entries
}

fn describe(brief: &Brief<'_>, usable: f64) -> Words {
    let needed = brief.report.verdict.energy.map_or(0.0, |energy| watt_hours(energy.needed));
    Words {
        title: "Charge over time".to_owned(),
        description: format!(
            "The route takes {needed:.3} Wh up to touchdown in the worst wind; {usable:.3} Wh may be used. The table of steps says for every step what is used and what a turn-back there takes."
        ),
    }
}
