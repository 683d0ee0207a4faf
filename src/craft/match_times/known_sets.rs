//! Sets that are computed once for several matches, or for the same match at several tempos.
use std::sync::Arc;

use super::set::{Ending, SetRules, SetScore, set};

/// Sets that begin at nothing, as their first server sees them: they do not depend on any clock.
#[derive(Debug, Default)]
pub struct KnownSets(Vec<(KnownSet, Arc<Vec<Ending>>)>);

#[derive(Debug, Clone, Copy, PartialEq)]
struct KnownSet {
    own: f64,
    other: f64,
    rules: SetRules,
}

impl KnownSets {
    /// The endings of a set in which the player with the chance `own` serves first, who is A.
    pub(super) fn of(&mut self, own: f64, other: f64, rules: &SetRules) -> Arc<Vec<Ending>> {
        let wanted = KnownSet {
            own,
            other,
            rules: *rules,
        };
        if let Some((_, known)) = self.0.iter().find(|(known, _)| *known == wanted) {
            return Arc::clone(known);
        }
        let endings = Arc::new(set(own, other, rules, &SetScore::begins(true)));
        self.0.push((wanted, Arc::clone(&endings)));
        endings
    }
}
