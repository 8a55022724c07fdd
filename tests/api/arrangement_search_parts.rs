//! The search over arrangements with every kind of sensor, drive, package and plate: each against a grid of its own.

use nalgebra::{Isometry3, Vector3};
use yokewright::axis::{
    AnyArrangement, Arrangement, ArrangementDemand, ArrangementObjective, AxisFigures, AxisSpec,
    BackPlate, Measure, Mounting, Moving, PlateHolder, SensorPackage, ShaftEndLayout,
    ShaftEndLayoutSpec, SwungLayout, SwungLayoutSpec, VariedMeasure, requirement,
    search_arrangements,
};
use yokewright::hall::{
    AngleOutput, AngleSensor, AngleSensorSpec, LinearHall, LinearHallSpec, Potentiometer,
    PotentiometerSpec, RotationSense, Sensor,
};
use yokewright::linkage::FixedRatio;
use yokewright::magnet::{Block, Cylinder};
use yokewright::units::{DEG, MM, MT};
use yokewright::{Result, linkage::AnyTransmission};

use crate::common;

/// What the search promises of the merit.
const RESOLUTION: f64 = 1e-4;
/// Figures of the same arrangement, computed on two ways.
const SAME: f64 = 1e-9;

fn swung(mounting: Mounting) -> AnyArrangement {
    let cube = common::cube(Vector3::new(0.0, 1.3, 0.0));
    let spec = SwungLayoutSpec::new(cube, 12.0 * MM, 3.0 * MM);
    let layout = SwungLayout::new(SwungLayoutSpec { mounting, ..spec });
    layout.expect("plausible").into()
}

fn free(measure: Measure, bounds: [f64; 2]) -> VariedMeasure {
    VariedMeasure::new(measure, bounds.map(|bound| bound * MM))
}

fn demand(arrangement: AnyArrangement, sensor: impl Into<Sensor>, throw: f64) -> ArrangementDemand {
    ArrangementDemand::new(
        vec![arrangement],
        vec![sensor.into()],
        common::converter(),
        [-throw * DEG, throw * DEG],
        vec![
            free(Measure::Arm, [9.0, 16.0]),
            free(Measure::Gap, [1.0, 6.0]),
        ],
    )
}

fn bend(figures: &AxisFigures) -> f64 {
    figures.linearity().map_or(1.0, |l| l.independent())
}

/// Span less linearity, of the 4.5 V of the common sensor.
fn merit(figures: &AxisFigures) -> f64 {
    figures.volts_span().expect("volts") / 4.5 - bend(figures)
}

/// The best merit on a grid over both measures of what keeps the limits of the demand, each arrangement built on its
/// own.
fn best_of_a_grid(demand: &ArrangementDemand, steps: usize) -> f64 {
    let mut best = f64::NEG_INFINITY;
    let at = |[lower, upper]: [f64; 2], i: usize| lower + (upper - lower) * i as f64 / steps as f64;
    for i in 0..=steps {
        for k in 0..=steps {
            let [arm, gap] = [(0, i), (1, k)].map(|(v, i)| at(demand.vary[v].bounds, i));
            let built = demand.arrangements[0]
                .with_measure(Measure::Arm, arm)
                .and_then(|one| one.with_measure(Measure::Gap, gap));
            let Ok(built) = built else { continue };
            let (sensor, converter) = (demand.sensors[0].clone(), demand.converter.clone());
            let spec = AxisSpec {
                drive: demand.drive.clone(),
                ..built.axis_spec(demand.throw, sensor, converter, demand.moving)
            };
            let Ok(figures) = built.axis_of(spec).and_then(|axis| axis.figures(3)) else {
                continue;
            };
            if figures.clipped_share() <= demand.max_clipped
                && bend(&figures) <= demand.max_linearity
                && figures.clearance() >= demand.min_clearance
            {
                best = best.max(merit(&figures));
            }
        }
    }
    best
}

fn nothing_better(name: &str, demand: &ArrangementDemand) -> Result<f64> {
    let found = search_arrangements(demand)?;
    let best = found.result.best()?;
    let (own, grid) = (merit(&best.figures), best_of_a_grid(demand, 24));
    assert!(
        own >= grid - RESOLUTION,
        "{name}: {own} is less than {grid}"
    );
    assert_eq!(best.figures, best.axis.figures(3)?, "{name}");
    assert!(bend(&best.figures) <= demand.max_linearity, "{name}");
    assert!(best.figures.clipped_share() <= demand.max_clipped, "{name}");
    Ok(own)
}

#[test]
fn clipping_that_is_allowed_is_used_and_no_more() -> Result<()> {
    let none = demand(swung(Mounting::default()), common::sensor(), 6.0);
    let some = ArrangementDemand {
        max_clipped: 0.1,
        max_linearity: 0.05,
        ..none.clone()
    };
    let within = nothing_better("no clipping", &none)?;
    let beyond = nothing_better("a tenth clipped", &some)?;
    assert!(beyond > within);
    let found = search_arrangements(&some)?;
    assert!(found.result.best()?.summary.clipped_share > 0.0);
    Ok(())
}

#[test]
fn a_package_keeps_out_of_the_magnet() -> Result<()> {
    let package = SensorPackage {
        width: 4.0 * MM,
        height: 3.0 * MM,
        thickness: 1.5 * MM,
    };
    let with = |package| {
        swung(Mounting {
            package,
            ..Mounting::default()
        })
    };
    // The corners of the cube stand a quarter of a millimeter farther from the pivot than the middle of its face does,
    // and a throw this wide carries them past the package. Weak enough that nothing clips.
    let weak = LinearHall::new(LinearHallSpec {
        sensitivity: 3.0,
        ..common::sensor_spec()
    })?;
    let wide = |package| ArrangementDemand {
        max_linearity: 0.5,
        vary: vec![
            free(Measure::Arm, [9.0, 16.0]),
            free(Measure::Gap, [0.05, 3.0]),
        ],
        ..demand(with(package), weak.clone(), 50.0)
    };
    nothing_better("with a package", &wide(Some(package)))?;
    let found = search_arrangements(&wide(Some(package)))?;
    // What is nearer meets it.
    let met = found.result.rejected.iter();
    assert!(
        met.map(|one| one.nearest.requirement)
            .any(|one| one == requirement::CLEARANCE)
    );
    for one in &found.result.found {
        let clear = one.arrangement.axis(
            wide(None).throw,
            weak.clone(),
            common::converter(),
            Moving::Magnets,
        );
        assert!(clear.is_ok());
    }
    Ok(())
}

#[test]
fn a_plate_behind_the_magnet_is_part_of_it() -> Result<()> {
    let with = |holder| {
        swung(Mounting {
            plate: Some(BackPlate {
                distance: 0.5 * MM,
                holder,
            }),
            ..Mounting::default()
        })
    };
    for holder in [PlateHolder::Magnets, PlateHolder::Sensor] {
        let demand = demand(with(holder), common::sensor(), 6.0);
        let own = nothing_better(&holder.to_string(), &demand)?;
        assert!(own > 0.9, "{holder}: {own}");
        // How far off the plate stands is a measure like any other.
        let varied = ArrangementDemand {
            vary: vec![
                free(Measure::Arm, [12.0, 12.0]),
                free(Measure::Gap, [1.0, 6.0]),
                free(Measure::PlateDistance, [0.0, 4.0]),
            ],
            ..demand
        };
        let found = search_arrangements(&varied)?;
        assert!(merit(&found.result.best()?.figures) > 0.9);
    }
    Ok(())
}

#[test]
fn an_active_area_is_averaged_over() -> Result<()> {
    let sensor = |area| {
        let spec = LinearHallSpec {
            area,
            depth: 0.4 * MM,
            ..common::sensor_spec()
        };
        LinearHall::new(spec).expect("plausible")
    };
    let of = |area: [f64; 2]| ArrangementDemand {
        vary: vec![
            free(Measure::Arm, [12.0, 12.0]),
            free(Measure::Gap, [1.0, 4.0]),
        ],
        ..demand(swung(Mounting::default()), sensor(area), 6.0)
    };
    let point = search_arrangements(&of([0.0, 0.0]))?;
    let area = search_arrangements(&of([1.5 * MM, 1.5 * MM]))?;
    let (point, area) = (point.result.best()?, area.result.best()?);
    assert_eq!(area.figures, area.axis.figures(3)?);
    assert!(area.axis.spec().sensor.linear().expect("it is").spec().area[0] > 0.0);
    // Both stand where the rail is just met. Over an area the peak is flatter: it must come nearer.
    let gap = |one: &yokewright::axis::ArrangementCandidate| one.arrangement.measure(Measure::Gap);
    assert!(gap(area) < gap(point), "{:?} {:?}", gap(area), gap(point));
    assert!((area.summary.span - point.summary.span).abs() < 1e-4);
    Ok(())
}

#[test]
fn a_drive_is_gone_through() -> Result<()> {
    let plain = demand(swung(Mounting::default()), common::sensor(), 8.0);
    let driven = ArrangementDemand {
        drive: AnyTransmission::from(FixedRatio::new(2.0)?),
        throw: plain.throw.map(|angle| 0.5 * angle),
        lever: Some(0.1),
        ..plain.clone()
    };
    let own = nothing_better("behind a ratio", &driven)?;
    let found = search_arrangements(&plain)?;
    // Half the angle at twice the ratio is the same sweep.
    assert!((own - merit(&found.result.best()?.figures)).abs() < SAME);
    let turned = search_arrangements(&ArrangementDemand {
        moving: Moving::Sensor,
        ..plain
    })?;
    // Turning the sensor is turning the magnet the other way.
    assert!((own - merit(&turned.result.best()?.figures)).abs() < RESOLUTION);
    Ok(())
}

#[test]
fn a_potentiometer_reads_the_shaft_whatever_the_magnet_does() -> Result<()> {
    let pot = Potentiometer::new(PotentiometerSpec::new(300.0 * DEG, 5.0))?;
    let of = |min_span: f64| ArrangementDemand {
        min_span,
        ..demand(swung(Mounting::default()), pot.clone(), 6.0)
    };
    let found = search_arrangements(&of(0.0))?;
    let best = found.result.best()?;
    // Common practice: 12 degrees of 300.
    assert!(
        (best.summary.span - 12.0 / 300.0).abs() < 1e-12,
        "{:?}",
        best.summary
    );
    let none = search_arrangements(&of(0.1))?;
    assert!(none.result.found.is_empty());
    let nearest = none.result.nearest.expect("all were tried");
    assert_eq!(nearest.shortfalls[0].requirement, requirement::SPAN);
    Ok(())
}

fn shaft_end(gap: f64) -> AnyArrangement {
    let across = Vector3::new(1.2, 0.0, 0.0);
    let disc = Cylinder::new(6.0 * MM, 2.5 * MM, across, Isometry3::identity());
    let spec = ShaftEndLayoutSpec::new(disc.expect("plausible"), gap);
    ShaftEndLayout::new(spec).expect("plausible").into()
}

fn angle_sensor(change: impl Fn(&mut AngleSensorSpec)) -> AngleSensor {
    let mut spec = AngleSensorSpec {
        sense: RotationSense::Reverse,
        // Any: it is programmed anew.
        zero: 1.0,
        ..AngleSensorSpec::new(AngleOutput::Digital { bits: 12 })
    };
    change(&mut spec);
    AngleSensor::new(spec).expect("plausible")
}

#[test]
fn an_angle_sensor_is_programmed_and_stands_on_the_shaft() -> Result<()> {
    let demand = ArrangementDemand {
        converter: None,
        objective: ArrangementObjective::Linearity,
        min_span: 0.1,
        vary: vec![free(Measure::RadialOffset, [-1.2, 1.0])],
        ..demand(shaft_end(2.0 * MM), angle_sensor(|_| ()), 30.0)
    };
    let found = search_arrangements(&demand)?;
    let best = found.result.best()?;
    // 60 of 360 degrees; 4096 codes.
    assert!(
        (best.summary.span - 60.0 / 360.0).abs() < 2.0 / 4096.0,
        "{:?}",
        best.summary
    );
    let off = best
        .arrangement
        .measure(Measure::RadialOffset)
        .expect("it has");
    // Beside the shaft it bends; by the symmetry of the disc the middle is best.
    assert!(off.abs() < 0.02 * MM, "{off}");
    assert!(best.summary.linearity < 1e-6, "{:?}", best.summary);
    // The zero position of the sensor is where the axis is centered.
    let zeroed = best.axis.zeroed()?;
    assert_eq!(zeroed.sensor(), best.axis.sensor());
    Ok(())
}

#[test]
fn an_angle_sensor_works_in_the_field_that_it_is_given() -> Result<()> {
    let sensor = angle_sensor(|spec| spec.working_flux = [30.0 * MT, 60.0 * MT]);
    let gap = |bounds: [f64; 2]| ArrangementDemand {
        converter: None,
        vary: vec![free(Measure::Gap, bounds)],
        ..demand(shaft_end(2.0 * MM), sensor.clone(), 30.0)
    };
    let found = search_arrangements(&gap([0.5, 10.0]))?;
    for one in &found.result.found {
        let [least, most] = one.figures.field_range().expect("of an angle sensor");
        assert!(least >= 30.0 * MT && most <= 60.0 * MT, "{least} {most}");
    }
    assert!(!found.result.found.is_empty());
    // Far off it is too weak, and that is said.
    let far = search_arrangements(&gap([20.0, 40.0]))?;
    let nearest = far.result.nearest.as_ref().expect("all were tried");
    assert_eq!(
        nearest.shortfalls[0].requirement,
        requirement::FIELD,
        "{}",
        far.result
    );
    // 20 mm off is the nearest.
    let candidate = nearest.candidate.as_ref().expect("it can be built");
    assert_eq!(candidate.arrangement.measure(Measure::Gap), Some(20.0 * MM));
    Ok(())
}

#[test]
fn a_magnet_without_a_field_in_the_plane_ends_no_search() -> Result<()> {
    // Polarized along the shaft, it shows the sensor under its middle nothing in the plane.
    let along = Cylinder::new(6.0 * MM, 2.5 * MM, Vector3::z(), Isometry3::identity())?;
    let along = ShaftEndLayout::new(ShaftEndLayoutSpec::new(along, 2.0 * MM))?;
    let demand = ArrangementDemand {
        arrangements: vec![along.into(), shaft_end(2.0 * MM)],
        converter: None,
        vary: vec![],
        ..demand(shaft_end(2.0 * MM), angle_sensor(|_| ()), 30.0)
    };
    let found = search_arrangements(&demand)?;
    assert_eq!(found.result.best()?.start, 1);
    let refused = found.result.rejected.iter();
    let refused: Vec<_> = refused.map(|one| one.nearest.requirement).collect();
    assert_eq!(refused, [requirement::FIELD]);
    Ok(())
}

#[test]
fn what_collides_everywhere_is_told_by_how_far_it_turns() -> Result<()> {
    let long = Block::new(
        Vector3::new(5.0, 5.0, 5.0) * MM,
        Vector3::new(0.0, 1.3, 0.0),
        Isometry3::identity(),
    )?;
    let layout = SwungLayout::new(SwungLayoutSpec::new(long, 12.0 * MM, 3.0 * MM))?;
    let demand = ArrangementDemand {
        throw: [-1.5, 1.5],
        vary: vec![
            free(Measure::Arm, [8.0, 8.0]),
            free(Measure::Gap, [0.1, 0.2]),
        ],
        ..demand(layout.into(), common::sensor(), 6.0)
    };
    let found = search_arrangements(&demand)?.result;
    assert!(found.found.is_empty() && found.fitting == 0);
    let [rejection] = found.rejected[..] else {
        panic!("{found}")
    };
    assert_eq!(rejection.count, found.tried);
    assert_eq!(rejection.nearest.requirement, requirement::CLEARANCE);
    let nearest = found.nearest.as_ref().expect("none fits");
    assert!(nearest.candidate.is_none());
    assert_eq!(nearest.shortfalls, [rejection.nearest]);
    assert!(rejection.nearest.value.abs() < 1.5 && rejection.nearest.limit.abs() == 1.5);
    Ok(())
}

#[test]
fn a_margin_keeps_the_sweep_off_the_rails() -> Result<()> {
    let demand = ArrangementDemand {
        range_margin: 0.1,
        ..demand(swung(Mounting::default()), common::sensor(), 6.0)
    };
    let found = search_arrangements(&demand)?;
    let span = found.result.best()?.figures.volts_span().expect("volts");
    // A tenth of 4.5 V kept free at each rail, and the upper one nearer to the quiescent 2.5 V: 2 x 1.75 V.
    assert!(span <= 3.5 + 1e-12 && span > 3.49, "{span}");
    Ok(())
}

#[test]
fn tried_is_what_was_judged() -> Result<()> {
    // In steps nothing is looked at roughly: 4 arms by 3 gaps, each once.
    let steps = ArrangementDemand {
        vary: vec![
            free(Measure::Arm, [9.0, 12.0]).stepped(MM),
            free(Measure::Gap, [2.0, 4.0]).stepped(MM),
        ],
        ..demand(swung(Mounting::default()), common::sensor(), 6.0)
    };
    let found = search_arrangements(&steps)?.result;
    let failing: usize = found
        .rejected
        .iter()
        .map(|one| one.count)
        .max()
        .unwrap_or(0);
    assert!(found.tried >= 12, "{found}");
    assert!(found.fitting + failing <= found.tried);
    // Of measures that are free it is what was closed in on, a small part of what was looked at.
    let free = demand(swung(Mounting::default()), common::sensor(), 6.0);
    let found = search_arrangements(&free)?.result;
    assert!(
        found.fitting >= found.found.len() && found.tried < 200,
        "{found}"
    );
    Ok(())
}
