//! What a verdict says nothing about: rules that this version doesn't have, and limits that weren't given.

use pinfold_core::model::zone::ZoneKind;

use super::{Report, words::listed};

impl Report<'_> {
    /// What wasn't looked at, and the caution that ends every report.
    pub(super) fn say_unchecked(&self) -> String {
        let (figures, limits) = (self.limits.figures(), self.limits);
        let people = limits.zones().any(|(_, zone)| zone.kind == ZoneKind::People);
        let where_it_stands = match figures.launch {
            Some(_) => "where the aircraft really stands (give it with --here)",
            None => "where the aircraft really stands (no [launch] in the limits)",
        };
        let left_out = [
            ("wind other than still air", true),
            ("whether the charge lasts for a return from the middle of the route", true),
            ("the pack's live voltage", true),
            (where_it_stands, self.here.is_none()),
            ("people (no zone of them in the site)", !people),
            ("the ground (no ground data)", limits.ground().is_none()),
            ("what warm and cold air do to heights (no [air])", figures.air.is_none()),
            ("the radio's range (no [link])", figures.link.is_none()),
            ("how long legs are expected to be (no [route])", figures.route.is_none()),
        ];
        let left_out: Vec<&str> = left_out.into_iter().filter(|(_, open)| *open).map(|(what, _)| what).collect();
        format!(
            "Not looked at: {}. A Go is no permission to fly: local rules and licensed practice decide.",
            listed(&left_out, "and")
        )
    }
}
