//! A control over its whole gate: extremes of a value, and where a stick in a gimbal comes to rest.

use nalgebra::Matrix2;
use serde::{Deserialize, Serialize};

use crate::error::{Error, Result};
use crate::feel::control::{ApproachSide, Control};
use crate::feel::equilibrium::{Track, Way};
use crate::numeric::spacing::spaced_at;
use crate::observer;

/// Rounds of refinement about an extreme of the grid; each halves the step, so that twenty leave a millionth of it.
const ROUNDS: usize = 20;
/// Steps at one width of the step after which it is halved all the same.
const MOST_STEPS: usize = 50;
/// Turns of descent, one axis after the other, after which a rest is given up.
const TURNS: usize = 1000;
/// Change of an angle from one turn to the next at which a rest is found, rad.
const FOUND: f64 = 1e-12;
/// Directions in which a rest of a gimbal is tried.
const DIRECTIONS: usize = 16;
/// A torque that falls short of this does not drive, N m for a radian: what the found angles leave.
const NO_DRIVE: f64 = 1e-9;

/// Where a control comes to rest from a given position, without friction.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct Equilibrium {
    /// The angles, rad.
    pub angles: Vec<f64>,
    /// Whether no small displacement within the stops lowers the energy: it stays there, and comes back.
    pub stable: bool,
    /// Least and greatest stiffness there, N m/rad: eigenvalues of the matrix; they say nothing where a force jumps.
    pub stiffness: [f64; 2],
}

impl Control {
    /// Least and greatest of a value over the gate, and the angles where they are: on a grid of `points` for each axis,
    /// then refined.
    pub(super) fn extremes<const N: usize>(
        &self,
        points: usize,
        mut value: impl FnMut([f64; N]) -> Result<f64>,
    ) -> Result<[(f64, [f64; N]); 2]> {
        let travel = &self.spec().travel;
        let (mut least, mut most) = ((f64::INFINITY, [0.0; N]), (f64::NEG_INFINITY, [0.0; N]));
        for q in self.grid::<N>(points) {
            observer::check()?;
            let here = value(q)?;
            if here < least.0 {
                least = (here, q);
            }
            if here > most.0 {
                most = (here, q);
            }
        }
        let mut refine = |(value_there, q): (f64, [f64; N]),
                          sign: f64|
         -> Result<(f64, [f64; N])> {
            let (mut best, mut at) = (value_there, q);
            let mut share = 1.0 / (points - 1) as f64;
            for _ in 0..ROUNDS {
                share *= 0.5;
                // Along a slanting ridge one step is not enough.
                for _ in 0..MOST_STEPS {
                    let center = at;
                    for flat in 0..3_usize.pow(N as u32) {
                        let mut moved = center;
                        for (axis, (moved, [from, to])) in moved.iter_mut().zip(travel).enumerate()
                        {
                            let step = (flat / 3_usize.pow(axis as u32) % 3) as f64 - 1.0;
                            *moved = (*moved + step * share * (to - from)).clamp(*from, *to);
                        }
                        let here = value(moved)?;
                        if sign * here > sign * best {
                            (best, at) = (here, moved);
                        }
                    }
                    if at == center {
                        break;
                    }
                }
            }
            Ok((best, at))
        };
        Ok([refine(least, -1.0)?, refine(most, 1.0)?])
    }

    /// The gate on a grid of `points` (2 and more) for each axis.
    pub(super) fn grid<const N: usize>(&self, points: usize) -> impl Iterator<Item = [f64; N]> {
        let travel = &self.spec().travel;
        (0..points.pow(N as u32)).map(move |flat| {
            let mut rest = flat;
            let mut q = [0.0; N];
            for (q, travel) in q.iter_mut().zip(travel) {
                *q = spaced_at(*travel, rest % points, points - 1);
                rest /= points;
            }
            q
        })
    }

    /// Where the control comes to rest when it is let go slowly at the angles `start` (rad), without friction:
    /// downhill, one angle after the other, until neither goes on.
    ///
    /// # Errors
    /// As [`state`](Self::state); [`Error::Stalled`] if the descent does not end.
    pub fn equilibrium(&self, start: &[f64]) -> Result<Equilibrium> {
        self.check_angles(start)?;
        let mut angles = start.to_vec();
        let axes = self.axes();
        for _ in 0..TURNS {
            let before = angles.clone();
            for axis in 0..axes {
                let other = angles.get(1 - axis).copied().unwrap_or(0.0);
                let way = if axis == 0 {
                    Way::Outer(other)
                } else {
                    Way::Inner(other)
                };
                angles[axis] = Track::new(self, way)?.downhill(angles[axis])?;
            }
            let moved = angles.iter().zip(&before).map(|(a, b)| (a - b).abs());
            if axes == 1 || moved.fold(0.0, f64::max) <= FOUND {
                return self.balance_at(angles);
            }
        }
        Err(Error::Stalled {
            quantity: "the way of the control to its rest",
            reached: TURNS as f64,
            wanted: f64::INFINITY,
            unit: "turns",
        })
    }

    fn balance_at(&self, angles: Vec<f64>) -> Result<Equilibrium> {
        let stiffness = &self.state(&angles)?.stiffness;
        let stiffness = match stiffness.as_slice() {
            [first, second] => {
                let matrix = Matrix2::new(first[0], first[1], second[0], second[1]);
                let values = matrix.symmetric_eigenvalues();
                [values.min(), values.max()]
            }
            rows => [rows[0][0]; 2],
        };
        Ok(Equilibrium {
            stable: self.holds(&angles)?,
            angles,
            stiffness,
        })
    }

    /// Whether no direction within the stops lowers the energy.
    fn holds(&self, angles: &[f64]) -> Result<bool> {
        let inside = |angle: f64, way: f64, [least, greatest]: &[f64; 2]| {
            way == 0.0 || (way > 0.0 && angle < *greatest) || (way < 0.0 && angle > *least)
        };
        for way in self.directions(angles)? {
            let possible = angles.iter().zip(&way).zip(&self.spec().travel);
            if !possible
                .into_iter()
                .all(|((angle, way), travel)| inside(*angle, *way, travel))
            {
                continue;
            }
            let (slope, bend) = self.along(angles, &way)?;
            if slope < -NO_DRIVE || (slope <= NO_DRIVE && bend < 0.0) {
                return Ok(false);
            }
        }
        Ok(true)
    }

    /// Directions to try from a position: evenly all around, and those in which the stiffness is least and greatest,
    /// which a narrow saddle hides between them.
    fn directions(&self, angles: &[f64]) -> Result<Vec<Vec<f64>>> {
        if self.axes() == 1 {
            return Ok(vec![vec![1.0], vec![-1.0]]);
        }
        // Along the axes exactly, or a stop would forbid what only rounding leads into it.
        let mut all: Vec<Vec<f64>> = [[1.0, 0.0], [-1.0, 0.0], [0.0, 1.0], [0.0, -1.0]]
            .map(Vec::from)
            .to_vec();
        let turn = std::f64::consts::TAU / DIRECTIONS as f64;
        let around = (0..DIRECTIONS).filter(|i| i % (DIRECTIONS / 4) != 0);
        all.extend(around.map(|i| vec![(turn * i as f64).cos(), (turn * i as f64).sin()]));
        for side in [ApproachSide::Above, ApproachSide::Below] {
            let stiffness = self.state_from(angles, side)?.stiffness;
            let [first, second] = stiffness.as_slice() else {
                continue;
            };
            let matrix = Matrix2::new(first[0], first[1], second[0], second[1]);
            for way in matrix.symmetric_eigen().eigenvectors.column_iter() {
                all.push(vec![way[0], way[1]]);
                all.push(vec![-way[0], -way[1]]);
            }
        }
        Ok(all)
    }

    /// First and second derivative of the energy in a direction.
    fn along(&self, angles: &[f64], way: &[f64]) -> Result<(f64, f64)> {
        fn sums<const N: usize>(
            load: &crate::feel::elements::Load<N>,
            way: [f64; N],
        ) -> (f64, f64) {
            let slope = (0..N).map(|i| load.slope[i] * way[i]).sum();
            let bend = (0..N)
                .flat_map(|i| (0..N).map(move |j| (i, j)))
                .map(|(i, j)| load.bend[i][j] * way[i] * way[j])
                .sum();
            (slope, bend)
        }
        match (angles, way) {
            (&[q], &[way]) => Ok(sums(&self.load_with_stiffness([q], [way])?, [way])),
            (&[q, p], &[a, b]) => {
                let load = self.load_with_stiffness([q, p], [a, b])?;
                Ok(sums(&load, [a, b]))
            }
            _ => self.check_angles(angles).map(|()| (0.0, 0.0)),
        }
    }
}

impl Track<'_> {
    /// The rest that is reached downhill from an angle.
    fn downhill(&self, angle: f64) -> Result<f64> {
        let rests = self.equilibrium_bands(false)?;
        if rests
            .iter()
            .any(|rest| rest.stable && rest.lower <= angle && angle <= rest.upper)
        {
            return Ok(angle);
        }
        let up = self.at(angle, 1.0)?.slope < 0.0;
        let stable = rests.iter().filter(|rest| rest.stable);
        let next = if up {
            stable.map(|rest| rest.lower).find(|from| *from >= angle)
        } else {
            stable.map(|rest| rest.upper).rev().find(|to| *to <= angle)
        };
        Ok(next.unwrap_or(angle))
    }
}
