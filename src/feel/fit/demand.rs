//! What is sought of springs, what to choose from, and what is found.

use nalgebra::{Point3, Vector3};
use serde::{Deserialize, Serialize};

use crate::feel::body::Body;
use crate::feel::elements::{AlongLine, Element};
use crate::feel::equilibrium::Way;
use crate::spring::LineSpring;

/// A value and how far off it may be.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TargetValue {
    /// The value.
    pub value: f64,
    /// How far off it may be, above 0.
    pub tolerance: f64,
}

/// How many springs, and how they stand.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub enum SpringLayout {
    /// One.
    Single,
    /// Two of a kind, mirror images of each other in the plane through the pivot with this normal (at zero angle).
    Mirrored(Vector3<f64>),
}

/// A spring to choose from.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub enum SpringChoice {
    /// As it is; its preload follows from where it is anchored.
    Spring(LineSpring),
    /// One between collars, which sits on both of them at angle zero; its preload (N) is sought between two values.
    Captured {
        /// N/m.
        rate: f64,
        /// How far it goes either way, m.
        stroke: f64,
        /// Least and greatest preload, N.
        preload: [f64; 2],
    },
}

impl<S: Into<LineSpring>> From<S> for SpringChoice {
    fn from(spring: S) -> Self {
        Self::Spring(spring.into())
    }
}

/// What is sought; [`Control::search_springs`](crate::feel::Control::search_springs) finds it,
/// [`Control::search_springs_together`](crate::feel::Control::search_springs_together) several of them at once.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SpringDemand {
    /// Which angle moves.
    pub way: Way,
    /// On which body the springs pull; the other end is on the ground.
    pub body: Body,
    /// Two corners of the box in which the anchor on the body may be, m.
    pub on_body: [Point3<f64>; 2],
    /// Two corners of the box in which the anchor on the ground may be, m.
    pub on_ground: [Point3<f64>; 2],
    /// How many springs.
    pub layout: SpringLayout,
    /// The springs to choose from, 1 to 10000.
    pub choices: Vec<SpringChoice>,
    /// Whether a spring may hang slack somewhere in the travel.
    pub may_be_slack: bool,
    /// Force at the grip at the stops, N (only at those that lie off the center).
    pub full_force: Option<TargetValue>,
    /// Growth of the force at the grip on leaving the center, N/m.
    pub gradient: Option<TargetValue>,
    /// Force at the grip that sets it in motion upward from the center, friction included, N.
    pub breakout: Option<TargetValue>,
    /// From how many places to search for each spring, 1 to 1000; of several demands at once the greatest counts.
    pub starts: usize,
}

impl SpringDemand {
    /// One spring on the first angle, never slack, searched from 16 places, with nothing wanted yet.
    #[must_use]
    pub fn new(
        body: Body,
        on_body: [Point3<f64>; 2],
        on_ground: [Point3<f64>; 2],
        choices: Vec<SpringChoice>,
    ) -> Self {
        Self {
            way: Way::FIRST,
            body,
            on_body,
            on_ground,
            layout: SpringLayout::Single,
            choices,
            may_be_slack: false,
            full_force: None,
            gradient: None,
            breakout: None,
            starts: 16,
        }
    }
}

/// Springs that give the wanted feel.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct SpringFit {
    /// Number of the spring among the choices.
    pub choice: usize,
    /// The elements to add to the control: one or two springs.
    pub elements: Vec<Element>,
    /// Greatest force at the grip at the stops, N.
    pub full_force: f64,
    /// Growth of the force at the grip on leaving the center, N/m.
    pub gradient: f64,
    /// Force at the grip that sets it in motion upward from the center, N.
    pub breakout: f64,
    /// Greatest miss of a wanted value, in its tolerances: 1 is just good enough.
    pub miss: f64,
}

impl SpringFit {
    /// Preload of a captured spring, N; `None` for others.
    #[must_use]
    pub fn preload(&self) -> Option<f64> {
        match self.elements.first()? {
            Element::Line {
                law: AlongLine::Captured(spring),
                ..
            } => Some(spring.preload()),
            _ => None,
        }
    }
}
