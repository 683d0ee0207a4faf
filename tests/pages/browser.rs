//! Forms and links as a browser sends them.
use actix_web::http::Method;
use actix_web::test::TestRequest;
use weftdesk::craft::roles::Role;

use crate::harness::{Harness, Reply};

/// A form sent by somebody who is not signed in.
pub(crate) fn form(path: &str, fields: &[(&str, &str)]) -> TestRequest {
    filled(TestRequest::with_uri(path).method(Method::POST), fields)
}

fn filled(request: TestRequest, fields: &[(&str, &str)]) -> TestRequest {
    request
        .insert_header(("Sec-Fetch-Site", "same-origin"))
        .set_form(fields)
}

/// A form sent from our own page by the account with this role.
pub(crate) async fn send(harness: &Harness, role: Role, path: &str, fields: &[(&str, &str)]) -> Reply {
    let key = harness.fresh_key();
    let mut all = vec![("once", key.as_str())];
    all.extend(fields);
    harness
        .ask(filled(harness.signed(Method::POST, role, path), &all))
        .await
}

/// Where a reply sends the browser.
#[track_caller]
pub(crate) fn location(reply: &Reply) -> String {
    assert_eq!(reply.status, 303, "{}", reply.text);
    reply.header("Location").to_owned()
}

/// The page's text, if it was shown.
#[track_caller]
pub(crate) fn shown(reply: Reply) -> String {
    assert_eq!(reply.status, 200, "{}", reply.text);
    reply.text
}

/// What stands in a page behind a mark, up to the next quotation mark.
pub(crate) fn behind(page: &str, mark: &str) -> String {
    let start = page.find(mark).expect("the mark") + mark.len();
    page[start..].split('"').next().unwrap_or_default().to_owned()
}

/// The cookies that an answer sets, as the browser sends them back.
pub(crate) fn cookies(reply: &Reply) -> String {
    let set = reply.headers.get_all("Set-Cookie");
    let pairs = set.filter_map(|line| line.to_str().ok()?.split(';').next());
    pairs.collect::<Vec<_>>().join("; ")
}
