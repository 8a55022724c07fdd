use super::{Corner, departures};
use crate::numeric::line::{minimax, terminal};

/// Parts of the greatest value, by two routes of some hundred roundings each.
const ROUNDING: f64 = 1e-13;

/// Curves of all kinds: straight, bent, waves, steps as rails make them, flat, one corner, noise of a generator.
fn curves(x: &[f64]) -> Vec<Vec<f64>> {
    let mut seed = 1_u64;
    let mut noise = || {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
        (seed >> 33) as f64 / f64::from(1_u32 << 31)
    };
    let of = |f: &dyn Fn(f64) -> f64| x.iter().map(|x| f(*x)).collect::<Vec<f64>>();
    let mut all = vec![
        of(&|x| 2.0 + 3.0 * x),
        of(&|x| x * x),
        of(&|x| -x * x),
        of(&|x| x * x * x - 0.2 * x),
        of(&|x| (3.0 * x).tanh()),
        of(&|x| (2.0 * x).clamp(-0.7, 0.9)),
        of(&|_| 0.0),
        of(&|_| 1.7),
        of(&|x| x.abs()),
        of(&|x| 1e160 * x * x),
        of(&|x| 1e-160 * x.powi(3)),
        of(&|x| (9.0 * x).sin()),
        of(&|x| 1e6 + 1e-6 * x * x),
    ];
    all.extend((0..51).map(|_| x.iter().map(|_| noise()).collect()));
    all
}

#[test]
fn they_are_those_of_one_line_at_a_time() {
    for count in [2, 3, 5, 41, 64] {
        let x: Vec<f64> = (0..count)
            .map(|i| -1.0 + 2.0 * f64::from(i) / f64::from(count - 1))
            .collect();
        for four in curves(&x).chunks(4).filter(|four| four.len() == 4) {
            let y: Vec<[f64; 4]> = (0..x.len())
                .map(|i| [four[0][i], four[1][i], four[2][i], four[3][i]])
                .collect();
            let [independent, ends] = departures::<true, 4>(&x, &y, &[]);
            let plain = departures::<false, 4>(&x, &y, &[]);
            for (l, curve) in four.iter().enumerate() {
                let size = curve.iter().fold(0.0_f64, |most, y| most.max(y.abs()));
                let (_, best) = minimax(&x, curve);
                let (_, through) = terminal(&x, curve);
                for (value, expected) in [
                    (independent[l], best),
                    (plain[0][l], best),
                    (ends[l], through),
                    (plain[1][l], through),
                ] {
                    assert!(
                        (value - expected).abs() <= ROUNDING * size,
                        "{count} {curve:?}: {value} {expected}"
                    );
                }
            }
        }
    }
}

/// A lane gives the same bits beside any neighbors.
#[test]
fn neighbors_change_nothing() {
    let x: Vec<f64> = (0..41).map(f64::from).collect();
    let all = curves(&x);
    for curve in &all[..12] {
        let alone: Vec<[f64; 1]> = curve.iter().map(|y| [*y]).collect();
        let [[independent], [ends]] = departures::<false, 1>(&x, &alone, &[]);
        for other in &all {
            let beside: Vec<[f64; 2]> = curve.iter().zip(other).map(|(a, b)| [*a, *b]).collect();
            let found = departures::<false, 2>(&x, &beside, &[]);
            assert_eq!([found[0][0], found[1][0]], [independent, ends]);
        }
    }
}

/// A corner counts as a point of the characteristic does, wherever each has it.
#[test]
fn corners_count() {
    let x: Vec<f64> = (0..41).map(|i| f64::from(i) / 20.0 - 1.0).collect();
    // A line held by rails at other places in each lane; the first of the four has none.
    let limits = [
        [-9.0, 9.0],
        [-0.337, 0.611],
        [-0.999, 0.05],
        [-0.025, 0.026],
    ];
    let y: Vec<[f64; 4]> = x
        .iter()
        .map(|x| limits.map(|[low, high]| x.clamp(low, high)))
        .collect();
    let corner = |side: usize| {
        let at = limits.map(|limits| {
            if limits[side].abs() > 1.0 {
                x[0]
            } else {
                limits[side]
            }
        });
        Corner { x: at, y: at }
    };
    let [independent, ends] = departures::<false, 4>(&x, &y, &[corner(0), corner(1)]);
    for (l, limits) in limits.iter().enumerate() {
        let mut places = x.clone();
        places.extend(limits.iter().filter(|limit| limit.abs() < 1.0));
        places.sort_by(f64::total_cmp);
        let held: Vec<f64> = places
            .iter()
            .map(|x| x.clamp(limits[0], limits[1]))
            .collect();
        let (_, best) = minimax(&places, &held);
        let (_, through) = terminal(&places, &held);
        assert!(
            (independent[l] - best).abs() < ROUNDING,
            "{l} {} {best}",
            independent[l]
        );
        assert!(
            (ends[l] - through).abs() < ROUNDING,
            "{l} {} {through}",
            ends[l]
        );
    }
    // Without them the greatest departure lies between two places.
    let [without, _] = departures::<false, 4>(&x, &y, &[]);
    assert!(without[1] < independent[1] - 1e-4);
}
