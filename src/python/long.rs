//! The gate to work that may take long: without the interpreter lock, ended by Ctrl-C, told to an `Observer` if there is one.

use std::ops::ControlFlow;
use std::sync::{Arc, Mutex, PoisonError};

use pyo3::prelude::*;

use crate::Observer;

/// Does the work without the interpreter lock. About every 50 ms the signals are looked at, so Ctrl-C ends it.
pub(super) fn long<T: Send>(py: Python<'_>, work: impl FnOnce() -> T + Send) -> PyResult<T> {
    let raised = Arc::new(Mutex::new(None));
    let poll = {
        let raised = Arc::clone(&raised);
        move |_| match Python::attach(|py| py.check_signals()) {
            Ok(()) => ControlFlow::Continue(()),
            Err(error) => {
                *raised.lock().unwrap_or_else(PoisonError::into_inner) = Some(error);
                ControlFlow::Break(())
            }
        }
    };
    let done = py.detach(|| Observer::with_poll(poll).run(work));
    let raised = raised.lock().unwrap_or_else(PoisonError::into_inner).take();
    match raised {
        Some(error) => Err(error),
        None => Ok(done?),
    }
}
