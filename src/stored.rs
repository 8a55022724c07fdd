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
