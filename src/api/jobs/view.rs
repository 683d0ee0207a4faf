//! What the API shows of a job, cut to what the caller's role may see.
use chrono::{DateTime, Utc};
use serde::Serialize;
use serde_json::{Value, json};
use utoipa::ToSchema;

use crate::craft::job::AllowedAction;
use crate::craft::roles::{Reach, Role};
use crate::craft::spec::{Spec, StringSpec};
use crate::craft::tension::{Tension, TensionUnit};
use crate::desk::job_sheet::{JobSheet, hold_that_lasts};
use crate::desk::reads::jobs::Job;
use crate::desk::reads::{At, Db};
use crate::desk::records::{Insisted, JobRecord, Purpose, WorkEstimate};
use crate::desk::{DeskResult, legal};

/// A job.
#[derive(Debug, Clone, Serialize, ToSchema)]
pub struct JobView {
    /// Its id.
    pub id: String,
    /// The code on the tag.
    #[schema(example = "K7M4G")]
    pub tag_code: String,
    /// Where it stands.
    #[schema(example = "waiting")]
    pub state: String,
    /// How far the stringing has come, on the machine.
    pub phase: Option<String>,
    /// The number of this attempt, from 1.
    pub attempt: i32,
    /// How the racket went out.
    pub outcome: Option<String>,
    /// The racket.
    pub racket: RacketView,
    /// Its owner.
    pub player: OwnerView,
    /// How the owner wants it; absent for roles that may not see specs.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<Spec>)]
    pub spec: Option<Value>,
    /// What the owner wants from the next time on, where this racket is finished as it was asked.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<Spec>)]
    pub spec_next_time: Option<Value>,
    /// The spec's version, from 1.
    pub spec_version: i64,
    /// When it must be ready.
    pub due_at: DateTime<Utc>,
    /// Whether that follows the player's next match.
    pub follows_match: bool,
    /// The match it is taken from, followed or named; none for a plain time.
    #[schema(example = "M12")]
    pub match_id: Option<String>,
    /// What the player was told; absent while no station is open.
    pub promised_at: Option<DateTime<Utc>>,
    /// When the racket came in.
    pub received_at: DateTime<Utc>,
    /// Since when it is in this state.
    pub state_since_at: DateTime<Utc>,
    /// When the racket went out.
    pub out_at: Option<DateTime<Utc>>,
    /// From coming in to going out, seconds.
    pub turnaround_s: Option<i64>,
    /// At which station.
    pub station_id: Option<String>,
    /// With which stringer.
    pub stringer_id: Option<String>,
    /// The station it waits for, if a coordinator said so.
    pub pinned_station_id: Option<String>,
    /// The drop-off it belongs to.
    pub batch: Option<BatchView>,
    /// What it is for.
    pub purpose: Option<Purpose>,
    /// Not to be strung before this.
    pub not_before_at: Option<DateTime<Utc>>,
    /// Independent facts.
    pub flags: FlagsView,
    /// The expected working time.
    pub estimate: Option<WorkEstimate>,
    /// Rules that somebody insisted on breaking, with the reason.
    pub insisted: Vec<Insisted>,
    /// What the caller may do now, and why not the rest.
    pub allowed_actions: Vec<AllowedAction>,
    /// The job's version, as in its `ETag`.
    pub version: i64,
}

/// The racket of a job.
#[derive(Debug, Clone, Serialize, ToSchema)]
pub struct RacketView {
    /// Its id.
    pub id: String,
    /// Its permanent label.
    pub label_code: Option<String>,
    /// The player's own number.
    pub number: Option<String>,
    /// What tells it from its sisters.
    pub marks: Vec<String>,
    /// Its frame model's id.
    pub frame_id: String,
    /// Its frame model's name.
    pub frame_name: String,
    /// Where it is: `owner`, `desk`, `runner`, `station:<id>` or `shelf:<slot>`.
    #[schema(example = "desk")]
    pub custody: String,
}

/// The owner of a job's racket.
#[derive(Debug, Clone, Serialize, ToSchema)]
pub struct OwnerView {
    /// Their id.
    pub id: String,
    /// Their name, or initials for roles that may not see names.
    pub name: String,
    /// Their country or club.
    pub country: Option<String>,
}

/// A drop-off of several rackets.
#[derive(Debug, Clone, Serialize, ToSchema)]
pub struct BatchView {
    /// Its id.
    pub id: String,
    /// Which of its rackets this is, from 1.
    pub place: i32,
}

/// Facts apart from the state.
#[derive(Debug, Clone, Serialize, ToSchema)]
pub struct FlagsView {
    /// Held on purpose: why and until when.
    pub held: Option<HeldView>,
    /// Moved forward: `rush` or `court`.
    pub rush: Option<String>,
    /// Work on the machine is paused.
    pub paused: bool,
    /// The spec changed and the bench has not read it.
    pub spec_changed_unacknowledged: bool,
    /// Touched by a machine found out of tolerance.
    pub recalled: bool,
    /// Written down after the fact.
    pub recorded_late: bool,
}

/// A hold.
#[derive(Debug, Clone, Serialize, ToSchema)]
pub struct HeldView {
    /// Why.
    pub reason: String,
    /// Until when; absent: until somebody releases it.
    pub until: Option<DateTime<Utc>>,
}

/// The job as `role` may see it at `now`.
///
/// # Errors
/// When the database fails.
pub fn of(db: &mut Db, sheet: &JobSheet, role: Role, now: DateTime<Utc>) -> DeskResult<JobView> {
    let allowed_actions = legal::allowed(db, sheet, role, now)?;
    Ok(shown(sheet, role, now, allowed_actions))
}

fn shown(sheet: &JobSheet, role: Role, now: DateTime<Utc>, allowed_actions: Vec<AllowedAction>) -> JobView {
    let (job, record, view) = (&sheet.job, &sheet.record, role.field_view());
    JobView {
        id: job.id.clone(),
        tag_code: job.code.clone(),
        state: job.state.clone(),
        phase: job.phase.clone(),
        attempt: job.attempt,
        outcome: job.outcome.clone(),
        racket: racket_of(sheet),
        player: OwnerView {
            id: sheet.player.id.clone(),
            name: name_of(sheet, view.full_name),
            country: sheet.player_record.country.clone(),
        },
        spec: (view.spec != Reach::None).then(|| spec_of(&sheet.spec)),
        spec_next_time: record
            .spec_next_time
            .as_ref()
            .filter(|_| view.spec != Reach::None)
            .map(spec_of),
        spec_version: job.spec_version,
        due_at: job.due_at.utc(),
        follows_match: record.follows_match,
        match_id: match_of(record),
        promised_at: job.promised_at.map(At::utc),
        received_at: job.received_at.utc(),
        state_since_at: job.state_since.utc(),
        out_at: job.out_at.map(At::utc),
        turnaround_s: job
            .out_at
            .map(|out| (out.utc() - job.received_at.utc()).num_seconds()),
        station_id: job.station_id.clone(),
        stringer_id: job.stringer_id.clone(),
        pinned_station_id: job.pinned_station_id.clone(),
        batch: job.batch_id.clone().map(|id| BatchView {
            id,
            place: job.batch_place,
        }),
        purpose: record.purpose,
        not_before_at: record.not_before_at,
        flags: flags_of(job, now),
        estimate: record.estimate,
        insisted: if view.spec == Reach::None {
            Vec::new()
        } else {
            record.insisted.clone()
        },
        allowed_actions,
        version: job.version,
    }
}

fn flags_of(job: &Job, now: DateTime<Utc>) -> FlagsView {
    let held = hold_that_lasts(job.held_reason.as_ref(), job.held_until, now);
    FlagsView {
        held: held.map(|reason| HeldView {
            reason: reason.to_owned(),
            until: job.held_until.map(At::utc),
        }),
        rush: job.rush.clone(),
        paused: job.paused,
        spec_changed_unacknowledged: job.spec_change_unseen,
        recalled: job.recalled,
        recorded_late: job.recorded_late,
    }
}

/// The match a ready-by is named for or was taken from.
fn match_of(record: &JobRecord) -> Option<String> {
    record.match_id.clone().or_else(|| record.ready_for_match.clone())
}

fn racket_of(sheet: &JobSheet) -> RacketView {
    RacketView {
        id: sheet.racket.id.clone(),
        label_code: sheet.racket.label_code.clone(),
        number: sheet.racket_record.number.clone(),
        marks: sheet.racket_record.marks.clone(),
        frame_id: sheet.frame_id.clone(),
        frame_name: sheet.frame.name.clone(),
        custody: sheet.racket.custody.clone(),
    }
}

fn name_of(sheet: &JobSheet, full_name: Reach) -> String {
    match full_name {
        Reach::None => initials(&sheet.player.display_name),
        Reach::Own | Reach::WithScope | Reach::All => sheet.player.display_name.clone(),
    }
}

/// The first letter of each word of a name: "E. A.".
pub fn initials(name: &str) -> String {
    let letters = name.split_whitespace().filter_map(|word| word.chars().next());
    letters
        .map(|letter| format!("{letter}."))
        .collect::<Vec<_>>()
        .join(" ")
}

/// The spec with each tension in newtons and in both everyday units.
fn spec_of(spec: &Spec) -> Value {
    let mut shown = json!(spec);
    for (member, side) in [("mains", &spec.mains), ("crosses", &spec.crosses)] {
        shown[member]["tension"] = tension_of(side);
    }
    shown
}

fn tension_of(side: &StringSpec) -> Value {
    let tension: &Tension = &side.tension;
    json!({
        "value": tension.value(),
        "unit": tension.unit(),
        "newtons": (tension.newtons().get() * 10.0).round() / 10.0,
        "kg": format!("{:.1}", tension.in_unit(TensionUnit::Kg)),
        "lb": format!("{:.1}", tension.in_unit(TensionUnit::Lb)),
    })
}
