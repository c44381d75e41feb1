//! `pinfold power`.

use std::{io::Write as _, path::Path, process::ExitCode};

use super::{Done, print};
use crate::{
    aircraft::{
        atmosphere::{self, GRAVITY},
        cover::{cover, excess},
        model::Aircraft,
        report::Computed,
        rotor::{Blades, Disc, RotaryWing},
        table::{FASTEST, MOST_WATTS, PowerTable, watts_ceil},
    },
    arguments::power::Power,
    problem::Problem,
};

/// Common practice, no source.
const FIGURE_OF_MERIT: f64 = 0.6;
/// Speed of the air through the disc / tip speed in hover: a thrust coefficient of 0.1 (thrust / density n^2 d^4), as common
/// small propellers have. Common practice, no source.
const INFLOW: f64 = 0.08;
/// Drag area of an aircraft of 1 kg, m^2; it grows with the mass as an area with a volume. Common practice, no source.
const DRAG_AREA: f64 = 0.02;

/// Computes a power table and prints it.
pub(crate) fn run(asked: &Power) -> Done {
    sensible(asked)?;
    let aircraft = aircraft(asked)?;
    let level = |airspeed| aircraft.level(airspeed);
    let end = (asked.up_to_m_s * 100.0).round() as u16;
    let table = cover(level, end, asked.points);
    let climb = watts_ceil(aircraft.climb(asked.climb_m_s));
    fits(asked, &table, climb)?;
    let temperature = asked.air_density_kg_m3.is_none().then(|| temperature(asked));
    let result = Computed { asked, aircraft, above: excess(&table, level), table, climb, temperature };
    print(|out| if asked.json { writeln!(out, "{:#}", result.json()) } else { write!(out, "{}", result.text()) })?;
    Ok(ExitCode::SUCCESS)
}

/// A problem with the command line.
fn problem(say: String, help: &str) -> Problem {
    Problem::file(Path::new("command line"), say).help(help)
}

/// Demands that every number is one that can be meant.
fn sensible(asked: &Power) -> Result<(), Problem> {
    let rotors = f64::from(asked.rotors);
    let points = asked.points.map(|points| points as f64);
    let ranges = [
        ("--mass-kg", Some(asked.mass_kg), 0.05, 600.0, "kg, with pack and payload"),
        ("--rotors", Some(rotors), 1.0, 64.0, "rotors"),
        ("--diameter-m", Some(asked.diameter_m), 0.02, 20.0, "m: an inch is 0.0254 m"),
        ("--up-to-m-s", Some(asked.up_to_m_s), 1.0, FASTEST, "m/s: km/h / 3.6"),
        ("--climb-m-s", Some(asked.climb_m_s), 0.1, 50.0, "m/s"),
        ("--height-m", Some(asked.height_m), -500.0, 9000.0, "m above the sea"),
        ("--temperature-c", asked.temperature_c, -60.0, 60.0, "degrees Celsius"),
        ("--air-density-kg-m3", asked.air_density_kg_m3, 0.3, 1.8, "kg/m3; 1.225 at the sea"),
        ("--figure-of-merit", asked.figure_of_merit, 0.2, 0.9, "as a part, not in %; 0.5 to 0.7 is common"),
        ("--solidity", asked.solidity, 0.01, 0.5, "as a part, not in %"),
        ("--tip-speed-m-s", asked.tip_speed_m_s, 10.0, 340.0, "m/s: 3.14 x diameter x turns a second"),
        ("--drag-area-m2", asked.drag_area_m2, 0.0, 10.0, "m2"),
        ("--electrical-efficiency", Some(asked.electrical_efficiency), 0.2, 1.0, "as a part, not in %"),
        ("--electronics-w", Some(asked.electronics_w), 0.0, 5000.0, "W"),
        ("--add-percent", Some(asked.add_percent), 0.0, 200.0, "%"),
        ("--points", points, 2.0, 8.0, "points"),
    ];
    let wrong = |(_, given, least, most, _): &&(&str, Option<f64>, f64, f64, &str)| {
        given.is_some_and(|given| !(*least..=*most).contains(&given))
    };
    match ranges.iter().find(wrong) {
        Some((option, Some(given), least, most, unit)) => {
            let say = format!("`{option} {given}` is nothing that can be meant");
            Err(problem(say, &format!("give {least} to {most} {unit}")))
        }
        _ => Ok(()),
    }
}

fn aircraft(asked: &Power) -> Result<Aircraft, Problem> {
    let disc = Disc::new(asked.mass_kg, asked.rotors, asked.diameter_m, density(asked));
    let tip_speed = asked.tip_speed_m_s.unwrap_or(disc.induced_speed() / INFLOW);
    let drag_area = asked.drag_area_m2.unwrap_or(DRAG_AREA * asked.mass_kg.powf(2.0 / 3.0));
    let wing = RotaryWing::new(disc, blades(asked), tip_speed, drag_area);
    upright(asked, &wing, disc.thrust)?;
    Ok(Aircraft {
        wing,
        weight: asked.mass_kg * GRAVITY,
        efficiency: asked.electrical_efficiency,
        electronics: asked.electronics_w,
        factor: 1.0 + asked.add_percent / 100.0,
    })
}

fn temperature(asked: &Power) -> f64 {
    asked.temperature_c.unwrap_or_else(|| atmosphere::temperature_c(asked.height_m))
}

fn density(asked: &Power) -> f64 {
    asked.air_density_kg_m3.unwrap_or_else(|| atmosphere::density(asked.height_m, temperature(asked)))
}

fn blades(asked: &Power) -> Blades {
    asked.solidity.map_or(Blades::FigureOfMerit(asked.figure_of_merit.unwrap_or(FIGURE_OF_MERIT)), Blades::Solidity)
}

/// The model knows no tilt: it takes the thrust for the weight. At 45 degrees it is 1.4 times that.
fn upright(asked: &Power, wing: &RotaryWing, weight: f64) -> Result<(), Problem> {
    let fastest = (weight / wing.drag(1.0)).sqrt();
    if asked.up_to_m_s <= fastest {
        return Ok(());
    }
    let say = format!("at {} m/s the drag is more than the weight, which the model isn't made for", asked.up_to_m_s);
    let down = (fastest * 10.0).floor() / 10.0;
    Err(problem(say, &format!("give --up-to-m-s {down} or less, or the --drag-area-m2 that the aircraft has")))
}

/// Demands powers that limits take.
fn fits(asked: &Power, table: &PowerTable, climb: u32) -> Result<(), Problem> {
    if table.fits() && climb <= MOST_WATTS {
        return Ok(());
    }
    let most = table.0.iter().map(|point| point.watts).fold(climb, u32::max);
    let say = format!("this aircraft takes up to {most} W, and limits take up to {MOST_WATTS} W");
    let help = format!(
        "look at --mass-kg {} and --diameter-m {}, or give a lower --up-to-m-s",
        asked.mass_kg, asked.diameter_m
    );
    Err(problem(say, &help))
}
