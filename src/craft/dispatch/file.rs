//! Reads `weftdesk-dispatch-instance/1` and `weftdesk-dispatch-day/1`.
//!
//! A file is read loosely and judged as a whole: every fault is told with the
//! path of its field, and one fault refuses all of it. Unknown members are ignored.
mod arrivals;
mod field;
mod jobs;
mod shape;
mod stations;

pub use arrivals::{Arrival, Court, Day, Match};
pub use field::Fault;

use crate::dispatch::file::field::Reader;
use crate::dispatch::problem::Problem;
use crate::loose::Loose;

/// Format of an instance.
pub const INSTANCE: &str = "weftdesk-dispatch-instance/1";
/// Format of a day.
pub const DAY: &str = "weftdesk-dispatch-day/1";
/// Format of a schedule.
pub const SCHEDULE: &str = "weftdesk-dispatch-schedule/1";

/// Reads an instance.
///
/// # Errors
/// All faults.
pub fn instance(document: &Loose) -> Result<Problem, Vec<Fault>> {
    let mut reader = Reader::default();
    let frame = shape::read(&mut reader, document, INSTANCE);
    let jobs = jobs::read(&mut reader, document, &frame);
    let problem = frame.problem(jobs);
    if reader.faults.is_empty() {
        jobs::judge(&mut reader, &problem);
    }
    reader.outcome(problem)
}

/// Reads a day for the rehearsal.
///
/// # Errors
/// All faults.
pub fn day(document: &Loose) -> Result<Day, Vec<Fault>> {
    let mut reader = Reader::default();
    let frame = shape::read(&mut reader, document, DAY);
    let day = arrivals::read(&mut reader, document, frame);
    if reader.faults.is_empty() {
        jobs::judge(&mut reader, &day.problem);
    }
    reader.outcome(day)
}
