//! The numbers of a design file that may vary, as they are met while it is read: which there are, which of them and
//! which parts reach what is being read, and what stands in their place in a build.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};

use crate::rig::keys::Key;
use crate::rig::toleranced::{KeySlot, KeyTolerance};

/// A number of the file that may vary.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct MetNumber {
    /// By section and control: `axis.rudder.gap_mm`.
    pub(super) name: String,
    pub(super) line: usize,
    pub(super) key: Key,
    /// In the unit of its key.
    pub(super) value: f64,
    pub(super) tolerance: Option<KeyTolerance>,
    pub(super) slot: Option<KeySlot>,
}

/// What reaches a control: numbers by where they begin in the text, and parts by section and name.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Reached {
    pub(super) numbers: BTreeSet<usize>,
    pub(super) parts: BTreeSet<(&'static str, String)>,
}

impl Reached {
    /// What reaches either.
    pub(super) fn add(&mut self, other: &Self) {
        self.numbers.extend(&other.numbers);
        self.parts.extend(other.parts.iter().cloned());
    }
}

/// What reaches a stick, piece by piece; its feel has its own.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct StickReached {
    /// The outer and the inner axis, each by itself.
    pub(super) axes: [Reached; 2],
    /// Pivots, gate and throws.
    pub(super) frame: Reached,
    pub(super) obstacles: Reached,
}

/// Numbers of one reading of a file.
#[derive(Debug, Default)]
pub(super) struct Numbers {
    met: RefCell<BTreeMap<usize, MetNumber>>,
    reached: RefCell<Reached>,
    /// By where they begin in the text, in the unit of their key.
    drawn: BTreeMap<usize, f64>,
    /// The parts that are read at all; all of them if there are none.
    only: Option<BTreeSet<(&'static str, String)>>,
}

impl Numbers {
    /// Of a build: what stands in the place of some numbers, each in the unit of its key, by where they begin in the
    /// text. No other parts are read than those that reach what is built.
    pub(super) fn of_build(drawn: BTreeMap<usize, f64>, reached: &Reached) -> Self {
        Self {
            drawn,
            only: Some(reached.parts.clone()),
            ..Self::default()
        }
    }

    /// Whether a build is read, of a file that has been read before.
    pub(super) fn are_of_a_build(&self) -> bool {
        self.only.is_some()
    }

    /// Notes that a number was read; those of a build are known.
    pub(super) fn meet(&self, start: usize, number: impl FnOnce() -> MetNumber) {
        self.reached.borrow_mut().numbers.insert(start);
        self.met.borrow_mut().entry(start).or_insert_with(number);
    }

    /// Notes that a part was named, and all that reaches it.
    pub(super) fn use_part(&self, kind: &'static str, name: &str, part: &Reached) {
        if !self.are_of_a_build() {
            let mut reached = self.reached.borrow_mut();
            reached.add(part);
            reached.parts.insert((kind, name.to_owned()));
        }
    }

    /// Whether a part is to be read.
    pub(super) fn reads(&self, kind: &'static str, name: &str) -> bool {
        let only = self.only.as_ref();
        only.is_none_or(|only| only.contains(&(kind, name.to_owned())))
    }

    /// What stands in the place of a number, in the unit of its key.
    pub(super) fn drawn(&self, start: usize) -> Option<f64> {
        self.drawn.get(&start).copied()
    }

    /// Runs a reader, and tells what reached it besides what it gives. What is around it is reached by that too.
    pub(super) fn reaching<T>(&self, read: impl FnOnce() -> T) -> (T, Reached) {
        let (value, own) = self.apart(read);
        self.reached.borrow_mut().add(&own);
        (value, own)
    }

    /// The same, but what is around it is not reached by that.
    pub(super) fn apart<T>(&self, read: impl FnOnce() -> T) -> (T, Reached) {
        let around = self.reached.take();
        let value = read();
        let own = self.reached.replace(around);
        (value, own)
    }

    /// Every number that was read, by where it begins in the text.
    pub(super) fn met(&self) -> BTreeMap<usize, MetNumber> {
        self.met.borrow().clone()
    }
}
