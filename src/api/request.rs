//! Reading requests strictly: a wrong shape is refused and named, never guessed.
//!
//! Refusals are decided in the order 401, 404, 403, 400, 422, 428/412, 409, 422.
//! So bodies arrive unread ([`json::UnreadJson`]): a handler looks up and checks
//! the role first and reads the body then.
pub mod fallback;
pub mod insisting;
pub mod json;
pub mod media;
pub mod merge_patch;
pub mod query;
mod reader;
mod shape;
pub mod text;

pub use self::json::{StrictJson, UnreadJson};
pub use self::merge_patch::UnreadPatch;
pub use self::query::{CommaList, StrictQuery};
