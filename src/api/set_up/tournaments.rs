//! Tournaments and their settings: `/v1/tournaments`.
use actix_web::web::{Data, Path};
use actix_web::{HttpRequest, HttpResponse, get, patch};
use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;
use utoipa_actix_web::service_config::ServiceConfig;

use crate::api::conditional::{IfMatchHeader, IfNoneMatchHeader, require_match, unless_known};
use crate::api::door;
use crate::api::paging::Page;
use crate::api::problem::Problem;
use crate::api::request::merge_patch::UnreadPatch;
use crate::api::request::query;
use crate::craft::sport::Sport;
use crate::craft::weave_method::WeaveMethod;
use crate::desk::correct_tournament::{self, TournamentFacts};
use crate::desk::reads::from_record;
use crate::desk::reads::tournaments::{self, Tournament};
use crate::desk::records::TournamentSettings;
use crate::desk::{Caller, Desk, DeskError, DeskResult, Thing};

/// The routes of this resource.
pub fn configure(config: &mut ServiceConfig<'_>) {
    config.service(list).service(one).service(correct);
}

/// A tournament's name, zone and settings.
#[derive(Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct TournamentBody {
    /// Its name.
    #[schema(max_length = 120)]
    pub name: String,
    /// The venue's time zone, IANA name.
    pub time_zone: String,
    /// The sport most rackets are for.
    #[serde(default)]
    pub sport: Option<Sport>,
    /// When the business day ends, venue time, `HH:MM`.
    pub business_day_ends: String,
    /// Whether a machine needs today's calibration before it may start a job.
    pub require_cleared_machines: bool,
    /// The weave method when neither frame, owner nor stringer says otherwise.
    #[serde(default)]
    pub weave_policy: Option<WeaveMethod>,
    /// What is added to the string that is tied off next, per cent, 0 to 20; none unless set.
    #[serde(default)]
    pub knot_extra_percent: Option<f64>,
    /// Photos of marks are deleted so many days after their racket has left the desk, 1 to 366.
    #[serde(default = "TournamentBody::photos_kept_days")]
    #[schema(minimum = 1, maximum = 366)]
    pub photos_kept_days: u16,
    /// Where players collect their rackets, as tickets, phones and calendars say it; nothing is said unless set.
    #[serde(default)]
    #[schema(max_length = 120)]
    pub collect_at: Option<String>,
}

impl TournamentBody {
    fn of(row: &Tournament) -> DeskResult<Self> {
        let settings: TournamentSettings = from_record(&row.record)?;
        Ok(Self {
            name: row.name.clone(),
            time_zone: row.time_zone.clone(),
            sport: settings.sport,
            business_day_ends: settings.business_day_ends,
            require_cleared_machines: settings.require_cleared_machines,
            weave_policy: settings.weave_policy,
            knot_extra_percent: settings.knot_extra_percent,
            photos_kept_days: settings.photos_kept_days,
            collect_at: settings.collect_at,
        })
    }

    fn photos_kept_days() -> u16 {
        TournamentSettings::default().photos_kept_days
    }

    fn into_facts(self) -> TournamentFacts {
        TournamentFacts {
            name: self.name,
            time_zone: self.time_zone,
            settings: TournamentSettings {
                sport: self.sport,
                business_day_ends: self.business_day_ends,
                require_cleared_machines: self.require_cleared_machines,
                weave_policy: self.weave_policy,
                knot_extra_percent: self.knot_extra_percent,
                photos_kept_days: self.photos_kept_days,
                collect_at: self.collect_at,
            },
        }
    }
}

/// A tournament.
#[derive(Serialize, ToSchema)]
#[schema(example = json!({
    "id": "trn_01jt3k7q2m8c5v9x4b6n1d0fgh", "version": 1, "created_at": "2026-05-02T08:00:00Z",
    "name": "Demo Open", "time_zone": "Europe/Paris", "sport": "tennis", "business_day_ends": "04:00",
    "require_cleared_machines": false, "weave_policy": null, "knot_extra_percent": null, "photos_kept_days": 30,
    "collect_at": "Gate B, beside Court 1"
}))]
pub struct TournamentView {
    /// Its id.
    pub id: String,
    /// Its version, as in the `ETag`.
    pub version: i64,
    /// When it was founded.
    pub created_at: DateTime<Utc>,
    /// Name, zone and settings.
    #[serde(flatten)]
    pub body: TournamentBody,
}

impl TournamentView {
    fn of(row: &Tournament) -> DeskResult<Self> {
        Ok(Self {
            id: row.id.clone(),
            version: row.version,
            created_at: row.created_at.utc(),
            body: TournamentBody::of(row)?,
        })
    }
}

/// The tournament with this id, if it is the caller's own.
async fn own(desk: &Desk, caller: &Caller, id: &str) -> Result<Tournament, Problem> {
    if id != caller.tournament() {
        return Err(DeskError::NotFound(Thing::Tournament).into());
    }
    let id = id.to_owned();
    let row = desk.read(move |db| tournaments::find(db, &id)?.ok_or(DeskError::NotFound(Thing::Tournament)));
    Ok(row.await?)
}

/// The tournaments the caller is signed in to: its own one.
#[utoipa::path(
    tag = "set-up",
    security(("bearer" = []), ("session" = [])),
    responses((status = 200, description = "The caller's tournament.", body = Page<TournamentView>))
)]
#[get("/v1/tournaments")]
pub(crate) async fn list(request: HttpRequest, desk: Data<Desk>) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    query::none(&request)?;
    let row = own(&desk, &caller, caller.tournament()).await?;
    Ok(Page::whole(vec![TournamentView::of(&row)?]).answer(&request))
}

/// One tournament. Any other than the caller's own is not there.
#[utoipa::path(
    tag = "set-up",
    security(("bearer" = []), ("session" = [])),
    params(("id" = String, Path, description = "The tournament.", example = "trn_01jt3k7q2m8c5v9x4b6n1d0fgh"), IfNoneMatchHeader),
    responses(
        (status = 200, description = "The tournament.", body = TournamentView),
        (status = 304, description = "It has not changed.")
    )
)]
#[get("/v1/tournaments/{id}")]
pub(crate) async fn one(
    request: HttpRequest,
    desk: Data<Desk>,
    id: Path<String>,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    let row = own(&desk, &caller, &id).await?;
    query::none(&request)?;
    unless_known(&request, row.version, &TournamentView::of(&row)?)
}

/// Changes a tournament's name, zone or settings.
#[utoipa::path(
    tag = "set-up",
    security(("bearer" = []), ("session" = [])),
    params(("id" = String, Path, description = "The tournament.", example = "trn_01jt3k7q2m8c5v9x4b6n1d0fgh"), IfMatchHeader),
    request_body(
        content = TournamentBody, content_type = "application/merge-patch+json",
        example = json!({"business_day_ends": "03:30", "require_cleared_machines": true})
    ),
    responses((status = 200, description = "The new version.", body = TournamentView))
)]
#[patch("/v1/tournaments/{id}")]
pub(crate) async fn correct(
    request: HttpRequest,
    desk: Data<Desk>,
    id: Path<String>,
    body: UnreadPatch,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    let row = own(&desk, &caller, &id).await?;
    caller.must_be(&correct_tournament::KEEPERS)?;
    query::none(&request)?;
    let wanted = body.onto(&TournamentBody::of(&row)?)?;
    require_match(&request, row.version, &TournamentView::of(&row)?)?;
    let answer = desk.write(&caller, move |tx| {
        let row = correct_tournament::correct_tournament(tx, row.version, wanted.into_facts())?;
        door::changed(&TournamentView::of(&row)?, row.version)
    });
    Ok(door::respond(answer.await?))
}
