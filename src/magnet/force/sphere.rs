//! Energy, force and torque between a sphere and a magnet of any shape, touching or not, in closed form.
//!
//! Outside, a sphere is a dipole m = J V / mu0 at its center, whatever the distance; by reaction and because the field
//! of the others is harmonic in the sphere (the mean over a ball is the value at the center), they also act on it as on
//! that dipole: U = -m . B, F = (grad B) m, torque m x B (J. D. Jackson, *Classical Electrodynamics*, 3rd ed., Wiley
//! 1999, sec. 5.7).

use nalgebra::{Isometry3, Point3};

use crate::magnet::force::pair::{Action, MU0};
use crate::magnet::{FieldSource, Magnet};

/// The error of field and gradient, as a share of their parts, that the magnets promise.
const ACCURACY: f64 = 1e-12;

/// Energy (J), and force (N) and torque about its center (N m) on `second`, which stands at `relative` in the frame of
/// `first`; `None` if neither is a sphere.
pub(in crate::magnet) fn interaction(
    first: &Magnet,
    second: &Magnet,
    relative: &Isometry3<f64>,
) -> Option<Action> {
    if matches!(second, Magnet::Sphere(_)) {
        return on_ball(first, second, relative);
    }
    if matches!(first, Magnet::Sphere(_)) {
        let action = on_ball(second, first, &relative.inverse())?;
        return Some(
            action
                .reversed()
                .seen_from(relative, &-relative.translation.vector),
        );
    }
    None
}

fn on_ball(source: &Magnet, ball: &Magnet, relative: &Isometry3<f64>) -> Option<Action> {
    let center = Point3::from(relative.translation.vector);
    // The center of a sphere that does not overlap the source lies on none of its edges.
    let b = source.field_at(&center).ok()?;
    let gradient = source.gradient_at(&center).ok()?;
    let moment = (relative.rotation * ball.polarization()) * (ball.volume() / MU0);
    let size = ACCURACY * moment.norm();
    Some(Action {
        energy: -moment.dot(&b),
        force: gradient * moment,
        torque: moment.cross(&b),
        energy_error: size * b.norm(),
        force_error: size * gradient.norm(),
        torque_error: size * b.norm(),
    })
}

#[cfg(test)]
#[path = "sphere_tests.rs"]
mod tests;
