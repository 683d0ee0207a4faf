//! Rackets leave the desk: handed out against proof, given back as they are, released to court.
use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};
use serde_json::json;
use utoipa::ToSchema;

use crate::craft::custody::Custody;
use crate::craft::ids::PickupId;
use crate::craft::job::{JobAction, JobState, Move, Outcome};
use crate::desk::bench_stops::end_attempt;
use crate::desk::job_sheet::JobSheet;
use crate::desk::refusal::{DeskError, DeskResult, Reason, Thing};
use crate::desk::register_racket::move_racket;
use crate::desk::start_job::right_tag;
use crate::desk::{Tx, delegates, ids, legal, moves, pickup_code, text_member};
use crate::storage::work::{self, hand_outs, hand_outs::Pickup};
use crate::storage::{accounts, from_record, to_record};

/// How the collector shows that the racket may go with them.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(tag = "kind", rename_all = "snake_case", deny_unknown_fields)]
pub enum Proof {
    /// The ticket's or phone page's token.
    Ticket {
        /// The token in the link.
        token: String,
    },
    /// The changing code on the player's page.
    PhoneCode {
        /// Six digits.
        code: String,
    },
    /// The player's badge.
    Badge {
        /// The badge's code.
        code: String,
    },
    /// A person the player has named, once for all or for one time.
    Delegate {
        /// Which of the named.
        name: String,
    },
    /// None of these: a second person vouches.
    SecondPerson {
        /// Why.
        reason: String,
        /// The second person's account.
        account_id: String,
    },
}

/// One or more rackets of one player that leave at once.
#[derive(Debug, Clone)]
pub struct HandOut {
    /// The jobs.
    pub job_ids: Vec<String>,
    /// The scanned tag of each, in the same order.
    pub tags: Vec<String>,
    /// Why they may go.
    pub proof: Proof,
    /// Who takes them.
    pub collector: Option<String>,
}

/// What is kept of a pickup.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct PickupRecord {
    /// The jobs handed out.
    pub job_ids: Vec<String>,
    /// The kind of proof; its secret is not kept.
    pub proof: String,
    /// Who took them.
    pub collector: Option<String>,
    /// Why a second person vouched.
    pub reason: Option<String>,
    /// Which second person.
    pub second_account_id: Option<String>,
}

/// Hands rackets out, all or none.
///
/// # Errors
/// [`DeskError::NotFound`], [`DeskError::StateForbids`], [`DeskError::Rule`] for a
/// wrong tag or proof.
pub fn hand_out(tx: &mut Tx<'_>, out: &HandOut) -> DeskResult<Pickup> {
    let going = those_going(tx, out, JobAction::HandOut)?;
    let player_id = going.first().map(|(sheet, _)| sheet.player.id.clone());
    let pickup = row_of(tx, &record_of(out))?;
    hand_outs::insert(tx.db, &pickup)?;
    for (mut sheet, step) in going {
        leave(
            tx,
            &mut sheet,
            &step,
            Outcome::Strung,
            &json!({"pickup_id": pickup.id}),
        )?;
    }
    tx.emit(
        "pickup.made",
        &pickup.id,
        &json!({"job_ids": out.job_ids, "player_id": player_id}),
    )?;
    Ok(pickup)
}

/// The rackets that somebody has come for, each of which may go this way. It is here alone that who was named
/// for one time has come with that.
fn those_going(tx: &mut Tx<'_>, out: &HandOut, action: JobAction) -> DeskResult<Vec<(JobSheet, Move)>> {
    let mut going = Vec::with_capacity(out.job_ids.len());
    for (place, id) in out.job_ids.iter().enumerate() {
        let sheet = JobSheet::of(tx.db, tx.tournament(), id)?;
        let step = legal::require(tx, &sheet, None, action)?;
        right_tag(&sheet, out.tags.get(place).map_or("", String::as_str))?;
        accept_proof(tx, &sheet, &out.proof)?;
        going.push((sheet, step));
    }
    let Some((first, _)) = going.first() else {
        return Err(DeskError::member(
            "/job_ids",
            "out_of_range",
            "Name at least one job.",
        ));
    };
    let player_id = first.player.id.clone();
    if going.iter().any(|(sheet, _)| sheet.player.id != player_id) {
        let detail = "These rackets belong to different players; hand them out one player at a time.";
        return Err(DeskError::member("/job_ids", "invalid_value", detail));
    }
    if let Proof::Delegate { name } = &out.proof
        && delegates::has_collected(tx, &player_id, name)?
    {
        for (sheet, _) in &mut going {
            sheet.record.collected_once = Some(name.clone());
        }
    }
    Ok(going)
}

fn record_of(out: &HandOut) -> PickupRecord {
    let (kind, reason, second) = match &out.proof {
        Proof::Ticket { .. } => ("ticket", None, None),
        Proof::PhoneCode { .. } => ("phone_code", None, None),
        Proof::Badge { .. } => ("badge", None, None),
        Proof::Delegate { .. } => ("delegate", None, None),
        Proof::SecondPerson { reason, account_id } => {
            ("second_person", Some(reason.clone()), Some(account_id.clone()))
        }
    };
    let collector = match (&out.collector, &out.proof) {
        (Some(name), _) | (None, Proof::Delegate { name }) => Some(name.clone()),
        _ => None,
    };
    PickupRecord {
        job_ids: out.job_ids.clone(),
        proof: kind.to_owned(),
        collector,
        reason,
        second_account_id: second,
    }
}

fn row_of(tx: &Tx<'_>, record: &PickupRecord) -> DeskResult<Pickup> {
    Ok(Pickup {
        id: ids::new::<PickupId>(),
        tournament_id: tx.tournament().to_owned(),
        account_id: tx.caller.account_id.clone(),
        record: to_record(record)?,
        at: tx.at(),
        undone_at: None,
        version: 1,
    })
}

/// A racket that left without a proof that the program can compare (noted on paper, given at the court):
/// to whom stands in `words`.
///
/// # Errors
/// [`DeskError::NotFound`], [`DeskError::StateForbids`], [`DeskError::Invalid`] without words.
pub(super) fn left_with(
    tx: &mut Tx<'_>,
    job_id: &str,
    proof: &str,
    words: &str,
    pointer: &str,
) -> DeskResult<()> {
    let mut sheet = JobSheet::of(tx.db, tx.tournament(), job_id)?;
    let step = legal::require(tx, &sheet, None, JobAction::HandOut)?;
    let record = PickupRecord {
        job_ids: vec![job_id.to_owned()],
        proof: proof.to_owned(),
        collector: Some(text_member::name(words, pointer)?),
        reason: None,
        second_account_id: None,
    };
    let pickup = row_of(tx, &record)?;
    hand_outs::insert(tx.db, &pickup)?;
    let more = json!({"pickup_id": pickup.id});
    leave(tx, &mut sheet, &step, Outcome::Strung, &more)?;
    let data = json!({"job_ids": record.job_ids, "player_id": sheet.player.id});
    tx.emit("pickup.made", &pickup.id, &data)
}

/// Refuses a proof that is not the owner's nor a named person's.
///
/// # Errors
/// [`DeskError::Rule`] with `proof_refused`.
pub fn accept_proof(tx: &mut Tx<'_>, sheet: &JobSheet, proof: &Proof) -> DeskResult<()> {
    let refused = |detail: &str| Err(DeskError::rule(Reason::ProofRefused, detail));
    match proof {
        Proof::Ticket { token } if sheet.player.link_token.as_deref() == Some(token.trim()) => Ok(()),
        Proof::Ticket { .. } => refused("This ticket is not the owner's, or a newer one replaced it."),
        // a pick-up that waited for the network was proved by the code of its own time
        Proof::PhoneCode { code } if knows_code(sheet, code, tx.caller.device_at.unwrap_or(tx.now)) => Ok(()),
        Proof::PhoneCode { .. } => {
            refused("This is not the code on the owner's page now; load the page again.")
        }
        Proof::Badge { code } if sheet.player.badge.as_deref() == Some(code.trim()) => Ok(()),
        Proof::Badge { .. } => refused("This badge is not the owner's."),
        Proof::Delegate { name } if delegates::may_collect(&sheet.player_record, name) => Ok(()),
        Proof::Delegate { .. } => refused("The player has not named this person."),
        Proof::SecondPerson { reason, account_id } => {
            text_member::name(reason, "/proof/reason")?;
            let second = accounts::find(tx.db, tx.tournament(), account_id)?;
            let other = second.is_some_and(|account| {
                account.active && Some(account.id.as_str()) != tx.caller.account_id.as_deref()
            });
            if other {
                Ok(())
            } else {
                refused("The second person must be another account of this tournament.")
            }
        }
    }
}

fn knows_code(sheet: &JobSheet, code: &str, now: DateTime<Utc>) -> bool {
    let link = sheet.player.link_token.as_deref();
    link.is_some_and(|link| pickup_code::fits(link, code, now))
}

/// Writes down that a racket leaves.
fn leave(
    tx: &mut Tx<'_>,
    sheet: &mut JobSheet,
    step: &Move,
    outcome: Outcome,
    more: &serde_json::Value,
) -> DeskResult<()> {
    sheet.job.outcome = Some(outcome.as_str().to_owned());
    sheet.job.out_at = Some(tx.at());
    let mut data = more.clone();
    data["outcome"] = json!(outcome);
    moves::settle(tx, sheet, JobState::Out, step, data)?;
    move_racket(tx, &mut sheet.racket, &Custody::Owner)
}

/// Gives rackets back as they are, all or none; no charge by default.
///
/// # Errors
/// As [`hand_out`].
pub fn give_back(tx: &mut Tx<'_>, out: &HandOut) -> DeskResult<Vec<JobSheet>> {
    go(tx, out, JobAction::GiveBack, |_, _| Ok(Outcome::Unstrung))
}

/// Gives the rackets of cancelled jobs back.
///
/// # Errors
/// As [`hand_out`].
pub fn return_racket(tx: &mut Tx<'_>, out: &HandOut) -> DeskResult<Vec<JobSheet>> {
    go(tx, out, JobAction::Return, |tx, sheet| {
        let begun = !work::attempts_of(tx.db, &sheet.job.id)?.is_empty();
        Ok(if begun {
            Outcome::PartStrung
        } else {
            Outcome::Unstrung
        })
    })
}

/// Releases strung rackets straight to court; the skipped check is recorded.
///
/// # Errors
/// As [`hand_out`].
pub fn court_release(tx: &mut Tx<'_>, out: &HandOut) -> DeskResult<Vec<JobSheet>> {
    for id in &out.job_ids {
        let sheet = JobSheet::of(tx.db, tx.tournament(), id)?;
        end_attempt(tx, &sheet, "court_release")?;
    }
    go(tx, out, JobAction::CourtRelease, |_, _| Ok(Outcome::Strung))
}

fn go(
    tx: &mut Tx<'_>,
    out: &HandOut,
    action: JobAction,
    outcome: fn(&mut Tx<'_>, &JobSheet) -> DeskResult<Outcome>,
) -> DeskResult<Vec<JobSheet>> {
    let mut gone = Vec::with_capacity(out.job_ids.len());
    let record = record_of(out);
    for (mut sheet, step) in those_going(tx, out, action)? {
        let outcome = outcome(tx, &sheet)?;
        sheet.job.station_id = None;
        let more = json!({"how": action, "proof": record.proof, "collector": record.collector});
        leave(tx, &mut sheet, &step, outcome, &more)?;
        gone.push(sheet);
    }
    Ok(gone)
}

/// Takes a hand-out back within ten minutes: the rackets are on the shelf again.
///
/// # Errors
/// [`DeskError::NotFound`], [`DeskError::StateForbids`], [`DeskError::Invalid`] without a reason.
pub fn undo_hand_out(tx: &mut Tx<'_>, pickup_id: &str, reason: &str) -> DeskResult<Pickup> {
    let mut pickup =
        hand_outs::find(tx.db, tx.tournament(), pickup_id)?.ok_or(DeskError::NotFound(Thing::Pickup))?;
    if pickup.undone_at.is_some() {
        return Err(DeskError::conflict(
            Reason::AlreadyDecided,
            "This hand-out was taken back already.",
        ));
    }
    let record: PickupRecord = from_record(&pickup.record)?;
    let reason = text_member::name(reason, "/reason")?;
    for id in &record.job_ids {
        let mut sheet = JobSheet::of(tx.db, tx.tournament(), id)?;
        let step = legal::require(tx, &sheet, None, JobAction::UndoHandOut)?;
        delegates::may_come_again(tx, &mut sheet)?;
        sheet.job.outcome = None;
        sheet.job.out_at = None;
        moves::settle(
            tx,
            &mut sheet,
            JobState::Ready,
            &step,
            json!({"reason": reason, "pickup_id": pickup_id}),
        )?;
        let place = sheet.record.slot.clone().map_or(Custody::Desk, Custody::Shelf);
        move_racket(tx, &mut sheet.racket, &place)?;
    }
    pickup.undone_at = Some(tx.at());
    hand_outs::save(tx.db, &mut pickup)?;
    tx.emit(
        "pickup.undone",
        pickup_id,
        &json!({"job_ids": record.job_ids, "reason": reason}),
    )?;
    Ok(pickup)
}
