//! The route on the plan: lines, numbers of steps, the closest places.

use maud::{Markup, html};

use super::Map;
use crate::brief::{
    Brief,
    closest::Closest,
    drawing::{label, short, spot, through},
    labels::{Area, Around, Labels, POSITIONS},
    plane::Point,
    track::{Leg, Motion},
};

/// Most numbers on a plan.
const NUMBERS: usize = 36;

/// Routes of more legs are drawn with a finer line, or it would fill all that they cover, and their ways home without edges.
const DENSE: usize = 100;

impl Brief<'_> {
    pub(super) fn has_return(&self) -> bool {
        self.legs.iter().any(|leg| leg.motion == Motion::Home && leg.length() > 0.0)
    }

    pub(super) fn has_stop_place(&self) -> bool {
        self.closest.iter().any(|closest| closest.is_broken() && closest.lettered.is_some())
    }
}

/// What may be flown by turning back, and the route over it.
pub(super) fn lines(brief: &Brief<'_>, map: &Map) -> Markup {
    let drawn = |motion: Motion| {
        let legs = brief.legs.iter().filter(move |leg| leg.motion == motion && leg.length() > 0.0);
        legs.map(|leg| through([map.at(leg.from.point), map.at(leg.to.point)])).collect::<String>()
    };
    let (flown, home) = (drawn(Motion::Fly), drawn(Motion::Home));
    let dense = brief.legs.len() > DENSE;
    html! {
        path class=(if dense { "envelope many" } else { "envelope" }) d=(envelope(brief, map)) {}
        @if !dense { path class="under" d=(format!("{flown}{home}")) {} }
        path class=(if dense { "route home fine" } else { "route home" }) d=(home) {}
        path class=(if dense { "route fine" } else { "route" }) d=(flown) {}
        @for leg in numbered(brief) { (head(leg, map)) }
        @for (class, at) in places(brief, map) { (spot(class, at)) }
        (launch(map))
    }
}

/// The triangles of launch and each leg, all turning the same way: what they share is filled once.
fn envelope(brief: &Brief<'_>, map: &Map) -> String {
    let triangle = |leg: &Leg| {
        let (a, b) = (leg.from.point, leg.to.point);
        let (a, b) = if a.east * b.north - a.north * b.east < 0.0 { (b, a) } else { (a, b) };
        format!("{}Z", through([Point::LAUNCH, a, b].map(|point| map.at(point))))
    };
    let legs = brief.legs.iter().filter(|leg| leg.motion == Motion::Fly && leg.length() > 0.0);
    legs.map(triangle).collect()
}

/// The legs that get a number and an arrowhead: all of a short route, every so many of a long one.
fn numbered<'a>(brief: &'a Brief<'_>) -> impl Iterator<Item = &'a Leg> {
    let flown = || brief.legs.iter().filter(|leg| leg.motion != Motion::Upright && leg.length() > 0.0);
    let every = flown().count().div_ceil(NUMBERS).max(1);
    flown().step_by(every)
}

/// An arrowhead at three fifths of a leg, where the leg is long enough.
fn head(leg: &Leg, map: &Map) -> Markup {
    let (from, to) = (map.at(leg.from.point), map.at(leg.to.point));
    let (x, y) = map.at(leg.from.point.toward(leg.to.point, 0.6));
    let turn = (to.1 - from.1).atan2(to.0 - from.0).to_degrees();
    let long = (to.0 - from.0).hypot(to.1 - from.1) > 24.0;
    html! {
        @if long {
            path class="head" transform=(format!("translate({} {}) rotate({turn:.1})", short(x), short(y))) d="M7 0L-5 5L-2.5 0L-5 -5Z" {}
        }
    }
}

/// The launch point, over whatever else is there.
fn launch(map: &Map) -> Markup {
    let (x, y) = map.at(Point::LAUNCH);
    html! {
        circle class="spot" cx=(short(x)) cy=(short(y)) r="7" {}
        circle class="solid" cx=(short(x)) cy=(short(y)) r="3" {}
    }
}

/// Where the closest places are: each once, as broken where any limit is broken there.
fn places(brief: &Brief<'_>, map: &Map) -> Vec<(&'static str, (f64, f64))> {
    let at = |class: &'static str, broken: bool| {
        let those = brief.closest.iter().filter(move |closest| closest.is_broken() == broken);
        those
            .filter_map(|closest| closest.lettered.as_ref())
            .map(move |(_, place)| (class, map.at(brief.plane.point(place.position))))
    };
    at("spot", false).chain(at("stop", true)).filter(|(_, at)| map.holds(*at)).collect()
}

/// Launch, letters of the closest places, numbers of steps.
pub(super) fn words(brief: &Brief<'_>, map: &Map, labels: &mut Labels) -> Markup {
    let size = map.drawing.sheet.size();
    let launch = map.at(Point::LAUNCH);
    labels.take(Area::about(launch, 8.0));
    places(brief, map).into_iter().for_each(|(_, at)| labels.take(Area::about(at, 4.0)));
    let launch = label(labels, "launch", ("strong", size * 1.08), &Around::any(launch, &[9.0, 20.0, 40.0]));
    let letters: Vec<Markup> = lettered(brief).filter_map(|closest| letter(brief, closest, map, labels)).collect();
    let numbers: Vec<Markup> = numbered(brief).filter_map(|leg| number(leg, map, labels)).collect();
    html! {
        @if let Some(launch) = launch { (launch) }
        @for words in letters.iter().chain(&numbers) { (words) }
    }
}

/// One closest place for each letter, those where a limit is broken first.
fn lettered<'a>(brief: &'a Brief<'_>) -> impl Iterator<Item = &'a Closest<'a>> {
    let mut sorted: Vec<&Closest<'_>> = brief.closest.iter().filter(|closest| closest.lettered.is_some()).collect();
    sorted.sort_by_key(|closest| !closest.is_broken());
    let mut seen: Vec<&str> = Vec::new();
    sorted.retain(|closest| {
        let letter = closest.lettered.as_ref().map_or("", |(letter, _)| letter);
        let new = !seen.contains(&letter);
        seen.push(letter);
        new
    });
    sorted.into_iter()
}

fn letter(brief: &Brief<'_>, closest: &Closest<'_>, map: &Map, labels: &mut Labels) -> Option<Markup> {
    let (letter, place) = closest.lettered.as_ref()?;
    let at = map.at(brief.plane.point(place.position));
    let class = if closest.is_broken() { "strong wrong" } else { "strong" };
    map.holds(at).then_some(())?;
    label(labels, letter, (class, map.drawing.sheet.size() * 1.08), &Around::any(at, &[5.0, 14.0, 26.0, 40.0]))
}

/// A number beside a leg: rather across its way than along it.
fn number(leg: &Leg, map: &Map, labels: &mut Labels) -> Option<Markup> {
    let (from, to) = (map.at(leg.from.point), map.at(leg.to.point));
    let (right, down) = (to.0 - from.0, to.1 - from.1);
    let along = |position: &(f64, f64)| (position.0 * right + position.1 * down).abs();
    let mut positions = POSITIONS;
    positions.sort_by(|a, b| along(a).total_cmp(&along(b)));
    let point = map.at(leg.from.point.toward(leg.to.point, 0.45));
    let around = Around { point, positions: &positions, gaps: &[3.0, 6.0] };
    label(labels, &leg.step.to_string(), ("", map.drawing.sheet.size()), &around)
}

/// Most legs whose lines words keep clear of: on longer routes there is no room beside them anyway.
const CLEAR: usize = 1500;

/// Words keep clear of the route and of the edges of zones.
pub(super) fn avoid(brief: &Brief<'_>, map: &Map, labels: &mut Labels) {
    for (from, to) in brief.zones.iter().flat_map(|zone| zone.edges()) {
        labels.avoid(map.at(from), map.at(to));
    }
    let flown = brief.legs.iter().filter(|leg| leg.length() > 0.0);
    flown.take(CLEAR).for_each(|leg| labels.avoid(map.at(leg.from.point), map.at(leg.to.point)));
}
