//! Catch Up: what was written on paper while power or network were gone is entered line by line, in the
//! order of the written times. The log keeps both times, and a line entered twice is entered once.
use std::collections::HashSet;

use chrono::{DateTime, DurationRound, TimeDelta, Utc};
use chrono_tz::Tz;
use serde::Deserialize;
use utoipa::ToSchema;

use crate::craft::job::{JobPhase, JobState};
use crate::craft::roles::Role;
use crate::craft::tag_code::TagCode;
use crate::desk::check_racket::{Points, pass_job, record_check, strung};
use crate::desk::court_times::due_by::DueBy;
use crate::desk::hand_in::{self, CHECK_IN, HandIn};
use crate::desk::job_sheet::JobSheet;
use crate::desk::start_job::{StartJob, start_job};
use crate::desk::tx::PaperLine;
use crate::desk::{DeskError, DeskResult, MemberFault, Tx, hand_out, hear_wish, log, overview, tap_phase};
use crate::storage::jobs::{self, Job};
use crate::storage::rackets;

/// The most lines of one table: the blank rows of a kit, and what happened to each of them.
pub const MOST_LINES: usize = 300;

/// One line of paper.
#[derive(Debug, Clone, PartialEq, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct WrittenLine {
    /// The time beside it.
    pub written_at: DateTime<Utc>,
    /// The code on the racket's tag; of a racket taken in on paper one that was reserved.
    #[schema(example = "K7M4G")]
    pub code: String,
    /// What was done.
    pub line: Written,
}

/// What a line of paper says was done.
#[derive(Debug, Clone, PartialEq, Deserialize, ToSchema)]
#[serde(tag = "what", rename_all = "snake_case", deny_unknown_fields)]
pub enum Written {
    /// A racket that was strung here before was taken in.
    TakenIn {
        /// Which.
        racket_id: String,
        /// The wish as written, such as "24/23 kg"; the same again where nothing was.
        #[serde(default)]
        wish: Option<String>,
        /// When it must be ready; for the player's next match where nothing was written.
        #[serde(default)]
        due_at: Option<DateTime<Utc>>,
        /// Whether somebody wrote that the frame was looked at and found sound.
        #[serde(default)]
        condition_ok: bool,
    },
    /// It was put on the machine.
    Started {
        /// Of which station.
        station_id: String,
    },
    /// Its mains were done.
    MainsDone,
    /// It was strung and taken off.
    Strung,
    /// It was looked at, found good and put on the shelf.
    Checked,
    /// It was given out.
    Out {
        /// To whom, and what proved it.
        to: String,
    },
}

impl Written {
    /// Its name in the log and on the screen's form.
    #[must_use]
    pub const fn kind(&self) -> &'static str {
        match self {
            Self::TakenIn { .. } => "taken_in",
            Self::Started { .. } => "started",
            Self::MainsDone => "mains_done",
            Self::Strung => "strung",
            Self::Checked => "checked",
            Self::Out { .. } => "out",
        }
    }

    /// Its place in a racket's life, for lines with the same time.
    const fn place(&self) -> u8 {
        match self {
            Self::TakenIn { .. } => 0,
            Self::Started { .. } => 1,
            Self::MainsDone => 2,
            Self::Strung => 3,
            Self::Checked => 4,
            Self::Out { .. } => 5,
        }
    }
}

/// What becomes of a line.
#[derive(Debug, Clone, PartialEq)]
pub enum Fate {
    /// It is entered.
    Entered {
        /// The job.
        job_id: String,
        /// The state it is in after this line.
        state: String,
    },
    /// The same line was entered before.
    Known {
        /// The job.
        job_id: String,
    },
    /// It can't be entered.
    Faulty(Vec<MemberFault>),
}

/// What would become of each line; nothing changes.
///
/// # Errors
/// [`DeskError::NotAllowed`], [`DeskError::Invalid`] for too many lines.
pub fn preview(tx: &mut Tx<'_>, lines: &[WrittenLine]) -> DeskResult<Vec<Fate>> {
    tx.only_look(|tx| enter(tx, lines))
}

/// Enters all lines or none.
///
/// # Errors
/// [`DeskError::NotAllowed`]; [`DeskError::Invalid`] with every fault of every line, below `/lines/N`.
pub fn catch_up(tx: &mut Tx<'_>, lines: &[WrittenLine]) -> DeskResult<Vec<Fate>> {
    let fates = enter(tx, lines)?;
    let faults: Vec<MemberFault> = fates
        .iter()
        .flat_map(|fate| match fate {
            Fate::Faulty(faults) => faults.clone(),
            _ => Vec::new(),
        })
        .collect();
    if faults.is_empty() {
        Ok(fates)
    } else {
        Err(DeskError::Invalid(faults))
    }
}

fn enter(tx: &mut Tx<'_>, lines: &[WrittenLine]) -> DeskResult<Vec<Fate>> {
    tx.caller.must_be(&CHECK_IN)?;
    if lines.is_empty() || lines.len() > MOST_LINES {
        let detail = format!("Give 1 to {MOST_LINES} lines.");
        return Err(DeskError::member("/lines", "out_of_range", detail));
    }
    let mut order: Vec<usize> = (0..lines.len()).collect();
    order.sort_by_key(|place| (lines[*place].written_at, lines[*place].line.place(), *place));
    let mut fates = vec![None; lines.len()];
    let mut broken = HashSet::new();
    for place in order {
        let pointer = format!("/lines/{place}");
        let code = lines[place].code.trim().to_ascii_uppercase();
        let fate = if broken.contains(&code) {
            Fate::Faulty(vec![MemberFault::at(
                format!("{pointer}/code"),
                "hangs_on_another",
                "An earlier line of this racket is wrong; mend that one first.",
            )])
        } else {
            fate(tx, &lines[place], &pointer)?
        };
        if matches!(fate, Fate::Faulty(_)) {
            broken.insert(code);
        }
        fates[place] = Some(fate);
    }
    Ok(fates.into_iter().flatten().collect())
}

/// A refusal becomes the line's fault; only the database's own trouble ends the table.
fn fate(tx: &mut Tx<'_>, written: &WrittenLine, pointer: &str) -> DeskResult<Fate> {
    match one(tx, written, pointer) {
        Ok(fate) => Ok(fate),
        Err(DeskError::Storage(cause)) => Err(DeskError::Storage(cause)),
        Err(error) => Ok(Fate::Faulty(faults(error, pointer))),
    }
}

fn faults(error: DeskError, pointer: &str) -> Vec<MemberFault> {
    let whole = |detail: String| vec![MemberFault::at(format!("{pointer}/code"), "not_possible", detail)];
    match error {
        DeskError::Invalid(faults) => faults,
        DeskError::Rule { detail, faults, .. } if faults.is_empty() => whole(detail),
        DeskError::Rule { faults, .. } => faults,
        DeskError::StateForbids { detail, .. } | DeskError::Conflict { detail, .. } => whole(detail),
        DeskError::NotFound(_) => whole("What this line names is not there.".to_owned()),
        _ => whole("This line can't be entered.".to_owned()),
    }
}

fn one(tx: &mut Tx<'_>, written: &WrittenLine, pointer: &str) -> DeskResult<Fate> {
    let at = written.written_at;
    if at > tx.now {
        let detail = "The written time has not come yet; check the hour.";
        return Err(DeskError::member(
            format!("{pointer}/written_at"),
            "out_of_range",
            detail,
        ));
    }
    let code = TagCode::parse(&written.code)
        .map_err(|fault| DeskError::member(format!("{pointer}/code"), "check_the_code", fault.to_string()))?;
    let job = jobs::by_code(tx.db, tx.tournament(), code.as_str())?;
    if let Some(job) = &job
        && is_known(tx, job, written)?
    {
        return Ok(Fate::Known {
            job_id: job.id.clone(),
        });
    }
    let zone = overview::house(tx.db, tx.caller.tournament())?.zone;
    let line = PaperLine {
        kind: written.line.kind(),
        written_at: at,
        as_of: as_of(job.as_ref(), &written.line, at, zone, pointer)?,
        role: role_of(&written.line),
    };
    let job_id = match (job, &written.line) {
        (_, Written::TakenIn { .. }) => {
            tx.from_paper(line, |tx| take_in(tx, &written.line, code.as_str(), pointer))?
        }
        (Some(job), _) => tx.from_paper(line, |tx| go_on(tx, &job, &written.line, pointer))?,
        (None, _) => {
            let detail = "No racket has this code; its line \"taken in\" is missing.";
            return Err(DeskError::member(
                format!("{pointer}/code"),
                "unknown_reference",
                detail,
            ));
        }
    };
    let state = mark_late(tx, &job_id)?;
    Ok(Fate::Entered { job_id, state })
}

/// The same racket, thing and written minute stand in the log already.
fn is_known(tx: &mut Tx<'_>, job: &Job, written: &WrittenLine) -> DeskResult<bool> {
    let entries = log::entries_about(tx.db, tx.caller.tournament(), std::slice::from_ref(&job.id))?;
    Ok(entries.iter().any(|entry| {
        entry.data["on_paper"] == written.line.kind()
            && entry.device_at.map(minute) == Some(minute(written.written_at))
    }))
}

fn minute(at: DateTime<Utc>) -> DateTime<Utc> {
    at.duration_trunc(TimeDelta::minutes(1)).unwrap_or(at)
}

/// Paper knows minutes only, so what is on record may be some seconds later; more is a fault.
fn as_of(
    job: Option<&Job>,
    line: &Written,
    at: DateTime<Utc>,
    zone: Tz,
    pointer: &str,
) -> DeskResult<DateTime<Utc>> {
    let Some(job) = job.filter(|_| !matches!(line, Written::TakenIn { .. })) else {
        return Ok(at);
    };
    let since = job
        .state_since
        .utc()
        .max(job.phase_at.map_or(at, |at| at.utc()).min(at));
    if minute(since) > at {
        let detail = format!(
            "{} is {} since {}, later than this line was written; check time and code.",
            job.code,
            state_words(&job.state),
            since.with_timezone(&zone).format("%H:%M")
        );
        return Err(DeskError::member(
            format!("{pointer}/written_at"),
            "out_of_range",
            detail,
        ));
    }
    Ok(at.max(since))
}

fn state_words(state: &str) -> String {
    let known: Option<JobState> = state.parse().ok();
    known.map_or_else(|| state.replace('_', " "), |state| state.words().to_owned())
}

/// The desk writes down what the bench did; the log names who entered it.
const fn role_of(line: &Written) -> Role {
    match line {
        Written::TakenIn { .. } | Written::Out { .. } => Role::Desk,
        Written::Started { .. } | Written::MainsDone | Written::Strung | Written::Checked => Role::Stringer,
    }
}

fn take_in(tx: &mut Tx<'_>, line: &Written, code: &str, pointer: &str) -> DeskResult<String> {
    let Written::TakenIn {
        racket_id,
        wish,
        due_at,
        condition_ok,
    } = line
    else {
        return Ok(String::new());
    };
    let racket = rackets::find(tx.db, tx.tournament(), racket_id)?.ok_or_else(|| {
        let detail = "No such racket here; register it first.";
        DeskError::member(format!("{pointer}/racket_id"), "unknown_reference", detail)
    })?;
    let order = HandIn {
        racket_id: racket_id.clone(),
        spec: hear_wish::written_spec(tx.db, &racket, wish.as_deref(), &format!("{pointer}/line"))?,
        due: DueBy::asked(None, *due_at, due_at.is_none(), pointer)?,
        purpose: None,
        not_before_at: None,
        wants_stringer_id: None,
        condition_ok: *condition_ok,
        damage: Vec::new(),
        code: Some(code.to_owned()),
        insist: None,
    };
    let mut batch = hand_in::hand_in_below(tx, order, pointer)?;
    Ok(std::mem::take(&mut batch.id))
}

fn go_on(tx: &mut Tx<'_>, job: &Job, line: &Written, pointer: &str) -> DeskResult<String> {
    match line {
        Written::TakenIn { .. } => {}
        Written::Started { station_id } => {
            // whoever wrote the code had tag and strings in hand
            let sheet = JobSheet::of(tx.db, tx.tournament(), &job.id)?;
            let name = |part: &crate::craft::spec::StringSpec| {
                let id = part.string.string_id.as_ref().map(|id| id.as_str().to_owned());
                id.or_else(|| part.string.name.clone())
            };
            let start = StartJob {
                station_id: Some(station_id.clone()),
                tag: job.code.clone(),
                mains: name(&sheet.spec.mains),
                crosses: name(&sheet.spec.crosses),
            };
            start_job(tx, &job.id, &start)?;
        }
        Written::MainsDone => {
            tap_phase::tap_phase(tx, &job.id, JobPhase::MainsDone)?;
        }
        Written::Strung => {
            strung(tx, &job.id)?;
        }
        Written::Checked => {
            let all_good = Points {
                weave: true,
                tie_offs: true,
                grommets: true,
            };
            record_check(tx, &job.id, all_good)?;
            pass_job(tx, &job.id, None)?;
        }
        Written::Out { to } => {
            hand_out::left_with(tx, &job.id, "on_paper", to, &format!("{pointer}/line/to"))?;
        }
    }
    Ok(job.id.clone())
}

/// Every job of a drop-off that was taken in on paper.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn mark_drop_off_late(tx: &mut Tx<'_>, first: &str) -> DeskResult<()> {
    for sheet in overview::drop_off_of(tx.db, tx.caller.tournament(), first)? {
        mark_late(tx, &sheet.job.id)?;
    }
    Ok(())
}

/// Statistics must know that the times of this job were not taken by the program.
///
/// # Errors
/// [`DeskError::Storage`].
pub(super) fn mark_late(tx: &mut Tx<'_>, job_id: &str) -> DeskResult<String> {
    let mut sheet = JobSheet::of(tx.db, tx.tournament(), job_id)?;
    sheet.job.recorded_late = true;
    jobs::save(tx.db, &mut sheet.job)?;
    Ok(sheet.job.state)
}
