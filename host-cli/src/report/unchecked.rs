//! What a verdict says nothing about: rules that this version doesn't have, and limits that weren't given.

use pinfold_core::model::zone::ZoneKind;

use super::{Report, words::listed};

impl Report<'_> {
    /// What wasn't looked at, and the caution that ends every report.
    pub(crate) fn say_unchecked(&self) -> String {
        let (figures, limits) = (self.limits.figures(), self.limits);
        let readings = self.readings;
        let unread = readings.pack.is_none() && readings.aloft.is_none();
        let unrested = readings.pack.is_some_and(|pack| pack.rested.is_none());
        let people = limits.zones().any(|(_, zone)| zone.kind == ZoneKind::People);
        let where_it_stands = match figures.launch {
            Some(_) => "where the aircraft really stands (give it with --here)",
            None => "where the aircraft really stands (no [launch] in the limits)",
        };
        let left_out = [
            ("wind (the limits allow for still air only)", figures.wind.up_to.get() == 0),
            ("what the pack really holds (give its resting voltage with --pack-volts)", unread),
            ("whether the pack has rested long enough (give its time with --pack-rested-s)", unrested),
            (where_it_stands, readings.here.is_none() && readings.aloft.is_none()),
            ("people (no zone of them in the site)", !people),
            ("the ground (no ground data)", limits.ground().is_none()),
            ("what warm and cold air do to heights (no [air])", figures.air.is_none()),
            ("the radio's range (no [link])", figures.link.is_none()),
            ("how long legs are expected to be (no [route])", figures.route.is_none()),
        ];
        let left_out: Vec<&str> = left_out.into_iter().filter(|(_, open)| *open).map(|(what, _)| what).collect();
        let left_out = match &left_out[..] {
            [] => String::new(),
            some => format!("Not looked at: {}. ", listed(some, "and")),
        };
        format!("{left_out}A Go is no permission to fly: local rules and licensed practice decide.")
    }
}
