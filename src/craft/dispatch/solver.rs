//! Searches for a plan of low cost: greedy insertion, descent, then ruin and recreate.
//!
//! A plan is one sequence per station; each block starts as early as it may.
//! Lanes keep the cost of every prefix, so a change is priced from its place to
//! where completions are as before. The same seed and number of iterations give
//! the same plan; `keep_going` lets a caller with a clock stop earlier.
mod anneal;
mod descent;
mod exchange;
mod greedy;
mod insertion;
mod lane;
mod plan;
mod price;
mod ruin;
mod search;
mod tables;

pub use lane::Slot;
pub use plan::Plan;
pub use search::Search;
pub use tables::Tables;
