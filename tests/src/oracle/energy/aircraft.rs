//! Invented aircraft: plausible power tables and some that are odd, winds, speeds, habits.

use pinfold_core::{
    model::limits::{Figures, PowerPoint, PowerPoints, Wind, WindFrom},
    units::{Airspeed, Direction, Power, Spread, WindSpeed},
};

use crate::{
    oracle::space::dice::Dice,
    sample::{duration, figures, height, speed_limit},
};

/// Wide limits with another aircraft.
pub fn aircraft(dice: &mut Dice) -> Figures {
    let mut figures = figures();
    figures.wind = wind(dice);
    figures.aircraft.speed_max = speed_limit(1500);
    figures.aircraft.climb = speed_limit(dice.pick(&[50, 100, 200, 300, 500, 1200]));
    figures.aircraft.descent = speed_limit(dice.pick(&[50, 100, 150, 300, 800]));
    figures.homeward.height = height(dice.whole(300, 11_000));
    figures.homeward.speed = speed_limit(speed(dice));
    figures.homeward.hold = duration(dice.pick(&[0, 0, 500, 6000]));
    figures.homeward.landing = speed_limit(dice.whole(30, 150));
    let hover = dice.between(50.0, 400.0);
    figures.power.points = table(dice, hover, figures.wind.up_to.get() + 1500);
    figures.power.climb = watts(hover * dice.between(0.8, 2.0));
    figures
}

/// A speed over ground, 0.01 m/s.
pub fn speed(dice: &mut Dice) -> i32 {
    if dice.chance(0.1) { dice.whole(20, 100) } else { dice.whole(100, 1500) }
}

fn wind(dice: &mut Dice) -> Wind {
    let up_to = match dice.whole(0, 9) {
        0 => 0,
        1 => dice.whole(1, 50),
        _ => dice.whole(50, 1200),
    };
    let spread = match dice.whole(0, 5) {
        0 => 0,
        1 => dice.whole(1, 6),
        2 => dice.whole(170, 180),
        _ => dice.whole(0, 180),
    };
    let from = WindFrom {
        direction: Direction::new(dice.whole(0, 359)).expect("in range"),
        spread: Spread::new(spread).expect("in range"),
    };
    Wind { up_to: WindSpeed::new(up_to).expect("in range"), from: dice.chance(0.6).then_some(from) }
}

fn watts(watts: f64) -> Power {
    #[expect(clippy::cast_possible_truncation, reason = "clamped")]
    Power::new(watts.round().clamp(1.0, 50_000.0) as i32).expect("in range")
}

/// A table that reaches as far as the aircraft may ask for, mostly; airspeeds in 0.01 m/s.
fn table(dice: &mut Dice, hover: f64, far: i32) -> PowerPoints {
    let end = if dice.chance(0.05) { far * dice.whole(40, 99) / 100 } else { far + dice.whole(0, 1000) };
    let count = dice.whole(1, 7).min(end / 50);
    let mut cuts: Vec<i32> = (1..count).map(|_| dice.whole(1, end - 1)).collect();
    cuts.push(end);
    cuts.sort_unstable();
    // Points nearer to each other than a metre per second would be steeper than an aircraft is.
    let mut kept: Vec<i32> = cuts.into_iter().rev().fold(Vec::new(), |mut kept, cut| {
        if cut >= 100 && kept.last().is_none_or(|above| above - cut >= 100) {
            kept.push(cut);
        }
        kept
    });
    kept.push(0);
    kept.reverse();
    let power = if dice.chance(0.2) { odd(dice, hover, &kept) } else { curve(dice, hover, &kept) };
    let point = |(airspeed, power): (&i32, &f64)| PowerPoint {
        airspeed: Airspeed::new(u16::try_from(*airspeed).expect("positive")).expect("in range"),
        power: watts(*power),
    };
    kept.iter().zip(&power).map(point).collect()
}

/// A valley, then a rise with the cube.
fn curve(dice: &mut Dice, hover: f64, airspeeds: &[i32]) -> Vec<f64> {
    let (dip, at, rise) = (dice.between(0.0, 0.35), dice.between(3.0, 10.0), dice.magnitude(0.1, 2.0));
    let power = |airspeed: &i32| {
        let airspeed = f64::from(*airspeed) / 100.0;
        let valley = dip * airspeed / at * (1.0 - airspeed / at).exp();
        hover * (1.0 - valley + rise * (airspeed / 20.0).powi(3))
    };
    airspeeds.iter().map(power).collect()
}

/// Hills and valleys, a tenth of the hover power per metre per second at most.
fn odd(dice: &mut Dice, hover: f64, airspeeds: &[i32]) -> Vec<f64> {
    let mut power = vec![hover];
    for pair in airspeeds.windows(2) {
        let steps = f64::from(pair[1] - pair[0]) / 100.0;
        let last = power[power.len() - 1];
        power.push((last + hover * dice.between(-0.1, 0.1) * steps).clamp(0.4 * hover, 3.0 * hover));
    }
    power
}
