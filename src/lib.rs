//! Weftdesk: a tournament's stringing desk as a service.
//!
//! Rooms, from the inside out: [`craft`] knows the trade and nothing else;
//! `storage` keeps; `desk` does what people do; `api` and `pages` are doors.
pub mod api;
pub mod craft;
pub mod pages;
pub mod storage;
