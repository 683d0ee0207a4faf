//! The rules of feasibility and cost: one file each, each with a stable code.
//!
//! The solver's tables are made from these. The checker states every rule again
//! in its own words and names breaches by the same codes.
pub mod barred;
pub mod block_length;
pub mod clamps;
pub mod continuity;
pub mod first;
pub mod flow;
pub mod hard_hold;
pub mod lateness;
pub mod once;
pub mod pinned;
pub mod promise;
pub mod release;
pub mod tardiness;
pub mod windows;
