//! What is assumed of rider, bike and road where nobody measured, each with its range and where it comes from.
//! One table.

use super::Load;

/// How far a figure may be trusted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Trust {
    /// Read in print.
    Printed,
    /// Read in a work that quotes the source.
    Quoted,
    /// From memory, and a computation agrees.
    Recomputed,
    /// Common practice or memory: to begin with, not to conclude from.
    Practice,
}

/// One figure of the balance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Parameter {
    /// What it is.
    pub words: &'static str,
    /// Its letter.
    pub letter: &'static str,
    /// Its unit; empty if it has none.
    pub unit: &'static str,
    /// The figure to begin with.
    pub usual: f64,
    /// The smallest that is met.
    pub least: f64,
    /// The largest that is met.
    pub most: f64,
    /// Where it comes from.
    pub source: &'static str,
    /// How far it may be trusted.
    pub trust: Trust,
}

const MARTIN: &str = "Martin, Milliken, Cobb, McFadden and Coggan, Validation of a mathematical model for road cycling \
    power, Journal of Applied Biomechanics 14(3), 1998, 276-291";
const WILSON: &str = "Wilson, Bicycling Science, table of drag; first row and all shape factors read in quotations, the \
    other areas from memory";

/// Area of drag (shape factor times area) of rider and bike with the hands on the hoods.
pub const DRAG_AREA: Parameter = Parameter {
    words: "drag area of rider and bike",
    letter: "CdA",
    unit: "m²",
    usual: 0.40,
    least: 0.32,
    most: 0.632,
    source: WILSON,
    trust: Trust::Quoted,
};

/// Drag of the turning wheels, added to the drag area.
pub const WHEEL_DRAG_AREA: Parameter = Parameter {
    words: "drag area of the turning wheels",
    letter: "Fw",
    unit: "m²",
    usual: 0.0044,
    least: 0.002,
    most: 0.006,
    source: MARTIN,
    trust: Trust::Quoted,
};

/// Rolling resistance of both tyres.
pub const ROLLING: Parameter = Parameter {
    words: "rolling resistance",
    letter: "Crr",
    unit: "",
    usual: 0.005,
    least: 0.003,
    most: 0.010,
    source: "common practice: smooth asphalt about 0.004, rough road about 0.008",
    trust: Trust::Practice,
};

/// Share of the power at the cranks that reaches the wheel.
pub const EFFICIENCY: Parameter = Parameter {
    words: "efficiency of the drive",
    letter: "Ec",
    unit: "",
    usual: 0.977,
    least: 0.94,
    most: 0.985,
    source: MARTIN,
    trust: Trust::Quoted,
};

/// Inertia of both wheels over the square of their radius: 0.14 kg m² over (0.311 m)².
pub const WHEEL_INERTIA: Parameter = Parameter {
    words: "inertia of the wheels as a mass at the tread",
    letter: "I/r²",
    unit: "kg",
    usual: 0.14 / (0.311 * 0.311),
    least: 1.0,
    most: 2.5,
    source: MARTIN,
    trust: Trust::Recomputed,
};

/// Density of the air.
pub const AIR_DENSITY: Parameter = Parameter {
    words: "density of the air",
    letter: "ρ",
    unit: "kg/m³",
    usual: 1.20,
    least: 0.85,
    most: 1.30,
    source: "ISO 2533 and the gas law; 1.20 is 20 °C near sea level",
    trust: Trust::Printed,
};

/// Speed of the wind near the ground, where nothing is known of it.
pub const WIND: Parameter = Parameter {
    words: "wind at the height of the rider",
    letter: "w",
    unit: "m/s",
    usual: 2.0,
    least: 0.0,
    most: 4.0,
    source: "common practice",
    trust: Trust::Practice,
};

/// Speed that a rider does not exceed downhill.
pub const SPEED_LIMIT: Parameter = Parameter {
    words: "speed that is not exceeded downhill",
    letter: "v_max",
    unit: "m/s",
    usual: 15.0,
    least: 8.0,
    most: 22.0,
    source: "common practice: 54 km/h; a cautious rider brakes at 30",
    trust: Trust::Practice,
};

/// Every figure.
pub const ALL: [Parameter; 8] =
    [DRAG_AREA, WHEEL_DRAG_AREA, ROLLING, EFFICIENCY, WHEEL_INERTIA, AIR_DENSITY, WIND, SPEED_LIMIT];

/// Positions of the hands with the drag area that goes with them, m².
pub const POSITIONS: [(&str, f64); 3] = [("tops", 0.632), ("hoods", 0.40), ("drops", 0.32)];

/// The load of a rider on a road bike where only the mass of both is known.
pub fn usual_load(mass_kg: f64) -> Load {
    Load {
        mass_kg,
        drag_area_m2: DRAG_AREA.usual,
        wheel_drag_area_m2: WHEEL_DRAG_AREA.usual,
        rolling: ROLLING.usual,
        efficiency: EFFICIENCY.usual,
        wheel_inertia_kg: WHEEL_INERTIA.usual,
        air_density: AIR_DENSITY.usual,
        wind_m_s: WIND.usual,
    }
}
