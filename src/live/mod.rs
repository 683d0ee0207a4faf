//! What happened, told to those who listen: reads the log after the commit, changes nothing.
pub mod envelope;
pub mod fan_out;
pub mod follow;
pub mod stopping;
