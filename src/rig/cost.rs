//! What a rig costs, where the money goes, and the list of what to buy.

use std::fmt;

use serde::{Deserialize, Serialize};

use crate::error::{Error, Result, counted, echo, within};
use crate::linkage::GimbalAxis;
use crate::rig::bill::{BoughtPart, RIG};
use crate::rig::control::NamedAxis;
use crate::rig::design::Design;
use crate::stored::checked_when_read;

/// Highest price of one of anything, and of a whole rig.
const MAX_PRICE: f64 = 1e9;
const MAX_TOTAL: f64 = 1e18;
/// Most of one thing.
const MAX_QUANTITY: usize = 1_000_000;

/// One line of the bill of materials.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BillItem {
    kind: String,
    name: String,
    quantity: u64,
    price: Option<f64>,
    used_by: Vec<String>,
    note: Option<String>,
}

impl BillItem {
    /// What it is: the section of the design file that describes it, `magnet`, `sensor`, ...; `part` for what is listed
    /// there by itself, `control` for the price that a control has by itself.
    #[must_use]
    pub fn kind(&self) -> &str {
        &self.kind
    }

    /// What it is called.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// How many are bought.
    #[must_use]
    pub fn quantity(&self) -> u64 {
        self.quantity
    }

    /// What one of them costs, if the file says so.
    #[must_use]
    pub fn price(&self) -> Option<f64> {
        self.price
    }

    /// What all of them cost.
    #[must_use]
    pub fn total(&self) -> Option<f64> {
        Some(self.price? * self.quantity as f64)
    }

    /// The controls that it is for, which share its price evenly; one is there as often as it uses it. Empty of what
    /// belongs to the rig.
    #[must_use]
    pub fn used_by(&self) -> &[String] {
        &self.used_by
    }

    /// What it is like, or where to find it.
    #[must_use]
    pub fn note(&self) -> Option<&str> {
        self.note.as_deref()
    }
}

/// What of the money goes to one control, or to the rig itself.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CostShare {
    name: String,
    amount: f64,
    share: Option<f64>,
}

impl CostShare {
    /// The control, or `rig` for what belongs to none.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// What it costs.
    #[must_use]
    pub fn amount(&self) -> f64 {
        self.amount
    }

    /// Of the whole, 0 to 1; none where the whole costs nothing.
    #[must_use]
    pub fn share(&self) -> Option<f64> {
        self.share
    }
}

checked_when_read! {
    /// What a rig costs: the bill of materials, and how it is shared out among the controls.
    ///
    /// Magnets, plates, sensors and filters are bought as often as controls use them, a linkage once, a converter once
    /// for all its channels. What several controls use is shared out evenly among them.
    #[derive(Debug, Clone, PartialEq, Serialize)]
    pub struct Cost {
        items: Vec<BillItem>,
        shares: Vec<CostShare>,
        total: f64,
    }
}

impl Cost {
    /// Of a design; the currency is the user's own.
    pub(super) fn of(design: &Design) -> Self {
        let mut items: Vec<BillItem> = Vec::new();
        for part in &design.bill().parts {
            let (quantity, used_by) = used(design, part);
            if quantity > 0 {
                items.push(BillItem {
                    kind: part.section.to_owned(),
                    name: part.name.clone(),
                    quantity,
                    price: part.price,
                    used_by,
                    note: None,
                });
            }
        }
        for item in &design.bill().items {
            items.push(BillItem {
                kind: "part".to_owned(),
                name: item.name.clone(),
                quantity: item.quantity,
                price: item.price,
                used_by: item
                    .used_by
                    .iter()
                    .flat_map(|name| axes_of(design, name))
                    .collect(),
                note: item.note.clone(),
            });
        }
        for axis in design.every_axis() {
            items.extend(axis.price().map(|price| BillItem {
                kind: "control".to_owned(),
                name: axis.name().to_owned(),
                quantity: 1,
                price: Some(price),
                used_by: vec![axis.name().to_owned()],
                note: None,
            }));
        }
        let controls: Vec<&str> = design.every_axis().map(NamedAxis::name).collect();
        let mut amounts = vec![0.0; controls.len() + 1];
        for item in &items {
            let Some(total) = item.total() else { continue };
            let users = item.used_by.len() as f64;
            for user in &item.used_by {
                let place = controls.iter().position(|name| name == user);
                amounts[place.unwrap_or(controls.len())] += total / users;
            }
            if item.used_by.is_empty() {
                amounts[controls.len()] += total;
            }
        }
        let total: f64 = items.iter().filter_map(BillItem::total).sum();
        let shares = controls.into_iter().chain([RIG]).zip(amounts);
        let shares = shares.map(|(name, amount)| CostShare {
            name: name.to_owned(),
            amount,
            share: (total > 0.0).then(|| amount / total),
        });
        Self {
            shares: shares.collect(),
            items,
            total,
        }
    }

    fn check(&self) -> Result<()> {
        for item in &self.items {
            let price = item.price.unwrap_or(0.0);
            within("price", price, 0.0, MAX_PRICE, "(no unit)")?;
            counted(
                "quantity of a part",
                item.quantity as usize,
                [1, MAX_QUANTITY],
            )?;
        }
        for share in &self.shares {
            within(
                "cost of a control",
                share.amount,
                0.0,
                MAX_TOTAL,
                "(no unit)",
            )?;
            within(
                "share of the cost",
                share.share.unwrap_or(0.0),
                0.0,
                1.0,
                "(no unit)",
            )?;
        }
        within("cost of the rig", self.total, 0.0, MAX_TOTAL, "(no unit)")?;
        Ok(())
    }

    /// The bill of materials: parts that controls name, then what is listed besides, then what controls cost by
    /// themselves.
    #[must_use]
    pub fn items(&self) -> &[BillItem] {
        &self.items
    }

    /// What each control costs, in the order of the file, and last what belongs to the rig itself.
    #[must_use]
    pub fn shares(&self) -> &[CostShare] {
        &self.shares
    }

    /// What all costs that has a price.
    #[must_use]
    pub fn total(&self) -> f64 {
        self.total
    }

    /// Whether anything has a price.
    #[must_use]
    pub fn is_told(&self) -> bool {
        self.items.iter().any(|item| item.price.is_some())
    }

    /// The lines without a price, which the total leaves out.
    pub fn unpriced(&self) -> impl Iterator<Item = &BillItem> {
        self.items.iter().filter(|item| item.price.is_none())
    }

    /// What one control costs; none if nothing that it uses has a price.
    #[must_use]
    pub fn of_control(&self, name: &str) -> Option<f64> {
        let uses = |item: &&BillItem| item.used_by.iter().any(|user| user == name);
        let told = self
            .items
            .iter()
            .filter(uses)
            .any(|item| item.price.is_some());
        let share = self.shares.iter().find(|share| share.name == name);
        told.then_some(share?.amount)
    }

    /// The bill of materials as CSV: what, name, quantity, price of one, price of all, used by, note.
    ///
    /// # Errors
    /// [`Error::NotStored`] with what the writer says; nothing is known that it would refuse.
    pub fn to_csv(&self) -> Result<String> {
        let not_stored = |reason: String| Error::NotStored { reason };
        let mut writer = csv::Writer::from_writer(Vec::new());
        let told = |price: Option<f64>| price.map_or_else(String::new, |price| price.to_string());
        let head = [
            "what", "name", "quantity", "price", "total", "used by", "note",
        ];
        let mut wrote = writer.write_record(head);
        for item in &self.items {
            let mut users = item.used_by.clone();
            users.dedup();
            wrote = wrote.and_then(|()| {
                writer.write_record([
                    item.kind.clone(),
                    plain_text(&item.name),
                    item.quantity.to_string(),
                    told(item.price),
                    told(item.total()),
                    plain_text(&users.join(", ")),
                    plain_text(item.note().unwrap_or_default()),
                ])
            });
        }
        wrote.map_err(|error| not_stored(error.to_string()))?;
        let bytes = writer
            .into_inner()
            .map_err(|error| not_stored(error.to_string()))?;
        String::from_utf8(bytes).map_err(|error| not_stored(error.to_string()))
    }
}

/// Text that no spreadsheet takes for a formula.
fn plain_text(text: &str) -> String {
    if text.starts_with(['=', '+', '-', '@', '\t', '\r']) {
        format!("'{text}")
    } else {
        text.to_owned()
    }
}

impl fmt::Display for Cost {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let told = |price: Option<f64>| price.map_or("no price".to_owned(), |p| format!("{p:.2}"));
        for item in &self.items {
            let (quantity, kind) = (item.quantity, &item.kind);
            let name = echo(&item.name);
            writeln!(
                f,
                "{quantity:>4} {kind:<10} {name:<32} {:>10}",
                told(item.total())
            )?;
        }
        for share in &self.shares {
            let of_all = share
                .share
                .map_or_else(String::new, |share| format!("{:.0} %", 100.0 * share));
            writeln!(
                f,
                "     {:<43} {:>10.2} {of_all:>6}",
                echo(&share.name),
                share.amount
            )?;
        }
        write!(f, "     {:<43} {:>10.2}", "together", self.total)
    }
}

/// How many of a part are bought, and which controls it is for, once for each use.
pub(super) fn used(design: &Design, part: &BoughtPart) -> (u64, Vec<String>) {
    let mut users: Vec<String> = Vec::new();
    for axis in design.every_axis() {
        let uses = axis.uses().iter();
        let uses = uses.filter(|(section, name)| *section == part.section && *name == part.name);
        users.extend(uses.map(|_| axis.name().to_owned()));
    }
    let uses = users.len();
    let quantity = match part.section {
        "linkage" => uses.min(1),
        "converter" => uses.div_ceil(part.channels.unwrap_or(usize::MAX)),
        _ => uses,
    };
    (quantity as u64, users)
}

/// The axes that a name stands for: of a stick both.
fn axes_of(design: &Design, name: &str) -> Vec<String> {
    let stick = design.sticks().iter().find(|stick| stick.name() == name);
    match stick {
        Some(stick) => [GimbalAxis::Outer, GimbalAxis::Inner]
            .map(|axis| stick.axis(axis).name().to_owned())
            .to_vec(),
        None => vec![name.to_owned()],
    }
}
