//! What turns while one angle of a control moves, at many angles at a time: that angle itself, and the bodies that it
//! drives.

use crate::feel::body::{Bearing, Body, Drive, Scene, pivot_of};

/// Places worked on at a time: their sums fit the first-level cache.
pub(super) const LANES: usize = 64;

/// An angle that turns as the moving one does, with its two derivatives by that one, at each of so many places; NaN
/// where a linkage has none.
#[derive(Debug, Clone)]
pub(super) struct Lanes {
    pub(super) angle: [f64; LANES],
    pub(super) ratio: [f64; LANES],
    pub(super) curvature: [f64; LANES],
}

/// The angles that turn as one angle of a control does. Number 0 is that angle itself; that of driven body n is n + 1.
#[derive(Debug, Clone)]
pub(super) struct Followers<'a> {
    bearing: &'a Bearing,
    driven: &'a [Drive],
    axis: usize,
    /// Which of the driven bodies turn with it.
    moved: Vec<bool>,
}

impl<'a> Followers<'a> {
    /// Of the angle number `axis`, from the control anywhere.
    pub(super) fn new<const N: usize>(
        bearing: &'a Bearing,
        driven: &'a [Drive],
        scene: &Scene<N>,
        axis: usize,
    ) -> Self {
        let moved = (0..driven.len()).map(|number| {
            let turned = scene.of(Body::Driven(number)).turned();
            turned.is_some_and(|turned| turned.axis == axis)
        });
        Self {
            moved: moved.collect(),
            bearing,
            driven,
            axis,
        }
    }

    /// Which angle of the control it is.
    pub(super) fn axis(&self) -> usize {
        self.axis
    }

    /// The body by whose drive the angle number `number` turns, if that is not the moving angle itself.
    pub(super) fn drive(&self, number: usize) -> Option<&'a Drive> {
        self.driven.get(number.checked_sub(1)?)
    }

    /// The greatest number of an angle.
    pub(super) fn last(&self) -> usize {
        self.driven.len()
    }

    /// The number of the angle about its own pivot by which a body turns; `None` of one that stands still or that is
    /// carried along.
    pub(super) fn number<const N: usize>(&self, body: Body, scene: &Scene<N>) -> Option<usize> {
        match body {
            Body::Driven(number) => {
                let moved = self.moved.get(number).is_some_and(|moved| *moved);
                moved.then_some(number + 1)
            }
            _ => {
                let turned = scene.of(body).turned()?;
                (turned.axis == self.axis).then_some(0)
            }
        }
    }

    /// The angles up to number `last` where the moving one is as given.
    pub(super) fn at(&self, angles: &[f64; LANES], last: usize) -> Vec<Lanes> {
        let mut all = vec![Lanes {
            angle: *angles,
            ratio: [1.0; LANES],
            curvature: [0.0; LANES],
        }];
        for (number, drive) in self.driven.iter().enumerate().take(last) {
            let mut lanes = Lanes {
                angle: [f64::NAN; LANES],
                ratio: [f64::NAN; LANES],
                curvature: [f64::NAN; LANES],
            };
            let by = match drive.by() {
                Body::Driven(before) => before + 1,
                _ => 0,
            };
            if self.moved[number]
                && let Some(by) = all.get(by)
            {
                let pivot = pivot_of(self.bearing, self.driven, drive.by());
                let next = drive.transfers(&pivot, &by.angle);
                // Work that was stopped is shorter.
                for i in 0..next.angles.len().min(LANES) {
                    let (ratio, curvature) = (next.ratios[i], next.curvatures[i]);
                    lanes.angle[i] = next.angles[i];
                    lanes.ratio[i] = ratio * by.ratio[i];
                    lanes.curvature[i] =
                        curvature * by.ratio[i] * by.ratio[i] + ratio * by.curvature[i];
                }
            }
            all.push(lanes);
        }
        all
    }
}
