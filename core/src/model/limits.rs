//! The limits that a route is held to, but for the zones.

use serde::{Deserialize, Serialize};

use super::{Name, is_name};
use crate::{
    geometry::position::Position,
    units::{
        Airspeed, Capacity, CellVoltage, Cells, Direction, Duration, Health, Height, Length, Power, Reserve,
        SpeedLimit, Spread, StateOfCharge, Temperature, Tilt, Voltage, WindSpeed,
    },
};

/// Most points in the power table.
pub const POWER_POINTS: usize = 8;
/// Most points in the table of charge by voltage.
pub const CHARGE_POINTS: usize = 12;

/// Distances to keep. See [`crate::rules::margin`] for how they combine.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Margins {
    /// Horizontal distance to keep at any speed: position error, position keeping, map error.
    pub fixed: Length,
    /// Time until the aircraft begins to brake.
    pub reaction: Duration,
    /// Tilt that it brakes with.
    pub brake_tilt: Tilt,
    /// Vertical distance to keep at any speed, up and down: height error, overshoot of a climb.
    pub up_fixed: Length,
    /// Horizontal distance to keep from people however low the aircraft is, where that is said.
    pub people: Option<Length>,
}

/// Heights to keep between.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Heights {
    /// Highest height above launch.
    pub ceiling: Height,
    /// Lowest height above launch between climb and landing.
    pub floor: Height,
    /// Highest height above mean sea level.
    pub ceiling_above_sea: Option<Height>,
    /// Highest height above the lowest ground that ground data allow.
    pub ceiling_above_ground: Option<Height>,
    /// Height to keep above the highest ground that ground data allow; nothing said is 0 where there are ground data.
    pub ground_clearance: Option<Height>,
}

/// The air at launch, for what a barometric height is off. See [`crate::rules::air`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Air {
    /// Coldest that it may be.
    pub coldest: Temperature,
    /// Warmest that it may be.
    pub warmest: Temperature,
}

/// What the aircraft is and can do.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Aircraft {
    /// Largest dimension.
    pub size: Length,
    /// Highest airspeed that it can hold.
    pub airspeed_max: SpeedLimit,
    /// Highest speed over ground.
    pub speed_max: SpeedLimit,
    /// Highest rate of climb.
    pub climb: SpeedLimit,
    /// Highest rate of descent.
    pub descent: SpeedLimit,
}

/// Where the wind may come from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct WindFrom {
    /// Where it comes from.
    pub direction: Direction,
    /// How far to either side of that.
    pub spread: Spread,
}

/// The wind that is allowed for. See [`crate::rules::energy`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Wind {
    /// The strongest; every wind from still air up to it is allowed for.
    pub up_to: WindSpeed,
    /// Where it comes from; from anywhere where that isn't said.
    pub from: Option<WindFrom>,
}

/// The habits of the automatic return.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ReturnHabits {
    /// Height above launch that it rises to first.
    pub height: Height,
    /// Speed over ground on the way home.
    pub speed: SpeedLimit,
    /// Hold above launch.
    pub hold: Duration,
    /// Rate of descent when landing.
    pub landing: SpeedLimit,
    /// Highest rate of descent allowed when landing.
    pub landing_max: SpeedLimit,
    /// Time from touchdown to disarming; none without automatic disarm.
    pub disarm: Option<Duration>,
}

/// The pack.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Battery {
    /// Capacity when new.
    pub capacity: Capacity,
    /// Cells in series.
    pub cells: Cells,
    /// Nominal voltage of the pack.
    pub nominal: Voltage,
    /// What is left of the capacity.
    pub health: Health,
    /// The part of the charge that must be left at touchdown.
    pub reserve: Reserve,
    /// How long a pack must have rested before its voltage tells its charge, where that is said.
    pub rest: Option<Duration>,
}

/// One point of the table of charge by voltage.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ChargePoint {
    /// Resting voltage of a cell.
    pub cell: CellVoltage,
    /// What it holds then, of the healthy charge.
    pub charge: StateOfCharge,
}

/// The points of a table of charge by voltage.
pub type ChargePoints = heapless::Vec<ChargePoint, CHARGE_POINTS>;

/// One point of the power table.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct PowerPoint {
    /// Airspeed; the first point's is 0.
    pub airspeed: Airspeed,
    /// Power in level flight at that airspeed.
    pub power: Power,
}

/// The points of a power table.
pub type PowerPoints = heapless::Vec<PowerPoint, POWER_POINTS>;

/// What flying costs.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct PowerTable {
    /// Two to eight points, airspeeds rising from 0.
    pub points: PowerPoints,
    /// Power while climbing.
    pub climb: Power,
}

/// The radio link.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Link {
    /// Farthest that the radio reaches.
    pub range: Length,
    /// Where the ground station is, where not at launch.
    pub station: Option<Position>,
}

/// Where the aircraft must stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct LaunchSpot {
    /// Farthest that it may stand from the planned launch point.
    pub within: Length,
}

/// How old a reading may be to count: a board gives a permit only with readings of these kinds that are that fresh. Where a
/// kind isn't said, it asks for no such reading.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Freshness {
    /// Where the aircraft stands.
    pub position: Option<Duration>,
    /// The pack's resting voltage.
    pub pack: Option<Duration>,
    /// Whether the aircraft is flying; after five seconds nobody knows.
    pub flight: Option<Duration>,
}

impl Freshness {
    /// Whether a reading is asked for that is never fresh enough.
    fn never(self) -> bool {
        [self.position, self.pack, self.flight].contains(&Some(Duration::NONE))
    }
}

/// What a route of this kind is expected to look like.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct RouteHabits {
    /// Longest leg expected.
    pub longest_leg: Length,
    /// Farthest that the first point is expected from launch.
    pub first_point_within: Length,
}

/// All limits but the zones.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Figures {
    /// What the limits are called.
    pub name: Name,
    /// Distances to keep.
    pub margins: Margins,
    /// Heights to keep between.
    pub heights: Heights,
    /// How warm the air may be, where that is said.
    pub air: Option<Air>,
    /// The aircraft.
    pub aircraft: Aircraft,
    /// The wind that is allowed for.
    pub wind: Wind,
    /// Its automatic return.
    pub homeward: ReturnHabits,
    /// Its pack.
    pub battery: Battery,
    /// What the pack's voltage tells of its charge, where that is said: two to twelve points, voltages rising, charges not falling.
    pub charge: Option<ChargePoints>,
    /// What flying costs.
    pub power: PowerTable,
    /// The radio link, where it is to be looked at.
    pub link: Option<Link>,
    /// What the route is expected to look like, where that is said.
    pub route: Option<RouteHabits>,
    /// Where the aircraft must stand, where that is to be looked at.
    pub launch: Option<LaunchSpot>,
    /// How old readings may be on a board.
    pub readings: Freshness,
}

/// Why figures contradict themselves.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Contradiction {
    /// The name is empty, or has control characters.
    Name,
    /// The lowest height is above the highest.
    FloorAboveCeiling,
    /// The return height is above the ceiling.
    ReturnAboveCeiling,
    /// The return height is not above launch.
    ReturnNotAboveLaunch,
    /// The return is faster than the aircraft may fly.
    ReturnTooFast,
    /// The coldest air is warmer than the warmest.
    ColdestAboveWarmest,
    /// The table of charge by voltage has fewer than two points.
    ChargeTableShort,
    /// The voltages of the table of charge by voltage don't rise, or its charges fall.
    ChargeTableOrder,
    /// The power table has fewer than two points.
    PowerTableShort,
    /// The power table doesn't start at 0 m/s.
    PowerTableStart,
    /// The airspeeds of the power table don't rise.
    PowerTableOrder,
    /// A reading of where the aircraft stands is asked for, and nothing says where that must be.
    PositionWithoutLaunch,
    /// A reading is asked for that may have no age at all: there is never one.
    NeverFresh,
}

impl Figures {
    /// What contradicts itself, if anything.
    ///
    /// # Errors
    /// The first contradiction found.
    pub fn consistent(&self) -> Result<(), Contradiction> {
        let checks = [
            (!is_name(&self.name), Contradiction::Name),
            (self.heights.floor > self.heights.ceiling, Contradiction::FloorAboveCeiling),
            (self.homeward.height > self.heights.ceiling, Contradiction::ReturnAboveCeiling),
            (self.homeward.height.get() <= 0, Contradiction::ReturnNotAboveLaunch),
            (self.homeward.speed > self.aircraft.speed_max, Contradiction::ReturnTooFast),
            (self.air.is_some_and(|air| air.coldest > air.warmest), Contradiction::ColdestAboveWarmest),
            (self.charge.as_ref().is_some_and(|points| points.len() < 2), Contradiction::ChargeTableShort),
            (!self.charge.as_ref().is_none_or(charge_rises), Contradiction::ChargeTableOrder),
            (self.power.points.len() < 2, Contradiction::PowerTableShort),
            (self.power.points.first().is_some_and(|first| first.airspeed.get() != 0), Contradiction::PowerTableStart),
            (!self.power.points.is_sorted_by(|a, b| a.airspeed < b.airspeed), Contradiction::PowerTableOrder),
            (self.readings.position.is_some() && self.launch.is_none(), Contradiction::PositionWithoutLaunch),
            (self.readings.never(), Contradiction::NeverFresh),
        ];
        checks.into_iter().find(|(wrong, _)| *wrong).map_or(Ok(()), |(_, why)| Err(why))
    }
}

fn charge_rises(points: &ChargePoints) -> bool {
    points.is_sorted_by(|a, b| a.cell < b.cell && a.charge <= b.charge)
}
