//! What is studied: a control of the design, or of one of its builds.

use crate::linkage::GimbalAxis;
use crate::rig::control::{NamedAxis, NamedFeel, NamedStick};
use crate::rig::target::Target;

/// One that has targets: an axis by itself, an axis of a stick, a stick as a whole.
#[derive(Clone, Copy)]
pub(super) enum Subject<'a> {
    Axis(&'a NamedAxis),
    OfStick(&'a NamedStick, GimbalAxis),
    Stick(&'a NamedStick),
}

impl<'a> Subject<'a> {
    pub(super) fn name(self) -> &'a str {
        match self {
            Self::Axis(axis) => axis.name(),
            Self::OfStick(stick, axis) => stick.axis(axis).name(),
            Self::Stick(stick) => stick.name(),
        }
    }

    pub(super) fn targets(self) -> &'a [(Target, f64)] {
        match self {
            Self::Stick(stick) => stick.targets(),
            Self::Axis(_) | Self::OfStick(..) => self.axis().map_or(&[], NamedAxis::targets),
        }
    }

    /// The axis, if it is one.
    pub(super) fn axis(self) -> Option<&'a NamedAxis> {
        match self {
            Self::Axis(axis) => Some(axis),
            Self::OfStick(stick, axis) => Some(stick.axis(axis)),
            Self::Stick(_) => None,
        }
    }

    /// The stick that it is, or is of.
    pub(super) fn stick(self) -> Option<&'a NamedStick> {
        match self {
            Self::Axis(_) => None,
            Self::OfStick(stick, _) | Self::Stick(stick) => Some(stick),
        }
    }

    /// What acts on it.
    pub(super) fn feel(self) -> Option<&'a NamedFeel> {
        match self {
            Self::Axis(axis) => axis.feel(),
            Self::OfStick(stick, _) | Self::Stick(stick) => stick.feel(),
        }
    }

    /// The number of its angle among those of its feel.
    pub(super) fn angle(self) -> usize {
        match self {
            Self::OfStick(_, GimbalAxis::Inner) => 1,
            _ => 0,
        }
    }
}
