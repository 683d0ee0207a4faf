//! What players read, in their language; the texts stand in `locales/`.
use std::borrow::Cow;
use std::collections::HashMap;

use fluent_templates::fluent_bundle::FluentValue;
use fluent_templates::{LanguageIdentifier, Loader, static_loader};

static_loader! {
    static TEXTS = {
        locales: "./src/pages/locales",
        fallback_language: "en",
    };
}

/// The languages of the player's page: BCP 47 tag, and the name it calls itself.
pub const LANGUAGES: [(&str, &str); 2] = [("en", "English"), ("ar", "العربية")];

/// The texts of one language; English where it has none.
#[derive(Clone, Debug)]
pub struct Wording {
    lang: LanguageIdentifier,
    tag: &'static str,
}

impl Wording {
    /// The first language of `wanted` (tags, or the value of an `Accept-Language` header) that is spoken here.
    pub fn best(wanted: &str) -> Self {
        let spoken = |tag: &str| {
            let first = tag
                .split(['-', ';'])
                .next()
                .unwrap_or_default()
                .trim()
                .to_ascii_lowercase();
            LANGUAGES.iter().find(|(spoken, _)| *spoken == first)
        };
        let tag = wanted.split(',').find_map(spoken).map_or("en", |(tag, _)| tag);
        Wording {
            lang: tag.parse().unwrap_or_default(),
            tag,
        }
    }

    /// BCP 47 tag.
    pub fn tag(&self) -> &'static str {
        self.tag
    }

    pub fn say(&self, id: &str) -> String {
        TEXTS.lookup(&self.lang, id)
    }

    pub fn say_with(&self, id: &str, values: &[(&'static str, &str)]) -> String {
        let text = |(name, value): &(&'static str, &str)| {
            (Cow::Borrowed(*name), FluentValue::from((*value).to_owned()))
        };
        TEXTS.lookup_with_args(&self.lang, id, &values.iter().map(text).collect())
    }

    /// A text that depends on a number, in the plural form of the language.
    pub fn count(&self, id: &str, count: usize) -> String {
        let values = HashMap::from([(Cow::Borrowed("count"), FluentValue::from(count))]);
        TEXTS.lookup_with_args(&self.lang, id, &values)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_spoken_language_wins_and_english_is_the_last_resort() {
        assert_eq!(Wording::best("xx, ar-EG;q=0.8, en;q=0.5").tag(), "ar");
        assert_eq!(Wording::best("en-GB,ar").tag(), "en");
        assert_eq!(Wording::best("").tag(), "en");
    }

    #[test]
    fn every_text_exists_in_every_language() {
        let keys = |text: &'static str| -> Vec<&str> {
            text.lines()
                .filter_map(|line| line.split_once(" = "))
                .map(|(key, _)| key)
                .filter(|key| !key.starts_with(' '))
                .collect()
        };
        let english = keys(include_str!("locales/en/player.ftl"));
        assert_eq!(english, keys(include_str!("locales/ar/player.ftl")));
        assert!(english.len() > 15);
    }

    #[test]
    fn two_rackets_take_the_dual_in_arabic() {
        // Unicode CLDR plural rules for Arabic: n = 2 is "two", n % 100 = 3..10 is "few" (from memory).
        assert_eq!(Wording::best("ar").count("ready-count", 2), "مضربان جاهزان");
        assert!(
            Wording::best("ar")
                .count("ready-count", 3)
                .contains("مضارب جاهزة")
        );
        assert_eq!(Wording::best("en").count("ready-count", 1), "1 racket ready");
    }
}
