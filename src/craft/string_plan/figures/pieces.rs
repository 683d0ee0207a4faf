//! The length of each piece, by method.
use super::{PieceFigure, Way};
use crate::cuts::{CutString, PieceCut, SplitCut};
use crate::lengths::Lengths;
use crate::racket_end::RacketEnd;
use crate::string_plan::request::{CrossStart, PlanRequest};
use crate::string_plan::steps::Piece;
use crate::string_plan::string_stretch::{Stretch, stretch};
use crate::tails::Tails;
use crate::weave_method::WeaveMethod;

/// The tails of this sport, with the machine's own reach and grip where they were measured.
pub(crate) fn tails(request: &PlanRequest) -> Tails {
    let mut tails = Tails::of(request.frame.sport);
    if let Some(machine) = &request.machine {
        if let Some(reach) = machine.reach_mm {
            tails.reach_mm = f64::from(reach);
        }
        if let Some(grip) = machine.grip_mm {
            tails.grip_mm = f64::from(grip);
        }
    }
    tails
}

/// The one piece; none for a method that needs two.
///
/// Its two directions may be pulled differently: the lesser stretch counts for all of it.
pub(super) fn one_piece(
    request: &PlanRequest,
    way: Way,
    lengths: &Lengths,
    crimp_mm: f64,
) -> Option<PieceFigure> {
    let spec = &request.spec;
    let of = |part| stretch(request.frame.sport, &spec.mains.string, part);
    let (mains, crosses) = (of(&spec.mains.tension), of(&spec.crosses.tension));
    let less = if crosses.strain < mains.strain {
        crosses
    } else {
        mains
    };
    let string = CutString {
        strain: less.strain,
        tails: tails(request),
    };
    let cut = match way.method {
        WeaveMethod::HeadDown => string.one_piece(lengths, crimp_mm, RacketEnd::Head),
        WeaveMethod::ThroatUp => string.one_piece(lengths, crimp_mm, RacketEnd::Throat),
        WeaveMethod::TopsOnShortSide => string.tops_on_short_side(lengths, crimp_mm, way.start()),
        WeaveMethod::Around => string.around(lengths, crimp_mm),
        WeaveMethod::StartCrossBack => return None,
    };
    let end_mm = string.tails.pulled_end_mm();
    Some(split(Piece::OnePiece, cut, vec![end_mm, end_mm], less))
}

/// Mains and crosses; none for a method that needs one piece.
pub(super) fn two_pieces(
    request: &PlanRequest,
    way: Way,
    lengths: &Lengths,
    crimp_mm: f64,
) -> Vec<PieceFigure> {
    let tails = tails(request);
    let sport = request.frame.sport;
    let of = |part: &crate::spec::StringSpec| {
        let stretch = stretch(sport, &part.string, &part.tension);
        let string = CutString {
            strain: stretch.strain,
            tails,
        };
        (string, stretch)
    };
    let (mains_string, mains_stretch) = of(&request.spec.mains);
    let (string, stretch) = of(&request.spec.crosses);
    let crosses = match way.method {
        WeaveMethod::HeadDown | WeaveMethod::ThroatUp => {
            let first_end_pulled = way.cross_start == CrossStart::StartingClamp;
            let cut = string.two_piece_crosses(lengths, crimp_mm, first_end_pulled);
            whole(Piece::Crosses, cut, stretch)
        }
        WeaveMethod::StartCrossBack => {
            let end_mm = tails.pulled_end_mm();
            if way.by_the_loops() {
                let cut = string.start_cross_back_by_the_loops(lengths, crimp_mm, way.start());
                let tails_mm = vec![end_mm + tails.loop_slack_mm(), end_mm];
                split(Piece::Crosses, cut, tails_mm, stretch)
            } else {
                let cut = string.start_cross_back(lengths, crimp_mm, way.start());
                split(Piece::Crosses, cut, vec![end_mm, end_mm], stretch)
            }
        }
        WeaveMethod::TopsOnShortSide | WeaveMethod::Around => return Vec::new(),
    };
    let mains = whole(Piece::Mains, mains_string.two_piece_mains(lengths), mains_stretch);
    vec![mains, crosses]
}

fn whole(piece: Piece, cut: PieceCut, stretch: Stretch) -> PieceFigure {
    PieceFigure {
        piece,
        computed_mm: cut.total_mm(),
        tails_mm: vec![cut.first_tail_mm, cut.last_tail_mm],
        stretch,
        short_mm: None,
    }
}

fn split(piece: Piece, cut: SplitCut, tails_mm: Vec<f64>, stretch: Stretch) -> PieceFigure {
    PieceFigure {
        piece,
        computed_mm: cut.total_mm(),
        tails_mm,
        stretch,
        short_mm: Some(cut.short_mm),
    }
}
