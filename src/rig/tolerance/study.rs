//! Studies of the builds of a rig.

use std::collections::BTreeMap;

use crate::axis::{
    EvaluatedAxis, ImportanceDemand, LatencyBudget, SharedDesign, SharedYield, Tolerance, Yield,
    YieldDemand, YieldInterval, YieldTarget, study_importance, study_shared, study_what_if,
};
use crate::error::{Error, Result};
use crate::linkage::GimbalAxis;
use crate::rig::cost::Cost;
use crate::rig::design::Design;
use crate::rig::design_error::{DesignError, Problem};
use crate::rig::document::Document;
use crate::rig::numbers::{Reached, StickReached};
use crate::rig::target::Target;
use crate::rig::tolerance::builds::{Asked, Built, POINTS};
use crate::rig::tolerance::demand::RigYieldDemand;
use crate::rig::tolerance::figures::{figures_for, yield_targets};
use crate::rig::tolerance::inputs::Varied;
use crate::rig::tolerance::read_anew::{ControlPlace, ReadAnew};
use crate::rig::tolerance::result::{ControlYield, RigYield, SharedCause};
use crate::rig::tolerance::route::YieldRoute;
use crate::rig::tolerance::side_by_side::SideBySide;
use crate::rig::tolerance::subject::Subject;

/// What a tolerance is multiplied by, to tell what a closer one would gain.
const CLOSER: f64 = 0.5;

/// A control of the design.
pub(super) struct Control<'a> {
    pub(super) subject: Subject<'a>,
    place: ControlPlace,
    pieces: Pieces<'a>,
}

/// What reaches a control, but for its feel, which tells itself.
#[derive(Clone, Copy)]
enum Pieces<'a> {
    Axis(&'a Reached),
    Stick(&'a StickReached),
}

impl Design {
    /// Builds the rig as strangers do, by the tolerances of its file, and counts those that work: each control by
    /// itself and all of them together.
    ///
    /// Every number with a tolerance that reaches a control is an input of its builds, by its name in the file: its own
    /// numbers, those of the parts that it uses, and the common causes that move any of them. Where the error budget of
    /// an axis of a stick counts crosstalk, or a target asks for it, both axes of the stick reach it. Springs, weights
    /// and friction reach a control of which forces or springs are asked, obstacles a stick that has a target for its
    /// clearance.
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
        subject: Subject::Axis(named),
        place: ControlPlace::Axis(number),
        pieces: Pieces::Axis(reached),
    });
    let sticks = design
        .sticks()
        .iter()
        .zip(design.sticks_reached())
        .enumerate();
    let of_sticks = sticks.flat_map(|(number, (stick, reached))| {
        let control = move |subject, place| Control {
            subject,
            place,
            pieces: Pieces::Stick(reached),
        };
        let both = [GimbalAxis::Outer, GimbalAxis::Inner];
        let both = both.map(|axis| {
            let place = ControlPlace::OfStick(number, axis);
            control(Subject::OfStick(stick, axis), place)
        });
        let asked = !stick.targets().is_empty();
        let whole = asked.then(|| control(Subject::Stick(stick), ControlPlace::Stick(number)));
        both.into_iter().chain(whole)
    });
    axes.chain(of_sticks).collect()
}

impl<'a> Control<'a> {
    pub(super) fn asked(&self, design: &Design, cost: &Cost) -> Result<Asked> {
        let (targets, axis) = (self.subject.targets(), self.subject.axis());
        let asks = targets.iter().any(|(target, _)| *target == Target::Latency);
        let stages = match axis.filter(|_| asks) {
            Some(axis) => design.stages_of(axis)?,
            None => Vec::new(),
        };
        let latency = match stages.is_empty() {
            true => None,
            false => Some(LatencyBudget::new(stages)?),
        };
        Ok(Asked {
            figures: figures_for(targets, axis.is_some()),
            price: cost.of_control(self.subject.name()),
            latency: latency.map(|budget| budget.percentiles()[2]),
            // A design that cannot be calibrated has builds all the same.
            table: axis.and_then(|named| {
                let method = named.asked_budget().spec.calibration;
                EvaluatedAxis::new(named.axis().ok()?, POINTS)
                    .ok()?
                    .calibrated(method)
                    .ok()
            }),
            lines: None,
        }
        .with_lines(self.subject))
    }

    /// The control read anew for each build, and what reaches it.
    pub(super) fn read_anew(
        &self,
        design: &'a Design,
        document: &'a Document<'a>,
        asked: Asked,
    ) -> ReadAnew<'a> {
        let mut reads = self.reaches(&asked);
        // Of a stick both axes are read, whichever of them is asked for.
        if let Pieces::Stick(stick) = self.pieces {
            stick.axes.iter().for_each(|axis| reads.add(axis));
            reads.add(&stick.frame);
        }
        ReadAnew {
            document,
            met: design.met(),
            reads,
            place: self.place,
            asked,
        }
    }

    /// What reaches its figures.
    fn reaches(&self, asked: &Asked) -> Reached {
        let mut all = Reached::default();
        let feel = self.subject.feel().filter(|_| asked.asks_feel());
        match self.pieces {
            Pieces::Axis(own) => all.add(own),
            Pieces::Stick(stick) => {
                let [outer, inner] = &stick.axes;
                match self.subject {
                    Subject::OfStick(_, GimbalAxis::Outer) => all.add(outer),
                    Subject::OfStick(_, GimbalAxis::Inner) => all.add(inner),
                    Subject::Axis(_) | Subject::Stick(_) => {}
                }
                let both = asked.needs_both(self.subject);
                if both {
                    all.add(outer);
                    all.add(inner);
                }
                if both || feel.is_some() || asked.asks_obstacles() {
                    all.add(&stick.frame);
                }
                if asked.asks_obstacles() {
                    all.add(&stick.obstacles);
                }
            }
        }
        if let Some(feel) = feel {
            all.add(feel.reached());
        }
        all
    }

    /// Whether a number is one of its own or of its parts.
    pub(super) fn has(&self, start: usize) -> bool {
        let own = match (self.pieces, self.subject) {
            (Pieces::Axis(own), _) => own,
            (Pieces::Stick(stick), Subject::OfStick(_, GimbalAxis::Outer)) => &stick.axes[0],
            (Pieces::Stick(stick), Subject::OfStick(_, GimbalAxis::Inner)) => &stick.axes[1],
            (Pieces::Stick(_), _) => return false,
        };
        own.numbers.contains(&start)
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
            tolerances.extend(one.reaching(&reached)?.map(|tolerance| (number, tolerance)));
        }
        let inputs: Vec<&str> = tolerances
            .iter()
            .flat_map(|(_, tolerance)| tolerance.effects())
            .map(|effect| effect.input.as_str())
            .collect();
        let side = match demand.route {
            Some(YieldRoute::ReadAnew) => Err(asked),
            _ => SideBySide::of(control.subject, (design.met(), reached), &inputs, asked),
        };
        let (built, route): (Built<'_>, _) = match side {
            Ok(side) => (Box::new(side), YieldRoute::SideBySide),
            Err(asked) => {
                let anew = control.read_anew(design, document, asked);
                (Box::new(anew), YieldRoute::ReadAnew)
            }
        };
        ready.push(Ready {
            targets: yield_targets(control.subject.targets())?,
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
        name: one.control.subject.name().to_owned(),
        stick: match one.control.subject {
            Subject::OfStick(stick, _) => Some(stick.name().to_owned()),
            Subject::Axis(_) | Subject::Stick(_) => None,
        },
        targets: one.control.subject.targets().to_vec(),
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
            let name = one.control.subject.name().to_owned();
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
