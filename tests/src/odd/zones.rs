//! Zones of odd forms about the plain route, which flies from (0, 0) to (5000, 5000), in 1e-7 degree: some 55 m each
//! way.

use std::{f64::consts::TAU, slice};

use pinfold_core::{
    model::{
        ground::GroundCell,
        limits::Figures,
        store::LimitsError,
        zone::{HeightBand, RINGS, Shape, VERTICES, ZONES, Zone, ZoneKind},
    },
    units::{Height, Length},
    verdict::Rule,
    wire::Reason,
};

use super::{
    Expected::{self, Go, LimitsRefused, NoGo},
    Odd, asked, figures,
    unsealed::{self, Drawn},
};
use crate::{
    board::sample::meadow_site,
    packed::{largest::largest_figures, packed_limits},
    sample::{Site, band, ground_plan, length, position},
};

type Ring = Vec<(i32, i32)>;

/// All of them.
#[must_use]
pub fn cases() -> Vec<Odd> {
    [spirals(), needles(), touching(), heights(), circles(), as_many_as_can_be(), no_polygons()].concat()
}

fn square(side: i32) -> Ring {
    vec![(-side, -side), (-side, side), (side, side), (side, -side)]
}

fn moved(ring: &[(i32, i32)], (north, east): (i32, i32)) -> Ring {
    ring.iter().map(|(latitude, longitude)| (latitude + north, longitude + east)).collect()
}

fn meadow() -> Site {
    meadow_site("invented quad", 6_000, asked())
}

fn packed(site: Site) -> Vec<u8> {
    packed_limits(site.seal().expect("sound limits").limits().expect("sealed")).0
}

/// The meadow with keep-out zones of these rings.
fn keeping_out(name: &str, provokes: &str, rings: &[Ring], expected: Expected) -> Odd {
    let add = |site: Site, (number, ring): (usize, &Ring)| {
        let name = format!("zone {number}");
        site.polygon(&name, ZoneKind::KeepOut, None, slice::from_ref(ring)).expect("room")
    };
    Odd::limits(name, provokes, packed(rings.iter().enumerate().fold(meadow(), add)), expected)
}

/// A band that winds about a centre so many times, of so many corners on each side.
fn spiral(center: (i32, i32), turns: f64, corners: u32, reach: f64) -> Ring {
    let side = |width: f64| {
        (0..corners).map(move |corner| {
            let along = f64::from(corner) / f64::from(corners - 1);
            let (sine, cosine) = (along * turns * TAU).sin_cos();
            let radius = reach * (0.2 + 0.8 * along) + width;
            #[expect(clippy::cast_possible_truncation, reason = "some thousand")]
            let at = |middle: i32, part: f64| middle + (radius * part) as i32;
            (at(center.0, sine), at(center.1, cosine))
        })
    };
    let (inner, outer) = (side(0.0), side(0.25 * reach / turns));
    inner.chain(outer.rev()).collect()
}

fn spirals() -> Vec<Odd> {
    let most = u32::try_from((VERTICES - 4) / 2).expect("some hundred");
    vec![
        keeping_out(
            "spirals/beside",
            "a spiral of 3 turns beside the path",
            &[spiral((-10_000, -10_000), 3.0, 48, 6_000.0)],
            Go,
        ),
        keeping_out(
            "spirals/across",
            "a spiral about the path's end",
            &[spiral((5_000, 5_000), 3.0, 48, 4_000.0)],
            NoGo(Rule::KeepOut),
        ),
        keeping_out(
            "spirals/longest",
            "a spiral of all corners that there can be",
            &[spiral((-10_000, -10_000), 8.0, most, 6_000.0)],
            Go,
        ),
    ]
}

fn needles() -> Vec<Odd> {
    let needle = |north: i32| vec![(north, -19_000), (north, 19_000), (north + 1, 19_000)];
    let thin = vec![(-15_000, 0), (15_000, 1), (15_000, -1)];
    let thin_keep_in = Site::new(figures()).polygon("thin", ZoneKind::KeepIn, None, &[thin]).expect("room");
    vec![
        keeping_out("needles/across", "a triangle 1 unit wide across the path", &[needle(2_500)], NoGo(Rule::KeepOut)),
        keeping_out("needles/beside", "a triangle 1 unit wide beside the path", &[needle(-9_000)], Go),
        keeping_out(
            "needles/smallest",
            "the smallest triangle that there is, on the path",
            &[vec![(2_500, 2_500), (2_500, 2_501), (2_501, 2_500)]],
            NoGo(Rule::KeepOut),
        ),
        Odd::limits(
            "needles/keep-in",
            "a keep-in triangle narrower than the margin",
            packed(thin_keep_in),
            NoGo(Rule::KeepIn),
        ),
    ]
}

fn touching() -> Vec<Odd> {
    let (one, east) = (moved(&square(2_000), (-12_000, -12_000)), 4_000);
    let beside = moved(&one, (0, east));
    let at_corner = moved(&one, (4_000, east));
    let hole = vec![(-12_000, -12_000), (-12_000, -10_000), (-10_000, -12_000)];
    let outer = square(20_000);
    let holed = Site::new(figures()).polygon("holed", ZoneKind::KeepIn, None, &[outer.clone(), hole]).expect("room");
    vec![
        keeping_out("touching/edge", "two zones with an edge in common", &[one.clone(), beside], Go),
        keeping_out("touching/corner", "two zones with a corner in common", &[one.clone(), at_corner], Go),
        keeping_out("touching/same", "the same zone twice under two names", &[one.clone(), one], Go),
        keeping_out(
            "touching/keep-in",
            "a keep-out zone as wide as the keep-in zone",
            slice::from_ref(&outer),
            NoGo(Rule::KeepOut),
        ),
        keeping_out(
            "touching/outside",
            "a keep-out zone that touches the keep-in zone's edge from outside",
            &[moved(&outer, (0, 40_000))],
            Go,
        ),
        keeping_out(
            "touching/launch",
            "a keep-out zone with a corner at launch",
            &[moved(&square(2_000), (-2_000, -2_000))],
            NoGo(Rule::KeepOut),
        ),
        Odd::limits("touching/hole", "a keep-in zone with a hole beside the path", packed(holed), Go),
    ]
}

fn with_band(name: &str, provokes: &str, heights: HeightBand, expected: Expected) -> Odd {
    let ring = moved(&square(500), (2_500, 2_500));
    let site = meadow().polygon("band", ZoneKind::KeepOut, Some(heights), &[ring]).expect("room");
    Odd::limits(name, provokes, packed(site), expected)
}

/// Heights at the ends of their range, above the middle of the path.
fn heights() -> Vec<Odd> {
    let (low, high) = (Height::MIN, Height::MAX);
    vec![
        with_band(
            "heights/all",
            "a zone over all heights that can be written",
            band(Some(low), Some(high)),
            NoGo(Rule::KeepOut),
        ),
        with_band("heights/lowest", "a zone of 1 cm at the lowest height", band(Some(low), Some(low + 1)), Go),
        with_band("heights/highest", "a zone of 1 cm at the highest height", band(Some(high - 1), Some(high)), Go),
        with_band("heights/from-lowest", "a zone without a ceiling", band(Some(low), None), NoGo(Rule::KeepOut)),
        with_band("heights/to-highest", "a zone without a floor", band(None, Some(high)), NoGo(Rule::KeepOut)),
    ]
}

fn circles() -> Vec<Odd> {
    let circle = |at: (i32, i32), radius: i32| packed(meadow().circle("round", None, at, radius).expect("room"));
    let people = meadow().circle_of("people", ZoneKind::People, None, (2_500, 2_500), 1).expect("room");
    vec![
        Odd::limits("circles/smallest", "a circle of 1 cm on the path", circle((2_500, 2_500), 1), NoGo(Rule::KeepOut)),
        Odd::limits("circles/largest", "a circle of 100 km", circle((0, 0), Length::MAX), NoGo(Rule::Extent)),
        Odd::limits(
            "circles/far",
            "a circle on the other side of the Earth",
            circle((0, 1_800_000_000), 100),
            NoGo(Rule::Extent),
        ),
        Odd::limits("circles/pole", "a circle about the pole", circle((900_000_000, 0), 100), NoGo(Rule::Extent)),
        Odd::limits("circles/beside", "a circle of 1 cm beside the path", circle((-9_000, 9_000), 1), Go),
        Odd::limits("circles/people", "people of 1 cm below the path", packed(people), NoGo(Rule::People)),
    ]
}

/// A ring of so many corners about a place.
fn round(center: (i32, i32), corners: u32) -> Ring {
    let corner = |number: u32| {
        let (sine, cosine) = (f64::from(number) / f64::from(corners) * TAU).sin_cos();
        #[expect(clippy::cast_possible_truncation, reason = "some thousand")]
        let at = |middle: i32, part: f64| middle + (1_500.0 * part) as i32;
        (at(center.0, sine), at(center.1, cosine))
    };
    (0..corners).map(corner).collect()
}

fn as_many_as_can_be() -> Vec<Odd> {
    let zones = i32::try_from(ZONES).expect("few");
    let place = |number: i32| (-14_000 + 4_000 * (number % 2), -17_000 + 4_000 * (number / 2));
    let corners = u32::try_from((VERTICES - 4) / (ZONES - 1)).expect("few");
    let rings: Vec<_> = (0..zones - 1).map(|number| round(place(number), corners)).collect();
    let plan = ground_plan((-20_000, -20_000), (32, 32), (1_250, 1_250), (0, 10));
    let cells = [(0, 0), (9, 9)].map(|(lowest, highest)| GroundCell::new(lowest, highest).expect("in order"));
    let widest = largest_figures();
    let all_there_is = Site::new(widest).polygon("in", ZoneKind::KeepIn, None, &[square(20_000)]).expect("room");
    let cell = GroundCell::new(0, u16::MAX).expect("in order");
    vec![
        keeping_out("counts/zones", "16 zones, 256 corners", &rings, Go),
        Odd::limits("counts/ground", "32 x 32 cells of ground", packed(meadow().ground(plan, &cells.repeat(512))), Go),
        Odd::limits(
            "counts/largest-figures",
            "every figure as large as can be, the ground station at the pole, and all cells of ground",
            packed(all_there_is.ground(plan, &[cell; 1024])),
            NoGo(Rule::Extent),
        ),
    ]
}

fn polygon(name: &str, kind: ZoneKind, rings: Vec<Ring>) -> Drawn {
    let name = name.try_into().expect("a short name");
    (Zone { name, kind, heights: None, shape: Shape::Polygon }, rings)
}

/// Limits that no store would seal.
fn refused(name: &str, provokes: &str, zones: &[Drawn], error: LimitsError) -> Odd {
    let bytes = unsealed::packed(&figures(), zones);
    Odd::limits(name, provokes, bytes, LimitsRefused(Reason::Limits(error)))
}

/// A keep-in zone of these rings.
fn keep_in(name: &str, provokes: &str, rings: Vec<Ring>, error: LimitsError) -> Odd {
    refused(name, provokes, &[polygon("in", ZoneKind::KeepIn, rings)], error)
}

fn no_polygons() -> Vec<Odd> {
    use LimitsError::{Crossing, Few, Hole, KeepInCount, KeepInShape, Name, TooManyVertices, TooManyZones, Wide};
    let (outer, other) = (|| polygon("in", ZoneKind::KeepIn, vec![square(9_000)]), || square(900));
    let circle = |radius: i32| {
        (
            Zone {
                name: "round".try_into().expect("short"),
                kind: ZoneKind::KeepOut,
                heights: None,
                shape: Shape::Circle { center: position(0, 0), radius: length(radius) },
            },
            vec![],
        )
    };
    let upright = |kind: ZoneKind, heights: Option<HeightBand>| {
        let (zone, rings) = polygon("other", kind, vec![square(900)]);
        (Zone { heights, ..zone }, rings)
    };
    let many: Vec<_> = (0..=ZONES)
        .map(|number| {
            polygon(&format!("{number}"), if number == 0 { ZoneKind::KeepIn } else { ZoneKind::KeepOut }, vec![other()])
        })
        .collect();
    let rings = vec![square(9_000); RINGS + 1];
    let mut all = vec![
        keep_in(
            "polygons/bow-tie",
            "a polygon that crosses itself",
            vec![vec![(0, 0), (9, 9), (0, 9), (9, 0)]],
            Crossing(0, 1, 3),
        ),
        keep_in(
            "polygons/all-equal",
            "a polygon whose corners are all the same",
            vec![vec![(5, 5); 4]],
            Crossing(0, 0, 1),
        ),
        keep_in(
            "polygons/in-line",
            "a polygon whose corners are in line",
            vec![vec![(0, 0), (3, 3), (6, 6)]],
            Crossing(0, 0, 1),
        ),
        keep_in("polygons/doubled", "a corner twice", vec![vec![(0, 0), (0, 9), (0, 9), (9, 9)]], Crossing(0, 1, 2)),
        keep_in(
            "polygons/spike",
            "an edge that runs back",
            vec![vec![(0, 0), (0, 9), (0, 4), (9, 0)]],
            Crossing(0, 1, 2),
        ),
        keep_in("polygons/two-corners", "a polygon of two corners", vec![vec![(0, 0), (0, 9)]], Few(0)),
        keep_in("polygons/no-corners", "a polygon without corners", vec![vec![]], Few(0)),
        keep_in("polygons/no-rings", "a polygon without rings", vec![], Few(0)),
        keep_in(
            "polygons/hole-outside",
            "a hole outside",
            vec![square(1_000), moved(&square(10), (5_000, 0))],
            Hole(0, 4),
        ),
        keep_in("polygons/hole-around", "a hole around its zone", vec![square(1_000), square(2_000)], Hole(0, 4)),
        keep_in("polygons/hole-in-hole", "a hole in a hole", vec![square(1_000), square(500), square(10)], Hole(0, 8)),
        keep_in(
            "polygons/hole-touches",
            "a hole with a corner on its zone's edge",
            vec![square(1_000), vec![(0, 0), (1_000, 0), (0, 100)]],
            Crossing(0, 3, 5),
        ),
        keep_in(
            "polygons/wide",
            "a polygon over a third of the Earth",
            vec![vec![(0, 0), (0, 600_000_000), (9, 9)]],
            Wide(0, 1),
        ),
        keep_in("counts/rings", "more rings than there can be", rings, TooManyVertices),
        keep_in(
            "counts/corners",
            "more corners than there can be",
            vec![round((0, 0), u32::try_from(VERTICES + 1).expect("few"))],
            TooManyVertices,
        ),
        refused("counts/zones-17", "more zones than there can be", &many, TooManyZones),
        refused("zones/none", "no zones", &[], KeepInCount(None)),
        refused(
            "zones/no-keep-in",
            "no keep-in zone",
            &[polygon("out", ZoneKind::KeepOut, vec![other()])],
            KeepInCount(None),
        ),
        refused(
            "zones/two-keep-ins",
            "two keep-in zones",
            &[outer(), polygon("in too", ZoneKind::KeepIn, vec![other()])],
            KeepInCount(Some(1)),
        ),
        refused(
            "zones/same-name",
            "two zones of one name",
            &[outer(), polygon("in", ZoneKind::KeepOut, vec![other()])],
            Name(1),
        ),
        refused("zones/no-radius", "a circle without a radius", &[outer(), circle(0)], Few(1)),
        refused(
            "zones/keep-in-heights",
            "a keep-in zone with heights",
            &[upright(ZoneKind::KeepIn, Some(band(Some(0), None)))],
            KeepInShape(0),
        ),
        refused(
            "zones/people-heights",
            "people with heights",
            &[outer(), upright(ZoneKind::People, Some(band(Some(0), None)))],
            LimitsError::PeopleHeights(1),
        ),
        refused(
            "zones/no-heights",
            "heights that say neither",
            &[outer(), upright(ZoneKind::KeepOut, Some(band(None, None)))],
            LimitsError::Heights(1),
        ),
        refused(
            "zones/floor-above-ceiling",
            "a floor above its ceiling",
            &[outer(), upright(ZoneKind::KeepOut, Some(band(Some(9), Some(8))))],
            LimitsError::Heights(1),
        ),
    ];
    all.extend(contradictions());
    all
}

/// Figures that contradict each other.
fn contradictions() -> Vec<Odd> {
    use pinfold_core::model::limits::Contradiction::{
        FloorAboveCeiling, PowerTableShort, ReturnAboveCeiling, ReturnTooFast,
    };
    let with = |name: &str, change: &dyn Fn(&mut Figures), why| {
        let mut figures = super::figures();
        change(&mut figures);
        let bytes = unsealed::packed(&figures, &[polygon("in", ZoneKind::KeepIn, vec![square(9_000)])]);
        let error = LimitsError::Contradiction(why);
        Odd::limits(
            format!("figures/{name}"),
            "figures that contradict each other",
            bytes,
            LimitsRefused(Reason::Limits(error)),
        )
    };
    let height = crate::sample::height;
    vec![
        with("floor-above-ceiling", &|figures| figures.heights.floor = height(Height::MAX), FloorAboveCeiling),
        with("return-above-ceiling", &|figures| figures.homeward.height = height(Height::MAX), ReturnAboveCeiling),
        with("return-too-fast", &|figures| figures.homeward.speed = crate::sample::speed_limit(10_000), ReturnTooFast),
        with("one-power", &|figures| figures.power.points.truncate(1), PowerTableShort),
    ]
}
