//! What the legs push. Begin with [`mean_push_n`].

/// Mean push along the way of the pedals, newtons, that holds a force at the tread of the driven wheel.
///
/// `F = W d / (2π l Ec)`, with W the force at the wheel in newtons, d the metres for a turn of the crank, l the length of
/// the crank in millimetres and Ec the efficiency of the drive.
///
/// Grows with the force and the development, falls with the crank. The mean of a whole turn, both legs together; in the
/// middle of the down stroke the push is about half as much again (common practice).
///
/// # Source
/// Work of one turn: what goes in at the pedals, less the loss, comes out at the tread. By hand:
/// `tests/ride.rs::a_turn_puts_in_what_the_wheel_takes`.
pub fn mean_push_n(wheel_n: f64, development_m: f64, crank_mm: f64, efficiency: f64) -> f64 {
    wheel_n * development_m / (std::f64::consts::TAU * crank_mm / 1000.0 * efficiency)
}
