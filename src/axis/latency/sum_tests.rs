//! The sum against closed forms and against its other route.

use super::*;

const MS: f64 = 1e-3;

fn sum(delays: &[Delay]) -> Sum {
    Sum::of(&delays.iter().collect::<Vec<_>>()).unwrap()
}

/// Sum of n waits of 1 at x: sum of (-1)^k C(n, k) (x - k)^n / n!, the fourths of x in whole numbers.
fn irwin_hall(n: u32, fourths: i128) -> f64 {
    let mut choose = 1_i128;
    let mut total = 0_i128;
    for k in 0..=i128::from(n) {
        let base = fourths - 4 * k;
        if base > 0 {
            let sign = if k % 2 == 0 { 1 } else { -1 };
            total += sign * choose * base.pow(n);
        }
        choose = choose * (i128::from(n) - k) / (k + 1);
    }
    let factorial: f64 = (1..=n).map(f64::from).product();
    total as f64 / (factorial * 4f64.powi(n as i32))
}

#[test]
fn equal_waits_add_up_to_irwin_and_hall() {
    for n in [1, 2, 3, 5, 8, 12, 16] {
        let all = vec![Delay::wait(MS, 0.0).unwrap(); n as usize];
        let sum = sum(&all);
        assert!(matches!(sum.shape, Shape::Pieces(..)));
        // 64^16 times 16 choose 8 fits into the whole numbers.
        for step in 0..=(4 * n) {
            let x = f64::from(step) / 4.0;
            let exact = irwin_hall(n, i128::from(step));
            let found = sum.distribution(x * MS);
            // Roundings of n steps; measured 6e-15 at most.
            assert!((found - exact).abs() < 4e-14, "{n} {x} {found} {exact}");
        }
    }
}

#[test]
fn the_grid_keeps_its_bound() {
    let delays = [
        Delay::uniform(1.0 * MS, 4.0 * MS).unwrap(),
        Delay::wait(8.0 * MS, 0.1).unwrap(),
        Delay::triangular(2.0 * MS, 3.0 * MS, 9.0 * MS).unwrap(),
        Delay::sample(vec![0.0, 1.0 * MS, 1.0 * MS, 5.5 * MS]).unwrap(),
        Delay::fixed(3.3 * MS).unwrap(),
    ];
    let exact = sum(&delays);
    let rough = Sum {
        shape: Shape::Grid(Grid::of(&delays.iter().collect::<Vec<_>>()).unwrap(), true),
        ..exact.clone()
    };
    assert_eq!(exact.bound(), 0.0);
    assert!(rough.bound() > 0.0 && rough.bound() < 1e-3 * MS);
    for i in 1..200 {
        let share = f64::from(i) / 200.0;
        let [a, b] = [&exact, &rough].map(|sum| sum.quantile(share).unwrap());
        assert!((a - b).abs() <= rough.bound() + 1e-12, "{share}: {a} {b}");
        let [a, b] = [&exact, &rough].map(|sum| sum.density(a).unwrap());
        // Of a density that is smooth over hundreds of steps.
        assert!((a - b).abs() <= 1e-3 * a.max(1.0), "{share}: {a} {b}");
    }
}

/// Of twenty sums of two samples nineteen are over long before the last one; all of it is spread by nanoseconds.
#[test]
fn a_share_that_is_met_but_for_rounding_is_met() {
    let first = vec![
        1.078_223_388_310_48e-7,
        0.05,
        0.014_201_656_526_300_253,
        6.541_339_340_198_267e-6,
        0.000_180_453_222_303_600_37,
    ];
    let second = vec![
        0.000_751_452_187_999_156_5,
        6.587_638_586_854_755e-5,
        0.013_244_180_122_301_703,
        0.000_135_153_348_836_387_67,
    ];
    let mut sums: Vec<f64> = first
        .iter()
        .flat_map(|a| second.iter().map(move |b| a + b))
        .collect();
    sums.sort_by(f64::total_cmp);
    let low = 1.721_947_891_010_129e-8;
    let [mode, high] = [4.531_227_492_835_069e-8, 5.255_239_922_860_386e-6];
    let measured = [
        Delay::sample(first).unwrap(),
        Delay::sample(second).unwrap(),
    ];
    for spread in [
        None,
        Some(Delay::triangular(low, mode, high).unwrap()),
        Some(Delay::triangular(low, mode, low + 0.5 * (high - low)).unwrap()),
        Some(Delay::uniform(low, high).unwrap()),
        Some(Delay::wait(high, 0.0).unwrap()),
    ] {
        let delays: Vec<&Delay> = measured.iter().chain(&spread).collect();
        let exact = Sum::of(&delays).unwrap();
        let dense = spread.is_some();
        let rough = Sum {
            shape: Shape::Grid(Grid::of(&delays).unwrap(), dense),
            ..exact.clone()
        };
        let width = if dense { high } else { 0.0 };
        for (i, pair) in sums.windows(2).enumerate() {
            // Where the sums lie closer together than what spreads them, the distribution does not stand still.
            if pair[1] - pair[0] < 2.0 * width {
                continue;
            }
            let share = (i + 1) as f64 / 20.0;
            for (sum, off) in [(&exact, 1e-12), (&rough, rough.bound() + 1e-12)] {
                let time = sum.quantile(share).unwrap();
                assert!(
                    time >= pair[0] - off && time <= pair[0] + width + off,
                    "{share} of {spread:?}: {time}, not {pair:?}",
                );
                // A millionth more has to wait for the next one.
                let later = sum.quantile(share + 1e-6).unwrap();
                assert!(later >= pair[1] - off, "{share} of {spread:?}: {later}");
            }
        }
    }
}
