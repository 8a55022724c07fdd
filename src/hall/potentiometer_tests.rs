use super::*;
use crate::Error;

#[test]
fn the_ends_of_the_travel_give_ground_and_supply() {
    let sensor = Potentiometer::new(PotentiometerSpec::new(3.0, 3.3)).unwrap();
    assert_eq!(sensor.output(0.0).unwrap(), 0.0);
    assert_eq!(sensor.output(3.0).unwrap(), 3.3);
    assert_eq!(sensor.share(0.75).unwrap(), 0.25);
}

#[test]
fn outside_the_travel_there_is_no_output() {
    let sensor = Potentiometer::new(PotentiometerSpec::new(3.0, 3.3)).unwrap();
    for angle in [-0.001, 3.001, 1e300, f64::NAN] {
        assert!(sensor.output(angle).is_err() && sensor.share(angle).is_err());
    }
    // 70 degrees on a travel of 60 is what it is; it is not 1.22 degrees.
    let short = Potentiometer::new(PotentiometerSpec::new(60.0 * DEG, 5.0)).unwrap();
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
fn travel_and_supply_are_told_as_given() {
    let sensor = Potentiometer::new(PotentiometerSpec::new(3.0, 3.3)).unwrap();
    let spec = sensor.spec();
    assert_eq!((spec.travel, spec.supply), (3.0, 3.3));
    assert_eq!((spec.mechanical_travel, spec.center), (3.0, 1.5));
}

#[test]
fn the_travel_is_plausible() {
    assert!(Potentiometer::new(PotentiometerSpec::new(5.0 * DEG, 5.0)).is_ok());
    assert!(Potentiometer::new(PotentiometerSpec::new(10.0 * TAU, 5.0)).is_ok());
    assert!(
        Potentiometer::new(PotentiometerSpec::new(3.0, 0.5)).is_ok()
            && Potentiometer::new(PotentiometerSpec::new(3.0, 40.0)).is_ok()
    );
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
            Potentiometer::new(PotentiometerSpec::new(travel, supply)),
            Err(Error::OutOfRange { .. } | Error::NotFinite { .. })
        ));
    }
}
