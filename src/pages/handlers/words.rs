//! Values as people read them: times of the venue, tensions in both units, short names.
use chrono::{DateTime, NaiveDate, TimeDelta, Utc};
use chrono_tz::Tz;

use crate::craft::job::JobState;
use crate::craft::spec::{PreStretch, Spec, StringSpec};
use crate::craft::tension::{Tension, TensionUnit};
use crate::desk::job_sheet::JobSheet;
use crate::desk::minutes::{late_minutes, minutes};
use crate::desk::reads::{from_record, players::Player};
use crate::desk::records::{PlayerRecord, RacketRecord};
use crate::desk::spare::Spare;
use crate::pages::parts::{Chip, ChipKind};

/// Venue time, "14:30".
pub fn time(zone: Tz, at: DateTime<Utc>) -> String {
    at.with_timezone(&zone).format("%H:%M").to_string()
}

/// Venue time among those of one day: "14:30" on that day, "Sun 00:30" on another.
pub fn time_on(zone: Tz, day: NaiveDate, at: DateTime<Utc>) -> String {
    let local = at.with_timezone(&zone);
    let format = if local.date_naive() == day {
        "%H:%M"
    } else {
        "%a %H:%M"
    };
    local.format(format).to_string()
}

/// Venue day and time, "2 May 14:30".
pub fn day_and_time(zone: Tz, at: DateTime<Utc>) -> String {
    at.with_timezone(&zone).format("%-d %b %H:%M").to_string()
}

/// The name in Latin letters, for those who can't read the other; empty where it is no other.
pub fn latin(record: &PlayerRecord, shown: &str) -> String {
    let latin = record.latin_name.clone().filter(|latin| latin != shown);
    latin.unwrap_or_default()
}

/// The name, and in brackets the one in Latin letters where that is another.
pub fn with_latin(record: &PlayerRecord, shown: &str) -> String {
    match latin(record, shown) {
        latin if latin.is_empty() => shown.to_owned(),
        latin => format!("{shown} ({latin})"),
    }
}

/// A player found by name, in both scripts.
pub fn in_both_scripts(player: &Player) -> String {
    from_record(&player.record).map_or_else(
        |_unread| player.display_name.clone(),
        |record| with_latin(&record, &player.display_name),
    )
}

/// What a photo shows: a place of the condition check, or marks that tell a racket from its sisters.
pub fn photographed(place: Option<&str>) -> &'static str {
    match place {
        Some("head_top") => "Head top",
        Some("shoulders") => "Shoulders",
        Some("throat") => "Throat",
        Some("grommets") => "Grommets",
        _ => "Marks",
    }
}

/// A time that is over by less than this is the one just over; any earlier one means tomorrow's.
const JUST_OVER: TimeDelta = TimeDelta::hours(1);

/// The next moment at which the venue's clock shows `typed`, such as "14:30".
pub fn moment(zone: Tz, now: DateTime<Utc>, typed: &str) -> Option<DateTime<Utc>> {
    let typed = typed.trim().replace('.', ":");
    let clock = chrono::NaiveTime::parse_from_str(&typed, "%H:%M").ok()?;
    let today = now.with_timezone(&zone).date_naive();
    let days = [today.pred_opt(), Some(today), today.succ_opt()];
    let mut moments = days
        .into_iter()
        .flatten()
        .filter_map(|day| day.and_time(clock).and_local_timezone(zone).earliest())
        .map(|local| local.to_utc());
    moments.find(|at| *at > now - JUST_OVER)
}

/// The last moment at which the venue's clock showed `typed`, such as "14:30".
pub fn moment_past(zone: Tz, now: DateTime<Utc>, typed: &str) -> Option<DateTime<Utc>> {
    let typed = typed.trim().replace('.', ":");
    let clock = chrono::NaiveTime::parse_from_str(&typed, "%H:%M").ok()?;
    let today = now.with_timezone(&zone).date_naive();
    let days = [Some(today), today.pred_opt()];
    let mut moments = days
        .into_iter()
        .flatten()
        .filter_map(|day| day.and_time(clock).and_local_timezone(zone).latest())
        .map(|local| local.to_utc());
    moments.find(|at| *at <= now)
}

/// "24 kg".
pub fn tension(asked: &Tension) -> String {
    format!("{} {}", asked.value(), asked.unit().symbol())
}

/// "24 kg (52.9 lb)".
pub fn both_units(asked: &Tension) -> String {
    let other = match asked.unit() {
        TensionUnit::Kg => TensionUnit::Lb,
        TensionUnit::Lb | TensionUnit::N => TensionUnit::Kg,
    };
    format!(
        "{} ({:.1} {})",
        tension(asked),
        asked.in_unit(other),
        other.symbol()
    )
}

/// The string's name with its gauge, once.
pub fn string_name(part: &StringSpec) -> String {
    let name = part
        .string
        .name
        .clone()
        .unwrap_or_else(|| "string not named".to_owned());
    match &part.string.gauge_mm {
        Some(gauge) if !name.contains(gauge.as_str()) => format!("{name} {gauge}"),
        _ => name,
    }
}

/// "pre-stretch 10 % by machine"; empty for none.
pub fn pre_stretch(wanted: &PreStretch) -> String {
    match wanted {
        PreStretch::None => String::new(),
        PreStretch::ByMachine { percent } => format!("pre-stretch {percent} % by machine"),
        PreStretch::ByHand { percent, .. } => format!("pre-stretch {percent} % by hand, before stringing"),
    }
}

/// "M 24 kg (52.9 lb) String A 1.25" and the same of the crosses.
pub fn spec_lines(spec: &Spec) -> (String, String) {
    let line = |letter: &str, part: &StringSpec| {
        format!("{letter} {} {}", both_units(&part.tension), string_name(part))
    };
    (line("M", &spec.mains), line("C", &spec.crosses))
}

/// "EX. A" of "Example A.": two letters of the first word, one of the last.
pub fn initials(name: &str) -> String {
    let mut parts = name.split_whitespace();
    let first: String = parts.next().unwrap_or_default().chars().take(2).collect();
    match parts.next_back().and_then(|word| word.chars().next()) {
        Some(last) => format!("{}. {}", first.to_uppercase(), last.to_uppercase()),
        None => first.to_uppercase(),
    }
}

/// What tells a racket from its sisters: number and marks.
pub fn marks(record: &RacketRecord) -> String {
    let number = record.number.iter().cloned();
    number
        .chain(record.marks.iter().cloned())
        .collect::<Vec<_>>()
        .join(" ")
}

/// The same beside other words, where a bare number could be anything: "racket 3".
pub fn racket(record: &RacketRecord) -> String {
    let marks = marks(record);
    if record.number.is_some() {
        format!("racket {marks}")
    } else {
        marks
    }
}

/// What is out of the ordinary with a job, else the minutes to spare; the wall says the state beside it.
pub fn spare_chip(sheet: &JobSheet, now: DateTime<Utc>) -> Chip {
    minutes_alone(state_chip(sheet, now), sheet, now)
}

/// The same without the odds, for a wall that says them beside the cause.
pub fn wall_chip(sheet: &JobSheet, now: DateTime<Utc>) -> Chip {
    minutes_alone(bare_chip(sheet, now), sheet, now)
}

fn minutes_alone(chip: Chip, sheet: &JobSheet, now: DateTime<Utc>) -> Chip {
    let minutes = sheet.spare.as_ref().map_or_else(
        || minutes((sheet.job.due_at.utc() - now).num_seconds()),
        Spare::minutes,
    );
    if chip.kind == ChipKind::Plain {
        Chip::new(ChipKind::Plain, format!("{minutes:+}"))
    } else {
        chip
    }
}

/// Where a job stands, as a chip: exceptions first, with the odds against its match; the minutes to spare otherwise.
pub fn state_chip(sheet: &JobSheet, now: DateTime<Utc>) -> Chip {
    let chip = bare_chip(sheet, now);
    Chip::new(chip.kind, format!("{}{}", chip.word, odds(&chip, sheet)))
}

fn bare_chip(sheet: &JobSheet, now: DateTime<Utc>) -> Chip {
    let job = &sheet.job;
    let to_due = (job.due_at.utc() - now).num_seconds();
    // without a place nobody knows when it is strung; at once is the earliest
    let spare = minutes(to_due - i64::from(job.work_p90_s));
    match job.state.parse() {
        Ok(JobState::Ready) => Chip::new(ChipKind::Ready, "ready"),
        Ok(JobState::Out) => Chip::new(ChipKind::Plain, "out"),
        Ok(JobState::Cancelled) => Chip::new(ChipKind::Info, "cancelled"),
        _ if sheet.held(now).is_some() => Chip::new(ChipKind::Held, "held"),
        _ if to_due < 0 => Chip::new(ChipKind::Late, format!("late {}", late_minutes(-to_due))),
        _ if job.rush.is_some() => Chip::new(ChipKind::Rush, "rush"),
        Ok(_) if sheet.spare.is_some() => planned_chip(sheet),
        Ok(JobState::Waiting | JobState::Assigned) if spare < 5 => {
            Chip::new(ChipKind::Risk, format!("{spare:+}"))
        }
        Ok(state @ (JobState::Waiting | JobState::Assigned)) => {
            Chip::new(ChipKind::Plain, format!("{} {spare:+}", state.words()))
        }
        Ok(state) => Chip::new(
            ChipKind::Plain,
            format!("{} {:+}", state.words(), minutes(to_due)),
        ),
        Err(_) => Chip::new(ChipKind::Plain, job.state.clone()),
    }
}

/// So likely not ready at walk-on is worth a mark: an assumption.
const RISKY: f64 = 0.1;

/// The odds against a match, where they are worth a word.
fn risk_of(sheet: &JobSheet) -> Option<f64> {
    let spare = sheet.spare.as_ref()?;
    spare.risk.filter(|risk| *risk >= RISKY)
}

/// ", misses walk-on 32 %" for a job that is late or at risk, or nothing.
pub fn odds(chip: &Chip, sheet: &JobSheet) -> String {
    let worth_saying = matches!(chip.kind, ChipKind::Late | ChipKind::Risk);
    let risk = risk_of(sheet).filter(|_| worth_saying);
    risk.map_or_else(String::new, |risk| {
        format!(", misses walk-on {:.0}\u{a0}%", risk * 100.0)
    })
}

/// Minutes to spare by the plan.
fn planned_chip(sheet: &JobSheet) -> Chip {
    let Some(spare) = &sheet.spare else {
        return Chip::default();
    };
    let minutes = spare.minutes();
    let state: Option<JobState> = sheet.job.state.parse().ok();
    match state {
        _ if minutes < 0 => Chip::new(ChipKind::Late, format!("late {}", -minutes)),
        _ if minutes < 5 || risk_of(sheet).is_some() => Chip::new(ChipKind::Risk, format!("{minutes:+}")),
        Some(state) => Chip::new(ChipKind::Plain, format!("{} {minutes:+}", state.words())),
        None => Chip::new(ChipKind::Plain, format!("{minutes:+}")),
    }
}

/// `text` as one value in an address (RFC 3986).
pub fn in_address(text: &str) -> String {
    use std::fmt::Write as _;
    let mut out = String::with_capacity(text.len());
    for byte in text.bytes() {
        if byte.is_ascii_alphanumeric() || b"-._~/".contains(&byte) {
            out.push(char::from(byte));
        } else {
            // writing to a String does not fail
            let _ = write!(out, "%{byte:02X}");
        }
    }
    out
}

/// What a button says for a decision of a snag.
pub fn decision(choice: &str) -> String {
    let words = match choice {
        "a_station_can_again" => "A station can do it again",
        "any_station" => "Any station may do it that can",
        "cancel" => "Do not string it: give it back",
        "done" => "Done as asked",
        "for_next_round" => "String it for the next round",
        "give_back" => "Give it back as it is",
        "hold" => "Pause it at The Plan",
        "keep" => "Keep it in the queue",
        "not_possible" => "Not possible",
        "other_string" => "Another string is chosen",
        "players_own" => "The player's own string is here",
        "recorded" => "The holes are on record now",
        "restart" => "Begin again at The Plan",
        "solved" => "Solved",
        "string_from_frame" => "String it, reading the frame",
        "wait" => "Wait until it can be strung",
        other => return other.replace('_', " "),
    };
    words.to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_typed_time_is_the_next_one_by_the_venues_clock() {
        let zone: Tz = "Europe/Paris".parse().unwrap();
        let at = |text: &str| DateTime::parse_from_rfc3339(text).unwrap().to_utc();
        let evening = at("2026-05-02T21:30:00Z");
        assert_eq!(moment(zone, evening, "00:15"), Some(at("2026-05-02T22:15:00Z")));
        assert_eq!(moment(zone, evening, "23:00"), Some(at("2026-05-02T21:00:00Z")));
        // in the afternoon nobody wants a racket for this morning
        let afternoon = at("2026-05-02T14:00:00Z");
        assert_eq!(moment(zone, afternoon, "09:00"), Some(at("2026-05-03T07:00:00Z")));
        assert_eq!(moment(zone, evening, "25:00"), None);
        assert_eq!(time(zone, at("2026-05-02T12:30:00Z")), "14:30");
    }

    #[test]
    fn a_written_time_is_the_last_one_by_the_venues_clock() {
        let zone: Tz = "Europe/Paris".parse().unwrap();
        let at = |text: &str| DateTime::parse_from_rfc3339(text).unwrap().to_utc();
        let after_midnight = at("2026-05-02T22:30:00Z");
        assert_eq!(
            moment_past(zone, after_midnight, "00:10"),
            Some(at("2026-05-02T22:10:00Z"))
        );
        assert_eq!(
            moment_past(zone, after_midnight, "23:50"),
            Some(at("2026-05-02T21:50:00Z"))
        );
        assert_eq!(moment_past(zone, after_midnight, "ten"), None);
    }

    #[test]
    fn twenty_four_kilograms_are_fifty_two_point_nine_pounds() {
        // 1 lb = 0.453 592 37 kg exactly (international yard and pound agreement, 1959)
        let asked = Tension::parse("24", TensionUnit::Kg).unwrap();
        assert_eq!(both_units(&asked), "24 kg (52.9 lb)");
    }

    #[test]
    fn names_are_shortened_by_letters_not_bytes() {
        assert_eq!(initials("Example A."), "EX. A");
        assert_eq!(initials("Łódź Ż."), "ŁÓ. Ż");
        assert_eq!(initials("X"), "X");
    }

    #[test]
    fn values_in_addresses_are_escaped() {
        assert_eq!(in_address("/hand-in?q=é&x"), "/hand-in%3Fq%3D%C3%A9%26x");
    }
}
