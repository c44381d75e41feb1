//! Figures at their largest: a board's memory for them is fixed.

use pinfold_core::{
    model::limits::{
        Air, Aircraft, Battery, Figures, Freshness, Heights, LaunchSpot, Link, Margins, PowerPoint, PowerTable,
        ReturnHabits, RouteHabits,
    },
    units::{
        Airspeed, Capacity, CellVoltage, Cells, Direction, Duration, Health, Height, Latitude, Length, Longitude,
        Power, Reserve, SpeedLimit, Spread, StateOfCharge, Temperature, Tilt, Voltage, WindSpeed,
    },
};

use crate::sample::{charge_points, duration, height, length, position, speed_limit, wind_from};

/// Figures of which every one takes as many bytes as it can: the last values of all ranges, and tables as long as they can be.
///
/// # Panics
/// Never: the figures are in range.
#[must_use]
pub fn largest_figures() -> Figures {
    let (long, far, high) = (duration(Duration::MAX), length(Length::MAX), height(Height::MAX));
    let (fast, fastest) = (speed_limit(SpeedLimit::MAX), Airspeed::MAX);
    let powerful = Power::new(Power::MAX).expect("in range");
    let point = |number: u16| PowerPoint { airspeed: Airspeed::new(number).expect("in range"), power: powerful };
    let airspeeds = std::iter::once(0).chain(fastest - 6..=fastest);
    let cells: Vec<_> = (CellVoltage::MAX - 11..=CellVoltage::MAX).map(|cell| (cell, StateOfCharge::MAX)).collect();
    Figures {
        name: "\u{1F6E1}".repeat(8).as_str().try_into().expect("32 bytes"),
        margins: Margins {
            fixed: far,
            reaction: long,
            brake_tilt: Tilt::new(Tilt::MAX).expect("in range"),
            up_fixed: far,
            people: Some(Length::new(Length::MAX).expect("in range")),
        },
        heights: Heights {
            ceiling: high,
            floor: high,
            ceiling_above_sea: Some(high),
            ceiling_above_ground: Some(high),
            ground_clearance: Some(high),
        },
        air: Some(Air {
            coldest: Temperature::new(Temperature::MIN).expect("in range"),
            warmest: Temperature::new(Temperature::MAX).expect("in range"),
        }),
        aircraft: Aircraft { size: far, airspeed_max: fast, speed_max: fast, climb: fast, descent: fast },
        wind: wind_from(WindSpeed::MAX, (Direction::MAX, Spread::MAX)),
        homeward: ReturnHabits {
            height: high,
            speed: fast,
            hold: long,
            landing: fast,
            landing_max: fast,
            disarm: Some(long),
        },
        battery: Battery {
            capacity: Capacity::new(Capacity::MAX).expect("in range"),
            cells: Cells::new(Cells::MAX).expect("in range"),
            nominal: Voltage::new(Voltage::MAX).expect("in range"),
            health: Health::new(Health::MAX).expect("in range"),
            reserve: Reserve::new(Reserve::MAX).expect("in range"),
            rest: Some(long),
        },
        charge: Some(charge_points(&cells)),
        power: PowerTable { points: airspeeds.map(point).collect(), climb: powerful },
        link: Some(Link { range: far, station: Some(position(Latitude::MAX, Longitude::MAX)) }),
        route: Some(RouteHabits { longest_leg: far, first_point_within: far }),
        launch: Some(LaunchSpot { within: far }),
        readings: Freshness { position: Some(long), pack: Some(long), flight: Some(long) },
    }
}
