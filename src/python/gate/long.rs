//! The gate to work that may take long: without the interpreter lock, ended by Ctrl-C, told to the observers of the
//! thread.

use std::cell::RefCell;
use std::ops::ControlFlow;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, PoisonError};

use pyo3::prelude::*;
use pyo3::types::PyTuple;

use crate::Observer;
use crate::observer::Progress;
use crate::python::gate::errors::{InvalidTypeError, StoppedError, shown};

thread_local! {
    /// The observers whose `with` block this thread is in, the outermost first.
    static ENTERED: RefCell<Vec<Py<PyObserver>>> = const { RefCell::new(Vec::new()) };
}

/// Does the work without the interpreter lock. About every 50 ms the signals are looked at, so Ctrl-C ends it, and the
/// observers are told.
pub(in crate::python) fn long<T: Send>(
    py: Python<'_>,
    work: impl FnOnce() -> T + Send,
) -> PyResult<T> {
    let entered = ENTERED.with_borrow(|all| all.iter().map(|one| one.clone_ref(py)).collect());
    let told = Arc::new(Told {
        entered,
        raised: Mutex::new(None),
    });
    // An observer that was stopped before allows no more work.
    told.tell(py, Progress { done: 0, total: 0 })?;
    let poll = {
        let told = Arc::clone(&told);
        move |progress| told.poll(progress)
    };
    let observer = Observer::with_poll(poll);
    let done = py.detach(|| observer.run(work));
    if let Some(error) = told.take_error() {
        return Err(error);
    }
    let done = done?;
    told.tell(py, observer.progress())?;
    Ok(done)
}

/// Whom the progress of one call is told, and what they raised.
struct Told {
    entered: Vec<Py<PyObserver>>,
    raised: Mutex<Option<PyErr>>,
}

impl Told {
    fn poll(&self, progress: Progress) -> ControlFlow<()> {
        let outcome = Python::attach(|py| {
            py.check_signals()?;
            self.tell(py, progress)
        });
        match outcome {
            Ok(()) => ControlFlow::Continue(()),
            Err(error) => {
                *self.raised.lock().unwrap_or_else(PoisonError::into_inner) = Some(error);
                ControlFlow::Break(())
            }
        }
    }

    fn tell(&self, py: Python<'_>, progress: Progress) -> PyResult<()> {
        self.entered
            .iter()
            .try_for_each(|observer| observer.get().see(py, progress))
    }

    fn take_error(&self) -> Option<PyErr> {
        self.raised
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .take()
    }
}

/// Calls a function without arguments with all loops of yokewright in this thread alone, and gives what it gives.
///
/// For one of several workers that share the machine out among themselves, as each task of a process pool or a cluster:
/// loops that did so too would only get in each other's way. Not a bit of the results depends on it; Ctrl-C and
/// Observer.stop end the calls, and an observer is not told how far they have come.
///
/// >>> import numpy as np
/// >>> import yokewright as yw
/// >>> bar = yw.magnet.Block((0.005, 0.005, 0.01), (0, 0, 1.2))
/// >>> fields, valid = yw.on_one_thread(lambda: bar.fields_at(np.full((10_000, 3), 0.02)))
/// >>> bool(valid.all())
/// True
#[pyfunction]
#[pyo3(signature = (function, /))]
pub(in crate::python) fn on_one_thread(function: &Bound<'_, PyAny>) -> PyResult<Py<PyAny>> {
    if !function.is_callable() {
        let given = shown(function.as_borrowed());
        let text = format!("function: one without arguments is needed, got {given}");
        return Err(InvalidTypeError::new_err(text));
    }
    crate::on_one_thread(|| function.call0().map(Bound::unbind))
}

/// Sees how far long work has come, and can stop it: all calls within its `with` block, in the same thread.
///
/// `progress(done, total)` is called about every 50 ms with the pieces of the present stage, and once when a call is
/// through; what it raises ends the call and comes out of it. Calls without stages of their own tell nothing. Ctrl-C
/// ends long calls with or without an observer.
///
/// >>> import numpy as np
/// >>> import yokewright as yw
/// >>> bar = yw.magnet.Block((0.005, 0.005, 0.01), (0, 0, 1.2))
/// >>> with yw.Observer(lambda done, total: print(f"{done} of {total}")):
/// ...     fields, valid = bar.fields_at(np.full((10_000, 3), 0.02))
/// 3 of 3
#[pyclass(name = "Observer", module = "yokewright", frozen)]
pub(in crate::python) struct PyObserver {
    progress: Option<Py<PyAny>>,
    stopped: AtomicBool,
}

#[pymethods]
impl PyObserver {
    #[new]
    #[pyo3(signature = (progress = None))]
    fn new(progress: Option<Py<PyAny>>) -> Self {
        Self {
            progress,
            stopped: AtomicBool::new(false),
        }
    }

    /// Ends the calls within the `with` block with a StoppedError, the present one and later ones. May be called from
    /// any thread.
    fn stop(&self) {
        self.stopped.store(true, Ordering::Relaxed);
    }

    /// Whether it has been told to stop.
    #[getter]
    fn stopped(&self) -> bool {
        self.stopped.load(Ordering::Relaxed)
    }

    fn __enter__(slf: Py<Self>, py: Python<'_>) -> Py<Self> {
        ENTERED.with_borrow_mut(|all| all.push(slf.clone_ref(py)));
        slf
    }

    #[pyo3(signature = (*_exception))]
    fn __exit__(slf: &Bound<'_, Self>, _exception: &Bound<'_, PyTuple>) {
        ENTERED.with_borrow_mut(|all| {
            if let Some(last) = all.iter().rposition(|one| one.is(slf)) {
                all.remove(last);
            }
        });
    }

    fn __repr__(&self) -> String {
        let state = if self.stopped() { " (stopped)" } else { "" };
        format!("<Observer{state}>")
    }
}

impl PyObserver {
    fn see(&self, py: Python<'_>, progress: Progress) -> PyResult<()> {
        if self.stopped() {
            return Err(StoppedError::new_err(crate::Error::Stopped.to_string()));
        }
        match &self.progress {
            Some(callback) if progress.total > 0 => {
                callback.call1(py, (progress.done, progress.total))?;
                Ok(())
            }
            _ => Ok(()),
        }
    }
}
