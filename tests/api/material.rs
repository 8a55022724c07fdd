//! What callers of the materials rely on.

use nalgebra::{Isometry3, Point3, Vector3};
use yokewright::magnet::material::{
    Condition, Grade, GradeSpec, Load, Provenance, RatedBound, RatedValue, WorkingPoint,
    demagnetizing,
};
use yokewright::magnet::{Block, Cylinder, FieldSource, Magnet, Ring};
use yokewright::units::{MM, MT};
use yokewright::{Error, Result};

fn text<T: std::fmt::Debug>(result: Result<T>) -> String {
    result.expect_err("this must be refused").to_string()
}

fn grade_with(change: impl FnOnce(&mut GradeSpec)) -> Result<Grade> {
    let mut spec = Grade::named("N42").unwrap().spec().clone();
    change(&mut spec);
    Grade::new(spec)
}

#[test]
fn an_unknown_grade_lists_the_nearest() {
    let message = text(Grade::named("N43"));
    assert_eq!(
        message,
        "magnet grade 'N43' is not known; nearest to it: N48, N45, N42, N40, N56"
    );
    // The beginning of a name: those that go on from there come first.
    let message = text(Grade::named("Y30"));
    assert!(message.contains("nearest to it: Y30BH"), "{message}");
    let message = text(Grade::named("smco 26 h"));
    assert!(message.contains("SmCo 26HS"), "{message}");
    assert!(text(Grade::named("")).contains("nearest to it: "));
}

#[test]
fn combinations_the_trade_does_not_make_are_refused() {
    for name in ["N52AH", "N56M", "N45EH", "N42HS", "N42 SH M", "Y30SH"] {
        let error = Grade::named(name).unwrap_err();
        assert!(
            matches!(error, Error::UnknownName { .. }),
            "{name}: {error}"
        );
    }
    assert!(text(Grade::named("N52AH")).contains("N52H"));
}

#[test]
fn a_combined_name_takes_from_both_classes() {
    let (combined, base) = (
        Grade::named("n42 sh").unwrap(),
        Grade::named("N42").unwrap(),
    );
    assert_eq!(combined.name(), "N42SH");
    assert_eq!(combined.remanence(), base.remanence());
    assert_eq!(combined.intrinsic_coercivity(), RatedValue::Min(1592e3));
    assert_eq!(combined.max_celsius(), 150.0);
    // The printed HcB belongs to the lower coercivity.
    assert_eq!(combined.normal_coercivity(), None);
}

/// The standard gives no temperatures, so its grades take those of the trade class whose coercivity they reach.
#[test]
fn grades_of_the_standard_take_the_class_they_reach() {
    for (name, like) in [
        ("REFe 290/80", "N42"),
        ("REFe 250/120", "N42M"),
        ("REFe 310/130", "N42M"),
        ("REFe 240/180", "N42SH"),
        ("REFe 250/240", "N42EH"),
    ] {
        let (standard, trade) = (Grade::named(name).unwrap(), Grade::named(like).unwrap());
        assert_eq!(standard.max_celsius(), trade.max_celsius(), "{name}");
        let coefficient = |grade: &Grade| grade.spec().coercivity_coefficient;
        assert_eq!(coefficient(&standard), coefficient(&trade), "{name}");
        let shown = standard.to_string();
        assert!(
            shown.contains("the highest trade class whose HcJ"),
            "{shown}"
        );
    }
}

#[test]
fn where_the_figures_come_from_is_shown() {
    let grade = Grade::named("Y30BH").unwrap();
    assert_eq!(grade.provenance(), Provenance::Seen);
    let shown = grade.to_string();
    assert!(
        shown.starts_with("Y30BH (sintered ferrite): Br 0.39 T (at least 0.38), HcJ 245 kA/m (at least 231), -40 to \
            250 degC; "),
        "{shown}"
    );
    for words in ["SJ 285-77", "(seen)", "(from memory)", "(common practice)"] {
        assert!(shown.contains(words), "{words}: {shown}");
    }
    let standard = Grade::named("REFe 310/130").unwrap();
    assert_eq!(standard.provenance(), Provenance::FromMemory);
    assert!(standard.to_string().contains("Br at least 1.3 T"));
    let nominal = Grade::named("Ceramic 5").unwrap().to_string();
    assert!(nominal.contains("HcJ about 198.9 kA/m"), "{nominal}");
}

#[test]
fn beyond_the_maximum_temperature() {
    let n42 = Grade::named("N42").unwrap();
    let message = text(n42.remanence_at(95.0, RatedBound::Nominal));
    assert_eq!(
        message,
        "grade N42 at 95 degC: its figures hold from -40 degC to its maximum working temperature of 80 degC; \
         choose a grade rated for that temperature"
    );
    assert!(n42.remanence_at(80.0, RatedBound::Nominal).is_ok());
    assert!(text(n42.knee_at(f64::NAN)).contains("not a finite number"));
}

#[test]
fn alnico_has_no_straight_line() {
    let grade = Grade::named("Alnico 5").unwrap();
    let message = text(WorkingPoint::new(
        &grade,
        RatedBound::Nominal,
        Load::alone(0.1),
    ));
    assert!(
        message.contains("Alnico 5 has a curved demagnetization curve"),
        "{message}"
    );
    assert!(grade.straight_energy_product().is_err());
    assert!(grade.knee_at(20.0).is_err());
    assert!(grade.remanence_at(100.0, RatedBound::Nominal).is_ok());
}

#[test]
fn slips_of_unit_are_caught() {
    let message = text(grade_with(|spec| {
        spec.remanence = RatedValue::Typical(1300.0)
    }));
    assert!(message.ends_with("did you mean 1300 * MT?"), "{message}");
    let message = text(grade_with(|spec| spec.remanence_coefficient = -0.12));
    assert!(
        message.contains("-0.12 1/K is outside -0.01 to 0.01 1/K"),
        "{message}"
    );
    let message = text(grade_with(|spec| spec.density = RatedValue::Typical(7.5)));
    assert!(message.contains("kg/m3"), "{message}");
    let message = text(grade_with(|spec| {
        spec.intrinsic_coercivity = RatedValue::Min(955.0)
    }));
    assert!(message.contains("A/m"), "{message}");
    let message = text(demagnetizing::cylinder(4.0, 8.0 * MM));
    assert!(message.ends_with("did you mean 4 * MM?"), "{message}");
}

#[test]
fn figures_that_contradict_each_other_are_refused() {
    type Change = fn(&mut GradeSpec);
    let changes: [(Change, &str); 8] = [
        (
            |s| s.remanence = RatedValue::MinMax(1.3, 1.2),
            "remanence: lower end 1.3 T",
        ),
        (
            |s| s.normal_coercivity = Some(RatedValue::Min(960e3)),
            "coercivity HcB",
        ),
        (|s| s.max_celsius = 160.0, "share of the coercivity left"),
        (
            |s| s.remanence_coefficient = 0.01,
            "share of the remanence left",
        ),
        (
            |s| s.curie_celsius = Some(RatedValue::Typical(70.0)),
            "Curie temperature",
        ),
        (|s| s.min_celsius = 25.0, "lowest temperature"),
        (|s| s.name.clear(), "letters of the grade's name"),
        (|s| s.sources.clear(), "sources of the grade"),
    ];
    for (change, words) in changes {
        let message = text(grade_with(|spec| {
            change(spec);
            // So that a coefficient of +1 %/K has something to run into.
            if spec.remanence_coefficient > 0.0 {
                spec.min_celsius = -200.0;
            }
        }));
        assert!(message.contains(words), "{words}: {message}");
    }
}

#[test]
fn a_ring_needs_a_wall() {
    let ring = |inner: f64| demagnetizing::ring(10.0 * MM, inner, 5.0 * MM);
    assert!(matches!(ring(10.0 * MM), Err(Error::NotAscending { .. })));
    assert!(matches!(ring(12.0 * MM), Err(Error::NotAscending { .. })));
    assert!(matches!(ring(0.0), Err(Error::OutOfRange { .. })));
    assert!(text(ring(10.0 * MM * (1.0 - 1e-6))).contains("ring wall"));
}

#[test]
fn every_shape_has_its_factors() {
    let (j, here) = (Vector3::z(), Isometry3::translation(1.0, 2.0, 3.0));
    let size = Vector3::new(4.0, 5.0, 6.0) * MM;
    let of = |magnet: Magnet| demagnetizing::of(&magnet).unwrap();
    let block = Block::new(size, j, here).unwrap();
    assert_eq!(of(block.into()), demagnetizing::block(&size).unwrap());
    let cylinder = Cylinder::new(size.y, size.x, j, here).unwrap();
    assert_eq!(
        of(cylinder.into()),
        demagnetizing::cylinder(size.y, size.x).unwrap()
    );
    let ring = Ring::new(size.z, size.x, size.y, j, here).unwrap();
    assert_eq!(
        of(ring.into()),
        demagnetizing::ring(size.z, size.x, size.y).unwrap()
    );
}

#[test]
fn no_direction_no_factor() {
    let factors = demagnetizing::sphere();
    let along = |direction: &Vector3<f64>| demagnetizing::along(&factors, direction);
    assert!(matches!(
        along(&Vector3::zeros()),
        Err(Error::NoDirection { .. })
    ));
    assert!(
        text(along(&Vector3::new(0.0, f64::NAN, 1.0))).contains("direction of polarization is NaN")
    );
}

#[test]
fn a_load_outside_its_ranges_is_refused() {
    let n42 = Grade::named("N42").unwrap();
    let point = |load: Load| WorkingPoint::new(&n42, RatedBound::Nominal, load);
    assert!(text(point(Load::alone(0.0))).contains("demagnetizing factor = 0"));
    assert!(point(Load::alone(1.2)).is_err());
    let load = Load {
        external_field: -2e7,
        ..Load::alone(0.3)
    };
    assert!(text(point(load)).contains("external field"));
    // Ten million A/m against ferrite of recoil permeability 1.2 leave nothing of it.
    let c1 = Grade::named("C1").unwrap();
    let load = Load {
        external_field: -1e7,
        ..load
    };
    let message = text(WorkingPoint::new(&c1, RatedBound::Nominal, load));
    assert!(message.contains("effective polarization"), "{message}");
}

/// A hand calculation: N42 of 1.3 T, mu_rec 1.05, a cube, 20 degC and 60 degC.
#[test]
fn the_working_point_of_a_cube() {
    let n42 = Grade::named("N42").unwrap();
    let load = Load::alone(demagnetizing::block(&Vector3::repeat(10.0 * MM)).unwrap().z);
    let cold = WorkingPoint::new(&n42, RatedBound::Nominal, load).unwrap();
    assert!((cold.polarization() - 1.278_689).abs() < 1e-6);
    assert!((cold.flux_density() - 0.852_459).abs() < 1e-6);
    assert!((cold.field_strength() + 339_182.7).abs() < 1.0);
    assert!((cold.permeance_coefficient() - 2.0).abs() < 1e-12);
    // 0.9 x 955 kA/m, less 339 kA/m.
    assert!((cold.margin() - 520_317.3).abs() < 1.0);
    assert_eq!(cold.reversible_loss(), 0.0);

    let hot = WorkingPoint::new(
        &n42,
        RatedBound::Nominal,
        Load {
            celsius: 60.0,
            ..load
        },
    )
    .unwrap();
    assert!((hot.reversible_loss() - 0.048).abs() < 1e-12);
    // 0.9 x 955 x (1 - 0.0076 x 40) less 339.184 x 0.952 kA/m.
    assert!((hot.margin() - 275_310.1).abs() < 1.0);
    assert_eq!(hot.condition(), Condition::Reversible);
    assert_eq!(hot.reversible_celsius(), Some([-40.0, 80.0]));
}

/// NdFeB suffers from heat, ferrite from cold.
#[test]
fn warnings_name_the_loss() {
    let flat = Load::alone(demagnetizing::cylinder(20.0 * MM, 1.5 * MM).unwrap().z);
    let n42 = Grade::named("N42").unwrap();
    let hot = WorkingPoint::new(
        &n42,
        RatedBound::Nominal,
        Load {
            celsius: 80.0,
            ..flat
        },
    )
    .unwrap();
    assert_eq!(hot.condition(), Condition::Irreversible);
    assert!(hot.to_string().contains("loses flux for good"), "{hot}");
    let [cold_end, hot_end] = hot.reversible_celsius().unwrap();
    assert!(
        cold_end == -40.0 && hot_end > 20.0 && hot_end < 70.0,
        "{hot_end}"
    );

    let y30bh = Grade::named("Y30BH").unwrap();
    let load = Load::alone(0.65);
    let cold = WorkingPoint::new(
        &y30bh,
        RatedBound::Nominal,
        Load {
            celsius: -40.0,
            ..load
        },
    )
    .unwrap();
    assert_eq!(cold.condition(), Condition::Irreversible);
    let [cold_end, hot_end] = cold.reversible_celsius().unwrap();
    assert!(
        cold_end > -40.0 && cold_end < 20.0 && hot_end == 250.0,
        "{cold_end}"
    );

    // A plate alone in the open is past its knee from the start.
    let plate = WorkingPoint::new(&y30bh, RatedBound::Nominal, Load::alone(0.99)).unwrap();
    assert_eq!(plate.reversible_celsius(), None);
}

/// A printed HcB far short of the straight line moves the knee to before it.
#[test]
fn a_short_hcb_moves_the_knee() {
    let bent = Grade::named("SmCo 32H").unwrap();
    let hcb = bent.normal_coercivity().unwrap().lowest();
    assert!((bent.knee_at(20.0).unwrap() - 0.9 * hcb).abs() < 1e-6);
    let square = Grade::named("SmCo 28").unwrap();
    let hcj = square.intrinsic_coercivity().lowest();
    assert!((square.knee_at(20.0).unwrap() - 0.7 * hcj).abs() < 1e-6);
}

#[test]
fn mass() {
    let n42 = Grade::named("N42").unwrap();
    let block = Block::new(
        Vector3::new(20.0, 10.0, 5.0) * MM,
        Vector3::z() * 1300.0 * MT,
        Isometry3::identity(),
    )
    .unwrap();
    // One cubic centimeter.
    assert!((n42.block_mass(&block) - 7.5e-3).abs() < 1e-15);
    assert!((n42.mass(1e-6).unwrap() - 7.5e-3).abs() < 1e-15);
    assert!((Grade::named("Y35").unwrap().mass(1e-6).unwrap() - 4.75e-3).abs() < 1e-15);
    assert!(text(n42.mass(0.0)).contains("volume"));
    assert!(text(n42.mass(-1e-6)).contains("volume"));
}

/// Grade, shape and field together: a magnet built from the effective polarization.
#[test]
fn from_grade_to_field() {
    let size = Vector3::new(20.0, 10.0, 5.0) * MM;
    let n = demagnetizing::block(&size).unwrap().z;
    let n42 = Grade::named("N42").unwrap();
    let field = |load: Load| {
        let point = WorkingPoint::new(&n42, RatedBound::Nominal, load).unwrap();
        let polarization = Vector3::z() * point.polarization();
        let block = Block::new(size, polarization, Isometry3::identity()).unwrap();
        (
            point,
            block.field_at(&Point3::new(0.0, 0.0, 6.0 * MM)).unwrap().z,
        )
    };
    let (_, cold) = field(Load::alone(n));
    let (point, hot) = field(Load {
        celsius: 60.0,
        ..Load::alone(n)
    });
    assert!((1.0 - hot / cold - point.reversible_loss()).abs() < 1e-14);
}

#[test]
fn results_serialize() {
    let n42 = Grade::named("N42").unwrap();
    let point = WorkingPoint::new(&n42, RatedBound::Nominal, Load::alone(0.3)).unwrap();
    let value = serde_json::to_value(&point).unwrap();
    assert_eq!(value["load"]["celsius"], 20.0);
    assert_eq!(value["polarization"].as_f64(), Some(point.polarization()));
    let value = serde_json::to_value(&n42).unwrap();
    assert_eq!(value["sources"][0]["provenance"], "seen");
}

#[test]
fn a_figure_holds_numbers_in_order() {
    let figure = RatedValue::MinTypical(1.2, 1.25);
    assert_eq!(figure.checked(), Ok(figure));
    for bad in [
        RatedValue::Min(f64::NAN),
        RatedValue::Typical(f64::INFINITY),
        RatedValue::MinMax(1.0, f64::NAN),
        RatedValue::MinMax(-1e308, 1e308),
        RatedValue::MinTypical(1.3, 1.2),
    ] {
        assert!(bad.checked().is_err(), "{bad:?}");
    }
}

#[test]
fn a_field_strength_that_no_line_has() {
    let grade = Grade::named("N42").unwrap();
    let point = WorkingPoint::new(&grade, RatedBound::Nominal, Load::alone(0.3)).unwrap();
    for line in [WorkingPoint::recoil_line, WorkingPoint::load_line] {
        let h = point.field_strength();
        assert!((line(&point, h).unwrap() - point.flux_density()).abs() < 1e-14);
        for bad in [f64::NAN, f64::INFINITY, 1e155, -1e308] {
            let error = line(&point, bad).unwrap_err();
            assert!(error.to_string().starts_with("field strength "), "{error}");
        }
    }
}
