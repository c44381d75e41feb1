//! Text that reads back as the same route or limits, and files that are written whole or not at all.

pub(crate) mod file;
pub(crate) mod ground_toml;
pub(crate) mod limits_toml;
pub(crate) mod packed;
pub(crate) mod route_toml;
pub(crate) mod site_geojson;

/// A text as TOML writes it.
fn quoted(text: &str) -> String {
    toml::Value::String(text.to_owned()).to_string()
}

/// Counts of 0.01 as a decimal.
fn hundredths(counts: i32) -> String {
    crate::text::decimal::written(i64::from(counts), 2)
}

/// Counts of 1e-7 degree as a decimal.
fn degrees(counts: i32) -> String {
    crate::text::decimal::written(i64::from(counts), 7)
}
