use super::*;

/// M. Abramowitz and I. A. Stegun, Handbook of Mathematical Functions, NBS 1964, table 25.4: the positive nodes,
/// outermost first, with their weights (15 digits printed; from memory, and confirmed by an independent computation).
const PUBLISHED: [(usize, &[(f64, f64)]); 4] = [
    (2, &[(0.577_350_269_189_626, 1.0)]),
    (
        5,
        &[
            (0.906_179_845_938_664, 0.236_926_885_056_189),
            (0.538_469_310_105_683, 0.478_628_670_499_366),
            (0.0, 0.568_888_888_888_889),
        ],
    ),
    (
        8,
        &[
            (0.960_289_856_497_536, 0.101_228_536_290_376),
            (0.796_666_477_413_627, 0.222_381_034_453_374),
            (0.525_532_409_916_329, 0.313_706_645_877_887),
            (0.183_434_642_495_650, 0.362_683_783_378_362),
        ],
    ),
    (
        16,
        &[
            (0.989_400_934_991_650, 0.027_152_459_411_754),
            (0.944_575_023_073_233, 0.062_253_523_938_648),
            (0.865_631_202_387_832, 0.095_158_511_682_493),
            (0.755_404_408_355_003, 0.124_628_971_255_534),
            (0.617_876_244_402_644, 0.149_595_988_816_577),
            (0.458_016_777_657_227, 0.169_156_519_395_003),
            (0.281_603_550_779_259, 0.182_603_415_044_924),
            (0.095_012_509_837_637, 0.189_450_610_455_068),
        ],
    ),
];
/// Half a unit of the last digit printed, and as much for rounding.
const DIGITS: f64 = 1e-15;

#[test]
fn nodes_of_the_table() {
    for (n, published) in PUBLISHED {
        let mut rule = gauss_legendre(n);
        rule.sort_by(|a, b| b.0.total_cmp(&a.0));
        for (i, &(x, weight)) in published.iter().enumerate() {
            for (found, sign) in [(rule[i], 1.0), (rule[n - 1 - i], -1.0)] {
                assert!((found.0 - sign * x).abs() <= DIGITS, "node {x} of {n}");
                assert!((found.1 - weight).abs() <= DIGITS, "weight {weight} of {n}");
            }
        }
    }
}

/// Means over the square [-1, 1]^2: 1 / ((p + 1)(q + 1)) for even powers, else 0.
#[test]
fn the_square_is_exact_to_its_degree() {
    for n in [2_i32, 3, 8, 32, 64] {
        let rule = square(n as usize);
        for (p, q) in [
            (0, 0),
            (2 * n - 2, 0),
            (2, 2 * n - 2),
            (1, 4),
            (2 * n - 1, 1),
        ] {
            let mean: f64 = rule
                .iter()
                .map(|node| node.weight * node.at[0].powi(p) * node.at[1].powi(q))
                .sum();
            let exact = if p % 2 == 0 && q % 2 == 0 {
                1.0 / f64::from((p + 1) * (q + 1))
            } else {
                0.0
            };
            assert!(
                (mean - exact).abs() < 1e-15 * f64::from(n),
                "{n}: x^{p} y^{q}"
            );
        }
    }
}

/// Mean of x^2p over the unit disc: 2 / (2 p + 2) times the mean of cos^2p, (2p - 1)!! / (2p)!!.
#[test]
fn the_circle_is_exact_to_its_degree() {
    for n in [1_i32, 2, 3, 8] {
        let rule = circle(n as usize);
        for p in 0..=2 * n {
            let mean: f64 = rule
                .iter()
                .map(|node| node.weight * node.at[0].powi(2 * p))
                .sum();
            let cosines: f64 = (1..=p)
                .map(|k| f64::from(2 * k - 1) / f64::from(2 * k))
                .product();
            let exact = cosines / f64::from(p + 1);
            // Degree 4 n is the first that is missed.
            let hit = (mean - exact).abs() < 1e-15 * f64::from(n);
            assert_eq!(hit, p < 2 * n, "{n}: x^{}", 2 * p);
        }
    }
}
