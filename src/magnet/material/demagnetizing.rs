//! Magnetometric demagnetizing factors: how strongly a uniformly polarized body opposes itself.
//!
//! # Definition
//! For a uniform polarization J the field strength H inside varies from place to place. Its mean over the volume is
//! H_mean = -N J / mu0, with N the demagnetizing tensor of the shape. Along the axes returned here the tensor is
//! diagonal: each function gives the three factors as a vector, and they add up to one. These are the *magnetometric*
//! factors for a susceptibility of zero, the right ones for magnets of recoil permeability near 1. The *fluxmetric*
//! (ballistic) ones, means over the middle cross-section, are smaller on long bodies.
//!
//! # One formula for bars of any outline
//! A bar of length L along z and outline C (area A), polarized along z, is a current sheet on its mantle. Neumann's
//! formula for the inductance of that sheet, integrated along the length by hand, leaves
//!
//! N_z = -1 / (2 pi A) double integral over C of u(r) dl . dl',   du/dr = 2 / (r + L + S),   S = sqrt(r^2 + L^2),
//!
//! with r the distance of two points of the outline. This is 1 minus the coefficient of Nagaoka for a circle, and the
//! closed form of Aharoni for a rectangle. Both closed forms lose up to ten digits on slender, flat and thin bodies;
//! here all differences are taken by hand, only positive terms are added, and one integral is left to the trapezoidal
//! rule.
//!
//! | body | what is integrated |
//! | --- | --- |
//! | rectangle a x b | (a - x) [u(sqrt(x^2 + b^2)) - u(x)] over x in 0..a, and the same with a and b exchanged |
//! | circle of radius R | s sqrt(1 - s^2) / (2 R s + L + S) over s = r / 2R in 0..1; without L = 0 it is 1 - N |
//! | two circles R1, R2 | sin^2 t / (r (r + L + S)) over the angle t between the points |
//! | ring with a thin wall | charge of the faces instead, as the circles would cancel: see [`ring`] |
//!
//! # Accuracy
//! 1e-14 of each factor of blocks and cylinders, for measures from 0.01 mm to 1 m in any mixture, tested against
//! arithmetic of 60 and more digits. Rings: 1e-12 along the axis (a wall that is ten thousand times wider than the ring
//! is long costs two digits), and across, where the factor is what 1 - N_z leaves, 1e-12 of one.
//!
//! # References
//! A. Aharoni, J. Appl. Phys. 83 (1998) 3432 (rectangular prism). H. Nagaoka, J. Coll. Sci. Tokyo 27 (1909) 6, and
//! E. B. Rosa and F. W. Grover, Bull. Bureau of Standards 8 (1912) 1 (solenoid). D.-X. Chen, J. A. Brug and R. B.
//! Goldfarb, IEEE Trans. Magn. 27 (1991) 3601 (cylinder; magnetometric and fluxmetric). J. A. Osborn, Phys. Rev. 67
//! (1945) 351 (ellipsoid).

use std::f64::consts::PI;

use nalgebra::Vector3;

use crate::error::{Error, Result, within};
use crate::magnet::Magnet;
use crate::numeric::direction::unit;

/// The smallest and the largest measure of a body, m.
const MEASURE_RANGE: [f64; 2] = [1e-5, 1.0];
/// The smallest bore and the thinnest wall of a ring, m.
const FINEST: f64 = 1e-6;
/// Inner by outer radius above which the wall of a ring counts as thin: the circles of a thinner one would cancel.
const THIN_WALL: f64 = 0.75;

/// Factors of a magnet of any shape along the axes of its own frame.
///
/// # Errors
/// As the function for the shape.
pub fn of(magnet: &Magnet) -> Result<Vector3<f64>> {
    match magnet {
        Magnet::Block(b) => block(&b.size()),
        Magnet::Cylinder(c) => cylinder(c.diameter(), c.length()),
        Magnet::Ring(r) => ring(r.outer_diameter(), r.inner_diameter(), r.length()),
        Magnet::Sphere(_) => Ok(Vector3::repeat(1.0 / 3.0)),
    }
}

/// Factors of a rectangular block along its sides x, y, z (Aharoni 1998).
///
/// # Errors
/// [`Error::NotFinite`] or [`Error::OutOfRange`] if a side is not within 0.01 mm to 1 m.
///
/// # Example
/// ```
/// use nalgebra::Vector3;
/// use yokewright::magnet::material::demagnetizing;
/// use yokewright::units::MM;
///
/// let factors = demagnetizing::block(&(Vector3::new(10.0, 10.0, 5.0) * MM))?;
/// assert!((factors.z - 0.495922038).abs() < 1e-9 && (factors.sum() - 1.0).abs() < 1e-14);
/// # Ok::<(), yokewright::Error>(())
/// ```
pub fn block(size: &Vector3<f64>) -> Result<Vector3<f64>> {
    let names = ["block side x", "block side y", "block side z"];
    for (name, side) in names.into_iter().zip(size.iter()) {
        measure(name, *side)?;
    }
    let along = |axis: usize| prism(size[(axis + 1) % 3], size[(axis + 2) % 3], size[axis]);
    Ok(Vector3::new(along(0), along(1), along(2)))
}

/// Factors of a solid cylinder with its axis along z: the two across (x, y) are equal, (1 - N_z) / 2.
///
/// # Errors
/// [`Error::NotFinite`] or [`Error::OutOfRange`] if a measure is not within 0.01 mm to 1 m.
///
/// # Example
/// ```
/// use yokewright::magnet::material::demagnetizing;
/// use yokewright::units::MM;
///
/// // As long as wide: 1 minus Nagaoka's 0.688423.
/// let factors = demagnetizing::cylinder(8.0 * MM, 8.0 * MM)?;
/// assert!((factors.z - 0.311577).abs() < 1e-6 && factors.x == factors.y);
/// # Ok::<(), yokewright::Error>(())
/// ```
pub fn cylinder(diameter: f64, length: f64) -> Result<Vector3<f64>> {
    measure("diameter", diameter)?;
    measure("length", length)?;
    let radius = 0.5 * diameter;
    let across = 0.5 * disk_complement(radius, length);
    Ok(Vector3::new(across, across, disk(radius, length)))
}

/// Factors of a ring (hollow cylinder) with its axis along z: the two across (x, y) are equal, (1 - N_z) / 2.
///
/// The mean is over the material, not over the bore. A thick wall is two current sheets, N_z A = N_z A (outer solid) +
/// N_z A (inner solid) - 2 (mutual). In a thin one these cancel, and the charge of the two faces is integrated instead:
/// N_z = 1 / (A L) double integral of r r' G(r, r') over both radii, G the integral of 1 / d - 1 / sqrt(d^2 + L^2) over
/// the angle, d the distance; that is two complete elliptic integrals, taken as arithmetic-geometric means.
///
/// # Errors
/// [`Error::NotFinite`], [`Error::OutOfRange`] or [`Error::NotAscending`] if the outer diameter or the length is not
/// within 0.01 mm to 1 m, the bore is not at least 0.001 mm and smaller, or the wall is thinner than 0.001 mm.
pub fn ring(outer_diameter: f64, inner_diameter: f64, length: f64) -> Result<Vector3<f64>> {
    measure("outer diameter", outer_diameter)?;
    within(
        "inner diameter",
        inner_diameter,
        FINEST,
        MEASURE_RANGE[1],
        "m",
    )?;
    measure("length", length)?;
    if inner_diameter >= outer_diameter {
        return Err(Error::NotAscending {
            quantity: "ring diameters (inner, outer)",
            lower: inner_diameter,
            upper: outer_diameter,
            unit: "m",
        });
    }
    let [outer, inner] = [0.5 * outer_diameter, 0.5 * inner_diameter];
    within("ring wall", outer - inner, FINEST, MEASURE_RANGE[1], "m")?;
    let axial = if inner > THIN_WALL * outer {
        thin_ring(outer, inner, length)
    } else {
        thick_ring(outer, inner, length)
    };
    let across = 0.5 * (1.0 - axial);
    Ok(Vector3::new(across, across, axial))
}

/// Factors of a sphere: one third each, by symmetry.
#[must_use]
pub fn sphere() -> Vector3<f64> {
    Vector3::repeat(1.0 / 3.0)
}

/// Factors of an ellipsoid along its axes (Osborn 1945); the field inside is uniform, so the mean is the field.
///
/// N_z = a b c R_D(a^2, b^2, c^2) / 3, with the symmetric elliptic integral of B. C. Carlson, Numer. Math. 33 (1979) 1.
///
/// # Errors
/// [`Error::NotFinite`] or [`Error::OutOfRange`] if a semi-axis is not within 0.01 mm to 1 m.
pub fn ellipsoid(semi_axes: &Vector3<f64>) -> Result<Vector3<f64>> {
    for (name, axis) in ["semi-axis x", "semi-axis y", "semi-axis z"]
        .into_iter()
        .zip(semi_axes.iter())
    {
        measure(name, *axis)?;
    }
    let s = semi_axes / semi_axes.max();
    let along = |axis: usize| {
        let [a, b, c] = [s[(axis + 1) % 3], s[(axis + 2) % 3], s[axis]];
        a * b * c / 3.0 * carlson_rd(a * a, b * b, c * c)
    };
    Ok(Vector3::new(along(0), along(1), along(2)))
}

/// The factor along any direction, u . N u for the unit vector u, from the factors along the axes.
///
/// # Errors
/// [`Error::NotFinite`] if a component is not finite, [`Error::NoDirection`] if the direction has no length.
pub fn along(factors: &Vector3<f64>, direction: &Vector3<f64>) -> Result<f64> {
    let unit = unit("direction of polarization", direction)?;
    Ok(unit.component_mul(&unit).dot(factors))
}

fn measure(quantity: &'static str, value: f64) -> Result<f64> {
    within(quantity, value, MEASURE_RANGE[0], MEASURE_RANGE[1], "m")
}

/// A bar of rectangular cross-section a x b, polarized along its length.
fn prism(a: f64, b: f64, length: f64) -> f64 {
    let pair = |a: f64, b: f64| {
        let finest = b.min(length) / a;
        a * a * integral(finest, |x, rest| rest * rise(a * x, b, length))
    };
    2.0 / (PI * a * b) * (pair(a, b) + pair(b, a))
}

/// u(sqrt(x^2 + b^2)) - u(x), all positive: S - r = L^2 / (S + r), S2 - S1 = b^2 / (S2 + S1).
fn rise(x: f64, b: f64, length: f64) -> f64 {
    let r = [x, hypotenuse(x, b)];
    let s = r.map(|r| hypotenuse(r, length));
    let both = s[0] + s[1];
    let logarithm = (b * b / (both * (length + s[0]))).ln_1p();
    let ends = 1.0 / (s[0] + r[0]) + 1.0 / (s[1] + r[1]);
    logarithm + b * b * length * ends / ((r[0] + r[1]) * both)
}

/// Measures lie within 1e-30 to 10 m, where squares neither overflow nor vanish, so the slower `f64::hypot` is not
/// needed.
fn hypotenuse(a: f64, b: f64) -> f64 {
    (a * a + b * b).sqrt()
}

/// A round bar, polarized along its length.
fn disk(radius: f64, length: f64) -> f64 {
    let width = 2.0 * radius;
    let kernel = |s: f64, rest: f64| {
        let r = width * s;
        s * (rest * (1.0 + s)).sqrt() / (r + length + hypotenuse(r, length))
    };
    8.0 * width / PI * integral(length / width, kernel)
}

/// 1 minus [`disk`], without taking the difference: the coefficient of Nagaoka.
fn disk_complement(radius: f64, length: f64) -> f64 {
    let width = 2.0 * radius;
    let kernel = |s: f64, rest: f64| {
        let r = width * s;
        let apart = hypotenuse(r, length);
        let ends = length + length * length / (apart + r);
        (rest * (1.0 + s)).sqrt() * ends / (r + length + apart)
    };
    4.0 / PI * integral(length / width, kernel)
}

/// Two current sheets. The integrand of the mutual part is periodic and smooth: the trapezoidal rule leaves less than
/// `THIN_WALL`^(2 x 64) = 1e-16.
fn thick_ring(outer: f64, inner: f64, length: f64) -> f64 {
    const PANELS: u32 = 64;
    let mut sum = 0.0;
    for panel in 1..PANELS {
        let angle = PI * f64::from(panel) / f64::from(PANELS);
        let chord = 2.0 * (outer * inner).sqrt() * (0.5 * angle).sin();
        let r = hypotenuse(outer - inner, chord);
        sum += angle.sin().powi(2) / (r * (r + length + hypotenuse(r, length)));
    }
    let mutual = 4.0 / f64::from(PANELS) * (outer * inner).powi(2) * sum;
    let own = outer * outer * disk(outer, length) + inner * inner * disk(inner, length);
    (own - 2.0 * mutual) / ((outer - inner) * (outer + inner))
}

/// The charge of the two faces, over the radius r and the difference of radii u. The integrand is smooth in r, where
/// eight points reach the last digit as long as the radii are three walls or more, and has a logarithm at u = 0, which
/// [`integral`] takes.
fn thin_ring(outer: f64, inner: f64, length: f64) -> f64 {
    let wall = outer - inner;
    let over_radius = |part: f64, rest: f64| {
        let (difference, span) = (wall * part, wall * rest);
        let mut sum = 0.0;
        for (node, weight) in GAUSS_8 {
            for node in [0.5 * (1.0 - node), 0.5 * (1.0 + node)] {
                let r = inner + span * node;
                let total = 2.0 * r + difference;
                let near = mean(total, difference);
                let far = mean(hypotenuse(total, length), hypotenuse(difference, length));
                sum += 0.5 * weight * r * (r + difference) * (1.0 / near - 1.0 / far);
            }
        }
        span * sum
    };
    4.0 * wall / (wall * (outer + inner) * length) * integral(length.min(wall) / wall, over_radius)
}

/// Gauss-Legendre nodes and weights of order 8 on -1..1, the positive half (Abramowitz and Stegun, table 25.4).
const GAUSS_8: [(f64, f64); 4] = [
    (0.183_434_642_495_649_8, 0.362_683_783_378_362),
    (0.525_532_409_916_329, 0.313_706_645_877_887_3),
    (0.796_666_477_413_626_7, 0.222_381_034_453_374_48),
    (0.960_289_856_497_536_3, 0.101_228_536_290_376_26),
];

/// Arithmetic-geometric mean of two positive numbers. Each step squares the relative difference, so at 1e-8 the next is
/// the last.
fn mean(mut a: f64, mut b: f64) -> f64 {
    while (a - b).abs() > 1e-8 * a {
        (a, b) = (0.5 * (a + b), (a * b).sqrt());
    }
    0.5 * (a + b)
}

/// R_D(x, y, z) by duplication, to the last digit or two: the remainder is of sixth order in the spread.
fn carlson_rd(mut x: f64, mut y: f64, mut z: f64) -> f64 {
    let (mut sum, mut share) = (0.0, 1.0);
    loop {
        let center = (x + y + 3.0 * z) / 5.0;
        let [dx, dy, dz] = [x, y, z].map(|v| (center - v) / center);
        if dx.abs().max(dy.abs()).max(dz.abs()) < 1e-3 {
            let (p, q) = (dx * dy, dz * dz);
            let (e2, e3) = (p - 6.0 * q, (3.0 * p - 8.0 * q) * dz);
            let (e4, e5) = (3.0 * (p - q) * q, p * q * dz);
            let series = 1.0 - 3.0 * e2 / 14.0 + e3 / 6.0 + 9.0 * e2 * e2 / 88.0
                - 3.0 * e4 / 22.0
                - 9.0 * e2 * e3 / 52.0
                + 3.0 * e5 / 26.0;
            return 3.0 * sum + share * series / (center * center.sqrt());
        }
        let [rx, ry, rz] = [x, y, z].map(f64::sqrt);
        let lambda = rx * ry + ry * rz + rz * rx;
        sum += share / (rz * (z + lambda));
        share *= 0.25;
        [x, y, z] = [x, y, z].map(|v| 0.25 * (v + lambda));
    }
}

/// Integral of `f(x, 1 - x)` over x in 0..1, for integrands that change on the scale `finest` <= 1 near x = 0 and on
/// the scale 1 else.
///
/// With x = 1 / (1 + exp(-v)) both scales become lengths of order one in v, the ends fall off exponentially, and the
/// nearest singularity (x = +-i times a ratio of measures) lies pi / 2 off the real axis: steps of 1/4 leave exp(-4
/// pi^2) = 1e-17.
fn integral(finest: f64, f: impl Fn(f64, f64) -> f64) -> f64 {
    const STEP: f64 = 0.25;
    // exp(-42) and exp(-1.5 * 26) = 1e-17 or less of the whole is left out at the two ends.
    let lower = -42.0 + finest.min(1.0).ln();
    let count = ((26.0 - lower) / STEP) as u32;
    let mut sum = 0.0;
    for i in 0..=count {
        let v = lower + STEP * f64::from(i);
        let odds = (-v).exp();
        let x = 1.0 / (1.0 + odds);
        let rest = odds * x;
        sum += f(x, rest) * x * rest;
    }
    STEP * sum
}
