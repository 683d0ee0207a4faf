//! Changing a tournament's name, zone and settings.
use chrono::NaiveTime;
use chrono_tz::Tz;
use serde_json::json;

use crate::craft::roles::Role;
use crate::desk::records::TournamentSettings;
use crate::desk::refusal::{DeskError, DeskResult, MemberFault, Thing};
use crate::desk::{Tx, text_member};
use crate::storage::tournaments::{self, Tournament};
use crate::storage::{from_record, to_record};

/// Who may.
pub const KEEPERS: [Role; 1] = [Role::Admin];
/// The most that may be added to a string that is tied off next, per cent. Common practice adds
/// less; no source: the bound keeps slips of the finger out.
const MOST_KNOT_EXTRA_PERCENT: f64 = 20.0;
/// The longest that photos are kept, days: from one year's tournament to the next.
const LONGEST_PHOTOS_KEPT: u16 = 366;

/// What is said of a tournament.
#[derive(Debug, Clone)]
pub struct TournamentFacts {
    /// Its name.
    pub name: String,
    /// The venue's time zone, IANA name.
    pub time_zone: String,
    /// Its settings.
    pub settings: TournamentSettings,
}

/// Replaces the facts of the caller's tournament.
///
/// # Errors
/// [`DeskError::NotFound`], [`DeskError::NotAllowed`], [`DeskError::Stale`], [`DeskError::Invalid`].
pub fn correct_tournament(
    tx: &mut Tx<'_>,
    version: i64,
    mut facts: TournamentFacts,
) -> DeskResult<Tournament> {
    let id = tx.tournament().to_owned();
    let mut row = tournaments::find(tx.db, &id)?.ok_or(DeskError::NotFound(Thing::Tournament))?;
    tx.caller.must_be(&KEEPERS)?;
    if row.version != version {
        return Err(DeskError::Stale { current: row.version });
    }
    let name = text_member::name(&facts.name, "/name")?;
    facts.settings.collect_at = text_member::line(facts.settings.collect_at.as_deref(), "/collect_at")?;
    let faults = faults_of(&facts);
    if !faults.is_empty() {
        return Err(DeskError::Invalid(faults));
    }
    row.name = name;
    row.time_zone = facts.time_zone;
    row.record = to_record(&facts.settings)?;
    tournaments::save(tx.db, &mut row)?;
    tx.emit("tournament.corrected", &id, &json!({"version": row.version}))?;
    Ok(row)
}

/// Sets after how many days photos of marks are deleted.
///
/// # Errors
/// As [`correct_tournament`].
pub fn keep_photos_for(tx: &mut Tx<'_>, days: u16) -> DeskResult<Tournament> {
    set(tx, |settings| settings.photos_kept_days = days)
}

/// Sets where players collect their rackets; an empty text takes it back.
///
/// # Errors
/// As [`correct_tournament`].
pub fn collect_at(tx: &mut Tx<'_>, place: &str) -> DeskResult<Tournament> {
    set(tx, |settings| settings.collect_at = Some(place.to_owned()))
}

/// Changes one of the settings; all others stay.
fn set(tx: &mut Tx<'_>, change: impl FnOnce(&mut TournamentSettings)) -> DeskResult<Tournament> {
    let row = tournaments::find(tx.db, tx.tournament())?.ok_or(DeskError::NotFound(Thing::Tournament))?;
    let mut settings: TournamentSettings = from_record(&row.record)?;
    change(&mut settings);
    let facts = TournamentFacts {
        name: row.name,
        time_zone: row.time_zone,
        settings,
    };
    correct_tournament(tx, row.version, facts)
}

fn faults_of(facts: &TournamentFacts) -> Vec<MemberFault> {
    let mut faults = Vec::new();
    if facts.time_zone.parse::<Tz>().is_err() {
        let detail = "Give an IANA time zone, such as Europe/Paris.";
        faults.push(MemberFault::at("/time_zone", "invalid_value", detail));
    }
    let ends = &facts.settings.business_day_ends;
    if ends.len() != 5 || NaiveTime::parse_from_str(ends, "%H:%M").is_err() {
        let detail = "Give the venue's time as HH:MM, such as 04:00.";
        faults.push(MemberFault::at("/business_day_ends", "invalid_value", detail));
    }
    let extra = facts.settings.knot_extra_percent;
    if extra.is_some_and(|percent| !(0.0..=MOST_KNOT_EXTRA_PERCENT).contains(&percent)) {
        let detail = format!("Give 0 to {MOST_KNOT_EXTRA_PERCENT} per cent.");
        faults.push(MemberFault::at("/knot_extra_percent", "out_of_range", detail));
    }
    if !(1..=LONGEST_PHOTOS_KEPT).contains(&facts.settings.photos_kept_days) {
        let detail = format!("Give 1 to {LONGEST_PHOTOS_KEPT} days.");
        faults.push(MemberFault::at("/photos_kept_days", "out_of_range", detail));
    }
    faults
}
