//! The current that a rig draws from its port.

use serde::Serialize;

use crate::error::{Result, counted, within};
use crate::rig::cost::used;
use crate::rig::design::Design;
use crate::stored::checked_when_read;

/// Most current of a rig, A: more than any port gives.
const MAX_CURRENT: f64 = 1e9;

/// What one kind of part draws.
#[derive(Debug, Clone, PartialEq, Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Consumer {
    /// What it is called.
    pub name: String,
    /// How many there are.
    pub quantity: u64,
    /// Current of one, A.
    pub current: f64,
}

checked_when_read! {
    /// The current that sensors, converters and listed parts draw together, beside what the port may be asked for.
    #[derive(Debug, Clone, PartialEq, Serialize)]
    pub struct Supply {
        consumers: Vec<Consumer>,
        current: f64,
        limit: Option<f64>,
    }
}

impl Supply {
    /// Of a design; none if its file tells no current.
    pub(super) fn of(design: &Design) -> Option<Self> {
        let parts = design.bill().parts.iter().filter_map(|part| {
            Some(Consumer {
                name: format!("{} {}", part.section, part.name),
                quantity: used(design, part).0,
                current: part.current?,
            })
        });
        let items = design.bill().items.iter().filter_map(|item| {
            Some(Consumer {
                name: item.name.clone(),
                quantity: item.quantity,
                current: item.current?,
            })
        });
        let consumers: Vec<Consumer> = parts.chain(items).filter(|one| one.quantity > 0).collect();
        let currents = consumers
            .iter()
            .map(|one| one.quantity as f64 * one.current);
        let supply = Self {
            current: currents.sum(),
            limit: design.supply_limit(),
            consumers,
        };
        (!supply.consumers.is_empty()).then_some(supply)
    }

    fn check(&self) -> Result<()> {
        for one in &self.consumers {
            within("current of a part", one.current, 0.0, MAX_CURRENT, "A")?;
            counted("quantity of a part", one.quantity as usize, [1, 1_000_000])?;
        }
        within("supply current", self.current, 0.0, MAX_CURRENT, "A")?;
        within(
            "limit of the supply",
            self.limit.unwrap_or(0.0),
            0.0,
            MAX_CURRENT,
            "A",
        )?;
        Ok(())
    }

    /// What draws current, in the order of the bill of materials.
    #[must_use]
    pub fn consumers(&self) -> &[Consumer] {
        &self.consumers
    }

    /// What they draw together, A.
    #[must_use]
    pub fn current(&self) -> f64 {
        self.current
    }

    /// What the port may be asked for, A, if the file says so.
    #[must_use]
    pub fn limit(&self) -> Option<f64> {
        self.limit
    }
}
