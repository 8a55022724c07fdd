//! The energy of a control and its derivatives, summed over what acts.

use crate::error::Result;
use crate::feel::body::{Moved, Turned};
use crate::feel::elements::line::{AlongLine, Span};

/// Energy of a control and its derivatives by the N angles.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::feel) struct Load<const N: usize> {
    /// J.
    pub(in crate::feel) energy: f64,
    /// First derivatives, N m: the torque on the control is their opposite.
    pub(in crate::feel) slope: [f64; N],
    /// Second derivatives, N m/rad.
    pub(in crate::feel) bend: [[f64; N]; N],
}

impl<const N: usize> Load<N> {
    pub(in crate::feel) const ZERO: Self = Self {
        energy: 0.0,
        slope: [0.0; N],
        bend: [[0.0; N]; N],
    };

    /// Adds an energy U(s) of a quantity s: its value, U' and U'', and the derivatives of s.
    #[inline(always)]
    fn add(&mut self, [energy, by, twice]: [f64; 3], first: &[f64; N], second: &[[f64; N]; N]) {
        self.energy += energy;
        for i in 0..N {
            self.slope[i] += by * first[i];
            for j in 0..N {
                // In this order, so that the matrix is symmetric to the last bit.
                self.bend[i][j] += twice * (first[i] * first[j]) + by * second[i][j];
            }
        }
    }

    /// Adds what acts along the line between two points, as it does at the length `meant` for their distance; where a
    /// force jumps, the limit for `side`.
    #[inline(always)]
    pub(in crate::feel) fn add_line(
        &mut self,
        law: &AlongLine,
        [a, b]: &[Moved<N>; 2],
        side: &[f64; N],
        meant: impl Fn(f64) -> f64,
    ) -> Result<()> {
        let span = Span::of(a, b)?;
        let growing: f64 = (0..N).map(|i| span.first[i] * side[i]).sum();
        let pulled = law.at(meant(span.length), growing >= 0.0)?;
        self.add(
            [pulled.energy, pulled.tension, pulled.stiffness],
            &span.first,
            &span.second,
        );
        Ok(())
    }

    /// The same for an energy of the angle of one body.
    pub(super) fn add_turned(&mut self, energy: [f64; 3], turned: &Turned) {
        let (mut first, mut second) = ([0.0; N], [[0.0; N]; N]);
        first[turned.axis] = turned.transfer.ratio;
        second[turned.axis][turned.axis] = turned.transfer.curvature;
        self.add(energy, &first, &second);
    }
}
