//! Units, to be multiplied in and divided out: `5.0 * MM`, `6.0 * DEG`, `field / MT`.
//!
//! Everything in the library is SI (metres, radians, tesla, volts, seconds); a name without a unit is SI.
//! The factors are exact by definition (SI Brochure, 9th edition), the degree to the last bit of pi / 180; the magnetic
//! constant is measured.
//!
//! ```
//! use yokewright::units::{DEG, MM, MT};
//! assert_eq!(12.0 * MM, 0.012);
//! assert!((0.172 / MT - 172.0).abs() < 1e-12);
//! assert!((180.0 * DEG - std::f64::consts::PI).abs() < 1e-15);
//! ```

/// One micrometre in metres.
pub const UM: f64 = 1e-6;
/// One millimetre in metres.
pub const MM: f64 = 1e-3;
/// One degree of angle in radians.
pub const DEG: f64 = std::f64::consts::PI / 180.0;
/// One microtesla in tesla.
pub const UT: f64 = 1e-6;
/// One millitesla in tesla.
pub const MT: f64 = 1e-3;
/// One gauss in tesla.
pub const GAUSS: f64 = 1e-4;
/// One microvolt in volts.
pub const UV: f64 = 1e-6;
/// One millivolt in volts.
pub const MV: f64 = 1e-3;
/// Magnetic constant mu0 in H/m: B = mu0 H + J. Measured, to 1.6e-10 of it (CODATA recommended value of 2022, from
/// memory); 4 pi 1e-7, exact until 2019, lies within 1.3e-10.
pub const MU_0: f64 = 1.256_637_061_27e-6;
/// One microsecond in seconds.
pub const US: f64 = 1e-6;
/// One millisecond in seconds.
pub const MS: f64 = 1e-3;
/// One kilohertz in hertz.
pub const KHZ: f64 = 1e3;
/// One volt per tesla equals one millivolt per millitesla; the data-sheet unit, for symmetry.
pub const MV_PER_MT: f64 = 1.0;
