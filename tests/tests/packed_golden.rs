//! The packed format against golden files: bytes that were written down once, by another program than the core.

use pinfold_core::{
    fingerprint::Fingerprint,
    model::{
        ground::{GroundCell, GroundPlan},
        limits::{
            Air, Aircraft, Battery, Figures, Freshness, Heights, LaunchSpot, Link, Margins, PowerPoint, PowerTable,
            ReturnHabits,
        },
        route::{Launch, Step},
        store::LimitsStore,
        zone::{HeightBand, HeightReference, ZoneKind},
    },
    units::{
        Airspeed, Capacity, Cells, Direction, Duration, Health, Power, Reserve, Speed, Temperature, Tilt, Voltage,
    },
    verdict::{Cause, Energy, Finding, Measure, Outcome, Place, Rule, Severity, Summary, Unit},
    wire::verdict::unpack_verdict,
};
use pinfold_tests::{
    packed::{
        golden::{LIMITS, ROUTE, VERDICT, bytes, fields},
        outline, packed_limits, packed_route, packed_verdict, read_limits, read_route,
    },
    sample::{
        Site, band, charge_points, climb, duration, ground_plan, height, length, position, route_habits, speed_limit,
        wind_from,
    },
};

fn launch() -> Launch {
    Launch {
        name: "Röhricht, Nordufer".try_into().expect("a short name"),
        position: position(-175_000_000, 1_799_990_000),
        elevation: Some(height(420)),
    }
}

fn fly(to: (i32, i32), at: i32, speed: i32, hold: i32) -> Step {
    let speed = Speed::new(speed).expect("a speed in range");
    Step::Fly { to: position(to.0, to.1), height: height(at), speed, hold: duration(hold) }
}

fn steps() -> [Step; 12] {
    [
        climb(1500),
        fly((-175_008_993, 1_799_990_000), 1500, 300, 0),
        fly((-175_008_993, 1_799_999_420), 1500, 300, 0),
        fly((-175_000_000, -1_799_999_990), 1500, 300, 300),
        fly((-175_000_000, -1_799_991_160), 2000, 300, 0),
        Step::Hold { time: duration(1000) },
        fly((-174_991_007, -1_799_991_160), 2000, 450, 0),
        fly((-174_991_007, 1_799_999_990), 2000, 450, 0),
        climb(2500),
        fly((-174_991_007, 1_799_990_000), 1800, 450, 0),
        Step::Hold { time: Duration::new(0).expect("in range") },
        Step::Return,
    ]
}

fn figures() -> Figures {
    let point = |(airspeed, watts)| PowerPoint {
        airspeed: Airspeed::new(airspeed).expect("in range"),
        power: Power::new(watts).expect("in range"),
    };
    Figures {
        name: "reed bed, small quad".try_into().expect("a short name"),
        margins: Margins {
            fixed: length(700),
            reaction: duration(100),
            brake_tilt: Tilt::new(45).expect("in range"),
            up_fixed: length(100),
            people: Some(length(3000)),
        },
        heights: Heights {
            ceiling: height(6000),
            floor: height(300),
            ceiling_above_sea: Some(height(20_000)),
            ceiling_above_ground: Some(height(7000)),
            ground_clearance: Some(height(500)),
        },
        air: Some(Air {
            coldest: Temperature::new(-50).expect("in range"),
            warmest: Temperature::new(315).expect("in range"),
        }),
        aircraft: Aircraft {
            size: length(50),
            airspeed_max: speed_limit(1400),
            speed_max: speed_limit(800),
            climb: speed_limit(200),
            descent: speed_limit(150),
        },
        wind: wind_from(650, (240, 30)),
        homeward: ReturnHabits {
            height: height(2000),
            speed: speed_limit(400),
            hold: duration(500),
            landing: speed_limit(70),
            landing_max: speed_limit(100),
            disarm: Some(duration(200)),
        },
        battery: Battery {
            capacity: Capacity::new(5000).expect("in range"),
            cells: Cells::new(4).expect("in range"),
            nominal: Voltage::new(1480).expect("in range"),
            health: Health::new(90).expect("in range"),
            reserve: Reserve::new(25).expect("in range"),
            rest: Some(duration(180_000)),
        },
        charge: Some(charge_points(&[(3300, 0), (3790, 45), (4180, 100)])),
        power: PowerTable {
            points: [(0, 190), (500, 175), (1000, 230)].into_iter().map(point).collect(),
            climb: Power::new(260).expect("in range"),
        },
        link: Some(Link { range: length(40_000), station: Some(position(-175_000_500, 1_799_999_000)) }),
        route: Some(route_habits(30_000, 20_000)),
        launch: Some(LaunchSpot { within: length(1000) }),
        readings: Freshness {
            position: Some(duration(500)),
            pack: Some(duration(60_000)),
            flight: Some(duration(200)),
        },
    }
}

fn limits() -> Box<LimitsStore> {
    let outer = vec![
        (-175_030_000, 1_799_960_000),
        (-175_030_000, -1_799_960_000),
        (-174_970_000, -1_799_960_000),
        (-174_970_000, 1_799_960_000),
    ];
    let hole = vec![(-174_999_000, 1_799_971_000), (-174_996_000, 1_799_974_000), (-174_993_000, 1_799_971_000)];
    let shed = vec![(-175_020_000, -1_799_980_000), (-175_018_000, -1_799_980_000), (-175_018_000, -1_799_977_000)];
    let mast =
        HeightBand { reference: HeightReference::AboveSea, floor: Some(height(-50)), ceiling: Some(height(7500)) };
    Site::new(figures())
        .polygon("reed bed", ZoneKind::KeepIn, None, &[outer, hole])
        .and_then(|site| site.circle("mast", Some(mast), (-174_980_000, 1_799_980_000), 1500))
        .and_then(|site| site.circle_of("jetty", ZoneKind::People, None, (-175_010_000, 1_799_990_000), 250))
        .and_then(|site| site.polygon("shed", ZoneKind::KeepOut, Some(band(None, Some(1200))), &[shed]))
        .map(|site| site.ground(plan(), &cells()))
        .and_then(Site::seal)
        .expect("sound limits")
}

fn plan() -> GroundPlan {
    ground_plan((-175_040_000, 1_799_950_000), (2, 3), (40_000, 50_000), (-200, 5))
}

fn cells() -> [GroundCell; 6] {
    let cell = |lowest, highest| GroundCell::new(lowest, highest).expect("a low and a high");
    [cell(0, 9), cell(3, 300), GroundCell::UNKNOWN, cell(1, 1), cell(40, 65_535), cell(0, 128)]
}

/// The fingerprint that a golden file's heading gives.
fn stated_fingerprint(text: &str) -> &str {
    text.lines().find_map(|line| line.strip_prefix("# Fingerprint: ")).expect("a golden file states its fingerprint")
}

#[test]
fn a_packed_route_never_changes_unnoticed() {
    let golden = bytes(&fields(ROUTE));
    let (packed, fingerprint) = packed_route(&launch(), &steps());
    assert_eq!(packed, golden);
    assert_eq!(fingerprint.to_string(), stated_fingerprint(ROUTE));
    let read = read_route(&golden).expect("the golden route is a route");
    assert_eq!((read.launch, &read.steps[..], read.fingerprint), (launch(), &steps()[..], fingerprint));
}

#[test]
fn packed_limits_never_change_unnoticed() {
    let golden = bytes(&fields(LIMITS));
    let (packed, fingerprint) = packed_limits(limits().limits().expect("sealed"));
    assert_eq!(packed, golden);
    assert_eq!(fingerprint.to_string(), stated_fingerprint(LIMITS));
    let (store, read) = read_limits(&golden).expect("the golden limits are sound");
    let there = store.limits().expect("sealed");
    assert_eq!((there.figures(), read), (&figures(), fingerprint));
    assert_eq!(outline(&store), outline(&limits()));
    let ground = there.ground().expect("the golden limits have ground data");
    assert_eq!((ground.plan(), ground.cells()), (&plan(), &cells()[..]));
}

#[test]
fn a_packed_verdict_never_changes_unnoticed() {
    let golden = bytes(&fields(VERDICT));
    let verdict = unpack_verdict(&golden).expect("the golden verdict is a verdict");
    assert_eq!(packed_verdict(&verdict), golden);
    assert_eq!(Fingerprint::of(&golden).to_string(), stated_fingerprint(VERDICT));
    // RFC 4648, section 10 ("fooba"), and FIPS 180-4 ("abc"): see published_digests.rs.
    assert_eq!(verdict.subject.route.to_string(), "MZXW-6YTB");
    assert_eq!(verdict.subject.limits.to_string(), "XJ4B-NP4P");
    assert_eq!(verdict.summary, Summary { steps: 12, length: Some(61_234), duration: Some(35_001) });
    let worst_wind_from = Direction::new(268);
    assert_eq!(verdict.energy, Some(Energy { needed: 21_345, usable: 49_950, held: 66_600, worst_wind_from }));
    assert_eq!(verdict.findings.iter().copied().collect::<Vec<_>>(), golden_findings());
    assert_eq!(verdict.outcome(), Outcome::NoGo);
    let broken: Vec<_> = verdict.findings.broken().map(|(severity, finding)| (severity, finding.rule)).collect();
    let stops = [Rule::Form, Rule::Ground, Rule::Launch, Rule::Pack, Rule::KeepOut].map(|rule| (Severity::Stop, rule));
    let caution = (Severity::Caution, Rule::Landing);
    assert_eq!(broken, [&stops[..2], &[caution], &stops[2..]].concat());
}

/// The findings of the golden verdict.
fn golden_findings() -> Vec<Finding> {
    let [north_west, north_east] = [(-174_991_007, 1_799_999_990), (-174_991_007, -1_799_991_160)];
    let place = |(latitude, longitude): (i32, i32), height| Place { position: position(latitude, longitude), height };
    let measured =
        |rule, step, (clearance, required), unit| Finding::measured(rule, step, Measure { clearance, required, unit });
    let level = |rule, step, numbers| measured(rule, step, numbers, Unit::Metres);
    let upright = |rule, step, numbers| measured(rule, step, numbers, Unit::MetresVertical);
    let about = |zone, finding| Finding { zone: Some(zone), ..finding };
    vec![
        Finding::of(Rule::Form, 0, Cause::NoReading),
        upright(Rule::Ceiling, 9, (3500, 1235)).at(place(north_west, 2500)),
        Finding::of(Rule::Ground, 5, Cause::GroundUnknown).at(place((-175_000_000, -1_799_991_160), 2000)),
        Finding::of(Rule::Landing, 12, Cause::LateDisarm),
        measured(Rule::TurnBack, 5, (49_950, 17_321), Unit::WattHours).at(place((-175_000_000, -1_799_991_160), 2000)),
        upright(Rule::ReturnPath, 7, (640, 500)).at(place(north_east, 2000)),
        level(Rule::Link, 7, (27_654, 0)).at(place(north_east, 2000)),
        level(Rule::Launch, 1, (-1, 0)),
        Finding::of(Rule::Pack, 0, Cause::PackOfOtherCells),
        about(0, level(Rule::KeepIn, 4, (1999, 1047)).at(place((-175_000_000, -1_799_999_990), 1500))),
        about(1, level(Rule::KeepOut, 10, (-1, 1804)).at(place((-174_991_007, 1_799_990_000), 1800))),
        about(2, level(Rule::People, 2, (7000, 2600)).at(place((-175_008_993, 1_799_990_000), 1500))),
        about(3, level(Rule::ReturnPath, 3, (1300, 1047)).at(place((-175_008_993, 1_799_999_420), 1500))),
    ]
}

#[test]
fn a_wrong_note_in_a_golden_file_misleads_nobody() {
    let mut compared = 0;
    for field in [ROUTE, LIMITS, VERDICT].into_iter().flat_map(fields) {
        let Some((what, number)) = field.meaning.rsplit_once(": ") else { continue };
        let Ok(number) = number.parse::<i64>() else { continue };
        let written = match (field.form.as_str(), what) {
            ("envelope", "length of the body") => Some(number.to_le_bytes()[..4].to_vec()),
            ("envelope", "version") => Some(vec![4]),
            _ => field.written(number),
        };
        assert_eq!(written.as_deref(), Some(&field.bytes[..]), "{}", field.meaning);
        compared += 1;
    }
    assert!(compared > 100, "only {compared} notes have a number");
}
