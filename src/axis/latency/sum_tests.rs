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
