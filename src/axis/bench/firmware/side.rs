//! One side of the output as a table of whole numbers: table, multiplication, shift and clamp, without a sign.

use crate::error::{Error, Result};
use crate::numeric::tube;

/// Least shift that leaves digits enough.
const LEAST_SHIFT: u32 = 8;

/// The size of the output by the distance of the code from the first code of the side, counted away from the center.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Side {
    /// First code of the side, counted away from the center.
    pub(super) first: u32,
    /// Last code of the side: beyond it the output is full.
    pub(super) last: u32,
    /// Distances at which pieces begin, the last one the end.
    pub(super) at: Vec<u32>,
    /// Size of the output there, times two to the shift.
    pub(super) base: Vec<u32>,
    /// Growth for a code, times two to the shift; 0 at the end.
    pub(super) slope: Vec<u32>,
}

impl Side {
    /// Through the sizes that codes should have, first to last, which do not fall; with so many knots at most.
    pub(super) fn new(
        [first, last]: [u32; 2],
        sizes: &[f64],
        knots: usize,
        shift: u32,
    ) -> Result<Self> {
        let corners = match sizes {
            [only] => vec![[0.0, *only]],
            _ => {
                let places: Vec<f64> = (0..sizes.len()).map(|i| i as f64).collect();
                tube::least_departure(&places, sizes, knots - 1)?.corners
            }
        };
        let scale = f64::from(shift).exp2();
        let (mut at, mut base): (Vec<u32>, Vec<u32>) = (Vec::new(), Vec::new());
        for (i, corner) in corners.iter().enumerate() {
            // A whole code; on the polygon there, not where its corner was.
            let place = corner[0].round();
            let size = on(&corners, i, place);
            let least = base.last().copied().unwrap_or(0);
            let whole = ((size * scale).round().clamp(0.0, f64::from(u32::MAX)) as u32).max(least);
            let place = place as u32;
            if at.last() == Some(&place) {
                continue;
            }
            at.push(place);
            base.push(whole);
        }
        // Rounded down, so that no piece ends above where the next begins.
        let pieces = at.windows(2).zip(base.windows(2));
        let mut slope: Vec<u32> = pieces
            .map(|(at, base)| (base[1] - base[0]) / (at[1] - at[0]))
            .collect();
        slope.push(0);
        Ok(Self {
            first,
            last,
            at,
            base,
            slope,
        })
    }

    /// Size of the output at a distance from the first code; none where 32 bits would overflow.
    pub(super) fn size(&self, distance: u32, shift: u32, full: u32) -> Option<u32> {
        let mut k = 0;
        while k + 1 < self.at.len() && distance >= self.at[k + 1] {
            k += 1;
        }
        let half = 1 << (shift - 1);
        let grown = self.slope[k].checked_mul(distance - self.at[k])?;
        let sum = self.base[k].checked_add(grown)?.checked_add(half)?;
        Some((sum >> shift).min(full))
    }

    /// Whether 32 bits are enough at every code of the side.
    pub(super) fn fits(&self, shift: u32, full: u32) -> bool {
        let codes = self.first.abs_diff(self.last);
        (0..=codes).all(|distance| self.size(distance, shift, full).is_some())
    }
}

/// The polygon at a place beside its corner `i`.
fn on(corners: &[[f64; 2]], i: usize, place: f64) -> f64 {
    let piece = if place < corners[i][0] && i > 0 {
        i - 1
    } else {
        i.min(corners.len().saturating_sub(2))
    };
    let a = corners[piece];
    match corners.get(piece + 1) {
        Some(b) if b[0] > a[0] => a[1] + (b[1] - a[1]) * ((place - a[0]) / (b[0] - a[0])),
        _ => a[1],
    }
}

/// Both sides, each as far as it has codes, with the greatest shift with which 32 bits are enough at every code.
pub(super) fn both(
    sides: [Option<([u32; 2], Vec<f64>)>; 2],
    knots: usize,
    full: u32,
) -> Result<([Option<Side>; 2], u32)> {
    let most = 31 - (full + 1).ilog2() + 1;
    for shift in (LEAST_SHIFT..=most).rev() {
        let made = sides.each_ref().map(|side| {
            let made = side
                .as_ref()
                .map(|(codes, sizes)| Side::new(*codes, sizes, knots, shift));
            made.transpose()
        });
        let [lower, upper] = made;
        let made = [lower?, upper?];
        if made.iter().flatten().all(|side| side.fits(shift, full)) {
            return Ok((made, shift));
        }
    }
    Err(Error::OutOfRange {
        quantity: "size of the output of the firmware",
        value: f64::from(full),
        min: 0.0,
        max: f64::from(1_u32 << 16),
        unit: "(no unit)",
        hint: crate::error::Hint::None,
    })
}
