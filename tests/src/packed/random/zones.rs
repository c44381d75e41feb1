//! Random sound limits: star-shaped rings, holes in their corners, circles.

use std::f64::consts::TAU;

use pinfold_core::{
    model::{
        store::{LimitsError, LimitsStore},
        zone::{HeightBand, HeightReference, ZONES, ZoneKind},
    },
    units::{Height, Latitude, Length},
};
use proptest::{collection, option, prelude::*};

use super::{figures, ground::ground, height};
use crate::{measured::wrapped, sample::Site};

/// Radius of the largest rings, in 1e-7 degree.
const RADIUS: f64 = 1e6;
/// Where holes are, in radii of the outer ring.
const HOLES: [(f64, f64); 2] = [(0.25, 0.25), (-0.25, -0.25)];

/// What a zone is for, and over which heights.
type Use = (ZoneKind, Option<HeightBand>);

/// A zone in the making.
#[derive(Clone, Debug)]
enum Plan {
    Circle { center: (i32, i32), radius: i32, use_of: Use },
    Polygon { rings: Vec<Vec<(i32, i32)>>, use_of: Use },
}

/// Vertices about a centre, each in its own sector: no two edges can meet. Every vertex is at 0.8 to 1 of the radius, so that
/// six or more of them leave half of it free of edges.
fn star(center: (i32, i32), radius: f64, wobbles: &[(f64, f64)]) -> Vec<(i32, i32)> {
    let sector = TAU / wobbles.len() as f64;
    let vertex = |(index, (turn, reach)): (usize, &(f64, f64))| {
        let (sine, cosine) = ((index as f64 + 0.4 * turn) * sector).sin_cos();
        let reach = radius * (0.8 + 0.2 * reach);
        (center.0 + (reach * sine) as i32, wrapped(i64::from(center.1) + (reach * cosine) as i64))
    };
    wobbles.iter().enumerate().map(vertex).collect()
}

fn center() -> impl Strategy<Value = (i32, i32)> {
    let (south, north) = (Latitude::MIN + 2_000_000, Latitude::MAX - 2_000_000);
    (south..=north, prop_oneof![Just(1_800_000_000), Just(-1_800_000_000), -1_800_000_000..=1_800_000_000])
}

/// An outer ring of six to ten vertices and up to two holes of three: sixteen vertices at most, 256 in sixteen zones.
fn rings() -> impl Strategy<Value = Vec<Vec<(i32, i32)>>> {
    let wobbles = |count| collection::vec((0.0..1.0, 0.0..1.0), count);
    (center(), wobbles(6..=10), collection::vec(wobbles(3..=3), 0..=2)).prop_map(|(center, outer, holes)| {
        let hole = |((north, east), wobbles): (&(f64, f64), &Vec<_>)| {
            let at = |offset: f64| (offset * RADIUS) as i64;
            let middle = (center.0 + at(*north) as i32, wrapped(i64::from(center.1) + at(*east)));
            star(middle, 0.1 * RADIUS, wobbles)
        };
        let outer = star(center, RADIUS, &outer);
        std::iter::once(outer).chain(HOLES.iter().zip(&holes).map(hole)).collect()
    })
}

fn band() -> impl Strategy<Value = HeightBand> {
    let reference = prop_oneof![Just(HeightReference::AboveLaunch), Just(HeightReference::AboveSea)];
    let heights = (option::of(height()), option::of(height()));
    (reference, heights).prop_filter_map("heights that make sense", |(reference, (floor, ceiling))| {
        let order = |floor: Height, ceiling: Height| floor < ceiling;
        let sound = floor.zip(ceiling).map_or(floor.is_some() || ceiling.is_some(), |(f, c)| order(f, c));
        sound.then_some(HeightBand { reference, floor, ceiling })
    })
}

/// Not keep-in; people are at all heights.
fn use_of() -> impl Strategy<Value = Use> {
    prop_oneof![
        3 => option::of(band()).prop_map(|heights| (ZoneKind::KeepOut, heights)),
        1 => Just((ZoneKind::People, None)),
    ]
}

fn plan() -> impl Strategy<Value = Plan> {
    let circle = (center(), 1..=Length::MAX, use_of());
    prop_oneof![
        1 => circle.prop_map(|(center, radius, use_of)| Plan::Circle { center, radius, use_of }),
        2 => (rings(), use_of()).prop_map(|(rings, use_of)| Plan::Polygon { rings, use_of }),
    ]
}

/// Any sound limits: a keep-in zone, up to fifteen others, and ground data in half of them.
pub fn limits() -> impl Strategy<Value = Box<LimitsStore>> {
    let zones = (rings(), collection::vec(plan(), 0..ZONES));
    (figures(), zones, option::of(ground())).prop_map(|(mut figures, (keep_in, plans), ground)| {
        if ground.is_none() {
            (figures.heights.ceiling_above_ground, figures.heights.ground_clearance) = (None, None);
        }
        let site = Site::new(figures).polygon("within", ZoneKind::KeepIn, None, &keep_in);
        let add = |site: Site, (index, plan): (usize, &Plan)| add(site, &index.to_string(), plan);
        let site = plans.iter().enumerate().try_fold(site.expect("room for one"), add).expect("room for all");
        let site = match ground {
            Some((plan, cells)) => site.ground(plan, &cells),
            None => site,
        };
        site.seal().expect("sound limits")
    })
}

fn add(site: Site, name: &str, plan: &Plan) -> Result<Site, LimitsError> {
    match plan {
        Plan::Circle { center, radius, use_of: (kind, heights) } => {
            site.circle_of(name, *kind, *heights, *center, *radius)
        }
        Plan::Polygon { rings, use_of: (kind, heights) } => site.polygon(name, *kind, *heights, rings),
    }
}
