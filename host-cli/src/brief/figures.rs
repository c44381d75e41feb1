//! The limits in force: every figure and where it comes from, and the zones.

use maud::{Markup, html};
use pinfold_core::model::zone::{HeightBand, HeightReference, Shape};

use super::{Brief, plan, shown, zones::Mapped};
use crate::{preset::Laid, report::preset::STARTING_POINT, text::decimal::written, write::limits_toml};

/// Both tables.
pub(super) fn tables(brief: &Brief<'_>) -> Markup {
    html! {
        h3 { "Figures" }
        @if let Some(laid) = brief.report.preset { (preset(laid)) }
        (figures(brief))
        h3 { "Zones" }
        (zones(brief))
    }
}

fn preset(laid: &Laid) -> Markup {
    html! {
        p { "Preset " strong { (laid.preset.name) } ": " (laid.preset.about) "; " (STARTING_POINT) "."
            @if let Some(left_out) = &laid.preset.left_out { " Not in it: " (left_out) "." } }
    }
}

fn figures(brief: &Brief<'_>) -> Markup {
    let ground = brief.report.limits.ground().map(|_| "");
    let sections = limits_toml::sections(brief.report.limits.figures(), ground);
    html! {
        table .figures {
            thead { tr { th scope="col" { "Figure" } th scope="col" { "Value" } th scope="col" { "From" } } }
            @for (section, keys) in &sections {
                tbody {
                    tr .group { th scope="rowgroup" colspan="3" { (section) } }
                    @for (key, value) in keys.iter().filter(|(key, _)| *key != "ground") {
                        tr { th scope="row" { (key) } td .value { (value) } td { (source(brief, section, key)) } }
                    }
                }
            }
        }
        p .quiet { "The ending of a name is its unit: m, s, m_s (metres a second), deg, c (degrees Celsius), w (watts), mah, percent." }
    }
}

/// Where a figure comes from.
fn source(brief: &Brief<'_>, section: &str, key: &str) -> String {
    let laid = brief.report.preset.into_iter();
    let met = laid.flat_map(Laid::figures).find(|met| met.figure().section == section && met.figure().key == key);
    match (met.filter(|met| met.tightens()), brief.report.preset) {
        (Some(met), Some(laid)) => {
            let had =
                met.had.map_or_else(String::new, |had| format!("; {}: {}", brief.limits_file, met.figure().shown(had)));
            format!("preset {}: {}{had}", laid.preset.name, met.wanted.source)
        }
        _ => brief.limits_file.clone(),
    }
}

fn zones(brief: &Brief<'_>) -> Markup {
    html! {
        table .zones {
            thead { tr {
                th scope="col" { "No." } th scope="col" { "Zone" } th scope="col" { "Kind" } th scope="col" { "Heights" } th scope="col" { "Shape" }
            } }
            tbody { @for (index, zone) in (0..=u8::MAX).zip(&brief.zones) { (zone_row(brief, index, zone)) } }
        }
    }
}

fn zone_row(brief: &Brief<'_>, index: u8, mapped: &Mapped<'_>) -> Markup {
    let shape = match mapped.zone.shape {
        Shape::Circle { radius, .. } => format!("circle, radius {} m", written(i64::from(radius.get()), 2)),
        Shape::Polygon => {
            let corners: usize = brief.report.limits.rings(index).map(<[_]>::len).sum();
            format!("{corners} corners")
        }
    };
    html! {
        tr {
            td { (mapped.short) }
            th scope="row" { (shown(&mapped.zone.name)) }
            td { (plan::say(mapped.look)) }
            td { (mapped.zone.heights.map_or_else(|| "all".to_owned(), heights)) }
            td { (shape) }
        }
    }
}

fn heights(band: HeightBand) -> String {
    let of = |height: pinfold_core::units::Height| format!("{} m", written(i64::from(height.get()), 2));
    let reference = match band.reference {
        HeightReference::AboveLaunch => "above launch",
        HeightReference::AboveSea => "above the sea",
    };
    match (band.floor, band.ceiling) {
        (Some(floor), Some(ceiling)) => format!("{} to {} {reference}", of(floor), of(ceiling)),
        (Some(floor), None) => format!("from {} {reference}", of(floor)),
        (None, Some(ceiling)) => format!("up to {} {reference}", of(ceiling)),
        (None, None) => "all".to_owned(),
    }
}
