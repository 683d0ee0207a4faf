//! What a string needs beyond its last hole.
use crate::sport::Sport;

/// Tails of one machine and sport, mm; the reach is a property of the machine: measure it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tails {
    /// From the frame to the tension head's jaws, mm.
    pub reach_mm: f64,
    /// What the jaws hold, mm.
    pub grip_mm: f64,
    /// What a knot takes, mm.
    pub knot_mm: f64,
    /// An end that is knotted and never pulled, mm.
    pub start_tail_mm: f64,
}

impl Tails {
    /// Tails of a sport on an ordinary machine: assumed, not measured.
    ///
    /// Squash frames lie on the same machine as tennis frames.
    #[must_use]
    pub const fn of(sport: Sport) -> Self {
        match sport {
            Sport::Tennis | Sport::Squash => Self {
                reach_mm: 420.0,
                grip_mm: 80.0,
                knot_mm: 120.0,
                start_tail_mm: 200.0,
            },
            Sport::Badminton => Self {
                reach_mm: 330.0,
                grip_mm: 60.0,
                knot_mm: 90.0,
                start_tail_mm: 150.0,
            },
        }
    }

    /// An end pulled by the tension head, mm: reach and grip, or the knot if that needs more.
    #[must_use]
    pub const fn pulled_end_mm(&self) -> f64 {
        (self.reach_mm + self.grip_mm).max(self.knot_mm)
    }

    /// A loop between two crosses pulled to the tension head, mm: there and back.
    #[must_use]
    pub const fn loop_slack_mm(&self) -> f64 {
        2.0 * (self.reach_mm + self.grip_mm)
    }
}
