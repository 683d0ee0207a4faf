//! Weftdesk: a tournament's stringing desk as a service.
//!
//! Rooms, from the inside out: [`craft`] knows the trade and nothing else;
//! [`forms`] reads and writes files; [`photos`] makes pictures small and bare; [`storage`] keeps; [`desk`] does what people do; [`api`] is the JSON door,
//! [`pages`] the one for browsers; [`live`] tells what happened; [`server`] composes them.
pub mod access;
pub mod api;
pub mod cli;
pub mod config;
pub mod demo;
pub mod desk;
pub mod forms;
pub mod live;
pub mod pages;
pub mod photos;
pub mod server;
pub mod storage;
pub mod telemetry;
pub use weftdesk_craft as craft;
