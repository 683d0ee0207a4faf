//! Rehearses a day: uncertain matches and stringing, under several ways to dispatch.
//!
//! One `world` per repetition, the same for every way; each way sees what a
//! desk would see at the time (`scene`), never the future.
mod forecast;
mod half_hours;
mod live;
mod plain;
mod play;
mod report;
mod scene;
mod staffing;
mod stations;
mod trial;
mod world;

pub use half_hours::{Count, HalfHour};
pub use live::Live;
pub use plain::Plain;
pub use play::{Outcome, play};
pub use report::{Report, Spread, rehearse};
pub use scene::{Dispatcher, Scene};
pub use staffing::{Staffed, Staffing, WorstHalfHour, staffing, stations_at_least};
pub use stations::with_stations;
pub use trial::{Trial, trials};
pub use world::{PlayedMatch, World};
