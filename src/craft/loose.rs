//! A document read without judging it, so that every fault can be told at once.
use std::fmt;

use serde::de::{Deserialize, Deserializer, MapAccess, SeqAccess, Visitor};

/// Any value of a JSON document.
#[derive(Debug, Clone, PartialEq)]
pub enum Loose {
    /// `null`.
    Null,
    /// `true` or `false`.
    Truth(bool),
    /// A whole number that fits in 64 bits.
    Whole(i64),
    /// Any other number.
    Number(f64),
    /// Text.
    Text(String),
    /// A list.
    List(Vec<Self>),
    /// Members in their order; a name may stand twice.
    Members(Vec<(String, Self)>),
}

impl Loose {
    /// The last member of this name.
    #[must_use]
    pub fn member(&self, name: &str) -> Option<&Self> {
        match self {
            Self::Members(members) => members
                .iter()
                .rev()
                .find(|(key, _)| key == name)
                .map(|(_, value)| value),
            _ => None,
        }
    }

    /// What kind of value it is, as a reader would say it.
    #[must_use]
    pub const fn kind(&self) -> &'static str {
        match self {
            Self::Null => "null",
            Self::Truth(_) => "true or false",
            Self::Whole(_) => "a whole number",
            Self::Number(_) => "a number that is not whole or too large",
            Self::Text(_) => "text",
            Self::List(_) => "a list",
            Self::Members(_) => "an object",
        }
    }
}

struct AnyValue;

impl<'de> Visitor<'de> for AnyValue {
    type Value = Loose;

    fn expecting(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str("any value")
    }

    fn visit_unit<E>(self) -> Result<Loose, E> {
        Ok(Loose::Null)
    }

    fn visit_bool<E>(self, value: bool) -> Result<Loose, E> {
        Ok(Loose::Truth(value))
    }

    fn visit_i64<E>(self, value: i64) -> Result<Loose, E> {
        Ok(Loose::Whole(value))
    }

    #[expect(clippy::cast_precision_loss, reason = "too large a number is refused anyway")]
    fn visit_u64<E>(self, value: u64) -> Result<Loose, E> {
        Ok(i64::try_from(value).map_or(Loose::Number(value as f64), Loose::Whole))
    }

    fn visit_f64<E>(self, value: f64) -> Result<Loose, E> {
        Ok(Loose::Number(value))
    }

    fn visit_str<E>(self, value: &str) -> Result<Loose, E> {
        Ok(Loose::Text(value.to_owned()))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<Loose, A::Error> {
        let mut values = Vec::new();
        while let Some(value) = list.next_element()? {
            values.push(value);
        }
        Ok(Loose::List(values))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Loose, A::Error> {
        let mut members = Vec::new();
        while let Some(member) = map.next_entry()? {
            members.push(member);
        }
        Ok(Loose::Members(members))
    }
}

impl<'de> Deserialize<'de> for Loose {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(AnyValue)
    }
}
