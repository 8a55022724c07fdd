//! Values that are read back (serde) pass the checks that those pass that are made.

/// Defines a struct of plain fields and how it is read: its fields as they stand, then its own `check`, a method
/// `fn check(&self) -> Result<()>`. Whatever is read in another way than this one could hold what no constructor makes.
macro_rules! checked_when_read {
    (
        $(#[$about:meta])*
        $vis:vis struct $name:ident {
            $($(#[$of_field:meta])* $field_vis:vis $field:ident: $type:ty,)*
        }
    ) => {
        $(#[$about])*
        $vis struct $name {
            $($(#[$of_field])* $field_vis $field: $type,)*
        }

        impl<'de> serde::Deserialize<'de> for $name {
            fn deserialize<D: serde::Deserializer<'de>>(
                deserializer: D,
            ) -> std::result::Result<Self, D::Error> {
                let read = {
                    // The same fields under the same name, so that messages name what the reader knows.
                    #[derive(serde::Deserialize)]
                    struct $name {
                        $($field: $type,)*
                    }
                    let $name { $($field,)* } = serde::Deserialize::deserialize(deserializer)?;
                    Self { $($field,)* }
                };
                read.check().map_err(serde::de::Error::custom)?;
                Ok(read)
            }
        }
    };
}

pub(crate) use checked_when_read;

/// Defines how a value is written, by getters of these names, and read, by its constructor, which checks it.
macro_rules! stored_by_its_constructor {
    ($name:ident { $($field:ident: $type:ty),+ } => $make:expr) => {
        impl serde::Serialize for $name {
            fn serialize<S: serde::Serializer>(
                &self,
                serializer: S,
            ) -> std::result::Result<S::Ok, S::Error> {
                use serde::ser::SerializeStruct;
                let count = [$(stringify!($field)),+].len();
                let mut parts = serializer.serialize_struct(stringify!($name), count)?;
                $(parts.serialize_field(stringify!($field), &self.$field())?;)+
                parts.end()
            }
        }

        impl<'de> serde::Deserialize<'de> for $name {
            fn deserialize<D: serde::Deserializer<'de>>(
                deserializer: D,
            ) -> std::result::Result<Self, D::Error> {
                #[derive(serde::Deserialize)]
                #[serde(deny_unknown_fields)]
                struct Parts {
                    $($field: $type,)+
                }
                let Parts { $($field),+ } = serde::Deserialize::deserialize(deserializer)?;
                $make.map_err(serde::de::Error::custom)
            }
        }
    };
}

pub(crate) use stored_by_its_constructor;

/// How a value is stored that is made from its spec: as the spec. The two also become one another with `into` and
/// `try_into`.
macro_rules! stored_as_spec {
    ($name:ident, $spec:ident) => {
        impl TryFrom<$spec> for $name {
            type Error = $crate::Error;

            fn try_from(spec: $spec) -> $crate::Result<Self> {
                Self::new(spec)
            }
        }

        impl From<$name> for $spec {
            fn from(made: $name) -> Self {
                made.spec().clone()
            }
        }

        impl serde::Serialize for $name {
            fn serialize<S: serde::Serializer>(
                &self,
                serializer: S,
            ) -> std::result::Result<S::Ok, S::Error> {
                self.spec().serialize(serializer)
            }
        }

        impl<'de> serde::Deserialize<'de> for $name {
            fn deserialize<D: serde::Deserializer<'de>>(
                deserializer: D,
            ) -> std::result::Result<Self, D::Error> {
                let spec = <$spec as serde::Deserialize>::deserialize(deserializer)?;
                Self::new(spec).map_err(serde::de::Error::custom)
            }
        }
    };
}

pub(crate) use stored_as_spec;

/// How a bound is stored that may be infinite, which not every format can write: as none.
pub(crate) mod bound {
    use serde::{Deserialize, Deserializer, Serialize, Serializer};

    pub(crate) fn serialize<S: Serializer>(bound: &f64, serializer: S) -> Result<S::Ok, S::Error> {
        let finite = (*bound != f64::INFINITY).then_some(*bound);
        finite.serialize(serializer)
    }

    pub(crate) fn deserialize<'de, D: Deserializer<'de>>(deserializer: D) -> Result<f64, D::Error> {
        let finite = Option::<f64>::deserialize(deserializer)?;
        Ok(finite.unwrap_or(f64::INFINITY))
    }
}

/// A figure that may be no number, which formats such as JSON write as none.
pub(crate) fn number<'de, D: serde::Deserializer<'de>>(deserializer: D) -> Result<f64, D::Error> {
    let number = <Option<f64> as serde::Deserialize>::deserialize(deserializer)?;
    Ok(number.unwrap_or(f64::NAN))
}
