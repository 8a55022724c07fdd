//! A supplier's list, and which springs of it do a job.

mod choice;
mod list;

pub use choice::{StockArrangement, StockChoice, StockDemand, search_stock};
pub use list::{StockColumn, StockFormat, StockKind, StockList, StockQuantity, StockSpring};
