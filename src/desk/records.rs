//! What the `record` columns hold: the parts of a row that no query asks for.
//!
//! A new member gets `#[serde(default)]`, so that rows written before it still read.
use std::collections::BTreeMap;

use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use crate::craft::spec::{Material, Spec};
use crate::craft::sport::Sport;
use crate::craft::string_plan::request::StockUse;
use crate::craft::tension::TensionUnit;
use crate::craft::weave_method::WeaveMethod;
use crate::desk::court_call::CourtCall;

/// Settings of a tournament.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct TournamentSettings {
    /// The sport most rackets are for.
    #[serde(default)]
    pub sport: Option<Sport>,
    /// When the business day ends, venue time, `HH:MM`.
    #[serde(default = "four_in_the_morning")]
    pub business_day_ends: String,
    /// Whether a machine needs today's calibration before it may start a job.
    #[serde(default)]
    pub require_cleared_machines: bool,
    /// The weave method when neither frame, owner nor stringer says otherwise.
    #[serde(default)]
    pub weave_policy: Option<WeaveMethod>,
    /// What is added to the string that is tied off next, per cent; none unless set.
    #[serde(default)]
    pub knot_extra_percent: Option<f64>,
    /// Photos of marks are deleted so many days after their racket has left the desk.
    #[serde(default = "thirty_days")]
    pub photos_kept_days: u16,
    /// Where players collect their rackets, as tickets and phones say it.
    // left out where it is not set: a program of before reads the row then
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub collect_at: Option<String>,
}

/// Common practice, no source: longer than a tournament and the weeks in which its owner may complain.
fn thirty_days() -> u16 {
    30
}

fn four_in_the_morning() -> String {
    "04:00".to_owned()
}

impl Default for TournamentSettings {
    fn default() -> Self {
        Self {
            sport: None,
            business_day_ends: four_in_the_morning(),
            require_cleared_machines: false,
            weave_policy: None,
            knot_extra_percent: None,
            photos_kept_days: thirty_days(),
            collect_at: None,
        }
    }
}

/// What is known of a player besides the name to show.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct PlayerRecord {
    /// The name by which lists are sorted, if another.
    pub sort_name: Option<String>,
    /// The name in Latin letters, if written otherwise.
    pub latin_name: Option<String>,
    /// The language they are addressed in, BCP 47.
    pub language: Option<String>,
    /// Country or club code, as shown on the wall.
    pub country: Option<String>,
    /// How to reach them. Seen by those who may see contacts.
    pub contact: Option<String>,
    /// Who may collect for them, always.
    pub delegates: Vec<String>,
    /// Who may collect for them the next time; a name leaves the list when the rackets go with it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub delegates_once: Vec<String>,
    /// Their regular stringer.
    pub regular_stringer_id: Option<String>,
    /// Their regular station.
    pub regular_station_id: Option<String>,
    /// Stringers who shall not string for them.
    pub not_stringer_ids: Vec<String>,
    /// The unit in which they speak of tension.
    pub tension_unit: Option<TensionUnit>,
    /// A note for the desk.
    pub note: Option<String>,
}

/// What is known of a racket.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct RacketRecord {
    /// The player's own number for it.
    pub number: Option<String>,
    /// What tells it from its sisters: dots, grip colour.
    pub marks: Vec<String>,
    /// Damage seen on it so far.
    pub damage: Vec<DamageMark>,
}

/// A mark of damage.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct DamageMark {
    /// Where on the racket.
    pub place: DamagePlace,
    /// What was seen.
    pub note: String,
    /// Whether the hoop is cracked: such a frame is not strung without the owner's word.
    #[serde(default)]
    pub cracked: bool,
}

/// The four places of the condition check.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum DamagePlace {
    /// The head's top, with the bumper.
    HeadTop,
    /// The shoulders.
    Shoulders,
    /// The throat.
    Throat,
    /// The grommets.
    Grommets,
}

impl DamagePlace {
    /// The four places, from the top down.
    pub const ALL: [Self; 4] = [Self::HeadTop, Self::Shoulders, Self::Throat, Self::Grommets];

    /// The place as it is stored and sent.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::HeadTop => "head_top",
            Self::Shoulders => "shoulders",
            Self::Throat => "throat",
            Self::Grommets => "grommets",
        }
    }

    /// The place of this name.
    #[must_use]
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|place| place.as_str() == name)
    }
}

/// What is known of a string product.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct StringRecord {
    /// Its diameter in mm, decimal text.
    pub gauge_mm: Option<String>,
    /// What it is made of.
    pub material: Option<Material>,
}

/// What is known of a stringer.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct StringerRecord {
    /// Time needed relative to the element times; 1.0 until measured.
    #[serde(default = "one")]
    pub pace_factor: f64,
    /// Their habit, where frame and owner leave the choice.
    #[serde(default)]
    pub usual_method: Option<WeaveMethod>,
}

fn one() -> f64 {
    1.0
}

impl Default for StringerRecord {
    fn default() -> Self {
        Self {
            pace_factor: one(),
            usual_method: None,
        }
    }
}

/// What a racket is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Purpose {
    /// The next match.
    Match,
    /// Practice.
    Practice,
    /// A spare.
    Spare,
}

/// Somebody insisted on what a rule forbids.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct Insisted {
    /// The rule's problem code.
    pub code: String,
    /// Why, in their words.
    pub reason: String,
    /// Who took it down.
    pub account_id: Option<String>,
}

/// The working time expected when the job was planned.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct WorkEstimate {
    /// Half of such jobs take at most this, seconds.
    pub p50_s: u32,
    /// Eight in ten take at most this, seconds.
    pub p80_s: u32,
    /// Nine in ten take at most this, seconds.
    pub p90_s: u32,
}

/// One string that a job takes, by its plan.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct StringNeed {
    /// For which part of the bed.
    pub used_for: StockUse,
    /// Which string of the tournament's list; none for the player's own that is not listed.
    pub string_id: Option<String>,
    /// Cut at least this much, mm; none where the plan does not know.
    pub at_least_mm: Option<u32>,
}

/// String that was taken from a piece for one attempt.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct BookedString {
    /// From which piece.
    pub piece_id: String,
    /// For which part of the bed.
    pub used_for: StockUse,
    /// How much, mm.
    pub length_mm: u32,
}

/// The parts of an attempt that no query asks for.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct AttemptRecord {
    /// The mains' string as scanned or confirmed.
    pub mains: Option<String>,
    /// The crosses' string, likewise.
    pub crosses: Option<String>,
    /// What was taken from stock.
    pub booked: Vec<BookedString>,
}

/// A stringer would not do a job at a station.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct BenchRefusal {
    /// Where.
    pub station_id: String,
    /// Who worked there.
    pub stringer_id: Option<String>,
    /// Why, in their words.
    pub reason: String,
    /// When.
    pub at: DateTime<Utc>,
}

/// The parts of a job that no query asks for.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct JobRecord {
    /// What it is for.
    pub purpose: Option<Purpose>,
    /// Damage seen at hand-in.
    pub damage: Vec<DamageMark>,
    /// Whether all four places were looked at and found good.
    pub condition_ok: bool,
    /// Rules that somebody insisted on breaking.
    pub insisted: Vec<Insisted>,
    /// Not to be strung before this.
    pub not_before_at: Option<DateTime<Utc>>,
    /// The player wants this stringer.
    pub wants_stringer_id: Option<String>,
    /// Who refused it at which bench.
    pub refusals: Vec<BenchRefusal>,
    /// Where it lies on the shelf.
    pub slot: Option<String>,
    /// How often each paper was printed, by its name.
    pub prints: BTreeMap<String, u32>,
    /// The expected working time.
    pub estimate: Option<WorkEstimate>,
    /// Whether the plan needs swivel clamps.
    pub needs_swivel: bool,
    /// Why a pause began.
    pub pause_reason: Option<String>,
    /// The machine that may start this job without today's pass, by a coordinator's word.
    pub allowed_machine_id: Option<String>,
    /// Seconds the job may run before somebody is asked, and other remarks for the bench.
    pub remarks: Vec<String>,
    /// How the job was cancelled or released, in words.
    pub ending_reason: Option<String>,
    /// The frame does not know the pattern: read it from the frame.
    pub pattern_unknown: bool,
    /// The spec as the bench last read it, while a change of it is unread.
    pub spec_before_change: Option<Spec>,
    /// The wish for the next time, where this racket was to be finished as it was asked.
    pub spec_next_time: Option<Spec>,
    /// Whether its ready-by follows the player's next match.
    pub follows_match: bool,
    /// The match it is named for; none: the player's next one.
    pub match_id: Option<String>,
    /// The match that its ready-by was last taken from.
    pub ready_for_match: Option<String>,
    /// The strings it takes, by its plan.
    pub needs: Vec<StringNeed>,
    /// The weave method the stringer chose for it at the bench.
    pub bench_method: Option<WeaveMethod>,
    /// The weave method it was last begun with.
    pub method: Option<WeaveMethod>,
    /// Whether it is held because a string of it was not in stock.
    pub waits_for_string: bool,
    /// A court waits for it.
    pub court_call: Option<CourtCall>,
    /// Who collected it, where the player had named them for one time.
    pub collected_once: Option<String>,
}

impl JobRecord {
    /// Whether whoever works at a station has refused the job there.
    #[must_use]
    pub fn refused_at(&self, station_id: &str, stringer_id: Option<&str>) -> bool {
        self.refusals
            .iter()
            .any(|one| one.station_id == station_id && one.stringer_id.as_deref() == stringer_id)
    }
}
