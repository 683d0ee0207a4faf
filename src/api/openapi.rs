//! The API document (OpenAPI 3.1): built from the handlers, completed by rule.
//!
//! Handlers declare what they answer when all is well. Which refusals every
//! operation shares follows from its shape, so it is added here once.
pub mod page;
pub mod refusals;

use actix_web::{App, HttpResponse, get, web};
use utoipa::openapi::security::{ApiKey, ApiKeyValue, HttpAuthScheme, HttpBuilder, SecurityScheme};
use utoipa::openapi::{ComponentsBuilder, InfoBuilder, License, OpenApi, OpenApiBuilder};
use utoipa::{PartialSchema, ToSchema};
use utoipa_actix_web::AppExt;

use super::problem::schema::ProblemDocument;

/// The document as text, the same that is committed as `api/openapi.json`.
#[derive(Debug, Clone)]
pub struct DocumentText(pub String);

/// Builds the document of all routes.
pub fn document() -> OpenApi {
    let app = App::new()
        .into_utoipa_app()
        .openapi(frame())
        .configure(super::routes);
    let (_, mut document) = app.split_for_parts();
    refusals::complete(&mut document);
    document
}

/// The document as JSON with a line break at its end.
///
/// # Errors
/// Never in practice: the document is plain data.
pub fn text() -> Result<String, serde_json::Error> {
    document().to_pretty_json().map(|text| text + "\n")
}

/// Everything of the document that does not come from a handler.
fn frame() -> OpenApi {
    let info = InfoBuilder::new()
        .title("weftdesk")
        .version("v1")
        .description(Some(
            "A tournament's racket stringing desk. Refusals are RFC 9457 problems; POSTs that create or move \
             need an `Idempotency-Key`; changes need `If-Match`; lists are paged by cursor.",
        ))
        .license(Some(License::new("Apache-2.0")))
        .build();
    let bearer = HttpBuilder::new()
        .scheme(HttpAuthScheme::Bearer)
        .bearer_format("JWT")
        .description(Some(
            "An access token of `POST /v1/sessions`, good for 15 minutes.",
        ))
        .build();
    let mut schemas = Vec::new();
    <ProblemDocument as ToSchema>::schemas(&mut schemas);
    let components = ComponentsBuilder::new()
        .schema(ProblemDocument::name(), ProblemDocument::schema())
        .schemas_from_iter(schemas)
        .security_scheme("bearer", SecurityScheme::Http(bearer))
        .security_scheme(
            "session",
            SecurityScheme::ApiKey(ApiKey::Cookie(ApiKeyValue::new("__Host-weftdesk"))),
        )
        .security_scheme(
            "stream_ticket",
            SecurityScheme::ApiKey(ApiKey::Query(ApiKeyValue::new("ticket"))),
        )
        .build();
    OpenApiBuilder::new()
        .info(info)
        .components(Some(components))
        .build()
}

/// The machine-readable description of this API.
#[utoipa::path(
    tag = "about",
    responses((status = 200, description = "OpenAPI 3.1.", content_type = "application/json", body = serde_json::Value))
)]
#[get("/openapi.json")]
pub(crate) async fn openapi_json(text: web::Data<DocumentText>) -> HttpResponse {
    HttpResponse::Ok()
        .content_type("application/json")
        .insert_header(("Cache-Control", "public, max-age=60"))
        .body(text.0.clone())
}
