//! Closed sets of words that travel as text: one list gives the enum, its
//! text form, its parser and its place in the API document.

/// The text names nothing in a closed set.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("\"{text}\" is not a {what}; use one of: {known}")]
pub struct UnknownText {
    /// What kind of word was expected, such as "job state".
    pub what: &'static str,
    /// The text as given.
    pub text: String,
    /// The words that would have been accepted, joined by commas.
    pub known: String,
}

/// Declares an enum whose variants each have one stable text.
///
/// The texts are part of the API and of stored data: never change one.
#[macro_export]
macro_rules! text_enum {
    (
        $(#[$doc:meta])*
        $vis:vis enum $name:ident, $what:literal {
            $( $(#[$variant_doc:meta])* $variant:ident = $text:tt, )+
        }
    ) => {
        $(#[$doc])*
        #[derive(
            Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash,
            serde::Serialize, serde::Deserialize, utoipa::ToSchema,
        )]
        $vis enum $name {
            $( $(#[$variant_doc])* #[serde(rename = $text)] $variant, )+
        }

        impl $name {
            /// Every value, in the order of declaration.
            $vis const ALL: &'static [Self] = &[$(Self::$variant),+];

            /// The stable text of this value.
            #[must_use]
            $vis const fn as_str(self) -> &'static str {
                match self { $(Self::$variant => $text),+ }
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                out.write_str(self.as_str())
            }
        }

        impl std::str::FromStr for $name {
            type Err = $crate::text_enum::UnknownText;
            fn from_str(text: &str) -> Result<Self, Self::Err> {
                match text {
                    $($text => Ok(Self::$variant),)+
                    _ => Err($crate::text_enum::UnknownText {
                        what: $what,
                        text: text.to_owned(),
                        known: [$($text),+].join(", "),
                    }),
                }
            }
        }
    };
}
pub use text_enum;

#[cfg(test)]
mod tests {
    text_enum! {
        /// A fruit.
        enum Fruit, "fruit" {
            /// Red or green.
            Apple = "apple",
            /// Two words.
            WaterMelon = "water_melon",
        }
    }

    #[test]
    fn every_value_is_read_back_from_its_own_text() {
        for fruit in Fruit::ALL {
            assert_eq!(fruit.as_str().parse::<Fruit>().as_ref(), Ok(fruit));
            assert_eq!(fruit.to_string(), fruit.as_str());
        }
    }

    #[test]
    fn an_unknown_text_is_named_with_the_known_ones() {
        let fault = "Apple".parse::<Fruit>().unwrap_err();
        assert_eq!(
            fault.to_string(),
            "\"Apple\" is not a fruit; use one of: apple, water_melon"
        );
    }
}
