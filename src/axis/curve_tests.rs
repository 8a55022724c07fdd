use super::*;

#[test]
fn a_grid_is_as_fine_as_it_must_be() {
    // A throw of 99.9 degrees takes 400 steps of a quarter of a degree, so 401 points.
    assert_eq!(grid_points([-49.95 * DEG, 49.95 * DEG], 3), 401);
    assert_eq!(grid_points([-49.95 * DEG, 49.95 * DEG], 402), 402);
    // A narrow one has 65 at least.
    assert_eq!(grid_points([-DEG, DEG], 3), 65);
    assert_eq!(grid_points([-DEG, DEG], 1000), 1000);
}

#[test]
fn a_parabola_turns_at_its_vertex() {
    // 3 - (x - 0.3)^2 on uneven places.
    let x = [0.0, 0.25, 1.0];
    let y = x.map(|x: f64| 3.0 - (x - 0.3) * (x - 0.3));
    let found: Vec<Vertex> = vertices(&x, &y).collect();
    let [vertex] = &found[..] else {
        panic!("one extreme")
    };
    // A few roundings of numbers up to 3.
    assert!((vertex.place - 0.3).abs() < 1e-15 && (vertex.value - 3.0).abs() < 1e-15);
    assert!((vertex.gain - 0.0025).abs() < 1e-15);
}

#[test]
fn the_least_value_is_followed_between_the_places() {
    let value = |x: f64| (x - 0.123).cosh();
    let x: Vec<f64> = (0..=10).map(|i| f64::from(i) * 0.1 - 0.5).collect();
    let y: Vec<f64> = x.iter().map(|&x| value(x)).collect();
    // Followed to 1e-11 of the range of the samples, 0.2.
    let found = least(x, y, |x| Ok(value(x))).expect("nothing refuses");
    assert!((found - 1.0).abs() < 1e-11, "{found}");
}
