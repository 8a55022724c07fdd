//! The best arm and gap for a layout.

use crate::axis::curve::Curve;
use crate::axis::sweep::clearance;
use crate::axis::{ArmLayout, Axis, AxisFigures, Moving};
use crate::error::{Error, Result, within};
use crate::hall::{Converter, LinearHall};
use crate::observer;

/// Cells of the first, coarse steps over the bounds of arm and of gap, and of the finer ones around the best so far.
const COARSE: [usize; 2] = [40, 24];
const FINE: usize = 8;
/// Finer steps; each is a quarter of the one before, so the answer is fixed to 1e-5 of the bounds.
const ROUNDS: usize = 6;
/// Points of a candidate's grid: the coarsest, since figures do not depend on it. The result's figures are those that
/// its candidate was judged on.
const POINTS: usize = 3;

/// What to search: the widest unclipped straight sweep over arm length and gap.
#[derive(Debug, Clone, PartialEq)]
pub struct LayoutDemand {
    /// Everything but arm and gap is taken from here.
    pub layout: ArmLayout,
    /// Shortest and longest arm, m.
    pub arm: [f64; 2],
    /// Smallest and widest gap, m.
    pub gap: [f64; 2],
    /// Largest independent linearity of the output, as a fraction of its span.
    pub linearity: f64,
    /// Fraction of the sensor's output range to keep free at each rail, for the tolerances of the build; 0 lets the sweep touch the rails.
    pub headroom: f64,
    /// Throw, rad.
    pub throw: [f64; 2],
    /// The sensor.
    pub sensor: LinearHall,
    /// The converter.
    pub converter: Converter,
    /// What turns.
    pub moving: Moving,
}

/// The result of a search.
#[derive(Debug, Clone, PartialEq)]
pub struct LayoutCandidate {
    layout: ArmLayout,
    axis: Axis,
    figures: AxisFigures,
    evaluations: usize,
}

impl LayoutCandidate {
    /// The layout with the arm and gap found.
    #[must_use]
    pub fn layout(&self) -> &ArmLayout {
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

    /// How many arrangements were tried.
    #[must_use]
    pub fn evaluations(&self) -> usize {
        self.evaluations
    }
}

/// One arrangement tried.
#[derive(Clone, Copy)]
struct Candidate {
    arm: f64,
    gap: f64,
    /// Span of the output over the range between the rails, less the independent linearity; higher is better.
    merit: f64,
    /// 0 if every limit is met, else how badly they are missed.
    excess: f64,
    linearity: f64,
    clipped: f64,
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

/// Finds the arm and the gap that give the widest sweep that neither clips nor bends more than allowed.
///
/// Steps over the arm, for each of them steps over the gap, and finer steps around the best: no derivatives, no random
/// numbers, the same answer every time. The gap is settled for each arm on its own because the best arrangements lie
/// along a narrow crest, where the sweep just reaches a rail, and only on the crest can one arm be compared with
/// another. Merit is the part of the sensor's output range that is swept less the independent linearity, so of two
/// equally wide sweeps the straighter wins. Arrangements that collide are left out.
///
/// # Errors
/// Whatever [`ArmLayout::new`] and [`Axis::new`] refuse at the bounds; [`Error::NotAscending`] for bounds out of order; [`Error::NothingFound`], with
/// the least bad arrangement, if none meets the limits; [`Error::Collision`] if all collide.
pub fn search_layout(search: &LayoutDemand) -> Result<LayoutCandidate> {
    for (quantity, [lower, upper]) in [("arm bounds", search.arm), ("gap bounds", search.gap)] {
        if lower > upper {
            return Err(Error::NotAscending {
                quantity,
                lower,
                upper,
                unit: "m",
            });
        }
    }
    within("allowed linearity", search.linearity, 1e-6, 1.0, "of span")?;
    within(
        "headroom",
        search.headroom,
        0.0,
        0.49,
        "of the output range",
    )?;
    // Bounds that no layout may have are refused here, not skipped below.
    search.layout.with(search.arm[0], search.gap[0])?;
    search.layout.with(search.arm[1], search.gap[1])?;

    let mut scan = Scan {
        search,
        // Stands only until the first arrangement is refused or accepted.
        refusal: Error::Collision { angle_deg: 0.0 },
        evaluations: 0,
    };
    let best = zoom(search.arm, COARSE[0], |arm| {
        zoom(search.gap, COARSE[1], |gap| scan.candidate(arm, gap))
    })?;
    match best {
        Some(best) if best.excess == 0.0 => {
            let layout = search.layout.with(best.arm, best.gap)?;
            let axis = search.axis(&layout)?;
            let figures = axis.figures(POINTS)?;
            Ok(LayoutCandidate {
                layout,
                axis,
                figures,
                evaluations: scan.evaluations,
            })
        }
        Some(best) => Err(Error::NothingFound {
            arm_min: search.arm[0],
            arm_max: search.arm[1],
            gap_min: search.gap[0],
            gap_max: search.gap[1],
            limit_percent: 100.0 * search.linearity,
            arm: best.arm,
            gap: best.gap,
            linearity_percent: 100.0 * best.linearity,
            clipped_percent: 100.0 * best.clipped,
        }),
        None => Err(scan.refusal),
    }
}

/// The state of a running search.
struct Scan<'a> {
    search: &'a LayoutDemand,
    refusal: Error,
    evaluations: usize,
}

impl Scan<'_> {
    /// One arrangement; none where the parts collide.
    fn candidate(&mut self, arm: f64, gap: f64) -> Result<Option<Candidate>> {
        observer::check()?;
        self.evaluations += 1;
        match self.search.candidate(arm, gap) {
            Ok(candidate) => Ok(Some(candidate)),
            Err(error @ (Error::Collision { .. } | Error::OnEdge { .. })) => {
                self.refusal = error;
                Ok(None)
            }
            Err(error) => Err(error),
        }
    }
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
    fn axis(&self, layout: &ArmLayout) -> Result<Axis> {
        layout.axis(
            self.throw,
            self.sensor.clone(),
            self.converter.clone(),
            self.moving,
        )
    }

    fn candidate(&self, arm: f64, gap: f64) -> Result<Candidate> {
        let axis = self.axis(&self.layout.with(arm, gap)?)?;
        clearance(&axis, POINTS)?;
        let mut curve = Curve::new(&axis, POINTS)?;
        let [low, high] = self.sensor.output_range();
        let range = high - low;
        let input = self.converter.input_range();
        let limits = [
            (low + self.headroom * range).max(input[0]),
            (high - self.headroom * range).min(input[1]),
        ]
        .map(|volts| self.sensor.flux_for(volts));
        // How far the unclipped output would go beyond the limits, in parts of the range.
        let over = curve.beyond(limits) * self.sensor.gain() / range;
        let clipped = curve.clipped();
        let [lowest, highest] = curve.flux_range().map(|flux| self.sensor.held(flux));
        let linearity = curve.linearity_volts()?.map_or(1.0, |l| l.independent());
        Ok(Candidate {
            arm,
            gap,
            merit: (highest - lowest) / range - linearity,
            excess: over + (linearity - self.linearity).max(0.0),
            linearity,
            clipped,
        })
    }
}

/// Evenly spaced values, both ends included; one value where the ends are the same.
fn ticks([lower, upper]: [f64; 2], cells: usize) -> impl Iterator<Item = f64> {
    let count = if lower == upper { 0 } else { cells };
    (0..=count).map(move |i| {
        let part = i as f64 / count.max(1) as f64;
        lower * (1.0 - part) + upper * part
    })
}
