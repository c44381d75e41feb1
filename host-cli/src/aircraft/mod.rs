//! An aircraft's electrical power at every airspeed, by published models, and power tables.

pub(crate) mod atmosphere;
pub(crate) mod cover;
pub(crate) mod model;
pub(crate) mod report;
pub(crate) mod rotor;
pub(crate) mod table;
