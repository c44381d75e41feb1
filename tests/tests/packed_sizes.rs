//! How many bytes packed values take: a radio is slow and a board's memory is fixed.

use pinfold_core::{
    fingerprint::Fingerprint,
    interlock::{Flight, Stage},
    link::{
        Advice, Aged, Answer, Ask, Bytes, Came, Capacities, FrameReader, PIECE, Reply, Report, Request, Status, frame,
    },
    model::{
        ground::GroundCell,
        limits::Figures,
        route::{STEPS, Step},
        zone::{ZONES, ZoneKind},
    },
    rules::PackReading,
    units::{Charge, Direction, Duration, Height, Latitude, Longitude, Voltage},
    verdict::{Cause, FINDINGS, RULE_COUNT, Rule, Unit},
    wire::{
        Kind,
        route::{TooManySteps, pack_route},
        verdict::{VERDICT_BYTES, unpack_verdict},
    },
};
use pinfold_tests::{
    packed::{envelope, largest::largest_figures, packed_limits, packed_route, packed_verdict, signed, unsigned},
    sample::{Site, climb, duration, figures, fly, ground_plan, height, launch, position},
};
use serde::{Serialize, de::DeserializeOwned};

/// Bytes that the last of `steps` adds.
fn bytes_of_last(steps: &[Step], at: (i32, i32)) -> usize {
    let length = |steps| packed_route(&launch(at.0, at.1), steps).0.len();
    length(steps) - length(&steps[..steps.len() - 1])
}

#[test]
fn a_usual_step_takes_ten_bytes_at_most() {
    let (mut sum, mut count, mut largest) = (0, 0, 0);
    // 100 m in whole degrees of direction. 1 degree is at most 111,694 m of latitude, 111,320 m of longitude times cos φ.
    for latitude in (-79..=79).step_by(2) {
        let at = (latitude * 10_000_000, 1_799_999_999);
        let shrink = f64::from(latitude).to_radians().cos();
        for direction in 0..360 {
            let (sine, cosine) = f64::from(direction).to_radians().sin_cos();
            let north = (100.0 / 110_574.0 * 1e7 * cosine) as i32;
            let east = (100.0 / 111_320.0 / shrink * 1e7 * sine) as i32;
            let near = (at.0 + north, at.1 - 1_000_000);
            let steps = [climb(1500), fly((at.0, near.1), 1500, 300), fly((near.0, near.1 + east), 1500, 300)];
            let bytes = bytes_of_last(&steps, at);
            sum += bytes;
            count += 1;
            largest = largest.max(bytes);
        }
    }
    assert_eq!(largest, 10);
    println!("a leg of 100 m: {:.2} bytes on average, {largest} at most", f64::from(sum as u32) / f64::from(count));
}

/// The longest that a finding can be, with rule and zone as they are given.
fn largest_finding(rule: usize, zone: Option<u8>) -> Vec<u8> {
    let zone = zone.map_or(vec![0], |zone| vec![1, zone]);
    let measure = [vec![1], signed(i32::MIN.into()), signed(i32::MAX.into()), unsigned(Unit::Seconds as u64)].concat();
    let place = [signed(Latitude::MIN.into()), signed(Longitude::MIN.into()), signed(i32::MIN.into())].concat();
    [
        unsigned(rule as u64),
        zone,
        unsigned(u16::MAX.into()),
        unsigned(Cause::AnotherLaunch as u64),
        measure,
        vec![1],
        place,
    ]
    .concat()
}

#[test]
fn the_largest_verdict_fits_its_memory() {
    let subject = vec![0xFF; 10];
    let said = |count| [vec![1], unsigned(u32::MAX.into()).repeat(count)].concat();
    let summary = [unsigned(u16::MAX.into()), said(1), said(1)].concat();
    let energy = [said(3), vec![1], signed(Direction::MAX.into())].concat();
    // Only rules about zones have their findings of a zone elsewhere than those of none.
    let about_zones = [Rule::KeepIn, Rule::KeepOut, Rule::People, Rule::ReturnPath].map(|rule| rule as usize);
    let zone_of_rule = |rule: usize| (!about_zones.contains(&rule)).then_some(15);
    let of_rules = (0..RULE_COUNT).flat_map(|rule| largest_finding(rule, zone_of_rule(rule)));
    let of_zones = |rule: Rule| (0..ZONES as u8).flat_map(move |zone| largest_finding(rule as usize, Some(zone)));
    let findings: Vec<u8> = of_rules.chain(of_zones(Rule::People)).chain(of_zones(Rule::ReturnPath)).collect();
    let bytes = envelope(Kind::Verdict, &[subject, summary, energy, vec![FINDINGS as u8], findings].concat());
    let verdict = unpack_verdict(&bytes).expect("a verdict");
    assert_eq!(verdict.findings.iter().count(), FINDINGS);
    assert_eq!(packed_verdict(&verdict), bytes);
    // All that there is room for, but for the zone that those four don't say.
    assert_eq!(bytes.len(), VERDICT_BYTES - about_zones.len());
}

#[test]
fn the_largest_figures_fit_their_memory() {
    // Lengths and times have 4 bytes at most; heights, speeds, power, voltage and capacity 3; tilt, per cent, temperatures,
    // directions, and the voltages and airspeeds of tables 2; the cells of a pack, the charge of a table and what a list or
    // a text says first 1. The first airspeed is 0, 1 byte.
    let (said, name) = (1, 1 + 32);
    let (margins, heights) = (4 + 4 + 2 + 4 + (said + 4), 3 + 3 + 3 * (said + 3));
    let (air, aircraft, wind) = (said + 2 + 2, 4 + 4 * 3, 3 + said + 2 + 2);
    let (homeward, battery) = (3 + 3 + 4 + 3 + 3 + (said + 4), 3 + 1 + 3 + 2 + 2 + (said + 4));
    let (charge, power) = (said + 1 + 12 * (2 + 1), 1 + (1 + 3) + 7 * (2 + 3) + 3);
    let (link, route, launch, readings) = (said + 4 + said + 5 + 5, said + 4 + 4, said + 4, 3 * (said + 4));
    let all = name
        + margins
        + heights
        + air
        + aircraft
        + wind
        + homeward
        + battery
        + charge
        + power
        + link
        + route
        + launch
        + readings;
    let bytes = |figures: &Figures| postcard::to_allocvec(figures).expect("memory").len();
    assert_eq!(bytes(&largest_figures()), all);
    // A reader has memory for 264.
    assert_eq!(all, 262);
    // None of them is left out.
    let ground = ground_plan((0, 0), (1, 1), (1, 1), (0, 1));
    let packed_with = |figures| bytes_of_limits(bare(figures).ground(ground, &[GroundCell::UNKNOWN]));
    assert_eq!(packed_with(largest_figures()) - packed_with(figures()), all - bytes(&figures()));
}

/// Limits of a small keep-in zone.
fn bare(figures: Figures) -> Site {
    Site::new(figures).polygon("a", ZoneKind::KeepIn, None, &[vec![(0, 0), (0, 9), (9, 0)]]).expect("room")
}

fn bytes_of_limits(site: Site) -> usize {
    packed_limits(site.seal().expect("sound").limits().expect("sealed")).0.len()
}

/// Bytes that ground data of 32 x 32 cells add to limits, from a cell's row and column.
fn bytes_of_ground(cell: impl Fn(i32, i32) -> GroundCell) -> usize {
    let plan = ground_plan((-800_000_000, -1_700_000_000), (32, 32), (10_000, 10_000), (100_000, 10));
    let cells: Vec<_> = (0..32).flat_map(|row| (0..32).map(move |column| (row, column))).collect();
    let cells: Vec<_> = cells.into_iter().map(|(row, column)| cell(row, column)).collect();
    bytes_of_limits(bare(figures()).ground(plan, &cells)) - bytes_of_limits(bare(figures()))
}

#[test]
fn a_full_grid_of_ground_data_takes_seven_kilobytes_at_most_and_four_in_hills() {
    let cell = |lowest: i32, span: i32| {
        let count = |height: i32| u16::try_from(height).expect("a count");
        GroundCell::new(count(lowest), count(lowest + span)).expect("in order")
    };
    // Two coordinates of 5 bytes, two counts, two sides of 3 bytes, a base of 3 and one count.
    let plan = 10 + 2 + 6 + 3 + 1;
    assert_eq!(bytes_of_ground(|_, _| GroundCell::UNKNOWN), plan + 1024);
    assert_eq!(bytes_of_ground(|_, _| cell(0, 0)), plan + 3 * 1024);
    // The lowest counts go up and down by 16,384 or more, and the highest are as far above.
    assert_eq!(bytes_of_ground(|_, column| cell(49_151 * (column % 2), 16_384)), plan + 7 * 1024 - 2);
    // Invented hills in counts of 0.1 m: 60 m between valley and top, 7.5 m at most from cell to cell north and east, so 15 m
    // at most within a cell.
    let hills = |row: i32, column: i32| {
        let height = (f64::from(row) / 2.0).sin() + (f64::from(column) / 2.0).cos();
        cell((150.0 * (2.0 + height)) as i32, 150)
    };
    let bytes = bytes_of_ground(hills);
    println!("32 x 32 cells of ground in hills: {bytes} bytes");
    assert!((4 * 1024..=5 * 1024).contains(&bytes), "{bytes}");
}

#[test]
fn a_route_with_too_many_steps_is_refused_and_not_cut() {
    let steps = vec![Step::Land; STEPS + 1];
    let mut written = 0;
    let packed = pack_route(&launch(0, 0), steps.iter(), &mut |piece| written += piece.len());
    assert_eq!((packed, written), (Err(TooManySteps), 0));
    assert!(pack_route(&launch(0, 0), steps[1..].iter(), &mut |_| {}).is_ok());
}

fn comes_back<T: Serialize + DeserializeOwned + PartialEq + std::fmt::Debug>(message: &T) {
    let mut reader = FrameReader::default();
    let came: Vec<Came<T>> = frame(message).iter().filter_map(|byte| reader.take(*byte)).collect();
    assert!(matches!(&*came, [Came::Message(same)] if same == message), "{message:?}");
}

/// A message that is too large for a frame would be an empty one.
#[test]
fn every_message_comes_back_at_its_largest() {
    fn old<T>(value: T) -> Option<Aged<T>> {
        Some(Aged { value, age: u32::MAX })
    }
    let readings = Report {
        flight: old(Flight::Flying),
        position: old(position(Latitude::MIN, Longitude::MIN)),
        height: old(height(Height::MIN)),
        pack: old(PackReading {
            voltage: Voltage::new(Voltage::MAX).expect("in range"),
            rested: Some(duration(Duration::MAX)),
        }),
        left: old(Charge::new(Charge::MAX).expect("in range")),
    };
    // Without a zero, so that stuffing adds most.
    let bytes: Bytes = [0xFF; PIECE].into_iter().collect();
    let asks = [
        Ask::Piece { offset: u32::MAX, bytes: bytes.clone() },
        Ask::Verdict { offset: u16::MAX },
        Ask::Readings(readings),
    ];
    asks.into_iter().for_each(|ask| comes_back(&Request { sequence: u16::MAX, ask }));
    let waits = postcard::from_bytes(&largest_finding(Rule::Launch as usize, Some(u8::MAX))).expect("a finding");
    let status = Status {
        stage: Stage::Latched,
        limits: Some(Fingerprint::of(&[1])),
        route: Some(Fingerprint::of(&[2])),
        waits: Some(waits),
        flight: Some(Flight::Flying),
        advice: Advice::TurnBack,
    };
    let answers = [
        Answer::Verdict { length: u16::MAX, bytes },
        Answer::Status(status),
        Answer::Taken(u32::MAX),
        Answer::Hello(Capacities::HERE),
    ];
    answers.into_iter().for_each(|answer| comes_back(&Reply { sequence: u16::MAX, answer }));
}
