//! The code on a racket's tag: five symbols that can be read aloud, of which
//! the last one checks the others.
//!
//! The 29 symbols have no vowels (so no words) and none of 1, I, L, O. A code
//! is right if its symbols' values, weighted 5, 4, 3, 2, 1, add up to a
//! multiple of 29. As 29 is prime, and no weight nor any difference of two
//! weights is a multiple of it, every single wrong symbol and every swap of two
//! different symbols breaks the sum.
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// The symbols in the order of their values, 0 to 28.
pub const SYMBOLS: &[u8; 29] = b"023456789BCDFGHJKMNPQRSTVWXYZ";
/// How many symbols a code has.
pub const LENGTH: usize = 5;
/// How many codes there are: 29 to the power of the four free symbols.
pub const COUNT: u32 = 29 * 29 * 29 * 29;

const BASE: u32 = 29;
const WEIGHTS: [u32; LENGTH] = [5, 4, 3, 2, 1];

/// A right tag code, such as `"K7M4G"`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, ToSchema)]
#[serde(try_from = "String", into = "String")]
#[schema(value_type = String, example = "K7M4G", pattern = "^[02-9BCDFGHJKMNP-TV-Z]{5}$")]
pub struct TagCode([u8; LENGTH]);

/// Why a text is not a tag code.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum TagCodeFault {
    /// Not five symbols.
    #[error("a tag code has 5 symbols; this one has {count}")]
    Length {
        /// How many it has, spaces and hyphens not counted.
        count: usize,
    },
    /// A letter or sign that no tag code has.
    #[error("check the {} character: '{found}' is in no tag code", ordinal(*position))]
    NoSuchSymbol {
        /// Which symbol, from 1, spaces and hyphens not counted.
        position: usize,
        /// What stands there.
        found: char,
    },
    /// The symbols do not belong together.
    #[error("check the code: one character is wrong, or two are swapped")]
    WrongSum,
}

impl TagCodeFault {
    /// The fault's stable code.
    #[must_use]
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Length { .. } => "code_length",
            Self::NoSuchSymbol { .. } => "code_symbol",
            Self::WrongSum => "check_the_code",
        }
    }
}

impl TagCode {
    /// The code that carries `number`; numbers from [`COUNT`] on begin anew.
    ///
    /// Different numbers below [`COUNT`] have different codes. The caller takes
    /// them by chance or from a counter; here is neither.
    #[must_use]
    pub fn from_number(number: u32) -> Self {
        let mut rest = number % COUNT;
        let mut symbols = [SYMBOLS[0]; LENGTH];
        let mut sum = 0;
        for place in (0..LENGTH - 1).rev() {
            let value = rest % BASE;
            rest /= BASE;
            symbols[place] = symbol_of(value);
            sum += WEIGHTS[place] * value;
        }
        // the check symbol has weight 1, so it is what is missing to a multiple of 29
        symbols[LENGTH - 1] = symbol_of((BASE - sum % BASE) % BASE);
        Self(symbols)
    }

    /// Reads a code as typed or read aloud: lower case, spaces and hyphens are
    /// taken, and `O` is read as `0`.
    ///
    /// # Errors
    /// A [`TagCodeFault`] that says which character to look at.
    pub fn parse(typed: &str) -> Result<Self, TagCodeFault> {
        let kept: Vec<char> = typed
            .chars()
            .filter(|c| !c.is_whitespace() && *c != '-')
            .collect();
        let symbols: [char; LENGTH] = match kept.try_into() {
            Ok(symbols) => symbols,
            Err(other) => return Err(TagCodeFault::Length { count: other.len() }),
        };
        let mut code = [0; LENGTH];
        let mut sum = 0;
        for (place, found) in symbols.into_iter().enumerate() {
            let upper = match found.to_ascii_uppercase() {
                'O' => '0',
                upper => upper,
            };
            let Some(value) = (0..BASE).find(|value| char::from(symbol_of(*value)) == upper) else {
                return Err(TagCodeFault::NoSuchSymbol {
                    position: place + 1,
                    found,
                });
            };
            code[place] = symbol_of(value);
            sum += WEIGHTS[place] * value;
        }
        if sum % BASE == 0 {
            Ok(Self(code))
        } else {
            Err(TagCodeFault::WrongSum)
        }
    }

    /// The code as printed.
    #[must_use]
    pub fn as_str(&self) -> &str {
        // only symbols of the table are ever stored, and those are ASCII
        std::str::from_utf8(&self.0).unwrap_or_default()
    }
}

/// The symbol of a value below 29.
fn symbol_of(value: u32) -> u8 {
    usize::try_from(value)
        .ok()
        .and_then(|place| SYMBOLS.get(place))
        .copied()
        .unwrap_or(SYMBOLS[0])
}

/// "1st" to "5th".
fn ordinal(position: usize) -> String {
    let ending = match position {
        1 => "st",
        2 => "nd",
        3 => "rd",
        _ => "th",
    };
    format!("{position}{ending}")
}

impl std::fmt::Display for TagCode {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.write_str(self.as_str())
    }
}

impl std::str::FromStr for TagCode {
    type Err = TagCodeFault;
    fn from_str(text: &str) -> Result<Self, TagCodeFault> {
        Self::parse(text)
    }
}

impl TryFrom<String> for TagCode {
    type Error = TagCodeFault;
    fn try_from(text: String) -> Result<Self, TagCodeFault> {
        Self::parse(&text)
    }
}

impl From<TagCode> for String {
    fn from(code: TagCode) -> Self {
        code.as_str().to_owned()
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use proptest::prelude::*;

    use super::*;

    #[test]
    fn d09_ten_thousand_codes_pass_and_differ() {
        let codes: BTreeSet<_> = (0..10_000)
            .map(|job| TagCode::from_number(job * 67 + 5))
            .collect();
        assert_eq!(codes.len(), 10_000);
        for code in codes {
            assert_eq!(TagCode::parse(code.as_str()), Ok(code));
        }
    }

    #[test]
    fn a_code_worked_by_hand_passes() {
        // values K 16, 7 6, M 17, 4 3: 5*16 + 4*6 + 3*17 + 2*3 = 161 = 5*29 + 16, so 13 is missing: value 13 is G
        assert_eq!(TagCode::parse("K7M4G").unwrap().as_str(), "K7M4G");
        assert_eq!(TagCode::parse("00000").unwrap(), TagCode::from_number(0));
    }

    #[test]
    fn d09_a_code_is_read_as_people_type_it() {
        let code = TagCode::parse("K7M4G").unwrap();
        for typed in ["k7m4g", " K7M 4G ", "k7-m4-g"] {
            assert_eq!(TagCode::parse(typed), Ok(code), "{typed}");
        }
        assert_eq!(TagCode::parse("oO0oO"), TagCode::parse("00000"));
    }

    #[test]
    fn a_letter_that_no_code_has_is_named_with_its_place() {
        let fault = TagCode::parse("K7 I4G").unwrap_err();
        assert_eq!(
            fault.to_string(),
            "check the 3rd character: 'I' is in no tag code"
        );
        for letter in "1ILAEU?é".chars() {
            let fault = TagCode::parse(&format!("0000{letter}")).unwrap_err();
            assert_eq!(
                fault,
                TagCodeFault::NoSuchSymbol {
                    position: 5,
                    found: letter
                }
            );
        }
    }

    #[test]
    fn a_code_of_another_length_is_refused_with_its_length() {
        assert_eq!(TagCode::parse("K7M4"), Err(TagCodeFault::Length { count: 4 }));
        assert_eq!(TagCode::parse(" - "), Err(TagCodeFault::Length { count: 0 }));
        assert_eq!(TagCode::parse("K7M4GG"), Err(TagCodeFault::Length { count: 6 }));
    }

    fn any_code() -> impl Strategy<Value = TagCode> {
        (0..COUNT).prop_map(TagCode::from_number)
    }

    proptest! {
        #[test]
        fn a_number_and_its_code_belong_to_each_other(number in 0..COUNT, other in 0..COUNT) {
            let code = TagCode::from_number(number);
            prop_assert_eq!(TagCode::parse(code.as_str()), Ok(code));
            prop_assert_eq!(code == TagCode::from_number(other), number == other);
        }

        #[test]
        fn d09_every_single_wrong_symbol_is_caught(code in any_code()) {
            for place in 0..LENGTH {
                for symbol in SYMBOLS.iter().filter(|symbol| **symbol != code.0[place]) {
                    let mut wrong = code.0;
                    wrong[place] = *symbol;
                    let typed = String::from_utf8_lossy(&wrong).into_owned();
                    prop_assert_eq!(TagCode::parse(&typed), Err(TagCodeFault::WrongSum));
                }
            }
        }

        #[test]
        fn d09_every_swap_of_two_different_symbols_is_caught(code in any_code()) {
            for first in 0..LENGTH {
                for second in first + 1..LENGTH {
                    let mut swapped = code.0;
                    swapped.swap(first, second);
                    let typed = String::from_utf8_lossy(&swapped).into_owned();
                    let same = swapped == code.0;
                    prop_assert_eq!(TagCode::parse(&typed).is_ok(), same, "{} from {}", typed, code);
                }
            }
        }

        #[test]
        fn no_text_makes_the_reader_fall_over(typed in "\\PC{0,8}") {
            if let Ok(code) = TagCode::parse(&typed) {
                prop_assert_eq!(code.as_str().len(), LENGTH);
            }
        }
    }
}
