//! Fields of a document, each with its path and its range.
use std::collections::BTreeMap;
use std::ops::RangeInclusive;

use crate::loose::Loose;

/// Why a file is refused: the field, a stable code, the reason and the way out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// JSON Pointer.
    pub pointer: String,
    /// Stable code.
    pub code: &'static str,
    /// Reason and way out.
    pub detail: String,
}

/// Seconds after 00:00 that a file may name: up to about 115 days.
pub(super) const TIMES: RangeInclusive<i64> = 0..=10_000_000;

/// Collects faults while fields are read; a field at fault reads as something harmless.
#[derive(Debug, Default)]
pub(super) struct Reader {
    pub(super) faults: Vec<Fault>,
}

impl Reader {
    pub(super) fn fault(
        &mut self,
        pointer: impl Into<String>,
        code: &'static str,
        detail: impl Into<String>,
    ) {
        self.faults.push(Fault {
            pointer: pointer.into(),
            code,
            detail: detail.into(),
        });
    }

    pub(super) fn outcome<T>(self, read: T) -> Result<T, Vec<Fault>> {
        if self.faults.is_empty() {
            Ok(read)
        } else {
            Err(self.faults)
        }
    }

    fn missing(&mut self, pointer: String, wanted: &str) {
        self.fault(pointer, "missing", format!("is missing; give {wanted}"));
    }

    fn wrong(&mut self, pointer: String, found: &Loose, wanted: &str) {
        self.fault(
            pointer,
            "wrong_kind",
            format!("is {}; give {wanted}", found.kind()),
        );
    }

    /// A whole number in a range.
    pub(super) fn whole(&mut self, of: &Loose, at: &str, name: &str, range: RangeInclusive<i64>) -> i64 {
        let pointer = format!("{at}/{name}");
        match of.member(name) {
            None => self.missing(pointer, "a whole number"),
            Some(Loose::Whole(value)) => return self.in_range(pointer, *value, range),
            Some(other) => self.wrong(pointer, other, "a whole number"),
        }
        *range.start()
    }

    pub(super) fn in_range(&mut self, pointer: String, value: i64, range: RangeInclusive<i64>) -> i64 {
        if range.contains(&value) {
            return value;
        }
        let detail = format!(
            "is {value}; give a number from {} to {}",
            range.start(),
            range.end()
        );
        self.fault(pointer, "out_of_range", detail);
        *range.start()
    }

    /// A number in a range.
    #[expect(clippy::cast_precision_loss, reason = "ranges are far below 2^53")]
    pub(super) fn number(&mut self, of: &Loose, at: &str, name: &str, range: RangeInclusive<f64>) -> f64 {
        let pointer = format!("{at}/{name}");
        let value = match of.member(name) {
            None => {
                self.missing(pointer, "a number");
                return *range.start();
            }
            Some(Loose::Whole(value)) => *value as f64,
            Some(Loose::Number(value)) => *value,
            Some(other) => {
                self.wrong(pointer, other, "a number");
                return *range.start();
            }
        };
        if !range.contains(&value) {
            let detail = format!(
                "is {value}; give a number from {} to {}",
                range.start(),
                range.end()
            );
            self.fault(pointer, "out_of_range", detail);
            return *range.start();
        }
        value
    }

    /// `true` or `false`.
    pub(super) fn truth(&mut self, of: &Loose, at: &str, name: &str) -> bool {
        let pointer = format!("{at}/{name}");
        match of.member(name) {
            None => self.missing(pointer, "true or false"),
            Some(Loose::Truth(value)) => return *value,
            Some(other) => self.wrong(pointer, other, "true or false"),
        }
        false
    }

    /// A text of one line.
    pub(super) fn text<'a>(&mut self, of: &'a Loose, at: &str, name: &str) -> &'a str {
        let pointer = format!("{at}/{name}");
        match of.member(name) {
            None => self.missing(pointer, "a text"),
            Some(Loose::Text(text)) => return text,
            Some(other) => self.wrong(pointer, other, "a text"),
        }
        ""
    }

    /// One of a few words; the first stands for a word at fault.
    pub(super) fn word<T: Copy>(
        &mut self,
        of: &Loose,
        at: &str,
        name: &str,
        words: &[(&str, T)],
    ) -> Option<T> {
        let before = self.faults.len();
        let text = self.text(of, at, name);
        if self.faults.len() > before {
            return None;
        }
        let found = words
            .iter()
            .find(|(word, _)| *word == text)
            .map(|(_, value)| *value);
        if found.is_none() {
            let known: Vec<_> = words.iter().map(|(word, _)| *word).collect();
            let detail = format!("is '{text}'; give one of {}", known.join(", "));
            self.fault(format!("{at}/{name}"), "unknown_word", detail);
        }
        found
    }

    /// A list of at most `most` entries, each with its path.
    pub(super) fn list<'a>(
        &mut self,
        of: &'a Loose,
        at: &str,
        name: &str,
        most: usize,
    ) -> Vec<(String, &'a Loose)> {
        let pointer = format!("{at}/{name}");
        match of.member(name) {
            None => self.missing(pointer, "a list"),
            Some(Loose::List(entries)) if entries.len() > most => {
                let detail = format!("has {} entries; {most} at most", entries.len());
                self.fault(pointer, "too_many", detail);
            }
            Some(Loose::List(entries)) => {
                let path = |(index, entry)| (format!("{pointer}/{index}"), entry);
                return entries.iter().enumerate().map(path).collect();
            }
            Some(other) => self.wrong(pointer, other, "a list"),
        }
        Vec::new()
    }

    /// An entry that should be an object.
    pub(super) fn object(&mut self, entry: &Loose, at: &str) -> bool {
        let is = matches!(entry, Loose::Members(_));
        if !is {
            self.wrong(at.to_owned(), entry, "an object");
        }
        is
    }

    /// Numbers entries by their `id`; one that stands twice is a fault.
    pub(super) fn id(&mut self, of: &Loose, at: &str, index: usize, seen: &mut BTreeMap<i64, usize>) -> i64 {
        let before = self.faults.len();
        let id = self.whole(of, at, "id", 0..=i64::MAX);
        if self.faults.len() == before {
            if let Some(first) = seen.get(&id) {
                let detail = format!("is {id}, as entry {first} has it; ids must differ");
                self.fault(format!("{at}/id"), "duplicate_id", detail);
            } else {
                seen.insert(id, index);
            }
        }
        id
    }
}
