//! The pages behind `type`, and the committed list of all problems.
use std::fmt::Write as _;

use actix_web::{HttpRequest, HttpResponse, get, web};

use super::{Code, Language, Problem};
use crate::api::html;

/// Explains one kind of problem to a person.
#[utoipa::path(
    tag = "about",
    params(("slug" = String, Path, description = "The last part of a problem's `type`.")),
    responses((status = 200, description = "The explanation, in English or French.", content_type = "text/html", body = String))
)]
#[get("/problems/{slug}")]
pub(crate) async fn problem_page(
    slug: web::Path<String>,
    request: HttpRequest,
) -> Result<HttpResponse, Problem> {
    let code = Code::from_slug(&slug).ok_or_else(|| Problem::new(Code::NotFound))?;
    let language = Language::preferred(request.headers());
    let entry = code.entry();
    let mut body = String::new();
    // writing into a String cannot fail
    let _ = write!(
        body,
        "<h1>{}</h1><p>{}</p><p><code>{}</code> · HTTP {}</p>",
        html::escape(language.of(entry.title)),
        html::prose(language.of(entry.explanation)),
        entry.code,
        entry.status,
    );
    Ok(html::page(language.tag(), language.of(entry.title), &body))
}

/// The text of `api/problems.md`.
pub fn markdown() -> String {
    let mut text = String::from(
        "# Problems\n\nEvery refusal is `application/problem+json` (RFC 9457). A code never changes its meaning; \
         titles and details follow `Accept-Language` (English, French).\n\n\
         | code | status | title | titre | explanation |\n|---|---|---|---|---|\n",
    );
    for code in Code::ALL {
        let entry = code.entry();
        let _ = writeln!(
            text,
            "| `{}` | {} | {} | {} | {} |",
            entry.code, entry.status, entry.title[0], entry.title[1], entry.explanation[0]
        );
    }
    text
}

#[cfg(test)]
mod tests {
    use actix_web::{App, test};

    use super::*;

    #[actix_web::test]
    async fn a_problem_has_a_page_in_both_languages() {
        let app = test::init_service(App::new().service(problem_page)).await;
        let ask = |tongue| {
            test::TestRequest::get()
                .uri("/problems/stale-version")
                .insert_header(("Accept-Language", tongue))
                .to_request()
        };
        let english = test::call_and_read_body(&app, ask("en")).await;
        assert!(String::from_utf8_lossy(&english).contains("It has changed since you read it"));
        let french = test::call_and_read_body(&app, ask("fr")).await;
        assert!(String::from_utf8_lossy(&french).contains("lang=\"fr\""));
        assert!(String::from_utf8_lossy(&french).contains("Cela a changé depuis votre lecture"));
    }
}
