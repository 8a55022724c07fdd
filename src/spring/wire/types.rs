//! Spring wire: strength and elastic moduli by diameter, and what share of the strength a spring may use.

use std::fmt;
use std::sync::Arc;

use serde::{Deserialize, Serialize};

use crate::error::{Error, Result, ascending, choices, counted, finite, within};
use crate::source::Source;
use crate::stored::stored_as_spec;
use crate::units::MM;

/// The diameters of spring wire that make sense at all, m.
const DIAMETER_RANGE: [f64; 2] = [1e-5, 0.05];
const STRENGTH_RANGE: [f64; 2] = [1e8, 1e10];
const MODULUS_RANGE: [f64; 2] = [1e9, 1e12];
/// More rows than any table of wire has.
const MOST_ROWS: usize = 1000;
/// Share by which a diameter may miss the end of a table: inches turned into metres and back lose digits.
const ROUNDING: f64 = 1e-9;

/// The kind of material, which decides what share of the tensile strength a spring may use.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum WireFamily {
    /// Cold-drawn carbon steel: music wire, hard-drawn wire, patented cold-drawn wire.
    ColdDrawn,
    /// Hardened and tempered carbon or low-alloy steel: oil-tempered, chrome-vanadium, chrome-silicon wire.
    Tempered,
    /// Cold-drawn austenitic stainless steel.
    Austenitic,
    /// Copper alloys.
    NonFerrous,
}

choices!(WireFamily, "family of the wire", {
    ColdDrawn => "cold-drawn",
    Tempered => "tempered",
    Austenitic => "austenitic",
    NonFerrous => "non-ferrous",
});

/// Stresses that springs bear under static load, as shares of the least tensile strength.
///
/// # References
/// R. G. Budynas and J. K. Nisbett, *Shigley's Mechanical Engineering Design*, Tables 10-6 (shear), 10-7 (extension
/// springs) and eq. 10-57 (bending). The ranges after set removal of stainless and copper alloys are from memory.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct AllowableShares {
    /// Shear in a compression spring as wound, with the curvature factor: the torsional yield strength.
    pub shear: f64,
    /// Shear in a compression spring whose set was removed, with the direct-shear factor only: least and greatest.
    pub shear_set_removed: [f64; 2],
    /// Bending in a torsion spring: the yield strength.
    pub bending: f64,
    /// Shear in the body of an extension spring: least and greatest.
    pub extension_body: [f64; 2],
    /// Shear in the hook of an extension spring.
    pub hook_shear: f64,
    /// Bending in the hook of an extension spring.
    pub hook_bending: f64,
}

/// How the tensile strength depends on the diameter.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum WireStrength {
    /// Least strength S = A / (d / 1 mm)^m, by bands of diameter that follow one another.
    Power(Vec<PowerBand>),
    /// Least and greatest strength at listed diameters, ascending. Between them linear in log d, the law that the lists
    /// follow.
    Listed(Vec<ListedStrength>),
    /// Least strength by steps, ascending.
    Steps {
        /// The thinnest wire of the first step, m.
        from: f64,
        /// The steps.
        steps: Vec<StrengthStep>,
    },
}

/// A band of diameters with its own constants of S = A / (d / 1 mm)^m.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct PowerBand {
    /// Thinnest and thickest wire, m.
    pub diameters: [f64; 2],
    /// A: the strength that the law gives at 1 mm, Pa.
    pub strength_at_1_mm: f64,
    /// m, no unit: 0 to 1.
    pub exponent: f64,
}

/// The limits of the strength at one diameter.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct ListedStrength {
    /// Diameter, m.
    pub diameter: f64,
    /// Least strength, Pa.
    pub min: f64,
    /// Greatest strength, Pa.
    pub max: f64,
}

/// The least strength up to a diameter.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct StrengthStep {
    /// The thickest wire of the step, m.
    pub up_to: f64,
    /// Least strength, Pa.
    pub min: f64,
}

/// Elastic moduli up to a diameter.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct ModuliBand {
    /// The thickest wire for which they hold, m; infinity for all.
    #[serde(with = "crate::stored::bound")]
    pub up_to: f64,
    /// Young's modulus E, Pa.
    pub elastic: f64,
    /// Shear modulus G, Pa.
    pub shear: f64,
}

/// What is known of a wire, to be checked by [`Wire::new`].
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WireSpec {
    /// Standard or trade designation.
    pub name: String,
    /// Kind of material.
    pub family: WireFamily,
    /// Tensile strength by diameter.
    pub strength: WireStrength,
    /// Elastic moduli by diameter, ascending; the last holds for all thicker wires.
    pub moduli: Vec<ModuliBand>,
    /// Density, kg/m3: 1000 to 20,000.
    pub density: f64,
    /// Lowest temperature of use, degC, if given.
    pub min_celsius: Option<f64>,
    /// Highest temperature of use, degC.
    pub max_celsius: f64,
    /// Diameters in which it is sold, m, ascending, each within the range of the strength.
    pub standard_diameters: Vec<f64>,
    /// Where the figures come from; the first source is that of the strength.
    pub sources: Vec<Source>,
}

/// A spring wire.
///
/// A wire is cheap to clone: clones share their tables.
///
/// # Example
/// ```
/// use yokewright::spring::Wire;
/// use yokewright::units::MM;
///
/// let wire = Wire::named("ASTM A228")?; // music wire
/// assert!((wire.tensile_strength(2.0 * MM)? - 1999.6e6).abs() < 0.1e6);
/// assert_eq!(wire.shear_modulus(2.0 * MM)?, 81.0e9);
/// let error = wire.tensile_strength(8.0 * MM).unwrap_err();
/// assert!(error.to_string().contains("from 0.1 to 6.5 mm"));
/// # Ok::<(), yokewright::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Wire(Arc<WireSpec>);

stored_as_spec!(Wire, WireSpec);

impl Wire {
    /// A wire of your own, from its maker's data sheet or test.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`] or [`Error::NotAscending`] for a figure outside the range that
    /// [`WireSpec`] gives or out of order; [`Error::WireDiameter`] for a standard diameter without a strength;
    /// [`Error::Count`] for an empty name or table.
    pub fn new(spec: WireSpec) -> Result<Self> {
        check_rows("letters of the wire's name", spec.name.trim().len())?;
        check_rows("sources of the wire", spec.sources.len())?;
        spec.strength.check()?;
        check_moduli(&spec.moduli)?;
        within("density", spec.density, 1e3, 2e4, "kg/m3")?;
        let max = within(
            "highest temperature of use",
            spec.max_celsius,
            0.0,
            1e3,
            "degC",
        )?;
        if let Some(min) = spec.min_celsius {
            within("lowest temperature of use", min, -273.15, max, "degC")?;
        }
        let mut last = 0.0;
        for &diameter in &spec.standard_diameters {
            check_diameter(diameter)?;
            ascending("standard diameters", [last, diameter], "m")?;
            last = diameter;
        }
        let wire = Self(Arc::new(spec));
        for &diameter in wire.standard_diameters() {
            wire.check(diameter)?;
        }
        Ok(wire)
    }

    /// All figures.
    #[must_use]
    pub fn spec(&self) -> &WireSpec {
        &self.0
    }

    /// Standard or trade designation.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.0.name
    }

    /// Kind of material.
    #[must_use]
    pub fn family(&self) -> WireFamily {
        self.0.family
    }

    /// What share of the tensile strength a spring of this wire may use under static load.
    #[must_use]
    pub fn shares(&self) -> AllowableShares {
        self.0.family.shares()
    }

    /// Thinnest and thickest wire whose strength is known, m.
    #[must_use]
    pub fn diameter_range(&self) -> [f64; 2] {
        self.0.strength.range()
    }

    /// Diameters in which it is sold, m, ascending.
    #[must_use]
    pub fn standard_diameters(&self) -> &[f64] {
        &self.0.standard_diameters
    }

    /// Least tensile strength at a diameter (m), Pa.
    ///
    /// # Errors
    /// [`Error::WireDiameter`] outside the range for which the strength is known; [`Error::NotFinite`] or
    /// [`Error::OutOfRange`] for a diameter that no wire has.
    pub fn tensile_strength(&self, diameter: f64) -> Result<f64> {
        self.check(diameter)?;
        Ok(self.0.strength.limits(diameter).0)
    }

    /// Greatest tensile strength at a diameter (m), Pa, where the table gives one.
    ///
    /// # Errors
    /// As [`Wire::tensile_strength`].
    pub fn max_tensile_strength(&self, diameter: f64) -> Result<Option<f64>> {
        self.check(diameter)?;
        Ok(self.0.strength.limits(diameter).1)
    }

    /// Young's modulus E at a diameter (m), Pa.
    ///
    /// # Errors
    /// As [`Wire::tensile_strength`].
    pub fn elastic_modulus(&self, diameter: f64) -> Result<f64> {
        self.check(diameter)?;
        Ok(pick_moduli(&self.0.moduli, diameter).elastic)
    }

    /// Shear modulus G at a diameter (m), Pa.
    ///
    /// # Errors
    /// As [`Wire::tensile_strength`].
    pub fn shear_modulus(&self, diameter: f64) -> Result<f64> {
        self.check(diameter)?;
        Ok(pick_moduli(&self.0.moduli, diameter).shear)
    }

    /// Density, kg/m3.
    #[must_use]
    pub fn density(&self) -> f64 {
        self.0.density
    }

    /// Lowest temperature of use, degC, if given.
    #[must_use]
    pub fn min_celsius(&self) -> Option<f64> {
        self.0.min_celsius
    }

    /// Highest temperature of use, degC. A spring that stays compressed relaxes noticeably well below it.
    #[must_use]
    pub fn max_celsius(&self) -> f64 {
        self.0.max_celsius
    }

    /// Where the figures come from.
    #[must_use]
    pub fn sources(&self) -> &[Source] {
        &self.0.sources
    }

    fn check(&self, diameter: f64) -> Result<()> {
        check_diameter(diameter)?;
        let range = self.diameter_range();
        if lies_in(diameter, range) {
            return Ok(());
        }
        Err(Error::WireDiameter {
            wire: self.0.name.clone(),
            diameter,
            min: range[0],
            max: range[1],
        })
    }
}

/// Name, kind and where the figures come from.
impl fmt::Display for Wire {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let [min, max] = self.diameter_range().map(|d| d / MM);
        let (name, family) = (&self.0.name, self.0.family);
        write!(f, "{name} ({family}), {min:.4} to {max:.4} mm")?;
        for source in &self.0.sources {
            write!(f, "; {source}")?;
        }
        Ok(())
    }
}

impl WireStrength {
    fn check(&self) -> Result<()> {
        match self {
            Self::Power(bands) => {
                check_rows("bands of the tensile strength", bands.len())?;
                let mut last = None;
                for band in bands {
                    let [from, to] = band.diameters;
                    check_diameter(from)?;
                    check_diameter(to)?;
                    ascending("diameters of a band of strength", [from, to], "m")?;
                    if let Some(last) = last {
                        // Neither a gap nor an overlap.
                        within("start of a band of strength", from, last, last, "m")?;
                    }
                    last = Some(to);
                    check_strength(band.strength_at_1_mm)?;
                    within(
                        "exponent of the strength",
                        band.exponent,
                        0.0,
                        1.0,
                        "(no unit)",
                    )?;
                }
            }
            Self::Listed(rows) => {
                check_rows("rows of the tensile strength", rows.len())?;
                let mut last = 0.0;
                for row in rows {
                    check_diameter(row.diameter)?;
                    ascending("diameters of the strengths", [last, row.diameter], "m")?;
                    last = row.diameter;
                    check_strength(row.min)?;
                    check_strength(row.max)?;
                    ascending("least and greatest strength", [row.min, row.max], "Pa")?;
                }
            }
            Self::Steps { from, steps } => {
                check_rows("steps of the tensile strength", steps.len())?;
                let mut last = check_diameter(*from)?;
                for step in steps {
                    check_diameter(step.up_to)?;
                    ascending("steps of the strength", [last, step.up_to], "m")?;
                    last = step.up_to;
                    check_strength(step.min)?;
                }
            }
        }
        Ok(())
    }

    /// Thinnest and thickest wire. [`Self::check`] has seen to it that there is a row.
    pub(in crate::spring) fn range(&self) -> [f64; 2] {
        let ends = match self {
            Self::Power(bands) => bands.first().zip(bands.last()).map(|(first, last)| {
                let ([from, _], [_, to]) = (first.diameters, last.diameters);
                [from, to]
            }),
            Self::Listed(rows) => {
                let ends = rows.first().zip(rows.last());
                ends.map(|(first, last)| [first.diameter, last.diameter])
            }
            Self::Steps { from, steps } => steps.last().map(|last| [*from, last.up_to]),
        };
        ends.unwrap_or([f64::INFINITY, f64::NEG_INFINITY])
    }

    /// Least and greatest strength at a diameter within the range.
    fn limits(&self, diameter: f64) -> (f64, Option<f64>) {
        match self {
            Self::Power(bands) => {
                let band = bands.iter().find(|band| diameter <= band.diameters[1]);
                let least = band.or(bands.last()).map_or(f64::NAN, |band| {
                    band.strength_at_1_mm / (diameter / MM).powf(band.exponent)
                });
                (least, None)
            }
            Self::Listed(rows) => {
                let after = rows.partition_point(|row| row.diameter < diameter);
                let upper = rows.get(after).or(rows.last());
                let lower = rows.get(after.saturating_sub(1)).or(upper);
                let Some((lower, upper)) = lower.zip(upper) else {
                    return (f64::NAN, None);
                };
                let share = if lower.diameter < upper.diameter {
                    (diameter / lower.diameter).ln() / (upper.diameter / lower.diameter).ln()
                } else {
                    0.0
                };
                let share = share.clamp(0.0, 1.0);
                let between = |a: f64, b: f64| (1.0 - share) * a + share * b;
                let greatest = between(lower.max, upper.max);
                (between(lower.min, upper.min), Some(greatest))
            }
            Self::Steps { steps, .. } => {
                let step = steps.iter().find(|step| diameter <= step.up_to);
                (step.or(steps.last()).map_or(f64::NAN, |s| s.min), None)
            }
        }
    }
}

pub(super) fn pick_moduli(bands: &[ModuliBand], diameter: f64) -> ModuliBand {
    let band = bands.iter().find(|band| diameter <= band.up_to);
    band.or(bands.last()).copied().unwrap_or(ModuliBand {
        up_to: f64::NAN,
        elastic: f64::NAN,
        shear: f64::NAN,
    })
}

fn check_moduli(bands: &[ModuliBand]) -> Result<()> {
    check_rows("bands of the elastic moduli", bands.len())?;
    let mut last = 0.0;
    for band in bands {
        // The last may hold for all thicker wires.
        let to = if band.up_to == f64::INFINITY {
            f64::MAX
        } else {
            finite("diameter of a band of moduli", band.up_to, "m")?
        };
        ascending("diameters of the bands of moduli", [last, to], "m")?;
        last = to;
        let [min, max] = MODULUS_RANGE;
        within("Young's modulus", band.elastic, min, max, "Pa")?;
        within("shear modulus", band.shear, min, max, "Pa")?;
        // 1 + Poisson's ratio, with room for the rounding of tables.
        let ratio = 0.5 * band.elastic / band.shear;
        within("E / (2 G)", ratio, 0.9, 1.6, "(no unit)")?;
    }
    Ok(())
}

pub(in crate::spring) fn check_diameter(diameter: f64) -> Result<f64> {
    let [min, max] = DIAMETER_RANGE;
    within("wire diameter", diameter, min, max, "m")
}

fn check_strength(strength: f64) -> Result<f64> {
    let [min, max] = STRENGTH_RANGE;
    within("tensile strength", strength, min, max, "Pa")
}

fn check_rows(quantity: &'static str, count: usize) -> Result<usize> {
    counted(quantity, count, [1, MOST_ROWS])
}

pub(in crate::spring) fn lies_in(diameter: f64, [min, max]: [f64; 2]) -> bool {
    diameter >= min * (1.0 - ROUNDING) && diameter <= max * (1.0 + ROUNDING)
}
