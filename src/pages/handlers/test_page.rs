//! The test pages of the printers, one for each size of paper.
use actix_web::http::StatusCode;
use actix_web::web::{self, ServiceConfig};

use super::Shown;
use super::refused::Failure;
use super::visit::Visitor;
use crate::pages::qr::qr_svg;
use crate::pages::views::test_page::{TEST_PAPERS, TestPage};

/// What the square says.
const SQUARE: &str = "weftdesk test page";

/// The routes of this file.
pub(super) fn routes(config: &mut ServiceConfig) {
    config.route("/test-page/{paper}", web::get().to(test_page));
}

async fn test_page(visitor: Visitor, paper: web::Path<String>) -> Shown {
    let found = TEST_PAPERS.into_iter().find(|known| known.name == paper.as_str());
    let page = TestPage {
        paper: found.ok_or_else(Failure::no_such_page)?,
        qr_svg: qr_svg(SQUARE).unwrap_or_default(),
    };
    visitor.page(StatusCode::OK, &page)
}
