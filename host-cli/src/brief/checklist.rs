//! What no check can do: cautions, and boxes for a person at the field.

use maud::{Markup, html};
use pinfold_core::verdict::{Outcome, Unit};

use super::{Brief, steps::latitude_longitude};
use crate::{report::words::figure, text::decimal::written};

/// What has to be known whatever the verdict is.
pub(super) fn cautions(brief: &Brief<'_>) -> Markup {
    let data =
        if brief.terrain.is_some() { "ground data know no trees and no roofs" } else { "there are no ground data" };
    html! {
        ul {
            li { "A Go is no permission to fly: local rules and licensed practice decide." }
            li { "It is no proof that a flight is safe: it says that the figures given keep each other. Whether they are right is up to you." }
            li { "Obstacles are known where a zone is drawn round them, and nowhere else; " (data) "." }
            li { "Other aircraft, weather and what people do aren\u{2019}t looked at. Keep the aircraft in sight." }
            li { "Keep the propellers off on the bench." }
            li { "Never take power, or the permission to stay in the air, from an aircraft that is flying." }
        }
    }
}

/// Boxes to tick by hand.
pub(super) fn boxes(brief: &Brief<'_>) -> Markup {
    html! {
        @if brief.outcome == Outcome::NoGo {
            p .stop { strong { "This route is a No-go. " } "Don\u{2019}t fly it: change what the findings name, check again, and print that brief." }
        }
        ul .boxes { @for words in items(brief) { li { span .box aria-hidden="true" {} (words) } } }
        dl .signed {
            @for what in ["Name", "Date and time", "Wind, and who measured it", "Pack, and its voltage at rest"] { div { dt { (what) } dd {} } }
        }
    }
}

fn items(brief: &Brief<'_>) -> Vec<String> {
    let subject = brief.report.verdict.subject;
    let [mut items, aircraft] = [site(brief), aircraft(brief)];
    items.extend(aircraft);
    items.push(format!(
        "Fingerprints on the board read aloud and the same as here: route {}, limits {}.",
        subject.route, subject.limits
    ));
    items.push(
        "Whoever flies knows how to take over by hand and to call the aircraft back, and has tried both.".to_owned(),
    );
    items.push("Propellers on last of all; nobody within reach of them.".to_owned());
    items
}

/// What has to be looked at where the aircraft flies.
fn site(brief: &Brief<'_>) -> Vec<String> {
    let figures = brief.report.limits.figures();
    let within =
        figures.launch.map_or_else(String::new, |spot| format!(", within {}", figure(spot.within.get(), Unit::Metres)));
    let tenths = |temperature: pinfold_core::units::Temperature| written(i64::from(temperature.get()), 1);
    let air = figures.air.map(|air| {
        format!("The air at launch is between {} and {} \u{b0}C.", tenths(air.coldest), tenths(air.warmest))
    });
    let wind = match figures.wind.up_to.get() {
        0 => "There is no wind at all: these limits allow for none.".to_owned(),
        up_to => {
            format!("The strongest gust, here and at height, is {} or less.", figure(up_to, Unit::MetresPerSecond))
        }
    };
    let fixed = [
        "Allowed here and now: rules, air space, the owner of the ground, whoever else has a say.".to_owned(),
        "Walked or looked over: no tree, mast, wire, crane or building that isn\u{2019}t on the plan.".to_owned(),
        "Nobody below the route or within the shaded ways home; somebody watches that it stays so.".to_owned(),
        format!("The aircraft stands at {}{within}.", latitude_longitude(brief.report.launch.position)),
        wind,
    ];
    fixed.into_iter().chain(air).collect()
}

/// What has to be looked at on the aircraft.
fn aircraft(brief: &Brief<'_>) -> Vec<String> {
    let figures = brief.report.limits.figures();
    let (battery, home) = (&figures.battery, &figures.homeward);
    let disarm = home.disarm.map_or_else(
        || "it has no automatic disarm".to_owned(),
        |delay| format!("it disarms {} after touchdown", figure(delay.get(), Unit::Seconds)),
    );
    vec![
        format!(
            "The pack is the planned one ({} cells, {} mAh), undamaged, full and rested; its voltage at rest was checked (--pack-volts).",
            battery.cells.get(),
            battery.capacity.get()
        ),
        format!(
            "The automatic return is set as in the limits: {} above launch, {}, hold {}; {disarm}.",
            figure(home.height.get(), Unit::MetresVertical),
            figure(home.speed.get(), Unit::MetresPerSecond),
            figure(home.hold.get(), Unit::Seconds)
        ),
        "Frame, motors, propellers and what is carried are sound and fixed; radio and positioning work.".to_owned(),
    ]
}
