use super::{Coordinate, MAX_DIMENSIONS, centered};

/// Points 1, 2, 3, 5, 37 and 63 of `scipy.stats.qmc.Sobol(128, scramble=False, bits=32)` (SciPy 1.17.1) in dimensions
/// 0, 1, 2, 9, 63 and 127.
const SCIPY: [(u32, [f64; 6]); 6] = [
    (1, [0.5; 6]),
    (2, [0.75, 0.25, 0.25, 0.75, 0.75, 0.25]),
    (3, [0.25, 0.75, 0.75, 0.25, 0.25, 0.75]),
    (5, [0.875, 0.875, 0.125, 0.125, 0.625, 0.125]),
    (
        37,
        [0.921875, 0.640625, 0.578125, 0.171875, 0.828125, 0.671875],
    ),
    (
        63,
        [0.015625, 0.796875, 0.359375, 0.578125, 0.734375, 0.640625],
    ),
];

#[test]
fn its_points_are_those_of_scipy() {
    for (number, expected) in SCIPY {
        // That one goes through them in the order of the Gray code.
        let gray = number ^ (number >> 1);
        for (dimension, expected) in [0, 1, 2, 9, 63, 127].into_iter().zip(expected) {
            let digits = Coordinate::new(dimension, 0).digits(gray);
            assert_eq!(
                centered(digits),
                expected + 0.5 / 4_294_967_296.0,
                "{number} {dimension}"
            );
        }
    }
}

/// Each of the first 2^m points has an interval of 1 / 2^m of its own, in every dimension, however scrambled; in the
/// first two dimensions so has every rectangle of that area (a (0, m, 2)-net).
#[test]
fn every_interval_holds_one_point() {
    const M: u32 = 8;
    let points = 1_u32 << M;
    for seed in [0, 1, 0x9e37_79b9, u32::MAX] {
        let along = |dimension: usize, salt: u32| -> Vec<f64> {
            let coordinate = Coordinate::new(dimension, seed ^ salt);
            (0..points).map(|i| coordinate.at(i)).collect()
        };
        let one_each = |cells: Vec<u32>| {
            let mut cells = cells;
            cells.sort_unstable();
            assert_eq!(cells, (0..points).collect::<Vec<_>>());
        };
        for dimension in 0..MAX_DIMENSIONS {
            let values = along(dimension, dimension as u32);
            one_each(
                values
                    .iter()
                    .map(|x| (x * f64::from(points)) as u32)
                    .collect(),
            );
        }
        let (x, y) = (along(0, 17), along(1, 91));
        for wide in 0..=M {
            let (columns, rows) = (1 << wide, 1 << (M - wide));
            let cell = |(x, y): (&f64, &f64)| {
                (x * f64::from(columns)) as u32 * rows + (y * f64::from(rows)) as u32
            };
            one_each(x.iter().zip(&y).map(cell).collect());
        }
    }
}

/// Scrambling makes any place of a point as likely as any other, and two seeds give two sets.
#[test]
fn scrambled_points_are_uniform() {
    const SEEDS: u32 = 4096;
    let mut sum = 0.0;
    let mut squares = 0.0;
    for seed in 0..SEEDS {
        let x = Coordinate::new(3, seed.wrapping_mul(0x9e37_79b9)).at(5);
        assert!(x > 0.0 && x < 1.0);
        sum += x;
        squares += x * x;
    }
    let mean = sum / f64::from(SEEDS);
    let variance = squares / f64::from(SEEDS) - mean * mean;
    // Six standard errors of the mean of uniform numbers: 6 / sqrt(12 * 4096); the seeds are fixed.
    assert!(
        (mean - 0.5).abs() < 0.028 && (variance - 1.0 / 12.0).abs() < 0.01,
        "{mean} {variance}"
    );
}
