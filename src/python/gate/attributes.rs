//! The attributes of a class that holds one value of the core, a line each.

/// `#[pymethods]` of a class around one value: its attributes, then whatever methods it has besides.
///
/// An attribute is a field of the value (`name: type`), a method without arguments (`name(): type`), or what a function
/// makes of the value (`name: type = |v| ...`). `json impl` has the value written and read as JSON besides.
macro_rules! attributes {
    (
        json impl $class:ident { $($attributes:tt)* }
        $($methods:tt)*
    ) => {
        attributes! {
            impl $class { $($attributes)* }

            /// The value that to_json has written.
            #[staticmethod]
            fn from_json(text: &str) -> PyResult<Self> {
                $crate::python::gate::convert::from_json(text).map(Self)
            }

            /// Every figure as JSON, SI, to the last bit.
            fn to_json(&self) -> PyResult<String> {
                $crate::python::gate::convert::to_json(&self.0)
            }

            $($methods)*
        }
    };
    (
        impl $class:ident {
            $($(#[$doc:meta])* $name:ident $(($($none:tt)*))?: $type:ty $(= $make:expr)?),* $(,)?
        }
        $($methods:tt)*
    ) => {
        #[pymethods]
        impl $class {
            $(
                $(#[$doc])*
                #[getter]
                fn $name(&self) -> $type {
                    attributes!(@ self, $name $(($($none)*))? $(= $make)?)
                }
            )*

            $($methods)*
        }
    };
    (@ $self:ident, $name:ident) => {
        $self.0.$name
    };
    (@ $self:ident, $name:ident ()) => {
        $self.0.$name()
    };
    (@ $self:ident, $name:ident = $make:expr) => {
        $crate::python::gate::attributes::made(&$self.0, $make)
    };
}
pub(in crate::python) use attributes;

/// What a function makes of a value; here its argument's type is known where it is written.
pub(in crate::python) fn made<T, R>(value: &T, make: impl FnOnce(&T) -> R) -> R {
    make(value)
}
