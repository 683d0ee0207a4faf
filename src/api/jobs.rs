//! `/v1/jobs`: rackets taken in, listed, changed, and moved through their states.
pub mod actions;
pub mod evidence;
pub mod hand_in;
pub mod list;
pub mod one;
pub mod plan;
pub mod quality;
pub mod queries;
pub mod view;

use utoipa_actix_web::service_config::ServiceConfig;

/// Every route of this resource. Fixed words come before `{id}`.
pub fn routes(config: &mut ServiceConfig<'_>) {
    config
        .service(hand_in::hand_in_many)
        .service(list::by_code)
        .service(list::list_jobs)
        .service(hand_in::hand_in_one)
        .service(one::read_job)
        .service(one::change_wish)
        .service(one::count_print)
        .service(one::why)
        .service(plan::plan_of_job)
        .service(plan::drawing_of_job)
        .service(plan::take_method)
        .service(quality::record_check)
        .service(quality::take_reading)
        .service(actions::act);
}
