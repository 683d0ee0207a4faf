//! Finding by what is scanned or typed: `GET /v1/lookup?code=…` and `GET /v1/lookup?q=…`.
use actix_web::web::Data;
use actix_web::{HttpRequest, HttpResponse, get};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;
use utoipa_actix_web::service_config::ServiceConfig;

use super::door;
use super::jobs::list::{may_see, read_code};
use super::jobs::view::{self, JobView, OwnerView, initials};
use super::problem::{Code, Problem};
use super::request::query;
use super::set_up::rackets::RacketView;
use crate::craft::roles::Reach;
use crate::desk::find::{self, Found};
use crate::desk::reads::from_record;
use crate::desk::records::PlayerRecord;
use crate::desk::{Desk, DeskError};

/// The route.
pub fn routes(config: &mut ServiceConfig<'_>) {
    config.service(lookup);
}

#[derive(Debug, Deserialize, utoipa::IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
struct Asked {
    /// A scanned code: a tag, a racket's label, a badge or a ticket.
    #[param(example = "K7M4G")]
    code: Option<String>,
    /// A code, or part of a name in any script.
    #[param(example = "abe")]
    q: Option<String>,
}

/// What was found.
#[derive(Debug, Serialize, ToSchema)]
pub struct FoundView {
    /// By name, badge or ticket, at most 12.
    pub players: Vec<OwnerView>,
    /// By its label.
    pub racket: Option<RacketView>,
    /// By its tag.
    pub job: Option<JobView>,
}

/// Finds a job by its tag, a racket by its label, players by badge, ticket or name.
///
/// `code` that fits nothing is 404, one that was misread as a tag 422 `check_the_code`;
/// `q` that fits nothing is an empty answer.
#[utoipa::path(
    tag = "jobs",
    params(Asked),
    responses((status = 200, description = "What was found.", body = FoundView)),
    security(("bearer" = []), ("session" = []))
)]
#[get("/v1/lookup")]
pub(crate) async fn lookup(request: HttpRequest, desk: Data<Desk>) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    may_see(&caller)?;
    let asked: Asked = query::read(&request)?;
    let (text, scanned) = match (asked.code, asked.q) {
        (Some(code), None) => (code, true),
        (None, Some(text)) => (text, false),
        _ => {
            return Err(Problem::new(Code::InvalidParameter)
                .detail("Give one of `code` and `q`.", "Donnez l’un de `code` et `q`."));
        }
    };
    let (tournament, role, now) = (caller.tournament().to_owned(), caller.role, desk.clock().desk());
    let typed = text.clone();
    let found = desk.read(move |db| {
        let found = if scanned {
            find::by_code(db, &tournament, &text)?
        } else {
            find::find(db, &tournament, &text)?
        };
        let job = match &found.job {
            Some(sheet) => Some(view::of(db, sheet, role, now)?),
            None => None,
        };
        Ok((found, job))
    });
    let (found, job) = found.await?;
    if scanned && found.is_empty() {
        read_code(&typed)?;
        return Err(Problem::new(Code::NotFound));
    }
    let full_name = role.field_view().full_name;
    Ok(HttpResponse::Ok().json(shown(found, job, full_name)?))
}

fn shown(found: Found, job: Option<JobView>, full_name: Reach) -> Result<FoundView, DeskError> {
    let mut players = Vec::with_capacity(found.players.len());
    for player in found.players {
        let record: PlayerRecord = from_record(&player.record)?;
        players.push(OwnerView {
            name: match full_name {
                Reach::None => initials(&player.display_name),
                Reach::Own | Reach::WithScope | Reach::All => player.display_name,
            },
            id: player.id,
            country: record.country,
        });
    }
    Ok(FoundView {
        players,
        racket: found.racket.as_ref().map(RacketView::of).transpose()?,
        job,
    })
}
