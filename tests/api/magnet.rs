//! Blocks and groups: every refusal by variant and text, and what the surface itself gives.

use nalgebra::{
    Isometry3, Point3, Quaternion, Translation3, Unit, UnitQuaternion, Vector3, vector,
};
use yokewright::error::Hint;
use yokewright::magnet::{Block, FieldSource, Magnet, MagnetGroup};
use yokewright::units::{DEG, MM, MT};
use yokewright::{Error, Result};

/// The roll magnet of the training rig: half sides 5, 4 and 2 mm.
fn size() -> Vector3<f64> {
    vector![10.0, 8.0, 4.0] * MM
}

fn bar() -> Block {
    Block::new(size(), vector![0.2, 0.0, 1.2], Isometry3::identity()).unwrap()
}

fn new(size: Vector3<f64>, polarization: Vector3<f64>) -> Result<Block> {
    Block::new(size, polarization, Isometry3::identity())
}

fn text<T: std::fmt::Debug>(refused: Result<T>) -> String {
    refused.unwrap_err().to_string()
}

#[test]
fn meters_for_millimeters() {
    let error = new(vector![5.0 * MM, 5.0, 5.0 * MM], Vector3::z()).unwrap_err();
    assert_eq!(
        error,
        Error::OutOfRange {
            quantity: "block side y",
            value: 5.0,
            min: 1e-5,
            max: 1.0,
            unit: "m",
            hint: Hint::Millimetres(5.0),
        }
    );
    assert_eq!(
        error.to_string(),
        "block side y = 5 m is outside 0.00001 to 1 m; did you mean 5 * MM?"
    );
}

#[test]
fn tesla_for_millitesla() {
    let error = new(size(), vector![0.0, 0.0, 1300.0]).unwrap_err();
    assert_eq!(
        error,
        Error::OutOfRange {
            quantity: "polarization z",
            value: 1300.0,
            min: -2.5,
            max: 2.5,
            unit: "T",
            hint: Hint::Millitesla(1300.0),
        }
    );
    assert_eq!(
        error.to_string(),
        "polarization z = 1300 T is outside -2.5 to 2.5 T; did you mean 1300 * MT?"
    );
    assert!(new(size(), vector![0.0, 0.0, 1300.0] * MT).is_ok());
}

#[test]
fn each_side_has_its_limits() {
    for (axis, name) in ["block side x", "block side y", "block side z"]
        .into_iter()
        .enumerate()
    {
        let with = |side: f64| {
            let mut size = size();
            size[axis] = side;
            new(size, Vector3::z())
        };
        assert!(with(1e-5).is_ok() && with(1.0).is_ok());
        for side in [0.0, -5.0 * MM, 9e-6] {
            assert_eq!(
                with(side).unwrap_err(),
                Error::OutOfRange {
                    quantity: name,
                    value: side,
                    min: 1e-5,
                    max: 1.0,
                    unit: "m",
                    hint: Hint::None,
                }
            );
        }
        assert_eq!(
            text(with(f64::NAN)),
            format!("{name} is NaN, not a finite number; give it in m")
        );
        assert_eq!(
            with(f64::INFINITY).unwrap_err(),
            Error::NotFinite {
                quantity: name,
                value: f64::INFINITY,
                unit: "m",
            }
        );
    }
}

#[test]
fn polarization_has_a_limit_in_any_direction() {
    assert!(new(size(), vector![0.0, -2.5, 0.0]).is_ok());
    // Each part is possible, the whole is not.
    assert_eq!(
        text(new(size(), vector![2.0, 2.0, 0.0])),
        "polarization = 2.82843 T is outside 0 to 2.5 T"
    );
    for (axis, name) in ["polarization x", "polarization y", "polarization z"]
        .into_iter()
        .enumerate()
    {
        let mut polarization = Vector3::zeros();
        polarization[axis] = f64::NEG_INFINITY;
        assert_eq!(
            new(size(), polarization).unwrap_err(),
            Error::NotFinite {
                quantity: name,
                value: f64::NEG_INFINITY,
                unit: "T",
            }
        );
    }
}

#[test]
fn a_block_without_polarization_has_no_field() {
    let block = new(size(), Vector3::zeros()).unwrap();
    let b = block.field_at(&Point3::new(1.0 * MM, 0.0, 0.0)).unwrap();
    assert_eq!(b, Vector3::zeros());
}

#[test]
fn a_pose_is_a_finite_rigid_motion() {
    let at = |position: Vector3<f64>| {
        Block::new(size(), Vector3::z(), Translation3::from(position).into())
    };
    assert_eq!(
        at(vector![0.0, 2e6, 0.0]).unwrap_err(),
        Error::OutOfRange {
            quantity: "position y",
            value: 2e6,
            min: -1e6,
            max: 1e6,
            unit: "m",
            hint: Hint::None,
        }
    );
    assert_eq!(
        text(at(vector![f64::NAN, 0.0, 0.0])),
        "position x is NaN, not a finite number; give it in m"
    );
    assert_eq!(
        text(at(vector![0.0, 0.0, f64::INFINITY])),
        "position z is inf, not a finite number; give it in m"
    );

    let turned = |w: f64| {
        let rotation = Unit::new_unchecked(Quaternion::new(w, 0.0, 0.0, 0.0));
        let pose = Isometry3::from_parts(Translation3::identity(), rotation);
        Block::new(size(), Vector3::z(), pose)
    };
    assert_eq!(
        turned(1.5).unwrap_err(),
        Error::OutOfRange {
            quantity: "norm of the rotation",
            value: 1.5,
            min: 1.0 - 1e-12,
            max: 1.0 + 1e-12,
            unit: "(no unit)",
            hint: Hint::None,
        }
    );
    assert!(matches!(
        turned(f64::NAN).unwrap_err(),
        Error::NotFinite {
            quantity: "norm of the rotation",
            ..
        }
    ));
}

#[test]
fn what_was_given_comes_back() {
    let rotation = UnitQuaternion::from_euler_angles(10.0 * DEG, 0.0, 0.0);
    let pose = Isometry3::from_parts(Translation3::new(0.0, 30.0 * MM, 0.0), rotation);
    let block = Block::new(size(), vector![0.0, 0.3, 1.2], pose).unwrap();
    assert_eq!(block.size(), size());
    assert_eq!(block.polarization(), vector![0.0, 0.3, 1.2]);
    assert_eq!(block.pose(), pose);

    // Motions are applied after the present pose.
    let motion = Isometry3::translation(1.0 * MM, 0.0, 0.0);
    assert_eq!(block.moved(&motion).unwrap().pose(), motion * pose);
    let group = MagnetGroup::new([block.clone()]).unwrap();
    let moved = group.moved(&motion).unwrap();
    assert_eq!(
        moved.magnets(),
        [Magnet::from(block.moved(&motion).unwrap())]
    );
    let too_far = Isometry3::translation(2e6, 0.0, 0.0);
    let refused = block.moved(&too_far).unwrap_err();
    assert!(matches!(
        refused,
        Error::OutOfRange {
            quantity: "position x",
            ..
        }
    ));
    assert_eq!(group.moved(&too_far).unwrap_err(), refused);
}

#[test]
fn points_far_out_or_not_finite() {
    let block = bar();
    let group = MagnetGroup::from(block.clone());
    for (point, expected) in [
        (
            Point3::new(0.0, 0.0, 2e6),
            "point z = 2000000 m is outside -1000000 to 1000000 m",
        ),
        (
            Point3::new(-1e12, 0.0, 0.0),
            "point x = -1000000000000 m is outside -1000000 to 1000000 m",
        ),
        (
            Point3::new(0.0, f64::NAN, 0.0),
            "point y is NaN, not a finite number; give it in m",
        ),
        (
            Point3::new(f64::INFINITY, 0.0, 0.0),
            "point x is inf, not a finite number; give it in m",
        ),
    ] {
        assert_eq!(text(block.field_at(&point)), expected);
        assert_eq!(text(block.distance(&point)), expected);
        assert_eq!(text(group.field_at(&point)), expected);
        assert_eq!(text(group.distance(&point)), expected);

        // A batch keeps its order: the neighbors are not touched.
        let near = Point3::new(0.0, 0.0, 5.0 * MM);
        for fields in [
            block.fields_at(&[near, point, near]),
            group.fields_at(&[near, point, near]),
        ] {
            assert_eq!(fields.valid, [true, false, true]);
            assert!(fields.values[1].iter().all(|part| part.is_nan()));
            assert_eq!(fields.values[0], fields.values[2]);
            assert!(fields.values[0].z > 0.1);
        }
    }
    assert!(block.field_at(&Point3::new(1e6, -1e6, 1e6)).is_ok());
}

#[test]
fn edges_and_corners_have_no_field() {
    let block = bar();
    let group = MagnetGroup::from(block.clone());
    let half = size() * 0.5;
    let edges = [
        vector![half.x, half.y, 0.3 * MM],
        vector![-half.x, 0.0, half.z],
        vector![1.0 * MM, half.y, -half.z],
    ];
    let corners = [half, vector![half.x, -half.y, -half.z]];
    for point in edges.into_iter().chain(corners).map(Point3::from) {
        let refused = Error::OnEdge {
            x: point.x,
            y: point.y,
            z: point.z,
        };
        assert_eq!(block.field_at(&point).unwrap_err(), refused);
        assert_eq!(group.field_at(&point).unwrap_err(), refused);
        assert_eq!(block.distance(&point).unwrap(), 0.0);
        for fields in [block.fields_at(&[point]), group.fields_at(&[point])] {
            assert_eq!(fields.valid, [false]);
            assert!(fields.values[0].iter().all(|part| part.is_nan()));
        }
    }
    assert_eq!(
        text(block.field_at(&Point3::new(half.x, half.y, 0.0))),
        "the field has no value at (0.005, 0.004, 0) m: the point lies on an edge of a magnet; move it off the edge"
    );
}

#[test]
fn the_extension_of_an_edge_has_a_field() {
    let half = size() * 0.5;
    // The first step beyond the corner, and far out.
    for beyond in [half.z.next_up(), 3.0 * half.z, 1e3] {
        let point = Point3::new(half.x, half.y, beyond);
        let b = bar().field_at(&point).unwrap();
        assert!(b.iter().all(|part| part.is_finite()) && b.norm() > 0.0);
        assert_eq!(bar().fields_at(&[point]).valid, [true]);
    }
}

/// B jumps on a face by the tangential part of the polarization; the value on it is the one just outside.
#[test]
fn a_face_has_the_field_outside() {
    let block = bar();
    let half = size() * 0.5;
    for axis in 0..3 {
        for side in [-1.0, 1.0] {
            let at = |beyond: f64| {
                let mut point = Point3::new(1.0 * MM, 0.5 * MM, -0.25 * MM);
                point[axis] = side * (half[axis] + beyond);
                block.field_at(&point).unwrap()
            };
            let mut jump = block.polarization();
            jump[axis] = 0.0;
            // A micrometre over the millimetre to the nearest edge, times a tesla.
            let tolerance = 1e-3;
            assert!((at(0.0) - at(1e-6)).norm() < tolerance);
            assert!((at(-1e-6) - at(0.0) - jump).norm() < tolerance);
        }
    }
}

#[test]
fn distance_from_the_surface() {
    let block = bar();
    let distance =
        |x: f64, y: f64, z: f64| block.distance(&(Point3::new(x, y, z) * MM)).unwrap() / MM;
    // Rounding of millimetres in metres and back.
    let close = |a: f64, b: f64| (a - b).abs() < 1e-14;
    assert!(close(distance(0.0, 0.0, 0.0), -2.0), "to the nearest face");
    assert!(close(distance(4.5, 0.0, 0.0), -0.5));
    assert!(close(distance(5.0, 1.0, 1.0), 0.0), "on a face");
    assert!(close(distance(0.0, 0.0, -5.0), 3.0), "from a face");
    assert!(close(distance(8.0, 8.0, 0.0), 5.0), "from an edge: 3, 4, 5");
    assert!(
        close(distance(-7.0, 7.0, 8.0), 7.0),
        "from a corner: 2, 3, 6, 7"
    );

    // Turned by a right angle about z and shifted: what was x is y.
    let turn = UnitQuaternion::from_euler_angles(0.0, 0.0, 90.0 * DEG);
    let pose = Isometry3::from_parts(Translation3::new(0.1, 0.0, 0.0), turn);
    let moved = block.moved(&pose).unwrap();
    let there = moved.distance(&Point3::new(0.1, 8.0 * MM, 0.0)).unwrap();
    assert!(close(there / MM, 3.0));

    // Of a group the nearest counts, and inside one is inside.
    let group = MagnetGroup::new([block, moved]).unwrap();
    assert!(close(
        group.distance(&Point3::new(0.0, 0.0, 5.0 * MM)).unwrap() / MM,
        3.0
    ));
    assert!(close(
        group.distance(&Point3::new(0.1, 0.0, 0.0)).unwrap() / MM,
        -2.0
    ));
}

#[test]
fn a_group_has_magnets() {
    assert_eq!(
        MagnetGroup::new(Vec::<Block>::new()).unwrap_err(),
        Error::Count {
            quantity: "magnets in the group",
            count: 0,
            min: 1,
            max: 10_000,
        }
    );
    let many = std::iter::repeat_n(bar(), 10_001);
    assert_eq!(
        text(MagnetGroup::new(many)),
        "magnets in the group: 10001 given, 1 to 10000 needed"
    );
    assert_eq!(MagnetGroup::from(bar()), MagnetGroup::new([bar()]).unwrap());
}

#[test]
fn a_group_refuses_the_edge_of_any_member() {
    let beside = bar()
        .moved(&Isometry3::translation(20.0 * MM, 0.0, 0.0))
        .unwrap();
    let group = MagnetGroup::new([bar(), beside]).unwrap();
    let edge = Point3::from(size() * 0.5);
    assert!(matches!(group.field_at(&edge), Err(Error::OnEdge { .. })));
    let fields = group.fields_at(&[edge, Point3::origin()]);
    assert_eq!(fields.valid, [false, true]);
    assert!(fields.values[0].iter().all(|part| part.is_nan()));
}

#[test]
fn no_points_no_fields() {
    let none = bar().fields_at(&[]);
    assert!(none.values.is_empty() && none.valid.is_empty());
}
