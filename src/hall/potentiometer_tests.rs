use super::*;
use crate::Error;

const ROUNDING: f64 = 16.0 * f64::EPSILON;

fn ideal(travel: f64, supply: f64) -> Potentiometer {
    Potentiometer::new(PotentiometerSpec::new(travel, supply)).unwrap()
}

/// An invented part that stands still for 0.1 rad at either end.
fn real() -> PotentiometerSpec {
    PotentiometerSpec {
        mechanical_travel: 5.2,
        resistance: 10e3,
        end_resistances: [20.0, 30.0],
        linearity: 0.02,
        noise: 0.2e-3,
        noise_resistance: 100.0,
        load: Some(47e3),
        center: 2.0,
        ..PotentiometerSpec::new(5.0, 3.3)
    }
}

#[test]
fn the_ends_of_the_travel_give_ground_and_supply() {
    let sensor = ideal(3.0, 3.3);
    assert_eq!(sensor.output(0.0).unwrap(), 0.0);
    assert_eq!(sensor.output(3.0).unwrap(), 3.3);
    assert_eq!(sensor.share(0.75).unwrap(), 0.25);
    assert_eq!(sensor.output_range(), [0.0, 3.3]);
    assert_eq!(
        (sensor.max_loading_error(), sensor.linearity_error()),
        (0.0, 0.0)
    );
    assert!((sensor.slope(1.0).unwrap() - 1.1).abs() < ROUNDING);
}

#[test]
fn outside_the_travel_there_is_no_output() {
    let sensor = ideal(3.0, 3.3);
    for angle in [-0.001, 3.001, 1e300, f64::NAN] {
        assert!(sensor.output(angle).is_err() && sensor.share(angle).is_err());
        assert!(sensor.slope(angle).is_err() && sensor.loading_error(angle).is_err());
        assert!(sensor.contact_error(angle).is_err() && sensor.source_resistance(angle).is_err());
    }
    // 70 degrees on a travel of 60 is what it is; it is not 1.22 degrees.
    let short = ideal(60.0 * DEG, 5.0);
    let error = short.share(70.0 * DEG).unwrap_err().to_string();
    assert!(
        error.starts_with("throw = 1.22") && !error.contains("did you mean"),
        "{error}"
    );
    // 150 degrees, given as such.
    let error = sensor.output(150.0).unwrap_err().to_string();
    assert!(error.ends_with("did you mean 150 * DEG?"), "{error}");
}

#[test]
fn a_data_sheet_is_told_as_it_was_given() {
    let sensor = ideal(3.0, 3.3);
    let spec = sensor.spec();
    assert_eq!((spec.travel, spec.supply), (3.0, 3.3));
    assert_eq!((spec.mechanical_travel, spec.center), (3.0, 1.5));
    assert_eq!(Potentiometer::new(real()).unwrap().spec(), &real());
}

#[test]
fn the_output_is_that_of_the_nodal_equation() {
    let sensor = Potentiometer::new(real()).unwrap();
    for i in 0..=20 {
        let angle = f64::from(i) * 0.25;
        let below = 20.0 + 10e3 * angle / 5.0;
        let above = 30.0 + 10e3 * (1.0 - angle / 5.0);
        let volts = sensor.output(angle).unwrap();
        // Currents at the wiper: what comes from the supply goes through the track and the load.
        let rest = (3.3 - volts) / above - volts / below - volts / 47e3;
        assert!(rest.abs() < 1e-15, "{angle}: {rest}");
        let unloaded = 3.3 * below / (below + above);
        let error = sensor.loading_error(angle).unwrap();
        assert!((unloaded - volts - error).abs() < ROUNDING * 3.3);
        assert!((sensor.contact_error(angle).unwrap() - 100.0 * volts / 47e3).abs() < ROUNDING);
        let source = sensor.source_resistance(angle).unwrap();
        assert!((source * (1.0 / below + 1.0 / above) - 1.0).abs() < ROUNDING);
    }
    assert_eq!(sensor.linearity_error(), 0.02 * 3.3);
}

#[test]
fn beyond_the_electrical_travel_the_output_stands() {
    let sensor = Potentiometer::new(real()).unwrap();
    let [least, most] = sensor.mechanical_range();
    assert!((least + 0.1).abs() < ROUNDING && (most - 5.1).abs() < ROUNDING);
    let [low, high] = sensor.output_range();
    assert_eq!(
        (sensor.output(least).unwrap(), sensor.output(most).unwrap()),
        (low, high)
    );
    assert_eq!(
        (sensor.slope(-0.05).unwrap(), sensor.slope(5.05).unwrap()),
        (0.0, 0.0)
    );
    assert!(sensor.slope(0.0).unwrap() > 0.0 && sensor.slope(5.0).unwrap() > 0.0);
    assert!(sensor.output(least.next_down()).is_err() && sensor.output(most.next_up()).is_err());
    // 20 ohm of 10,050 at the end, hardly loaded.
    assert!((low - 3.3 * 20.0 / 10_050.0).abs() < 1e-5);
}

#[test]
fn the_slope_is_the_difference_quotient() {
    let sensor = Potentiometer::new(PotentiometerSpec {
        load: Some(3e3),
        ..real()
    })
    .unwrap();
    for i in 1..20 {
        let angle = f64::from(i) * 0.25;
        let at = |angle| sensor.output(angle).unwrap();
        let quotient = (at(angle + 1e-5) - at(angle - 1e-5)) / 2e-5;
        // The third derivative times the square of the step, and roundings over it.
        assert!((sensor.slope(angle).unwrap() - quotient).abs() < 1e-9);
    }
}

#[test]
fn the_angle_is_found_again_at_any_load() {
    for load in [
        None,
        Some(1e12),
        Some(1e6),
        Some(10e3),
        Some(1e3),
        Some(10.0),
    ] {
        let sensor = Potentiometer::new(PotentiometerSpec { load, ..real() }).unwrap();
        for i in 0..=50 {
            let angle = f64::from(i) * 0.1;
            let found = sensor.angle_for(sensor.output(angle).unwrap()).unwrap();
            // Volts and angle lose the digits that the load takes: at most T/R_in of them.
            let lost = 1.0 + load.map_or(0.0, |load| 1e4 / load);
            assert!(
                (found - angle).abs() < 64.0 * f64::EPSILON * lost,
                "{load:?} {angle} {found}"
            );
        }
    }
    let sensor = Potentiometer::new(real()).unwrap();
    let [low, high] = sensor.output_range();
    assert_eq!(sensor.angle_for(low).unwrap(), 0.0);
    assert!((sensor.angle_for(high).unwrap() - 5.0).abs() < ROUNDING);
    for volts in [low - 1e-9, high + 1e-9, f64::NAN] {
        assert!(sensor.angle_for(volts).is_err());
    }
}

#[test]
fn the_worst_loading_error_is_that_of_a_fine_grid() {
    for load in [1e7, 1e6, 47e3, 10e3, 1e3, 10.0] {
        let sensor = Potentiometer::new(PotentiometerSpec {
            load: Some(load),
            ..real()
        })
        .unwrap();
        let errors = (0..=10_000).map(|i| sensor.loading_error(f64::from(i) * 5e-4).unwrap());
        let grid = errors.fold(0.0, f64::max);
        let worst = sensor.max_loading_error();
        // Between two places of the grid the error is higher by its curvature times their distance squared; with the
        // heaviest load by a thousandth of a thousandth.
        assert!(
            worst >= grid && worst < grid * (1.0 + 1e-4),
            "{load}: {worst} {grid}"
        );
    }
}

#[test]
fn a_light_load_lowers_the_output_by_four_twenty_sevenths() {
    let sensor = Potentiometer::new(PotentiometerSpec {
        load: Some(1e8),
        ..PotentiometerSpec::new(5.0, 5.0)
    })
    .unwrap();
    // R/R_in = 1e-4; the next order is about R/R_in of it.
    let worst = 5.0 * 4.0 / 27.0 * 1e-4;
    assert!((sensor.max_loading_error() / worst - 1.0).abs() < 1e-4);
    assert!((sensor.loading_error(10.0 / 3.0).unwrap() / worst - 1.0).abs() < 1e-4);
}

#[test]
fn many_are_as_one() {
    let sensor = Potentiometer::new(real()).unwrap();
    let given = [0.0, -0.05, 2.5, 6.0, f64::NAN, 5.1];
    let many = sensor.outputs(&given);
    assert_eq!(many.valid, [true, true, true, false, false, true]);
    for (i, angle) in given.into_iter().enumerate() {
        assert_eq!(
            sensor.output(angle).ok(),
            many.valid[i].then_some(many.values[i])
        );
    }
    assert!(many.values[3].is_nan() && many.values[4].is_nan());
}

#[test]
fn the_travel_is_plausible() {
    let new = |travel, supply| Potentiometer::new(PotentiometerSpec::new(travel, supply));
    assert!(new(5.0 * DEG, 5.0).is_ok());
    assert!(new(10.0 * TAU, 5.0).is_ok());
    assert!(new(3.0, 0.5).is_ok() && new(3.0, 40.0).is_ok());
    for (travel, supply) in [
        (4.9 * DEG, 5.0),
        (10.1 * TAU, 5.0),
        ((5.0 * DEG).next_down(), 5.0),
        ((10.0 * TAU).next_up(), 5.0),
        (1.0, 0.0),
        (1.0, 0.5_f64.next_down()),
        (1.0, 40.0_f64.next_up()),
        (1.0, f64::NAN),
    ] {
        assert!(matches!(
            new(travel, supply),
            Err(Error::OutOfRange { .. } | Error::NotFinite { .. })
        ));
    }
}

#[test]
fn each_slip_is_named() {
    type Slip = (&'static str, fn(&mut PotentiometerSpec));
    let cases: [Slip; 15] = [
        ("mechanical travel", |s| s.mechanical_travel = 4.9),
        ("mechanical travel", |s| s.mechanical_travel = 70.0),
        ("resistance of the track", |s| s.resistance = 9.9),
        ("resistance of the track", |s| s.resistance = 1.1e7),
        ("end resistance to ground", |s| s.end_resistances[0] = -1.0),
        ("end resistance to the supply", |s| {
            s.end_resistances[1] = 5001.0
        }),
        ("independent linearity", |s| s.linearity = 0.21),
        ("independent linearity", |s| s.linearity = -0.01),
        ("noise of the wiper", |s| s.noise = 0.11),
        ("equivalent noise resistance", |s| {
            s.noise_resistance = 5001.0
        }),
        ("resistance of the converter's input", |s| {
            s.load = Some(9.9)
        }),
        ("resistance of the converter's input", |s| {
            s.load = Some(f64::INFINITY)
        }),
        ("center on the electrical travel", |s| s.center = 5.01),
        ("center on the electrical travel", |s| s.center = -0.01),
        ("electrical travel", |s| s.travel = f64::NAN),
    ];
    for (name, spoil) in cases {
        let mut spec = real();
        spoil(&mut spec);
        let text = Potentiometer::new(spec).unwrap_err().to_string();
        assert!(text.starts_with(name), "{name}: {text}");
    }
    let widest = PotentiometerSpec {
        mechanical_travel: 10.5 * TAU,
        end_resistances: [5e3; 2],
        linearity: 0.2,
        noise: 0.1,
        noise_resistance: 5e3,
        load: Some(10.0),
        center: 5.0,
        ..real()
    };
    assert!(Potentiometer::new(widest).is_ok());
}
