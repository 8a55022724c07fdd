//! How a value is written for whoever reads a failing test (`{:?}`): as the call that makes it, in one line also where
//! `{:#?}` asks for many. Every number has all its digits, so that the call gives the same value to the last bit.

use std::fmt::{self, Display, Formatter};

use nalgebra::Isometry3;

/// Coordinates, for an argument that is a point or a vector: `[1.0, 2.0, 3.0].into()`.
pub(crate) struct Coordinates<const N: usize>([f64; N]);

impl<const N: usize> Display for Coordinates<N> {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        write!(f, "{:?}.into()", self.0)
    }
}

/// A point or a vector.
pub(crate) fn coordinates<const N: usize>(of: impl Into<[f64; N]>) -> Coordinates<N> {
    Coordinates(of.into())
}

/// A pose, as the shortest call that gives it.
pub(crate) fn pose(pose: &Isometry3<f64>) -> String {
    let [x, y, z]: [f64; 3] = pose.translation.vector.into();
    let rotation = pose.rotation.quaternion();
    if *rotation != nalgebra::Quaternion::identity() {
        let place = coordinates([x, y, z]);
        let turn = coordinates(rotation.coords);
        return format!("Isometry3::from_parts({place}, UnitQuaternion::new_unchecked({turn}))");
    }
    if [x, y, z] == [0.0; 3] {
        "Isometry3::identity()".to_owned()
    } else {
        format!("Isometry3::translation({x:?}, {y:?}, {z:?})")
    }
}

/// `Debug` of a type, by a closure that writes the call.
macro_rules! debug_as_call {
    ($type:ty, |$self:ident, $f:ident| $written:expr) => {
        impl std::fmt::Debug for $type {
            fn fmt(&$self, $f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                $written
            }
        }
    };
}

pub(crate) use debug_as_call;
