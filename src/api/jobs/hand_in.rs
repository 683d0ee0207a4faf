//! Handing rackets in: `POST /v1/jobs` and `POST /v1/jobs/batch`.
use actix_web::http::StatusCode;
use actix_web::web::Data;
use actix_web::{HttpRequest, HttpResponse, post};
use chrono::{DateTime, Utc};
use serde::Deserialize;
use utoipa::ToSchema;

use super::view::{self, JobView};
use crate::api::door;
use crate::api::idempotency::IdempotencyHeader;
use crate::api::problem::Problem;
use crate::api::request::UnreadJson;
use crate::craft::ids::{RacketId, StringerId};
use crate::craft::roles::Role;
use crate::craft::spec::Spec;
use crate::desk::court_times::due_by::DueBy;
use crate::desk::hand_in::{self, HandIn};
use crate::desk::hear_wish::{SpokenWish, WantedSpec, wanted_spec};
use crate::desk::job_sheet::JobSheet;
use crate::desk::records::{DamageMark, Purpose};
use crate::desk::{Desk, DeskResult, Tx};

/// A racket to take in.
#[derive(Debug, Clone, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct NewJob {
    /// Which racket.
    pub racket_id: RacketId,
    /// How its owner wants it. Strings are named by `string_id`, the player's own by `name`.
    /// Left out with `same_again` or `wish`: as last time.
    #[serde(default)]
    pub spec: Option<Spec>,
    /// As this racket was strung last time, or the player's last one of its model.
    #[serde(default)]
    pub same_again: bool,
    /// What the player said, upon the spec or the last time; `POST /v1/rackets/{id}/wishes` gives
    /// the sentence to read back.
    #[serde(default)]
    pub wish: Option<SpokenWish>,
    /// Whether the racket is only announced: its job is `expected` until it is checked in.
    #[serde(default)]
    pub announce: bool,
    /// When it must be ready, as a plain time. With `follows_match`: until a match of the player is known.
    #[serde(default)]
    pub due_at: Option<DateTime<Utc>>,
    /// The match it must be ready for, instead of a time; its ready-by follows that match.
    #[serde(default)]
    #[schema(example = "M12")]
    pub match_id: Option<String>,
    /// Whether its ready-by follows the player's next match; left out: for purpose `match` without `match_id`.
    #[serde(default)]
    pub follows_match: Option<bool>,
    /// What it is for.
    #[serde(default)]
    pub purpose: Option<Purpose>,
    /// Not to be strung before this.
    #[serde(default)]
    pub not_before_at: Option<DateTime<Utc>>,
    /// The player wants this stringer.
    #[serde(default)]
    pub wants_stringer_id: Option<StringerId>,
    /// What was seen at the counter.
    #[serde(default)]
    pub condition: Condition,
    /// A tag code reserved on paper; left out, a fresh one is taken.
    #[serde(default)]
    pub code: Option<String>,
    /// A person insists where a rule may be broken.
    #[serde(default, rename = "override")]
    pub insist: Option<Insist>,
}

/// The condition check.
#[derive(Debug, Clone, Default, Deserialize, ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct Condition {
    /// All four places were looked at and are good.
    pub ok: bool,
    /// Damage seen.
    pub damage: Vec<DamageMark>,
}

/// Why a rule shall be broken.
#[derive(Debug, Clone, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Insist {
    /// The reason, kept in the racket's story.
    #[schema(min_length = 1, max_length = 500)]
    pub reason: String,
}

/// The rackets of one drop-off.
#[derive(Debug, Clone, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct NewBatch {
    /// 1 to 100 rackets, all taken in or none.
    #[schema(min_items = 1, max_items = 100)]
    pub jobs: Vec<NewJob>,
}

impl NewJob {
    /// The hand-in, with its spec made out: number `place` of the `of` rackets of a drop-off.
    fn made_out(self, tx: &mut Tx<'_>, place: (usize, usize), pointer: &str) -> DeskResult<HandIn> {
        let new = self;
        let wanted = WantedSpec {
            spec: new.spec,
            same_again: new.same_again,
            wish: new.wish,
        };
        let tournament = tx.tournament();
        let spec = wanted_spec(tx.db, tournament, new.racket_id.as_str(), wanted, place, pointer)?;
        let follows = new.follows_match.unwrap_or(new.purpose == Some(Purpose::Match));
        Ok(HandIn {
            racket_id: new.racket_id.into(),
            spec,
            due: DueBy::asked(new.match_id, new.due_at, follows, pointer)?,
            purpose: new.purpose,
            not_before_at: new.not_before_at,
            wants_stringer_id: new.wants_stringer_id.map(String::from),
            condition_ok: new.condition.ok,
            damage: new.condition.damage,
            code: new.code,
            insist: new.insist.map(|insist| insist.reason),
        })
    }
}

/// Takes a racket in.
///
/// The answer holds the tag code, the promise and what may be done next.
#[utoipa::path(
    tag = "jobs",
    request_body = NewJob,
    params(IdempotencyHeader),
    responses(
        (status = 201, description = "Taken in.", body = JobView),
        (status = 409, description = "The racket is in already.", body = crate::api::problem::schema::ProblemDocument, content_type = "application/problem+json"),
    ),
    security(("bearer" = []), ("session" = []))
)]
#[post("/v1/jobs")]
pub(crate) async fn hand_in_one(
    request: HttpRequest,
    desk: Data<Desk>,
    body: UnreadJson,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    caller.must_be(&hand_in::ANNOUNCE)?;
    let once = door::once(&request, body.bytes()?)?;
    let new: NewJob = body.read()?;
    let role = caller.role;
    let answer = desk
        .write_once(&caller, once, move |tx| {
            let announced = new.announce;
            tx.caller.must_be(if announced {
                &hand_in::ANNOUNCE
            } else {
                &hand_in::CHECK_IN
            })?;
            let one = new.made_out(tx, (0, 1), "")?;
            let job = if announced {
                hand_in::announce(tx, one)?
            } else {
                hand_in::hand_in(tx, one)?
            };
            let shown = shown(tx, &job.id, role)?;
            let answer = door::json(StatusCode::CREATED, &shown)?;
            Ok(door::versioned(
                door::at(answer, format!("/v1/jobs/{}", job.id)),
                job.version,
            ))
        })
        .await?;
    Ok(door::respond(answer))
}

/// Takes the rackets of one drop-off in, all or none.
#[utoipa::path(
    tag = "jobs",
    request_body = NewBatch,
    params(IdempotencyHeader),
    responses((status = 201, description = "All taken in.", body = Vec<JobView>)),
    security(("bearer" = []), ("session" = []))
)]
#[post("/v1/jobs/batch")]
pub(crate) async fn hand_in_many(
    request: HttpRequest,
    desk: Data<Desk>,
    body: UnreadJson,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    caller.must_be(&hand_in::CHECK_IN)?;
    let once = door::once(&request, body.bytes()?)?;
    let batch: NewBatch = body.read()?;
    if !(1..=100).contains(&batch.jobs.len()) {
        return Err(crate::desk::DeskError::member("/jobs", "out_of_range", "Give 1 to 100 rackets.").into());
    }
    if let Some(place) = batch.jobs.iter().position(|new| new.announce) {
        let detail = "Rackets of a drop-off are here; announce single ones by POST /v1/jobs.";
        let at = format!("/jobs/{place}/announce");
        return Err(crate::desk::DeskError::member(at, "invalid_value", detail).into());
    }
    let role = caller.role;
    let answer = desk
        .write_once(&caller, once, move |tx| {
            let of = batch.jobs.len();
            let mut all = Vec::with_capacity(of);
            for (place, new) in batch.jobs.into_iter().enumerate() {
                all.push(new.made_out(tx, (place, of), &format!("/jobs/{place}"))?);
            }
            let jobs = hand_in::hand_in_batch(tx, all)?;
            let all = jobs
                .iter()
                .map(|job| shown(tx, &job.id, role))
                .collect::<Result<Vec<_>, _>>()?;
            door::json(StatusCode::CREATED, &all)
        })
        .await?;
    Ok(door::respond(answer))
}

fn shown(tx: &mut Tx<'_>, job_id: &str, role: Role) -> DeskResult<JobView> {
    let sheet = JobSheet::of(tx.db, tx.tournament(), job_id)?;
    view::of(tx.db, &sheet, role, tx.now)
}
