//! What flying takes and what the pack gives: [wind], [battery] and [power].

use pinfold_core::{
    model::limits::{
        Battery, CHARGE_POINTS, ChargePoint, ChargePoints, POWER_POINTS, PowerPoint, PowerPoints, PowerTable, Wind,
        WindFrom,
    },
    units::{
        Airspeed, Capacity, CellVoltage, Cells, Direction, Duration, Health, Power, Reserve, Spread, StateOfCharge,
        Voltage, WindSpeed,
    },
};
use toml::{Spanned, de::DeValue};

use crate::{
    problem::Problem,
    read::{
        quantity,
        take::{take, take_if},
    },
    text::{
        decimal::Counts,
        table::{
            Finer::{self, Down, Refuse, Up},
            Quantity, Section,
        },
    },
};

/// Nominal voltages of a cell that there are, and room around them, 0.01 V: common practice, no source.
const CELL_VOLTS: (i32, i32) = (250, 450);

/// What a table of charge by voltage looks like.
pub(super) const CHARGE_TABLE: &str =
    "write two to twelve points, both figures rising: charge_table = [[3.600, 0], [3.800, 40], [4.200, 100]]";
/// What a power table looks like.
pub(super) const POWER_TABLE: &str =
    "write two to eight points, airspeeds rising from 0: table = [[0.0, 190.0], [5.0, 175.0]]";

/// Keys of [battery].
const BATTERY: [&str; 7] =
    ["capacity_mah", "cells", "nominal_volts", "health_percent", "reserve_percent", "rest_s", "charge_table"];

/// The wind that is allowed for: rounding makes it stronger and its range of directions wider.
pub(super) fn wind(root: &Section<'_>, notes: &mut Vec<String>) -> Result<Wind, Problem> {
    let section = root.section("wind", &["up_to_m_s", "from_deg", "spread_deg"])?;
    let up_to = take(&section, "up_to_m_s", quantity::WIND_SPEED, Up, notes, WindSpeed::new)?;
    Ok(Wind { up_to, from: from(&section, notes)? })
}

fn from(section: &Section<'_>, notes: &mut Vec<String>) -> Result<Option<WindFrom>, Problem> {
    let (there, missing) = match (section.has("from_deg"), section.has("spread_deg")) {
        (false, false) => return Ok(None),
        (true, true) => {
            return Ok(Some(WindFrom {
                direction: direction(section)?,
                spread: take(section, "spread_deg", quantity::SPREAD, Up, notes, Spread::new)?,
            }));
        }
        (true, false) => ("from_deg", "spread_deg"),
        (false, true) => ("spread_deg", "from_deg"),
    };
    let problem = section.problem_at(there, format!("the wind has `{there}` and no `{missing}`"));
    Err(problem.help("give the direction and how far to either side of it the wind may turn; or leave both out: then it may come from anywhere"))
}

/// A full turn, which is north.
const FULL_TURN: i64 = 360;

/// There is one way to write each direction.
fn direction(section: &Section<'_>) -> Result<Direction, Problem> {
    if section.value("from_deg").and_then(nearest_degree) == Some(FULL_TURN) {
        let problem = section.problem_at("from_deg", "`from_deg` is out of range: north is 0 degrees");
        return Err(problem.help("write from_deg = 0"));
    }
    take(section, "from_deg", quantity::DIRECTION, Refuse, &mut Vec::new(), Direction::new)
}

/// The whole degree that a number is nearest to.
fn nearest_degree(value: &Spanned<DeValue<'_>>) -> Option<i64> {
    let text = match value.get_ref() {
        DeValue::Integer(integer) => integer.as_str(),
        DeValue::Float(float) => float.as_str(),
        _ => return None,
    };
    Counts::parse(text, quantity::DIRECTION.digits).ok()?.nearest()
}

pub(super) fn battery(root: &Section<'_>, notes: &mut Vec<String>) -> Result<Battery, Problem> {
    let section = root.section("battery", &BATTERY)?;
    let battery = Battery {
        capacity: take(&section, "capacity_mah", quantity::CAPACITY, Down, notes, Capacity::new)?,
        cells: take(&section, "cells", quantity::CELLS, Refuse, notes, Cells::new)?,
        nominal: take(&section, "nominal_volts", quantity::VOLTAGE, Down, notes, Voltage::new)?,
        health: take(&section, "health_percent", quantity::HEALTH, Down, notes, Health::new)?,
        reserve: take(&section, "reserve_percent", quantity::RESERVE, Up, notes, Reserve::new)?,
        rest: take_if(&section, "rest_s", quantity::DURATION, Up, notes, Duration::new)?,
    };
    let per_cell = battery.nominal.get() / battery.cells.get().max(1);
    if (CELL_VOLTS.0..=CELL_VOLTS.1).contains(&per_cell) {
        return Ok(battery);
    }
    let say = format!("{} cells don't make this voltage", battery.cells.get());
    Err(section
        .problem_at("nominal_volts", say)
        .help("`nominal_volts` is the pack's: 3.2 to 3.8 V for each cell, by its kind"))
}

/// What a resting voltage tells: a higher voltage for the same charge is against the route, and so is less charge for a voltage.
pub(super) fn charge(root: &Section<'_>, notes: &mut Vec<String>) -> Result<Option<ChargePoints>, Problem> {
    let section = root.section("battery", &BATTERY)?;
    if !section.has("charge_table") {
        return Ok(None);
    }
    let list = List {
        section: &section,
        key: "charge_table",
        most: CHARGE_POINTS,
        of: "[volts of a resting cell, per cent that it holds]",
        example: CHARGE_TABLE,
        counts: [(quantity::CELL_VOLTAGE, Up), (quantity::STATE_OF_CHARGE, Down)],
    };
    let rows = list.rows(notes)?;
    let point = |[volts, percent]: [i64; 2]| {
        let cell = u16::try_from(volts).ok().and_then(CellVoltage::new)?;
        Some(ChargePoint { cell, charge: u8::try_from(percent).ok().and_then(StateOfCharge::new)? })
    };
    rows.into_iter().map(point).collect::<Option<ChargePoints>>().map(Some).ok_or_else(|| list.shape())
}

pub(super) fn power(root: &Section<'_>, notes: &mut Vec<String>) -> Result<PowerTable, Problem> {
    let section = root.section("power", &["table", "climb_w"])?;
    let list = List {
        section: &section,
        key: "table",
        most: POWER_POINTS,
        of: "[airspeed in m/s, power in W]",
        example: POWER_TABLE,
        counts: [(quantity::AIRSPEED, Refuse), (quantity::POWER, Up)],
    };
    let rows = list.rows(notes)?;
    let point = |[airspeed, watts]: [i64; 2]| {
        let airspeed = u16::try_from(airspeed).ok().and_then(Airspeed::new)?;
        Some(PowerPoint { airspeed, power: i32::try_from(watts).ok().and_then(Power::new)? })
    };
    let points = rows.into_iter().map(point).collect::<Option<PowerPoints>>().ok_or_else(|| list.shape())?;
    Ok(PowerTable { points, climb: take(&section, "climb_w", quantity::POWER, Up, notes, Power::new)? })
}

/// A list of pairs of numbers.
struct List<'a> {
    section: &'a Section<'a>,
    key: &'static str,
    most: usize,
    of: &'static str,
    example: &'static str,
    counts: [(Quantity, Finer); 2],
}

impl List<'_> {
    fn rows(&self, notes: &mut Vec<String>) -> Result<Vec<[i64; 2]>, Problem> {
        let Some(DeValue::Array(rows)) = self.section.value(self.key).map(Spanned::get_ref) else {
            return Err(self.shape());
        };
        if rows.len() > self.most {
            let say = format!("{} points; {} are the most", rows.len(), self.most);
            let problem = self.section.problem_at(self.key, say);
            return Err(problem.help("leave out points that lie on the line between their neighbours, or nearly"));
        }
        rows.iter().map(|row| self.row(row, notes)).collect()
    }

    fn row(&self, row: &Spanned<DeValue<'_>>, notes: &mut Vec<String>) -> Result<[i64; 2], Problem> {
        let DeValue::Array(pair) = row.get_ref() else { return Err(self.shape()) };
        let [one, other] = &pair[..] else { return Err(self.shape()) };
        let [first, second] = self.counts;
        let mut count = |value, (quantity, finer)| self.section.number(self.key, value, quantity, finer, &mut *notes);
        Ok([count(one, first)?, count(other, second)?])
    }

    /// What it is to look like.
    fn shape(&self) -> Problem {
        let say = format!("`{}` is to be a list of {}", self.key, self.of);
        self.section.problem_at(self.key, say).help(self.example)
    }
}
