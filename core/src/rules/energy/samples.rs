//! Figures to test with: an invented small quad.

use crate::{
    model::limits::{
        Aircraft, Battery, Figures, Freshness, Heights, Margins, PowerPoint, PowerTable, ReturnHabits, Wind,
    },
    units::{
        Airspeed, Capacity, Cells, Duration, Health, Height, Length, Power, Reserve, SpeedLimit, Tilt, Voltage,
        WindSpeed,
    },
};

pub(crate) fn figures() -> Figures {
    let point = |(airspeed, watts)| PowerPoint {
        airspeed: Airspeed::new(airspeed).unwrap(),
        power: Power::new(watts).unwrap(),
    };
    let (height, length) = (|value| Height::new(value).unwrap(), |value| Length::new(value).unwrap());
    let (speed, time) = (|value| SpeedLimit::new(value).unwrap(), |value| Duration::new(value).unwrap());
    Figures {
        name: "invented quad".try_into().unwrap(),
        margins: Margins {
            fixed: length(0),
            reaction: time(0),
            brake_tilt: Tilt::new(45).unwrap(),
            up_fixed: length(0),
            people: None,
        },
        heights: Heights {
            ceiling: height(12_000),
            floor: height(0),
            ceiling_above_sea: None,
            ceiling_above_ground: None,
            ground_clearance: None,
        },
        air: None,
        aircraft: Aircraft {
            size: length(50),
            airspeed_max: speed(1400),
            speed_max: speed(1000),
            climb: speed(200),
            descent: speed(150),
        },
        wind: Wind { up_to: WindSpeed::new(0).unwrap(), from: None },
        homeward: ReturnHabits {
            height: height(2000),
            speed: speed(400),
            hold: time(500),
            landing: speed(50),
            landing_max: speed(100),
            disarm: Some(time(200)),
        },
        battery: Battery {
            capacity: Capacity::new(5000).unwrap(),
            cells: Cells::new(4).unwrap(),
            nominal: Voltage::new(1480).unwrap(),
            health: Health::new(90).unwrap(),
            reserve: Reserve::new(25).unwrap(),
            rest: None,
        },
        charge: None,
        power: PowerTable {
            points: [(0, 190), (500, 175), (1000, 230)].into_iter().map(point).collect(),
            climb: Power::new(260).unwrap(),
        },
        link: None,
        route: None,
        launch: None,
        readings: Freshness::default(),
    }
}
