//! The page: what stands where. One file that needs no other, without scripts.

use maud::{Markup, PreEscaped, html};
use pinfold_core::verdict::{Finding, Outcome, Severity};

use super::{Brief, charge_profile, checklist, drawing, drawing::Sheet, figures, height_profile, plan, shown, steps};
use crate::{
    report::words::{figure, rule},
    text::decimal::written,
};

/// What every page that pinfold writes begins with: by it one is known that may be replaced.
pub(super) const MARK: &str = "<!DOCTYPE html>\n<!-- made by pinfold brief -->\n";
const STYLE: &str = include_str!("style.css");

/// The whole page.
pub(super) fn html(brief: &Brief<'_>) -> String {
    let name = shown(&brief.report.launch.name);
    let page = html! {
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (verdict(brief)) ": " (name) }
                style { (PreEscaped(STYLE)) (PreEscaped(drawing::STYLE)) }
            }
            body {
                header { (answer(brief)) (fingerprints(brief)) (numbers(brief)) }
                main { (sections(brief)) }
            }
        }
    };
    format!("{MARK}{}\n", page.into_string())
}

fn sections(brief: &Brief<'_>) -> Markup {
    html! {
        section { h2 { "Findings" } (findings(brief)) }
        section { h2 { "Plan" } (both(|sheet| Some(plan::draw(brief, sheet)))) }
        section { h2 { "Heights" } (both(|sheet| Some(height_profile::draw(brief, sheet)))) (height_notes(brief)) }
        section { h2 { "Charge" } (both(|sheet| charge_profile::draw(brief, sheet))) (charge_notes(brief)) }
        section { h2 { "Steps" } (steps::table(brief)) }
        section { h2 { "Closest places" } (steps::closest(brief)) }
        section { h2 { "Limits in force" } (figures::tables(brief)) }
        section { h2 { "Not looked at" } p { (brief.report.say_unchecked()) } }
        section { h2 { "Cautions" } (checklist::cautions(brief)) }
        section { h2 { "Before the flight" } (checklist::boxes(brief)) }
    }
}

/// A drawing for wide pages and for narrow ones: the style shows one of them.
fn both(draw: impl Fn(Sheet) -> Option<Markup>) -> Markup {
    html! { @for drawing in [Sheet::Wide, Sheet::Narrow].into_iter().filter_map(draw) { (drawing) } }
}

fn is_go(brief: &Brief<'_>) -> bool {
    brief.outcome == Outcome::Go
}

fn verdict(brief: &Brief<'_>) -> &'static str {
    if is_go(brief) { "Go" } else { "No-go" }
}

fn answer(brief: &Brief<'_>) -> Markup {
    let (class, tail) = if is_go(brief) {
        ("go", "keeps every limit that is looked at")
    } else {
        ("no-go", "breaks a limit, or can\u{2019}t be decided: not to be flown")
    };
    html! {
        h1 class=(class) {
            span .verdict { (verdict(brief).to_uppercase()) }
            span .about { span .name { (shown(&brief.report.launch.name)) } " " span .tail { (tail) } }
        }
        p .limits { "Held to the limits " q { (shown(&brief.report.limits.figures().name)) } " (" (brief.limits_file) ")"
            @if let Some(laid) = brief.report.preset { ", tightened by the preset " (laid.preset.name) } "." }
    }
}

/// Large enough to be read aloud.
fn fingerprints(brief: &Brief<'_>) -> Markup {
    let subject = brief.report.verdict.subject;
    html! {
        dl .fingerprints {
            div { dt { "Route" } dd { (subject.route) } }
            div { dt { "Limits" } dd { (subject.limits) } }
        }
        p .quiet { "Fingerprints: letters A to Z and digits 2 to 7, so what looks like a nought or a one is the letter O or I. "
            "A board shows the same two, or it holds something else." }
    }
}

fn numbers(brief: &Brief<'_>) -> Markup {
    html! {
        dl .numbers {
            @for (what, number) in figures_of(brief) { div { dt { (what) } dd { (number) } } }
        }
    }
}

fn figures_of(brief: &Brief<'_>) -> Vec<(&'static str, String)> {
    let (summary, energy) = (brief.report.verdict.summary, brief.report.verdict.energy);
    let unknown = || "can\u{2019}t be told".to_owned();
    let wh = |counts: u32| format!("{} Wh", written(i64::from(counts), 3));
    let duration = |hundredths: u32| {
        let seconds = hundredths.div_ceil(100);
        format!("{} min {:02} s", seconds / 60, seconds % 60)
    };
    let left = energy.map(|energy| match brief.report.left_percent(energy) {
        Some(percent @ 0..) => format!("{percent} %"),
        Some(_) => "nothing: empty before touchdown".to_owned(),
        None => unknown(),
    });
    let wind = energy
        .and_then(|energy| energy.worst_wind_from)
        .map(|from| ("Worst wind", format!("from {}\u{b0}", from.get())));
    let mut all = vec![
        ("Steps", summary.steps.to_string()),
        (
            "Length, at most",
            summary.length.map_or_else(unknown, |length| format!("{} m", written(i64::from(length), 2))),
        ),
        ("Duration, at most", summary.duration.map_or_else(unknown, duration)),
        ("Charge needed", energy.map_or_else(unknown, |energy| wh(energy.needed))),
        ("Charge usable", energy.map_or_else(unknown, |energy| wh(energy.usable))),
        ("Left at touchdown", left.unwrap_or_else(unknown)),
    ];
    all.extend(wind);
    all
}

fn findings(brief: &Brief<'_>) -> Markup {
    let list = |severity: Severity, title: &str, class: &str| {
        let findings: Vec<&Finding> = brief.report.broken(severity).collect();
        html! {
            @if !findings.is_empty() {
                h3 class=(class) { (title) " (" (findings.len()) ")" }
                ul class=(class) { @for finding in findings { (self::finding(brief, finding)) } }
            }
        }
    };
    let none = |severity| brief.report.broken(severity).next().is_none();
    html! {
        (list(Severity::Stop, "Stops", "stops"))
        @if none(Severity::Stop) { p { "Nothing stops this route." } }
        (list(Severity::Caution, "Cautions", "cautions"))
        @if none(Severity::Caution) { p { "No cautions." } }
    }
}

fn finding(brief: &Brief<'_>, finding: &Finding) -> Markup {
    let letter = brief.closest.iter().find(|closest| std::ptr::eq(closest.finding, finding));
    let letter = letter.and_then(|closest| closest.lettered.as_ref()).map(|(letter, _)| letter);
    html! {
        li {
            strong { (rule(finding.rule)) @if finding.step > 0 { ", step " (finding.step) } } ": "
            (shown(&brief.report.say(finding)))
            @if let Some(place) = finding.place {
                span .place { " At " (steps::latitude_longitude(place.position)) ", " (written(i64::from(place.height), 2)) " m above launch"
                    @if let Some(letter) = letter { ": " b { (letter) } " on the plan" } "." }
            }
        }
    }
}

fn height_notes(brief: &Brief<'_>) -> Markup {
    html! {
        p .quiet {
            "Heights are above launch. Between two steps the height changes evenly with the distance. "
            "A zone is shown where the path crosses it as seen from above. "
            @if brief.terrain.is_none() { "There are no ground data: the ground isn\u{2019}t shown." }
            @else { "The ground is as the limits\u{2019} ground data have it: no trees, no roofs." }
        }
    }
}

fn charge_notes(brief: &Brief<'_>) -> Markup {
    let worst = brief.report.turn_back();
    html! {
        p .quiet {
            @if brief.report.verdict.energy.is_none() { "Nothing can be said of the charge: see the findings. " }
            "All figures are upper bounds, each in the wind that takes most. The dashed line says what the whole flight takes that turns "
            "back at the end of a step; between two ends it may be more. "
            @if let Some((finding, measure)) = worst {
                "A turn-back takes most on step " (finding.step) ": " (figure(measure.required, measure.unit)) "."
            }
        }
    }
}
