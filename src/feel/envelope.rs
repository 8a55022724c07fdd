//! What springs go through over the whole gate: how long they get, and where they are slack, solid or overstretched.

use serde::{Deserialize, Serialize};

use crate::error::{Result, counted};
use crate::feel::body::{Anchor, Bearing, Drive};
use crate::feel::control::Control;
use crate::feel::elements::{AT_JUMP, Element, Span, apart};
use crate::feel::gate_way::GateWay;
use crate::spring::LinearSpringState;

/// What a spring goes through over the whole gate.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct SpringEnvelope {
    /// Number of the element among those of the control.
    pub element: usize,
    /// Least distance of its anchors, m, and the angles (rad) where that is.
    pub shortest: (f64, Vec<f64>),
    /// Greatest distance of its anchors, m, and the angles where that is.
    pub longest: (f64, Vec<f64>),
    /// Angles of the first place looked at where it is slack (the grid, then the extremes); `None` if it never is.
    pub slack: Option<Vec<f64>>,
    /// The same for solid.
    pub solid: Option<Vec<f64>>,
    /// The same for overstretched.
    pub overstretched: Option<Vec<f64>>,
    /// The same for a length off its table, where it has no force at all.
    pub refused: Option<Vec<f64>>,
}

/// How long what acts along lines is over the gate, at every place that is looked at on the way to the extremes. That
/// hangs on where its ends are and not on what pulls there, so that controls that differ in their springs alone share
/// it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct LinePaths {
    points: usize,
    bearing: Bearing,
    travel: Vec<[f64; 2]>,
    driven: Vec<Drive>,
    paths: Vec<LinePath>,
}

#[derive(Debug, Clone, PartialEq)]
struct LinePath {
    /// Number of the element among those of the control.
    element: usize,
    ends: [Anchor; 2],
    places: Vec<Place>,
    shortest: (f64, Vec<f64>),
    longest: (f64, Vec<f64>),
}

#[derive(Debug, Clone, Copy, PartialEq)]
struct Place {
    /// The second one is nothing where there is one angle.
    angles: [f64; 2],
    length: f64,
}

impl LinePaths {
    /// Whether it is that of a control: what pulls there does not matter.
    fn is_of(&self, control: &Control) -> bool {
        let spec = control.spec();
        let ends = |(number, element): (usize, &Element)| Some((number, element.anchors()?));
        let lines = spec.elements.iter().enumerate().filter_map(ends);
        self.bearing == spec.bearing
            && self.travel == spec.travel
            && self.driven == spec.driven
            && lines.eq(self.paths.iter().map(|path| (path.element, path.ends)))
    }
}

impl Control {
    /// What each spring goes through over the whole gate, looked at on a grid of `points` (2 to 1001) for each axis;
    /// the extremes are refined.
    ///
    /// # Errors
    /// [`Error::Count`](crate::Error::Count); what a linkage or coinciding anchors refuse somewhere in the gate.
    pub fn spring_envelopes(&self, points: usize) -> Result<Vec<SpringEnvelope>> {
        self.spring_envelopes_along(points, None)
    }

    /// The same, with lengths that are known of a control with the same ends.
    ///
    /// # Errors
    /// As [`spring_envelopes`](Self::spring_envelopes).
    pub(crate) fn spring_envelopes_along(
        &self,
        points: usize,
        known: Option<&LinePaths>,
    ) -> Result<Vec<SpringEnvelope>> {
        let known = known.filter(|known| known.points == points && known.is_of(self));
        let envelopes = |paths: &LinePaths| {
            let paths = paths.paths.iter();
            paths.filter_map(|path| self.envelope_along(path)).collect()
        };
        match known {
            Some(known) => Ok(envelopes(known)),
            None => self.line_paths(points).map(|found| envelopes(&found)),
        }
    }

    /// How long what acts along lines is over the gate.
    ///
    /// # Errors
    /// As [`spring_envelopes`](Self::spring_envelopes).
    pub(crate) fn line_paths(&self, points: usize) -> Result<LinePaths> {
        counted("points of the grid", points, [2, 1001])?;
        let spec = self.spec();
        let mut paths = Vec::new();
        for (number, element) in spec.elements.iter().enumerate() {
            if let Some(ends) = element.anchors() {
                paths.push(if self.axes() == 1 {
                    self.line_path::<1>(number, ends, points)?
                } else {
                    self.line_path::<2>(number, ends, points)?
                });
            }
        }
        Ok(LinePaths {
            points,
            bearing: spec.bearing,
            travel: spec.travel.clone(),
            driven: spec.driven.clone(),
            paths,
        })
    }

    fn line_path<const N: usize>(
        &self,
        element: usize,
        ends: [Anchor; 2],
        points: usize,
    ) -> Result<LinePath> {
        let mut places = Vec::new();
        let way = GateWay::new(&self.spec().bearing, &ends);
        let [shortest, longest] = self.extremes(points, |q: [f64; N]| {
            let length = match &way {
                Some(way) => apart(way.length(q))?,
                None => self.span(&ends, q)?.length,
            };
            let mut angles = [0.0; 2];
            angles[..N].copy_from_slice(&q);
            places.push(Place { angles, length });
            Ok(length)
        })?;
        // The same to the last bit as the state there has it.
        let exact = |(_, at): (f64, [f64; N])| Ok((self.span(&ends, at)?.length, at.to_vec()));
        Ok(LinePath {
            element,
            ends,
            places,
            shortest: exact(shortest)?,
            longest: exact(longest)?,
        })
    }

    fn span<const N: usize>(&self, ends: &[Anchor; 2], q: [f64; N]) -> Result<Span<N>> {
        let scene = self.scene(q)?;
        let [from, to] = ends.each_ref().map(|end| scene.point(end));
        Span::of(&from, &to)
    }

    /// The length at a place as a state has it, and whether it grows when all angles do.
    fn exactly(&self, ends: &[Anchor; 2], [first, second]: [f64; 2]) -> Result<(f64, bool)> {
        fn told<const N: usize>(span: &Span<N>) -> (f64, bool) {
            (span.length, span.first.iter().sum::<f64>() >= 0.0)
        }
        Ok(if self.axes() == 1 {
            told(&self.span(ends, [first])?)
        } else {
            told(&self.span(ends, [first, second])?)
        })
    }

    fn envelope_along(&self, path: &LinePath) -> Option<SpringEnvelope> {
        let Some(Element::Line { law, .. }) = self.spec().elements.get(path.element) else {
            return None;
        };
        let at = |length: f64, above: bool| {
            let pulled = law.at(length, above);
            pulled.ok().map(|pulled| pulled.state)
        };
        let state = |place: &Place| {
            let near = [-AT_JUMP, AT_JUMP].map(|by| at(place.length + by, true));
            if near[0] == near[1] {
                return near[0];
            }
            // So near to where it becomes another every bit counts, and from where the place is come to.
            let (length, grows) = self.exactly(&path.ends, place.angles).ok()?;
            at(length, grows)
        };
        let mut states: [Option<&Place>; 4] = [None; 4];
        for place in &path.places {
            let kind = match state(place) {
                Some(LinearSpringState::Working) => continue,
                Some(LinearSpringState::Slack) => 0,
                Some(LinearSpringState::Solid) => 1,
                Some(LinearSpringState::Overstretched) => 2,
                None => 3,
            };
            states[kind].get_or_insert(place);
        }
        let angles = |place: &Place| place.angles[..self.axes()].to_vec();
        let [slack, solid, overstretched, refused] = states.map(|place| place.map(angles));
        Some(SpringEnvelope {
            element: path.element,
            shortest: path.shortest.clone(),
            longest: path.longest.clone(),
            slack,
            solid,
            overstretched,
            refused,
        })
    }
}

#[cfg(test)]
#[path = "envelope_tests.rs"]
mod tests;
