//! A control from hand to count as a design: assembled as a builder does it, swept, calibrated.

#[cfg(doc)]
use crate::axis::Measure;
use crate::axis::clearance::clearance;
use crate::axis::curve::Curve;
use crate::axis::reading::{Output, PositionTable};
use crate::axis::tolerance::buildable::{Buildable, Builds, FigureName, PreparedDesign, Unbuilt};
use crate::axis::tolerance::control_figure::ControlFigure;
use crate::axis::tolerance::control_spec::{ControlDesignSpec, ControlInput};
use crate::axis::tolerance::lanes::LaneControls;
use crate::axis::tolerance::stored_tree::StoredTree;
use crate::axis::{Arrangement, Axis, AxisFigures, AxisSpec};
#[cfg(doc)]
use crate::error::Error;
use crate::error::Result;
use crate::stored::stored_as_spec;

/// Points at which a source or a drive of another crate is read at least.
const POINTS: usize = 41;

/// A control as it is published for others to build.
///
/// # Inputs
/// Every [`Measure`] of the arrangement by its name (`gap`, `arm`, `polarization`, `magnet tilt about axial`, ...), and
/// every number of the rest by its path: `sensor.sensitivity`, `sensor.quiescent`, `converter.reference`, `throw.0`,
/// `drive.rod_length`, `celsius`. Each build is put together as a builder does it, the gap against the part's own face
/// (see [`Arrangement`]).
///
/// # Figures
/// All [`ControlFigure`]s by their names. The error before the calibration is that of a reading turned into a position
/// by what the calibration gives of the design itself; the error after it that by what it gives of the build.
#[derive(Debug, Clone)]
pub struct ControlDesign {
    spec: ControlDesignSpec,
    tree: StoredTree,
}

impl PartialEq for ControlDesign {
    fn eq(&self, other: &Self) -> bool {
        self.spec == other.spec
    }
}

stored_as_spec!(ControlDesign, ControlDesignSpec);

impl ControlDesign {
    /// Checks that the design itself can be built.
    ///
    /// # Errors
    /// As [`Arrangement::axis_of`]; [`Error::NotStored`] for a drive that cannot be stored; [`Error::Count`] for the
    /// calibration.
    pub fn new(spec: ControlDesignSpec) -> Result<Self> {
        spec.calibration.check()?;
        let design = Self {
            tree: StoredTree::of(&spec)?,
            spec,
        };
        design.axis()?;
        Ok(design)
    }

    /// What it was made of.
    #[must_use]
    pub fn spec(&self) -> &ControlDesignSpec {
        &self.spec
    }

    /// The control as designed.
    ///
    /// # Errors
    /// As [`Arrangement::axis_of`].
    pub fn axis(&self) -> Result<Axis> {
        axis_of(&self.spec)
    }

    pub(super) fn input(&self, name: &str) -> Result<ControlInput> {
        let measure = name
            .parse()
            .ok()
            .filter(|&measure| self.spec.arrangement.measure(measure).is_some());
        match measure {
            Some(measure) => Ok(ControlInput::Measure(measure)),
            None => Ok(ControlInput::Number(self.tree.number(name)?)),
        }
    }

    /// The design with other values of some inputs.
    fn with(
        &self,
        inputs: &[ControlInput],
        values: &[f64],
    ) -> std::result::Result<ControlDesignSpec, Unbuilt> {
        let numbers = inputs
            .iter()
            .zip(values)
            .filter_map(|(input, value)| match input {
                ControlInput::Number(number) => Some((*number, *value)),
                ControlInput::Measure(_) => None,
            });
        let mut spec = if numbers.clone().next().is_some() {
            self.tree.with(numbers).map_err(Unbuilt::Failed)?
        } else {
            self.spec.clone()
        };
        for (input, value) in inputs.iter().zip(values) {
            if let ControlInput::Measure(measure) = input {
                spec.arrangement = spec.arrangement.with_measure(*measure, *value)?;
            }
        }
        Ok(spec)
    }
}

fn axis_of(spec: &ControlDesignSpec) -> Result<Axis> {
    let (sensor, converter) = (spec.sensor.clone(), spec.converter.clone());
    let parts = spec
        .arrangement
        .axis_spec(spec.throw, sensor, converter, spec.moving);
    spec.arrangement.axis_of(AxisSpec {
        drive: spec.drive.clone(),
        filter: spec.filter,
        averaging: spec.averaging,
        remanence_drift: spec.remanence_drift,
        celsius: spec.celsius,
        ..parts
    })
}

impl Buildable for ControlDesign {
    fn figures(&self) -> Vec<FigureName> {
        ControlFigure::ALL
            .into_iter()
            .map(ControlFigure::name)
            .collect()
    }

    fn nominal(&self, input: &str) -> Result<f64> {
        Ok(match self.input(input)? {
            ControlInput::Measure(measure) => {
                self.spec.arrangement.measure(measure).unwrap_or(f64::NAN)
            }
            ControlInput::Number(number) => self.tree.value(number),
        })
    }

    fn assembly(&self, inputs: &[String]) -> Result<Box<dyn PreparedDesign + '_>> {
        let inputs = inputs
            .iter()
            .map(|input| self.input(input))
            .collect::<Result<Vec<_>>>()?;
        let axis = self.axis()?;
        let curve = Curve::new(&axis, POINTS)?;
        // A design that cannot be calibrated has builds all the same.
        let table = self
            .spec
            .calibration
            .table(&axis, &Output::new(&axis, &curve))
            .ok();
        let lanes = LaneControls::of(&self.spec, &self.tree, &inputs, &axis, table.as_ref())?;
        Ok(Box::new(Controls {
            design: self,
            inputs,
            table,
            lanes,
        }))
    }
}

struct Controls<'a> {
    design: &'a ControlDesign,
    inputs: Vec<ControlInput>,
    /// From readings to positions, as the design has it.
    table: Option<PositionTable>,
    /// If its builds can go side by side.
    lanes: Option<LaneControls>,
}

impl PreparedDesign for Controls<'_> {
    fn build(&self, builds: &mut Builds) -> Result<()> {
        let exact = |values: &[f64], figures: &mut [f64]| self.one(values, figures);
        match &self.lanes {
            Some(lanes) => lanes.build(builds, exact),
            None => builds.each_of(&(0..builds.count()).collect::<Vec<_>>(), exact),
        }
    }
}

impl Controls<'_> {
    fn one(&self, values: &[f64], figures: &mut [f64]) -> std::result::Result<(), Unbuilt> {
        let spec = self.design.with(&self.inputs, values)?;
        let axis = axis_of(&spec)?;
        let clearance = clearance(&axis)?;
        let mut curve = Curve::new(&axis, POINTS)?;
        let of_axis = AxisFigures::of_curve(&axis, clearance, &mut curve)?;
        let output = Output::new(&axis, &curve);
        let own = spec.calibration.table(&axis, &output);
        for (figure, value) in ControlFigure::ALL.into_iter().zip(figures) {
            *value = match figure {
                ControlFigure::ErrorBeforeCalibration => {
                    self.table.as_ref().map(|table| table.error(&axis, &output))
                }
                ControlFigure::ErrorAfterCalibration => {
                    own.as_ref().ok().map(|table| table.error(&axis, &output))
                }
                other => Some(Ok(other.of(&of_axis, &axis))),
            }
            .transpose()?
            .unwrap_or(f64::NAN);
        }
        Ok(())
    }
}
