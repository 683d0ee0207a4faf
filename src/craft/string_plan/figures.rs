//! The numbers behind a plan, from geometry: lengths, start cross, drag.
//!
//! What the model does not cover gives no number, never a guess.
use crate::craft::frame::FrameRecord;
use crate::craft::string_plan::plan::ValueSource;
use crate::craft::string_plan::request::{BackVariant, CrossStart, PlanRequest};
use crate::craft::string_plan::steps::Piece;
use crate::craft::weave_method::WeaveMethod;

/// What geometry says about a frame.
#[derive(Debug, Clone, Default)]
pub(crate) struct Figures {
    /// Where the outer main leaves the hoop among the crosses.
    pub(crate) start: Option<ProposedStart>,
    /// Mains met by each cross.
    pub(crate) crossings: Vec<usize>,
}

/// The start cross as geometry proposes it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct ProposedStart {
    pub(crate) cross: u16,
    pub(crate) depth_below_mm: f64,
    pub(crate) previous_above_mm: Option<f64>,
    pub(crate) close_call: bool,
}

/// One piece's computed length.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct PieceFigure {
    pub(crate) piece: Piece,
    pub(crate) computed_mm: f64,
    pub(crate) tails_mm: Vec<f64>,
    pub(crate) stretch_percent: f64,
}

/// Drag in the shoulder zone.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct DragFigure {
    pub(crate) worst_pull_mm: f64,
    pub(crate) crossing_metres: f64,
    pub(crate) wear: f64,
}

/// Which way of working the lengths are for.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Way {
    pub(crate) method: WeaveMethod,
    pub(crate) start_cross: u16,
    pub(crate) variant: BackVariant,
    pub(crate) cross_start: CrossStart,
}

impl Figures {
    /// The figures of `frame`; empty where the model does not cover it.
    pub(crate) fn of(_frame: &FrameRecord) -> Self {
        Self::default()
    }

    /// Whether lengths come from this frame's own size or from an ordinary one's.
    pub(crate) fn source(&self, frame: &FrameRecord) -> ValueSource {
        if frame.inside_mm.is_some() {
            ValueSource::Computed
        } else {
            ValueSource::Assumed
        }
    }

    /// The computed length of each piece.
    pub(crate) fn pieces(&self, _request: &PlanRequest, _way: Way) -> Vec<PieceFigure> {
        Vec::new()
    }

    /// The short side of one piece, mm.
    pub(crate) fn short_side_mm(&self, _request: &PlanRequest, _way: Way) -> Option<f64> {
        None
    }

    /// The short tail of `start_cross_back`, mm.
    pub(crate) fn short_tail_mm(&self, _request: &PlanRequest, _way: Way) -> Option<f64> {
        None
    }

    /// Drag in the shoulder zone.
    pub(crate) fn drag(&self, _request: &PlanRequest, _way: Way) -> Option<DragFigure> {
        None
    }

    /// Seconds of weaving.
    pub(crate) fn weave_s(&self, _request: &PlanRequest, _way: Way) -> Option<f64> {
        None
    }
}
