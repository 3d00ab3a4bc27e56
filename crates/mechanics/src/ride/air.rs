//! Density of the air that is ridden through.

/// Specific gas constant of dry air, J/(kg K). ISO 2533 (1975) rounds it to 287.053; this is the figure of weather work.
const R_DRY: f64 = 287.058;
/// Specific gas constant of water vapour, J/(kg K).
const R_VAPOUR: f64 = 461.495;
/// Zero of the Celsius scale, kelvin, exact by definition.
const KELVIN: f64 = 273.15;

/// Pressure of the standard atmosphere at an altitude, pascal.
///
/// `p = 101325 (1 − 0.0065 h / 288.15)^5.25588`, with h the altitude in metres.
///
/// Falls with the altitude. Holds up to 11,000 m; above it the law is another one and what comes out is too low, at
/// 44,331 m and above 0.
///
/// # Source
/// ISO 2533:1975, Standard atmosphere, troposphere: `tests/ride.rs::air_of_the_standard_atmosphere`.
pub fn pressure_pa(altitude_m: f64) -> f64 {
    101_325.0 * (1.0 - 0.0065 * altitude_m / 288.15).max(0.0).powf(5.255_88)
}

/// Pressure of water vapour over which water condenses, pascal.
///
/// `e = 611.2 exp(17.62 t / (243.12 + t))`, with t the temperature in °C.
///
/// Rises with the temperature. Within 0.6 % from −45 to 60 °C.
///
/// # Source
/// The Magnus form with the constants of the Guide to Instruments and Methods of Observation, World Meteorological
/// Organization, No. 8; constants from memory.
pub fn saturation_pa(temperature_c: f64) -> f64 {
    611.2 * (17.62 * temperature_c / (243.12 + temperature_c)).exp()
}

/// Density of moist air, kg/m³.
///
/// `ρ = (p − φe)/(R_d T) + φe/(R_v T)`, with p the pressure, φ the relative humidity from 0 to 1, e the vapour pressure
/// at saturation and T the absolute temperature.
///
/// Rises with the pressure, falls with temperature and humidity: moist air is the lighter one.
///
/// # Source
/// Ideal gas law for a mixture. Compared with ISO 2533 in `tests/ride.rs::air_of_the_standard_atmosphere`.
///
/// # Example
/// ```
/// use mechanics::ride::air::{density, pressure_pa};
/// assert_eq!(format!("{:.3}", density(15.0, pressure_pa(0.0), 0.0)), "1.225");
/// assert_eq!(format!("{:.3}", density(30.0, pressure_pa(1500.0), 0.5)), "0.962");
/// ```
pub fn density(temperature_c: f64, pressure_pa: f64, humidity: f64) -> f64 {
    let kelvin = temperature_c + KELVIN;
    let vapour = humidity * saturation_pa(temperature_c);
    (pressure_pa - vapour) / (R_DRY * kelvin) + vapour / (R_VAPOUR * kelvin)
}

/// Density of air at an altitude, kg/m³: [`density`] at half humidity, with the pressure of the standard atmosphere.
///
/// The weather of the day moves the pressure by up to 3 %, and with it the density.
pub fn density_at(altitude_m: f64, temperature_c: f64) -> f64 {
    density(temperature_c, pressure_pa(altitude_m), 0.5)
}
