use super::undominated;

/// A plain rule in place of random numbers: figures on a few levels, so that many are equal in one or in all.
fn drawn(count: usize, levels: u64) -> Vec<[f64; 3]> {
    let mut state = 12_345_u64;
    let mut next = || {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1);
        ((state >> 33) % levels) as f64 - 2.0
    };
    (0..count).map(|_| [next(), next(), next()]).collect()
}

/// Each against each, as the word says it.
fn by_pairs(figures: &[[f64; 3]]) -> Vec<usize> {
    let as_good = |a: &[f64; 3], b: &[f64; 3]| a.iter().zip(b).all(|(a, b)| a <= b);
    (0..figures.len())
        .filter(|&i| {
            (0..figures.len()).all(|k| {
                let equal = figures[k] == figures[i];
                k == i || !as_good(&figures[k], &figures[i]) || (equal && i < k)
            })
        })
        .collect()
}

#[test]
fn none_is_left_out_and_none_too_many() {
    for (count, levels) in [(0, 2), (1, 2), (7, 2), (60, 5), (300, 40), (300, 1_000_000)] {
        let figures = drawn(count, levels);
        let mut found = undominated(&figures);
        assert!(found.is_sorted_by(|&a, &b| figures[a][0] <= figures[b][0]));
        found.sort_unstable();
        assert_eq!(found, by_pairs(&figures), "{count} on {levels} levels");
    }
}

#[test]
fn what_is_no_number_is_left_out_and_infinity_is_a_number() {
    let figures = [
        [f64::NAN, 0.0, 0.0],
        [1.0, f64::INFINITY, 0.0],
        [1.0, 2.0, f64::NAN],
        [2.0, -0.0, 0.0],
        [2.0, 0.0, -0.0],
    ];
    assert_eq!(undominated(&figures), [1, 3]);
}
