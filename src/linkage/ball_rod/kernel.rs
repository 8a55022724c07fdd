//! The loop equation of a rod with ball joints, as differences from neutral.
//!
//! | in the book | here |
//! | --- | --- |
//! | A cos psi + B sin psi = C, psi from the neutral arm | `p` cos psi + `q` sin psi = `c` |
//! | C - A, C + A | `w`, `u` |
//! | R^2 - C^2, R^2 = A^2 + B^2 | `square` = q^2 - u w |
//! | tan(psi / 2) | `num / den` |
//!
//! With A0, B0 the joints at neutral, A(theta) the input joint, d = A(theta) - (foot of the output arm), f1 the neutral
//! output arm, f2 = v x f1 and b its length: p = d . f1, q = d . f2, c = (d^2 + b^2 - L^2) / (2 b). The difference c -
//! p = (|A(theta) - B0|^2 - L^2) / (2 b) is a sum of terms that all vanish at neutral, so that small angles keep their
//! digits; and all of p, q, w are of the form x0 - k x1 + s x2 with s = sin theta, k = 1 - cos theta.
//!
//! The roots in t = tan(psi / 2) of u t^2 - 2 q t + w = 0 are (q + side S) / u = w / (q - side S) with S =
//! sqrt(square); of the two forms the one that adds equal signs is used, except where both roots meet at 0 or half a
//! turn. d(loop)/d(psi) = -side S: a root keeps its side as long as S does not vanish, so that a side is a branch,
//! continuous from lock to lock, however near to one the other comes.
//!
//! # References
//! J. M. McCarthy and G. S. Soh, *Geometric Design of Linkages*, 2nd ed., Springer 2011, app. A (form of the equation).

use crate::linkage::Arm;
use crate::numeric::harmonics::Harmonics;
use crate::numeric::simd::lanes::{mul_add, select};

/// Coefficients of x0 - k x1 + s x2, m.
type Wave = [f64; 3];

#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::linkage) struct Kernel {
    p: Wave,
    q: Wave,
    w: Wave,
    /// What `square` may fall below zero by rounding alone, m^2.
    touch: f64,
}

/// The loop equation at one input angle.
#[derive(Debug, Clone, Copy)]
pub(in crate::linkage) struct Loop {
    pub(in crate::linkage) p: f64,
    pub(in crate::linkage) q: f64,
    pub(in crate::linkage) w: f64,
    pub(in crate::linkage) u: f64,
    pub(in crate::linkage) square: f64,
}

/// Sine and versine of the input angle.
#[derive(Debug, Clone, Copy)]
pub(in crate::linkage) struct Input {
    s: f64,
    k: f64,
}

impl Input {
    pub(in crate::linkage) fn new(angle: f64) -> Self {
        let (sin, cos) = (0.5 * angle).sin_cos();
        Self::halves(sin, cos)
    }

    /// Sine and versine.
    #[inline(always)]
    pub(in crate::linkage) fn parts(self) -> [f64; 2] {
        [self.s, self.k]
    }

    /// From sine and cosine of half the angle.
    #[inline(always)]
    pub(in crate::linkage) fn halves(sin: f64, cos: f64) -> Self {
        Self {
            s: 2.0 * sin * cos,
            k: 2.0 * sin * sin,
        }
    }
}

/// tan(psi / 2) = num / den with den >= 0.
#[derive(Debug, Clone, Copy)]
pub(in crate::linkage) struct Half {
    pub(in crate::linkage) num: f64,
    pub(in crate::linkage) den: f64,
}

#[inline(always)]
fn value<const FMA: bool>(x: &Wave, input: Input) -> f64 {
    mul_add::<FMA>(input.s, x[2], mul_add::<FMA>(-input.k, x[1], x[0]))
}

#[inline(always)]
fn slope<const FMA: bool>(x: &Wave, input: Input) -> f64 {
    mul_add::<FMA>(-input.s, x[1], (1.0 - input.k) * x[2])
}

#[inline(always)]
fn bend<const FMA: bool>(x: &Wave, input: Input) -> f64 {
    -mul_add::<FMA>(input.s, x[2], (1.0 - input.k) * x[1])
}

/// Mean, cosine and sine.
fn harmonic(x: &Wave) -> [f64; 3] {
    [x[0] - x[1], x[1], x[2]]
}

impl Kernel {
    pub(in crate::linkage) fn new(input: &Arm, output: &Arm, rod: f64) -> Self {
        let (e1, b) = (input.radius(), output.length());
        let e2 = input.direction().cross(&e1);
        let f1 = output.radius() / b;
        let f2 = output.direction().cross(&f1);
        let d = input.joint() - output.foot();
        let r = input.joint() - output.joint();
        let neutral = r.norm();
        let p = [d.dot(&f1), e1.dot(&f1), e2.dot(&f1)];
        let q = [d.dot(&f2), e1.dot(&f2), e2.dot(&f2)];
        let w = [
            (neutral - rod) * (neutral + rod) / (2.0 * b),
            (r.dot(&e1) - e1.norm_squared()) / b,
            r.dot(&e2) / b,
        ];
        let size = |x: &Wave| x[0].abs() + 2.0 * x[1].abs() + x[2].abs();
        let (sp, sq, sw) = (size(&p), size(&q), size(&w));
        let touch = 4.0 * f64::EPSILON * (sq * sq + sw * (sw + 2.0 * sp));
        Self { p, q, w, touch }
    }

    #[inline(always)]
    pub(in crate::linkage) fn at<const FMA: bool>(&self, input: Input) -> Loop {
        let p = value::<FMA>(&self.p, input);
        let q = value::<FMA>(&self.q, input);
        let w = value::<FMA>(&self.w, input);
        let u = mul_add::<FMA>(2.0, p, w);
        Loop {
            p,
            q,
            w,
            u,
            square: mul_add::<FMA>(q, q, -(u * w)),
        }
    }

    /// Whether the loop closes and the output has a definite angle; a rod that is too short or too long by a rounding
    /// still does.
    #[inline(always)]
    pub(in crate::linkage) fn closes(&self, at: &Loop) -> bool {
        (at.square >= -self.touch) & self.definite(at)
    }

    /// Whether the input joint is off the axis of the output pivot, by more than roundings: on it the output may point
    /// anywhere.
    #[inline(always)]
    pub(in crate::linkage) fn definite(&self, at: &Loop) -> bool {
        const ROUNDING: f64 = 64.0 * f64::EPSILON;
        at.p * at.p + at.q * at.q > ROUNDING * self.touch
    }

    /// All coefficients.
    pub(in crate::linkage) fn row(&self) -> [f64; 10] {
        let ([p0, p1, p2], [q0, q1, q2], [w0, w1, w2]) = (self.p, self.q, self.w);
        [p0, p1, p2, q0, q1, q2, w0, w1, w2, self.touch]
    }

    #[inline(always)]
    pub(in crate::linkage) fn of_row(
        [p0, p1, p2, q0, q1, q2, w0, w1, w2, touch]: [f64; 10],
    ) -> Self {
        Self {
            p: [p0, p1, p2],
            q: [q0, q1, q2],
            w: [w0, w1, w2],
            touch,
        }
    }

    /// The largest square, m^2, that may be zero but for rounding.
    pub(in crate::linkage) fn touch(&self) -> f64 {
        self.touch
    }

    /// R^2 - C^2 over the input angle, m^2: its zeros are the locks.
    pub(in crate::linkage) fn discriminant(&self) -> Harmonics {
        let (p, q, w) = (harmonic(&self.p), harmonic(&self.q), harmonic(&self.w));
        let u = std::array::from_fn(|i| w[i] + 2.0 * p[i]);
        Harmonics::product(q, q).minus(Harmonics::product(u, w))
    }

    /// More than any derivative of the loop by the input angle, m.
    pub(in crate::linkage) fn greatest_speed(&self) -> f64 {
        let of = |x: &Wave| x[1].hypot(x[2]);
        of(&self.q) + 2.0 * of(&self.p) + of(&self.w)
    }

    /// Mean, cosine and sine of u, which vanishes where a root passes half a turn.
    pub(in crate::linkage) fn half_turn_wave(&self) -> [f64; 3] {
        let (p, w) = (harmonic(&self.p), harmonic(&self.w));
        std::array::from_fn(|i| w[i] + 2.0 * p[i])
    }

    /// Whether u is zero at all input angles but for roundings: whatever q is, u w may be zero for all that is known.
    pub(in crate::linkage) fn stays_at_half_turn(&self) -> bool {
        let greatest = |[mean, cos, sin]: [f64; 3]| mean.abs() + cos.hypot(sin);
        greatest(self.half_turn_wave()) * greatest(harmonic(&self.w)) <= self.touch
    }

    /// First and second derivative of the root on a side by the input angle; not finite at a lock.
    #[inline(always)]
    pub(in crate::linkage) fn derivatives<const FMA: bool>(
        &self,
        input: Input,
        at: &Loop,
        half: Half,
        side: f64,
    ) -> (f64, f64) {
        let (n, d) = (half.num, half.den);
        let scale = 2.0 / mul_add::<FMA>(n, n, d * d);
        let (sin, versine) = (scale * n * d, scale * n * n);
        let cos = 1.0 - versine;
        let p1 = slope::<FMA>(&self.p, input);
        let q1 = slope::<FMA>(&self.q, input);
        let by_input = mul_add::<FMA>(
            q1,
            sin,
            -mul_add::<FMA>(p1, versine, slope::<FMA>(&self.w, input)),
        );
        let mixed = mul_add::<FMA>(q1, cos, -(p1 * sin));
        let twice = mul_add::<FMA>(
            bend::<FMA>(&self.q, input),
            sin,
            -mul_add::<FMA>(
                bend::<FMA>(&self.p, input),
                versine,
                bend::<FMA>(&self.w, input),
            ),
        );
        let inverse = side / at.root();
        let ratio = by_input * inverse;
        let c = at.w + at.p;
        let curvature =
            mul_add::<FMA>(ratio, mul_add::<FMA>(-c, ratio, 2.0 * mixed), twice) * inverse;
        (ratio, curvature)
    }
}

impl Loop {
    /// The side (1 or -1) of the root that is nearer to where the output arm was given, even if the rod has another
    /// length.
    pub(in crate::linkage) fn near_side(&self) -> f64 {
        -1.0_f64.copysign(self.q)
    }

    /// S = sqrt(R^2 - C^2), zero where rounding would make it imaginary.
    #[inline(always)]
    pub(in crate::linkage) fn root(&self) -> f64 {
        select(self.square > 0.0, self.square, 0.0).sqrt()
    }

    /// The root on a side (1 or -1).
    #[inline(always)]
    pub(in crate::linkage) fn half(&self, side: f64) -> Half {
        /// Share of the larger of u and w below which both roots meet there, and the smaller of the two is but
        /// roundings.
        const MEETING: f64 = 1e-7;
        let reach = side * self.root();
        let (u, w) = (self.u.abs(), self.w.abs());
        let meeting = self.q.abs() + reach.abs() < MEETING * select(u > w, u, w);
        let adds = self.q * side > 0.0;
        let by_u = (meeting & (u >= w)) | (!meeting & adds);
        let num = select(by_u, self.q + reach, self.w);
        let den = select(by_u, self.u, self.q - reach);
        let sign = 1.0_f64.copysign(den);
        Half {
            num: num * sign,
            den: den * sign,
        }
    }
}

impl Half {
    /// The angle in [-pi, pi].
    pub(in crate::linkage) fn angle(self) -> f64 {
        2.0 * self.num.atan2(self.den)
    }
}
