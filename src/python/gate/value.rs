//! How values are pickled. `copyreg` is told of each class, so that no class needs a method for it.
//!
//! What pickle keeps is one of three: the keywords of the constructor, each read from the property of its name; all of
//! the value as the core stores it (serde), where no constructor makes it again; or a few parts that are Python's own,
//! such as arrays and other values of this library.

use pyo3::conversion::FromPyObjectOwned;
use pyo3::prelude::*;
use pyo3::types::{PyBytes, PyDict, PyType};
use pyo3::{IntoPyObjectExt, PyClass};
use serde::Serialize;
use serde::de::DeserializeOwned;

use crate::python::gate::errors::InvalidValueError;

/// A class whose values are made of parts that pickle knows.
pub(in crate::python) trait Parts:
    PyClass + Into<PyClassInitializer<Self>>
{
    type Parts: for<'py> IntoPyObject<'py> + for<'py> FromPyObjectOwned<'py>;

    fn parts(&self, py: Python<'_>) -> PyResult<Self::Parts>;

    fn of_parts(py: Python<'_>, parts: Self::Parts) -> PyResult<Self>;
}

type Convert = for<'py> fn(&Bound<'py, PyAny>) -> PyResult<Bound<'py, PyAny>>;

enum Kept {
    Keywords(&'static [&'static str]),
    Converted { pack: Convert, unpack: Convert },
}

/// How the values of one class are pickled.
pub(in crate::python) struct Pickled {
    class: for<'py> fn(Python<'py>) -> Bound<'py, PyType>,
    kept: Kept,
}

impl Pickled {
    /// The keywords of the constructor, which are properties too.
    pub(in crate::python) const fn made<T: PyClass>(keywords: &'static [&'static str]) -> Self {
        Self {
            class: |py| py.get_type::<T>(),
            kept: Kept::Keywords(keywords),
        }
    }

    /// All of the value, as the core stores it.
    pub(in crate::python) const fn whole<T>() -> Self
    where
        T: PyClass + Into<PyClassInitializer<T>> + Serialize + DeserializeOwned,
    {
        Self {
            class: |py| py.get_type::<T>(),
            kept: Kept::Converted {
                pack: |value| {
                    let mut bytes = Vec::new();
                    ciborium::into_writer(&*value.cast::<T>()?.borrow(), &mut bytes)
                        .map_err(|error| InvalidValueError::new_err(error.to_string()))?;
                    Ok(PyBytes::new(value.py(), &bytes).into_any())
                },
                unpack: |packed| {
                    let value: T = ciborium::from_reader(packed.cast::<PyBytes>()?.as_bytes())
                        .map_err(|error| {
                            InvalidValueError::new_err(format!(
                                "not a pickle of this class: {error}"
                            ))
                        })?;
                    Ok(Bound::new(packed.py(), value)?.into_any())
                },
            },
        }
    }

    /// The parts of the value.
    pub(in crate::python) const fn parts<T: Parts>() -> Self {
        Self {
            class: |py| py.get_type::<T>(),
            kept: Kept::Converted {
                pack: |value| {
                    let py = value.py();
                    let parts = value.cast::<T>()?.borrow().parts(py)?;
                    parts.into_bound_py_any(py)
                },
                unpack: |packed| {
                    let parts = packed.extract::<T::Parts>().map_err(Into::into)?;
                    let value = T::of_parts(packed.py(), parts)?;
                    Ok(Bound::new(packed.py(), value)?.into_any())
                },
            },
        }
    }

    fn of<'a>(all: &'a [Self], class: &Bound<'_, PyType>) -> PyResult<&'a Self> {
        let found = all.iter().find(|one| (one.class)(class.py()).is(class));
        found.ok_or_else(|| {
            let text = format!("{class} is not pickled in this way");
            InvalidValueError::new_err(text)
        })
    }
}

/// Tells `copyreg` that `reduce` pickles the values of these classes.
pub(in crate::python) fn register(all: &[Pickled], reduce: &Bound<'_, PyAny>) -> PyResult<()> {
    let copyreg = reduce.py().import("copyreg")?;
    for one in all {
        copyreg.call_method1("pickle", ((one.class)(reduce.py()), reduce))?;
    }
    Ok(())
}

/// The class and what is kept of the value.
pub(in crate::python) fn pack<'py>(
    all: &[Pickled],
    value: &Bound<'py, PyAny>,
) -> PyResult<(Bound<'py, PyType>, Bound<'py, PyAny>)> {
    let class = value.get_type();
    let packed = match &Pickled::of(all, &class)?.kept {
        Kept::Converted { pack, .. } => pack(value)?,
        Kept::Keywords(names) => {
            let given = PyDict::new(value.py());
            for name in *names {
                given.set_item(name, value.getattr(*name)?)?;
            }
            given.into_any()
        }
    };
    Ok((class, packed))
}

/// The value again.
pub(in crate::python) fn unpack<'py>(
    all: &[Pickled],
    class: &Bound<'py, PyType>,
    packed: &Bound<'py, PyAny>,
) -> PyResult<Bound<'py, PyAny>> {
    match &Pickled::of(all, class)?.kept {
        Kept::Converted { unpack, .. } => unpack(packed),
        Kept::Keywords(_) => class.call((), Some(packed.cast::<PyDict>()?)),
    }
}
