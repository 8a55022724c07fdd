//! The best arm and gap for a layout.

use super::linearity::span;
use super::{ArmLayout, Axis, Figures, Linearity, Moving, Sweep};
use crate::error::{Error, Result, within};
use crate::hall::{Converter, LinearHall};

/// Cells along each side of the first, coarse grid and of the finer ones around the best cell.
const COARSE: usize = 40;
const FINE: usize = 20;
/// Finer grids; each is a quarter as wide as the one before, so the answer is fixed to 1e-5 of the bounds.
const ROUNDS: u32 = 7;
/// Angles of the sweep of one candidate. A multiple of these is swept for the result.
const CANDIDATE_POINTS: usize = 101;
const RESULT_POINTS: usize = 1001;

/// What to search: the widest unclipped straight sweep over arm length and gap.
#[derive(Debug, Clone, PartialEq)]
pub struct LayoutSearch {
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
pub struct Found {
    layout: ArmLayout,
    axis: Axis,
    figures: Figures,
    evaluations: usize,
}

impl Found {
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
    pub fn figures(&self) -> &Figures {
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
/// A grid over the bounds, then finer grids around the best cell: no derivatives, no random numbers, the same answer every time. Merit is the part of the
/// sensor's output range that is swept less the independent linearity, so of two equally wide sweeps the straighter wins.
/// Arrangements that collide are left out.
///
/// # Errors
/// Whatever [`ArmLayout::new`] and [`Axis::new`] refuse at the bounds; [`Error::NotAscending`] for bounds out of order; [`Error::NothingFound`], with
/// the least bad arrangement, if none meets the limits; [`Error::Collision`] if all collide.
pub fn search_layout(search: &LayoutSearch) -> Result<Found> {
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
        best: None,
        // Stands only until the first arrangement is refused or accepted.
        refusal: Error::Collision { angle_deg: 0.0 },
        evaluations: 0,
    };
    scan.grid(search.arm, search.gap, COARSE)?;
    for round in 0..ROUNDS {
        let Some(center) = scan.best else {
            return Err(scan.refusal);
        };
        // Two coarse cells either way, then a quarter of that, and so on.
        let part = 2.0 / COARSE as f64 / 4f64.powi(round as i32);
        let arms = around(center.arm, search.arm, part);
        let gaps = around(center.gap, search.gap, part);
        scan.grid(arms, gaps, FINE)?;
    }
    match scan.best {
        Some(best) if best.excess == 0.0 => {
            let layout = search.layout.with(best.arm, best.gap)?;
            let axis = search.axis(&layout)?;
            let figures = axis.figures(RESULT_POINTS)?;
            Ok(Found {
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
    search: &'a LayoutSearch,
    best: Option<Candidate>,
    refusal: Error,
    evaluations: usize,
}

impl Scan<'_> {
    fn grid(&mut self, arms: [f64; 2], gaps: [f64; 2], cells: usize) -> Result<()> {
        for arm in ticks(arms, cells) {
            for gap in ticks(gaps, cells) {
                self.evaluations += 1;
                match self.search.candidate(arm, gap) {
                    Ok(candidate) if self.best.is_none_or(|b| candidate.better_than(&b)) => {
                        self.best = Some(candidate);
                    }
                    Ok(_) => {}
                    Err(error @ (Error::Collision { .. } | Error::OnEdge { .. })) => {
                        self.refusal = error;
                    }
                    Err(error) => return Err(error),
                }
            }
        }
        Ok(())
    }
}

impl LayoutSearch {
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
        let sweep = Sweep::new(&axis, CANDIDATE_POINTS)?;
        let [low, high] = self.sensor.output_range();
        let range = high - low;
        let (low, high) = (low + self.headroom * range, high - self.headroom * range);
        // How far the unclipped output would go beyond the limits, in parts of the range.
        let over = sweep.flux().iter().map(|&b| {
            let volts = self.sensor.unclipped_output(b);
            let input = self.converter.input_range();
            (low.max(input[0]) - volts)
                .max(volts - high.min(input[1]))
                .max(0.0)
        });
        let over = over.fold(0.0, f64::max) / range;
        let linearity =
            Linearity::of(sweep.angle(), sweep.volts()).map_or(1.0, |l| l.independent());
        let clipped = sweep.clipped().iter().filter(|c| **c).count() as f64;
        Ok(Candidate {
            arm,
            gap,
            merit: span(sweep.volts()) / range - linearity,
            excess: over + (linearity - self.linearity).max(0.0),
            linearity,
            clipped: clipped / CANDIDATE_POINTS as f64,
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

/// A stretch of the bounds around a value: `part` of their width either way.
fn around(center: f64, [lower, upper]: [f64; 2], part: f64) -> [f64; 2] {
    let half = part * (upper - lower);
    [(center - half).max(lower), (center + half).min(upper)]
}
