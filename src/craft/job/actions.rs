//! What can be done to a job, what evidence it takes and what stands in its way.
use crate::text_enum::text_enum;

text_enum! {
    /// Something a person or the service does to a job.
    pub enum JobAction, "job action" {
        /// Order a stringing before the racket is here.
        Announce = "announce",
        /// Take the racket in.
        CheckIn = "check_in",
        /// Give the job a place at a station.
        Assign = "assign",
        /// Take that place away.
        Unassign = "unassign",
        /// Put the racket on the machine.
        Start = "start",
        /// Tap a phase.
        Phase = "phase",
        /// Say that a changed spec was read.
        Acknowledge = "acknowledge",
        /// Take the last phase tap back; at the check, before anything was decided, "Strung".
        UndoPhase = "undo_phase",
        /// Stop for a while.
        Pause = "pause",
        /// Go on.
        Resume = "resume",
        /// Another stringer or station goes on.
        HandOver = "hand_over",
        /// A string snapped; a new attempt begins.
        Snapped = "snapped",
        /// Give the attempt up; a new one begins.
        Restart = "restart",
        /// Strung; off the machine.
        Finish = "finish",
        /// The check was good.
        Pass = "pass",
        /// The check was not good.
        Fail = "fail",
        /// Change the spec.
        Amend = "amend",
        /// Let it wait on purpose.
        Hold = "hold",
        /// End the hold.
        Release = "release",
        /// Move it forward.
        Rush = "rush",
        /// Take the rush back.
        Unrush = "unrush",
        /// Change when it is needed.
        Due = "due",
        /// Give the strung racket out.
        HandOut = "hand_out",
        /// Take a hand-out back.
        UndoHandOut = "undo_hand_out",
        /// Do not string it.
        Cancel = "cancel",
        /// Give a cancelled racket back.
        Return = "return",
        /// Take back work of a machine found out of tolerance.
        Recall = "recall",
        /// Give the racket back as it is.
        GiveBack = "give_back",
        /// Give a strung racket straight to court, without the check.
        CourtRelease = "court_release",
        /// Set a job right by hand, with a reason.
        Correct = "correct",
    }
}

text_enum! {
    /// Evidence an action takes with it.
    pub enum Need, "need" {
        /// Which racket.
        Racket = "racket",
        /// A valid spec, or an override with a reason.
        Spec = "spec",
        /// The condition of the frame at the counter.
        Condition = "condition",
        /// The tag code.
        Code = "code",
        /// Why.
        Reason = "reason",
        /// A scan of this job's tag.
        TagScan = "tag_scan",
        /// A scan (or confirmation by name) of each string.
        StringScans = "string_scans",
        /// Who goes on.
        ToStringer = "to_stringer",
        /// Where it goes on.
        ToStation = "to_station",
        /// Where the string snapped.
        Where = "where",
        /// How much string was lost.
        WastedMm = "wasted_mm",
        /// The phase `tied_off` was tapped.
        PhaseTiedOff = "phase_tied_off",
        /// A check is recorded.
        Check = "check",
        /// The version the change was made from.
        IfMatch = "if_match",
        /// Once started: apply, finish as asked, or restart.
        ChoiceIfStarted = "choice_if_started",
        /// Proof of who collects.
        Proof = "proof",
        /// A scan of the racket.
        RacketScan = "racket_scan",
        /// What is charged for it.
        ChargeDecision = "charge_decision",
        /// Which recall.
        RecallId = "recall_id",
    }
}

text_enum! {
    /// A fact that stands in an action's way.
    pub enum Blocker, "blocker" {
        /// The job is held.
        Held = "held",
        /// A changed spec was not read at the bench.
        SpecChangedUnacknowledged = "spec_changed_unacknowledged",
        /// The machine was not checked today and nobody has overridden it.
        MachineNotCleared = "machine_not_cleared",
        /// The station has another job.
        StationBusy = "station_busy",
    }
}

impl JobAction {
    /// The action as a caption: "Hand out".
    #[must_use]
    pub fn caption(self) -> String {
        let words = self.as_str().replace('_', " ");
        let (first, rest) = words.split_at(1);
        first.to_ascii_uppercase() + rest
    }
}
