//! A power table from a flight log.

pub(crate) mod columns;
pub(crate) mod fit;
pub(crate) mod log;
pub(crate) mod plot;
pub(crate) mod report;
pub(crate) mod samples;
pub(crate) mod steady;
mod window;
