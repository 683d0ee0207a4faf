//! The numbers behind a plan, from geometry: lengths, start cross, drag, time of weaving.
//!
//! What the model does not cover (fanned mains, a start cross nobody knows) gives no
//! number, never a guess; what is taken from an ordinary frame is marked as assumed.
use crate::bed::{Bed, StartCross};
use crate::cuts::crosses_crimp_mm;
use crate::drag::{Moving, ShoulderDrag, shoulder_wear};
use crate::frame::FrameRecord;
use crate::frame::shape::{self, SizeFrom};
use crate::lengths::Lengths;
use crate::racket_end::RacketEnd;
use crate::spec::Pieces;
use crate::string_plan::choices;
use crate::string_plan::plan::ValueSource;
use crate::string_plan::request::{BackVariant, CrossStart, PlanRequest};
use crate::string_plan::steps::Piece;
use crate::string_plan::string_stretch::{self, Stretch};
use crate::weave_method::WeaveMethod;
use crate::weave_time::WeaveElements;

mod pieces;

pub(crate) use pieces::tails;

/// What geometry says about a frame.
#[derive(Debug, Clone)]
pub(crate) struct Figures {
    /// Where the outer main leaves the hoop among the crosses.
    pub(crate) start: Option<StartCross>,
    /// Mains met by each cross; empty where the model does not cover the frame.
    pub(crate) crossings: Vec<usize>,
    /// Measured positions do not fit a hoop whose size nobody measured; ordinary ones are taken.
    pub(crate) positions_set_aside: bool,
    size: SizeFrom,
    bed: Option<(Bed, Lengths)>,
}

/// One piece's computed length.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct PieceFigure {
    pub(crate) piece: Piece,
    pub(crate) computed_mm: f64,
    pub(crate) tails_mm: Vec<f64>,
    pub(crate) stretch: Stretch,
    /// Of a piece worked from a point between its ends: the part worked first, with its tail.
    pub(crate) short_mm: Option<f64>,
}

/// Drag in the shoulder zone.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct DragFigure {
    pub(crate) worst_pull_mm: f64,
    pub(crate) sum_mm: f64,
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

impl Way {
    /// Whether the method begins at a start cross that nobody knows.
    const fn lacks_start_cross(self) -> bool {
        self.start_cross == 0
            && matches!(
                self.method,
                WeaveMethod::StartCrossBack | WeaveMethod::TopsOnShortSide
            )
    }

    fn start(self) -> usize {
        usize::from(self.start_cross)
    }

    /// Whether the top crosses are pulled by the loops between them.
    const fn by_the_loops(self) -> bool {
        matches!(self.method, WeaveMethod::StartCrossBack) && matches!(self.variant, BackVariant::ByTheLoops)
    }
}

impl Figures {
    /// The figures of `frame`; empty where the model does not cover it.
    pub(crate) fn of(frame: &FrameRecord) -> Self {
        let mut figures = Self {
            start: None,
            crossings: Vec::new(),
            positions_set_aside: false,
            size: SizeFrom::Ordinary,
            bed: None,
        };
        let Some((hoop, size)) = shape::hoop(frame) else {
            return figures;
        };
        figures.size = size;
        // the model knows parallel mains alone
        if frame.fanned_mains == Some(true) {
            return figures;
        }
        let bed = shape::bed(frame, hoop).ok().or_else(|| {
            figures.positions_set_aside = true;
            shape::ordinary_bed(frame, hoop)
        });
        if let Some(bed) = bed {
            figures.start = bed.start_cross();
            figures.crossings = bed.crossings_per_cross();
            let lengths = Lengths::of(&bed, RacketEnd::Head);
            figures.bed = Some((bed, lengths));
        }
        figures
    }

    /// Whether lengths come from this frame's own size, its head area or an ordinary frame's.
    pub(crate) const fn source(&self) -> ValueSource {
        match self.size {
            SizeFrom::Inside => ValueSource::Computed,
            SizeFrom::HeadArea => ValueSource::ComputedFromArea,
            SizeFrom::Ordinary => ValueSource::Assumed,
        }
    }

    /// The computed length of each piece.
    pub(crate) fn pieces(&self, request: &PlanRequest, way: Way) -> Vec<PieceFigure> {
        let Some((bed, lengths)) = &self.bed else {
            return Vec::new();
        };
        if way.lacks_start_cross() {
            return Vec::new();
        }
        let (mains, crosses) = (&request.spec.mains, &request.spec.crosses);
        let crimp_mm = crosses_crimp_mm(
            bed,
            sum_of_diameters_mm(request),
            mains.tension.newtons().get(),
            crosses.tension.newtons().get(),
        );
        let loop_end = choices::loop_end(&request.frame, request.spec.pieces, way.method);
        let lengths = lengths.clone().with_loop_end(loop_end);
        match request.spec.pieces {
            Pieces::One => pieces::one_piece(request, way, &lengths, crimp_mm)
                .into_iter()
                .collect(),
            Pieces::Two => pieces::two_pieces(request, way, &lengths, crimp_mm),
        }
    }

    /// Drag in the shoulder zone; none without a start cross.
    pub(crate) fn drag(&self, request: &PlanRequest, way: Way) -> Option<DragFigure> {
        let (bed, lengths) = self.bed.as_ref()?;
        if way.start_cross == 0 {
            return None;
        }
        let wraps = lengths.cross_wraps_mm();
        let moving = moving(request, way, lengths, &wraps);
        let start = way.start();
        let drag = ShoulderDrag::of(&moving, way.method, start, &self.crossings);
        // by the loops the slack goes back through the crosses below the first
        let slack_mm = slack_mm(request, way);
        let passed: usize = self.crossings.iter().take(start).skip(1).sum();
        let passed = u32::try_from(passed).map_or(0.0, f64::from);
        Some(DragFigure {
            worst_pull_mm: drag.worst_pull_mm,
            sum_mm: drag.sum_mm,
            crossing_metres: drag.crossing_metres + slack_mm * passed / 1000.0,
            wear: shoulder_wear(bed, &moving, way.method, start, sum_of_diameters_mm(request)),
        })
    }

    /// Seconds of weaving.
    pub(crate) fn weave_s(&self, request: &PlanRequest, way: Way) -> Option<f64> {
        let (_, lengths) = self.bed.as_ref()?;
        if way.lacks_start_cross() {
            return None;
        }
        let wraps = lengths.cross_wraps_mm();
        let tail_mm = slack_mm(request, way);
        let mut plain = moving(request, way, lengths, &wraps);
        plain.pulled_end_mm -= tail_mm;
        let start = way.start();
        let mut lengths_mm = plain.lengths_mm(way.method, start);
        for (index, length_mm) in lengths_mm.iter_mut().take(start).enumerate() {
            // in with the tail, and out again through every top cross but the first
            *length_mm += if index == 0 { tail_mm } else { 2.0 * tail_mm };
        }
        let elements = WeaveElements::ASSUMED;
        Some(
            elements.weave_s(&self.crossings, &lengths_mm, start)
                + elements.shoulder_pull_s(plain.long_end_mm(way.method, start)),
        )
    }
}

/// The slack that pulling by the loops needs, mm; 0 for every other way.
fn slack_mm(request: &PlanRequest, way: Way) -> f64 {
    if way.by_the_loops() {
        tails(request).loop_slack_mm()
    } else {
        0.0
    }
}

fn moving<'a>(request: &PlanRequest, way: Way, lengths: &'a Lengths, wraps: &'a [f64]) -> Moving<'a> {
    Moving {
        cross_paths_mm: lengths.cross_paths_mm(),
        cross_wraps_mm: wraps,
        pulled_end_mm: tails(request).pulled_end_mm() + slack_mm(request, way),
        outer_main_path_mm: lengths.outer_main_path_mm(),
    }
}

/// Diameters of a main and a cross; an ordinary one where the gauge is not known.
fn sum_of_diameters_mm(request: &PlanRequest) -> f64 {
    let sport = request.frame.sport;
    string_stretch::diameter_mm(sport, &request.spec.mains.string)
        + string_stretch::diameter_mm(sport, &request.spec.crosses.string)
}
