//! Which value follows which in a body, as the docs of core's `wire` say, and what their differences come to.

use pinfold_core::{
    model::{
        ground::GroundPlan,
        limits::Figures,
        route::Step,
        zone::{Shape, Zone},
    },
    units::{Height, Latitude, Longitude, Speed},
    verdict::Finding,
    wire::{
        limits::{PackedCell, PackedVertex},
        route::{Head as RouteHead, PackedStep, RouteEvent, RouteReader},
        verdict::Head as VerdictHead,
    },
};
use postcard::Error;

use super::{
    quantity::figure,
    trace::{Raw, Trace},
};
use crate::report::words;

/// The fields of a route; `bytes` are the whole file.
pub(super) fn route(trace: &mut Trace<'_>, bytes: &[u8]) -> Result<(), Error> {
    let head: RouteHead = trace.value("route", "")?;
    let mut steps = steps(bytes);
    for number in 1..=head.steps {
        let first = trace.fields.len();
        let _: PackedStep = trace.value(&format!("step {number}"), "")?;
        if let Some(step) = steps.next() {
            tell_step(trace, first, &step);
        }
    }
    Ok(())
}

/// The steps as core's reader gives them, as far as it reads.
fn steps(bytes: &[u8]) -> impl Iterator<Item = Step> {
    let mut reader = RouteReader::default();
    let events = bytes.iter().map_while(move |byte| reader.take(*byte).ok());
    events.filter_map(|event| match event {
        Some(RouteEvent::Step(step)) => Some(step),
        Some(RouteEvent::Launch(_) | RouteEvent::End(_)) | None => None,
    })
}

/// Says what a step's differences come to.
fn tell_step(trace: &mut Trace<'_>, first: usize, step: &Step) {
    let mut tell = |name: &str, counts: i32, unit: &str| tell_sum(trace, first, name, i64::from(counts), unit);
    match *step {
        Step::Climb { height } => tell("height", height.get(), Height::UNIT),
        Step::Fly { to, height, speed, .. } => {
            tell("latitude", to.latitude.get(), Latitude::UNIT);
            tell("longitude", to.longitude.get(), Longitude::UNIT);
            tell("height", height.get(), Height::UNIT);
            tell("speed", speed.get(), Speed::UNIT);
        }
        Step::Hold { .. } | Step::Land | Step::Return => {}
    }
}

/// Says what a difference comes to, and the difference.
fn tell_sum(trace: &mut Trace<'_>, first: usize, name: &str, counts: i64, unit: &str) {
    trace.tell(first, name, |field| match field.raw {
        Raw::Signed(difference) => format!("{} ({difference:+})", figure(counts, unit)),
        Raw::Unsigned(difference) => format!("{} ({difference:+})", figure(counts, unit)),
        Raw::Bytes | Raw::Text(_) | Raw::Given(_) | Raw::Items(_) | Raw::Variant(..) | Raw::Fingerprint(_) => {
            figure(counts, unit)
        }
    });
}

/// The fields of limits.
pub(super) fn limits(trace: &mut Trace<'_>) -> Result<(), Error> {
    let _: Figures = trace.value("figures", "")?;
    let zones: u8 = trace.value("zones", "zones")?;
    let mut before = (0, 0);
    for zone in 1..=zones {
        zone_and_rings(trace, zone, &mut before)?;
    }
    let plan: Option<GroundPlan> = trace.value("ground", "ground")?;
    plan.map_or(Ok(()), |plan| cells(trace, &plan))
}

fn zone_and_rings(trace: &mut Trace<'_>, number: u8, before: &mut (i64, i64)) -> Result<(), Error> {
    let of = format!("zone {number}");
    let zone: Zone = trace.value(&of, "")?;
    if zone.shape != Shape::Polygon {
        return Ok(());
    }
    let rings: u8 = trace.value(&of, "rings")?;
    for ring in 1..=rings {
        let of = format!("zone {number}, ring {ring}");
        let vertices: u16 = trace.value(&of, "vertices")?;
        for vertex in 1..=vertices {
            one_vertex(trace, &of, &format!("vertex {vertex}"), before)?;
        }
    }
    Ok(())
}

fn one_vertex(trace: &mut Trace<'_>, of: &str, name: &str, before: &mut (i64, i64)) -> Result<(), Error> {
    let first = trace.fields.len();
    let vertex: PackedVertex = trace.value(of, name)?;
    *before = (before.0.saturating_add(vertex.latitude), before.1.saturating_add(vertex.longitude));
    tell_sum(trace, first, &format!("{name}.latitude"), before.0, Latitude::UNIT);
    tell_sum(trace, first, &format!("{name}.longitude"), before.1, Longitude::UNIT);
    Ok(())
}

/// The cells of ground data, row by row from the south-west.
fn cells(trace: &mut Trace<'_>, plan: &GroundPlan) -> Result<(), Error> {
    let (mut before, columns) = (0_i64, plan.columns.get());
    let height = |counts: i64| u16::try_from(counts).map(|counts| i64::from(plan.height(counts)));
    for index in 0..plan.cells() {
        let (row, column) = (index / usize::from(columns) + 1, index % usize::from(columns) + 1);
        let (first, of) = (trace.fields.len(), format!("ground, row {row}"));
        let name = format!("cell {column}");
        let PackedCell(Some((difference, span))) = trace.value(&of, &name)? else { continue };
        before = before.saturating_add(i64::from(difference));
        let highest = before.saturating_add(i64::from(span));
        for (end, counts) in [("lowest", before), ("highest", highest)] {
            if let Ok(height) = height(counts) {
                tell_sum(trace, first, &format!("{name}.{end}"), height, Height::UNIT);
            }
        }
    }
    Ok(())
}

/// The fields of a verdict.
pub(super) fn verdict(trace: &mut Trace<'_>) -> Result<(), Error> {
    let head: VerdictHead = trace.value("verdict", "")?;
    for number in 1..=head.findings {
        let first = trace.fields.len();
        let finding: Finding = trace.value(&format!("finding {number}"), "")?;
        if let Some(measure) = finding.measure {
            for (name, counts) in [("measure.clearance", measure.clearance), ("measure.required", measure.required)] {
                trace.tell(first, name, |_| words::figure(counts, measure.unit));
            }
        }
    }
    Ok(())
}
