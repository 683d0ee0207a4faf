//! A schedule: which block stands where.

/// One job's block on a station: set-up and stringing in one piece.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Op {
    /// Index of the job.
    pub job: usize,
    /// Index of the station.
    pub station: usize,
    /// Start of the set-up.
    pub start: i64,
    /// Completion.
    pub end: i64,
}

/// Blocks, sorted by station and start.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Schedule {
    /// The blocks.
    pub ops: Vec<Op>,
}
