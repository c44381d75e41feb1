//! Cases with other aircraft, packs, habits and orders of steps than [`super::generate`] makes.

use pinfold_core::{
    model::{
        limits::{Figures, PowerPoint},
        route::Step,
        zone::{HeightBand, HeightReference},
    },
    units::{Airspeed, Capacity, Health, Height, Power, Reserve, Voltage},
};
use proptest::{collection::vec, option, prelude::*};

use super::generate::{Case, case};
use crate::sample::{band, climb, duration, height, route_habits, speed_limit};

/// Capacity in mAh, 0.01 V, health and reserve in per cent.
type Pack = (i32, i32, i32, i32);
/// First power, (airspeed step, watts) for each further point, climb power.
type Powers = (i32, Vec<(u16, i32)>, i32);
/// Highest speed, climb rate, descent rate, return height, return speed, hold, landing rate.
type Rates = (i32, i32, i32, i32, i32, i32, i32);
/// Ceiling, floor, ceiling above sea, elevation of launch, whether zones' heights are above sea.
type Levels = (i32, i32, Option<i32>, Option<i32>, bool);
/// A change of the steps: where, which, a height.
type Change = (usize, u8, i32);

fn packs() -> impl Strategy<Value = Pack> {
    (200..100_000_i32, 300..3000_i32, 20..=100_i32, 0..80_i32)
}

fn powers() -> impl Strategy<Value = Powers> {
    (20..400_i32, vec((50..700_u16, 20..600_i32), 1..8), 20..600_i32)
}

fn rates() -> impl Strategy<Value = Rates> {
    (500..1500_i32, 50..6000_i32, 50..6000_i32, 300..4000_i32, 50..500_i32, 0..2000_i32, 30..200_i32)
}

fn levels() -> impl Strategy<Value = Levels> {
    (
        4000..13_000_i32,
        -500..500_i32,
        option::weighted(0.3, -5000..90_000_i32),
        option::weighted(0.8, -5000..50_000_i32),
        any::<bool>(),
    )
}

/// Cases with everything varied.
pub fn varied() -> impl Strategy<Value = Case> {
    let habits = option::of((100..60_000_i32, 100..60_000_i32));
    (case(0.05), packs(), powers(), rates(), levels(), habits, vec((0..6_usize, 0..16_u8, 0..6000_i32), 0..3)).prop_map(
        |(mut case, pack, power, rates, levels, habits, changes)| {
            set_pack(&mut case.figures, pack);
            set_power(&mut case.figures, &power);
            set_rates(&mut case.figures, rates);
            set_levels(&mut case, levels);
            case.figures.route = habits.map(|(longest, first)| route_habits(longest, first));
            changes.iter().for_each(|change| set_steps(&mut case.steps, *change));
            case
        },
    )
}

/// Cases far from the equator with long slopes by zones that begin or end halfway up.
pub fn slopes() -> impl Strategy<Value = Case> {
    let bands = vec((2000..8000_i32, any::<bool>()), 4);
    let cases = case(1.0).prop_filter("far from the equator", |case| {
        case.launch.position.latitude.get().abs() > 500_000_000 && case.zones.len() > 1
    });
    (cases, bands).prop_map(|(mut case, bands)| {
        for (number, step) in case.steps.iter_mut().enumerate() {
            if let Step::Climb { height: to } | Step::Fly { height: to, .. } = step {
                *to = height(if number % 2 == 0 { 500 } else { 11_000 });
            }
        }
        for ((_, heights), (level, floor)) in case.zones.iter_mut().skip(1).zip(bands) {
            *heights = Some(if floor { band(Some(level), None) } else { band(None, Some(level)) });
        }
        case
    })
}

fn set_pack(figures: &mut Figures, (capacity, nominal, health, reserve): Pack) {
    figures.battery.capacity = Capacity::new(capacity).expect("in range");
    figures.battery.nominal = Voltage::new(nominal).expect("in range");
    figures.battery.health = Health::new(health).expect("in range");
    figures.battery.reserve = Reserve::new(reserve).expect("in range");
}

fn set_power(figures: &mut Figures, (first, further, climb): &Powers) {
    let watts = |watts: i32| Power::new(watts).expect("in range");
    figures.power.points.clear();
    let mut airspeed = 0;
    for (step, power) in std::iter::once((0, *first)).chain(further.iter().copied()) {
        airspeed += step;
        figures
            .power
            .points
            .push(PowerPoint { airspeed: Airspeed::new(airspeed).expect("in range"), power: watts(power) })
            .expect("at most eight");
    }
    figures.power.climb = watts(*climb);
}

fn set_rates(figures: &mut Figures, (fastest, climb, descent, return_height, speed, hold, landing): Rates) {
    figures.aircraft.speed_max = speed_limit(fastest);
    (figures.aircraft.climb, figures.aircraft.descent) = (speed_limit(climb), speed_limit(descent));
    figures.homeward.height = height(return_height);
    figures.homeward.speed = speed_limit(speed);
    figures.homeward.hold = duration(hold);
    figures.homeward.landing = speed_limit(landing);
}

fn set_levels(case: &mut Case, (ceiling, floor, sea, elevation, zones_above_sea): Levels) {
    case.figures.heights.ceiling = height(ceiling);
    case.figures.heights.floor = height(floor);
    case.figures.heights.ceiling_above_sea = sea.map(height);
    case.launch.elevation = elevation.map(height);
    let Some(elevation) = elevation.filter(|_| zones_above_sea) else { return };
    let lift = |level: Option<Height>| level.map(|level| height(level.get() + elevation));
    for (_, band) in &mut case.zones {
        *band = band.map(|band| HeightBand {
            reference: HeightReference::AboveSea,
            floor: lift(band.floor),
            ceiling: lift(band.ceiling),
        });
    }
}

/// Puts in, takes out, doubles or swaps steps: what comes out need not be a flight.
fn set_steps(steps: &mut Vec<Step>, (place, kind, height): Change) {
    let place = place % steps.len().max(1);
    match kind {
        0 | 1 => steps.insert(place, Step::Hold { time: duration(height) }),
        2 => steps.insert(place, climb(height)),
        3 | 4 if !steps.is_empty() => steps.insert(place, steps[place]),
        5 if !steps.is_empty() => drop(steps.remove(place)),
        6 if !steps.is_empty() => steps.swap(0, place),
        7 => steps.push(Step::Return),
        _ => {}
    }
}
