//! Loops whose pieces are shared out among the cores, under the observers of the caller.
//!
//! Threads are made for each loop and joined at its end. A pool that outlives the call would be cheaper by some tens of
//! microseconds, but it does not survive a fork of the process (its threads are not there in the child, which then
//! waits for ever), and whoever waits for a pool cannot poll an observer. Here the calling thread works too, and polls
//! between its pieces.

use std::cell::Cell;
use std::num::NonZero;
use std::sync::{Condvar, Mutex, MutexGuard, OnceLock, PoisonError};
use std::thread;

use crate::error::Result;
use crate::observer::{self, POLL_INTERVAL};

/// Environment variable with the greatest number of threads, for those who share a machine out themselves.
const LIMIT: &str = "YOKEWRIGHT_THREADS";

thread_local! {
    /// Whether this thread already works on a piece: a loop within runs on this thread alone.
    static WITHIN: Cell<bool> = const { Cell::new(false) };
}

/// Does `work` for every piece, each once, in any order.
///
/// A piece should take some microseconds at least and some milliseconds at most. If an observer asks to stop, the rest
/// is left undone; the caller's [`Observer::run`](crate::Observer::run) then returns the error.
pub(crate) fn for_each<P: Send>(
    pieces: impl ExactSizeIterator<Item = P> + Send,
    work: impl Fn(P) + Sync,
) {
    // Whoever observes drops the result, so nobody takes a part for the whole.
    let _ = share_out(pieces, work);
}

/// The results of `work` for every item, in their order.
///
/// # Errors
/// [`Error::Stopped`](crate::Error::Stopped) if an observer asks to stop.
pub(crate) fn map<T: Sync, R: Send>(items: &[T], work: impl Fn(&T) -> R + Sync) -> Result<Vec<R>> {
    let mut results: Vec<Option<R>> = items.iter().map(|_| None).collect();
    share_out(items.iter().zip(&mut results), |(item, result)| {
        *result = Some(work(item));
    })?;
    Ok(results.into_iter().flatten().collect())
}

fn share_out<P: Send>(
    pieces: impl ExactSizeIterator<Item = P> + Send,
    work: impl Fn(P) + Sync,
) -> Result<()> {
    let count = pieces.len();
    if WITHIN.get() {
        return pieces
            .into_iter()
            .try_for_each(|piece| observer::check().map(|()| work(piece)));
    }
    let observers = observer::all();
    observers.begin(count);
    let pieces = Mutex::new(pieces);
    let drain = || -> Result<()> {
        let _working = Working::begin();
        loop {
            observer::check()?;
            let Some(piece) = lock(&pieces).next() else {
                return Ok(());
            };
            work(piece);
            observers.advance();
        }
    };
    let helpers = count.min(threads()).saturating_sub(1);
    let busy = Busy::default();
    thread::scope(|scope| {
        for _ in 0..helpers {
            let helper = busy.enter();
            let help = {
                let (observers, drain) = (observers.clone(), &drain);
                move || {
                    let _helper = helper;
                    // The caller finds by itself that it shall stop.
                    let _ = observers.observe(drain);
                }
            };
            // Where no more threads are to be had, those that there are do the work.
            if thread::Builder::new().spawn_scoped(scope, help).is_err() {
                break;
            }
        }
        let mine = drain();
        busy.wait()?;
        mine
    })
}

/// How many threads work on one loop, the caller among them.
fn threads() -> usize {
    static THREADS: OnceLock<usize> = OnceLock::new();
    *THREADS.get_or_init(|| {
        let cores = thread::available_parallelism().map_or(1, NonZero::get);
        let limit = std::env::var(LIMIT).ok().and_then(|text| text.parse().ok());
        limit.map_or(cores, |limit: usize| limit.clamp(1, cores.max(1)))
    })
}

/// A lock that a panic elsewhere does not spoil: the panic itself is passed on by the scope.
pub(crate) fn lock<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Does the work with all of its loops on this thread alone, for one of several workers that share the machine out
/// among themselves: loops that did so too would only get in each other's way. Not a bit of the results depends on it;
/// an observer can stop the work and is not told how far it has come.
///
/// # Example
/// ```
/// use yokewright::magnet::{Block, FieldSource};
/// use yokewright::nalgebra::{Isometry3, Point3, Vector3};
///
/// let cube = Block::new(Vector3::repeat(0.01), Vector3::new(0.0, 0.0, 1.2), Isometry3::identity())?;
/// let points = vec![Point3::new(0.0, 0.0, 0.02); 10_000];
/// let alone = yokewright::on_one_thread(|| cube.fields_at(&points));
/// assert_eq!(alone, cube.fields_at(&points));
/// # Ok::<(), yokewright::Error>(())
/// ```
pub fn on_one_thread<T>(work: impl FnOnce() -> T) -> T {
    let _working = Working::begin();
    work()
}

/// Marks the thread as working on a piece while it lives.
struct Working {
    before: bool,
}

impl Working {
    fn begin() -> Self {
        Self {
            before: WITHIN.replace(true),
        }
    }
}

impl Drop for Working {
    fn drop(&mut self) {
        WITHIN.set(self.before);
    }
}

/// How many helpers are still at work.
#[derive(Default)]
struct Busy {
    helpers: Mutex<usize>,
    left: Condvar,
}

struct Helper<'a>(&'a Busy);

impl Busy {
    fn enter(&self) -> Helper<'_> {
        *lock(&self.helpers) += 1;
        Helper(self)
    }

    /// Waits until all have left, and looks after the observers meanwhile.
    fn wait(&self) -> Result<()> {
        let mut outcome = Ok(());
        let mut helpers = lock(&self.helpers);
        while *helpers > 0 {
            (helpers, _) = self
                .left
                .wait_timeout(helpers, POLL_INTERVAL)
                .unwrap_or_else(PoisonError::into_inner);
            if *helpers > 0 {
                drop(helpers);
                outcome = outcome.and(observer::check());
                helpers = lock(&self.helpers);
            }
        }
        outcome
    }
}

impl Drop for Helper<'_> {
    fn drop(&mut self) {
        *lock(&self.0.helpers) -= 1;
        self.0.left.notify_all();
    }
}

#[cfg(test)]
#[path = "parallel_tests.rs"]
mod tests;
