//! Courts and matches: the order of play, what happens on the courts, and the ready-by times that follow.
pub mod board;
pub mod change_order;
pub mod coming_matches;
pub mod court_memory;
pub mod due_by;
pub mod follow;
pub mod next_match;
pub mod people;
pub mod preview;
pub mod stop_courts;
pub mod take_events;
pub mod tell_match;
pub mod warm_lengths;

use crate::desk::refusal::MemberFault;
use crate::forms::place::FormFault;

/// So many jobs that become late at once are taken for a typing error until a person says yes: an assumption.
pub const JUMP: usize = 5;

/// Faults of a text as faults of the request's body; lines and columns stand in the words.
#[must_use]
pub fn member_faults(faults: &[FormFault]) -> Vec<MemberFault> {
    faults
        .iter()
        .map(|fault| {
            let place = &fault.place;
            let pointer = if place.field.starts_with('/') {
                place.field.clone()
            } else {
                String::new()
            };
            let detail = format!(
                "line {}, column {}: {}",
                place.line.max(1),
                place.column.max(1),
                fault.detail
            );
            MemberFault::at(pointer, fault.refusal.as_str(), detail)
        })
        .collect()
}
