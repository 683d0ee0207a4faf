//! What players read, in their language; the texts stand in `locales/`.
use std::borrow::Cow;
use std::collections::HashMap;

use chrono::{DateTime, Datelike, NaiveDate, Utc, Weekday};
use chrono_tz::Tz;
use fluent_templates::fluent_bundle::FluentValue;
use fluent_templates::{LanguageIdentifier, Loader, static_loader};

static_loader! {
    static TEXTS = {
        locales: "./src/pages/locales",
        fallback_language: "en",
    };
}

/// The languages of the player's page: BCP 47 tag, and the name it calls itself.
pub const LANGUAGES: [(&str, &str); 10] = [
    ("en", "English"),
    ("es", "Español"),
    ("fr", "Français"),
    ("de", "Deutsch"),
    ("it", "Italiano"),
    ("pt", "Português"),
    ("ja", "日本語"),
    ("zh-Hans", "简体中文"),
    ("ko", "한국어"),
    ("ar", "العربية"),
];

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
            LANGUAGES.iter().find(|(spoken, _)| main_part(spoken) == first)
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

    /// Venue time among those of one day: "14:30" on that day, with its weekday on another.
    pub fn time_on(&self, zone: Tz, day: NaiveDate, at: DateTime<Utc>) -> String {
        let local = at.with_timezone(&zone);
        let time = local.format("%H:%M").to_string();
        if local.date_naive() == day {
            return time;
        }
        let day = match local.weekday() {
            Weekday::Mon => "mon",
            Weekday::Tue => "tue",
            Weekday::Wed => "wed",
            Weekday::Thu => "thu",
            Weekday::Fri => "fri",
            Weekday::Sat => "sat",
            Weekday::Sun => "sun",
        };
        let said = self.say_with("day-time", &[("day", day), ("time", &time)]);
        // the marks round each value are for whole sentences; this is a value itself
        said.replace(['\u{2068}', '\u{2069}'], "")
    }

    /// Names one after the other, as the language writes a list.
    pub fn list(&self, names: &[String]) -> String {
        names.join(match self.tag {
            "ar" => "، ",
            "ja" | "zh-Hans" => "、",
            _ => ", ",
        })
    }

    /// Sentences one after the other: scripts whose full stop is as wide as a letter leave no space.
    pub fn sentences(&self, said: &[String]) -> String {
        let between = if matches!(self.tag, "ja" | "zh-Hans") {
            ""
        } else {
            " "
        };
        said.join(between)
    }

    /// A text that depends on a number, in the plural form of the language.
    pub fn count(&self, id: &str, count: usize) -> String {
        let values = HashMap::from([(Cow::Borrowed("count"), FluentValue::from(count))]);
        TEXTS.lookup_with_args(&self.lang, id, &values)
    }
}

/// "zh" of "zh-Hans".
fn main_part(tag: &str) -> &str {
    tag.split('-').next().unwrap_or_default()
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
        let keys = |tag: &str| -> Vec<String> {
            let path = format!(
                "{}/src/pages/locales/{tag}/player.ftl",
                env!("CARGO_MANIFEST_DIR")
            );
            let text = std::fs::read_to_string(path).unwrap();
            text.lines()
                .filter_map(|line| line.split_once(" = "))
                .map(|(key, _)| key.to_owned())
                .collect()
        };
        let english = keys("en");
        assert!(english.len() > 15);
        for (tag, _) in LANGUAGES {
            assert_eq!(english, keys(tag), "{tag}");
            let say = Wording::best(tag);
            assert_eq!(say.tag(), tag);
            if tag != "en" {
                assert_ne!(say.say("title"), Wording::best("en").say("title"), "{tag}");
            }
        }
    }

    #[test]
    fn a_time_of_another_day_has_its_weekday_in_the_language_of_its_reader() {
        let zone: Tz = "Europe/Paris".parse().unwrap();
        // 2 June 2026 is a Tuesday; Paris is two hours ahead of UTC in summer
        let at: DateTime<Utc> = "2026-06-02T06:00:00Z".parse().unwrap();
        let told = |tag: &str, day: u32| {
            let day = NaiveDate::from_ymd_opt(2026, 6, day).unwrap();
            Wording::best(tag).time_on(zone, day, at)
        };
        assert_eq!(told("en", 2), "08:00");
        assert_eq!(told("en", 1), "Tue 08:00");
        assert_eq!(told("fr", 1), "08:00 (mar.)");
        assert_eq!(told("ja", 1), "火曜日 08:00");
        assert_eq!(told("ar", 1), "08:00 (الثلاثاء)");
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
        // French counts nothing as one: n = 0, 1 is "one" (from memory)
        assert!(
            Wording::best("fr")
                .count("ready-count", 0)
                .ends_with("raquette prête")
        );
        assert!(
            Wording::best("de")
                .count("ready-count", 2)
                .ends_with("Schläger fertig")
        );
    }
}
