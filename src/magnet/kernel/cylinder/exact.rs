//! The field of cylinder and ring where the plain closed form would cancel: far away, on thin shapes, on and close to
//! the axis, close to a rim. No digit is lost anywhere.
//!
//! Away from the rims the integral over the azimuth is summed at equally spaced nodes. The integrand is periodic and
//! smooth, so the error falls as exp(-n beta) with the number of nodes n, where cosh beta = (rho^2 + a^2 + zeta^2) / (2
//! a rho) (the nearest complex root of R^2; L. N. Trefethen and J. A. C. Weideman, The exponentially convergent
//! trapezoidal rule, SIAM Review 56 (2014) 385, theorem 3.2). With s the horizontal distance of a charge, R^2 = s^2 +
//! zeta^2 and mean <> over the azimuth, the field of both ends together is
//!
//! M_zz = a^2 / 2 <Q + 2 rho^2 sin^2 Q'>,  M_pp = -a^2 / 2 <sin^2 Q>,  M_rz = a^2 rho / 2 <sin^2 (1/R1^3 - 1/R2^3)>,
//!
//! where Q = (zeta2 / R2 - zeta1 / R1) / s^2 and Q' is its derivative by s^2. (From the mantle's charge and current,
//! once integrated by parts, which removes the harmonics that add up to nothing.) All differences are taken in exact
//! form; of each sum only terms of its own size remain. Three forms of Q, because of what it is made of:
//!
//! | [`Form`] | where | Q |
//! | --- | --- | --- |
//! | `Beyond` | above the end | 4 z h / (R1 R2 (zeta2 R1 + zeta1 R2)) |
//! | `Flat` | between the ends, farther from the mantle than half the length | as it stands |
//! | `Long` | between the ends, nearer | 2 / s^2, whose part is elementary, less 1 / (R (R + abs(zeta))) for each end |
//!
//! Close to a rim the nodes would be too many; there the elliptic integrals serve, which cancel only in the difference
//! of the ends. That is carried as a [`Pair`] through the iteration. A ring is outer less inner; for a thin wall, that
//! is carried as a pair through either form.

use std::sync::LazyLock;

use crate::magnet::kernel::cylinder::ends::{Elements, end};
use crate::numeric::elliptic;
use crate::numeric::pair::{Pair, Real};

/// Equally spaced nodes over the azimuth.
struct Rule {
    /// Squares of sin(theta / 2) and sin(theta) at half of the nodes; the other half is the mirror image.
    nodes: Vec<[f64; 2]>,
    /// The least cosh(beta) - 1 for which the rule is exact to the last bit.
    least: f64,
}

/// Even numbers of nodes, to choose from. Beyond the last, the elliptic form is the better one.
const COUNTS: [usize; 11] = [8, 12, 16, 24, 32, 48, 64, 96, 128, 192, 256];

static RULES: LazyLock<[Rule; COUNTS.len()]> = LazyLock::new(|| {
    COUNTS.map(|count| {
        // Midpoints: the same accuracy, and all nodes weigh the same.
        let node = |j: usize| {
            let theta = (2 * j + 1) as f64 * (std::f64::consts::PI / count as f64);
            [(0.5 * theta).sin().powi(2), theta.sin().powi(2)]
        };
        // The relative error is exp(0.9) n^1.4 exp(-(n - 2) beta), measured in 40 digits for n from 8 to 64, beta from
        // 0.5 to 4 and flat, round and long cylinders; it is to be 2^-55.
        let n = count as f64;
        let beta = (55.0 * std::f64::consts::LN_2 + 0.9 + 1.4 * n.ln()) / (n - 2.0);
        Rule {
            nodes: (0..count / 2).map(node).collect(),
            least: beta.cosh() - 1.0,
        }
    })
});

/// What an integrand is made of (the table at the head of this file).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(in crate::magnet) enum Form {
    Beyond,
    Flat,
    Long,
}

impl Form {
    /// The form for a place, and the measure by which a rule is enough; `largest` is the largest radius.
    pub(super) fn at<T: Radius>(largest: f64, excess: T, place: &Place) -> (Self, f64) {
        let [near, far] = place.zeta;
        let square = (excess * excess).least();
        let half = 0.5 * (far - near);
        let (form, height) = if near >= 0.0 {
            (Self::Beyond, near)
        } else if square >= half * half {
            (Self::Flat, 0.0)
        } else {
            (Self::Long, near)
        };
        // Of a pair the smaller square with the larger radius: no rule that is enough for that is too short for either.
        (
            form,
            (square + height * height) / (2.0 * largest * place.rho),
        )
    }
}

/// A form, and which of the rules is enough.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(in crate::magnet) struct Plan {
    form: Form,
    rule: usize,
}

/// One mantle: its radius, rho minus the radius to the last bit, and on which side of it the point counts (1 within, -1
/// outside).
#[derive(Debug, Clone, Copy)]
pub(in crate::magnet) struct Mantle {
    pub(in crate::magnet) a: f64,
    pub(in crate::magnet) excess: f64,
    pub(in crate::magnet) side: f64,
}

/// Where a point stands, folded to z >= 0.
#[derive(Debug, Clone, Copy)]
pub(in crate::magnet) struct Place {
    pub(in crate::magnet) rho: f64,
    /// z - h and z + h.
    pub(in crate::magnet) zeta: [f64; 2],
    /// zeta2^2 - zeta1^2 = 4 z h.
    pub(in crate::magnet) step: f64,
    pub(in crate::magnet) outer: Mantle,
    /// That of the bore.
    pub(in crate::magnet) inner: Option<Mantle>,
}

impl Place {
    pub(in crate::magnet) fn is_on_rim(&self) -> bool {
        let on_bore = self.inner.is_some_and(|inner| inner.excess == 0.0);
        self.zeta[0] == 0.0 && (self.outer.excess == 0.0 || on_bore)
    }

    pub(in crate::magnet) fn is_inside(&self) -> bool {
        let in_wall = self.inner.is_none_or(|inner| inner.excess > 0.0);
        in_wall && self.outer.excess < 0.0 && self.zeta[0] < 0.0
    }

    /// Both mantles in one sum, or none if it takes too many nodes.
    pub(in crate::magnet) fn plan(&self) -> Option<Plan> {
        match self.inner {
            None => plan(self.outer.a, self.outer.excess, self),
            Some(inner) => plan(self.outer.a, Walls::new(inner, self.outer).excess, self),
        }
    }

    /// The elements from the sums of [`node_terms`] over the rule, times a^2.
    pub(in crate::magnet) fn finish<const MATERIAL: bool>(
        &self,
        plan: Plan,
        sums: [f64; 3],
    ) -> Elements {
        self.elements::<MATERIAL>(&part(plan, sums, self))
    }

    /// The elements, one point at a time.
    pub(in crate::magnet) fn solve<const MATERIAL: bool>(&self) -> Elements {
        self.elements::<MATERIAL>(&self.part())
    }

    /// The elements of the whole; without `MATERIAL` less 1 on the diagonal inside: what H has of them.
    fn elements<const MATERIAL: bool>(&self, part: &Part) -> Elements {
        let [zz, pp] = if part.long {
            self.elementary()
        } else {
            [0.0, 0.0]
        };
        if MATERIAL {
            return Elements::new(part.zz + zz, part.rz, part.pp + pp, self.is_inside());
        }
        // Where M_zz is close to 1, 1 is never added.
        let own = if self.is_inside() { 1.0 } else { 0.0 };
        Elements::without_material(part.zz + (zz - own), part.rz, part.pp + pp, own)
    }

    fn part(&self) -> Part {
        match self.inner {
            None => self.outer.part(self),
            Some(inner) => self.ring(inner),
        }
    }

    fn ring(&self, inner: Mantle) -> Part {
        // A thick wall gains nothing from a pair, and its two radii may suit different forms.
        let thin = 2.0 * inner.a > self.outer.a;
        thin.then(|| self.thin_wall(inner))
            .flatten()
            .unwrap_or_else(|| {
                let (whole, hole) = (self.outer.part(self), inner.part(self));
                let own = |mantle: Mantle| mantle.elementary(self.rho);
                match (whole.long, hole.long) {
                    (true, false) => whole.plus(own(self.outer)).minus(&hole),
                    (false, true) => whole.minus(&hole.plus(own(inner))),
                    // Of one form: the elementary parts are still to come, or in already.
                    _ => whole.minus(&hole),
                }
            })
    }

    /// Both radii as a pair; none so close to one of the rims that the other is far in comparison.
    fn thin_wall(&self, inner: Mantle) -> Option<Part> {
        let wall = self.outer.a - inner.a;
        let Walls { a, excess, side } = Walls::new(inner, self.outer);
        if let Some(plan) = plan(self.outer.a, excess, self) {
            return Some(sum(plan, a, excess, wall, self));
        }
        let comparable = nearest(excess, self) >= wall;
        comparable.then(|| elliptic(a, excess, side, wall, self))
    }

    /// What 2 / s^2 contributes to M_zz and to M_pp - inside: the field of an endless cylinder or tube.
    fn elementary(&self) -> [f64; 2] {
        let (outer, rho) = (self.outer, self.rho);
        let [zz, pp] = outer.elementary(rho);
        let Some(inner) = self.inner else {
            return [zz, pp];
        };
        let pp = if outer.excess >= 0.0 {
            -0.5 * (outer.a - inner.a) * (outer.a + inner.a) / (rho * rho)
        } else if inner.excess > 0.0 {
            -0.5 * inner.excess * (rho + inner.a) / (rho * rho)
        } else {
            0.0
        };
        [zz - inner.elementary(rho)[0], pp]
    }
}

impl Mantle {
    fn part(self, place: &Place) -> Part {
        match plan(self.a, self.excess, place) {
            Some(plan) => sum(plan, self.a, self.excess, 0.0, place),
            None => elliptic(self.a, self.excess, self.side, 0.0, place),
        }
    }

    fn elementary(self, rho: f64) -> [f64; 2] {
        if self.side > 0.0 {
            [1.0, -0.5]
        } else {
            let share = self.a / rho;
            [0.0, -0.5 * share * share]
        }
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

    fn plus(&self, [zz, pp]: [f64; 2]) -> Self {
        Self {
            zz: self.zz + zz,
            rz: self.rz,
            pp: self.pp + pp,
            long: false,
        }
    }
}

/// One radius, or two as a pair.
pub(in crate::magnet) trait Radius: Real {
    /// rho minus the radius, or minus both; a solid cylinder has no inner one.
    fn excess(inner: f64, outer: f64) -> Self;
    /// What a solid cylinder or a ring has, from the value for its radius or radii.
    fn whole(self, wall: f64) -> f64;
    /// The least value over the radii.
    fn least(self) -> f64;
}

impl Radius for f64 {
    #[inline(always)]
    fn excess(_inner: f64, outer: f64) -> Self {
        outer
    }

    #[inline(always)]
    fn whole(self, _wall: f64) -> f64 {
        self
    }

    fn least(self) -> f64 {
        self
    }
}

impl Radius for Pair {
    #[inline(always)]
    fn excess(inner: f64, outer: f64) -> Self {
        Self {
            first: inner,
            second: outer,
            slope: -1.0,
        }
    }

    #[inline(always)]
    fn whole(self, wall: f64) -> f64 {
        self.slope * wall
    }

    fn least(self) -> f64 {
        self.first.min(self.second)
    }
}

/// A ring's two mantles as pairs.
struct Walls {
    a: Pair,
    excess: Pair,
    side: Pair,
}

impl Walls {
    fn new(inner: Mantle, outer: Mantle) -> Self {
        Self {
            a: Pair {
                first: inner.a,
                second: outer.a,
                slope: 1.0,
            },
            excess: Pair::excess(inner.excess, outer.excess),
            side: Pair {
                first: inner.side,
                second: outer.side,
                slope: (outer.side - inner.side) / (outer.a - inner.a),
            },
        }
    }
}

/// `largest` is the largest radius.
fn plan<T: Radius>(largest: f64, excess: T, place: &Place) -> Option<Plan> {
    let (form, x) = Form::at(largest, excess, place);
    let rule = RULES.iter().position(|rule| x >= rule.least)?;
    Some(Plan { form, rule })
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
    let steps = elliptic::steps(nearest / (4.0 * place.outer.a)) + 1;
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

fn sum<T: Radius>(plan: Plan, a: T, excess: T, wall: f64, place: &Place) -> Part {
    let zero = T::constant(0.0);
    let mut sums = [zero; 3];
    for node in plan.nodes() {
        let terms = node_terms::<false, T>(
            plan.form, *node, a, excess, place.rho, place.zeta, place.step,
        );
        sums = [sums[0] + terms[0], sums[1] + terms[1], sums[2] + terms[2]];
    }
    part(plan, sums.map(|sum| (a * a * sum).whole(wall)), place)
}

impl Plan {
    pub(in crate::magnet) fn form(self) -> Form {
        self.form
    }

    /// Squares of sin(theta / 2) and sin(theta).
    pub(in crate::magnet) fn nodes(self) -> &'static [[f64; 2]] {
        &RULES[self.rule].nodes
    }
}

/// From the sums over half the nodes of what [`node_terms`] returns, times a^2.
fn part(plan: Plan, sums: [f64; 3], place: &Place) -> Part {
    let share = 0.5 / plan.nodes().len() as f64;
    let long = plan.form == Form::Long;
    let sign = if long { -share } else { share };
    Part {
        zz: sums[0] * sign,
        rz: sums[1] * share * place.rho * place.step,
        pp: sums[2] * -sign,
        long,
    }
}

/// The contributions of one node to M_zz, M_rz and M_pp: Q + 2 rho^2 sin^2 Q', sin^2 (1/R1^3 - 1/R2^3) / 4 z h and
/// sin^2 Q.
#[inline(always)]
pub(in crate::magnet) fn node_terms<const FMA: bool, T: Radius>(
    form: Form,
    [half_sine2, sine2]: [f64; 2],
    a: T,
    excess: T,
    rho: f64,
    [near, far]: [f64; 2],
    step: f64,
) -> [T; 3] {
    let s2 = excess.mul_add::<FMA>(excess, a * (4.0 * rho * half_sine2));
    let (r1, r2) = ((s2 + near * near).sqrt(), (s2 + far * far).sqrt());
    let product = r1 * r2;
    let sum = r1 + r2;
    let inverse = (product * sum).reciprocal();
    let inverse_product = inverse * sum;
    let (i1, i2) = (inverse_product * r2, inverse_product * r1);
    let (i11, i22) = (i1 * i1, i2 * i2);
    // (1/R1^3 - 1/R2^3) / (R2^2 - R1^2) = (1/R1^2 + 1/(R1 R2) + 1/R2^2) / (R1 R2 (R1 + R2))
    let cubes = inverse * (i11 + i22 + inverse_product);
    // Q and -Q'
    let (q, slope) = match form {
        Form::Beyond => {
            let cross = (r1 * far + r2 * near).reciprocal();
            let q = inverse_product * cross * step;
            let ends = (i1 * far + i2 * near) * cross;
            (q, q * (i11 + i22 + ends) * 0.5)
        }
        Form::Flat => {
            let inverse_s2 = s2.reciprocal();
            let (one, two) = (i1 * -near, i2 * far);
            let q = (one + two) * inverse_s2;
            let cubes = one.mul_add::<FMA>(i11, two * i22);
            (q, (q + cubes * 0.5) * inverse_s2)
        }
        Form::Long => {
            let (one, two) = (r1 + near.abs(), r2 + far.abs());
            let inverse = (one * two).reciprocal();
            let (q1, q2) = (i1 * inverse * two, i2 * inverse * one);
            let slopes = q1.mul_add::<FMA>(i11 + q1, q2 * (i22 + q2));
            (q1 + q2, slopes * 0.5)
        }
    };
    [
        q - slope * (2.0 * rho * rho * sine2),
        cubes * sine2,
        q * sine2,
    ]
}
