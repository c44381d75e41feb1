//! Text that people write: exact decimals, and TOML tables with places.

pub(crate) mod decimal;
pub(crate) mod rows;
pub(crate) mod table;
