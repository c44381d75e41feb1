//! `reserve`: what the route takes of the charge, to touchdown and in the worst wind, leaves the reserve.

use super::{
    Scene,
    energy::{charge, power::table_end, sectors::Sectors, watt_hours_ceil},
};
use crate::{
    arithmetic::{clamp_i32, clamp_i64},
    verdict::{Cause, Energy, Finding, Findings, Measure, Rule, Unit},
};

pub(crate) fn judge(scene: &Scene<'_>, findings: &mut Findings) {
    let step = scene.journey.steps;
    let beyond = table_end(&scene.figures().power).saturating_sub(scene.journey.airspeed);
    if beyond < 0 {
        let measure = Measure { clearance: beyond, required: 0, unit: Unit::MetresPerSecond };
        findings.add(Finding {
            cause: Cause::PowerTableEnds,
            ..Finding::measured(Rule::Reserve, scene.journey.airspeed_step, measure)
        });
    } else if let Some(energy) = needed(scene) {
        let figure = |value: u32| clamp_i32(i64::from(value));
        let measure =
            Measure { clearance: figure(energy.usable), required: figure(energy.needed), unit: Unit::WattHours };
        findings.add(Finding::measured(Rule::Reserve, step, measure));
    } else if scene.journey.time.is_some() {
        // Within a count of the table's end two roundings can differ: what can't be decided is no Go.
        findings.add(Finding::of(Rule::Reserve, scene.journey.airspeed_step, Cause::PowerTableEnds));
    }
}

/// The route's need and the pack's charge; `None` where the need can't be told.
pub(crate) fn needed(scene: &Scene<'_>) -> Option<Energy> {
    let (figures, used) = (scene.figures(), scene.journey.used.as_ref()?);
    let (worst, needed) = used
        .iter()
        .enumerate()
        .fold((0, 0), |most, (sector, used)| if *used > most.1 { (sector, *used) } else { most });
    let figure = |value: u64| clamp_i32(clamp_i64(value)).unsigned_abs();
    let windy = figures.wind.up_to.get() > 0;
    Some(Energy {
        needed: watt_hours_ceil(needed).unsigned_abs(),
        usable: figure(charge::usable_floor(figures, scene.readings)),
        held: figure(charge::healthy_floor(&figures.battery)),
        worst_wind_from: windy.then(|| Sectors::new(&figures.wind).from(worst)),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        check::check,
        fingerprint::Fingerprint,
        geometry::position::Position,
        model::{
            limits::{Figures, PowerPoint, Wind, WindFrom},
            route::{Launch, Step},
            store::LimitsStore,
            zone::{Shape, Zone, ZoneKind},
        },
        rules::{Readings, energy::samples::figures},
        units::{Airspeed, Capacity, Direction, Duration, Height, Power, Speed, SpeedLimit, Spread, WindSpeed},
        verdict::{Outcome, Severity, Subject, Verdict},
    };

    fn position(latitude: i32, longitude: i32) -> Position {
        Position::new(latitude, longitude).unwrap()
    }

    /// Up, straight to a place, and down there.
    fn flown(figures: Figures, (north, east): (i32, i32), speed: i32) -> Verdict {
        let mut store = std::boxed::Box::new(LimitsStore::new());
        store.begin(figures);
        let around = "around".try_into().unwrap();
        store.zone(Zone { name: around, kind: ZoneKind::KeepIn, heights: None, shape: Shape::Polygon }).unwrap();
        store.ring().unwrap();
        for (latitude, longitude) in
            [(-200_000, -200_000), (-200_000, 200_000), (200_000, 200_000), (200_000, -200_000)]
        {
            store.vertex(position(latitude, longitude)).unwrap();
        }
        let height = Height::new(2000).unwrap();
        let (speed, hold) = (Speed::new(speed).unwrap(), Duration::new(0).unwrap());
        let steps = [Step::Climb { height }, Step::Fly { to: position(north, east), height, speed, hold }, Step::Land];
        let launch = Launch { name: "invented".try_into().unwrap(), position: position(0, 0), elevation: None };
        let subject = Subject { route: Fingerprint::NONE, limits: Fingerprint::NONE };
        check(store.seal().unwrap(), launch, Readings::default(), steps, subject)
    }

    /// Wind up to 9.97 m/s from 139 to 161 degrees, and a power table that ends at an airspeed.
    fn windy(table_end: u16) -> Figures {
        let mut figures = figures();
        let (direction, spread) = (Direction::new(150).unwrap(), Spread::new(11).unwrap());
        figures.wind = Wind { up_to: WindSpeed::new(997).unwrap(), from: Some(WindFrom { direction, spread }) };
        figures.battery.capacity = Capacity::new(20_000).unwrap();
        figures.homeward.speed = SpeedLimit::new(200).unwrap();
        let point = |(airspeed, watts)| PowerPoint {
            airspeed: Airspeed::new(airspeed).unwrap(),
            power: Power::new(watts).unwrap(),
        };
        figures.power.points = [(0, 190), (500, 175), (table_end, 300)].into_iter().map(point).collect();
        figures
    }

    /// At 6.47 m/s, 69.31 degrees from north: 69.69 degrees from the edge of where the wind may come from. By the wind triangle that
    /// is 13.63997 m/s, and 0.00002 m/s more with what 2 mm turn 517 m. So near to 13.64 m/s two roundings differ: for all winds as
    /// one it is 1,364 counts, for the last sector of them 1,365. That the former is in the power table is no Go yet.
    #[test]
    fn within_a_count_of_the_end_of_the_power_table_there_is_no_go() {
        let found = |table_end| {
            let verdict = flown(windy(table_end), (16_520, 43_457), 647);
            let stops = verdict.findings.broken().filter(|(severity, _)| *severity == Severity::Stop);
            let stops: std::vec::Vec<_> =
                stops.map(|(_, finding)| (finding.rule, finding.step, finding.cause, finding.measure)).collect();
            (verdict.outcome(), verdict.energy.is_some(), stops)
        };
        let stop = |measure| std::vec![(Rule::Reserve, 2, Cause::PowerTableEnds, measure)];
        let short = Measure { clearance: -1, required: 0, unit: Unit::MetresPerSecond };
        assert_eq!(found(1363), (Outcome::NoGo, false, stop(Some(short))));
        assert_eq!(found(1364), (Outcome::NoGo, false, stop(None)));
        assert_eq!(found(1365), (Outcome::Go, true, std::vec![]));
    }
}
