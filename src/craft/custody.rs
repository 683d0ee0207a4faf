//! Where a racket is, apart from what is done to it.
use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

/// The longest name of a station or a shelf slot.
const LONGEST_NAME: usize = 40;

/// Where a racket is; as text `owner`, `desk`, `runner`, `station:` and its id,
/// or `shelf:` and the slot.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub enum Custody {
    /// With its owner.
    Owner,
    /// At the desk.
    Desk,
    /// At a station.
    Station(String),
    /// In a slot of the shelf.
    Shelf(String),
    /// On the way with a runner.
    Runner,
}

/// The text names no place.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "\"{text}\" is not a place; use owner, desk, runner, station:<id> or shelf:<slot> \
     (1 to 40 letters, digits, '_', '-' or '.')"
)]
pub struct NotAPlace {
    /// The text as given.
    pub text: String,
}

impl Custody {
    /// Whether the racket is in the desk's care.
    #[must_use]
    pub fn is_here(&self) -> bool {
        !matches!(self, Self::Owner)
    }

    /// The place as people say it.
    #[must_use]
    pub fn words(&self) -> String {
        match self {
            Self::Owner => "with its owner".to_owned(),
            Self::Desk => "at the desk".to_owned(),
            Self::Station(id) => format!("at station {id}"),
            Self::Shelf(slot) => format!("on the shelf, slot {slot}"),
            Self::Runner => "with a runner".to_owned(),
        }
    }
}

impl fmt::Display for Custody {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Owner => out.write_str("owner"),
            Self::Desk => out.write_str("desk"),
            Self::Runner => out.write_str("runner"),
            Self::Station(id) => write!(out, "station:{id}"),
            Self::Shelf(slot) => write!(out, "shelf:{slot}"),
        }
    }
}

impl FromStr for Custody {
    type Err = NotAPlace;
    fn from_str(text: &str) -> Result<Self, NotAPlace> {
        let named = |name: &str| {
            let sound = |c: char| c.is_alphanumeric() || matches!(c, '_' | '-' | '.');
            (1..=LONGEST_NAME).contains(&name.chars().count()) && name.chars().all(sound)
        };
        match text.split_once(':') {
            None if text == "owner" => Ok(Self::Owner),
            None if text == "desk" => Ok(Self::Desk),
            None if text == "runner" => Ok(Self::Runner),
            Some(("station", id)) if named(id) => Ok(Self::Station(id.to_owned())),
            Some(("shelf", slot)) if named(slot) => Ok(Self::Shelf(slot.to_owned())),
            _ => Err(NotAPlace {
                text: text.to_owned(),
            }),
        }
    }
}

impl TryFrom<String> for Custody {
    type Error = NotAPlace;
    fn try_from(text: String) -> Result<Self, NotAPlace> {
        text.parse()
    }
}

impl From<Custody> for String {
    fn from(place: Custody) -> Self {
        place.to_string()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_place_is_read_back_from_its_text() {
        for text in [
            "owner",
            "desk",
            "runner",
            "station:stn_00000000000000000000000000",
            "shelf:B-4",
            "shelf:棚1",
        ] {
            let place: Custody = text.parse().unwrap();
            assert_eq!(place.to_string(), text);
            assert_eq!(place.is_here(), text != "owner");
        }
        assert_eq!(
            "shelf:B4".parse::<Custody>().unwrap().words(),
            "on the shelf, slot B4"
        );
    }

    #[test]
    fn what_is_no_place_is_refused() {
        let long = format!("shelf:{}", "a".repeat(41));
        for text in [
            "",
            "Desk",
            "desk:1",
            "shelf:",
            "station",
            "shelf:a b",
            "shelf:a:b",
            "moon:1",
            &long,
        ] {
            assert!(text.parse::<Custody>().is_err(), "{text}");
        }
    }
}
