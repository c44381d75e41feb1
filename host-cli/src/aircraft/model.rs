//! What an aircraft takes from its pack.

use super::rotor::RotaryWing;

/// An aircraft, as far as its power goes.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Aircraft {
    pub(crate) wing: RotaryWing,
    /// N.
    pub(crate) weight: f64,
    /// Of motors and speed controllers: power at the shafts / power from the pack.
    pub(crate) efficiency: f64,
    /// What all else takes, W.
    pub(crate) electronics: f64,
    /// What the result is multiplied by.
    pub(crate) factor: f64,
}

impl Aircraft {
    /// Power from the pack in level flight, W.
    pub(crate) fn level(&self, airspeed: f64) -> f64 {
        self.factor * (self.wing.power(airspeed) / self.efficiency + self.electronics)
    }

    /// Power from the pack while climbing from hover, W: the weight is lifted, and nothing is credited for the air that comes
    /// down through the rotors by itself (in level flight there is next to none).
    pub(crate) fn climb(&self, rate: f64) -> f64 {
        self.level(0.0) + self.factor * self.weight * rate / self.efficiency
    }
}
