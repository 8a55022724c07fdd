//! The field of cylinder and ring where the plain closed form would cancel: far away, on thin shapes, on and close to the
//! axis, close to a rim. Slower, but with no digit lost anywhere.
//!
//! Away from the rims the integral over the azimuth is summed at equally spaced nodes. The integrand is periodic and
//! smooth, so the error falls as exp(-n beta) with the number of nodes n, where cosh beta = (rho^2 + a^2 + zeta^2) / (2 a
//! rho) (the nearest complex root of R^2; L. N. Trefethen and J. A. C. Weideman, The exponentially convergent trapezoidal rule, SIAM
//! Review 56 (2014) 385, theorem 3.2). With s the horizontal distance of a charge, R^2 = s^2 + zeta^2 and mean
//! <> over the azimuth, the field of both ends together is
//!
//! M_zz = a^2 / 2 <Q + 2 rho^2 sin^2 Q'>,  M_pp = -a^2 / 2 <sin^2 Q>,  M_rz = a^2 rho / 2 <sin^2 (1/R1^3 - 1/R2^3)>,
//!
//! where Q = (zeta2 / R2 - zeta1 / R1) / s^2 and Q' is its derivative by s^2. (From the mantle's charge and current, once
//! integrated by parts, which removes the harmonics that add up to nothing.) All differences are taken in exact form;
//! of each sum only terms of its own size remain. Three forms of Q, because of what it is made of:
//!
//! | [`Form`] | where | Q |
//! | --- | --- | --- |
//! | `Beyond` | above the end | 4 z h / (R1 R2 (zeta2 R1 + zeta1 R2)) |
//! | `Flat` | between the ends, farther from the mantle than half the length | as it stands |
//! | `Long` | between the ends, nearer | 2 / s^2, whose part is elementary, less 1 / (R (R + |zeta|)) for each end |
//!
//! Close to a rim the nodes would be too many; there the elliptic integrals serve, which cancel only in the difference of the ends.
//! That is carried as a [`Pair`] through the iteration. A ring is outer less inner; for a thin wall, that is carried as a
//! pair through either form.

use std::sync::LazyLock;

use super::cylinder_kernel::{Elements, end};
use crate::numeric::elliptic;
use crate::numeric::pair::{Pair, Real};

/// Squares of sin(theta / 2) and sin(theta) at half of the nodes; the other half is the mirror image.
struct Rule {
    nodes: Vec<[f64; 2]>,
}

/// Even numbers of nodes, to choose from. The last is where the elliptic form has become the better one.
const COUNTS: [usize; 11] = [8, 12, 16, 24, 32, 48, 64, 96, 128, 192, 256];

static RULES: LazyLock<[Rule; COUNTS.len()]> = LazyLock::new(|| {
    COUNTS.map(|count| {
        // Midpoints: the same accuracy, and all nodes weigh the same.
        let node = |j: usize| {
            let theta = (2 * j + 1) as f64 * (std::f64::consts::PI / count as f64);
            [(0.5 * theta).sin().powi(2), theta.sin().powi(2)]
        };
        Rule {
            nodes: (0..count / 2).map(node).collect(),
        }
    })
});

/// The rule that leaves less than the last bit, or none if that takes too many nodes.
///
/// `square` is (rho - a)^2 + zeta^2 of the nearest singular circle. The margin on top of ln(2^53) = 37 pays for the powers of R in
/// the integrand, which grow with the number of nodes to the 3/2.
fn rule(square: f64, a: f64, rho: f64) -> Option<&'static Rule> {
    let x = square / (2.0 * a * rho);
    let beta = (x + (x * (x + 2.0)).sqrt()).ln_1p();
    let needed = 44.0 / beta + 4.0;
    let chosen = COUNTS.iter().position(|&count| count as f64 >= needed)?;
    Some(&RULES[chosen])
}

/// What an integrand is made of (the table at the head of this file).
#[derive(Debug, Clone, Copy, PartialEq)]
enum Form {
    Beyond,
    Flat,
    Long,
}

/// One radius, or two as a pair.
trait Radius: Real {
    /// What a solid cylinder or a ring has, from the value for its radius or radii.
    fn whole(self, wall: f64) -> f64;
    /// The radius for which fewer nodes suffice comes second: the least of `value` over the radii.
    fn least(self) -> f64;
}

impl Radius for f64 {
    fn whole(self, _wall: f64) -> f64 {
        self
    }

    fn least(self) -> f64 {
        self
    }
}

impl Radius for Pair {
    fn whole(self, wall: f64) -> f64 {
        self.slope * wall
    }

    fn least(self) -> f64 {
        self.first.min(self.second)
    }
}

/// Where a point stands, folded to z >= 0.
#[derive(Debug, Clone, Copy)]
pub(super) struct Place {
    pub(super) rho: f64,
    /// z - h and z + h.
    pub(super) zeta: [f64; 2],
    /// z2^2 - z1^2 = 4 z h.
    pub(super) step: f64,
}

/// One mantle: its radius, rho minus the radius to the last bit, and on which side of it the point counts (1 within, -1 outside).
#[derive(Debug, Clone, Copy)]
pub(super) struct Mantle {
    pub(super) a: f64,
    pub(super) excess: f64,
    pub(super) side: f64,
}

impl Mantle {
    fn part(self, place: &Place) -> Part {
        smooth(self.a, self.excess, self.side, 0.0, place)
            .unwrap_or_else(|| elliptic(self.a, self.excess, self.side, 0.0, place))
    }
}

/// M_zz, M_rz and M_pp - inside, less the elementary part if `long`.
struct Part {
    zz: f64,
    rz: f64,
    pp: f64,
    long: bool,
}

impl Part {
    fn minus(&self, other: &Self) -> Self {
        Self {
            zz: self.zz - other.zz,
            rz: self.rz - other.rz,
            pp: self.pp - other.pp,
            long: self.long,
        }
    }

    fn plus_elementary(self, [zz, pp]: [f64; 2]) -> Self {
        Self {
            zz: self.zz + zz,
            pp: self.pp + pp,
            long: false,
            ..self
        }
    }
}

/// The elements for a solid cylinder.
pub(super) fn solid(outer: Mantle, place: &Place) -> Elements {
    let mut part = outer.part(place);
    if part.long {
        part = part.plus_elementary(elementary(outer, place.rho));
    }
    let inside = (outer.excess < 0.0) & (place.zeta[0] < 0.0);
    Elements::new(part.zz, part.rz, part.pp, inside)
}

/// The elements for a ring.
pub(super) fn ring(outer: Mantle, inner: Mantle, place: &Place) -> Elements {
    let rho = place.rho;
    let wall = outer.a - inner.a;
    let [zz_outer, pp_outer] = elementary(outer, rho);
    let [zz_inner, pp_inner] = elementary(inner, rho);
    let pp_joint = if outer.excess >= 0.0 {
        -0.5 * wall * (outer.a + inner.a) / (rho * rho)
    } else if inner.excess > 0.0 {
        -0.5 * inner.excess * (rho + inner.a) / (rho * rho)
    } else {
        0.0
    };
    let joint = [zz_outer - zz_inner, pp_joint];

    // A thick wall gains nothing from a pair, and its two radii may suit different forms.
    let thin = 2.0 * inner.a > outer.a;
    let part = match thin.then(|| thin_wall(outer, inner, place)).flatten() {
        Some(part) if part.long => part.plus_elementary(joint),
        Some(part) => part,
        None => {
            let (whole, hole) = (outer.part(place), inner.part(place));
            match (whole.long, hole.long) {
                (true, true) => whole.minus(&hole).plus_elementary(joint),
                (true, false) => whole.plus_elementary([zz_outer, pp_outer]).minus(&hole),
                (false, true) => whole.minus(&hole.plus_elementary([zz_inner, pp_inner])),
                (false, false) => whole.minus(&hole),
            }
        }
    };
    let inside = (inner.excess > 0.0) & (outer.excess < 0.0) & (place.zeta[0] < 0.0);
    Elements::new(part.zz, part.rz, part.pp, inside)
}

/// Both radii as a pair; none so close to one of the rims that the other is far in comparison.
fn thin_wall(outer: Mantle, inner: Mantle, place: &Place) -> Option<Part> {
    let wall = outer.a - inner.a;
    let a = Pair {
        first: inner.a,
        second: outer.a,
        slope: 1.0,
    };
    let excess = Pair {
        first: inner.excess,
        second: outer.excess,
        slope: -1.0,
    };
    let side = Pair {
        first: inner.side,
        second: outer.side,
        slope: (outer.side - inner.side) / wall,
    };
    smooth(a, excess, side, wall, place).or_else(|| {
        let comparable = nearest(excess, place) >= wall;
        comparable.then(|| elliptic(a, excess, side, wall, place))
    })
}

/// What 2 / s^2 contributes to M_zz and to M_pp - inside: the field of an endless cylinder.
fn elementary(mantle: Mantle, rho: f64) -> [f64; 2] {
    if mantle.side > 0.0 {
        [1.0, -0.5]
    } else {
        let share = mantle.a / rho;
        [0.0, -0.5 * share * share]
    }
}

/// By equally spaced nodes, unless that takes too many.
fn smooth<T: Radius>(a: T, excess: T, side: T, wall: f64, place: &Place) -> Option<Part> {
    let [near, far] = place.zeta;
    let distance = (excess * -side).least();
    let form = if near >= 0.0 {
        Form::Beyond
    } else if distance >= 0.5 * (far - near) {
        Form::Flat
    } else {
        Form::Long
    };
    let rho = place.rho;
    let height = if form == Form::Flat { 0.0 } else { near };
    // Of a pair the smaller square with the larger radius: no rule that is enough for that is too short for either.
    let square = (excess * excess).least() + height * height;
    let rule = rule(square, largest(a), rho)?;
    Some(match form {
        Form::Beyond => sum(rule, a, excess, wall, place, beyond),
        Form::Flat => sum(rule, a, excess, wall, place, flat),
        Form::Long => {
            let part = sum(rule, a, excess, wall, place, long);
            Part {
                zz: -part.zz,
                pp: -part.pp,
                long: true,
                ..part
            }
        }
    })
}

fn largest<T: Radius>(a: T) -> f64 {
    -(-a).least()
}

/// Distance from the nearest rim.
fn nearest<T: Radius>(excess: T, place: &Place) -> f64 {
    (excess * excess).least().sqrt().hypot(place.zeta[0])
}

/// By elliptic integrals.
fn elliptic<T: Radius>(a: T, excess: T, side: T, wall: f64, place: &Place) -> Part {
    let nearest = nearest(excess, place);
    let [near, far] = place.zeta;
    let length = far - near;
    // kc is at least half of this. One step more than for a value: a difference settles later.
    let steps = elliptic::steps(nearest / (4.0 * largest(a))) + 1;
    if nearest < length {
        let end = |zeta| end::<false, T>(steps, a, excess, side, place.rho, T::constant(zeta));
        let (one, two) = (end(near), end(far));
        return Part {
            zz: (two.axial - one.axial).whole(wall),
            rz: (one.radial - two.radial).whole(wall),
            pp: (one.around - two.around).whole(wall),
            long: false,
        };
    }
    let zeta = Pair {
        first: T::constant(near),
        second: T::constant(far),
        slope: T::constant(1.0),
    };
    let (a, excess, side) = (Pair::same(a), Pair::same(excess), Pair::same(side));
    let ends = end::<false, Pair<T>>(steps, a, excess, side, place.rho, zeta);
    Part {
        zz: ends.axial.slope.whole(wall) * length,
        rz: -ends.radial.slope.whole(wall) * length,
        pp: -ends.around.slope.whole(wall) * length,
        long: false,
    }
}

/// Q and -Q' at one node, from s^2, R1, R2 and their reciprocals.
type Integrand<T> = fn(&Place, T, [T; 2], [T; 2]) -> [T; 2];

fn sum<T: Radius>(
    rule: &Rule,
    a: T,
    excess: T,
    wall: f64,
    place: &Place,
    integrand: Integrand<T>,
) -> Part {
    let rho = place.rho;
    let squares = place.zeta.map(|zeta| zeta * zeta);
    let zero = T::constant(0.0);
    let (mut zz, mut rz, mut pp) = (zero, zero, zero);
    for &[half_sine2, sine2] in &rule.nodes {
        let s2 = excess * excess + a * (4.0 * rho * half_sine2);
        let r = squares.map(|square| (s2 + square).sqrt());
        let inverse = r.map(Real::reciprocal);
        let product = inverse[0] * inverse[1];
        // 1/R1^3 - 1/R2^3, without 4 z h.
        let squares = inverse[0].squared() + inverse[1].squared() + product;
        rz = rz + product * squares * (r[0] + r[1]).reciprocal() * sine2;
        let [q, slope] = integrand(place, s2, r, inverse);
        zz = zz + q - slope * (2.0 * rho * rho * sine2);
        pp = pp + q * sine2;
    }
    let half_mean = a * a * (0.5 / rule.nodes.len() as f64);
    Part {
        zz: (half_mean * zz).whole(wall),
        rz: (half_mean * rz).whole(wall) * rho * place.step,
        pp: -(half_mean * pp).whole(wall),
        long: false,
    }
}

fn beyond<T: Radius>(place: &Place, _s2: T, r: [T; 2], inverse: [T; 2]) -> [T; 2] {
    let [near, far] = place.zeta;
    let cross = (r[0] * far + r[1] * near).reciprocal();
    let q = inverse[0] * inverse[1] * cross * place.step;
    let ends = (inverse[0] * far + inverse[1] * near) * cross;
    let slope = q * (inverse[0].squared() + inverse[1].squared() + ends) * 0.5;
    [q, slope]
}

fn flat<T: Radius>(place: &Place, s2: T, _r: [T; 2], inverse: [T; 2]) -> [T; 2] {
    let [near, far] = place.zeta;
    let inverse_s2 = s2.reciprocal();
    let (one, two) = (inverse[0] * -near, inverse[1] * far);
    let q = (one + two) * inverse_s2;
    let cubes = one * inverse[0].squared() + two * inverse[1].squared();
    [q, (q + cubes * 0.5) * inverse_s2]
}

fn long<T: Radius>(place: &Place, _s2: T, r: [T; 2], inverse: [T; 2]) -> [T; 2] {
    let end = |i: usize| {
        let q = inverse[i] * (r[i] + place.zeta[i].abs()).reciprocal();
        [q, q * (inverse[i].squared() + q) * 0.5]
    };
    let ([q1, slope1], [q2, slope2]) = (end(0), end(1));
    [q1 + q2, slope1 + slope2]
}
