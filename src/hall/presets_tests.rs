use super::*;
use crate::Error;

#[test]
fn every_row_makes_its_part() {
    let rows = continuous()
        .chain(chopped())
        .chain(fixed())
        .chain(angle_sensors())
        .chain(potentiometers())
        .chain(converters());
    let mut count = 0;
    for (name, device, sources) in rows {
        assert!(device.is_ok(), "{name}: {device:?}");
        assert!(
            !sources.is_empty() && sources.iter().all(|s| !s.covers.is_empty()),
            "{name}"
        );
        count += 1;
    }
    assert_eq!((count, TypicalPart::all().len()), (22, 22));
}

#[test]
fn every_part_is_found_by_its_name_and_no_two_share_one() {
    for part in TypicalPart::all() {
        assert_eq!(&TypicalPart::named(&part.name).unwrap(), part);
        let shouted = part.name.to_uppercase().replace(' ', "_");
        assert_eq!(TypicalPart::named(&shouted).unwrap().name, part.name);
        let same = TypicalPart::all()
            .iter()
            .filter(|other| other.name == part.name);
        assert_eq!(same.count(), 1);
        let found = match &part.device {
            TypicalDevice::LinearHall(one) => LinearHall::named(&part.name).as_ref() == Ok(one),
            TypicalDevice::Angle(one) => AngleSensor::named(&part.name).as_ref() == Ok(one),
            TypicalDevice::Potentiometer(one) => {
                Potentiometer::named(&part.name).as_ref() == Ok(one)
            }
            TypicalDevice::Converter(one) => Converter::named(&part.name).as_ref() == Ok(one),
        };
        assert!(found, "{}", part.name);
    }
}

#[test]
fn a_name_of_another_kind_is_unknown() {
    for error in [
        LinearHall::named("12 bit 3.3 V").unwrap_err(),
        Converter::named("shaft end 12 bit").unwrap_err(),
        AngleSensor::named("").unwrap_err(),
        Potentiometer::named("10 kilohm").unwrap_err(),
        TypicalPart::named("nothing of the kind").unwrap_err(),
    ] {
        assert!(matches!(error, Error::UnknownName { .. }));
    }
    let error = Potentiometer::named("10 kilohm").unwrap_err().to_string();
    assert_eq!(
        error,
        "typical potentiometer '10 kilohm' is not known; nearest to it: 10 kilohm 300 degrees"
    );
}

#[test]
fn the_noise_of_an_angle_is_that_which_is_told() {
    let field = nalgebra::Vector3::new(0.0, 50.0 * MT, 0.0);
    for (name, degrees) in [("shaft end 12 bit", 0.03), ("shaft end 14 bit", 0.015)] {
        let noise = AngleSensor::named(name)
            .unwrap()
            .noise_angle(&field)
            .unwrap();
        // The two digits of the noise in tesla.
        assert!((noise / DEG - degrees).abs() < 0.0005);
    }
}
