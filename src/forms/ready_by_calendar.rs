//! A player's ready-bys as iCalendar (RFC 5545), for calendars that load it again by themselves (RFC 7986).
use chrono::{DateTime, Utc};

use super::calendar::{escaped, written};

/// One racket's time.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ReadyByEntry {
    /// What tells it from all others, for ever.
    pub id: String,
    /// Rises with every change.
    pub version: i64,
    /// When the racket is ready.
    pub at: DateTime<Utc>,
    /// The line that a calendar shows.
    pub summary: String,
    /// Where it is collected; empty where that is not known.
    pub place: String,
    /// How firm it is.
    pub standing: Standing,
}

/// How firm a time is: the words of RFC 5545, 3.8.1.11.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// It holds.
    Confirmed,
    /// The work is held: nobody knows yet.
    Tentative,
    /// It will not be ready at all.
    Cancelled,
}

impl Standing {
    fn as_str(self) -> &'static str {
        match self {
            Standing::Confirmed => "CONFIRMED",
            Standing::Tentative => "TENTATIVE",
            Standing::Cancelled => "CANCELLED",
        }
    }
}

/// How often a calendar should load it again.
const AGAIN: &str = "PT5M";

/// The calendar of one player; `said_at` is when it is written.
///
/// Times are UTC, so no zone has to be told: a calendar shows them in the zone of its reader.
#[must_use]
pub fn ready_bys(name: &str, language: &str, entries: &[ReadyByEntry], said_at: DateTime<Utc>) -> String {
    let mut lines = vec![
        "BEGIN:VCALENDAR".to_owned(),
        "VERSION:2.0".to_owned(),
        "PRODID:-//weftdesk//ready-bys//EN".to_owned(),
        "CALSCALE:GREGORIAN".to_owned(),
        "METHOD:PUBLISH".to_owned(),
        format!("NAME;LANGUAGE={language}:{}", escaped(name)),
        format!("REFRESH-INTERVAL;VALUE=DURATION:{AGAIN}"),
    ];
    for entry in entries {
        lines.extend([
            "BEGIN:VEVENT".to_owned(),
            format!("UID:{}@weftdesk.invalid", entry.id),
            format!("DTSTAMP:{}", utc(said_at)),
            format!("SEQUENCE:{}", entry.version),
            format!("DTSTART:{}", utc(entry.at)),
            format!("SUMMARY;LANGUAGE={language}:{}", escaped(&entry.summary)),
            format!("STATUS:{}", entry.standing.as_str()),
            // it marks a moment; nobody is busy for it
            "TRANSP:TRANSPARENT".to_owned(),
        ]);
        if !entry.place.is_empty() {
            lines.push(format!("LOCATION:{}", escaped(&entry.place)));
        }
        lines.push("END:VEVENT".to_owned());
    }
    lines.push("END:VCALENDAR".to_owned());
    written(&lines)
}

fn utc(at: DateTime<Utc>) -> String {
    at.format("%Y%m%dT%H%M%SZ").to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn entry(summary: &str) -> ReadyByEntry {
        ReadyByEntry {
            id: "job_1".into(),
            version: 3,
            at: "2026-05-02T12:25:00Z".parse().unwrap(),
            summary: summary.into(),
            place: "Gate B, next to Court 1; ask \\ Ana".into(),
            standing: Standing::Tentative,
        }
    }

    /// RFC 5545: 3.1 lines end in CRLF and hold at most 75 octets, folded lines go on with a space;
    /// 3.6 a calendar has PRODID and VERSION once; 3.6.1 an event has UID and DTSTAMP once, and DTSTART
    /// where the calendar has a METHOD is allowed; 3.3.5 form 2 is UTC with Z; 3.3.11 escapes in text.
    #[test]
    fn it_keeps_the_rules_of_the_standard() {
        let long = "Racket ●● with a white grip and the second one with a very long mark, ready; take it";
        let said_at = "2026-05-02T08:00:00Z".parse().unwrap();
        let text = ready_bys("Your rackets", "en", &[entry(long)], said_at);
        assert!(text.ends_with("END:VCALENDAR\r\n") && !text.replace("\r\n", "").contains('\n'));
        assert!(text.split("\r\n").all(|line| line.len() <= 75), "{text}");
        let unfolded = text.replace("\r\n ", "");
        for (property, count) in [
            ("PRODID:", 1),
            ("VERSION:", 1),
            ("UID:", 1),
            ("DTSTAMP:", 1),
            ("DTSTART:", 1),
        ] {
            let lines = unfolded.split("\r\n").filter(|line| line.starts_with(property));
            assert_eq!(lines.count(), count, "{property}");
        }
        assert!(unfolded.contains("\r\nDTSTART:20260502T122500Z\r\n"));
        assert!(unfolded.contains("\r\nSTATUS:TENTATIVE\r\n"));
        assert!(unfolded.contains("LOCATION:Gate B\\, next to Court 1\\; ask \\\\ Ana\r\n"));
        assert!(unfolded.contains(&format!(
            "SUMMARY;LANGUAGE=en:{}",
            long.replace(',', "\\,").replace(';', "\\;")
        )));
    }

    #[test]
    fn our_own_reader_finds_every_racket_in_it() {
        let said_at = "2026-05-02T08:00:00Z".parse().unwrap();
        let text = ready_bys("مضاربك", "ar", &[entry("one"), entry("two")], said_at);
        let read = crate::forms::calendar::calendar(&text).unwrap();
        let shown: Vec<String> = read
            .inside
            .iter()
            .filter_map(|event| event.get("SUMMARY"))
            .map(|line| line.text())
            .collect();
        assert_eq!(shown, ["one", "two"]);
    }
}
