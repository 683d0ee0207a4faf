//! What the addresses of this resource take after the question mark.
use chrono::{DateTime, Utc};
use serde::Deserialize;
use utoipa::IntoParams;

use crate::api::paging::Limit;
use crate::api::request::CommaList;
use crate::craft::ids::{PlayerId, RacketId, StationId};
use crate::craft::job::JobState;

/// What narrows the list of jobs.
#[derive(Debug, Default, Deserialize, IntoParams)]
#[serde(default, deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct JobQuery {
    /// Only these states, joined by commas.
    #[param(value_type = Option<String>, example = "waiting,assigned")]
    pub state: Option<CommaList<JobState>>,
    /// Only this player's.
    #[param(value_type = Option<String>)]
    pub player_id: Option<PlayerId>,
    /// Only this racket's.
    #[param(value_type = Option<String>)]
    pub racket_id: Option<RacketId>,
    /// Only those at this station.
    #[param(value_type = Option<String>)]
    pub station_id: Option<StationId>,
    /// Only those that must be ready before this.
    pub due_before: Option<DateTime<Utc>>,
    /// How many on a page, 1 to 200.
    #[param(value_type = Option<u16>)]
    pub limit: Limit,
    /// Where to go on: `next` of the page before.
    pub after: Option<String>,
    /// Whether to count them all.
    pub count: bool,
}

/// How the drawing lies.
#[derive(Debug, Default, Deserialize, IntoParams)]
#[serde(default, deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct DrawingQuery {
    /// Turn it by 180 degrees, so that the head is at the bottom. It is never mirrored.
    pub head_down: bool,
}
