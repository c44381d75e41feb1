//! What is wrong with the figures as a whole, shown where one of them is written.

use std::path::Path;

use pinfold_core::{
    model::limits::{Contradiction, Figures, Freshness},
    units::{Duration, Height},
};

use super::{
    KNOWN,
    energy::{CHARGE_TABLE, POWER_TABLE},
};
use crate::{
    problem::Problem,
    read::Limits,
    text::{
        decimal::written,
        table::{Section, parse},
    },
};

/// A problem at a figure of limits that were read before: packed ones have no such place, so it is named.
pub(crate) fn problem_in(limits: &Limits, path: &Path, section: &str, key: &str, say: &str) -> Problem {
    let shown = limits.text.as_ref().and_then(|source| {
        let document = parse(source).ok()?;
        let root = Section::open(source, "", 0..0, document.get_ref(), &KNOWN).ok()?;
        Some(root.problem_in(section, key, say))
    });
    shown.unwrap_or_else(|| Problem::file(path, format!("{say} ({key} in [{section}])")))
}

/// Figures that contradict themselves, shown at one of the two.
pub(super) fn contradiction(root: &Section<'_>, figures: &Figures, why: Contradiction) -> Problem {
    let (section, key, say) = contradicted(figures, why);
    root.problem_in(section, key, say).help(instead(why))
}

/// What to write instead.
const fn instead(why: Contradiction) -> &'static str {
    match why {
        Contradiction::Name => "give it a name",
        Contradiction::ChargeTableShort | Contradiction::ChargeTableOrder => CHARGE_TABLE,
        Contradiction::PowerTableShort | Contradiction::PowerTableStart | Contradiction::PowerTableOrder => POWER_TABLE,
        Contradiction::FloorAboveCeiling
        | Contradiction::ReturnAboveCeiling
        | Contradiction::ReturnNotAboveLaunch
        | Contradiction::ReturnTooFast
        | Contradiction::ColdestAboveWarmest => "these limits contradict themselves: change one of the two",
        Contradiction::PositionWithoutLaunch => {
            "write [launch] and below it within_m = 10.0: how far from launch the aircraft may stand; or leave this out"
        }
        Contradiction::NeverFresh => "write more than 0; or leave it out: then a board asks for no such reading",
    }
}

/// Which figure (section and key) contradicts others, and what is wrong with it.
pub(crate) fn contradicted(figures: &Figures, why: Contradiction) -> (&'static str, &'static str, String) {
    let metres = |height: Height| written(i64::from(height.get()), 2);
    let ceiling = metres(figures.heights.ceiling);
    match why {
        Contradiction::Name => ("name", "", "a name has at least one letter, and no control characters".into()),
        Contradiction::FloorAboveCeiling => {
            ("heights", "floor_m", format!("the floor is above the ceiling of {ceiling} m"))
        }
        Contradiction::ReturnAboveCeiling => {
            ("return", "height_m", format!("the return height is above the ceiling of {ceiling} m"))
        }
        Contradiction::ReturnNotAboveLaunch => ("return", "height_m", "the return height is not above launch".into()),
        Contradiction::ReturnTooFast => {
            let most = written(i64::from(figures.aircraft.speed_max.get()), 2);
            ("return", "speed_m_s", format!("the return is faster than `speed_max_m_s`, {most} m/s"))
        }
        Contradiction::ColdestAboveWarmest => ("air", "coldest_c", "the coldest air is warmer than the warmest".into()),
        Contradiction::ChargeTableShort => {
            ("battery", "charge_table", "the table of charge by voltage has fewer than two points".into())
        }
        Contradiction::ChargeTableOrder => (
            "battery",
            "charge_table",
            "the voltages of the table of charge by voltage don't rise, or its charges fall".into(),
        ),
        Contradiction::PowerTableShort => ("power", "table", "the power table has fewer than two points".into()),
        Contradiction::PowerTableStart => ("power", "table", "the power table doesn't start at 0 m/s".into()),
        Contradiction::PowerTableOrder => ("power", "table", "the airspeeds of the power table don't rise".into()),
        Contradiction::PositionWithoutLaunch => (
            "readings",
            "position_within_s",
            "where the aircraft stands is asked for, and no [launch] says where it must".into(),
        ),
        Contradiction::NeverFresh => {
            ("readings", never_fresh(figures.readings), "no reading can be of no age at all".into())
        }
    }
}

/// Which reading may have no age at all.
fn never_fresh(readings: Freshness) -> &'static str {
    match Some(Duration::NONE) {
        none if readings.position == none => "position_within_s",
        none if readings.pack == none => "pack_within_s",
        _ => "flight_within_s",
    }
}

/// A figure that asks for ground data where there are none.
pub(super) fn no_ground(root: &Section<'_>) -> Problem {
    let asks = |key: &&str| root.value("heights").is_some_and(|heights| heights.get_ref().get(*key).is_some());
    let key = ["ceiling_above_ground_m", "ground_clearance_m"].into_iter().find(asks).unwrap_or("ground");
    let say = format!("`{key}` can't be held to anything: these limits have no ground data");
    root.problem_in("heights", key, say).help("name a file with `ground` in [heights], or leave this out")
}
