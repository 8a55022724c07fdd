//! Strategies for [`proptest`] that make linkages, valid ones and nearly locking ones: to property-test one's own geometry with.

pub mod spatial;
