//! The languages a problem can speak, and which one the caller prefers.
use actix_web::http::header::{ACCEPT_LANGUAGE, HeaderMap};

/// A language of problem texts. Pages have their own, larger catalogue.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Language {
    #[default]
    English,
    French,
}

impl Language {
    /// The BCP 47 tag.
    pub const fn tag(self) -> &'static str {
        match self {
            Self::English => "en",
            Self::French => "fr",
        }
    }

    /// Takes this language's text out of a pair in the order English, French.
    pub const fn of(self, pair: [&str; 2]) -> &str {
        match self {
            Self::English => pair[0],
            Self::French => pair[1],
        }
    }

    /// Negotiates by `Accept-Language` (RFC 9110, 12.5.4); English when in doubt.
    pub fn preferred(headers: &HeaderMap) -> Self {
        let mut english: f32 = 0.0;
        let mut french: f32 = 0.0;
        let lines = headers
            .get_all(ACCEPT_LANGUAGE)
            .filter_map(|line| line.to_str().ok());
        for range in lines.flat_map(|line| line.split(',')) {
            let (tag, weight) = range.split_once(';').unwrap_or((range, "q=1"));
            let weight = weight
                .trim()
                .strip_prefix("q=")
                .and_then(|q| q.parse().ok())
                .unwrap_or(0.0);
            let primary = tag.trim().split('-').next().unwrap_or_default();
            if primary.eq_ignore_ascii_case("fr") {
                french = french.max(weight);
            } else if primary.eq_ignore_ascii_case("en") || primary == "*" {
                english = english.max(weight);
            }
        }
        if french > english {
            Self::French
        } else {
            Self::English
        }
    }
}

/// One sentence in each language.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Said {
    pub english: String,
    pub french: String,
}

impl Said {
    /// A sentence with its translation.
    pub fn new(english: impl Into<String>, french: impl Into<String>) -> Self {
        Self {
            english: english.into(),
            french: french.into(),
        }
    }

    /// The sentence in `language`.
    pub fn in_language(&self, language: Language) -> &str {
        language.of([&self.english, &self.french])
    }
}

#[cfg(test)]
mod tests {
    use actix_web::http::header::HeaderValue;

    use super::*;

    #[track_caller]
    fn check(line: &str, expected: Language) {
        let mut headers = HeaderMap::new();
        headers.insert(ACCEPT_LANGUAGE, HeaderValue::from_str(line).unwrap());
        assert_eq!(Language::preferred(&headers), expected, "{line}");
    }

    #[test]
    fn the_heavier_language_wins_and_english_breaks_ties() {
        check("fr", Language::French);
        check("fr-CA, en;q=0.8", Language::French);
        check("en;q=0.9, fr;q=0.8", Language::English);
        check("de, fr;q=0.5, en;q=0.3", Language::French);
        check("de", Language::English);
        check("fr;q=0", Language::English);
        check("*", Language::English);
        check("fr;q=nonsense", Language::English);
    }
}
