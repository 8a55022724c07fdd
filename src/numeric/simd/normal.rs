//! The quantile of the standard normal distribution, so that a loop over it turns into vector code.
//!
//! The library's is a call with branches; this is the published approximation with all of its three parts computed and
//! one of them taken. Tested against the library.
//!
//! # References
//! M. J. Wichura, *Algorithm AS 241: The percentage points of the normal distribution*, Applied Statistics 37 (1988)
//! 477-484, routine PPND16, to about 1 part in 1e16 (coefficients quoted from memory and confirmed by the test).

use crate::numeric::simd::dispatch::{Loop, dispatch};
use crate::numeric::simd::lanes::{ln_1p, mul_add, select};

/// Numerator and denominator about the middle, in 0.425^2 - q^2.
const MIDDLE: [[f64; 8]; 2] = [
    [
        3.387_132_872_796_366_5,
        133.141_667_891_784_38,
        1_971.590_950_306_551_3,
        13_731.693_765_509_46,
        45_921.953_931_549_87,
        67_265.770_927_008_7,
        33_430.575_583_588_13,
        2_509.080_928_730_122_7,
    ],
    [
        1.0,
        42.313_330_701_600_91,
        687.187_007_492_057_9,
        5_394.196_021_424_751,
        21_213.794_301_586_597,
        39_307.895_800_092_71,
        28_729.085_735_721_943,
        5_226.495_278_852_854,
    ],
];
/// In the tail, in sqrt(-ln p) - 1.6.
const TAIL: [[f64; 8]; 2] = [
    [
        1.423_437_110_749_683_5,
        4.630_337_846_156_546,
        5.769_497_221_460_691,
        3.647_848_324_763_204_5,
        1.270_458_252_452_368_4,
        2.417_807_251_774_506e-1,
        2.272_384_498_926_918_4e-2,
        7.745_450_142_783_414e-4,
    ],
    [
        1.0,
        2.053_191_626_637_759,
        1.676_384_830_183_803_8,
        6.897_673_349_851e-1,
        1.481_039_764_274_800_8e-1,
        1.519_866_656_361_645_7e-2,
        5.475_938_084_995_345e-4,
        1.050_750_071_644_416_9e-9,
    ],
];
/// Far out in it, in sqrt(-ln p) - 5.
const FAR: [[f64; 8]; 2] = [
    [
        6.657_904_643_501_103,
        5.463_784_911_164_114,
        1.784_826_539_917_291_3,
        2.965_605_718_285_048_7e-1,
        2.653_218_952_657_612_4e-2,
        1.242_660_947_388_078_4e-3,
        2.711_555_568_743_487_6e-5,
        2.010_334_399_292_288_1e-7,
    ],
    [
        1.0,
        5.998_322_065_558_88e-1,
        1.369_298_809_227_358e-1,
        1.487_536_129_085_061_5e-2,
        7.868_691_311_456_133e-4,
        1.846_318_317_510_054_8e-5,
        1.421_511_758_316_446e-7,
        2.044_263_103_389_939_8e-15,
    ],
];

#[inline(always)]
fn ratio<const FMA: bool>([over, under]: &[[f64; 8]; 2], x: f64) -> f64 {
    let (mut a, mut b) = (over[7], under[7]);
    for i in [6, 5, 4, 3, 2, 1, 0] {
        a = mul_add::<FMA>(a, x, over[i]);
        b = mul_add::<FMA>(b, x, under[i]);
    }
    a / b
}

/// The value below which a standard normal deviate lies with probability `p`, for p from 2^-53 to 1 - 2^-53.
#[inline(always)]
pub(crate) fn quantile<const FMA: bool>(p: f64) -> f64 {
    let q = p - 0.5;
    let middle = q * ratio::<FMA>(&MIDDLE, mul_add::<FMA>(-q, q, 0.180_625));
    let outer = select(q < 0.0, p, 1.0 - p);
    // -ln(p), as the logarithm that there is.
    let r = ln_1p::<FMA>(1.0 / outer - 1.0).sqrt();
    let tail = select(
        r <= 5.0,
        ratio::<FMA>(&TAIL, r - 1.6),
        ratio::<FMA>(&FAR, r - 5.0),
    );
    select(q.abs() <= 0.425, middle, tail.copysign(q))
}

/// Each probability becomes its quantile.
pub(crate) fn quantiles(values: &mut [f64]) {
    dispatch(Quantiles(values));
}

struct Quantiles<'a>(&'a mut [f64]);

impl Loop for Quantiles<'_> {
    #[inline(always)]
    fn run<const FMA: bool>(self) {
        for value in self.0 {
            *value = quantile::<FMA>(*value);
        }
    }
}

#[cfg(test)]
#[path = "normal_tests.rs"]
mod tests;
