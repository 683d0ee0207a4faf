//! Is the process alive, and which one is it? Nothing here touches the database.
use actix_web::{HttpRequest, HttpResponse, get, web};
use serde::Serialize;
use utoipa::ToSchema;

use super::problem::Problem;
use super::request::query;

/// The answer of a living process.
#[derive(Debug, Serialize, ToSchema)]
pub struct Alive {
    /// Always `ok`: a process that is not alive does not answer.
    #[schema(example = "ok")]
    pub status: &'static str,
}

/// Says that the process serves requests.
#[utoipa::path(tag = "about", responses((status = 200, description = "It is alive.", body = Alive)))]
#[get("/livez")]
pub(crate) async fn livez() -> HttpResponse {
    HttpResponse::Ok()
        .insert_header(("Cache-Control", "no-store"))
        .json(Alive { status: "ok" })
}

/// Which program answers.
#[derive(Debug, Serialize, ToSchema)]
pub struct Version {
    /// The program's name.
    #[schema(example = "weftdesk")]
    pub name: &'static str,
    /// The program's version.
    #[schema(example = "0.1.0")]
    pub version: &'static str,
    /// The version of the API, as in its addresses.
    #[schema(example = "v1")]
    pub api: &'static str,
}

/// Names the program and its version.
#[utoipa::path(tag = "about", responses((status = 200, description = "Name and version.", body = Version)))]
#[get("/version")]
pub(crate) async fn version(request: HttpRequest) -> Result<web::Json<Version>, Problem> {
    query::none(&request)?;
    Ok(web::Json(Version {
        name: env!("CARGO_PKG_NAME"),
        version: env!("CARGO_PKG_VERSION"),
        api: "v1",
    }))
}
