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
    if method != "GET" {
        statuses.push(409);
    }
    if takes_header(operation, "If-Match") {
        statuses.extend([412, 428]);
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

fn takes_header(operation: &Operation, name: &str) -> bool {
    operation
        .parameters
        .iter()
        .flatten()
        .any(|parameter| matches!(parameter, RefOr::T(parameter) if parameter.name == name))
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

#[cfg(test)]
mod tests {
    use utoipa::OpenApi as _;

    use super::*;
    use crate::api::conditional::IfMatchHeader;
    use crate::api::idempotency::IdempotencyHeader;

    #[utoipa::path(
        patch, path = "/v1/rackets/{id}",
        params(("id" = String, Path), IfMatchHeader),
        request_body = String,
        responses((status = 200), (status = 409, description = "own words")),
        security(("bearer" = []))
    )]
    fn _change() {}

    #[utoipa::path(post, path = "/v1/open", params(IdempotencyHeader), responses((status = 201)))]
    fn _open() {}

    #[derive(utoipa::OpenApi)]
    #[openapi(paths(_change, _open))]
    struct Sample;

    #[test]
    fn refusals_follow_from_an_operations_shape() {
        let mut document = Sample::openapi();
        complete(&mut document);
        let value = serde_json::to_value(&document).unwrap();
        let statuses = |path: &str, method: &str| -> Vec<String> {
            value["paths"][path][method]["responses"]
                .as_object()
                .unwrap()
                .keys()
                .cloned()
                .collect()
        };
        let mut change = statuses("/v1/rackets/{id}", "patch");
        change.sort();
        let all = [
            "200", "400", "401", "403", "404", "406", "409", "412", "413", "415", "422", "428", "429", "500",
            "503",
        ];
        assert_eq!(change, all);
        let own = &value["paths"]["/v1/rackets/{id}"]["patch"]["responses"]["409"];
        assert_eq!(own["description"], "own words");
        let open = statuses("/v1/open", "post");
        for absent in ["401", "404", "412", "415"] {
            assert!(!open.contains(&absent.to_owned()), "{absent}");
        }
        let named = &value["paths"]["/v1/open"]["post"]["parameters"][0];
        assert_eq!(
            (named["name"].as_str(), named["in"].as_str()),
            (Some("Idempotency-Key"), Some("header"))
        );
    }
}
