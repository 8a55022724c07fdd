//! What a curve leaves of the errors of the rows.

use serde::Serialize;

use crate::axis::bench::calibration::curve::CalibrationCurve;
use crate::error::{Result, finite, within};
use crate::stored::checked_when_read;

checked_when_read! {
    /// Departures of the positions that a calibration tells from the angles that were measured.
    #[derive(Debug, Clone, Copy, PartialEq, Serialize)]
    #[non_exhaustive]
    pub struct CalibrationResiduals {
        /// Number of rows.
        pub rows: usize,
        /// Root mean square, rad.
        pub rms: f64,
        /// Mean of position less angle, rad.
        pub mean: f64,
        /// Greatest, without its sign, rad.
        pub greatest: f64,
        /// Angle of the row with the greatest, rad.
        pub at: f64,
        /// The root mean square as a part of the travel of the sweep.
        pub rms_share: f64,
        /// The greatest as a part of the travel of the sweep.
        pub greatest_share: f64,
    }
}

impl CalibrationResiduals {
    fn check(&self) -> Result<()> {
        let size = |of, value| within(of, value, 0.0, f64::MAX, "rad");
        size("residual, rms", self.rms)?;
        size("greatest residual", self.greatest)?;
        finite("mean residual", self.mean, "rad")?;
        finite("angle of the greatest residual", self.at, "rad")?;
        let share = |of, value| within(of, value, 0.0, f64::MAX, "of travel");
        share("residual, rms", self.rms_share)?;
        share("greatest residual", self.greatest_share)?;
        Ok(())
    }

    /// Of rows of count and angle, of which there are some.
    pub(super) fn of(curve: &CalibrationCurve, rows: &[[f64; 2]], travel: [f64; 2]) -> Self {
        let (mut sum, mut squares, mut greatest, mut at) = (0.0, 0.0, 0.0, f64::NAN);
        for [count, angle] in rows {
            let residual = curve.value(*count) - angle;
            sum += residual;
            squares += residual * residual;
            if residual.abs() > greatest || at.is_nan() {
                (greatest, at) = (residual.abs(), *angle);
            }
        }
        let count = rows.len() as f64;
        let rms = (squares / count).sqrt();
        let whole = travel[1] - travel[0];
        Self {
            rows: rows.len(),
            rms,
            mean: sum / count,
            greatest,
            at,
            rms_share: rms / whole,
            greatest_share: greatest / whole,
        }
    }
}
