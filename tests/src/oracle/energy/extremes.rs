//! Cases with every figure at the end of its range, or anywhere within.

use pinfold_core::{
    model::{
        limits::{ChargePoint, ChargePoints, Figures, PowerPoint, PowerPoints, Wind, WindFrom},
        route::Step,
    },
    rules::{Aloft, PackReading, Readings},
    units::{
        Airspeed, Capacity, CellVoltage, Cells, Charge, Direction, Duration, Health, Height, Power, Reserve, Speed,
        SpeedLimit, Spread, StateOfCharge, Voltage, WindSpeed,
    },
};

use super::scene::Scene;
use crate::{
    oracle::{sketch::Chart, space::dice::Dice},
    sample::{climb, duration, figures, fly, height, launch, position, speed_limit},
};

/// Farthest that a leg leads from launch, in metres.
const REACH: f64 = 44_000.0;

/// The least, the most, or something between.
fn end(dice: &mut Dice, least: i32, most: i32) -> i32 {
    match dice.whole(0, 3) {
        0 => least,
        1 => most,
        2 => dice.whole(least, most),
        #[expect(clippy::cast_possible_truncation, reason = "between two whole numbers")]
        _ => dice.magnitude(f64::from(least.max(1)), f64::from(most)) as i32,
    }
}

fn limit(dice: &mut Dice) -> SpeedLimit {
    speed_limit(end(dice, SpeedLimit::MIN, SpeedLimit::MAX))
}

fn time(dice: &mut Dice) -> Duration {
    duration(end(dice, Duration::MIN, Duration::MAX))
}

/// A case of a campaign.
#[must_use]
pub fn extreme(dice: &mut Dice) -> Scene {
    let latitude = dice.pick(&[0, 790_000_000, -790_000_000, 500_000_000]);
    let chart = Chart::about(latitude, 1_800_000_000);
    let mut figures = aircraft(dice);
    pack(dice, &mut figures);
    let readings = readings(dice, chart, &figures);
    let steps = steps(dice, chart, readings.aloft);
    Scene { figures, launch: launch(latitude, 1_800_000_000), readings, steps }
}

fn aircraft(dice: &mut Dice) -> Figures {
    let mut figures = figures();
    figures.heights.ceiling = height(Height::MAX);
    figures.aircraft.airspeed_max = limit(dice);
    figures.aircraft.speed_max = speed_limit(SpeedLimit::MAX);
    (figures.aircraft.climb, figures.aircraft.descent) = (limit(dice), limit(dice));
    figures.homeward.height = height(end(dice, 1, Height::MAX));
    (figures.homeward.speed, figures.homeward.landing) = (limit(dice), limit(dice));
    figures.homeward.hold = time(dice);
    let from = WindFrom {
        direction: Direction::new(end(dice, Direction::MIN, Direction::MAX)).expect("in range"),
        spread: Spread::new(end(dice, Spread::MIN, Spread::MAX)).expect("in range"),
    };
    let up_to = WindSpeed::new(end(dice, WindSpeed::MIN, WindSpeed::MAX)).expect("in range");
    figures.wind = Wind { up_to, from: dice.chance(0.5).then_some(from) };
    figures.power.points = table(dice);
    figures.power.climb = watts(dice);
    figures
}

fn watts(dice: &mut Dice) -> Power {
    Power::new(end(dice, Power::MIN, Power::MAX)).expect("in range")
}

/// Airspeeds that rise by as little as can be written down, or by much.
fn table(dice: &mut Dice) -> PowerPoints {
    let last = i32::from(Airspeed::MAX);
    let mut airspeeds: Vec<i32> = (0..dice.whole(0, 6)).map(|_| end(dice, 1, last)).collect();
    airspeeds.extend([0, if dice.chance(0.8) { last } else { end(dice, 1, last) }]);
    airspeeds.sort_unstable();
    airspeeds.dedup();
    let point = |airspeed: i32| PowerPoint {
        airspeed: Airspeed::new(u16::try_from(airspeed).expect("positive")).expect("in range"),
        power: watts(dice),
    };
    airspeeds.into_iter().map(point).collect()
}

fn pack(dice: &mut Dice, figures: &mut Figures) {
    let battery = &mut figures.battery;
    battery.capacity = Capacity::new(end(dice, Capacity::MIN, Capacity::MAX)).expect("in range");
    battery.nominal = Voltage::new(end(dice, Voltage::MIN, Voltage::MAX)).expect("in range");
    battery.health = Health::new(end(dice, Health::MIN, Health::MAX)).expect("in range");
    battery.reserve = Reserve::new(end(dice, Reserve::MIN, Reserve::MAX)).expect("in range");
    if dice.chance(0.5) {
        battery.capacity = Capacity::new(Capacity::MAX).expect("in range");
        battery.nominal = Voltage::new(Voltage::MAX).expect("in range");
        (battery.health, battery.reserve) =
            (Health::new(Health::MAX).expect("in range"), Reserve::new(Reserve::MIN).expect("in range"));
    }
    battery.cells = Cells::new(end(dice, Cells::MIN, Cells::MAX)).expect("in range");
    battery.rest = dice.chance(0.5).then(|| time(dice));
    figures.charge = dice.chance(0.6).then(|| charge_points(dice));
}

fn charge_points(dice: &mut Dice) -> ChargePoints {
    let mut cells: Vec<i32> =
        (0..dice.whole(0, 10)).map(|_| end(dice, i32::from(CellVoltage::MIN), i32::from(CellVoltage::MAX))).collect();
    cells.extend([i32::from(CellVoltage::MIN), i32::from(CellVoltage::MAX)]);
    cells.sort_unstable();
    cells.dedup();
    let mut charges: Vec<i32> = cells.iter().map(|_| end(dice, 0, 100)).collect();
    charges.sort_unstable();
    let point = |(cell, charge): (&i32, &i32)| ChargePoint {
        cell: CellVoltage::new(u16::try_from(*cell).expect("positive")).expect("in range"),
        charge: StateOfCharge::new(u8::try_from(*charge).expect("positive")).expect("in range"),
    };
    cells.iter().zip(&charges).map(point).collect()
}

fn readings(dice: &mut Dice, chart: Chart, figures: &Figures) -> Readings {
    let pack = (figures.charge.is_some() && dice.chance(0.8)).then(|| PackReading {
        voltage: Voltage::new(end(dice, Voltage::MIN, Voltage::MAX)).expect("in range"),
        rested: dice.chance(0.3).then(|| time(dice)),
    });
    let aloft = dice.chance(0.3).then(|| {
        let (latitude, longitude) = place(dice, chart);
        Aloft {
            position: position(latitude, longitude),
            height: height(end(dice, 1, Height::MAX)),
            left: Charge::new(end(dice, Charge::MIN, Charge::MAX)).expect("in range"),
        }
    });
    Readings { pack, aloft, ..Readings::default() }
}

fn place(dice: &mut Dice, chart: Chart) -> (i32, i32) {
    let meters = dice.pick(&[0.0, 0.011, 1.0, 1000.0, REACH, REACH]);
    let (sin, cos) = dice.pick(&[0.0_f64, 45.0, 90.0, 180.0, 200.0, 270.0]).to_radians().sin_cos();
    chart.counts((meters * sin, meters * cos))
}

fn steps(dice: &mut Dice, chart: Chart, aloft: Option<Aloft>) -> Vec<Step> {
    let mut steps = Vec::new();
    if aloft.is_none() {
        steps.push(climb(end(dice, 1, Height::MAX)));
    }
    for _ in 0..dice.whole(0, 4) {
        let mut step = fly(place(dice, chart), end(dice, 1, Height::MAX), end(dice, 1, Speed::MAX));
        if let Step::Fly { hold, .. } = &mut step {
            *hold = time(dice);
        }
        steps.push(step);
        if dice.chance(0.3) {
            steps.push(Step::Hold { time: time(dice) });
        }
    }
    steps.push(if dice.chance(0.5) { Step::Land } else { Step::Return });
    steps
}
