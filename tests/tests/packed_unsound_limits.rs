//! Limits that make no sense don't exist: each way of being wrong is provoked, in memory and, where bytes can say it, in bytes.

use pinfold_core::{
    model::{
        ground::GroundCell,
        limits::{Air, Contradiction, Figures, Freshness, LaunchSpot},
        store::{LimitsError, LimitsStore},
        zone::{HeightBand, HeightReference, RINGS, Shape, VERTICES, ZONES, Zone, ZoneKind},
    },
    units::{Airspeed, Length, Temperature},
    wire::Reason,
};
use pinfold_tests::{
    packed::{
        golden::{cases, index_of},
        signed, unsigned,
    },
    sample::{Site, band, charge_points, duration, figures, ground_plan, height, length, position, speed_limit},
};

type Ring = Vec<(i32, i32)>;

/// A square about (0, 0).
fn square(side: i32) -> Ring {
    vec![(-side, -side), (-side, side), (side, side), (side, -side)]
}

/// The square moved north.
fn moved(ring: &[(i32, i32)], north: i32) -> Ring {
    ring.iter().map(|(latitude, longitude)| (latitude + north, *longitude)).collect()
}

fn keep_in() -> Site {
    keep_in_of(&[square(1000)]).expect("room")
}

fn keep_in_of(rings: &[Ring]) -> Result<Site, LimitsError> {
    Site::new(figures()).polygon("within", ZoneKind::KeepIn, None, rings)
}

/// What is wrong with limits of a single keep-in zone with these rings.
fn fault_of(rings: &[Ring]) -> Option<LimitsError> {
    keep_in_of(rings).and_then(Site::seal).err()
}

/// What is wrong with limits of a keep-in zone and another one of the same square.
fn fault_with(name: &str, kind: ZoneKind, heights: Option<HeightBand>) -> Option<LimitsError> {
    keep_in().polygon(name, kind, heights, &[square(500)]).and_then(Site::seal).err()
}

/// What is wrong with figures that a change makes contradict themselves.
fn contradiction(change: impl FnOnce(&mut Figures)) -> Option<LimitsError> {
    let mut figures = figures();
    change(&mut figures);
    Site::new(figures).polygon("within", ZoneKind::KeepIn, None, &[square(1000)]).and_then(Site::seal).err()
}

#[test]
fn a_ring_that_crosses_or_touches_itself_is_refused() {
    let crossing = |rings: &[Ring]| match fault_of(rings) {
        Some(LimitsError::Crossing(0, one, two)) => (one, two),
        other => panic!("{other:?}"),
    };
    // A bow tie: the edge that ends in vertex 1 crosses that which ends in vertex 3.
    assert_eq!(crossing(&[vec![(0, 0), (9, 9), (0, 9), (9, 0)]]), (1, 3));
    // An edge runs back along the one before.
    assert_eq!(crossing(&[vec![(0, 0), (0, 9), (0, 4), (9, 0)]]), (1, 2));
    // The closing edge runs back along the first.
    assert_eq!(crossing(&[vec![(0, 0), (0, 9), (9, 9), (0, 4)]]), (0, 1));
    // A vertex touches an edge from inside.
    assert_eq!(crossing(&[vec![(0, 0), (0, 9), (9, 9), (0, 5), (9, 0)]]), (1, 3));
    // The same vertex twice, next to each other and not.
    assert_eq!(crossing(&[vec![(0, 0), (0, 9), (0, 9), (9, 9)]]), (1, 2));
    assert_eq!(crossing(&[vec![(0, 0), (5, 5), (0, 9), (9, 9), (5, 5), (9, 0)]]), (1, 4));
    // All in one line.
    assert_eq!(crossing(&[vec![(0, 0), (3, 3), (6, 6)]]), (0, 1));
    // A straight angle is none of this.
    assert_eq!(fault_of(&[vec![(0, 0), (0, 5), (0, 9), (9, 9)]]), None);
}

#[test]
fn a_hole_that_is_no_hole_is_refused() {
    // Outside, around the first ring, and inside another hole.
    assert_eq!(fault_of(&[square(1000), moved(&square(10), 5000)]), Some(LimitsError::Hole(0, 4)));
    assert_eq!(fault_of(&[square(1000), square(2000)]), Some(LimitsError::Hole(0, 4)));
    assert_eq!(fault_of(&[square(1000), square(500), square(10)]), Some(LimitsError::Hole(0, 8)));
    assert_eq!(fault_of(&[square(1000), square(10), square(500)]), Some(LimitsError::Hole(0, 4)));
    // It touches the first ring with a vertex or an edge, crosses it, or touches another hole.
    let crossing = |rings: &[Ring]| matches!(fault_of(rings), Some(LimitsError::Crossing(0, ..)));
    assert!(crossing(&[square(1000), vec![(0, 0), (1000, 0), (0, 100)]]));
    assert!(crossing(&[square(1000), moved(&square(10), 990)]));
    assert!(crossing(&[square(1000), moved(&square(10), 995)]));
    assert!(crossing(&[square(1000), square(10), moved(&square(10), 20)]));
    assert!(crossing(&[square(1000), square(1000)]));
    // One apart is enough.
    assert_eq!(fault_of(&[square(1000), square(10), moved(&square(10), 21), moved(&square(10), 989)]), None);
}

#[test]
fn a_zone_without_extent_is_refused() {
    assert_eq!(fault_of(&[]), Some(LimitsError::Few(0)));
    assert_eq!(fault_of(&[vec![]]), Some(LimitsError::Few(0)));
    assert_eq!(fault_of(&[vec![(0, 0), (0, 9)]]), Some(LimitsError::Few(0)));
    assert_eq!(fault_of(&[square(1000), vec![(0, 0), (0, 9)]]), Some(LimitsError::Few(0)));
    let circle = |radius| keep_in().circle("mast", None, (0, 0), radius).and_then(Site::seal).err();
    assert_eq!((circle(0), circle(1)), (Some(LimitsError::Few(1)), None));
}

#[test]
fn a_zone_across_half_the_globe_is_refused() {
    let wide = |east| fault_of(&[vec![(0, 0), (0, east), (9, 9)]]);
    assert_eq!(wide(600_000_000), Some(LimitsError::Wide(0, 1)));
    assert_eq!(wide(-600_000_000), Some(LimitsError::Wide(0, 1)));
    assert_eq!(wide(500_000_000), None);
}

#[test]
fn any_other_number_of_keep_in_zones_than_one_is_refused() {
    let none = Site::new(figures()).polygon("a", ZoneKind::KeepOut, None, &[square(9)]).and_then(Site::seal).err();
    assert_eq!(none, Some(LimitsError::KeepInCount(None)));
    assert_eq!(Site::new(figures()).seal().err(), Some(LimitsError::KeepInCount(None)));
    assert_eq!(fault_with("second", ZoneKind::KeepIn, None), Some(LimitsError::KeepInCount(Some(1))));
    let heights = Site::new(figures()).polygon("a", ZoneKind::KeepIn, Some(band(Some(0), None)), &[square(9)]);
    assert_eq!(heights.and_then(Site::seal).err(), Some(LimitsError::KeepInShape(0)));
    assert_eq!(sealed_with(circle(ZoneKind::KeepIn)), Err(LimitsError::KeepInShape(0)));
}

fn circle(kind: ZoneKind) -> Zone {
    let shape = Shape::Circle { center: position(0, 0), radius: Length::new(100).expect("in range") };
    Zone { name: "round".try_into().expect("short"), kind, heights: None, shape }
}

/// What comes of limits with this zone alone.
fn sealed_with(zone: Zone) -> Result<(), LimitsError> {
    let mut store = LimitsStore::new();
    store.begin(figures());
    store.zone(zone)?;
    store.seal().map(drop)
}

#[test]
fn zones_that_a_report_could_not_tell_apart_are_refused() {
    assert_eq!(fault_with("", ZoneKind::KeepOut, None), Some(LimitsError::Name(1)));
    assert_eq!(fault_with("within", ZoneKind::KeepOut, None), Some(LimitsError::Name(1)));
    let around = keep_in()
        .polygon("shed", ZoneKind::KeepOut, None, &[square(9)])
        .and_then(|site| site.polygon("hut", ZoneKind::KeepOut, None, &[square(9)]))
        .and_then(|site| site.polygon("shed", ZoneKind::KeepOut, None, &[square(9)]));
    assert_eq!(around.and_then(Site::seal).err(), Some(LimitsError::Name(3)));
    assert_eq!(fault_with("Within", ZoneKind::KeepOut, None), None);
    // Further parts of a zone are polygons: the same circle once more is a slip.
    let twice = |kind: ZoneKind| {
        let mut store = LimitsStore::new();
        store.begin(figures());
        store.zone(circle(kind)).and_then(|()| store.zone(circle(kind))).expect("room");
        store.seal().err()
    };
    assert_eq!(twice(ZoneKind::KeepOut), Some(LimitsError::Name(1)));
    let polygons = keep_in().polygon("within", ZoneKind::KeepIn, None, &[square(1000)]);
    assert_eq!(polygons.and_then(Site::seal).err(), Some(LimitsError::Name(1)));
}

#[test]
fn heights_that_no_zone_can_have_are_refused() {
    let fault = |floor, ceiling| fault_with("shed", ZoneKind::KeepOut, Some(band(floor, ceiling)));
    assert_eq!(fault(Some(100), Some(99)), Some(LimitsError::Heights(1)));
    assert_eq!(fault(Some(100), Some(100)), Some(LimitsError::Heights(1)));
    assert_eq!(fault(None, None), Some(LimitsError::Heights(1)));
    assert_eq!(fault(Some(100), Some(101)), None);
    let sea = HeightBand { reference: HeightReference::AboveSea, floor: Some(height(9)), ceiling: Some(height(8)) };
    assert_eq!(fault_with("shed", ZoneKind::KeepOut, Some(sea)), Some(LimitsError::Heights(1)));
}

#[test]
fn people_at_some_heights_only_are_refused() {
    let heights = Some(band(Some(0), Some(100)));
    assert_eq!(fault_with("jetty", ZoneKind::People, heights), Some(LimitsError::PeopleHeights(1)));
    assert_eq!(fault_with("jetty", ZoneKind::People, None), None);
    let round = |heights| keep_in().circle_of("jetty", ZoneKind::People, heights, (0, 0), 9).and_then(Site::seal).err();
    assert_eq!((round(heights), round(None)), (Some(LimitsError::PeopleHeights(1)), None));
}

#[test]
fn figures_that_contradict_themselves_are_refused() {
    let short = |figures: &mut Figures| figures.power.points.truncate(1);
    let none = |figures: &mut Figures| figures.power.points.clear();
    let air = |coldest, warmest| {
        let temperature = |tenths| Temperature::new(tenths).expect("in range");
        Some(Air { coldest: temperature(coldest), warmest: temperature(warmest) })
    };
    let charge = |points| contradiction(|figures| figures.charge = Some(charge_points(points)));
    let cases: [(Option<LimitsError>, Contradiction); 19] = [
        (charge(&[]), Contradiction::ChargeTableShort),
        (charge(&[(3300, 0)]), Contradiction::ChargeTableShort),
        (charge(&[(3300, 0), (3300, 100)]), Contradiction::ChargeTableOrder),
        (charge(&[(3301, 0), (3300, 100)]), Contradiction::ChargeTableOrder),
        (charge(&[(3300, 1), (3301, 0)]), Contradiction::ChargeTableOrder),
        (charge(&[(3300, 0), (3700, 50), (3701, 49)]), Contradiction::ChargeTableOrder),
        (charge(&[(3300, 0), (3700, 50), (3700, 50), (4200, 100)]), Contradiction::ChargeTableOrder),
        (contradiction(|f| f.air = air(101, 100)), Contradiction::ColdestAboveWarmest),
        (contradiction(|f| f.heights.floor = height(12_001)), Contradiction::FloorAboveCeiling),
        (contradiction(|f| f.homeward.height = height(12_001)), Contradiction::ReturnAboveCeiling),
        (contradiction(|f| f.homeward.height = height(0)), Contradiction::ReturnNotAboveLaunch),
        (contradiction(|f| f.homeward.height = height(-1)), Contradiction::ReturnNotAboveLaunch),
        (contradiction(|f| f.homeward.speed = speed_limit(1001)), Contradiction::ReturnTooFast),
        (contradiction(short), Contradiction::PowerTableShort),
        (contradiction(none), Contradiction::PowerTableShort),
        (
            contradiction(|f| f.power.points[0].airspeed = Airspeed::new(1).expect("in range")),
            Contradiction::PowerTableStart,
        ),
        (
            contradiction(|f| f.power.points[2].airspeed = Airspeed::new(500).expect("in range")),
            Contradiction::PowerTableOrder,
        ),
        (contradiction(|f| f.name.clear()), Contradiction::Name),
        (contradiction(|f| f.power.points.swap(1, 2)), Contradiction::PowerTableOrder),
    ];
    for (found, expected) in cases {
        assert_eq!(found, Some(LimitsError::Contradiction(expected)));
    }
    let at_the_ends = |figures: &mut Figures| {
        (figures.heights.floor, figures.homeward.height) = (height(12_000), height(12_000));
        figures.homeward.speed = speed_limit(1000);
        figures.air = air(100, 100);
        // Two voltages may mean the same charge.
        figures.charge = Some(charge_points(&[(3300, 7), (3301, 7)]));
    };
    assert_eq!(contradiction(at_the_ends), None);
}

#[test]
fn readings_that_can_not_be_held_to_anything_are_refused() {
    let with = |launch: Option<i32>, [position, pack, flight]: [Option<i32>; 3]| {
        contradiction(|figures| {
            figures.launch = launch.map(|within| LaunchSpot { within: length(within) });
            figures.readings =
                Freshness { position: position.map(duration), pack: pack.map(duration), flight: flight.map(duration) };
        })
    };
    let contradiction = |of| Some(LimitsError::Contradiction(of));
    let (nowhere, never) =
        (contradiction(Contradiction::PositionWithoutLaunch), contradiction(Contradiction::NeverFresh));
    assert_eq!(with(None, [Some(1), None, None]), nowhere);
    assert_eq!(with(None, [Some(500), Some(500), Some(500)]), nowhere);
    assert_eq!(with(Some(0), [Some(0), None, None]), never);
    assert_eq!(with(None, [None, Some(0), Some(1)]), never);
    assert_eq!(with(None, [None, Some(1), Some(0)]), never);
    // Where the aircraft stands may be looked at without a board asking for it, and the other readings need no launch.
    for sound in [[None; 3], [None, Some(1), Some(1)]] {
        assert_eq!([with(None, sound), with(Some(0), sound)], [None; 2], "{sound:?}");
    }
    assert_eq!(with(Some(0), [Some(1), None, None]), None);
}

#[test]
fn what_there_is_no_room_for_is_refused() {
    let zones =
        (0..ZONES).try_fold(Site::new(figures()), |site, index| site.circle(&index.to_string(), None, (0, 0), 1));
    let one_more = zones.and_then(|site| site.circle("one more", None, (0, 0), 1)).err();
    assert_eq!(one_more, Some(LimitsError::TooManyZones));
    let many = |count: usize| (0..count as i32).map(|index| (index, index * index)).collect::<Ring>();
    assert_eq!(fault_of(&[many(VERTICES)]), None);
    assert_eq!(fault_of(&[many(VERTICES + 1)]), Some(LimitsError::TooManyVertices));
    assert_eq!(fault_of(&vec![vec![]; RINGS + 1]), Some(LimitsError::TooManyVertices));
}

#[test]
fn what_has_no_place_is_refused() {
    let mut store = LimitsStore::new();
    assert_eq!(store.seal().err(), Some(LimitsError::NoFigures));
    store.begin(figures());
    assert_eq!(store.ring(), Err(LimitsError::Misplaced));
    assert_eq!(store.vertex(position(0, 0)), Err(LimitsError::Misplaced));
    store.zone(circle(ZoneKind::KeepOut)).expect("room");
    assert_eq!(store.ring(), Err(LimitsError::Misplaced));
    let polygon =
        |name: &str| Zone { name: name.try_into().expect("short"), shape: Shape::Polygon, ..circle(ZoneKind::KeepIn) };
    store.zone(polygon("a")).expect("room");
    assert_eq!(store.vertex(position(0, 0)), Err(LimitsError::Misplaced));
    store.ring().expect("room");
    store.vertex(position(0, 0)).expect("room");
    store.zone(polygon("b")).expect("room");
    assert_eq!(store.vertex(position(0, 0)), Err(LimitsError::Misplaced));
}

#[test]
fn a_change_after_sealing_unseals() {
    let changes: [fn(&mut LimitsStore); 7] = [
        |store| store.clear(),
        |store| store.begin(figures()),
        |store| store.zone(circle(ZoneKind::KeepOut)).expect("room"),
        |store| store.ring().expect("room"),
        |store| store.vertex(position(5, 5)).expect("room"),
        |store| store.ground(ground_plan((0, 0), (1, 1), (1, 1), (0, 1))),
        |store| store.cell(GroundCell::UNKNOWN).expect("room"),
    ];
    for change in changes {
        let mut store = keep_in().seal().expect("sound");
        assert!(store.limits().is_some());
        change(&mut store);
        assert!(store.limits().is_none());
    }
}

/// All of a memory is free again once it was cleared, however often; nothing of what was in it counts any more.
#[test]
fn what_was_cleared_is_gone() {
    let mut store = keep_in().seal().expect("sound");
    store.clear();
    store.zone(circle(ZoneKind::KeepOut)).expect("room");
    assert_eq!(store.seal().err(), Some(LimitsError::NoFigures));
    let polygon = Zone { shape: Shape::Polygon, ..circle(ZoneKind::KeepIn) };
    let cells = |store: &mut LimitsStore, rows: u8| {
        store.ground(ground_plan((0, 0), (rows, 1), (1, 1), (0, 1)));
        (0..rows).try_for_each(|_| store.cell(GroundCell::UNKNOWN))
    };
    for _ in 0..3 {
        store.begin(figures());
        store.zone(polygon.clone()).expect("room");
        store.ring().expect("room");
        (0..VERTICES as i32).try_for_each(|at| store.vertex(position(at, at * at))).expect("room for all of them");
        assert!(store.seal().is_ok());
        cells(&mut store, 3).expect("room");
        cells(&mut store, 2).expect("room");
        assert!(store.seal().is_ok(), "two cells, and none of the three before");
    }
}

#[test]
fn unsound_limits_are_refused_in_bytes_too() {
    let [_, limits, _] = cases();
    let with = |meaning: &str, bytes: &[u8]| {
        let whole = limits.with_field(index_of(&limits.fields, meaning), bytes);
        let fault = (limits.read)(&whole).expect_err("unsound limits");
        // What only the whole can show is noticed at its last byte.
        assert_eq!(fault.offset as usize, whole.len() - 1);
        fault.reason
    };
    let no_keep_in = with("reed bed: keep in", &[1]);
    assert_eq!(no_keep_in, Reason::Limits(LimitsError::KeepInCount(None)));
    let floor = with("floor in 0.01 m: 300", &[0xF2, 0x5D]);
    assert_eq!(floor, Reason::Limits(LimitsError::Contradiction(Contradiction::FloorAboveCeiling)));
    let name = with("name: \"mast\"", &[8, b'r', b'e', b'e', b'd', b' ', b'b', b'e', b'd']);
    assert_eq!(name, Reason::Limits(LimitsError::Name(1)));
    let radius = with("radius in 0.01 m: 1500", &[0]);
    assert_eq!(radius, Reason::Limits(LimitsError::Few(1)));
    let air = with("coldest in 0.1 degree Celsius: -50", &signed(316));
    assert_eq!(air, Reason::Limits(LimitsError::Contradiction(Contradiction::ColdestAboveWarmest)));
    let never = Reason::Limits(LimitsError::Contradiction(Contradiction::NeverFresh));
    for reading in ["position within 0.01 s: 500", "pack within 0.01 s: 60000", "flight within 0.01 s: 200"] {
        assert_eq!(with(reading, &[0]), never, "{reading}");
    }
    let people = with("mast: keep out", &[2]);
    assert_eq!(people, Reason::Limits(LimitsError::PeopleHeights(1)));
}

#[test]
fn a_charge_table_that_makes_no_sense_is_refused_in_bytes_too() {
    let [_, limits, _] = cases();
    let count = index_of(&limits.fields, "points of the table of charge: 3");
    // The golden limits with this table, and where its last byte is.
    let with = |points: &[(u16, u8)]| {
        let mut changed = limits.clone();
        let bytes = points.iter().map(|(cell, charge)| [unsigned(u64::from(*cell)), vec![*charge]].concat());
        let table = [vec![points.len() as u8], bytes.collect::<Vec<_>>().concat()].concat();
        let end = changed.fields[count].offset + table.len() - 1;
        changed.fields.drain(count + 1..=count + 2 * 3);
        changed.fields[count].bytes = table;
        (changed.enveloped(), end)
    };
    let read = |points: &[(u16, u8)]| (limits.read)(&with(points).0).map_err(|fault| fault.reason);
    let contradiction = |of| Err(Reason::Limits(LimitsError::Contradiction(of)));
    let (short, order) =
        (contradiction(Contradiction::ChargeTableShort), contradiction(Contradiction::ChargeTableOrder));
    assert_eq!([read(&[]), read(&[(3300, 0)])], [short; 2]);
    assert_eq!(read(&[(3300, 0), (3300, 100)]), order);
    assert_eq!(read(&[(3300, 0), (3299, 100)]), order);
    assert_eq!(read(&[(3300, 100), (3301, 99)]), order);
    assert_eq!(read(&[(3300, 7), (3301, 7)]), Ok(()));
    let twelve: Vec<_> = (1..=12).map(|number| (300 * number, 8 * number as u8)).collect();
    assert_eq!(read(&twelve), Ok(()));
    // One point more than there is room for isn't left out.
    let (whole, end) = with(&[&twelve[..], &[(3601, 100)]].concat());
    let fault = (limits.read)(&whole).expect_err("thirteen points");
    assert_eq!((fault.reason, (fault.offset as usize) <= end), (Reason::Value, true));
}
