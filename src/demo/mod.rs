//! An invented tournament that lives by itself, for looking and trying.
mod bench;
mod counter;
pub mod courts;
pub mod director;
pub mod invented;
mod restock;
pub mod set_up;
mod steering;
