//! The best arm and gap for a layout.

use serde::{Deserialize, Serialize};

use crate::axis::clearance::clearance;
use crate::axis::curve::Curve;
use crate::axis::{Arrangement, Axis, AxisFigures, Moving, SwungLayout, requirement};
use crate::error::{Error, Result, within};
use crate::hall::{Converter, LinearHall};
use crate::numeric::spacing::spaced;
use crate::observer;
use crate::search::{SearchResult, Shortfall, Shortfalls, Tally};
use crate::units::DEG;

/// Cells of the first, coarse steps over the bounds of arm and of gap, and of the finer ones around the best so far.
const COARSE: [usize; 2] = [40, 24];
const FINE: usize = 8;
/// Finer steps; each is a quarter of the one before, so the answer is fixed to 1e-5 of the bounds.
const ROUNDS: usize = 6;
/// Points of a candidate's grid: the coarsest, since figures do not depend on it. The result's figures are those that
/// its candidate was judged on.
const POINTS: usize = 3;

/// What is wanted of a layout: the widest straight sweep over arm length and gap that does not clip.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LayoutDemand {
    /// Everything but arm and gap is taken from here.
    pub layout: SwungLayout,
    /// Shortest and longest arm, m.
    pub arm: [f64; 2],
    /// Smallest and widest gap, m.
    pub gap: [f64; 2],
    /// Largest independent linearity of the output, as a fraction of its span.
    pub linearity: f64,
    /// Fraction of the sensor's output range to keep free at each rail, for the tolerances of the build; 0 lets the
    /// sweep touch the rails.
    pub range_margin: f64,
    /// Throw, rad.
    pub throw: [f64; 2],
    /// The sensor.
    pub sensor: LinearHall,
    /// The converter.
    pub converter: Converter,
    /// What turns.
    pub moving: Moving,
}

/// A layout that a search found, or tried.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct LayoutCandidate {
    layout: SwungLayout,
    axis: Axis,
    figures: AxisFigures,
}

impl LayoutCandidate {
    /// The layout with its arm and gap.
    #[must_use]
    pub fn layout(&self) -> &SwungLayout {
        &self.layout
    }

    /// Its axis.
    #[must_use]
    pub fn axis(&self) -> &Axis {
        &self.axis
    }

    /// Its figures.
    #[must_use]
    pub fn figures(&self) -> &AxisFigures {
        &self.figures
    }
}

/// One arrangement tried.
#[derive(Clone, Copy)]
struct Candidate {
    arm: f64,
    gap: f64,
    /// Span of the output over the range between the rails, less the independent linearity; higher is better.
    merit: f64,
    /// 0 if every limit is kept, else by what share the worst is missed.
    excess: f64,
}

impl Candidate {
    fn better_than(&self, other: &Self) -> bool {
        if self.excess != other.excess {
            self.excess < other.excess
        } else {
            self.merit > other.merit
        }
    }
}

/// The arm and the gap that give the widest sweep that neither clips nor bends more than allowed: the best one, or
/// none.
///
/// Steps over the arm, for each of them steps over the gap, and finer steps around the best: no derivatives, no random
/// numbers, the same answer every time. The gap is settled for each arm on its own because the best arrangements lie
/// along a narrow crest, where the sweep just reaches a rail, and only on the crest can one arm be compared with
/// another. Merit is the part of the sensor's output range that is swept less the independent linearity, so of two
/// equally wide sweeps the straighter wins. Of arrangements that collide nothing else is judged.
///
/// # Errors
/// Whatever [`SwungLayout::new`] and [`Axis::new`] refuse at the bounds; [`Error::NotAscending`] for bounds out of
/// order; [`Error::OutOfRange`] for a linearity or a margin that makes no sense. That no arrangement keeps the limits
/// is no error here; [`SearchResult::best`] makes it one.
pub fn search_layouts(demand: &LayoutDemand) -> Result<SearchResult<LayoutCandidate>> {
    for (quantity, [lower, upper]) in [("arm bounds", demand.arm), ("gap bounds", demand.gap)] {
        if lower > upper {
            return Err(Error::NotAscending {
                quantity,
                lower,
                upper,
                unit: "m",
            });
        }
    }
    within("allowed linearity", demand.linearity, 1e-6, 1.0, "of span")?;
    within(
        "range margin",
        demand.range_margin,
        0.0,
        0.49,
        "of the output range",
    )?;
    // Bounds that no layout may have are refused here, not skipped below.
    demand.layout.with(demand.arm[0], demand.gap[0])?;
    demand.layout.with(demand.arm[1], demand.gap[1])?;

    let mut tally = Tally::default();
    let best = zoom(demand.arm, COARSE[0], |arm| {
        zoom(demand.gap, COARSE[1], |gap| {
            observer::check()?;
            demand.try_arrangement(arm, gap, &mut tally)
        })
    })?;
    let best = best.filter(|best| best.excess == 0.0);
    let found = best.map(|best| Ok((-best.merit, demand.design(best.arm, best.gap)?)));
    let found = found.into_iter().collect::<Result<_>>()?;
    Ok(tally.result("arrangements of arm and gap", found))
}

/// The best candidate of a stretch: even steps over it, then finer ones around the best so far.
fn zoom(
    bounds: [f64; 2],
    coarse: usize,
    mut candidate: impl FnMut(f64) -> Result<Option<Candidate>>,
) -> Result<Option<Candidate>> {
    let mut best: Option<(f64, Candidate)> = None;
    let (mut stretch, mut cells) = (bounds, coarse);
    for _ in 0..=ROUNDS {
        for place in ticks(stretch, cells) {
            if let Some(found) = candidate(place)?
                && best.is_none_or(|(_, best)| found.better_than(&best))
            {
                best = Some((place, found));
            }
        }
        let step = (stretch[1] - stretch[0]) / cells as f64;
        let Some((center, _)) = best.filter(|_| step > 0.0) else {
            break;
        };
        stretch = [
            (center - step).max(bounds[0]),
            (center + step).min(bounds[1]),
        ];
        cells = FINE;
    }
    Ok(best.map(|(_, candidate)| candidate))
}

impl LayoutDemand {
    fn axis(&self, layout: &SwungLayout) -> Result<Axis> {
        layout.axis(
            self.throw,
            self.sensor.clone(),
            self.converter.clone(),
            self.moving,
        )
    }

    fn design(&self, arm: f64, gap: f64) -> Result<LayoutCandidate> {
        let layout = self.layout.with(arm, gap)?;
        let axis = self.axis(&layout)?;
        Ok(LayoutCandidate {
            figures: axis.figures(POINTS)?,
            layout,
            axis,
        })
    }

    /// One arrangement, counted; none where the parts collide.
    fn try_arrangement(
        &self,
        arm: f64,
        gap: f64,
        tally: &mut Tally<LayoutCandidate>,
    ) -> Result<Option<Candidate>> {
        let (merit, shortfalls) = match self.judged(arm, gap) {
            Ok(judged) => judged,
            Err(error @ (Error::Collision { .. } | Error::OnEdge { .. })) => {
                tally.reject(self.collided(&error).into(), || None);
                return Ok(None);
            }
            Err(error) => return Err(error),
        };
        let excess = shortfalls.worst();
        if shortfalls.is_empty() {
            tally.accept();
        } else {
            tally.reject(shortfalls, || self.design(arm, gap).ok());
        }
        Ok(Some(Candidate {
            arm,
            gap,
            merit,
            excess,
        }))
    }

    /// How far it turns up to a collision.
    fn collided(&self, error: &Error) -> Shortfall {
        let angle = match error {
            Error::Collision { angle_deg, .. } => angle_deg * DEG,
            _ => 0.0,
        };
        let limit = if angle < 0.0 {
            self.throw[0]
        } else {
            self.throw[1]
        };
        Shortfall::of_no_use(requirement::CLEARANCE, angle, limit)
    }

    /// The merit of an arrangement, and what it falls short in.
    fn judged(&self, arm: f64, gap: f64) -> Result<(f64, Shortfalls)> {
        let axis = self.axis(&self.layout.with(arm, gap)?)?;
        clearance(&axis)?;
        let mut curve = Curve::new(&axis, POINTS)?;
        let [low, high] = self.sensor.output_range();
        let range = high - low;
        let input = self.converter.input_range();
        let limits = [
            (low + self.range_margin * range).max(input[0]),
            (high - self.range_margin * range).min(input[1]),
        ];
        let line = self.sensor.characteristic();
        let limits = line.signals_between(limits);
        // How far the unclipped output would go beyond the limits, in parts of the range.
        let over = curve.beyond(limits) * line.gain / range;
        let [lowest, highest] = curve.signal_range().map(|flux| line.held(flux));
        let of_signal = curve.linearity_of_signal()?;
        let linearity = curve
            .linearity_of_output(of_signal)?
            .map_or(1.0, |l| l.independent());
        let mut shortfalls = Shortfalls::default();
        // Exactly, as sweeps are judged, and as shares of their own.
        for (requirement, value, limit) in [
            (requirement::RANGE, over, 0.0),
            (requirement::LINEARITY, linearity, self.linearity),
        ] {
            if value > limit {
                shortfalls.push(Shortfall::by(requirement, value, limit, 1.0));
            }
        }
        Ok(((highest - lowest) / range - linearity, shortfalls))
    }
}

/// Equally spaced values, both ends included; one value where the ends are the same.
fn ticks(ends: [f64; 2], cells: usize) -> impl Iterator<Item = f64> {
    spaced(ends, if ends[0] == ends[1] { 0 } else { cells })
}

#[cfg(test)]
#[path = "search_tests.rs"]
mod tests;
