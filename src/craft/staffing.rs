//! How many stations a day needs: a bound, a formula for steady days, and a small simulation.
pub mod erlang;
pub mod station_day;
pub mod work_window;
