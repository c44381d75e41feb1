//! Random routes, limits and verdicts that packed bytes can hold, the ends of every range more often than chance would have it.

use std::{fmt::Debug, ops::RangeInclusive};

use pinfold_core::{
    geometry::position::Position,
    model::{
        Name,
        limits::{
            Air, Aircraft, Battery, CHARGE_POINTS, ChargePoints, Figures, Freshness, Heights, LaunchSpot, Link,
            Margins, POWER_POINTS, PowerPoint, PowerTable, ReturnHabits, RouteHabits, Wind, WindFrom,
        },
        route::{Launch, Step},
    },
    units::{
        Airspeed, Capacity, CellVoltage, Cells, Direction, Duration, Health, Height, Latitude, Length, Longitude,
        Power, Reserve, Speed, SpeedLimit, Spread, StateOfCharge, Temperature, Tilt, Voltage, WindSpeed,
    },
};
use proptest::{collection, option, prelude::*};

use crate::sample::charge_points;

mod findings;
mod ground;
mod zones;

pub use findings::verdict_body;
pub use ground::ground;
pub use zones::limits;

/// So many cases. A failing one is printed, and belongs in a test of its own then: none is kept in a file.
#[must_use]
pub fn cases(count: u32) -> ProptestConfig {
    ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(count) }
}

/// A whole number of a range, its ends often.
fn number<N: Copy + Debug>(min: N, max: N) -> impl Strategy<Value = N> + Clone
where
    RangeInclusive<N>: Strategy<Value = N> + Clone,
{
    prop_oneof![1 => Just(min), 1 => Just(max), 6 => min..=max]
}

macro_rules! quantities {
    ($($function:ident: $quantity:ident;)*) => {$(
        fn $function() -> impl Strategy<Value = $quantity> + Clone {
            number($quantity::MIN, $quantity::MAX).prop_map(|value| $quantity::new(value).expect("in range"))
        }
    )*};
}

quantities! {
    latitude: Latitude;
    longitude: Longitude;
    height: Height;
    length: Length;
    speed: Speed;
    speed_limit: SpeedLimit;
    duration: Duration;
    tilt: Tilt;
    power: Power;
    voltage: Voltage;
    capacity: Capacity;
    cells: Cells;
    health: Health;
    reserve: Reserve;
    temperature: Temperature;
    wind_speed: WindSpeed;
    direction: Direction;
    spread: Spread;
}

/// A time that is longer than none.
fn age() -> impl Strategy<Value = Duration> + Clone {
    number(1, Duration::MAX).prop_map(|value| Duration::new(value).expect("in range"))
}

/// A name, seldom a short one: eight characters of up to four bytes.
fn name() -> impl Strategy<Value = Name> {
    "\\PC{1,8}".prop_map(|text| Name::try_from(text.as_str()).expect("32 bytes at most"))
}

prop_compose! {
    /// Any position.
    pub fn position()(latitude in latitude(), longitude in longitude()) -> Position {
        Position { latitude, longitude }
    }
}

prop_compose! {
    /// Any launch.
    pub fn launch()(name in name(), position in position(), elevation in option::of(height())) -> Launch {
        Launch { name, position, elevation }
    }
}

prop_compose! {
    fn fly()(to in position(), height in height(), speed in speed(), hold in duration()) -> Step {
        Step::Fly { to, height, speed, hold }
    }
}

/// Any step.
pub fn step() -> impl Strategy<Value = Step> {
    prop_oneof![
        2 => height().prop_map(|height| Step::Climb { height }),
        6 => fly(),
        2 => duration().prop_map(|time| Step::Hold { time }),
        1 => Just(Step::Land),
        1 => Just(Step::Return),
    ]
}

/// Some steps, in any order: whether they make a flight is no matter of the format.
pub fn steps() -> impl Strategy<Value = Vec<Step>> {
    collection::vec(step(), 0..40)
}

prop_compose! {
    fn margins()(
        fixed in length(), reaction in duration(), brake_tilt in tilt(), up_fixed in length(),
        people in option::of(length()),
    ) -> Margins {
        Margins { fixed, reaction, brake_tilt, up_fixed, people }
    }
}

prop_compose! {
    fn aircraft()(
        size in length(), airspeed_max in speed_limit(), speed_max in speed_limit(), climb in speed_limit(),
        descent in speed_limit(),
    ) -> Aircraft {
        Aircraft { size, airspeed_max, speed_max, climb, descent }
    }
}

prop_compose! {
    fn wind_from()(direction in direction(), spread in spread()) -> WindFrom {
        WindFrom { direction, spread }
    }
}

prop_compose! {
    fn wind()(up_to in wind_speed(), from in option::of(wind_from())) -> Wind {
        Wind { up_to, from }
    }
}

prop_compose! {
    fn homeward()(
        height in height(), speed in speed_limit(), hold in duration(), landing in speed_limit(),
        landing_max in speed_limit(), disarm in option::of(duration()),
    ) -> ReturnHabits {
        ReturnHabits { height, speed, hold, landing, landing_max, disarm }
    }
}

prop_compose! {
    fn battery()(
        capacity in capacity(), cells in cells(), nominal in voltage(), health in health(), reserve in reserve(),
        rest in option::of(duration()),
    ) -> Battery {
        Battery { capacity, cells, nominal, health, reserve, rest }
    }
}

prop_compose! {
    /// A table of charge by voltage: voltages rise, charges don't fall.
    fn charge_table()(
        cells in collection::btree_set(number(CellVoltage::MIN, CellVoltage::MAX), 2..=CHARGE_POINTS),
        mut charges in collection::vec(number(StateOfCharge::MIN, StateOfCharge::MAX), CHARGE_POINTS),
    ) -> ChargePoints {
        charges.sort_unstable();
        charge_points(&cells.into_iter().zip(charges).collect::<Vec<_>>())
    }
}

prop_compose! {
    /// A power table: airspeeds rise from 0.
    fn power_table()(
        airspeeds in collection::btree_set(1..=Airspeed::MAX, 1..POWER_POINTS),
        powers in collection::vec(power(), POWER_POINTS), climb in power(),
    ) -> PowerTable {
        let points = std::iter::once(0).chain(airspeeds).zip(powers);
        PowerTable { points: points.map(|(airspeed, power)| PowerPoint { airspeed: Airspeed::new(airspeed).expect("in range"), power }).collect(), climb }
    }
}

prop_compose! {
    fn heights()(
        ceiling in height(), floor in height(), ceiling_above_sea in option::of(height()),
        ceiling_above_ground in option::of(height()), ground_clearance in option::of(height()),
    ) -> Heights {
        Heights { ceiling, floor, ceiling_above_sea, ceiling_above_ground, ground_clearance }
    }
}

prop_compose! {
    fn air()(one in temperature(), other in temperature()) -> Air {
        Air { coldest: one.min(other), warmest: one.max(other) }
    }
}

prop_compose! {
    fn link()(range in length(), station in option::of(position())) -> Link {
        Link { range, station }
    }
}

prop_compose! {
    fn spot()(within in length()) -> LaunchSpot {
        LaunchSpot { within }
    }
}

prop_compose! {
    fn habits()(longest_leg in length(), first_point_within in length()) -> RouteHabits {
        RouteHabits { longest_leg, first_point_within }
    }
}

prop_compose! {
    /// How old readings may be: never no age at all.
    fn freshness()(
        position in option::of(age()), pack in option::of(age()), flight in option::of(age()),
    ) -> Freshness {
        Freshness { position, pack, flight }
    }
}

prop_compose! {
    /// Figures that don't contradict themselves.
    pub fn figures()(
        name in name(), margins in margins(), heights in heights(), (aircraft, wind) in (aircraft(), wind()),
        homeward in homeward(), (battery, charge) in (battery(), option::of(charge_table())), power in power_table(),
        route in option::of(habits()), air in option::of(air()), link in option::of(link()),
        (launch, readings) in (option::of(spot()), freshness()),
    ) -> Figures {
        consistent(Figures {
            name, margins, heights, air, aircraft, wind, homeward, battery, charge, power, link, route, launch, readings,
        })
    }
}

/// The figures with those put right that contradict others.
fn consistent(mut figures: Figures) -> Figures {
    let (heights, homeward) = (&mut figures.heights, &mut figures.homeward);
    homeward.height = homeward.height.max(Height::new(1).expect("in range"));
    heights.ceiling = heights.ceiling.max(heights.floor).max(homeward.height);
    homeward.speed = homeward.speed.min(figures.aircraft.speed_max);
    figures.readings.position = figures.readings.position.filter(|_| figures.launch.is_some());
    figures
}
