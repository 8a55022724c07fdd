//! Words that stand for a choice: one macro makes their texts, the way back from a text, and the list of them all.

use std::fmt;

use super::{Error, Result};

/// Upper case, without what people write differently.
pub(crate) fn plain(name: &str) -> String {
    let letters = name.chars().filter(|c| !matches!(c, ' ' | '-' | '_'));
    letters.flat_map(char::to_uppercase).collect()
}

impl Error {
    /// The choice whose text is `text`, or the error that lists them all. Case, spaces, hyphens and underscores make
    /// no difference.
    pub(crate) fn choose<T: fmt::Display + Copy>(
        quantity: &'static str,
        text: &str,
        choices: &[T],
    ) -> Result<T> {
        let wanted = plain(text);
        let found = choices
            .iter()
            .find(|choice| plain(&choice.to_string()) == wanted);
        found.copied().ok_or_else(|| {
            let texts: Vec<String> = choices.iter().map(ToString::to_string).collect();
            Self::NotAChoice {
                quantity,
                given: text.to_owned(),
                choices: texts.join(", "),
            }
        })
    }
}

/// The texts of an enum without fields: `ALL`, `Display`, `FromStr` (in any case), and serde by the same texts.
macro_rules! choices {
    ($kind:ident, $what:literal, { $($variant:ident => $text:literal),+ $(,)? }) => {
        impl $kind {
            /// Every choice.
            pub const ALL: [Self; [$($text),+].len()] = [$(Self::$variant),+];
        }

        impl ::std::fmt::Display for $kind {
            fn fmt(&self, f: &mut ::std::fmt::Formatter<'_>) -> ::std::fmt::Result {
                f.pad(match self {
                    $(Self::$variant => $text),+
                })
            }
        }

        impl ::std::str::FromStr for $kind {
            type Err = $crate::Error;

            fn from_str(text: &str) -> $crate::Result<Self> {
                $crate::Error::choose($what, text, &Self::ALL)
            }
        }

        impl ::serde::Serialize for $kind {
            fn serialize<S: ::serde::Serializer>(&self, serializer: S) -> ::std::result::Result<S::Ok, S::Error> {
                serializer.collect_str(self)
            }
        }

        impl<'de> ::serde::Deserialize<'de> for $kind {
            fn deserialize<D: ::serde::Deserializer<'de>>(deserializer: D) -> ::std::result::Result<Self, D::Error> {
                let text = <::std::borrow::Cow<'de, str> as ::serde::Deserialize>::deserialize(deserializer)?;
                text.parse().map_err(::serde::de::Error::custom)
            }
        }
    };
}
pub(crate) use choices;
