//! What was computed, as the section of limits.toml with its origin above it.

use std::fmt::Write as _;

use serde_json::{Value, json};

use super::{model::Aircraft, rotor::INDUCED_FACTOR, table::PowerTable};
use crate::arguments::power::Power;

/// What was computed.
pub(crate) struct Computed<'a> {
    pub(crate) asked: &'a Power,
    pub(crate) aircraft: Aircraft,
    pub(crate) table: PowerTable,
    /// The largest part that the table is above the model.
    pub(crate) above: f64,
    /// W.
    pub(crate) climb: u32,
    /// Of the air, degrees Celsius; none where its density was given.
    pub(crate) temperature: Option<f64>,
}

impl Computed<'_> {
    /// The section of limits.toml, with its origin above it.
    pub(crate) fn text(&self) -> String {
        let mut text = String::new();
        for line in self.origin().iter().chain(&self.cautions()) {
            // Writing into a text can't fail.
            let _ = writeln!(text, "# {line}");
        }
        let _ = writeln!(text, "[power]\n{}\nclimb_w = {}.0", self.table, self.climb);
        text
    }

    fn origin(&self) -> Vec<String> {
        let (asked, wing) = (self.asked, &self.aircraft.wing);
        let (weight, hover) = (self.aircraft.weight, wing.power(0.0));
        let air = match self.temperature {
            None => "as given".to_owned(),
            Some(temperature) => format!("{} m above the sea, {temperature:.1} degrees Celsius", asked.height_m),
        };
        let longest = wing.best(asked.up_to_m_s, |_, watts| watts);
        vec![
            "Computed from a model, not measured: replace it by one learned from a flight (`pinfold learn`)."
                .to_owned(),
            format!(
                "{} kg, {} rotors of {} m, air of {:.3} kg/m3 ({air}).",
                asked.mass_kg, asked.rotors, asked.diameter_m, wing.density
            ),
            format!(
                "Hover: {:.1} W at least by momentum theory, {hover:.1} W at the shafts (figure of merit {:.2}).",
                weight * wing.induced_speed,
                weight * wing.induced_speed / hover
            ),
            format!(
                "Level flight: the rotary-wing model of Zeng, Xu and Zhang (2019); tip speed {:.1} m/s, drag area {:.4} m2,",
                wing.tip_speed, wing.drag_area
            ),
            format!(
                "  induced factor {INDUCED_FACTOR}. From the pack: efficiency {}, and {} W for all else; {} % added.",
                asked.electrical_efficiency, asked.electronics_w, asked.add_percent
            ),
            format!(
                "Least power at {longest:.1} m/s. Between points, straight: nowhere below the model, at most {:.1} % above it.",
                (self.above * 1000.0).ceil() / 10.0
            ),
            format!("climb_w is for {} m/s: no more as climb_m_s in [aircraft].", asked.climb_m_s),
        ]
    }

    /// How wrong it may be.
    fn cautions(&self) -> Vec<String> {
        let mut lines = vec![
            "How wrong it may be: 25 to 30 % in hover (a figure of merit of 0.5 to 0.7, an efficiency of 0.7 to 0.85), 50 % in".to_owned(),
            "  fast flight, where drag decides (common practice, no source). --add-percent 30 covers the first.".to_owned(),
            "Not in it: tilt (thrust is taken for weight), ducts and rotors above each other, gusts, worn propellers.".to_owned(),
        ];
        let assumed = self.assumed();
        if !assumed.is_empty() {
            lines.push(format!("Assumed (common practice, no source): {}.", assumed.join(", ")));
        }
        lines
    }

    /// What wasn't given.
    fn assumed(&self) -> Vec<&'static str> {
        let asked = self.asked;
        let assumed = [
            (asked.figure_of_merit.is_none() && asked.solidity.is_none(), "--figure-of-merit"),
            (asked.tip_speed_m_s.is_none(), "--tip-speed-m-s"),
            (asked.drag_area_m2.is_none(), "--drag-area-m2"),
        ];
        assumed.into_iter().filter(|(assumed, _)| *assumed).map(|(_, option)| option).collect()
    }

    /// The same for programs.
    pub(crate) fn json(&self) -> Value {
        let wing = &self.aircraft.wing;
        let points: Vec<_> = self.table.0.iter().map(|point| json!([point.speed(), point.watts])).collect();
        json!({
            "power": { "table": points, "climb_w": self.climb },
            "air_density_kg_m3": wing.density,
            "hover_ideal_w": self.aircraft.weight * wing.induced_speed,
            "hover_shaft_w": wing.power(0.0),
            "tip_speed_m_s": wing.tip_speed,
            "drag_area_m2": wing.drag_area,
            "above_model_percent": self.above * 100.0,
            "assumed": self.assumed(),
        })
    }
}
