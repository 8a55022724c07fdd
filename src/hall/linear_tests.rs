use super::*;

/// An invented part, given at 5 V and supplied with 4 V.
fn spec() -> LinearHallSpec {
    LinearHallSpec {
        supply: 4.0,
        nominal_supply: 5.0,
        quiescent: 2.5,
        sensitivity: 50.0,
        rail_low: 0.1,
        rail_headroom: 0.2,
        noise: 1e-3,
        depth: 0.7e-3,
        direction: Vector3::new(0.0, 0.0, -3.0),
        ..LinearHallSpec::new(5.0, 25.0)
    }
}

fn quantity(error: &Error) -> &'static str {
    match error {
        Error::OutOfRange { quantity, .. }
        | Error::NotFinite { quantity, .. }
        | Error::NotAscending { quantity, .. }
        | Error::NoDirection { quantity } => quantity,
        other => panic!("unexpected {other:?}"),
    }
}

#[test]
fn everything_but_the_rails_scales_with_the_supply() {
    let sensor = LinearHall::new(spec()).unwrap();
    assert_eq!(sensor.quiescent_output(), 2.0);
    assert_eq!(sensor.gain(), 40.0);
    assert_eq!(sensor.output_noise(), 0.8e-3);
    assert_eq!(sensor.output_range(), [0.1, 3.8]);
    // (0.1 - 2) / 40 and (3.8 - 2) / 40 T
    let [low, high] = sensor.flux_range();
    assert!((low + 0.0475).abs() < 1e-15 && (high - 0.045).abs() < 1e-15);
}

#[test]
fn output_is_held_at_the_rails_only_where_it_clips() {
    let sensor = LinearHall::new(spec()).unwrap();
    assert_eq!(sensor.output(0.01).unwrap(), 2.4);
    assert_eq!(sensor.output(1.0).unwrap(), 3.8);
    assert_eq!(sensor.output(-1.0).unwrap(), 0.1);
    assert_eq!(sensor.unclipped_output(1.0).unwrap(), 42.0);
    assert!(!sensor.clips(0.0449) && sensor.clips(0.0451));
    assert!(!sensor.clips(-0.0474) && sensor.clips(-0.0476));
    // The product with the gain overflows; the rail still holds.
    assert_eq!(sensor.output(-1e308).unwrap(), 0.1);
}

#[test]
fn a_flux_that_is_not_finite_is_refused_or_masked() {
    let sensor = LinearHall::new(spec()).unwrap();
    for flux in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        assert_eq!(quantity(&sensor.output(flux).unwrap_err()), "flux density");
        assert!(sensor.clips(flux));
    }
    let outputs = sensor.outputs(&[0.01, f64::NAN, f64::INFINITY, -1.0]);
    assert_eq!(outputs.valid, [true, false, false, true]);
    assert_eq!((outputs.values[0], outputs.values[3]), (2.4, 0.1));
    assert!(outputs.values[1].is_nan() && outputs.values[2].is_nan());
}

#[test]
fn the_direction_has_length_one_and_is_kept_when_read_back() {
    let sensor = LinearHall::new(spec()).unwrap();
    assert_eq!(sensor.direction(), -Vector3::z());
    assert_eq!(sensor.active_point(), Point3::new(0.0, 0.0, -0.7e-3));
    for v in [[1.0, 2.0, 3.0], [1e-200, 1e-200, 0.0], [1e300, -1e300, 7.0]] {
        let once = unit("direction", &Vector3::from(v)).unwrap();
        assert!((once.norm() - 1.0).abs() <= 2.0 * f64::EPSILON);
        assert_eq!(unit("direction", &once).unwrap(), once);
    }
}

#[test]
fn each_slip_is_named() {
    type Slip = (&'static str, fn(&mut LinearHallSpec));
    let cases: [Slip; 13] = [
        ("sensor supply", |s| s.supply = 1.4),
        ("sensor supply", |s| s.supply = f64::NAN),
        ("nominal supply", |s| s.nominal_supply = 41.0),
        ("quiescent output", |s| s.quiescent = -0.1),
        ("sensitivity", |s| s.sensitivity = 0.05),
        ("low rail", |s| s.rail_low = -0.1),
        ("rail headroom", |s| s.rail_headroom = f64::INFINITY),
        ("sensor noise", |s| s.noise = 150.0),
        ("depth of the active area", |s| s.depth = 0.5),
        ("sensitive direction", |s| s.direction.x = f64::NAN),
        ("sensitive direction", |s| s.direction = Vector3::zeros()),
        ("output rails", |s| {
            (s.rail_low, s.rail_headroom) = (2.0, 2.0)
        }),
        ("quiescent output at the supply", |s| s.quiescent = 4.9),
    ];
    for (name, spoil) in cases {
        let mut spoiled = spec();
        spoil(&mut spoiled);
        assert_eq!(quantity(&LinearHall::new(spoiled).unwrap_err()), name);
    }
}

/// A part that takes both ends of every range: rails at ground and supply, no output without field, no noise, no depth.
fn widest() -> LinearHallSpec {
    LinearHallSpec {
        supply: 10.0,
        nominal_supply: 10.0,
        quiescent: 0.0,
        sensitivity: 1.0,
        rail_low: 0.0,
        rail_headroom: 0.0,
        noise: 0.0,
        depth: 0.0,
        direction: Vector3::z(),
        ..LinearHallSpec::new(5.0, 25.0)
    }
}

#[test]
fn the_ends_of_each_range_are_allowed_and_nothing_beyond() {
    type Range = (&'static str, fn(&mut LinearHallSpec, f64), f64, f64);
    let ranges: [Range; 6] = [
        ("sensor supply", |s, x| s.supply = x, 1.5, 40.0),
        ("nominal supply", |s, x| s.nominal_supply = x, 1.5, 40.0),
        ("quiescent output", |s, x| s.quiescent = x, 0.0, 10.0),
        ("sensitivity", |s, x| s.sensitivity = x, 0.1, 2000.0),
        ("sensor noise", |s, x| s.noise = x, 0.0, 0.1),
        ("depth of the active area", |s, x| s.depth = x, 0.0, 5e-3),
    ];
    for (name, set, least, most) in ranges {
        let with = |value| {
            let mut spec = widest();
            set(&mut spec, value);
            LinearHall::new(spec)
        };
        assert!(with(least).is_ok() && with(most).is_ok(), "{name}");
        for beyond in [least.next_down(), most.next_up()] {
            let Error::OutOfRange {
                quantity,
                value,
                min,
                max,
                ..
            } = with(beyond).unwrap_err()
            else {
                panic!("{name} is out of its range")
            };
            assert_eq!((quantity, value, min, max), (name, beyond, least, most));
        }
    }
}

#[test]
fn the_rails_lie_within_the_supply_and_leave_a_span() {
    let with = |rail_low: f64, rail_headroom: f64| {
        LinearHall::new(LinearHallSpec {
            quiescent: 5.0,
            rail_low,
            rail_headroom,
            ..widest()
        })
    };
    // The quiescent output may stand at either rail.
    assert!(with(5.0, 0.0).is_ok() && with(0.0, 5.0).is_ok());
    assert!(with(5.0, 4.999).is_ok());
    for (low, headroom, name) in [
        (-5e-324, 0.0, "low rail"),
        (10.0_f64.next_up(), 0.0, "low rail"),
        (0.0, -5e-324, "rail headroom"),
        (0.0, 10.0_f64.next_up(), "rail headroom"),
        (5.0, 5.0, "output rails"),
        (10.0, 0.0, "output rails"),
        (0.0, 10.0, "output rails"),
        (5.0_f64.next_up(), 0.0, "quiescent output at the supply"),
        (0.0, 5.0_f64.next_up(), "quiescent output at the supply"),
    ] {
        assert_eq!(quantity(&with(low, headroom).unwrap_err()), name);
    }
}

#[test]
fn a_data_sheet_is_told_as_it_was_given() {
    let sensor = LinearHall::new(spec()).unwrap();
    assert_eq!((sensor.supply(), sensor.nominal_supply()), (4.0, 5.0));
    assert_eq!((sensor.quiescent(), sensor.sensitivity()), (2.5, 50.0));
    assert_eq!((sensor.rail_low(), sensor.rail_headroom()), (0.1, 0.2));
    assert_eq!((sensor.noise(), sensor.depth()), (1e-3, 0.7e-3));
}

#[test]
fn a_depth_in_millimetres_brings_a_hint() {
    let error = LinearHall::new(LinearHallSpec {
        depth: 0.5,
        ..spec()
    })
    .unwrap_err();
    assert!(
        error.to_string().ends_with("did you mean 0.5 * MM?"),
        "{error}"
    );
}

#[test]
fn a_noise_in_millivolts_brings_a_hint() {
    let noise = |noise| LinearHall::new(LinearHallSpec { noise, ..spec() });
    let error = noise(1.0).unwrap_err().to_string();
    assert_eq!(
        error,
        "sensor noise = 1 V is outside 0 to 0.1 V; did you mean 1 * MV?"
    );
    assert!(!noise(-1.0).unwrap_err().to_string().contains("mean"));
    assert!(!noise(150.0).unwrap_err().to_string().contains("mean"));
    assert!(noise(0.1).is_ok());
}

#[test]
fn serializes_as_its_data_sheet() {
    let json = serde_json::to_value(LinearHall::new(spec()).unwrap()).unwrap();
    assert_eq!(json["sensitivity"], 50.0);
    assert_eq!(json["direction"], serde_json::json!([0.0, 0.0, -1.0]));
}

#[test]
fn noise_is_the_density_integrated_over_a_single_pole() {
    let (density, sensitivity, bandwidth) = (130e-9, 25.0, 20e3);
    let noise = noise_from_density(density, sensitivity, bandwidth).unwrap();
    // Midpoint rule for the power gain of the filter up to 1000 bandwidths; above, it is (bandwidth / f)^2.
    let steps = 100_000;
    let width = 1000.0 / f64::from(steps);
    let gain = |i| 1.0 / (1.0 + ((f64::from(i) + 0.5) * width).powi(2));
    let passed = bandwidth * ((0..steps).map(gain).sum::<f64>() * width + 1e-3);
    let integrated = sensitivity * density * passed.sqrt();
    // Left out: the fourth-order tail, a third of 1e-9; the rule's own error is of order width^2 f'(0) = 0.
    assert!((noise / integrated - 1.0).abs() < 1e-8);

    assert!(noise_from_density(130.0, sensitivity, bandwidth).is_err());
    assert!(noise_from_density(density, f64::NAN, bandwidth).is_err());
    assert!(noise_from_density(density, sensitivity, 0.0).is_err());
    for (place, name, least, most) in [
        (0, "noise density", 0.0_f64, 1e-3_f64),
        (1, "sensitivity", 0.1, 2000.0),
        (2, "bandwidth", 1e-3, 1e7),
    ] {
        let with = |value| {
            let mut given = [density, sensitivity, bandwidth];
            given[place] = value;
            noise_from_density(given[0], given[1], given[2])
        };
        assert!(with(least).is_ok() && with(most).is_ok(), "{name}");
        for beyond in [least.next_down(), most.next_up()] {
            assert_eq!(quantity(&with(beyond).unwrap_err()), name);
        }
    }
}

/// A part that drifts with every term.
fn drifting() -> LinearHallSpec {
    LinearHallSpec {
        area: [0.2e-3, 0.3e-3],
        bandwidth: Some(2e4),
        variation: HallVariation {
            sensitivity_tolerance: 0.05,
            quiescent_tolerance: 0.1,
            sensitivity_drift: 0.001,
            quiescent_drift: -0.002,
            reference_celsius: 20.0,
        },
        ..spec()
    }
}

#[test]
fn a_warm_sensor_has_drifted_along_straight_lines() {
    let sensor = LinearHall::new(drifting()).unwrap();
    let warm = sensor.at_temperature(60.0).unwrap();
    // 40 K: 4 % of 50 V/T, and -80 mV.
    assert!((warm.sensitivity() - 52.0).abs() < 1e-13);
    assert!((warm.quiescent() - 2.42).abs() < 1e-15);
    let cold = sensor.at_temperature(-20.0).unwrap();
    assert!((cold.sensitivity() - 48.0).abs() < 1e-13);
    assert!((cold.quiescent() - 2.58).abs() < 1e-15);
    // The rest is as it was, and nothing is left to drift.
    let variation = HallVariation {
        sensitivity_drift: 0.0,
        quiescent_drift: 0.0,
        reference_celsius: 60.0,
        ..sensor.variation()
    };
    assert_eq!(warm.variation(), variation);
    assert_eq!(
        (warm.noise(), warm.area(), warm.bandwidth()),
        (1e-3, [0.2e-3, 0.3e-3], Some(2e4))
    );
    assert_eq!(
        warm.at_temperature(100.0).unwrap().sensitivity(),
        warm.sensitivity()
    );
    let unmoved = sensor.at_temperature(20.0).unwrap();
    assert_eq!((unmoved.sensitivity(), unmoved.quiescent()), (50.0, 2.5));
}

#[test]
fn a_drift_ends_where_no_such_sensor_is() {
    let sensor = LinearHall::new(drifting()).unwrap();
    for celsius in [-60.1, 200.1, f64::NAN] {
        let error = sensor.at_temperature(celsius).unwrap_err();
        assert_eq!(quantity(&error), "temperature of the sensor");
    }
    let with = |sensitivity_drift, quiescent_drift| {
        let variation = HallVariation {
            sensitivity_drift,
            quiescent_drift,
            ..drifting().variation
        };
        let sensor = LinearHall::new(LinearHallSpec {
            variation,
            ..drifting()
        });
        sensor.unwrap().at_temperature(150.0)
    };
    assert_eq!(
        quantity(&with(-0.01, 0.0).unwrap_err()),
        "sensitivity at the temperature"
    );
    assert_eq!(
        quantity(&with(0.0, -0.02).unwrap_err()),
        "quiescent output at the temperature"
    );
    // Within 0 to 5 V, but above the rail at a supply of 4 V.
    assert_eq!(
        quantity(&with(0.0, 0.0185).unwrap_err()),
        "quiescent output at the supply"
    );
    assert!(with(0.01, 0.01).is_ok());
}

#[test]
fn a_density_and_a_bandwidth_make_the_noise_and_come_back() {
    let spec = LinearHallSpec::new(5.0, 25.0)
        .with_noise_density(130e-9, 20e3)
        .unwrap();
    assert_eq!(spec.noise, noise_from_density(130e-9, 25.0, 20e3).unwrap());
    let sensor = LinearHall::new(spec).unwrap();
    assert_eq!(sensor.bandwidth(), Some(20e3));
    let density = sensor.noise_density().unwrap();
    assert!((density / 130e-9 - 1.0).abs() < 4.0 * f64::EPSILON);
    assert_eq!(LinearHall::new(widest()).unwrap().noise_density(), None);
    assert!(
        LinearHallSpec::new(5.0, 25.0)
            .with_noise_density(1.0, 20e3)
            .is_err()
    );
    assert!(
        LinearHallSpec::new(5.0, 25.0)
            .with_noise_density(1e-7, 0.0)
            .is_err()
    );
}

#[test]
fn the_ends_of_the_variation_are_allowed_and_nothing_beyond() {
    type Range = (&'static str, fn(&mut LinearHallSpec, f64), f64, f64);
    let ranges: [Range; 8] = [
        (
            "tolerance of the sensitivity",
            |s, x| s.variation.sensitivity_tolerance = x,
            0.0,
            0.5,
        ),
        (
            "tolerance of the quiescent output",
            |s, x| s.variation.quiescent_tolerance = x,
            0.0,
            10.0,
        ),
        (
            "drift of the sensitivity",
            |s, x| s.variation.sensitivity_drift = x,
            -0.01,
            0.01,
        ),
        (
            "drift of the quiescent output",
            |s, x| s.variation.quiescent_drift = x,
            -0.1,
            0.1,
        ),
        (
            "reference temperature",
            |s, x| s.variation.reference_celsius = x,
            -60.0,
            200.0,
        ),
        ("active area side x", |s, x| s.area[0] = x, 0.0, 5e-3),
        ("active area side y", |s, x| s.area[1] = x, 0.0, 5e-3),
        ("bandwidth", |s, x| s.bandwidth = Some(x), 1e-3, 1e9),
    ];
    for (name, set, least, most) in ranges {
        let with = |value| {
            let mut spec = widest();
            set(&mut spec, value);
            LinearHall::new(spec)
        };
        assert!(with(least).is_ok() && with(most).is_ok(), "{name}");
        for beyond in [least.next_down(), most.next_up(), f64::NAN] {
            assert_eq!(quantity(&with(beyond).unwrap_err()), name);
        }
    }
}

#[test]
fn a_data_sheet_of_before_the_drifts_is_read() {
    let mut json = serde_json::to_value(drifting()).unwrap();
    for key in ["area", "bandwidth", "variation"] {
        json.as_object_mut().unwrap().remove(key);
    }
    let read: LinearHallSpec = serde_json::from_value(json).unwrap();
    assert_eq!(read, spec());
    assert_eq!(HallVariation::default().reference_celsius, 25.0);
}

#[test]
fn an_output_that_follows_its_supply_has_no_ratiometry_error() {
    let at = |supply| {
        let spec = LinearHallSpec { supply, ..spec() };
        LinearHall::new(spec).unwrap().output(0.003).unwrap()
    };
    assert!(ratiometry_error(at(4.5), 4.5, at(5.0), 5.0).unwrap().abs() < f64::EPSILON);
    // 90 mV of 4.5 V.
    assert!((ratiometry_error(2.34, 4.5, 2.5, 5.0).unwrap() - 0.02).abs() < f64::EPSILON);
    for given in [
        [-0.1, 4.5, 2.5, 5.0],
        [2.3, 1.4, 2.5, 5.0],
        [2.3, 4.5, 41.0, 5.0],
        [2.3, 4.5, 2.5, f64::NAN],
    ] {
        assert!(ratiometry_error(given[0], given[1], given[2], given[3]).is_err());
    }
}
