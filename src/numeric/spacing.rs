//! Equally spaced values.
//!
//! Array libraries step from one end, so that what they give over a symmetric range is not symmetric, and its last
//! value not the end.

/// `cells` + 1 equally spaced values from one end to the other; without cells the first end alone.
///
/// Both ends are exact, no value lies beyond one, and a symmetric range gives values that are symmetric to the last
/// bit.
pub(crate) fn spaced(ends: [f64; 2], cells: usize) -> impl ExactSizeIterator<Item = f64> + Clone {
    (0..cells + 1).map(move |i| spaced_at(ends, i, cells))
}

/// The value `i` of `cells` + 1 equally spaced ones.
pub(crate) fn spaced_at([from, to]: [f64; 2], i: usize, cells: usize) -> f64 {
    let share = |part: usize| part as f64 / cells.max(1) as f64;
    // Each end by a weight of its own and not by what the other leaves of one, which is rounded otherwise.
    let value = from * share(cells.max(1) - i) + to * share(i);
    value.clamp(from.min(to), from.max(to))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ends_are_exact_and_symmetric_ranges_symmetric() {
        for (from, to) in [
            (-0.3, 0.3),
            (-0.1, 0.7),
            (1e-160, 1e160),
            (0.5, -2.5),
            (1.0, 1.0 + 1e-15),
            (0.1, 0.1),
        ] {
            for cells in 1..200 {
                let values: Vec<f64> = spaced([from, to], cells).collect();
                assert_eq!(values.len(), cells + 1);
                assert_eq!([values[0], values[cells]], [from, to]);
                let back: Vec<f64> = spaced([-to, -from], cells).collect();
                for (i, value) in values.iter().enumerate() {
                    assert_eq!(back[cells - i], -value);
                    assert!((from.min(to)..=from.max(to)).contains(value));
                    let exact = from + (to - from) * (i as f64 / cells as f64);
                    assert!((value - exact).abs() <= 2.0 * f64::EPSILON * from.abs().max(to.abs()));
                }
            }
        }
    }

    #[test]
    fn one_value_without_cells() {
        assert_eq!(spaced([0.2, 0.9], 0).collect::<Vec<_>>(), [0.2]);
    }
}
