//! Courts and matches: the order of play, events of the courts, forecasts.
pub mod courts;
pub mod matches;
pub mod order;
pub mod view;

use chrono::NaiveDate;
use utoipa_actix_web::service_config::ServiceConfig;

use super::problem::Problem;
use crate::desk::{DeskError, Thing};

/// Every route of these resources.
pub fn routes(config: &mut ServiceConfig<'_>) {
    config
        .service(order::one_order)
        .service(order::put_order_of_play)
        .service(order::preview_order_of_play)
        .service(order::take_court_events)
        .service(courts::stop)
        .service(courts::restart)
        .service(matches::list_matches)
        .service(matches::one_match);
}

/// The day in an address; what is no day has no order of play.
pub(super) fn day(text: &str) -> Result<NaiveDate, Problem> {
    let day = NaiveDate::parse_from_str(text, "%Y-%m-%d")
        .ok()
        .filter(|_| text.len() == 10);
    day.ok_or_else(|| DeskError::NotFound(Thing::OrderOfPlay).into())
}
