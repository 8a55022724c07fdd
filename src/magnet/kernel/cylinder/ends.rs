//! What one end of a cylinder adds to the field, and the elements of M that both ends make up.
//!
//! The formulas are those at the head of `field`.

use crate::numeric::elliptic::integrals;
use crate::numeric::pair::Real;
use crate::numeric::simd::lanes::select;

// As in the kernel of the block: no closures and no small loops in what runs over lanes.

/// Elements of M by direction.
#[derive(Debug, Clone, Copy)]
pub(in crate::magnet) struct Elements {
    pub(in crate::magnet) rr: f64,
    pub(in crate::magnet) pp: f64,
    pub(in crate::magnet) zz: f64,
    pub(in crate::magnet) rz: f64,
}

impl Elements {
    #[inline(always)]
    pub(in crate::magnet) fn new(zz: f64, rz: f64, pp_less_inside: f64, inside: bool) -> Self {
        let inside = select(inside, 1.0, 0.0);
        let pp = pp_less_inside + inside;
        Self {
            rr: 2.0 * inside - zz - pp,
            pp,
            zz,
            rz,
        }
    }

    /// Less 1 on the diagonal inside, where `own` is 1: what H has of them. `zz` comes without it.
    #[inline(always)]
    pub(in crate::magnet) fn without_material(zz: f64, rz: f64, pp: f64, own: f64) -> Self {
        // The trace of M - 1 is -1 inside.
        Self {
            rr: -own - zz - pp,
            pp,
            zz,
            rz,
        }
    }
}

/// S, N and T of one end.
#[derive(Debug, Clone, Copy)]
pub(in crate::magnet) struct End<T> {
    pub(in crate::magnet) axial: T,
    pub(in crate::magnet) radial: T,
    pub(in crate::magnet) around: T,
    /// The size of the terms that `around` is made of, and of those of the other two.
    pub(in crate::magnet) around_terms: T,
    pub(in crate::magnet) other_terms: T,
    /// K and cel(kc, 1, -1, 1), over pi / 2, 1 / q and 1 - kc^2.
    pub(in crate::magnet) first_kind: T,
    pub(in crate::magnet) difference: T,
    pub(in crate::magnet) inverse_far: T,
    pub(in crate::magnet) k2: T,
}

/// `side` is the sign of a - rho, or what it counts as on the mantle.
#[inline(always)]
pub(in crate::magnet) fn end<const FMA: bool, T: Real>(
    steps: usize,
    a: T,
    excess: T,
    side: T,
    rho: f64,
    zeta: T,
) -> End<T> {
    let width = a + rho;
    let zeta2 = zeta * zeta;
    let far = width.mul_add::<FMA>(width, zeta2).sqrt();
    let near = excess.mul_add::<FMA>(excess, zeta2).sqrt();
    let both = (far * width).reciprocal();
    let (inverse_far, inverse_width) = (both * width, both * far);
    let k2 = a * inverse_far * inverse_far * (4.0 * rho);
    let cel = integrals::<FMA, T>(
        steps,
        near * inverse_far,
        k2,
        -(side * excess) * inverse_width,
        T::constant(1.0),
        side,
    );
    let share = a * inverse_far * 0.5;
    let around = share * zeta * (0.5 / (rho * rho));
    let plain = cel
        .difference
        .mul_add::<FMA>(T::constant(rho), a * cel.first_kind);
    let third = excess * cel.third_kind;
    let axial = share * inverse_width * cel.third_kind * zeta;
    let radial = share * cel.difference;
    End {
        axial,
        radial,
        around: around * (plain + third),
        around_terms: around * plain,
        other_terms: share * inverse_width * zeta,
        first_kind: cel.first_kind,
        difference: cel.difference,
        inverse_far,
        k2,
    }
}
