//! The measures of arrangements by name: what a search, a tolerance study or a design file varies.

use std::f64::consts::FRAC_PI_4;

use nalgebra::Vector3;
use serde::Serialize;

use crate::error::{Error, Result, choices, within};
use crate::magnet::{Block, Cylinder, Magnet, Ring, Sphere};
use crate::stored::checked_when_read;

/// The longest arm, m.
const MAX_ARM: f64 = 1.0;
/// The widest gap, spacing and distance of a plate, and the largest offset either way, of a plausible control, m.
const MAX_DISTANCE: f64 = 0.2;
/// The largest part of a tilt, rad: beyond it the part is another one.
const MAX_TILT: f64 = FRAC_PI_4;
/// The smallest and the largest length of a magnet, and its smallest bore, m; its shape may allow less.
const MAGNET_LENGTH: [f64; 2] = [1e-5, 1.0];
const MIN_BORE: f64 = 1e-6;
/// Polarization that no permanent magnet exceeds, T.
const MAX_POLARIZATION: f64 = 2.5;

/// A measure that an arrangement has, or may have: one number, continuous.
///
/// Radial, tangential and axial are the directions of the frame of all arrangements: x along the arm, y along the
/// tangent, z along the pivot's axis. What is turned about one of them follows the right-hand rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Measure {
    /// Pivot to the center of the magnet, or to the middle between two, m.
    Arm,
    /// Magnet's nearest face to the face of the sensor's package when centered, m.
    Gap,
    /// Between the facing sides of two magnets, m.
    Spacing,
    /// Of the magnet on a shaft, along x, m.
    EccentricityX,
    /// Of the magnet on a shaft, along y, m.
    EccentricityY,
    /// How far the sensor stands out of its place, along x, m.
    RadialOffset,
    /// How far the sensor stands out of its place, along y, m.
    TangentialOffset,
    /// How far the sensor stands out of its place, along z, m.
    AxialOffset,
    /// How the magnets are turned out of their place, about x, rad.
    MagnetTiltAboutRadial,
    /// How the magnets are turned out of their place, about y, rad.
    MagnetTiltAboutTangential,
    /// How the magnets are turned out of their place, about z, rad.
    MagnetTiltAboutAxial,
    /// How the sensor is turned out of its place, about x, rad.
    SensorTiltAboutRadial,
    /// How the sensor is turned out of its place, about y, rad.
    SensorTiltAboutTangential,
    /// How the sensor is turned out of its place, about z, rad.
    SensorTiltAboutAxial,
    /// Back of the magnets to the steel plate behind them, m.
    PlateDistance,
    /// Size of the polarization of the magnet, of two of the first, T. Its direction is kept.
    Polarization,
    /// Side of a block along its own x, m.
    MagnetWidth,
    /// Side of a block along its own y, m.
    MagnetDepth,
    /// Side of a block along its own z, or length of a cylinder or ring, m.
    MagnetLength,
    /// Diameter of a cylinder or sphere, outer diameter of a ring, m.
    MagnetDiameter,
    /// Bore of a ring, m.
    MagnetBore,
    /// [`Measure::Polarization`] of the second of two magnets.
    SecondPolarization,
    /// [`Measure::MagnetWidth`] of the second of two magnets.
    SecondMagnetWidth,
    /// [`Measure::MagnetDepth`] of the second of two magnets.
    SecondMagnetDepth,
    /// [`Measure::MagnetLength`] of the second of two magnets.
    SecondMagnetLength,
    /// [`Measure::MagnetDiameter`] of the second of two magnets.
    SecondMagnetDiameter,
    /// [`Measure::MagnetBore`] of the second of two magnets.
    SecondMagnetBore,
}

choices!(Measure, "measure", {
    Arm => "arm",
    Gap => "gap",
    Spacing => "spacing",
    EccentricityX => "eccentricity x",
    EccentricityY => "eccentricity y",
    RadialOffset => "radial offset",
    TangentialOffset => "tangential offset",
    AxialOffset => "axial offset",
    MagnetTiltAboutRadial => "magnet tilt about radial",
    MagnetTiltAboutTangential => "magnet tilt about tangential",
    MagnetTiltAboutAxial => "magnet tilt about axial",
    SensorTiltAboutRadial => "sensor tilt about radial",
    SensorTiltAboutTangential => "sensor tilt about tangential",
    SensorTiltAboutAxial => "sensor tilt about axial",
    PlateDistance => "plate distance",
    Polarization => "polarization",
    MagnetWidth => "magnet width",
    MagnetDepth => "magnet depth",
    MagnetLength => "magnet length",
    MagnetDiameter => "magnet diameter",
    MagnetBore => "magnet bore",
    SecondPolarization => "second polarization",
    SecondMagnetWidth => "second magnet width",
    SecondMagnetDepth => "second magnet depth",
    SecondMagnetLength => "second magnet length",
    SecondMagnetDiameter => "second magnet diameter",
    SecondMagnetBore => "second magnet bore",
});

impl Measure {
    /// SI unit.
    #[must_use]
    pub fn unit(self) -> &'static str {
        self.limits().3
    }

    /// The least and the greatest value that any arrangement may have, in its unit. Some values within are refused
    /// all the same, for what the other measures are: a bore wider than its ring.
    #[must_use]
    pub fn bounds(self) -> [f64; 2] {
        let (_, min, max, _) = self.limits();
        [min, max]
    }

    /// Its name.
    pub(in crate::axis) fn name(self) -> &'static str {
        self.limits().0
    }

    /// A value within the bounds, or the error that says how it is not.
    pub(in crate::axis) fn check(self, value: f64) -> Result<f64> {
        let (quantity, min, max, unit) = self.limits();
        within(quantity, value, min, max, unit)
    }

    fn limits(self) -> (&'static str, f64, f64, &'static str) {
        let [least, longest] = MAGNET_LENGTH;
        let tilt = |name| (name, -MAX_TILT, MAX_TILT, "rad");
        let offset = |name| (name, -MAX_DISTANCE, MAX_DISTANCE, "m");
        let distance = |name| (name, 0.0, MAX_DISTANCE, "m");
        let length = |name| (name, least, longest, "m");
        let polarization = |name| (name, 0.0, MAX_POLARIZATION, "T");
        match self {
            Self::Arm => ("arm", 0.0, MAX_ARM, "m"),
            Self::Gap => distance("gap"),
            Self::Spacing => distance("spacing"),
            Self::EccentricityX => offset("eccentricity x"),
            Self::EccentricityY => offset("eccentricity y"),
            Self::RadialOffset => offset("radial offset"),
            Self::TangentialOffset => offset("tangential offset"),
            Self::AxialOffset => offset("axial offset"),
            Self::MagnetTiltAboutRadial => tilt("magnet tilt about radial"),
            Self::MagnetTiltAboutTangential => tilt("magnet tilt about tangential"),
            Self::MagnetTiltAboutAxial => tilt("magnet tilt about axial"),
            Self::SensorTiltAboutRadial => tilt("sensor tilt about radial"),
            Self::SensorTiltAboutTangential => tilt("sensor tilt about tangential"),
            Self::SensorTiltAboutAxial => tilt("sensor tilt about axial"),
            Self::PlateDistance => distance("plate distance"),
            Self::Polarization => polarization("polarization"),
            Self::MagnetWidth => length("magnet width"),
            Self::MagnetDepth => length("magnet depth"),
            Self::MagnetLength => length("magnet length"),
            Self::MagnetDiameter => length("magnet diameter"),
            Self::MagnetBore => ("magnet bore", MIN_BORE, longest, "m"),
            Self::SecondPolarization => polarization("second polarization"),
            Self::SecondMagnetWidth => length("second magnet width"),
            Self::SecondMagnetDepth => length("second magnet depth"),
            Self::SecondMagnetLength => length("second magnet length"),
            Self::SecondMagnetDiameter => length("second magnet diameter"),
            Self::SecondMagnetBore => ("second magnet bore", MIN_BORE, longest, "m"),
        }
    }
}

checked_when_read! {
    /// A measure of an arrangement with its value, in the unit of the measure.
    #[derive(Debug, Clone, Copy, PartialEq, Serialize)]
    #[non_exhaustive]
    pub struct MeasureValue {
        /// Which.
        pub measure: Measure,
        /// Its value.
        pub value: f64,
    }
}

impl MeasureValue {
    fn check(&self) -> Result<()> {
        self.measure.check(self.value)?;
        Ok(())
    }
}

/// A measure, and where in a spec its value stands.
pub(super) enum Slot<'a> {
    /// As a number of the spec.
    Number(Measure, &'a mut f64),
    /// As one of the measures of a magnet, of which `Measures` has the names.
    Magnet(&'static MagnetMeasures, &'a mut Magnet),
}

/// The names that the measures of a magnet have in an arrangement.
pub(super) struct MagnetMeasures {
    polarization: Measure,
    width: Measure,
    depth: Measure,
    length: Measure,
    diameter: Measure,
    bore: Measure,
}

pub(super) const FIRST: MagnetMeasures = MagnetMeasures {
    polarization: Measure::Polarization,
    width: Measure::MagnetWidth,
    depth: Measure::MagnetDepth,
    length: Measure::MagnetLength,
    diameter: Measure::MagnetDiameter,
    bore: Measure::MagnetBore,
};

pub(super) const SECOND: MagnetMeasures = MagnetMeasures {
    polarization: Measure::SecondPolarization,
    width: Measure::SecondMagnetWidth,
    depth: Measure::SecondMagnetDepth,
    length: Measure::SecondMagnetLength,
    diameter: Measure::SecondMagnetDiameter,
    bore: Measure::SecondMagnetBore,
};

impl MagnetMeasures {
    /// The measures of a magnet, its lengths first. One that is not polarized has no direction to keep, and so no
    /// polarization to change.
    fn of(&self, magnet: &Magnet) -> Vec<(Measure, f64)> {
        let mut measures = match magnet {
            Magnet::Block(block) => {
                let [x, y, z] = block.size().into();
                vec![(self.width, x), (self.depth, y), (self.length, z)]
            }
            Magnet::Cylinder(c) => vec![(self.diameter, c.diameter()), (self.length, c.length())],
            Magnet::Ring(r) => vec![
                (self.diameter, r.outer_diameter()),
                (self.bore, r.inner_diameter()),
                (self.length, r.length()),
            ],
            Magnet::Sphere(s) => vec![(self.diameter, s.diameter())],
        };
        let polarization = magnet.polarization();
        if polarization != Vector3::zeros() {
            // By the largest part first, so that no square vanishes.
            let largest = polarization.amax();
            measures.push((self.polarization, largest * (polarization / largest).norm()));
        }
        measures
    }

    /// The magnet with another value of one of its measures.
    fn changed(&self, magnet: &Magnet, measure: Measure, value: f64) -> Result<Magnet> {
        let of = |name: Measure, now: f64| if name == measure { value } else { now };
        let mut j = magnet.polarization();
        if measure == self.polarization {
            j = value * (j / j.amax()).normalize();
        }
        let pose = magnet.pose();
        Ok(match magnet {
            Magnet::Block(block) => {
                let [x, y, z] = block.size().into();
                let size = [(self.width, x), (self.depth, y), (self.length, z)];
                Block::new(size.map(|(name, now)| of(name, now)).into(), j, pose)?.into()
            }
            Magnet::Cylinder(c) => {
                let diameter = of(self.diameter, c.diameter());
                Cylinder::new(diameter, of(self.length, c.length()), j, pose)?.into()
            }
            Magnet::Ring(r) => {
                let outer = of(self.diameter, r.outer_diameter());
                let inner = of(self.bore, r.inner_diameter());
                Ring::new(outer, inner, of(self.length, r.length()), j, pose)?.into()
            }
            Magnet::Sphere(s) => Sphere::new(of(self.diameter, s.diameter()), j, pose)?.into(),
        })
    }
}

/// What has measures by name: the specs of all arrangements.
pub(super) trait Measured: Clone {
    /// Every measure and where it stands.
    fn slots(&mut self) -> Vec<Slot<'_>>;

    /// The measures with their values.
    fn measures(&self) -> Vec<MeasureValue> {
        let mut own = self.clone();
        let values = own.slots().into_iter().flat_map(|slot| match slot {
            Slot::Number(measure, value) => vec![(measure, *value)],
            Slot::Magnet(names, magnet) => names.of(magnet),
        });
        let values = values.map(|(measure, value)| MeasureValue { measure, value });
        values.collect()
    }

    /// Refuses the first number that is out of its bounds; magnets have checked their own.
    fn check(&self) -> Result<()> {
        for slot in self.clone().slots() {
            if let Slot::Number(measure, value) = slot {
                measure.check(*value)?;
            }
        }
        Ok(())
    }

    /// The same with another value of one measure.
    fn with(&self, measure: Measure, value: f64) -> Result<Self> {
        let mut changed = self.clone();
        changed.set(measure, value)?;
        Ok(changed)
    }

    /// The same with other values of several measures. Some go together in one order only, as bore and diameter: they
    /// are set as they can be.
    fn with_all(&self, values: &[(Measure, f64)]) -> Result<Self> {
        let mut changed = self.clone();
        let mut left = values.to_vec();
        while !left.is_empty() {
            let mut refused = Vec::new();
            let mut why = None;
            for &(measure, value) in &left {
                if let Err(error) = changed.set(measure, value) {
                    refused.push((measure, value));
                    why = Some(error);
                }
            }
            if let Some(error) = why.filter(|_| refused.len() == left.len()) {
                return Err(error);
            }
            left = refused;
        }
        Ok(changed)
    }

    /// Gives one measure another value.
    fn set(&mut self, measure: Measure, value: f64) -> Result<()> {
        for slot in self.slots() {
            match slot {
                Slot::Number(name, place) if name == measure => {
                    *place = measure.check(value)?;
                    return Ok(());
                }
                Slot::Magnet(names, magnet)
                    if names.of(magnet).iter().any(|(name, _)| *name == measure) =>
                {
                    *magnet = names.changed(magnet, measure, measure.check(value)?)?;
                    return Ok(());
                }
                _ => {}
            }
        }
        let names = self.measures().into_iter().map(|m| m.measure.to_string());
        Err(Error::NotAChoice {
            quantity: "measure of this arrangement",
            given: measure.to_string(),
            choices: names.collect::<Vec<_>>().join(", "),
        })
    }
}
