//! Where to anchor which spring, for a wanted feel.

mod demand;
mod search;

pub use demand::{SpringChoice, SpringDemand, SpringFit, SpringLayout, TargetValue};

use crate::error::Result;
use crate::feel::control::Control;
use crate::feel::fit::search::Search;
use crate::search::SearchResult;

impl Control {
    /// Searches for springs and anchors that give a wanted force at the stops, gradient and breakout, beside all that
    /// the control has already.
    ///
    /// For every spring of the list the anchors (and the preload of a captured spring) are sought by least squares from
    /// several places spread evenly over their boxes, the bounds by a smooth change of variables, the limits of the
    /// spring as part of the sum, ever more steeply until they are kept. An answer keeps every limit over the whole
    /// gate, as [`spring_envelopes`](Self::spring_envelopes) measures it. The same input gives the same answer. The
    /// answers come best first, one for each spring that reaches every wanted value within its tolerance. Counted is
    /// every place that was searched from.
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
