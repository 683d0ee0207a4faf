//! The refusals an operation can give by its shape, as reusable components.
use utoipa::openapi::path::{Operation, PathItem};
use utoipa::openapi::response::{Response, ResponseBuilder};
use utoipa::openapi::{ContentBuilder, OpenApi, Ref, RefOr};

use crate::api::problem::{Code, PROBLEM_JSON};

/// Adds a component for every status in the table, and to every operation under
/// `/v1` those it can answer with.
pub fn complete(document: &mut OpenApi) {
    let components = document.components.get_or_insert_default();
    for status in statuses() {
        components
            .responses
            .insert(component(status), RefOr::T(response(status)));
    }
    for (address, item) in &mut document.paths.paths {
        if address.starts_with("/v1") {
            let named = address.contains('{');
            for (method, operation) in operations(item) {
                add(operation, method, named);
            }
        }
    }
}

/// The methods of an address with their operations.
pub fn operations(item: &mut PathItem) -> impl Iterator<Item = (&'static str, &mut Operation)> {
    [
        ("GET", &mut item.get),
        ("PUT", &mut item.put),
        ("POST", &mut item.post),
        ("PATCH", &mut item.patch),
        ("DELETE", &mut item.delete),
    ]
    .into_iter()
    .filter_map(|(method, operation)| operation.as_mut().map(|operation| (method, operation)))
}

fn add(operation: &mut Operation, method: &str, named: bool) {
    let mut statuses = vec![400, 406, 429, 500, 503];
    // an operation without security is open to everybody
    if operation
        .security
        .as_ref()
        .is_some_and(|needed| !needed.is_empty())
    {
        statuses.extend([401, 403]);
    }
    if named {
        statuses.push(404);
    }
    if operation.request_body.is_some() {
        statuses.extend([413, 415, 422]);
    }
    match method {
        "PUT" | "PATCH" | "DELETE" => statuses.extend([412, 428, 409]),
        "POST" => statuses.push(409),
        _ => {}
    }
    for status in statuses {
        let reference = RefOr::Ref(Ref::from_response_name(component(status)));
        operation
            .responses
            .responses
            .entry(status.to_string())
            .or_insert(reference);
    }
}

fn statuses() -> Vec<u16> {
    let mut statuses: Vec<u16> = Code::ALL.iter().map(|code| code.entry().status).collect();
    statuses.sort_unstable();
    statuses.dedup();
    statuses
}

fn component(status: u16) -> String {
    format!("Problem{status}")
}

fn response(status: u16) -> Response {
    let codes = Code::ALL
        .iter()
        .map(|code| code.entry())
        .filter(|entry| entry.status == status);
    let lines: Vec<String> = codes
        .map(|entry| format!("`{}`: {}.", entry.code, entry.title[0]))
        .collect();
    let content = ContentBuilder::new()
        .schema(Some(Ref::from_schema_name("Problem")))
        .build();
    ResponseBuilder::new()
        .description(lines.join(" "))
        .content(PROBLEM_JSON, content)
        .build()
}
