//! Matches with their forecasts.
use actix_web::web::{Data, Path};
use actix_web::{HttpRequest, HttpResponse, get};
use serde::Deserialize;

use super::view::MatchView;
use crate::api::door;
use crate::api::paging::Page;
use crate::api::problem::Problem;
use crate::api::request::query;
use crate::craft::roles::Permission;
use crate::desk::court_times::board::{self, DayBoard};
use crate::desk::{Caller, Desk, DeskError, Thing};

/// Which matches are listed.
#[derive(Debug, Default, Deserialize, utoipa::IntoParams)]
#[serde(default, deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct MatchQuery {
    /// Only those of this day of play, `YYYY-MM-DD`; left out: from yesterday on.
    #[param(value_type = Option<String>, example = "2026-05-02")]
    pub date: Option<String>,
}

/// On which day the match is meant.
#[derive(Debug, Default, Deserialize, utoipa::IntoParams)]
#[serde(default, deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct DayQuery {
    /// The day of play, `YYYY-MM-DD`, for an id that stands on several; left out: the latest of them.
    #[param(value_type = Option<String>, example = "2026-05-02")]
    pub date: Option<String>,
}

async fn boards(desk: &Desk, caller: &Caller) -> Result<Vec<DayBoard>, Problem> {
    let (tournament, now, memory) = (
        caller.tournament().to_owned(),
        desk.clock().desk(),
        desk.court_memory(),
    );
    Ok(desk
        .read(move |db| board::boards(db, &tournament, now, &memory))
        .await?)
}

/// Matches by day, court and sequence, with the forecast of their starts.
#[utoipa::path(
    tag = "courts",
    params(MatchQuery),
    responses((status = 200, description = "The matches.", body = Page<MatchView>)),
    security(("bearer" = []), ("session" = []))
)]
#[get("/v1/matches")]
pub(crate) async fn list_matches(request: HttpRequest, desk: Data<Desk>) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    door::must_have(&caller, Permission::SeeMatches)?;
    let asked: MatchQuery = query::read(&request)?;
    let boards = boards(&desk, &caller).await?;
    let wanted = |board: &&DayBoard| {
        asked
            .date
            .as_ref()
            .is_none_or(|date| *date == board.plan.order.day.to_string())
    };
    let matches = boards
        .iter()
        .filter(wanted)
        .flat_map(|board| board.rows.iter().map(|row| MatchView::of(board, row)));
    Ok(Page::whole(matches.collect()).answer(&request))
}

/// One match with the forecast of its start. A match that goes on another day stands on both: `date` names one.
#[utoipa::path(
    tag = "courts",
    params(("id" = String, Path, description = "The match's id, as the order of play has it.", example = "M12"), DayQuery),
    responses((status = 200, description = "The match.", body = MatchView)),
    security(("bearer" = []), ("session" = []))
)]
#[get("/v1/matches/{id}")]
pub(crate) async fn one_match(
    request: HttpRequest,
    desk: Data<Desk>,
    id: Path<String>,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    let asked: DayQuery = query::read(&request)?;
    let boards = boards(&desk, &caller).await?;
    let found = boards
        .iter()
        .rev()
        .filter(|board| {
            let day = board.plan.order.day.to_string();
            asked.date.as_ref().is_none_or(|date| *date == day)
        })
        .find_map(|board| Some(MatchView::of(board, board.row(&id)?)));
    let found = found.ok_or(DeskError::NotFound(Thing::Match))?;
    door::must_have(&caller, Permission::SeeMatches)?;
    Ok(HttpResponse::Ok().json(found))
}
