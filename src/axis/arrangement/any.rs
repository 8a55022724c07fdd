//! The value that holds any arrangement.

use serde::{Deserialize, Serialize};

use crate::axis::arrangement::head_on::HeadOnLayout;
use crate::axis::arrangement::measure::{Measure, MeasureValue};
use crate::axis::arrangement::mounting::Mounting;
use crate::axis::arrangement::pair::PairLayout;
use crate::axis::arrangement::parts::ArrangedParts;
use crate::axis::arrangement::shaft_end::ShaftEndLayout;
use crate::axis::arrangement::swung::SwungLayout;
use crate::axis::arrangement::traits::Arrangement;
use crate::error::Result;

/// Any arrangement as a value: what searches and tolerance studies vary by its measures.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub enum AnyArrangement {
    /// One magnet swung past the sensor.
    Swung(SwungLayout),
    /// Two magnets side by side.
    Pair(Box<PairLayout>),
    /// A magnet that comes towards the sensor.
    HeadOn(HeadOnLayout),
    /// A magnet on a shaft.
    ShaftEnd(ShaftEndLayout),
}

/// The same call, whichever it is.
macro_rules! whichever {
    ($arrangement:expr, $layout:ident => $call:expr) => {
        match $arrangement {
            AnyArrangement::Swung($layout) => $call,
            AnyArrangement::Pair($layout) => $call,
            AnyArrangement::HeadOn($layout) => $call,
            AnyArrangement::ShaftEnd($layout) => $call,
        }
    };
}

impl Arrangement for AnyArrangement {
    fn parts(&self) -> &ArrangedParts {
        whichever!(self, layout => layout.parts())
    }

    fn mounting(&self) -> &Mounting {
        whichever!(self, layout => layout.mounting())
    }

    fn measures(&self) -> Vec<MeasureValue> {
        whichever!(self, layout => layout.measures())
    }

    fn with_measure(&self, measure: Measure, value: f64) -> Result<Self> {
        whichever!(self, layout => layout.with_measure(measure, value).map(Self::from))
    }

    fn with_measures(&self, values: &[(Measure, f64)]) -> Result<Self> {
        whichever!(self, layout => layout.with_measures(values).map(Self::from))
    }
}

impl From<SwungLayout> for AnyArrangement {
    fn from(layout: SwungLayout) -> Self {
        Self::Swung(layout)
    }
}

impl From<PairLayout> for AnyArrangement {
    fn from(layout: PairLayout) -> Self {
        Self::Pair(Box::new(layout))
    }
}

impl From<HeadOnLayout> for AnyArrangement {
    fn from(layout: HeadOnLayout) -> Self {
        Self::HeadOn(layout)
    }
}

impl From<ShaftEndLayout> for AnyArrangement {
    fn from(layout: ShaftEndLayout) -> Self {
        Self::ShaftEnd(layout)
    }
}
