//! Who strings what next: jobs to stations in sequence, at the least cost.
//!
//! The problem ([`problem`]) is the desk's day or its present moment: stations
//! with windows, clamps and pace, jobs with release, due time and weight, set-ups
//! that depend on the sequence, and players who should stay with one stringer.
//! Each rule of feasibility and cost is one file under [`rules`] with a stable
//! code. [`baselines`] are the plain rules of a good desk; [`solver`] searches for
//! a plan of low cost; [`checker`] judges any schedule and shares no code with it.
pub mod baselines;
pub mod checker;
pub mod drawing;
pub mod file;
pub mod problem;
pub mod rules;
pub mod schedule;
pub mod solver;

#[cfg(test)]
mod invented;
#[cfg(test)]
mod tests;
