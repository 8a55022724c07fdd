//! What cylinder and ring share: distance to a body of revolution.

/// Distance from a rectangle in the half plane (rho, z), from the distances beyond its sides: positive outside.
pub(in crate::magnet) fn distance(beyond_rho: f64, beyond_z: f64) -> f64 {
    beyond_rho.max(0.0).hypot(beyond_z.max(0.0)) + beyond_rho.max(beyond_z).min(0.0)
}
