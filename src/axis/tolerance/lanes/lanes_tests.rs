//! Which builds need the long way.

use std::cell::Cell;

use nalgebra::{Isometry3, Point3, Vector3};

use super::LaneControls;
use crate::axis::tolerance::buildable::Builds;
use crate::axis::tolerance::control_spec::{ControlDesignSpec, ControlInput};
use crate::axis::tolerance::stored_tree::StoredTree;
use crate::axis::{ControlDesign, ControlFigure, Measure, SwungLayout, SwungLayoutSpec};
use crate::hall::{Converter, LinearHall, LinearHallSpec, Rounding};
use crate::linkage::{Arm, BallRod};
use crate::magnet::Block;
use crate::units::{DEG, MM, MT, MV_PER_MT};

fn spec() -> ControlDesignSpec {
    let j = Vector3::new(0.0, 1300.0 * MT, 0.0);
    let cube = Block::new(Vector3::repeat(5.0 * MM), j, Isometry3::identity()).unwrap();
    let layout = SwungLayout::new(SwungLayoutSpec::new(cube, 12.0 * MM, 2.0 * MM)).unwrap();
    let sensor = LinearHall::new(LinearHallSpec {
        rail_low: 0.2,
        rail_headroom: 0.3,
        ..LinearHallSpec::new(5.0, 25.0 * MV_PER_MT)
    });
    let converter = Converter::new(12, 5.0, Rounding::Nearest, 0.0).unwrap();
    ControlDesignSpec::new(layout, [-6.0 * DEG, 6.0 * DEG], sensor.unwrap(), converter)
}

/// How many of these builds go the long way.
fn long(spec: &ControlDesignSpec, inputs: &[ControlInput], columns: &[Vec<f64>]) -> usize {
    let tree = StoredTree::of(spec).unwrap();
    let axis = ControlDesign::new(spec.clone()).unwrap().axis().unwrap();
    let lanes = LaneControls::of(spec, &tree, inputs, &axis, None)
        .unwrap()
        .unwrap();
    let count = columns[0].len();
    let mut builds = Builds::new(columns.to_vec(), count, ControlFigure::ALL.len());
    let long = Cell::new(0);
    let exact = |_: &[f64], _: &mut [f64]| {
        long.set(long.get() + 1);
        Ok(())
    };
    lanes.build(&mut builds, exact).unwrap();
    long.get()
}

/// Much nearer to the magnet and on a longer arm than the design, whose own nodes are not enough there.
#[test]
fn builds_far_from_the_design_are_read_at_more_nodes() {
    let inputs = [Measure::Gap, Measure::Arm].map(ControlInput::Measure);
    let steps = (0..40).map(f64::from);
    let gaps = steps.clone().map(|i| (1.0 + 0.05 * i) * MM).collect();
    let arms = steps.map(|i| (16.0 - 0.1 * i) * MM).collect();
    assert_eq!(long(&spec(), &inputs, &[gaps, arms]), 0);
}

/// Next to the magnet, into it, and what no layout has.
#[test]
fn what_only_the_long_way_tells_goes_there() {
    let inputs = [Measure::Gap].map(ControlInput::Measure);
    let gaps = vec![2.0 * MM, 0.1 * MM, -MM, f64::NAN, 3.0 * MM];
    assert_eq!(long(&spec(), &inputs, &[gaps]), 3);
}

/// The rods of all builds but those that come near the rated swivel of 12 deg, near the lock, or cannot be put
/// together.
#[test]
fn rods_go_side_by_side_unless_they_end_near_the_throw() {
    let at = |x: f64, y: f64| Point3::new(x * MM, y * MM, 100.0 * MM);
    let pedal = Arm::new(Point3::origin(), Vector3::y(), at(0.0, 0.0)).unwrap();
    let crank = Arm::new(at(200.0, -60.0), Vector3::z(), at(238.3, -27.9)).unwrap();
    let with = |limit: f64| ControlDesignSpec {
        drive: BallRod::new(pedal.with_stud(Vector3::y(), limit * DEG).unwrap(), crank)
            .unwrap()
            .into(),
        throw: [-3.0 * DEG, 3.0 * DEG],
        ..spec()
    };
    let number = |spec: &ControlDesignSpec, path: &str| {
        let tree = StoredTree::of(spec).unwrap();
        let number = tree.number(path).unwrap();
        (ControlInput::Number(number), tree.value(number))
    };
    let (rod, length) = number(&with(60.0), "drive.rod_length");
    let lengths = |from: f64, to: f64| -> Vec<f64> {
        let step = (to - from) / 39.0;
        (0..40)
            .map(|i| length + (from + step * f64::from(i)) * MM)
            .collect()
    };
    // Far from any end.
    assert_eq!(long(&with(60.0), &[rod], &[lengths(-3.0, 3.0)]), 0);
    // At 3 deg the pedal's joint is 203.80 mm from the crank's axis: rod and crank are in line if the rod, 239.93 mm as
    // designed, is 253.80 mm long.
    assert_eq!(long(&with(60.0), &[rod], &[lengths(13.9, 20.0)]), 40);
    let spec = with(60.0);
    let (limit, _) = number(&spec, "drive.input.stud.limit");
    let farthest = [-3.0, 3.0].map(|angle| {
        let driven = ControlDesign::new(spec.clone()).unwrap().axis().unwrap();
        assert!(driven.pivot_at(angle * DEG).is_ok());
        let rod = BallRod::new(pedal.with_stud(Vector3::y(), 1.0).unwrap(), crank).unwrap();
        rod.swivels(angle * DEG).unwrap()[0].unwrap().abs()
    });
    let farthest = farthest[0].max(farthest[1]);
    // A hundredth of a degree beyond is enough, as little before is not.
    let limits = |by: f64| vec![farthest + by * DEG; 5];
    assert_eq!(long(&spec, &[limit], &[limits(0.01)]), 0);
    assert_eq!(long(&spec, &[limit], &[limits(-0.01)]), 5);
}
