//! `/docs`: the API document as one plain page, without scripts.
use std::fmt::Write as _;

use actix_web::{HttpResponse, get, web};
use serde_json::Value;

use super::DocumentText;
use crate::api::html::{escape, page, prose};
use crate::api::problem::Problem;

const METHODS: [&str; 5] = ["get", "post", "put", "patch", "delete"];

/// The reference for people.
#[utoipa::path(
    tag = "about",
    responses((status = 200, description = "The reference.", content_type = "text/html", body = String))
)]
#[get("/docs")]
pub(crate) async fn docs(text: web::Data<DocumentText>) -> Result<HttpResponse, Problem> {
    let document: Value = serde_json::from_str(&text.0).map_err(|error| Problem::internal(&error))?;
    Ok(page("en", "weftdesk API", &render(&document)))
}

fn render(document: &Value) -> String {
    let mut body = String::new();
    let text = |value: &Value| prose(value.as_str().unwrap_or_default());
    let info = &document["info"];
    // writing into a String cannot fail
    let _ = write!(
        body,
        "<h1>{} {}</h1><p>{}</p><p><a href=\"/openapi.json\">openapi.json</a></p><ul>",
        text(&info["title"]),
        text(&info["version"]),
        text(&info["description"])
    );
    let operations = operations(document);
    for (method, path, _) in &operations {
        let _ = write!(
            body,
            "<li><a href=\"#{0}\">{1} {2}</a></li>",
            anchor(method, path),
            method,
            escape(path)
        );
    }
    body.push_str("</ul>");
    for (method, path, operation) in operations {
        render_operation(&mut body, method, path, operation);
    }
    body.push_str("<h2>Shapes</h2>");
    for (name, schema) in members(&document["components"]["schemas"]) {
        let shape = serde_json::to_string_pretty(schema).unwrap_or_default();
        let _ = write!(
            body,
            "<section id=\"schema-{0}\"><h3>{0}</h3><pre>{1}</pre></section>",
            escape(name),
            escape(&shape)
        );
    }
    body
}

fn members(value: &Value) -> impl Iterator<Item = (&String, &Value)> {
    value.as_object().into_iter().flatten()
}

fn operations(document: &Value) -> Vec<(&'static str, &str, &Value)> {
    let addresses = members(&document["paths"]);
    addresses
        .flat_map(|(path, item)| {
            METHODS
                .iter()
                .filter_map(move |method| Some((*method, path.as_str(), item.get(method)?)))
        })
        .collect()
}

fn anchor(method: &str, path: &str) -> String {
    let plain: String = path
        .chars()
        .map(|letter| {
            if letter.is_ascii_alphanumeric() {
                letter
            } else {
                '-'
            }
        })
        .collect();
    format!("{method}{plain}")
}

fn render_operation(body: &mut String, method: &str, path: &str, operation: &Value) {
    let text = |value: &Value| prose(value.as_str().unwrap_or_default());
    let _ = write!(
        body,
        "<section id=\"{}\"><h2><code>{} {}</code></h2><p>{} {}</p>",
        anchor(method, path),
        method.to_uppercase(),
        escape(path),
        text(&operation["summary"]),
        text(&operation["description"])
    );
    let parameters = operation["parameters"]
        .as_array()
        .map(Vec::as_slice)
        .unwrap_or_default();
    if !parameters.is_empty() {
        body.push_str("<table><tr><th>Parameter</th><th>In</th><th>Meaning</th></tr>");
        for parameter in parameters {
            let _ = write!(
                body,
                "<tr><td><code>{}</code></td><td>{}</td><td>{}</td></tr>",
                text(&parameter["name"]),
                text(&parameter["in"]),
                text(&parameter["description"])
            );
        }
        body.push_str("</table>");
    }
    for (kind, content) in members(&operation["requestBody"]["content"]) {
        let _ = write!(
            body,
            "<p>Body: <code>{}</code> {}</p>",
            escape(kind),
            link(&content["schema"])
        );
    }
    body.push_str("<table><tr><th>Status</th><th>Answer</th></tr>");
    for (status, answer) in members(&operation["responses"]) {
        let shape = members(&answer["content"])
            .map(|(_, content)| link(&content["schema"]))
            .collect::<String>();
        let said = answer["$ref"]
            .as_str()
            .and_then(|name| name.rsplit('/').next())
            .map(escape);
        let said = said.unwrap_or_else(|| text(&answer["description"]));
        let _ = write!(
            body,
            "<tr><td>{}</td><td>{said} {shape}</td></tr>",
            escape(status)
        );
    }
    body.push_str("</table></section>");
}

/// A link to a named shape; nothing for one written in place.
fn link(schema: &Value) -> String {
    let name = schema["$ref"]
        .as_str()
        .and_then(|reference| reference.rsplit('/').next())
        .map(escape);
    name.map_or_else(String::new, |name| {
        format!("<a href=\"#schema-{name}\">{name}</a>")
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_operation_and_shape_stands_on_the_page() {
        let document: Value = serde_json::from_str(&super::super::text().unwrap()).unwrap();
        let html = render(&document);
        for (method, path, _) in operations(&document) {
            assert!(
                html.contains(&format!("id=\"{}\"", anchor(method, path))),
                "{method} {path}"
            );
        }
        for (name, _) in members(&document["components"]["schemas"]) {
            assert!(html.contains(&format!("id=\"schema-{name}\"")), "{name}");
        }
        assert!(!html.contains("<script"));
    }
}
