//! The things a desk is set up with: one file per resource.
pub mod accounts;
pub mod calibrations;
pub mod devices;
pub mod frames;
pub mod machines;
pub mod players;
pub mod rackets;
pub mod reels;
pub mod stations;
pub mod stringers;
pub mod strings;
pub mod tag_codes;
pub mod tournaments;

use utoipa_actix_web::service_config::ServiceConfig;

/// The routes of these resources.
pub fn configure(config: &mut ServiceConfig<'_>) {
    config
        .configure(tournaments::configure)
        .configure(accounts::configure)
        .configure(devices::configure)
        .configure(frames::configure)
        .configure(strings::configure)
        .configure(reels::configure)
        .configure(players::configure)
        .configure(rackets::configure)
        .configure(machines::configure)
        .configure(calibrations::configure)
        .configure(stringers::configure)
        .configure(stations::configure)
        .configure(tag_codes::configure);
}
