//! The promise to integrators: what is committed under `api/` is what the code says.
use std::path::Path;

use actix_web::http::header;
use actix_web::middleware::from_fn;
use actix_web::test::{TestRequest, call_and_read_body, call_service, init_service};
use actix_web::{App, web};
use serde_json::Value;
use weftdesk::api::{self, answer, request::fallback::fallback};

/// Compares a committed file with what the code writes; `UPDATE=1` rewrites it.
fn is_current(name: &str, text: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("api").join(name);
    if std::env::var_os("UPDATE").is_some() {
        std::fs::write(&path, text).expect("the api folder can be written");
    }
    let committed = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(
        committed == text,
        "api/{name} is behind the code; look at the difference after UPDATE=1 cargo test"
    );
}

#[test]
fn the_committed_document_is_current() {
    is_current(
        "openapi.json",
        &api::openapi::text().expect("the document is plain data"),
    );
}

#[test]
fn the_committed_list_of_problems_is_current() {
    is_current("problems.md", &api::problem::page::markdown());
}

#[test]
fn every_reference_in_the_document_leads_somewhere() {
    let document = document();
    let mut references = Vec::new();
    collect(&document, &mut references);
    assert!(!references.is_empty());
    for reference in references {
        let pointer = reference
            .strip_prefix('#')
            .expect("references stay inside the document");
        assert!(document.pointer(pointer).is_some(), "{reference} leads nowhere");
    }
    assert!(
        document["openapi"]
            .as_str()
            .is_some_and(|version| version.starts_with("3.1.")),
        "{}",
        document["openapi"]
    );
}

#[actix_web::test]
async fn the_served_document_and_every_public_page_answer() {
    let shared = api::Shared::build().expect("the document is plain data");
    assert!(api::metrics::install());
    let app = App::new()
        .configure(|config| shared.configure(config))
        .default_service(web::to(fallback))
        .wrap(from_fn(answer::finish));
    let app = init_service(app).await;
    let served = call_and_read_body(&app, TestRequest::get().uri("/openapi.json").to_request()).await;
    assert_eq!(
        serde_json::from_slice::<Value>(&served).expect("JSON"),
        document()
    );
    for (path, kind) in [
        ("/livez", "application/json"),
        ("/version", "application/json"),
        ("/metrics", "text/plain; version=0.0.4; charset=utf-8"),
        ("/docs", "text/html; charset=utf-8"),
        ("/docs/style.css", "text/css; charset=utf-8"),
        ("/problems/not-found", "text/html; charset=utf-8"),
    ] {
        let answer = call_service(&app, TestRequest::get().uri(path).to_request()).await;
        assert_eq!(answer.status().as_u16(), 200, "{path}");
        assert_eq!(
            answer.headers().get(header::CONTENT_TYPE).expect("a media type"),
            kind,
            "{path}"
        );
    }
    let wrong = call_service(&app, TestRequest::post().uri("/livez").to_request()).await;
    assert_eq!(wrong.status().as_u16(), 405);
    assert_eq!(
        wrong.headers().get(header::ALLOW).expect("Allow"),
        "GET, HEAD, OPTIONS"
    );
}

fn document() -> Value {
    let text = api::openapi::text().expect("the document is plain data");
    serde_json::from_str(&text).expect("the document is JSON")
}

fn collect<'a>(value: &'a Value, references: &mut Vec<&'a str>) {
    match value {
        Value::Object(members) => {
            if let Some(Value::String(reference)) = members.get("$ref") {
                references.push(reference);
            }
            members.values().for_each(|member| collect(member, references));
        }
        Value::Array(items) => items.iter().for_each(|item| collect(item, references)),
        Value::Null | Value::Bool(_) | Value::Number(_) | Value::String(_) => {}
    }
}
