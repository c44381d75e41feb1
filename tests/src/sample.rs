//! Limits and routes to test with: an invented aircraft with mild limits, and builders that change what a test is about.

use pinfold_core::{
    check::check,
    fingerprint::Fingerprint,
    geometry::position::Position,
    model::{
        ground::{GroundCell, GroundPlan},
        limits::{
            Aircraft, Battery, ChargePoint, ChargePoints, Figures, Freshness, Heights, Margins, PowerPoint, PowerTable,
            ReturnHabits, RouteHabits, Wind, WindFrom,
        },
        route::{Launch, Step},
        store::{LimitsError, LimitsStore},
        zone::{HeightBand, HeightReference, Shape, Zone, ZoneKind},
    },
    rules::Readings,
    units::{
        Airspeed, Capacity, CellCount, CellSide, CellVoltage, Cells, CountHeight, Direction, Duration, Health, Height,
        Length, Power, Reserve, Speed, SpeedLimit, Spread, StateOfCharge, Tilt, Voltage, WindSpeed,
    },
    verdict::{Finding, Rule, Subject, Verdict},
};

/// No wind at all.
pub const STILL: Wind = Wind { up_to: WindSpeed::new(0).expect("in range"), from: None };

/// A position from counts of 1e-7 degree.
#[must_use]
pub fn position(latitude: i32, longitude: i32) -> Position {
    Position::new(latitude, longitude).expect("a position in range")
}

/// A length from 0.01 m.
#[must_use]
pub fn length(centimetres: i32) -> Length {
    Length::new(centimetres).expect("a length in range")
}

/// A height from 0.01 m.
#[must_use]
pub fn height(centimetres: i32) -> Height {
    Height::new(centimetres).expect("a height in range")
}

/// A limit of speed from 0.01 m/s.
#[must_use]
pub fn speed_limit(speed: i32) -> SpeedLimit {
    SpeedLimit::new(speed).expect("a limit in range")
}

/// A time from 0.01 s.
#[must_use]
pub fn duration(centiseconds: i32) -> Duration {
    Duration::new(centiseconds).expect("a time in range")
}

/// Figures of an invented small quad with wide limits: everything but the zones is easily kept.
///
/// # Panics
/// Never: the figures are in range.
#[must_use]
pub fn figures() -> Figures {
    let point = |(airspeed, watts)| PowerPoint {
        airspeed: Airspeed::new(airspeed).expect("in range"),
        power: Power::new(watts).expect("in range"),
    };
    Figures {
        name: "invented quad".try_into().expect("short"),
        margins: Margins {
            fixed: length(700),
            reaction: duration(100),
            brake_tilt: Tilt::new(45).expect("in range"),
            up_fixed: length(100),
            people: None,
        },
        heights: Heights {
            ceiling: height(12_000),
            floor: height(100),
            ceiling_above_sea: None,
            ceiling_above_ground: None,
            ground_clearance: None,
        },
        air: None,
        aircraft: Aircraft {
            size: length(50),
            airspeed_max: speed_limit(1400),
            speed_max: speed_limit(1000),
            climb: speed_limit(300),
            descent: speed_limit(200),
        },
        wind: STILL,
        homeward: ReturnHabits {
            height: height(2000),
            speed: speed_limit(400),
            hold: duration(500),
            landing: speed_limit(70),
            landing_max: speed_limit(100),
            disarm: Some(duration(200)),
        },
        battery: Battery {
            capacity: Capacity::new(1_000_000).expect("in range"),
            cells: Cells::new(4).expect("in range"),
            nominal: Voltage::new(1480).expect("in range"),
            health: Health::new(100).expect("in range"),
            reserve: Reserve::new(0).expect("in range"),
            rest: None,
        },
        charge: None,
        power: PowerTable {
            points: [(0, 190), (500, 175), (1000, 230)].into_iter().map(point).collect(),
            climb: Power::new(260).expect("in range"),
        },
        link: None,
        route: None,
        launch: None,
        readings: Freshness::default(),
    }
}

/// Wind up to a speed in 0.01 m/s, from a direction and so far to either side of it, both in degrees.
///
/// # Panics
/// A figure is out of range.
#[must_use]
pub fn wind_from(up_to: i32, (direction, spread): (i32, i32)) -> Wind {
    let direction = Direction::new(direction).expect("a direction in range");
    let from = WindFrom { direction, spread: Spread::new(spread).expect("a spread in range") };
    Wind { up_to: WindSpeed::new(up_to).expect("a wind in range"), from: Some(from) }
}

/// A table of charge by voltage: of a cell in 0.001 V, and per cent.
///
/// # Panics
/// A figure is out of range, or there are too many points.
#[must_use]
pub fn charge_points(points: &[(u16, u8)]) -> ChargePoints {
    let point = |(cell, charge): &(u16, u8)| ChargePoint {
        cell: CellVoltage::new(*cell).expect("a voltage in range"),
        charge: StateOfCharge::new(*charge).expect("a charge in range"),
    };
    points.iter().map(point).collect()
}

/// A route's expected looks, both in 0.01 m.
#[must_use]
pub fn route_habits(longest_leg: i32, first_point_within: i32) -> RouteHabits {
    RouteHabits { longest_leg: length(longest_leg), first_point_within: length(first_point_within) }
}

/// How cells of ground data lie: the south-west corner, how many rows and columns, how far a cell reaches north and east, all
/// in 1e-7 degree; the base and what a count is, in 0.01 m.
///
/// # Panics
/// A figure is out of range.
#[must_use]
pub fn ground_plan(
    corner: (i32, i32), (rows, columns): (u8, u8), (north, east): (i32, i32), (base, count_height): (i32, i32),
) -> GroundPlan {
    GroundPlan {
        corner: position(corner.0, corner.1),
        rows: CellCount::new(rows).expect("in range"),
        columns: CellCount::new(columns).expect("in range"),
        cell_north: CellSide::new(north).expect("in range"),
        cell_east: CellSide::new(east).expect("in range"),
        base: height(base),
        count_height: CountHeight::new(count_height).expect("in range"),
    }
}

/// Limits in the making.
#[derive(Debug)]
pub struct Site {
    store: Box<LimitsStore>,
}

impl Site {
    /// No zones yet.
    #[must_use]
    pub fn new(figures: Figures) -> Self {
        let mut store = Box::new(LimitsStore::new());
        store.begin(figures);
        Self { store }
    }

    /// Adds a polygon; the first ring is the outer one, vertices are (latitude, longitude) in 1e-7 degree.
    ///
    /// # Errors
    /// There is no room.
    ///
    /// # Panics
    /// A vertex or the name is out of range.
    pub fn polygon(
        mut self, name: &str, kind: ZoneKind, heights: Option<HeightBand>, rings: &[Vec<(i32, i32)>],
    ) -> Result<Self, LimitsError> {
        let name = name.try_into().expect("a short name");
        self.store.zone(Zone { name, kind, heights, shape: Shape::Polygon })?;
        for ring in rings {
            self.store.ring()?;
            for (latitude, longitude) in ring {
                self.store.vertex(position(*latitude, *longitude))?;
            }
        }
        Ok(self)
    }

    /// Adds a circle to keep out of; centre in 1e-7 degree, radius in 0.01 m.
    ///
    /// # Errors
    /// There is no room.
    ///
    /// # Panics
    /// A figure or the name is out of range.
    pub fn circle(
        self, name: &str, heights: Option<HeightBand>, center: (i32, i32), radius: i32,
    ) -> Result<Self, LimitsError> {
        self.circle_of(name, ZoneKind::KeepOut, heights, center, radius)
    }

    /// Adds a circle of a kind; centre in 1e-7 degree, radius in 0.01 m.
    ///
    /// # Errors
    /// There is no room.
    ///
    /// # Panics
    /// A figure or the name is out of range.
    pub fn circle_of(
        mut self, name: &str, kind: ZoneKind, heights: Option<HeightBand>, center: (i32, i32), radius: i32,
    ) -> Result<Self, LimitsError> {
        let shape = Shape::Circle { center: position(center.0, center.1), radius: length(radius) };
        let name = name.try_into().expect("a short name");
        self.store.zone(Zone { name, kind, heights, shape })?;
        Ok(self)
    }

    /// Gives the site ground data, row by row from the south-west.
    ///
    /// # Panics
    /// There are more cells than a store can hold.
    #[must_use]
    pub fn ground(mut self, plan: GroundPlan, cells: &[GroundCell]) -> Self {
        self.store.ground(plan);
        cells.iter().for_each(|cell| self.store.cell(*cell).expect("room for the cells"));
        self
    }

    /// The store, sealed.
    ///
    /// # Errors
    /// What is wrong with the limits.
    pub fn seal(mut self) -> Result<Box<LimitsStore>, LimitsError> {
        self.store.seal()?;
        Ok(self.store)
    }
}

/// Heights above launch, 0.01 m.
#[must_use]
pub fn band(floor: Option<i32>, ceiling: Option<i32>) -> HeightBand {
    HeightBand { reference: HeightReference::AboveLaunch, floor: floor.map(height), ceiling: ceiling.map(height) }
}

/// A launch point in 1e-7 degree.
///
/// # Panics
/// A coordinate is out of range.
#[must_use]
pub fn launch(latitude: i32, longitude: i32) -> Launch {
    Launch { name: "invented".try_into().expect("short"), position: position(latitude, longitude), elevation: None }
}

/// A climb to a height in 0.01 m.
#[must_use]
pub fn climb(to: i32) -> Step {
    Step::Climb { height: height(to) }
}

/// A fly step without a hold: (latitude, longitude) in 1e-7 degree, 0.01 m, 0.01 m/s.
///
/// # Panics
/// A figure is out of range.
#[must_use]
pub fn fly(to: (i32, i32), at: i32, speed: i32) -> Step {
    let speed = Speed::new(speed).expect("a speed in range");
    Step::Fly { to: position(to.0, to.1), height: height(at), speed, hold: duration(0) }
}

/// The verdict on a route held to a sealed store's limits, without fingerprints.
///
/// # Panics
/// The store isn't sealed.
#[must_use]
pub fn judge(store: &LimitsStore, launch: Launch, steps: &[Step]) -> Verdict {
    judge_here(store, launch, None, steps)
}

/// The same for an aircraft that stands somewhere.
///
/// # Panics
/// The store isn't sealed.
#[must_use]
pub fn judge_here(store: &LimitsStore, launch: Launch, here: Option<Position>, steps: &[Step]) -> Verdict {
    judge_with(store, launch, Readings { here, ..Readings::default() }, steps)
}

/// The same with anything that is known at the field.
///
/// # Panics
/// The store isn't sealed.
#[must_use]
pub fn judge_with(store: &LimitsStore, launch: Launch, readings: Readings, steps: &[Step]) -> Verdict {
    let subject = Subject { route: Fingerprint::NONE, limits: Fingerprint::NONE };
    check(store.limits().expect("sealed limits"), launch, readings, steps.iter().copied(), subject)
}

/// What a rule found, for a zone where it is about one.
#[must_use]
pub fn found(verdict: &Verdict, rule: Rule, zone: Option<u8>) -> Option<&Finding> {
    verdict.findings.iter().find(|finding| finding.rule == rule && (zone.is_none() || finding.zone == zone))
}
