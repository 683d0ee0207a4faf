//! The rows of the room's wall: exceptions first and on every page, gathered by their cause when they are many.
use std::collections::BTreeMap;

use chrono::{DateTime, Utc};

use super::visit::Visitor;
use super::wall_causes::Causes;
use super::words;
use crate::craft::job::JobPhase;
use crate::desk::job_sheet::JobSheet;
use crate::pages::parts::{Chip, ChipKind};
use crate::pages::views::wall::{MOST_EXCEPTIONS, ROWS_A_PAGE, RoomRow};

/// One page of rows, and how many pages there are.
pub struct RoomPage {
    pub rows: Vec<RoomRow>,
    pub page: usize,
    pub pages: usize,
}

/// The rows of one page. Every page begins with all exceptions, so that none waits for its page to come.
pub fn page_of(visitor: &Visitor, sheets: &[JobSheet], causes: &Causes, page: usize) -> RoomPage {
    let shown = sheets.iter().filter(|sheet| sheet.job.state != "ready");
    let mut shown: Vec<&JobSheet> = shown.collect();
    // of those that are wanted at one time the worst stands first
    shown.sort_by_key(|sheet| {
        let spare = sheet.spare.as_ref().map(|spare| spare.to_promise);
        (sheet.job.due_at.utc().timestamp() / 60, spare)
    });
    // who is late or at risk keeps a row with its own cause: a stop makes matches later, not rackets
    let in_time = |sheet: &&JobSheet| words::wall_chip(sheet, visitor.now).kind == ChipKind::Plain;
    let (stopped, shown): (Vec<&JobSheet>, Vec<&JobSheet>) = shown
        .into_iter()
        .partition(|sheet| in_time(sheet) && causes.stopped(sheet));
    let rows = shown.into_iter().map(|sheet| row(visitor, sheet, causes));
    let (exceptions, ordinary): (Vec<RoomRow>, Vec<RoomRow>) = rows.partition(|row| row.exception);
    let stops = stop_rows(visitor, &stopped, causes);
    let room = ROWS_A_PAGE.saturating_sub(stops.len() + ordinary.len());
    let mut first = gathered(exceptions, room);
    first.extend(stops);
    let each = ROWS_A_PAGE.saturating_sub(first.len()).max(1);
    let pages = ordinary.len().div_ceil(each).max(1);
    let page = page.clamp(1, pages);
    first.extend(ordinary.into_iter().skip((page - 1) * each).take(each));
    RoomPage {
        rows: first,
        page,
        pages,
    }
}

/// One row for each stop of play, however many rackets wait on it.
fn stop_rows(visitor: &Visitor, stopped: &[&JobSheet], causes: &Causes) -> Vec<RoomRow> {
    let rows = causes.stops.iter().filter_map(|stop| {
        let here: Vec<&JobSheet> = stopped
            .iter()
            .filter(|sheet| stop.job_ids.contains(&sheet.job.id))
            .copied()
            .collect();
        let rows: Vec<RoomRow> = here.iter().map(|sheet| row(visitor, sheet, causes)).collect();
        let many = rows.len();
        let least = here.iter().filter_map(|sheet| spare_min(sheet)).min();
        let least = least.map_or_else(String::new, |least| format!(", {least:+} at least"));
        let word = if many == 1 {
            "1 job".to_owned()
        } else {
            format!("{many} jobs")
        };
        let expected = stop
            .expected
            .map_or_else(String::new, |at| format!(", goes on about {}", visitor.time(at)));
        let mut rows = rows.into_iter();
        let first = rows.next()?;
        Some(RoomRow {
            state: Chip::new(ChipKind::Info, word),
            exception: true,
            initials: String::new(),
            others: named(rows),
            words: format!("{}{expected}{least}", stop.words()),
            who: "referee".to_owned(),
            ..first
        })
    });
    rows.collect()
}

/// Minutes to spare by the plan.
fn spare_min(sheet: &JobSheet) -> Option<i64> {
    sheet.spare.as_ref().map(|spare| spare.minutes())
}

/// Rows as they are where `room` or half of the wall is enough for them, else one row for each kind and cause.
fn gathered(mut exceptions: Vec<RoomRow>, room: usize) -> Vec<RoomRow> {
    exceptions.sort_by_key(|row| urgency(row.state.kind));
    if exceptions.len() <= room.max(MOST_EXCEPTIONS) {
        return exceptions;
    }
    let mut by_cause: BTreeMap<(u8, String), Vec<RoomRow>> = BTreeMap::new();
    for row in exceptions {
        let key = (urgency(row.state.kind), row.cause.clone());
        by_cause.entry(key).or_default().push(row);
    }
    let mut rows: Vec<RoomRow> = by_cause.into_values().map(together).collect();
    if rows.len() > MOST_EXCEPTIONS {
        let rest = rows.split_off(MOST_EXCEPTIONS - 1);
        rows.push(together_of_many_causes(rest));
    }
    rows
}

/// The kinds in the order in which somebody must act.
fn urgency(kind: ChipKind) -> u8 {
    match kind {
        ChipKind::Late => 0,
        ChipKind::Rush => 1,
        ChipKind::Risk => 2,
        ChipKind::Held => 3,
        ChipKind::Info => 4,
        ChipKind::Ready | ChipKind::Plain => 5,
    }
}

/// Several jobs with one cause in one row: how many, the earliest time, the first codes.
fn together(rows: Vec<RoomRow>) -> RoomRow {
    let many = rows.len();
    let mut rows = rows.into_iter();
    let Some(first) = rows.next() else {
        return RoomRow::default();
    };
    if many == 1 {
        return first;
    }
    let word = match first.state.kind {
        ChipKind::Late => "late",
        ChipKind::Rush => "rush",
        ChipKind::Risk => "at risk",
        ChipKind::Held => "held",
        ChipKind::Info | ChipKind::Ready | ChipKind::Plain => "jobs",
    };
    RoomRow {
        state: Chip::new(first.state.kind, format!("{many} {word}")),
        words: first.cause.clone(),
        initials: String::new(),
        others: named(rows),
        ..first
    }
}

/// As many codes as a row has room for beside its cause, and how many more there are.
const CODES_NAMED: usize = 8;

fn named(rows: impl Iterator<Item = RoomRow>) -> String {
    let codes: Vec<String> = rows.map(|row| row.code).collect();
    let more = codes.len().saturating_sub(CODES_NAMED);
    let shown = codes.get(..CODES_NAMED).unwrap_or(&codes).join(" ");
    if more == 0 {
        shown
    } else {
        format!("{shown} and {more} more")
    }
}

fn together_of_many_causes(rows: Vec<RoomRow>) -> RoomRow {
    let row = together(rows);
    RoomRow {
        words: "several causes: see Snags".to_owned(),
        ..row
    }
}

fn row(visitor: &Visitor, sheet: &JobSheet, causes: &Causes) -> RoomRow {
    let state = words::wall_chip(sheet, visitor.now);
    let (cause, who) = cause(sheet, visitor.now);
    let words = causes.of_waiting(visitor, sheet).unwrap_or_else(|| cause.clone());
    RoomRow {
        exception: state.kind != ChipKind::Plain,
        code: sheet.job.code.clone(),
        initials: words::initials(&sheet.player.display_name),
        wanted: visitor.time_or_day(sheet.job.due_at.utc()),
        others: String::new(),
        who: if state.kind == ChipKind::Plain {
            String::new()
        } else {
            who.to_owned()
        },
        words: match (&sheet.station_name, words::odds(&state, sheet)) {
            (Some(station), odds) => format!("{station}: {words}{odds}"),
            (None, odds) => words + &odds,
        },
        cause,
        state,
    }
}

/// What the job waits for or what is being done to it, and who can move it on.
fn cause(sheet: &JobSheet, now: DateTime<Utc>) -> (String, &'static str) {
    let job = &sheet.job;
    if let Some(reason) = sheet.held(now) {
        return (reason.replace('_', " "), "desk");
    }
    let phase: Option<JobPhase> = job.phase.as_ref().and_then(|phase| phase.parse().ok());
    match job.state.as_str() {
        "waiting" => ("waits for a station".to_owned(), "coordinator"),
        "assigned" => ("assigned".to_owned(), "stringer"),
        "on_machine" if job.paused => ("on machine, paused".to_owned(), "stringer"),
        "on_machine" => {
            let done = phase.map_or_else(String::new, |phase| format!(", {}", phase.words().to_lowercase()));
            (format!("on machine{done}"), "stringer")
        }
        "checking" => ("checking".to_owned(), "stringer"),
        other => (other.replace('_', " "), "desk"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn exception(kind: ChipKind, code: &str, cause: &str) -> RoomRow {
        RoomRow {
            state: Chip::new(kind, "late 5"),
            exception: true,
            code: code.into(),
            cause: cause.into(),
            words: cause.into(),
            ..RoomRow::default()
        }
    }

    #[test]
    fn few_exceptions_stand_alone_the_latest_kind_first() {
        let rows = gathered(
            vec![
                exception(ChipKind::Held, "A", "asked to wait"),
                exception(ChipKind::Late, "B", "waits for a station"),
            ],
            0,
        );
        let codes: Vec<&str> = rows.iter().map(|row| row.code.as_str()).collect();
        assert_eq!(codes, ["B", "A"]);
    }

    #[test]
    fn many_with_one_cause_become_one_row_that_names_them_all() {
        let all = (0..9).map(|n| exception(ChipKind::Late, &format!("K{n}"), "waits for a station"));
        let rows = gathered(all.collect(), 5);
        assert_eq!(rows.len(), 1);
        assert_eq!(rows[0].state.word, "9 late");
        assert!(rows[0].code == "K0" && rows[0].others.ends_with("K8"));
    }

    #[test]
    fn rows_that_fit_stand_alone_with_their_own_minutes() {
        let all = (0..9).map(|n| exception(ChipKind::Late, &format!("K{n}"), "waits for a station"));
        let rows = gathered(all.collect(), 9);
        assert_eq!(rows.len(), 9);
        assert!(
            rows.iter()
                .all(|row| row.state.word == "late 5" && row.others.is_empty())
        );
    }

    #[test]
    fn codes_that_have_no_room_are_counted() {
        let all = (0..12).map(|n| exception(ChipKind::Late, &format!("K{n}"), "waits for a station"));
        let rows = gathered(all.collect(), 5);
        assert_eq!(rows[0].others, "K1 K2 K3 K4 K5 K6 K7 K8 and 3 more");
    }

    #[test]
    fn however_many_causes_there_are_half_of_the_wall_is_left() {
        let all = (0..20).map(|n| exception(ChipKind::Risk, "K", &format!("cause {n}")));
        let rows = gathered(all.collect(), 5);
        assert_eq!(rows.len(), MOST_EXCEPTIONS);
        assert!(rows[MOST_EXCEPTIONS - 1].words.contains("several causes"));
        assert_eq!(rows[MOST_EXCEPTIONS - 1].state.word, "15 at risk");
    }
}
