//! Where to anchor which spring, for a wanted feel.

mod search;

use nalgebra::{Point3, Vector3};
use serde::Serialize;

use crate::error::Result;
use crate::feel::body::Body;
use crate::feel::control::Control;
use crate::feel::elements::{AlongLine, Element};
use crate::feel::equilibrium::Way;
use crate::feel::fit::search::Search;
use crate::search::SearchResult;
use crate::spring::LineSpring;

/// A value and how far off it may be.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct TargetValue {
    /// The value.
    pub value: f64,
    /// How far off it may be, above 0.
    pub tolerance: f64,
}

/// How many springs, and how they stand.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub enum SpringLayout {
    /// One.
    Single,
    /// Two of a kind, mirror images of each other in the plane through the pivot with this normal (at zero angle).
    Mirrored(Vector3<f64>),
}

/// A spring to choose from.
#[derive(Debug, Clone, PartialEq)]
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

/// What is sought; [`Control::search_springs`] finds it, [`Control::search_springs_together`] several of them at once.
#[derive(Debug, Clone, PartialEq)]
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

/// Springs that give the wanted feel.
#[derive(Debug, Clone, PartialEq)]
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

impl Control {
    /// Searches for springs and anchors that give a wanted force at the stops, gradient and breakout, beside all that
    /// the control has already.
    ///
    /// For every spring of the list the anchors (and the preload of a captured spring) are sought by least squares from
    /// several places spread evenly over their boxes, the bounds by a smooth change of variables, the limits of the
    /// spring as part of the sum, ever more steeply until they are kept. An answer keeps every limit over the whole
    /// gate, as [`line_spans`](Self::line_spans) measures it. The same input gives the same answer. The answers come
    /// best first, one for each spring that reaches every wanted value within its tolerance. Counted is every place
    /// that was searched from.
    ///
    /// Springs that are added later change the feel: those of both axes of a gimbal are to be sought
    /// [together](Self::search_springs_together).
    ///
    /// # Errors
    /// [`Error::Count`](crate::Error::Count), [`Error::NotFinite`](crate::Error::NotFinite),
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) for values outside the ranges named in [`SpringDemand`];
    /// [`Error::NotAChoice`](crate::Error::NotAChoice) for a body that does not move. As [`Control::new`]. That
    /// no spring does is no error here; [`SearchResult::best`] makes it one.
    ///
    /// # References
    /// Levenberg-Marquardt as in MINPACK (J. J. More, 1978); exterior penalties (textbook); start places by the
    /// additive recurrence of the generalized golden ratio (M. Roberts, 2018).
    pub fn search_springs(&self, demand: &SpringDemand) -> Result<SearchResult<SpringFit>> {
        let together = self.search_springs_together(std::slice::from_ref(demand))?;
        Ok(together.filter_map(|fits| fits.into_iter().next()))
    }

    /// Searches for several springs or pairs of springs at once, each with wanted values of its own on an angle of its
    /// own: as for pitch and roll of a stick, where each pair is felt on both axes.
    ///
    /// What is measured is the control with all of them. Each answer has one [`SpringFit`] for every demand, in their
    /// order; there is one answer for each combination of springs (at most 10000) with which every demand is met, best
    /// first by the greatest miss.
    ///
    /// # Errors
    /// As [`search_springs`](Self::search_springs); [`Error::Count`](crate::Error::Count) for no demand, more than 8,
    /// or more than 10000 combinations of springs.
    pub fn search_springs_together(
        &self,
        demands: &[SpringDemand],
    ) -> Result<SearchResult<Vec<SpringFit>>> {
        if self.axes() == 1 {
            Search::<1>::new(self, demands)?.result()
        } else {
            Search::<2>::new(self, demands)?.result()
        }
    }
}
