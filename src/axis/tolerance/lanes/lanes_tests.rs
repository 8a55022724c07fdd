//! Which builds need the long way.

use std::cell::Cell;

use nalgebra::{Isometry3, Vector3};

use super::LaneControls;
use crate::axis::tolerance::buildable::Builds;
use crate::axis::tolerance::control_spec::{ControlDesignSpec, ControlInput};
use crate::axis::tolerance::stored_tree::StoredTree;
use crate::axis::{ControlDesign, ControlFigure, Measure, SwungLayout, SwungLayoutSpec};
use crate::hall::{Converter, LinearHall, LinearHallSpec, Rounding};
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
    let gaps = vec![2.0 * MM, 0.1 * MM, -1.0 * MM, f64::NAN, 3.0 * MM];
    assert_eq!(long(&spec(), &inputs, &[gaps]), 3);
}
