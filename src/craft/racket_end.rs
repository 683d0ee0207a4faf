//! The two ends of a racket's hoop, and at which of them a side of mains finishes.
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// An end of the hoop.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum RacketEnd {
    /// The tip of the racket.
    Head,
    /// The end towards the handle.
    Throat,
}

impl RacketEnd {
    /// The word used in data.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Head => "head",
            Self::Throat => "throat",
        }
    }

    /// The opposite end.
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Self::Head => Self::Throat,
            Self::Throat => Self::Head,
        }
    }

    /// Where a side of `mains_per_side` mains finishes when the centre loop sits at this end.
    ///
    /// Counting: main 1 leaves at the other end, main 2 comes back, and so on.
    #[must_use]
    pub const fn mains_finish(self, mains_per_side: usize) -> Self {
        if mains_per_side.is_multiple_of(2) {
            self
        } else {
            self.other()
        }
    }

    /// Where the centre loop must sit for a side of `mains_per_side` mains to finish at this end.
    #[must_use]
    pub const fn loop_for_finish(self, mains_per_side: usize) -> Self {
        // the rule is its own inverse
        self.mains_finish(mains_per_side)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_even_side_comes_back_to_its_loop() {
        assert_eq!(RacketEnd::Head.mains_finish(8), RacketEnd::Head);
        assert_eq!(RacketEnd::Throat.mains_finish(9), RacketEnd::Head);
        assert_eq!(RacketEnd::Head.loop_for_finish(7), RacketEnd::Throat);
    }
}
