use super::*;

/// A fine analog output over a quarter of a turn.
fn quarter() -> AngleOutput {
    AngleOutput::Analog {
        supply: 5.0,
        low: 0.5,
        high: 4.5,
        range: 0.5 * PI,
    }
}

fn flux_at(angle: f64, size: f64) -> Vector3<f64> {
    let (sin, cos) = angle.sin_cos();
    Vector3::new(size * cos, size * sin, 0.0)
}

#[test]
fn an_ideal_sensor_reads_the_angle_of_the_field() {
    let sensor = AngleSensor::new(AngleSensorSpec::new(quarter())).unwrap();
    for i in -17..=18 {
        let angle = f64::from(i) * PI / 18.0;
        let read = sensor.angle(&flux_at(angle, 0.04)).unwrap();
        // A few roundings of angles up to pi.
        assert!((read - angle).abs() < 8.0 * f64::EPSILON, "{angle}: {read}");
    }
    // What does not lie in the plane counts for nothing.
    let field = Vector3::new(0.01, 0.01, 7.0);
    assert_eq!(sensor.angle(&field).unwrap(), 0.25 * PI);
}
