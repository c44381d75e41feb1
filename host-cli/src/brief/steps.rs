//! The tables of steps and of closest places.

use maud::{Markup, html};
use pinfold_core::{geometry::position::Position, model::route::Step, verdict::Unit};

use super::{Brief, closest::Closest, shown, track::Leg};
use crate::{
    report::{
        people::is_headroom,
        words::{figure, rule},
    },
    text::decimal::written,
};

/// A place as people write it.
pub(super) fn latitude_longitude(position: Position) -> String {
    let [latitude, longitude] = degrees(position);
    format!("{latitude}, {longitude}")
}

fn degrees(position: Position) -> [String; 2] {
    [position.latitude.get(), position.longitude.get()].map(|counts| format!("{:.7}", f64::from(counts) / 1e7))
}

/// Counts of 0.01 with both digits, so that a column stands in line.
fn hundredths(counts: i32) -> String {
    format!("{:.2}", f64::from(counts) / 100.0)
}

/// Every step.
pub(super) fn table(brief: &Brief<'_>) -> Markup {
    let launch = brief.report.launch;
    html! {
        table .steps {
            caption { "Launch: " (latitude_longitude(launch.position))
                @if let Some(elevation) = launch.elevation { ", " (written(i64::from(elevation.get()), 2)) " m above the sea" } "." }
            thead { tr {
                th scope="col" .number { "No." }
                th scope="col" { "What, and where to: latitude, longitude" }
                th scope="col" .number { "Height, m" }
                th scope="col" .number { "Speed, m/s" }
                th scope="col" .number { "Leg, m" }
                th scope="col" .number { "Used, Wh" }
                th scope="col" .number { "Turned back, Wh" }
            } }
            tbody { @for (index, step) in brief.steps.iter().enumerate() { (row(brief, index + 1, step)) } }
        }
    }
}

fn row(brief: &Brief<'_>, number: usize, step: &Step) -> Markup {
    let charge = brief.charges.get(number);
    let watt_hours = |value: Option<f64>| value.map_or_else(String::new, |value| format!("{value:.3}"));
    html! {
        tr {
            th scope="row" .number { (number) }
            td { (what(brief, step)) @if let Step::Fly { to, .. } = step { " " (place(*to)) } }
            td .number { (height(brief, number, step)) }
            td .number { (speed(brief, step)) }
            td .number { (length(brief, number)) }
            td .number { (watt_hours(charge.map(|charge| charge.used))) }
            td .number { (watt_hours(charge.and_then(|charge| charge.turned_back))) }
        }
    }
}

/// A place that breaks between its two figures alone.
fn place(position: Position) -> Markup {
    let [latitude, longitude] = degrees(position);
    html! { span .place { span { (latitude) "," } " " span { (longitude) } } }
}

fn what(brief: &Brief<'_>, step: &Step) -> String {
    let seconds = |time: i32| format!("{} s", written(i64::from(time), 2));
    match step {
        Step::Climb { .. } => "climb".to_owned(),
        Step::Fly { hold, .. } if hold.get() > 0 => format!("fly, hold {}", seconds(hold.get())),
        Step::Fly { .. } => "fly".to_owned(),
        Step::Hold { time } => format!("hold {}", seconds(time.get())),
        Step::Land => "land".to_owned(),
        Step::Return => format!("return, hold {}", seconds(brief.report.limits.figures().homeward.hold.get())),
    }
}

fn height(brief: &Brief<'_>, number: usize, step: &Step) -> String {
    match step {
        Step::Climb { height } | Step::Fly { height, .. } => hundredths(height.get()),
        Step::Hold { .. } | Step::Land => String::new(),
        Step::Return => {
            let top = legs(brief, number).map(|leg| leg.to.height).fold(0.0, f64::max);
            format!("{top:.2}")
        }
    }
}

fn speed(brief: &Brief<'_>, step: &Step) -> String {
    match step {
        Step::Fly { speed, .. } => hundredths(speed.get()),
        Step::Return => hundredths(brief.report.limits.figures().homeward.speed.get()),
        Step::Climb { .. } | Step::Hold { .. } | Step::Land => String::new(),
    }
}

/// How long a step's way over ground is, as drawn.
fn length(brief: &Brief<'_>, number: usize) -> String {
    let length: f64 = legs(brief, number).map(Leg::length).sum();
    if length > 0.0 { format!("{length:.1}") } else { String::new() }
}

/// The legs of a step: they lie in order.
fn legs<'a>(brief: &'a Brief<'_>, step: usize) -> impl Iterator<Item = &'a Leg> {
    let begin = brief.legs.partition_point(|leg| leg.step < step);
    brief.legs.iter().skip(begin).take_while(move |leg| leg.step == step)
}

/// The closest places: what is tightest by every rule and zone.
pub(super) fn closest(brief: &Brief<'_>) -> Markup {
    let vertical = brief.closest.iter().any(|closest| closest.measure.unit == Unit::MetresVertical);
    html! {
        @if brief.closest.is_empty() { p { "None: there is nothing to measure." } }
        @else {
            table .closest {
                @if vertical { caption { "Letters are those of the plan; v: vertical." } } @else { caption { "Letters are those of the plan." } }
                thead { tr {
                    th scope="col" { "On plan" }
                    th scope="col" { "Rule" }
                    th scope="col" .number { "Step" }
                    th scope="col" .number { "Has" }
                    th scope="col" .number { "Needs" }
                    th scope="col" .number { "To spare" }
                    th scope="col" { "Zone" }
                } }
                tbody { @for closest in &brief.closest { (closest_row(brief, closest)) } }
            }
        }
    }
}

fn closest_row(brief: &Brief<'_>, closest: &Closest<'_>) -> Markup {
    let Closest { finding, measure, lettered } = closest;
    let headroom = is_headroom(finding);
    let of = |counts: i32| if headroom { "\u{2013}".to_owned() } else { figure(counts, measure.unit) };
    let vertical = if measure.unit == Unit::MetresVertical { " v" } else { "" };
    html! {
        tr .broken[closest.is_broken()] {
            td .letter { @if let Some((letter, _)) = lettered { (letter) } }
            th scope="row" { (rule(finding.rule)) }
            td .number { @if finding.step > 0 { (finding.step) } }
            td .number { (of(measure.clearance)) }
            td .number { (of(measure.required)) }
            td .number { (figure(measure.spare(), measure.unit)) (vertical) }
            td { (shown(brief.report.zone(finding).unwrap_or(""))) }
        }
    }
}
