//! What is left early makes no difference.

use super::{Search, TolerantDesignDemand, VariedInput, spread_places};
use crate::axis::{FigureName, FormulaDesign, Tolerance, YieldDemand, YieldTarget};
use crate::error::Error;

const BUILDS: u64 = 5000;

/// A ridge across both inputs, with a cliff behind it.
fn ridge() -> FormulaDesign {
    let figure = FigureName::new("height", "m");
    let formula = |x: &[f64], y: &mut [f64]| {
        if x[0] > 2.0 {
            return Err(Error::NeverCloses {
                linkage: "ridge",
                gap: x[0] - 2.0,
            });
        }
        let (off, along) = (x[0] - x[1], x[1] - 0.7);
        y[0] = 1.0 - off * off - 0.3 * along * along;
        Ok(())
    };
    FormulaDesign::new([("x", 1.0), ("y", 0.0)], [figure], formula).unwrap()
}

fn demand(least: f64, min_yield: f64) -> TolerantDesignDemand {
    let tolerances = ["x", "y"].map(|input| Tolerance::plus_minus(input, 0.3).unwrap());
    let of_each = YieldDemand {
        builds: BUILDS,
        targets: vec![YieldTarget::at_least("height", least).unwrap()],
        ..YieldDemand::new(tolerances.to_vec())
    };
    let varied = ["x", "y"].map(|input| VariedInput {
        input: input.to_owned(),
        min: -1.0,
        max: 2.5,
    });
    TolerantDesignDemand {
        places: 200,
        min_yield,
        ..TolerantDesignDemand::new(of_each, varied.to_vec())
    }
}

/// All that was left early is judged to its end: the result is the same, and no climb goes anywhere else.
#[test]
fn what_is_left_early_makes_no_difference() {
    let design = ridge();
    // Yields of nearly one, of a half, and of hardly any; demanded of some, of all, and of none.
    for (least, min_yield) in [
        (0.5, 0.0),
        (0.5, 0.97),
        (0.8, 0.5),
        (0.8, 1.0),
        (0.999, 0.0),
    ] {
        let demand = demand(least, min_yield);
        let mut search = Search::new(&design, &demand).unwrap();
        search.run(spread_places(&demand)).unwrap();
        let early = search.result();
        let done: u64 = search.tried.iter().map(|place| place.sum.builds).sum();
        let whole = BUILDS * search.tried.len() as u64;
        if (least, min_yield) == (0.5, 0.0) {
            // A fifth of the places are on the ridge; of the others a piece of 1024 builds tells enough.
            assert!(done < whole / 2, "{done} of {whole}");
        }
        for at in 0..search.tried.len() {
            let values = search.tried[at].values.clone();
            let builds = search
                .plan
                .build_about(&values, 0, BUILDS as usize)
                .unwrap();
            let misses = search.judge.misses(&builds);
            let passed = misses.iter().filter(|miss| **miss <= 0.0).count() as u64;
            let sum = &mut search.tried[at].sum;
            if sum.builds == BUILDS {
                assert_eq!(sum.passed, passed);
            } else {
                assert!(sum.passed <= passed && passed <= sum.passed + BUILDS - sum.builds);
                sum.missed = misses.iter().map(|miss| miss.clamp(0.0, 1.0)).sum();
                (sum.builds, sum.passed) = (BUILDS, passed);
            }
        }
        assert_eq!(search.result(), early, "{least} {min_yield}");
        let tried = search.tried.len();
        let first = search.known.len().min(demand.places);
        let mut again = Search::new(&design, &demand).unwrap();
        (again.tried, again.known) = (search.tried, search.known);
        let mut starts: Vec<usize> = (0..first).collect();
        starts.sort_by(|&a, &b| again.better(a, b));
        for start in starts.into_iter().take(super::CLIMBED) {
            again.climb(start).unwrap();
        }
        assert_eq!(again.tried.len(), tried, "{least} {min_yield}");
    }
}
