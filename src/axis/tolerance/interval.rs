//! Between which shares a yield lies.

use serde::{Deserialize, Serialize};

use crate::axis::tolerance::demand::YieldDemand;
use crate::axis::tolerance::draws::Sampling;
use crate::numeric::binomial::clopper_pearson;
use crate::numeric::student;

/// Between which shares the true yield lies, at a confidence.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct YieldInterval {
    /// Lower end, 0 to 1.
    pub low: f64,
    /// Upper end, 0 to 1.
    pub high: f64,
    /// The confidence, 0.95 as a rule.
    pub confidence: f64,
}

impl YieldInterval {
    /// Exact of builds at random; of quasi-random ones by their replicates.
    pub(crate) fn of(
        demand: &YieldDemand,
        [passed, builds]: [u64; 2],
        by_replicate: &[[u64; 2]],
    ) -> Self {
        let confidence = demand.confidence;
        let share = passed as f64 / builds as f64;
        let whole: Vec<f64> = by_replicate
            .iter()
            .map(|[n, passed]| *passed as f64 / *n as f64)
            .collect();
        let [low, high] = match demand.sampling {
            Sampling::Random => clopper_pearson(passed, builds, confidence),
            Sampling::Sobol { replicates } if whole.len() < replicates.max(2) => [0.0, 1.0],
            Sampling::Sobol { .. } => {
                let n = whole.len() as f64;
                let mean = whole.iter().sum::<f64>() / n;
                let squares: f64 = whole.iter().map(|x| (x - mean) * (x - mean)).sum();
                let error = (squares / (n - 1.0) / n).sqrt();
                let factor = student::critical(1.0 - confidence, n - 1.0);
                [
                    (mean - factor * error).max(0.0),
                    (mean + factor * error).min(1.0),
                ]
            }
        };
        // The share lies within, whatever the rounding.
        Self {
            low: low.min(share),
            high: high.max(share),
            confidence,
        }
    }
}
