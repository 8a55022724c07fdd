//! Studies of the builds of a rig.

use std::collections::BTreeMap;

use crate::axis::{
    EvaluatedAxis, ImportanceDemand, LatencyBudget, SharedDesign, SharedYield, Tolerance, Yield,
    YieldDemand, YieldInterval, YieldTarget, study_importance, study_shared, study_what_if,
};
use crate::error::{Error, Result};
use crate::linkage::GimbalAxis;
use crate::rig::control::NamedAxis;
use crate::rig::cost::Cost;
use crate::rig::design::Design;
use crate::rig::design_error::{DesignError, Problem};
use crate::rig::document::Document;
use crate::rig::numbers::Reached;
use crate::rig::target::Target;
use crate::rig::tolerance::builds::{Asked, Built, POINTS};
use crate::rig::tolerance::demand::RigYieldDemand;
use crate::rig::tolerance::figures::{figures_for, yield_targets};
use crate::rig::tolerance::inputs::{Inputs, Varied};
use crate::rig::tolerance::read_anew::{ControlPlace, ReadAnew};
use crate::rig::tolerance::result::{ControlYield, RigYield, SharedCause};
use crate::rig::tolerance::route::YieldRoute;
use crate::rig::tolerance::side_by_side::SideBySide;

/// What a tolerance is multiplied by, to tell what a closer one would gain.
const CLOSER: f64 = 0.5;

/// A control of the design.
pub(super) struct Control<'a> {
    pub(super) named: &'a NamedAxis,
    pub(super) stick: Option<&'a str>,
    pub(super) place: ControlPlace,
    pub(super) reached: &'a Reached,
    /// Of the whole stick, if it is of one.
    reached_stick: &'a Reached,
}

impl Design {
    /// Builds the rig as strangers do, by the tolerances of its file, and counts those that work: each control by
    /// itself and all of them together.
    ///
    /// Every number with a tolerance that reaches a control is an input of its builds, by its name in the file: its own
    /// numbers, those of the parts that it uses, and the common causes that move any of them. Where the error budget of
    /// an axis of a stick counts crosstalk, or a target asks for it, all of the stick reaches it.
    ///
    /// # Errors
    /// [`DesignError`] with line 0: for the demand, for a design in which nothing varies, or an observer that asks to
    /// stop.
    pub fn study_yields(
        &self,
        demand: &RigYieldDemand,
    ) -> std::result::Result<RigYield, DesignError> {
        let document = self.document()?;
        study(self, &document, demand)
            .map_err(|error| DesignError::of_file(self.file().to_owned(), Problem::Refused(error)))
    }
}

/// All controls in the order of the file: axes, then those of the sticks.
pub(super) fn controls(design: &Design) -> Vec<Control<'_>> {
    let reached = design.axes_reached();
    let axes = design.axes().iter().zip(reached).enumerate();
    let axes = axes.map(|(number, (named, reached))| Control {
        named,
        stick: None,
        place: ControlPlace::Axis(number),
        reached,
        reached_stick: reached,
    });
    let sticks = design
        .sticks()
        .iter()
        .zip(design.sticks_reached())
        .enumerate();
    let of_sticks = sticks.flat_map(|(number, (stick, (own, whole)))| {
        let both = [GimbalAxis::Outer, GimbalAxis::Inner].into_iter().zip(own);
        both.map(move |(axis, reached)| Control {
            named: stick.axis(axis),
            stick: Some(stick.name()),
            place: ControlPlace::OfStick(number, axis),
            reached,
            reached_stick: whole,
        })
    });
    axes.chain(of_sticks).collect()
}

impl<'a> Control<'a> {
    pub(super) fn asked(&self, design: &Design, cost: &Cost) -> Result<Asked> {
        let of_stick = match self.place {
            ControlPlace::Axis(_) => None,
            ControlPlace::OfStick(_, axis) => Some(axis),
        };
        let evaluated = self.named.axis().ok();
        let evaluated = evaluated.and_then(|axis| EvaluatedAxis::new(axis, POINTS).ok());
        let method = self.named.asked_budget().spec.calibration;
        let asks = self
            .named
            .targets()
            .iter()
            .any(|(target, _)| *target == Target::Latency);
        let stages = if asks {
            design.stages_of(self.named)?
        } else {
            Vec::new()
        };
        let latency = match stages.is_empty() {
            true => None,
            false => Some(LatencyBudget::new(stages)?),
        };
        Ok(Asked {
            figures: figures_for(self.named.targets()),
            price: cost.of_control(self.named.name()),
            latency: latency.map(|budget| budget.percentiles()[2]),
            of_stick,
            // A design that cannot be calibrated has builds all the same.
            table: evaluated.and_then(|axis| axis.calibrated(method).ok()),
        })
    }

    /// The control read anew for each build, and what reaches it.
    pub(super) fn read_anew(
        &self,
        design: &'a Design,
        document: &'a Document<'a>,
        asked: Asked,
    ) -> ReadAnew<'a> {
        // Of a stick the file is read as a whole, whichever of its axes is asked for.
        ReadAnew {
            document,
            inputs: Inputs {
                met: design.met(),
                reached: self.reached_stick,
            },
            place: self.place,
            asked,
        }
    }

    /// What reaches its figures.
    fn reaches(&self, asked: &Asked) -> &'a Reached {
        if asked.needs_stick(self.named) {
            self.reached_stick
        } else {
            self.reached
        }
    }
}

/// A control ready to be built.
struct Ready<'a> {
    control: Control<'a>,
    built: Built<'a>,
    route: YieldRoute,
    tolerances: Vec<(usize, Tolerance)>,
    targets: Vec<YieldTarget>,
}

fn study(design: &Design, document: &Document<'_>, demand: &RigYieldDemand) -> Result<RigYield> {
    let varied = Varied::all(design)?;
    if varied.is_empty() {
        return Err(Error::Absent {
            quantity: "tolerance",
            of: "the design file",
            advice: "give one to a number, as gap_mm = { value = 3.3, plus_minus = 0.3 }",
        });
    }
    let cost = Cost::of(design);
    let mut ready = Vec::new();
    for control in controls(design) {
        let asked = control.asked(design, &cost)?;
        let reached = control.reaches(&asked);
        let mut tolerances = Vec::new();
        for (number, one) in varied.iter().enumerate() {
            tolerances.extend(one.reaching(reached)?.map(|tolerance| (number, tolerance)));
        }
        let inputs: Vec<&str> = tolerances
            .iter()
            .flat_map(|(_, tolerance)| tolerance.effects())
            .map(|effect| effect.input.as_str())
            .collect();
        let inner = Inputs {
            met: design.met(),
            reached,
        };
        let side = match demand.route {
            Some(YieldRoute::ReadAnew) => Err(asked),
            _ => SideBySide::of(control.named, inner, &inputs, asked),
        };
        let (built, route): (Built<'_>, _) = match side {
            Ok(side) => (Box::new(side), YieldRoute::SideBySide),
            Err(asked) => {
                let anew = control.read_anew(design, document, asked);
                (Box::new(anew), YieldRoute::ReadAnew)
            }
        };
        ready.push(Ready {
            targets: yield_targets(control.named.targets())?,
            control,
            built,
            route,
            tolerances,
        });
    }
    let all = demand.of(varied.iter().map(|one| one.tolerance.clone()).collect());
    let (vary, fixed): (Vec<&Ready<'_>>, Vec<&Ready<'_>>) =
        ready.iter().partition(|one| !one.tolerances.is_empty());
    let shared_designs: Vec<SharedDesign<'_>> = vary
        .iter()
        .map(|one| SharedDesign {
            design: &*one.built,
            tolerances: one.tolerances.clone(),
            targets: one.targets.clone(),
        })
        .collect();
    let studied = study_shared(&shared_designs, &all)?;
    // What does not vary works in all rigs or in none.
    let mut works = true;
    for one in &fixed {
        works &= as_designed(one)?;
    }
    let SharedYield {
        yields,
        builds,
        passed,
        interval,
    } = studied;
    let passed = if works { passed } else { 0 };
    let interval = if works {
        interval
    } else {
        YieldInterval::of(&all, [0, builds], &[])
    };
    let mut yields = yields.into_iter();
    let mut controls = Vec::new();
    for one in &ready {
        let own = if one.tolerances.is_empty() {
            None
        } else {
            yields.next()
        };
        controls.push(told(one, own, demand)?);
    }
    Ok(RigYield {
        title: design.title().to_owned(),
        demand: demand.clone(),
        shared: shared_causes(&ready, &varied),
        controls,
        builds,
        passed,
        interval,
    })
}

/// Whether the design itself meets every target of a control.
fn as_designed(one: &Ready<'_>) -> Result<bool> {
    let figures = one.built.figures();
    let mut builds = crate::axis::Builds::new(Vec::new(), 1, figures.len());
    one.built.assembly(&[])?.build(&mut builds)?;
    if !builds.failures().is_empty() {
        return Ok(false);
    }
    let value = |target: &YieldTarget| {
        let place = figures
            .iter()
            .position(|figure| figure.name == target.figure());
        place.map_or(f64::NAN, |place| builds.figures()[place][0])
    };
    Ok(one
        .targets
        .iter()
        .all(|target| target.miss(value(target)) <= 0.0))
}

/// What is told of one control.
fn told(one: &Ready<'_>, yields: Option<Yield>, demand: &RigYieldDemand) -> Result<ControlYield> {
    let (mut importance, mut decides) = (None, None);
    if let (Some(rows), Some(_)) = (demand.importance_rows, &yields) {
        let tolerances: Vec<Tolerance> = one.tolerances.iter().map(|(_, t)| t.clone()).collect();
        let found = study_importance(
            &*one.built,
            &ImportanceDemand {
                targets: one.targets.clone(),
                rows,
                seed: demand.seed,
                sampling: demand.sampling,
                confidence: demand.confidence,
                ..ImportanceDemand::new(tolerances.clone())
            },
        )?;
        let closer = YieldDemand {
            targets: one.targets.clone(),
            builds: rows,
            ..demand.of(tolerances)
        };
        let what_if = study_what_if(&*one.built, &closer, CLOSER)?;
        // Where every build passes, what decides about the first figure that is asked for.
        let of_yield = found.of_yield().filter(|one| one.deciding().is_some());
        let first = one
            .targets
            .first()
            .and_then(|target| found.figure(target.figure()));
        decides = of_yield.or(first).map(|figure| figure.words_with(&what_if));
        importance = Some(found);
    }
    Ok(ControlYield {
        name: one.control.named.name().to_owned(),
        stick: one.control.stick.map(ToOwned::to_owned),
        targets: one.control.named.targets().to_vec(),
        route: one.route,
        as_designed: as_designed(one)?,
        yields,
        importance,
        decides,
    })
}

/// What moves several controls.
fn shared_causes(ready: &[Ready<'_>], varied: &[Varied]) -> Vec<SharedCause> {
    let mut controls: BTreeMap<usize, Vec<String>> = BTreeMap::new();
    for one in ready {
        for (number, _) in &one.tolerances {
            let name = one.control.named.name().to_owned();
            controls.entry(*number).or_default().push(name);
        }
    }
    let several = controls
        .into_iter()
        .filter(|(_, controls)| controls.len() > 1);
    several
        .map(|(number, controls)| SharedCause {
            name: varied[number].tolerance.name().to_owned(),
            controls,
        })
        .collect()
}
