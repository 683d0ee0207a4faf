//! Plain rules: whenever a station is free, the job with the highest index goes next.
//!
//! ATC after Vepsalainen and Morton, Management Science 33(8), 1987; ATCS after
//! Lee, Bhaskaran and Pinedo, IIE Transactions 29, 1997 (both from memory).
mod list;

pub use list::list_schedule;

/// A plain rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rule {
    /// First come, first served.
    Fifo,
    /// Earliest due first.
    Edd,
    /// Shortest work by weight first.
    Wspt,
    /// Apparent tardiness cost: weight by work, and more the nearer the due time.
    Atc,
    /// ATC, and less the longer the set-up.
    Atcs,
    /// ATCS, and less away from the player's station.
    Atcsb,
}

/// How far ATC looks ahead, in mean works; and ATCS, in mean set-ups.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scales {
    /// Mean works of slack at which urgency falls to 1/e.
    pub slack: f64,
    /// Mean set-ups at which a set-up weighs 1/e.
    pub set_up: f64,
}

impl Default for Scales {
    /// Common practice, no source.
    fn default() -> Self {
        Self {
            slack: 2.0,
            set_up: 1.0,
        }
    }
}

/// Pairs worth trying; the best one is taken where a rule may choose.
pub const SCALES_TO_TRY: [Scales; 8] = {
    const fn pair(slack: f64, set_up: f64) -> Scales {
        Scales { slack, set_up }
    }
    [
        pair(1.0, 0.5),
        pair(1.0, 1.5),
        pair(2.0, 0.5),
        pair(2.0, 1.5),
        pair(4.0, 0.5),
        pair(4.0, 1.5),
        pair(8.0, 0.5),
        pair(8.0, 1.5),
    ]
};

/// What a job away from its player's station counts, as a share, under ATCS with home factor.
const AWAY_SHARE: f64 = 0.4;

/// One job as a free station sees it. Times in seconds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Look {
    /// Now.
    pub now_s: f64,
    /// When the racket came.
    pub release_s: f64,
    /// When it is due.
    pub due_s: f64,
    /// Its weight.
    pub weight: f64,
    /// Stringing here.
    pub stringing_s: f64,
    /// Set-up here.
    pub set_up_s: f64,
    /// Whether its player belongs to another station.
    pub away: bool,
    /// Mean stringing of all jobs.
    pub mean_stringing_s: f64,
    /// Mean set-up.
    pub mean_set_up_s: f64,
}

impl Rule {
    /// All plain rules.
    pub const ALL: [Self; 6] = [
        Self::Fifo,
        Self::Edd,
        Self::Wspt,
        Self::Atc,
        Self::Atcs,
        Self::Atcsb,
    ];

    /// Its name on the command line.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Fifo => "fifo",
            Self::Edd => "edd",
            Self::Wspt => "wspt",
            Self::Atc => "atc",
            Self::Atcs => "atcs",
            Self::Atcsb => "atcsb",
        }
    }

    /// The index of a job: the highest goes first.
    #[must_use]
    pub fn index(self, look: &Look, scales: Scales) -> f64 {
        let work = look.stringing_s.max(1.0);
        let urgency = || {
            let slack = (look.due_s - look.stringing_s - look.now_s).max(0.0);
            look.weight / work * (-slack / (scales.slack * look.mean_stringing_s.max(1.0))).exp()
        };
        let readiness = || (-look.set_up_s / (scales.set_up * look.mean_set_up_s.max(1.0))).exp();
        match self {
            Self::Fifo => -look.release_s,
            Self::Edd => -look.due_s,
            Self::Wspt => look.weight / work,
            Self::Atc => urgency(),
            Self::Atcs => urgency() * readiness(),
            Self::Atcsb => urgency() * readiness() * if look.away { AWAY_SHARE } else { 1.0 },
        }
    }
}
