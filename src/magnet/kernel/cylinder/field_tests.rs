use nalgebra::Matrix3;

use super::*;
use crate::magnet::kernel::cylinder::gradient::{add_gradients, gradient};

/// Every way to compute a field: one point, and the batch with and without fused multiply-add, whichever this machine
/// would choose.
#[test]
fn all_paths_agree() {
    let shapes = [
        (0.01, 0.0, 0.007),
        (0.01, 0.004, 0.007),
        (0.02, 0.01998, 0.0001),
        (0.003, 0.0, 0.3),
    ];
    let pose = Isometry3::new(
        Vector3::new(0.01, -0.02, 0.03),
        Vector3::new(0.3, -1.1, 0.6),
    );
    let j = Vector3::new(0.5, -0.7, 0.6);
    let axes = [Vector3::x(), Vector3::y(), Vector3::z()];
    for (outer, inner, length) in shapes {
        let size = outer + length;
        let point = |i: usize| {
            // An additive recurrence with the powers of the root of x^4 = x + 1 spreads evenly; ever farther out.
            let step = Vector3::new(0.819_172_513, 0.671_043_607, 0.549_700_478);
            let share = (step * i as f64).map(f64::fract);
            let reach = 0.4 * size * 1.02_f64.powi(i as i32);
            pose * Point3::from(share.map(|s| (2.0 * s - 1.0) * reach))
        };
        let points: Vec<_> = (1..300).map(point).collect();
        let one = |j: &Vector3<f64>, point: &Point3<f64>| {
            field::<true>(&Placed::new(outer, inner, length, j, &pose), point)
        };
        let placed = Placed::new(outer, inner, length, &j, &pose);
        let mut fused = vec![Vector3::zeros(); points.len()];
        let mut plain = fused.clone();
        add_fields::<true, true>(&placed, &points, &mut fused);
        add_fields::<false, true>(&placed, &points, &mut plain);
        for (i, point) in points.iter().enumerate() {
            let scale = axes.iter().map(|axis| one(axis, point).norm()).sum::<f64>() * j.norm();
            let b = one(&j, point);
            // A few ulp of the parts, times what the closed form may lose before the other one takes over.
            let tolerance = 4.0 * f64::EPSILON * MAX_LOSS * scale;
            assert!((fused[i] - b).norm() <= tolerance, "fused, {outer} {point}");
            assert!((plain[i] - b).norm() <= tolerance, "plain, {outer} {point}");
        }
        let mut fused = vec![Vector3::zeros(); points.len()];
        let mut plain = fused.clone();
        add_fields::<true, false>(&placed, &points, &mut fused);
        add_fields::<false, false>(&placed, &points, &mut plain);
        for (i, point) in points.iter().enumerate() {
            let h = |j: &Vector3<f64>| {
                field::<false>(&Placed::new(outer, inner, length, j, &pose), point)
            };
            let scale = axes.iter().map(|axis| h(axis).norm()).sum::<f64>() * j.norm();
            let tolerance = 4.0 * f64::EPSILON * MAX_LOSS * scale;
            assert!((fused[i] - h(&j)).norm() <= tolerance, "H fused, {point}");
            assert!((plain[i] - h(&j)).norm() <= tolerance, "H plain, {point}");
        }
        let mut fused = vec![Matrix3::zeros(); points.len()];
        let mut plain = fused.clone();
        add_gradients::<true>(&placed, &points, &mut fused);
        add_gradients::<false>(&placed, &points, &mut plain);
        for (i, point) in points.iter().enumerate() {
            let g =
                |j: &Vector3<f64>| gradient(&Placed::new(outer, inner, length, j, &pose), point);
            let scale = axes.iter().map(|axis| g(axis).norm()).sum::<f64>() * j.norm();
            let tolerance = 4.0 * f64::EPSILON * MAX_LOSS * scale;
            assert!(
                (fused[i] - g(&j)).norm() <= tolerance,
                "gradient fused, {point}"
            );
            assert!(
                (plain[i] - g(&j)).norm() <= tolerance,
                "gradient plain, {point}"
            );
        }
    }
}

/// Close to the mantle rho - a must come from the squares: the root alone would leave an ulp of rho.
#[test]
fn rho_less_a_to_the_last_bit() {
    // 3-4-5, exactly; then x up by 2^-50, which moves rho by 3/5 2^-50 and the square's remainder by less than the
    // tolerance.
    let excess_at = |x: f64, y: f64| excess(x, y, x.hypot(y), 5.0);
    assert_eq!(excess_at(3.0, 4.0), 0.0);
    let step = 2_f64.powi(-50);
    let moved = excess_at(3.0 + step, 4.0);
    assert!((moved / (0.6 * step) - 1.0).abs() < 1e-15, "{moved:e}");
}
