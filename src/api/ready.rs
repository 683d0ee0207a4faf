//! Can the service work? Asked by whoever sends it requests, on a database connection of its own.
use actix_web::{HttpRequest, HttpResponse, get, web};
use serde::Serialize;
use utoipa::ToSchema;

use super::problem::Problem;
use super::request::query;
use crate::desk::Desk;
use crate::desk::readiness::Look;

/// One check.
#[derive(Debug, Serialize, ToSchema)]
pub struct Check {
    /// Whether it is as it must be.
    pub ok: bool,
    /// What is wrong, when it is not.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub detail: Option<String>,
}

/// All checks.
#[derive(Debug, Serialize, ToSchema)]
pub struct Checks {
    /// A write can begin.
    pub database: Check,
    /// The tables are those this program expects.
    pub migrations: Check,
    /// The desk clock goes on from where the log ends.
    pub clock: Check,
}

/// Whether the service is ready.
#[derive(Debug, Serialize, ToSchema)]
pub struct Ready {
    /// `ready` or `not_ready`.
    #[schema(example = "ready")]
    pub status: &'static str,
    /// Why.
    pub checks: Checks,
}

/// Says whether requests can be worked on; answers within a second.
#[utoipa::path(tag = "about", responses(
    (status = 200, description = "Ready.", body = Ready),
    (status = 503, description = "Not ready; the checks say why.", body = Ready),
))]
#[get("/readyz")]
pub(crate) async fn readyz(request: HttpRequest, desk: web::Data<Desk>) -> Result<HttpResponse, Problem> {
    query::none(&request)?;
    let found = desk.readiness().await;
    let (mut answer, status) = if found.is_ready() {
        (HttpResponse::Ok(), "ready")
    } else {
        (HttpResponse::ServiceUnavailable(), "not_ready")
    };
    Ok(answer.insert_header(("Cache-Control", "no-store")).json(Ready {
        status,
        checks: Checks {
            database: check(found.database),
            migrations: check(found.migrations),
            clock: check(found.clock),
        },
    }))
}

fn check(look: Look) -> Check {
    Check {
        ok: look.ok,
        detail: look.detail,
    }
}
