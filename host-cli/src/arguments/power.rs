//! What `power` is asked.

use clap::Args;

/// What `power` is asked: an aircraft.
#[derive(Args)]
pub(crate) struct Power {
    /// Mass at take-off, kg
    #[arg(long, value_name = "KG")]
    pub(crate) mass_kg: f64,
    /// How many rotors; of two on one axis count one
    #[arg(long, value_name = "COUNT")]
    pub(crate) rotors: u32,
    /// Diameter of a rotor, m
    #[arg(long, value_name = "M")]
    pub(crate) diameter_m: f64,
    /// Last airspeed of the table, m/s
    #[arg(long, value_name = "M_S")]
    pub(crate) up_to_m_s: f64,
    /// Climb rate that climb_w is for, m/s
    #[arg(long, value_name = "M_S")]
    pub(crate) climb_m_s: f64,
    /// Height above the sea, m
    #[arg(long, value_name = "M", default_value_t = 0.0, allow_negative_numbers = true)]
    pub(crate) height_m: f64,
    /// Temperature of the air, degrees Celsius [default: the standard atmosphere's at that height]
    #[arg(long, value_name = "C", allow_negative_numbers = true)]
    pub(crate) temperature_c: Option<f64>,
    /// Density of the air instead of height and temperature
    #[arg(long, value_name = "KG_M3", conflicts_with_all = ["height_m", "temperature_c"])]
    pub(crate) air_density_kg_m3: Option<f64>,
    /// Ideal power / power at the rotors' shafts in hover [default: 0.6]
    #[arg(long, value_name = "PART")]
    pub(crate) figure_of_merit: Option<f64>,
    /// The part of the rotors' discs that is blade, instead of the figure of merit
    #[arg(long, value_name = "PART", conflicts_with = "figure_of_merit", requires = "tip_speed_m_s")]
    pub(crate) solidity: Option<f64>,
    /// Speed of the blades' tips in hover, m/s [default: from the rotors' load]
    #[arg(long, value_name = "M_S")]
    pub(crate) tip_speed_m_s: Option<f64>,
    /// Equivalent flat plate of the aircraft without rotors, m2 [default: from its mass]
    #[arg(long, value_name = "M2")]
    pub(crate) drag_area_m2: Option<f64>,
    /// Power at the shafts / power from the pack: motors and speed controllers
    #[arg(long, value_name = "PART", default_value_t = 0.75)]
    pub(crate) electrical_efficiency: f64,
    /// What all else takes from the pack, W
    #[arg(long, value_name = "W", default_value_t = 5.0)]
    pub(crate) electronics_w: f64,
    /// Added to every power, since a model is no measurement, %
    #[arg(long, value_name = "PERCENT", default_value_t = 0.0)]
    pub(crate) add_percent: f64,
    /// How many points, 2 to 8 [default: the fewest that are close]
    #[arg(long, value_name = "COUNT")]
    pub(crate) points: Option<usize>,
    /// Print one JSON object, also for input that can't be used
    #[arg(long)]
    pub(crate) json: bool,
}
