//! What all arrangements are.

use nalgebra::Isometry3;

use crate::axis::arrangement::measure::{Measure, MeasureValue};
use crate::axis::arrangement::mounting::Mounting;
use crate::axis::arrangement::parts::ArrangedParts;
use crate::axis::{Axis, AxisSpec, Moving};
#[cfg(doc)]
use crate::error::Error;
use crate::error::Result;
use crate::hall::{Converter, Sensor};
use crate::magnet::AnySource;
use crate::observer;
use crate::units::DEG;

/// Angles at which the body of a package is looked at over a throw: every degree, and no fewer than these.
const LEAST_LOOKS: f64 = 32.0;

/// How magnets and sensor of a control stand to each other, in the measures of a builder:
/// [`SwungLayout`](crate::axis::SwungLayout), [`PairLayout`](crate::axis::PairLayout),
/// [`HeadOnLayout`](crate::axis::HeadOnLayout), [`ShaftEndLayout`](crate::axis::ShaftEndLayout), or any of them as a
/// value, [`AnyArrangement`](crate::axis::AnyArrangement).
///
/// # The frame
/// The pivot's axis is +z through the origin. When the control is centered the arm lies along +x: x is the radial, y
/// the tangential, z the axial direction. A magnet is given in its own frame with its orientation, so that a block, or
/// a disc whose axis is to be axial, stands upright and its polarization is (radial, tangential, axial); a pose turns
/// it otherwise. Where it stands follows from the measures.
///
/// The sensor's package faces the magnets: its z axis, out of its face, points at them. A sensor that reads across its
/// face (direction +z) reads the component towards it, negative where the north pole faces it.
///
/// # How it is put together
/// As a builder does it: the gap is set between the face of the package and that point of the magnets, as they stand
/// and however tilted, that is nearest to it along the line between them; a plate is set against their back. Then the
/// sensor is moved by its offset.
///
/// # Measures
/// All continuous measures have names ([`Measure`]); [`Arrangement::measures`] lists those that an arrangement has, and
/// [`Arrangement::with_measure`] is the way to vary any of them. A search, a tolerance study and a design file need
/// know no more of an arrangement.
///
/// # Example
/// ```
/// use nalgebra::{Isometry3, Vector3};
/// use yokewright::axis::{Arrangement, HeadOnLayout, HeadOnLayoutSpec, Measure, Moving};
/// use yokewright::hall::{Converter, LinearHall, LinearHallSpec, Rounding};
/// use yokewright::magnet::Cylinder;
/// use yokewright::pose;
/// use yokewright::units::{DEG, MM, MT, MV_PER_MT};
/// use yokewright::Result;
///
/// // A disc of 6 x 3 mm on an arm of 25 mm, its axis along the tangent, 4 mm before the sensor.
/// let along_tangent = pose::from_directions(Vector3::zeros(), Vector3::z(), Vector3::y())?;
/// let disc = Cylinder::new(6.0 * MM, 3.0 * MM, Vector3::new(0.0, 0.0, 1.2), along_tangent)?;
/// let layout = HeadOnLayout::new(HeadOnLayoutSpec::new(disc, 25.0 * MM, 4.0 * MM))?;
///
/// let sensor = LinearHall::new(LinearHallSpec::new(5.0, 15.0 * MV_PER_MT))?;
/// let converter = Converter::new(12, 5.0, Rounding::Nearest, 0.0)?;
/// let span = |layout: &HeadOnLayout| -> Result<f64> {
///     let axis = layout.axis([-5.0 * DEG, 5.0 * DEG], sensor.clone(), converter.clone(), Moving::Magnets)?;
///     Ok(axis.figures(101)?.flux_span().unwrap())
/// };
/// // What a gap that is 0.2 mm narrower does to it.
/// let wide = span(&layout)?;
/// let narrow = span(&layout.with_measure(Measure::Gap, 3.8 * MM)?)?;
/// assert!((wide / MT - 168.8).abs() < 0.1 && narrow > 1.1 * wide);
/// # Ok::<(), yokewright::Error>(())
/// ```
pub trait Arrangement: Sized {
    /// The parts where they stand when the control is centered.
    fn parts(&self) -> &ArrangedParts;

    /// How the parts are mounted.
    fn mounting(&self) -> &Mounting;

    /// Every measure that it has, with its value. Those of a plate are among them if it has one.
    fn measures(&self) -> Vec<MeasureValue>;

    /// The same arrangement with another value of one measure.
    ///
    /// # Errors
    /// [`Error::NotAChoice`] for a measure that it does not have; [`Error::NotFinite`] or [`Error::OutOfRange`] for a
    /// value beyond [`Measure::bounds`]; what its constructor refuses.
    fn with_measure(&self, measure: Measure, value: f64) -> Result<Self>;

    /// The same arrangement with other values of several measures, whatever the order in which they go together.
    ///
    /// # Errors
    /// As [`Arrangement::with_measure`].
    fn with_measures(&self, values: &[(Measure, f64)]) -> Result<Self>;

    /// The value of one measure; none if it does not have it.
    fn measure(&self, measure: Measure) -> Option<f64> {
        let mut all = self.measures().into_iter();
        all.find(|one| one.measure == measure).map(|one| one.value)
    }

    /// What the sensor reads: the magnets when centered, with the plate behind them.
    fn source(&self) -> AnySource {
        self.parts().source().clone()
    }

    /// The sensor's package when centered.
    fn sensor_pose(&self) -> Isometry3<f64> {
        self.parts().sensor_pose()
    }

    /// The parts of the axis that it makes with a throw (rad), a sensor and a converter, to add to before
    /// [`Arrangement::axis_of`] makes it: a drive, a lever, an active area.
    fn axis_spec(
        &self,
        throw: [f64; 2],
        sensor: impl Into<Sensor>,
        converter: impl Into<Option<Converter>>,
        moving: Moving,
    ) -> AxisSpec {
        let spec = AxisSpec::new(throw, self.source(), sensor, self.sensor_pose(), converter);
        let plate = self.mounting().plate;
        AxisSpec {
            moving,
            plate: plate.map_or(spec.plate, |plate| plate.mount(moving)),
            ..spec
        }
    }

    /// The axis of a spec that began as [`Arrangement::axis_spec`].
    ///
    /// # Errors
    /// As [`Axis::new`]; [`Error::Collision`] if the sensor's package, where its size is given, reaches into a magnet
    /// or the plate anywhere over the throw, which is looked at in steps of a degree or less.
    fn axis_of(&self, spec: AxisSpec) -> Result<Axis> {
        let axis = Axis::new(spec)?;
        if !self.parts().has_package() {
            return Ok(axis);
        }
        let [lower, upper] = axis.throw();
        let looks = ((upper - lower) / DEG).ceil().max(LEAST_LOOKS);
        let reach = self
            .parts()
            .package_reach(&axis.spec().pivot, &axis.spec().direction);
        // About which angle of the pivot, and how far from it, nothing can touch.
        let mut clear = [0.0; 2];
        for look in 0..=looks as usize {
            observer::check()?;
            let share = look as f64 / looks;
            let angle = lower * (1.0 - share) + upper * share;
            let pivot = axis.pivot_at(angle)?.angle;
            if (pivot - clear[0]).abs() < clear[1] {
                continue;
            }
            let turn = axis.turn(angle)?;
            let moved = match axis.spec().moving {
                Moving::Magnets => turn.inverse(),
                Moving::Sensor => turn,
            };
            let gap = self.parts().check_package(&moved, angle)?;
            clear = [pivot, gap / reach];
        }
        Ok(axis)
    }

    /// The axis that it makes with a throw (rad), a sensor and a converter.
    ///
    /// # Errors
    /// As [`Arrangement::axis_of`].
    fn axis(
        &self,
        throw: [f64; 2],
        sensor: impl Into<Sensor>,
        converter: impl Into<Option<Converter>>,
        moving: Moving,
    ) -> Result<Axis> {
        self.axis_of(self.axis_spec(throw, sensor, converter, moving))
    }
}

/// A layout made of its spec: what it keeps, how it is stored and what all arrangements are.
macro_rules! arranged {
    ($layout:ident, $spec:ident) => {
        stored_as_spec!($layout, $spec);

        impl $layout {
            /// The measures as given.
            #[must_use]
            pub fn spec(&self) -> &$spec {
                &self.spec
            }
        }

        impl $crate::axis::Arrangement for $layout {
            fn parts(&self) -> &ArrangedParts {
                &self.parts
            }

            fn mounting(&self) -> &Mounting {
                &self.spec.mounting
            }

            fn measures(&self) -> Vec<MeasureValue> {
                self.spec.measures()
            }

            fn with_measure(&self, measure: Measure, value: f64) -> Result<Self> {
                Self::new(self.spec.with(measure, value)?)
            }

            fn with_measures(&self, values: &[(Measure, f64)]) -> Result<Self> {
                Self::new(self.spec.with_all(values)?)
            }
        }
    };
}

pub(super) use arranged;
