//! Elementary functions without branches or calls, so that a loop over them turns into vector code.
//!
//! The standard library's `ln_1p`, `atan2` and `sin_cos` are calls that stop a loop from being vectorized; these are
//! the same published approximations written as straight lines. Each is within 2 ulp of the true value
//! (tested against the standard library in `lanes_tests.rs`).
//!
//! `FMA` says whether the code runs where fused multiply-add is one instruction; elsewhere `mul_add` would be a
//! slow library call.
//!
//! # References
//! Polynomials of `ln_1p`, `atan`, `cos` and `sin`: fdlibm, Sun Microsystems 1993, `s_log1p.c`, `s_atan.c`, `k_cos.c`,
//! `k_sin.c` and `e_rem_pio2.c` (freely distributable), coefficients quoted from memory and confirmed by the tests.

use std::f64::consts::{FRAC_2_PI, FRAC_PI_2, FRAC_PI_4, PI};

/// `a * b + c`, fused where that is fast.
#[inline(always)]
pub(crate) fn mul_add<const FMA: bool>(a: f64, b: f64, c: f64) -> f64 {
    if FMA { a.mul_add(b, c) } else { a * b + c }
}

/// One of two values that are both already computed.
#[inline(always)]
pub(crate) fn select(condition: bool, yes: f64, no: f64) -> f64 {
    if condition { yes } else { no }
}

/// The scalar product of two vectors.
#[inline(always)]
pub(crate) fn dot(x: [f64; 3], y: [f64; 3]) -> f64 {
    x[0] * y[0] + x[1] * y[1] + x[2] * y[2]
}

/// The four reciprocals, by one division: dividing is the slowest thing a vector unit does.
///
/// The product of the four must neither overflow nor underflow.
#[inline(always)]
pub(crate) fn reciprocals(v: [f64; 4]) -> [f64; 4] {
    let (ab, cd) = (v[0] * v[1], v[2] * v[3]);
    let inverse = 1.0 / (ab * cd);
    let (inverse_ab, inverse_cd) = (inverse * cd, inverse * ab);
    [
        inverse_ab * v[1],
        inverse_ab * v[0],
        inverse_cd * v[3],
        inverse_cd * v[2],
    ]
}

/// ln(1 + m) for m >= 0 and below 1e300; NaN for NaN and infinity.
#[inline(always)]
pub(crate) fn ln_1p<const FMA: bool>(m: f64) -> f64 {
    const LN2_HI: f64 = 6.931_471_803_691_238e-1;
    const LN2_LO: f64 = 1.908_214_929_270_587_7e-10;
    const C: [f64; 7] = [
        6.666_666_666_666_735e-1,
        3.999_999_999_940_942e-1,
        2.857_142_874_366_239e-1,
        2.222_219_843_214_978_4e-1,
        1.818_357_216_161_805e-1,
        1.531_383_769_920_937_3e-1,
        1.479_819_860_511_658_6e-1,
    ];
    // Bits of sqrt(1/2), to bring 1 + m into [sqrt(1/2), sqrt(2)).
    const HALF_ROOT: u64 = 0x3fe6_a09e_667f_3bcd;
    const ONE: u64 = 0x3ff0_0000_0000_0000;

    let u = 1.0 + m;
    let lost = select(m < 1.0, m - (u - 1.0), 1.0 - (u - m));
    let shifted = u.to_bits().wrapping_add(ONE - HALF_ROOT);
    let exponent = shifted >> 52; // biased by 1023
    let f = f64::from_bits((shifted & 0x000f_ffff_ffff_ffff) + HALF_ROOT);
    // 2^-k, and k itself by the trick of the 2^52 exponent (no integer conversion in AVX2).
    let scale = f64::from_bits(2046_u64.wrapping_sub(exponent) << 52);
    let k = f64::from_bits(0x4330_0000_0000_0000 | exponent) - (4_503_599_627_370_496.0 + 1023.0);

    let z = mul_add::<FMA>(lost, scale, f - 1.0);
    let s = z / (2.0 + z);
    let w = s * s;
    let w2 = w * w;
    let odd = mul_add::<FMA>(
        w2,
        mul_add::<FMA>(w2, mul_add::<FMA>(w2, C[6], C[4]), C[2]),
        C[0],
    );
    let even = mul_add::<FMA>(w2, mul_add::<FMA>(w2, C[5], C[3]), C[1]);
    let r = mul_add::<FMA>(w2, even, w * odd);
    let half_square = 0.5 * z * z;
    let tail = mul_add::<FMA>(s, half_square + r, k * LN2_LO);
    mul_add::<FMA>(k, LN2_HI, z - (half_square - tail))
}

/// The angle of (x, y) in [-pi, pi]; NaN at (0, 0).
#[inline(always)]
pub(crate) fn atan2<const FMA: bool>(y: f64, x: f64) -> f64 {
    const C: [f64; 11] = [
        3.333_333_333_333_293e-1,
        -1.999_999_999_987_648_3e-1,
        1.428_571_427_250_346_6e-1,
        -1.111_111_040_546_235_6e-1,
        9.090_887_133_436_507e-2,
        -7.691_876_205_044_83e-2,
        6.661_073_137_387_531e-2,
        -5.833_570_133_790_573e-2,
        4.976_877_994_615_932e-2,
        -3.653_157_274_421_691_6e-2,
        1.628_582_011_536_578_2e-2,
    ];
    // The rounding errors of pi/4, pi/2 and pi.
    const PI_LO: f64 = 1.224_646_799_147_353_2e-16;

    let (ax, ay) = (x.abs(), y.abs());
    let steep = ay > ax;
    let (small, large) = (select(steep, ax, ay), select(steep, ay, ax));
    // Beyond tan(pi/8) turn by pi/4, so that the argument stays below 0.4143.
    let turned = small > 0.414 * large;
    let numerator = select(turned, small - large, small);
    let denominator = select(turned, small + large, large);
    let t = numerator / denominator;
    let z = t * t;
    let w = z * z;
    let mut s1 = C[10];
    for i in [8, 6, 4, 2, 0] {
        s1 = mul_add::<FMA>(w, s1, C[i]);
    }
    let mut s2 = C[9];
    for i in [7, 5, 3, 1] {
        s2 = mul_add::<FMA>(w, s2, C[i]);
    }
    let s = mul_add::<FMA>(w, s2, z * s1);
    let base = select(turned, FRAC_PI_4, 0.0);
    let base_lo = select(turned, 0.25 * PI_LO, 0.0);
    let r = base + (t - mul_add::<FMA>(t, s, -base_lo));
    let r = select(steep, (FRAC_PI_2 - r) + 0.5 * PI_LO, r);
    let r = select(x < 0.0, (PI - r) + PI_LO, r);
    r.copysign(y)
}

/// Cosine and sine of `x`, for |x| up to 1e5; NaN for NaN and infinity.
///
/// The nearest multiple of pi/2 is taken off in three parts (Cody and Waite), exact enough that also a result next to
/// zero keeps its digits.
#[inline(always)]
pub(crate) fn cos_sin<const FMA: bool>(x: f64) -> [f64; 2] {
    // pi/2 in parts of 33 bits, whose products with the count of quarter turns are exact, and the rest.
    const PART_1: f64 = 1.570_796_326_734_125_6;
    const PART_2: f64 = 6.077_100_506_303_966e-11;
    const REST: f64 = 2.022_266_248_795_950_6e-21;
    // Adding 1.5 * 2^52 rounds to a whole number and leaves its last bits readable.
    const ROUNDER: f64 = 6_755_399_441_055_744.0;
    const S: [f64; 6] = [
        -1.666_666_666_666_663_2e-1,
        8.333_333_333_322_49e-3,
        -1.984_126_982_985_795e-4,
        2.755_731_370_707_007e-6,
        -2.505_076_025_340_686_3e-8,
        1.589_690_995_211_55e-10,
    ];
    const C: [f64; 6] = [
        4.166_666_666_666_66e-2,
        -1.388_888_888_887_411e-3,
        2.480_158_728_947_673e-5,
        -2.755_731_435_139_066_3e-7,
        2.087_572_321_298_175e-9,
        -1.135_964_755_778_819_5e-11,
    ];

    let shifted = mul_add::<FMA>(x, FRAC_2_PI, ROUNDER);
    let quarter = shifted.to_bits();
    let n = shifted - ROUNDER;
    let near = x - n * PART_1;
    let off = n * PART_2;
    let nearer = near - off;
    let rest = n * REST - ((near - nearer) - off);
    let r = nearer - rest;
    let tail = (nearer - r) - rest;

    let z = r * r;
    let s = mul_add::<FMA>(
        z,
        mul_add::<FMA>(
            z,
            mul_add::<FMA>(z, mul_add::<FMA>(z, S[5], S[4]), S[3]),
            S[2],
        ),
        S[1],
    );
    let cube = z * r;
    let sin = r - (mul_add::<FMA>(z, 0.5 * tail - cube * s, -tail) - cube * S[0]);
    let c = mul_add::<FMA>(
        z,
        mul_add::<FMA>(
            z,
            mul_add::<FMA>(
                z,
                mul_add::<FMA>(z, mul_add::<FMA>(z, C[5], C[4]), C[3]),
                C[2],
            ),
            C[1],
        ),
        C[0],
    );
    let half_square = 0.5 * z;
    let near_one = 1.0 - half_square;
    let cos = near_one + (((1.0 - near_one) - half_square) + mul_add::<FMA>(z * z, c, -(r * tail)));

    let odd = quarter & 1 == 1;
    let signed =
        |value: f64, negative: u64| f64::from_bits(value.to_bits() ^ ((negative & 2) << 62));
    [
        signed(select(odd, sin, cos), quarter.wrapping_add(1)),
        signed(select(odd, cos, sin), quarter),
    ]
}

#[cfg(test)]
#[path = "lanes_tests.rs"]
mod tests;
