//! What happens at an address or with a method nobody serves.
//!
//! Each method of an address is its own service, so the router alone cannot tell
//! 404 from 405. The API document can: it lists every address with its methods.
use std::future::{Ready, ready};

use actix_web::dev::ResourceDef;
use actix_web::http::{Method, header};
use actix_web::{HttpRequest, HttpResponse, web};
use utoipa::openapi::OpenApi;

use crate::api::problem::{Code, Problem};

/// Every address of the API with the methods it takes.
#[derive(Debug, Clone)]
pub struct RouteTable(Vec<(ResourceDef, Vec<&'static str>)>);

impl RouteTable {
    /// Takes the addresses out of the API document.
    pub fn from_document(document: &OpenApi) -> Self {
        let routes = document.paths.paths.iter().map(|(address, item)| {
            let offered = [
                ("GET", item.get.is_some()),
                ("HEAD", item.get.is_some()),
                ("PUT", item.put.is_some()),
                ("POST", item.post.is_some()),
                ("PATCH", item.patch.is_some()),
                ("DELETE", item.delete.is_some()),
                ("OPTIONS", true),
            ];
            let methods = offered
                .iter()
                .filter(|(_, there)| *there)
                .map(|(name, _)| *name)
                .collect();
            (ResourceDef::new(address.as_str()), methods)
        });
        Self(routes.collect())
    }

    /// The methods `path` takes; `None` when nothing is there.
    fn methods(&self, path: &str) -> Option<String> {
        let mut found: Vec<&str> = Vec::new();
        for (_, methods) in self.0.iter().filter(|(address, _)| address.is_match(path)) {
            found.extend(
                methods
                    .iter()
                    .filter(|method| !found.contains(method))
                    .copied()
                    .collect::<Vec<_>>(),
            );
        }
        (!found.is_empty()).then(|| found.join(", "))
    }
}

/// Answers 404, 405 with `Allow`, or an OPTIONS request.
///
/// # Errors
/// The two refusals.
pub fn fallback(request: HttpRequest) -> Ready<Result<HttpResponse, Problem>> {
    ready(answer(&request))
}

fn answer(request: &HttpRequest) -> Result<HttpResponse, Problem> {
    let table = request.app_data::<web::Data<RouteTable>>();
    let Some(allowed) = table.and_then(|table| table.methods(request.path())) else {
        return Err(Problem::new(Code::NotFound));
    };
    if request.method() == Method::OPTIONS {
        return Ok(HttpResponse::NoContent()
            .insert_header((header::ALLOW, allowed))
            .finish());
    }
    Err(Problem::new(Code::MethodNotAllowed)
        .detail(
            format!("This address takes {allowed}."),
            format!("Cette adresse accepte {allowed}."),
        )
        .header(header::ALLOW, &allowed))
}
