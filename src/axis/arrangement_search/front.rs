//! Of many, those than which no other is at least as good in everything.

use std::collections::BTreeMap;

/// A number that is ordered as its bits are: no figure of a trial that was judged is a NaN.
#[derive(PartialEq)]
struct Ordered(f64);

impl Eq for Ordered {}

impl PartialOrd for Ordered {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Ordered {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        self.0.total_cmp(&other.0)
    }
}

/// The places of those figures than which no others are at least as good in all three, the less the better; of equals
/// the first. In the order of their first figure.
///
/// By the first figure one after the other, with the steps that the best so far make over the two others: the time
/// grows as that of sorting (Kung, Luccio and Preparata, *On finding the maxima of a set of vectors*, 1975).
pub(super) fn undominated(figures: &[[f64; 3]]) -> Vec<usize> {
    // Zero has no sign here.
    let of = |i: usize| figures[i].map(|figure| figure + 0.0);
    let mut order: Vec<usize> = (0..figures.len())
        .filter(|&i| !figures[i].iter().any(|figure| figure.is_nan()))
        .collect();
    order.sort_by(|&a, &b| {
        let parts = of(a).into_iter().zip(of(b));
        let mut parts = parts.map(|(a, b)| a.total_cmp(&b));
        parts.find(|part| part.is_ne()).unwrap_or(a.cmp(&b))
    });
    // The third figure by the second: the one falls as the other grows.
    let mut steps: BTreeMap<Ordered, f64> = BTreeMap::new();
    let mut kept = Vec::new();
    for i in order {
        let [_, second, third] = of(i);
        let below = steps.range(..=Ordered(second)).next_back();
        if below.is_some_and(|(_, least)| *least <= third) {
            continue;
        }
        let beaten: Vec<f64> = steps
            .range(Ordered(second)..)
            .take_while(|(_, other)| **other >= third)
            .map(|(step, _)| step.0)
            .collect();
        for step in beaten {
            steps.remove(&Ordered(step));
        }
        steps.insert(Ordered(second), third);
        kept.push(i);
    }
    kept
}

#[cfg(test)]
#[path = "front_tests.rs"]
mod tests;
