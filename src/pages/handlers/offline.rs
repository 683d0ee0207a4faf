//! Working without network: the service worker, and the page for what was not kept.
use actix_web::http::{StatusCode, header};
use actix_web::web::{self, ServiceConfig};
use actix_web::{HttpRequest, HttpResponse};
use askama::Template;

use super::Shown;
use super::refused::{Failure, FaultPage};
use crate::pages::shell::{Shell, Surface};
use crate::pages::static_files;

/// The routes of this file.
pub fn routes(config: &mut ServiceConfig) {
    config
        .route("/service-worker.js", web::get().to(service_worker))
        .route("/offline", web::get().to(not_kept));
}

/// The worker with the list of files to keep. Their validators stand in it, so that browsers
/// take a new worker, and with it the new files, as soon as one of them differs.
fn worker_text() -> Option<String> {
    let script = static_files::find("service-worker.js")?;
    let script = String::from_utf8(script.bytes.into_owned()).ok()?;
    let files: Vec<_> = static_files::names().collect();
    let addresses: Vec<_> = files.iter().map(|name| format!("/static/{name}")).collect();
    let validators: Vec<_> = files
        .iter()
        .filter_map(|name| static_files::find(name))
        .map(|file| file.etag)
        .collect();
    Some(format!(
        "const WEFTDESK_FILES = {addresses:?};\n// {}\n{script}",
        validators.join(" ")
    ))
}

async fn service_worker(_request: HttpRequest) -> Shown {
    let text = worker_text().ok_or_else(Failure::no_such_page)?;
    Ok(HttpResponse::Ok()
        .content_type("text/javascript; charset=utf-8")
        .insert_header((header::CACHE_CONTROL, "no-cache"))
        .body(text))
}

async fn not_kept() -> Shown {
    let page = FaultPage {
        shell: Shell::bare("No network", Surface::Day, ""),
        title: "No network, and this page was not opened here before".into(),
        words: "What was open on this device still works, and what is done there is sent on return.".into(),
        reference: String::new(),
        links: vec![
            ("Next Up".into(), "/next-up".into()),
            ("Hand In".into(), "/hand-in".into()),
            ("Hand Out".into(), "/hand-out".into()),
        ],
    };
    Ok(HttpResponse::build(StatusCode::OK)
        .content_type("text/html; charset=utf-8")
        .body(page.render()?))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_worker_keeps_every_style_and_script_of_this_build() {
        let text = worker_text().unwrap();
        for name in static_files::names() {
            assert!(text.contains(&format!("\"/static/{name}\"")), "{name}");
            assert!(
                text.contains(static_files::find(&name).unwrap().etag.trim_matches('"')),
                "{name}"
            );
        }
    }
}
