//! The standard atmosphere (ICAO Doc 7488, ISO 2533:1975), up to 11 km.

/// Temperature at sea level, K.
const SEA_LEVEL_K: f64 = 288.15;
/// Pressure at sea level, Pa.
const SEA_LEVEL_PA: f64 = 101_325.0;
/// How much colder each metre is, K.
const LAPSE_K: f64 = 0.0065;
/// Gas constant of dry air, J/(kg K).
const GAS: f64 = 287.052_87;
/// Standard gravity, m/s^2.
pub(crate) const GRAVITY: f64 = 9.80665;
/// 0 degrees Celsius, K.
const ICE_K: f64 = 273.15;

/// The standard temperature at a height above the sea, degrees Celsius.
pub(crate) fn temperature_c(height_m: f64) -> f64 {
    SEA_LEVEL_K - LAPSE_K * height_m - ICE_K
}

/// Density of dry air, kg/m^3: the standard pressure at a height (geopotential; up to 3000 m, 0.02 % from a height in metres
/// of tape), and a temperature, degrees Celsius. Moist air is lighter, at 30 degrees by up to 2 %.
pub(crate) fn density(height_m: f64, at_c: f64) -> f64 {
    let colder = 1.0 - LAPSE_K * height_m / SEA_LEVEL_K;
    let pressure = SEA_LEVEL_PA * colder.powf(GRAVITY / (GAS * LAPSE_K));
    pressure / (GAS * (at_c + ICE_K))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn is(height_m: f64, off_standard: f64, published: f64) {
        let density = density(height_m, temperature_c(height_m) + off_standard);
        assert!((density - published).abs() < 1.0e-6, "{height_m} m, {off_standard:+} K: {density} for {published}");
    }

    // ICAO Doc 7488 / ISO 2533:1975, geopotential heights. The model's constants are from memory; the table's geometric
    // column was verified with an independent library (ambiance), this one by calculation from the same constants.
    #[test]
    fn standard_densities_are_the_published_ones() {
        is(-500.0, 0.0, 1.284_891);
        is(0.0, 0.0, 1.225_000);
        is(500.0, 0.0, 1.167_269);
        is(1000.0, 0.0, 1.111_643);
        is(1500.0, 0.0, 1.058_067);
        is(2000.0, 0.0, 1.006_490);
        is(3000.0, 0.0, 0.909_122);
    }

    // The same atmosphere at another temperature and unchanged pressure: verified by calculation only.
    #[test]
    fn warm_air_is_thin_and_cold_air_thick() {
        is(0.0, 15.0, 1.164_386);
        is(0.0, 20.0, 1.145_493);
        is(0.0, -20.0, 1.316_367);
        is(1000.0, 15.0, 1.055_433);
        is(2000.0, 20.0, 0.938_288);
        is(2000.0, -20.0, 1.085_384);
        is(3000.0, 10.0, 0.876_496);
    }
}
