use super::*;

/// Two units in the last place: what the straight-line forms promise beside the standard library.
const ULPS: f64 = 2.0 * f64::EPSILON;

fn spread() -> impl Iterator<Item = f64> {
    // 40,000 magnitudes, evenly spaced in the logarithm, from 1e-30 to 1e30.
    (0..40_000).map(|i| 10f64.powf(-30.0 + 60.0 * f64::from(i) / 40_000.0))
}

#[test]
fn ln_1p_agrees_with_the_standard_library() {
    for m in spread().chain([0.0, 0.5, 1.0, 2.0]) {
        for value in [ln_1p::<false>(m), ln_1p::<true>(m)] {
            let exact = m.ln_1p();
            assert!(
                (value - exact).abs() <= ULPS * exact,
                "{m}: {value} {exact}"
            );
        }
    }
}

#[test]
fn atan2_agrees_with_the_standard_library_in_all_quadrants() {
    for m in spread() {
        for (y, x) in [
            (m, 1.0),
            (m, -1.0),
            (-m, 1.0),
            (-m, -1.0),
            (0.0, m),
            (0.0, -m),
            (m, 0.0),
        ] {
            let exact = y.atan2(x);
            for value in [atan2::<false>(y, x), atan2::<true>(y, x)] {
                assert!(
                    (value - exact).abs() <= ULPS * exact.abs(),
                    "{y} {x}: {value} {exact}"
                );
            }
        }
    }
}

#[test]
fn cos_and_sin_agree_with_the_standard_library() {
    // Beside every multiple of pi/4 to 8 pi and far out, at and at all distances from it; zero on the way.
    let multiples = (-32..=32).chain([1_001, -20_002, 100_003, 127_323]);
    let centers = multiples.map(|n| f64::from(n) * FRAC_PI_4);
    for center in centers {
        for off in spread().take_while(|off| *off < 1.0) {
            for x in [center, center - off, center + off] {
                let (sin, cos) = x.sin_cos();
                for [c, s] in [cos_sin::<false>(x), cos_sin::<true>(x)] {
                    assert!((c - cos).abs() <= ULPS * cos.abs(), "cos {x}: {c} {cos}");
                    assert!((s - sin).abs() <= ULPS * sin.abs(), "sin {x}: {s} {sin}");
                }
            }
        }
    }
    assert_eq!(cos_sin::<false>(0.0), [1.0, 0.0]);
}

#[test]
fn reciprocals_are_within_two_roundings_of_division() {
    let v = [3.0, 7e-9, 11e4, 0.1];
    for (r, v) in reciprocals(v).iter().zip(v) {
        assert!((r * v - 1.0).abs() < 4.0 * f64::EPSILON);
    }
}

#[test]
fn what_is_no_number_stays_none() {
    for m in [f64::NAN, -f64::NAN, f64::INFINITY] {
        assert!(ln_1p::<false>(m).is_nan());
    }
    assert!(atan2::<false>(f64::NAN, 1.0).is_nan());
    assert!(atan2::<false>(0.0, 0.0).is_nan());
    for x in [f64::NAN, f64::INFINITY] {
        assert!(cos_sin::<false>(x).iter().all(|value| value.is_nan()));
    }
}
