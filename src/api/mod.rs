//! The JSON door: shapes in, one use case, shapes out. No SQL, no rules.
pub mod answer;
pub mod catch_up;
pub mod conditional;
pub mod court_times;
pub mod door;
pub mod events;
pub mod headers;
pub mod health;
pub mod html;
pub mod idempotency;
pub mod jobs;
pub mod lookup;
pub mod metrics;
pub mod openapi;
pub mod paging;
pub mod pickups;
pub mod problem;
pub mod queue;
pub mod ready;
pub mod request;
pub mod schedule;
pub mod sessions;
pub mod set_up;
pub mod snags;
pub mod stack;
pub mod stories;
pub mod stream;
pub mod tomorrow;
pub mod trace;

use actix_web::web::{Data, ServiceConfig};
use utoipa_actix_web::service_config::ServiceConfig as Documented;

use self::request::fallback::RouteTable;

/// Every route of this door, once: the server and the document both come from here.
pub fn routes(config: &mut Documented<'_>) {
    config
        .service(health::livez)
        .service(health::version)
        .service(metrics::metrics_page)
        .service(openapi::openapi_json)
        .service(openapi::page::docs)
        .service(html::style)
        .service(problem::page::problem_page)
        .service(ready::readyz)
        .configure(events::configure)
        .configure(sessions::configure)
        .configure(set_up::configure)
        .service(jobs::plan::compute_plan)
        .configure(jobs::routes)
        .configure(queue::routes)
        .configure(pickups::routes)
        .configure(catch_up::routes)
        .configure(schedule::routes)
        .configure(tomorrow::routes)
        .configure(snags::routes)
        .configure(court_times::routes)
        .configure(stories::routes)
        .configure(lookup::routes);
}

/// What the routes share: the document, the table behind 404 and 405.
#[derive(Debug, Clone)]
pub struct Shared {
    text: Data<openapi::DocumentText>,
    table: Data<RouteTable>,
}

impl Shared {
    /// Built once, before the workers start.
    ///
    /// # Errors
    /// Never in practice: the document is plain data.
    pub fn build() -> Result<Self, serde_json::Error> {
        let document = openapi::document();
        let text = document.to_pretty_json()? + "\n";
        Ok(Self {
            text: Data::new(openapi::DocumentText(text)),
            table: Data::new(RouteTable::from_document(&document)),
        })
    }

    /// Puts it all into a worker's application. The server also wraps the
    /// application with [`stack::wrap`] and sets [`request::fallback::fallback`]
    /// as default service.
    pub fn configure(&self, config: &mut ServiceConfig) {
        config
            .app_data(self.text.clone())
            .app_data(self.table.clone())
            .app_data(answer::path_config())
            .configure(|config| routes(&mut Documented::new(config)));
    }
}
