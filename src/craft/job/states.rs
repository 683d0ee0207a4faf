//! Where a job stands: its state, its phase on the machine, how it ended.
use crate::text_enum::text_enum;

text_enum! {
    /// The one state a job is in.
    pub enum JobState, "job state" {
        /// Ordered; the racket is not here yet.
        Expected = "expected",
        /// The racket is here and waits for a station.
        Waiting = "waiting",
        /// Has a place at a station; not started.
        Assigned = "assigned",
        /// Being strung.
        OnMachine = "on_machine",
        /// Strung, being checked.
        Checking = "checking",
        /// On the shelf, to be handed out.
        Ready = "ready",
        /// Given back; the end.
        Out = "out",
        /// Will not be strung; the racket stays here until it is given back.
        Cancelled = "cancelled",
    }
}

text_enum! {
    /// How far the stringing on the machine has come.
    pub enum JobPhase, "phase" {
        /// The frame sits in its supports.
        Mounted = "mounted",
        /// The first main is in.
        MainsStarted = "mains_started",
        /// The last main is tensioned.
        MainsDone = "mains_done",
        /// The last cross is tensioned.
        CrossesDone = "crosses_done",
        /// All ends are tied.
        TiedOff = "tied_off",
    }
}

text_enum! {
    /// How a racket was when it went out.
    pub enum Outcome, "outcome" {
        /// Strung as asked.
        Strung = "strung",
        /// As it came.
        Unstrung = "unstrung",
        /// With part of the strings in.
        PartStrung = "part_strung",
    }
}

text_enum! {
    /// How strongly a job is moved forward.
    pub enum RushLevel, "rush level" {
        /// Before the others.
        Rush = "rush",
        /// Its player stands on court.
        Court = "court",
    }
}

impl JobState {
    /// The state in words, as it stands in a sentence: "on the machine".
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::OnMachine => "on the machine",
            Self::Checking => "being checked",
            other => other.as_str(),
        }
    }

    /// Whether nothing more happens to a job in this state.
    ///
    /// A cancelled job has ended only once its racket is not here any more.
    #[must_use]
    pub const fn is_final(self, racket_here: bool) -> bool {
        match self {
            Self::Out => true,
            Self::Cancelled => !racket_here,
            _ => false,
        }
    }
}

impl JobPhase {
    /// The phase in words, as it stands in a sentence: "mains done".
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Mounted => "mounted",
            Self::MainsStarted => "mains started",
            Self::MainsDone => "mains done",
            Self::CrossesDone => "crosses done",
            Self::TiedOff => "tied off",
        }
    }

    /// The phase as a caption: "Mains done".
    #[must_use]
    pub fn caption(self) -> String {
        let (first, rest) = self.words().split_at(1);
        first.to_ascii_uppercase() + rest
    }

    /// The phase after this one.
    #[must_use]
    pub fn next(self) -> Option<Self> {
        Self::ALL.iter().copied().find(|phase| *phase > self)
    }
}
