//! What happens over the demo's counter: hand in, check, hand out, take back, decide.
use chrono::TimeDelta;

use crate::demo::invented;
use crate::demo::restock::restock;
use crate::demo::set_up::DemoRacket;
use crate::desk::Tx;
use crate::desk::check_racket::{Points, fail_job, pass_job, record_check};
use crate::desk::court_times::due_by::DueBy;
use crate::desk::decide_snag::decide_snag;
use crate::desk::hand_in::{HandIn, hand_in};
use crate::desk::hand_out::{HandOut, Proof, hand_out, return_racket};
use crate::desk::records::Purpose;
use crate::desk::refusal::DeskResult;
use crate::storage::jobs::{self, Job};
use crate::storage::work::waiting_decisions;
use crate::storage::{At, Db};

/// How long a strung racket waits for its check.
const CHECK_AFTER: TimeDelta = TimeDelta::minutes(2);
/// How long a ready one waits for its owner.
const COLLECT_AFTER: TimeDelta = TimeDelta::minutes(25);
/// How long a racket that is not to be strung waits for its owner.
const TAKE_BACK_AFTER: TimeDelta = TimeDelta::minutes(10);
/// How long a question waits for an answer.
const DECIDE_AFTER: TimeDelta = TimeDelta::minutes(8);
/// So many rackets wait at least.
const WAITING: usize = 5;
/// The ready-by lies this far ahead.
const READY_BY: TimeDelta = TimeDelta::hours(2);
/// Of so many checks one finds something.
const FOUND_ONE_IN: usize = 9;

/// Hands in the racket that was here longest ago, when too few wait.
pub(super) fn arrive(tx: &mut Tx<'_>, rackets: &[DemoRacket]) -> DeskResult<()> {
    let waiting = jobs::in_states(tx.db, tx.caller.tournament(), &["waiting"])?;
    if waiting.iter().filter(|job| job.held_reason.is_none()).count() >= WAITING {
        return Ok(());
    }
    let Some(racket) = longest_away(tx.db, rackets)? else {
        return Ok(());
    };
    restock(tx, &racket.string_id)?;
    let one = HandIn {
        racket_id: racket.racket_id.clone(),
        spec: invented::spec(racket.frame, &racket.string_id)?,
        // where its owner has no match to come
        due: DueBy::NextMatch {
            until_known: Some(tx.now + READY_BY),
        },
        purpose: Some(Purpose::Match),
        not_before_at: None,
        wants_stringer_id: None,
        condition_ok: true,
        damage: Vec::new(),
        code: None,
        insist: None,
    };
    hand_in(tx, one).map(|_| ())
}

fn longest_away<'a>(db: &mut Db, rackets: &'a [DemoRacket]) -> DeskResult<Option<&'a DemoRacket>> {
    let mut next: Option<(Option<At>, &DemoRacket)> = None;
    for racket in rackets {
        let last = jobs::latest_of_racket(db, &racket.racket_id, 1)?
            .into_iter()
            .next();
        if last.as_ref().is_some_and(|job| job.state != "out") {
            continue;
        }
        let since = last.map(|job| job.state_since);
        if next.as_ref().is_none_or(|(earliest, _)| since < *earliest) {
            next = Some((since, racket));
        }
    }
    Ok(next.map(|(_, racket)| racket))
}

/// Looks a strung racket over; one in some goes back to the bench.
pub(super) fn check(tx: &mut Tx<'_>, job: &Job) -> DeskResult<bool> {
    if tx.now - job.state_since.utc() < CHECK_AFTER {
        return Ok(false);
    }
    let weave = job.attempt > 1 || !mark(job).is_multiple_of(FOUND_ONE_IN);
    let points = Points {
        weave,
        tie_offs: true,
        grommets: true,
    };
    record_check(tx, &job.id, points)?;
    if weave {
        let slot = format!("A{}", 1 + mark(job) % 24);
        pass_job(tx, &job.id, Some(&slot))?;
    } else {
        fail_job(tx, &job.id, "two crosses run over the same main")?;
    }
    Ok(true)
}

/// The owner comes for a racket that is ready. Rackets of visitors wait for them.
pub(super) fn collect(tx: &mut Tx<'_>, job: &Job, rackets: &[DemoRacket]) -> DeskResult<bool> {
    let Some(proof) = proof(job, rackets).filter(|_| tx.now - job.state_since.utc() >= COLLECT_AFTER) else {
        return Ok(false);
    };
    hand_out(tx, &alone(job, proof))?;
    Ok(true)
}

/// The owner comes for a racket that was not to be strung.
pub(super) fn take_back(tx: &mut Tx<'_>, job: &Job, rackets: &[DemoRacket]) -> DeskResult<bool> {
    let Some(proof) = proof(job, rackets).filter(|_| tx.now - job.state_since.utc() >= TAKE_BACK_AFTER)
    else {
        return Ok(false);
    };
    return_racket(tx, &alone(job, proof))?;
    Ok(true)
}

fn alone(job: &Job, proof: Proof) -> HandOut {
    HandOut {
        job_ids: vec![job.id.clone()],
        tags: vec![job.code.clone()],
        proof,
        collector: None,
    }
}

fn proof(job: &Job, rackets: &[DemoRacket]) -> Option<Proof> {
    let owner = rackets.iter().find(|racket| racket.racket_id == job.racket_id)?;
    Some(Proof::Ticket {
        token: owner.ticket.clone(),
    })
}

/// Answers the oldest question about an unknown pattern: the stringer reads it off the frame.
pub(super) fn decide_one(tx: &mut Tx<'_>) -> DeskResult<()> {
    let open = waiting_decisions::open(tx.db, tx.caller.tournament())?;
    let due = open
        .into_iter()
        .find(|snag| snag.kind == "pattern_unknown" && tx.now - snag.opened_at.utc() >= DECIDE_AFTER);
    match due {
        Some(snag) => decide_snag(tx, &snag.id, "string_from_frame", None).map(|_| ()),
        None => Ok(()),
    }
}

/// A number that differs from job to job and stays the same for each.
pub(super) fn mark(job: &Job) -> usize {
    job.code.bytes().map(usize::from).sum()
}
