//! Progress of long work, and the request to stop it.
//!
//! Every loop of this crate that may take long looks at the observers of its thread between two pieces of work:
//! [`Observer::run`] makes an observer that of everything its closure calls, on every core that takes part. So no
//! function needs an argument for it, and what is not observed pays one look at a thread-local value.

use std::cell::RefCell;
use std::fmt;
use std::ops::ControlFlow;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::time::{Duration, Instant};

use crate::error::{Error, Result};

/// Time between two calls of a poll: short for a person, long beside what a call costs.
pub(crate) const POLL_INTERVAL: Duration = Duration::from_millis(50);

/// How far the present stage of some work has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub struct Progress {
    /// Pieces done.
    pub done: usize,
    /// Pieces in all; zero before the first stage has begun.
    pub total: usize,
}

/// Sees how far long work has come, and can stop it. Clones share one state, so a clone in another thread can stop the
/// work.
///
/// # Example
/// ```
/// use std::ops::ControlFlow;
/// use nalgebra::{Isometry3, Point3, Vector3};
/// use yokewright::magnet::{Block, FieldSource};
/// use yokewright::{Error, Observer};
///
/// let block = Block::new(Vector3::repeat(0.005), Vector3::z(), Isometry3::identity())?;
/// let points = vec![Point3::new(0.0, 0.0, 0.01); 100_000];
/// let observer = Observer::new();
/// let fields = observer.run(|| block.fields_at(&points))?;
/// assert_eq!(fields.values.len(), points.len());
///
/// observer.stop();
/// assert_eq!(observer.run(|| block.fields_at(&points)), Err(Error::Stopped));
/// # Ok::<(), yokewright::Error>(())
/// ```
#[derive(Clone, Default)]
pub struct Observer(Arc<State>);

#[derive(Default)]
struct State {
    stopped: AtomicBool,
    done: AtomicUsize,
    total: AtomicUsize,
    poll: Option<Box<Poll>>,
}

type Poll = dyn Fn(Progress) -> ControlFlow<()> + Send + Sync;

impl fmt::Debug for Observer {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Observer")
            .field("stopped", &self.is_stopped())
            .field("progress", &self.progress())
            .finish_non_exhaustive()
    }
}

impl Observer {
    /// An observer to be asked for the progress, and to be told to stop, from another thread.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// An observer that calls `poll` about every 50 ms in the thread that called [`run`](Self::run); `Break` stops the
    /// work.
    #[must_use]
    pub fn with_poll(poll: impl Fn(Progress) -> ControlFlow<()> + Send + Sync + 'static) -> Self {
        Self(Arc::new(State {
            poll: Some(Box::new(poll)),
            ..State::default()
        }))
    }

    /// Asks the work to stop. It does between two pieces, usually within milliseconds, half a second at most.
    pub fn stop(&self) {
        self.0.stopped.store(true, Ordering::Relaxed);
    }

    /// Whether the work has been asked to stop.
    #[must_use]
    pub fn is_stopped(&self) -> bool {
        self.0.stopped.load(Ordering::Relaxed)
    }

    /// How far the present stage has come.
    #[must_use]
    pub fn progress(&self) -> Progress {
        Progress {
            done: self.0.done.load(Ordering::Relaxed),
            total: self.0.total.load(Ordering::Relaxed),
        }
    }

    /// Does the work under this observer, and under those that observe the caller.
    ///
    /// # Errors
    /// [`Error::Stopped`] if it was asked to stop: whatever the work returned may be incomplete and is dropped.
    pub fn run<T>(&self, work: impl FnOnce() -> T) -> Result<T> {
        let watch = Watch {
            observer: self.clone(),
            polled: self.0.poll.is_some().then(Instant::now),
        };
        let _watching = Watching::begin([watch]);
        check()?;
        let value = work();
        if any_stopped() {
            return Err(Error::Stopped);
        }
        Ok(value)
    }
}

/// An observer of this thread, and when it was last polled if this thread is the one to do it.
struct Watch {
    observer: Observer,
    polled: Option<Instant>,
}

thread_local! {
    /// Those who observe what this thread does, the outermost first.
    static WATCHES: RefCell<Vec<Watch>> = const { RefCell::new(Vec::new()) };
}

/// Ends the observation of a thread when it is dropped, also by a panic.
struct Watching {
    before: usize,
}

impl Watching {
    fn begin(watches: impl IntoIterator<Item = Watch>) -> Self {
        WATCHES.with_borrow_mut(|all| {
            let before = all.len();
            all.extend(watches);
            Self { before }
        })
    }
}

impl Drop for Watching {
    fn drop(&mut self) {
        WATCHES.with_borrow_mut(|all| all.truncate(self.before));
    }
}

/// To be called between two pieces of long work, of some milliseconds at most.
///
/// # Errors
/// [`Error::Stopped`] if the work shall stop.
pub(crate) fn check() -> Result<()> {
    if WATCHES.with_borrow(Vec::is_empty) {
        return Ok(());
    }
    for due in due_polls() {
        due.poll();
    }
    if any_stopped() {
        return Err(Error::Stopped);
    }
    Ok(())
}

/// The observers that this thread has to poll now. A poll is somebody else's code, so it is called while nothing is
/// borrowed.
fn due_polls() -> Vec<Observer> {
    WATCHES.with_borrow_mut(|all| {
        let mut due = Vec::new();
        for watch in all {
            if let Some(polled) = &mut watch.polled
                && polled.elapsed() >= POLL_INTERVAL
            {
                *polled = Instant::now();
                due.push(watch.observer.clone());
            }
        }
        due
    })
}

fn any_stopped() -> bool {
    WATCHES.with_borrow(|all| all.iter().any(|watch| watch.observer.is_stopped()))
}

/// The observers of this thread, for a thread that takes part in its work.
pub(crate) fn all() -> Observers {
    Observers(WATCHES.with_borrow(|all| all.iter().map(|watch| watch.observer.clone()).collect()))
}

/// The observers of a thread.
#[derive(Clone)]
pub(crate) struct Observers(Vec<Observer>);

impl Observers {
    /// Does the work of another thread under these observers, without polling them there.
    pub(crate) fn observe<T>(self, work: impl FnOnce() -> T) -> T {
        let watches = self.0.into_iter().map(|observer| Watch {
            observer,
            polled: None,
        });
        let _watching = Watching::begin(watches);
        work()
    }

    /// A stage of so many pieces begins.
    pub(crate) fn begin(&self, total: usize) {
        for Observer(state) in &self.0 {
            state.done.store(0, Ordering::Relaxed);
            state.total.store(total, Ordering::Relaxed);
        }
    }

    /// One more piece of the stage is done.
    pub(crate) fn advance(&self) {
        for Observer(state) in &self.0 {
            state.done.fetch_add(1, Ordering::Relaxed);
        }
    }
}

impl Observer {
    fn poll(&self) {
        if let Some(poll) = &self.0.poll
            && poll(self.progress()).is_break()
        {
            self.stop();
        }
    }
}

#[cfg(test)]
#[path = "observer_tests.rs"]
mod tests;
