//! Puts the plan together from its parts.
use crate::cuts::rounded_up_mm;
use crate::frame::FrameRecord;
use crate::spec::{Pieces, Spec, StringSpec};
use crate::stock::racket_lengths;
use crate::string_plan::cautions::{Grounds, cautions};
use crate::string_plan::choices;
use crate::string_plan::choose_method;
use crate::string_plan::estimate::{self, Work};
use crate::string_plan::fault::PlanFault;
use crate::string_plan::figures::{Figures, PieceFigure, Way};
use crate::string_plan::interlacing;
use crate::string_plan::machine_value::machine_value;
use crate::string_plan::methods::{self, ChosenBy, MethodVerdict};
use crate::string_plan::order::Layout;
use crate::string_plan::plan::{
    ChosenMethod, Cut, Ends, Holes, MachineValues, MethodComparison, Plan, PlanFrame, PlanString,
    PlanStrings, ShortSide, SourceLine, StartCross, ValueSource, Weave,
};
use crate::string_plan::request::PlanRequest;
use crate::string_plan::sentences::upper;
use crate::string_plan::steps::Piece;
use crate::string_plan::unknowns::{Known, that_widen_time, unknowns};
use crate::string_plan::validate::differs;
use crate::string_plan::{stock, work_order};
use crate::weave_method::WeaveMethod;

/// The plan of a request whose values are sound; `overruled` are the checks a person's word set aside.
pub(crate) fn assemble(request: &PlanRequest, overruled: &[PlanFault]) -> Result<Plan, PlanFault> {
    let (frame, spec) = (&request.frame, &request.spec);
    let figures = Figures::of(frame);
    let start_cross = choices::start_cross(frame, &figures);
    let verdicts = methods::verdicts(request, start_cross.value);
    let (method, chosen_by) = choose_method::choose(request, &verdicts)?;
    let way = way(request, method, start_cross.value);
    let ends = choices::ends(frame, spec.pieces, method, start_cross.value);
    let holes = choices::holes(frame);
    let pieces = figures.pieces(request, way);
    let cuts = cuts(request, &figures, &pieces);
    let short_side = (spec.pieces == Pieces::One).then(|| short_side(request, &figures, &pieces, method));
    let machine = MachineValues {
        mains: machine_value(&spec.mains.tension, request.machine.as_ref()),
        crosses: machine_value(&spec.crosses.tension, request.machine.as_ref()),
    };
    let layout = choices::order_not_covered(frame)
        .is_none()
        .then(|| layout(request, way, &ends, &holes));
    let mut steps = work_order::steps(spec, layout.as_ref(), &cuts, &machine);
    let weave = weave(frame, &figures, way);
    let cautions = cautions(&Grounds {
        request,
        method,
        cuts: &cuts,
        start_cross: &start_cross,
        weave: &weave,
        short_side: short_side.as_ref(),
        overruled,
    });
    work_order::place_cautions(&mut steps, &cautions, method);
    let unknowns = unknowns(&Known {
        request,
        start_cross: &start_cross,
        ends: &ends,
        holes: &holes,
        cuts: &cuts,
        steps: &steps,
        figures: &figures,
    });
    let estimate = estimate::estimate(&work(request, &figures, way, that_widen_time(&unknowns)), spec);
    Ok(Plan {
        frame: PlanFrame {
            name: frame.name.clone(),
            sport: frame.sport,
            mains: frame.mains,
            crosses: frame.crosses,
        },
        pieces: spec.pieces,
        strings: strings(spec),
        method: chosen(frame, method, chosen_by, way),
        short_tail_mm: short_tail_mm(&pieces, method),
        sources: sources(request, &figures, &start_cross, &ends, &holes),
        length_checks: stock::checks(request, &cuts),
        comparison: comparison(request, &figures, &verdicts, method, start_cross.value),
        override_reason: request
            .insist
            .as_ref()
            .filter(|_| !overruled.is_empty())
            .map(|insist| insist.reason.clone()),
        short_side,
        start_cross,
        ends,
        holes,
        cuts,
        machine,
        weave,
        steps,
        cautions,
        unknowns,
        estimate,
    })
}

fn way(request: &PlanRequest, method: WeaveMethod, start_cross: Option<u16>) -> Way {
    Way {
        method,
        start_cross: start_cross.unwrap_or(0),
        variant: methods::back_variant(request),
        cross_start: request
            .stringer
            .as_ref()
            .and_then(|habits| habits.cross_start)
            .unwrap_or_default(),
    }
}

fn layout(request: &PlanRequest, way: Way, ends: &Ends, holes: &Holes) -> Layout {
    let machine = request.machine.as_ref();
    let frame = &request.frame;
    Layout {
        method: way.method,
        one_piece: request.spec.pieces == Pieces::One,
        mains_per_side: frame.mains / 2,
        crosses: frame.crosses,
        start_cross: way.start_cross,
        short_side: choices::short_side(frame),
        cross_start_side: ends.cross_start_side,
        mains_finish: ends.mains_finish,
        cross_start: way.cross_start,
        back_variant: way.variant,
        starting_clamp: machine.is_none_or(|facts| facts.starting_clamps != Some(0)),
        flying_clamps: machine.is_some_and(|facts| facts.clamps == crate::machine::ClampKind::Flying),
        knot_extra: request.spec.knot_extra.is_some(),
        tie_off_mains: holes.tie_off_mains.clone(),
        tie_off_crosses: holes.tie_off_crosses.clone(),
    }
}

fn strings(spec: &Spec) -> PlanStrings {
    let string = |part: &StringSpec| PlanString {
        name: part.string.name.clone(),
        material: part.string.material,
        gauge_mm: part.string.gauge_mm.clone(),
        pre_stretch: part.pre_stretch,
    };
    let (mains, crosses) = (&spec.mains.string, &spec.crosses.string);
    PlanStrings {
        mains: string(&spec.mains),
        crosses: string(&spec.crosses),
        hybrid: spec.pieces == Pieces::Two && differs(mains, crosses),
    }
}

/// The short tail of `start_cross_back`.
fn short_tail_mm(pieces: &[PieceFigure], method: WeaveMethod) -> Option<u32> {
    if method != WeaveMethod::StartCrossBack {
        return None;
    }
    pieces.iter().find_map(|piece| piece.short_mm.map(rounded_up_mm))
}

/// The pieces to cut: a recorded cut wins over a computed one.
fn cuts(request: &PlanRequest, figures: &Figures, computed: &[PieceFigure]) -> Vec<Cut> {
    let record = request.frame.cut_mm.clone().unwrap_or_default();
    let pieces: &[Piece] = match request.spec.pieces {
        Pieces::One => &[Piece::OnePiece],
        Pieces::Two => &[Piece::Mains, Piece::Crosses],
    };
    pieces
        .iter()
        .map(|piece| {
            let figure = computed.iter().find(|figure| figure.piece == *piece);
            let recorded = match piece {
                Piece::Mains => record.mains,
                Piece::Crosses => record.crosses,
                Piece::OnePiece => record.one_piece,
            };
            let computed_at_least_mm = figure.map(|figure| rounded_up_mm(figure.computed_mm));
            let source = match (recorded, figure) {
                (Some(_), _) => request.frame.source_of("cut_mm").into(),
                (None, Some(_)) => figures.source(),
                (None, None) => ValueSource::Unknown,
            };
            Cut {
                piece: *piece,
                at_least_mm: recorded.or(computed_at_least_mm),
                source,
                computed_mm: figure.map(|figure| figure.computed_mm),
                computed_at_least_mm,
                tails_mm: figure.map(|figure| figure.tails_mm.clone()).unwrap_or_default(),
                stretch_percent: figure.map(|figure| 100.0 * figure.stretch.strain),
                stretch_source: figure.map(|figure| figure.stretch.source),
            }
        })
        .collect()
}

fn short_side(
    request: &PlanRequest,
    figures: &Figures,
    pieces: &[PieceFigure],
    method: WeaveMethod,
) -> ShortSide {
    let frame = &request.frame;
    // a recorded short side is that of mains alone; with the tops it is longer
    let recorded = frame
        .cut_mm
        .as_ref()
        .and_then(|cut| cut.short_side)
        .filter(|_| method != WeaveMethod::TopsOnShortSide);
    let computed = pieces.iter().find_map(|piece| piece.short_mm.map(rounded_up_mm));
    let at_least_mm = recorded.or(computed);
    let source = match (recorded, computed) {
        (Some(_), _) => frame.source_of("cut_mm").into(),
        (None, Some(_)) => figures.source(),
        (None, None) => ValueSource::Unknown,
    };
    ShortSide {
        side: choices::short_side(frame),
        at_least_mm,
        computed_at_least_mm: computed,
        racket_lengths: at_least_mm.map(|length| racket_lengths(f64::from(length), racket_mm(frame))),
        source,
    }
}

/// The bench's own measuring stick: this racket where its length is on record, else an ordinary one.
fn racket_mm(frame: &FrameRecord) -> f64 {
    frame
        .overall_mm
        .map_or(frame.sport.defaults().racket_mm, |overall| overall.length)
}

fn weave(frame: &FrameRecord, figures: &Figures, way: Way) -> Weave {
    let even = interlacing::parity(
        way.method,
        frame.mains,
        way.start_cross,
        choices::short_side(frame),
    );
    Weave {
        over_when_even: even,
        crosses: interlacing::weave(frame.mains, frame.crosses, even, &figures.crossings),
    }
}

/// Seconds of weaving per cross where geometry gives none (assumed).
const WEAVE_PER_CROSS_S: f64 = 24.0;

fn work(request: &PlanRequest, figures: &Figures, way: Way, unknown_facts: usize) -> Work {
    let frame = &request.frame;
    Work {
        method: way.method,
        mains: frame.mains,
        crosses: frame.crosses,
        weave_s: figures
            .weave_s(request, way)
            .unwrap_or_else(|| f64::from(frame.crosses) * WEAVE_PER_CROSS_S),
        unknown_facts,
        pace_factor: request
            .stringer
            .as_ref()
            .and_then(|habits| habits.pace_factor)
            .unwrap_or(1.0),
    }
}

fn chosen(frame: &FrameRecord, method: WeaveMethod, chosen_by: ChosenBy, way: Way) -> ChosenMethod {
    let why = match chosen_by {
        ChosenBy::FirstAllowed if choices::direction_is_the_makers(frame) => {
            "for reckoning alone; the maker's sheet decides the direction"
        }
        ChosenBy::FrameRule => "the frame's maker prescribes it",
        ChosenBy::OwnerWish => "the owner wishes it",
        ChosenBy::Bench => "chosen at the bench for this racket",
        ChosenBy::LastRacket => "as on this player's last racket",
        ChosenBy::StringerHabit => "this stringer's habit",
        ChosenBy::Policy => "this desk's rule",
        ChosenBy::FirstAllowed => "the ordinary way that frame, wish and machine allow",
    };
    ChosenMethod {
        method,
        chosen_by,
        text: format!("{}: {why}.", upper(method.words())),
        variant: (method == WeaveMethod::StartCrossBack).then_some(way.variant),
    }
}

fn comparison(
    request: &PlanRequest,
    figures: &Figures,
    verdicts: &[MethodVerdict],
    chosen: WeaveMethod,
    start_cross: Option<u16>,
) -> Vec<MethodComparison> {
    let base = figures.drag(request, way(request, WeaveMethod::HeadDown, start_cross));
    verdicts
        .iter()
        .map(|verdict| {
            let mut line = MethodComparison {
                method: verdict.method,
                allowed: verdict.allowed,
                chosen: verdict.method == chosen,
                reasons: verdict.reasons.clone(),
                worst_pull_mm: None,
                drag_sum_mm: None,
                crossing_metres: None,
                wear_index: None,
                time_s: None,
                string_mm: None,
            };
            // what may not be done here has no figures to choose it by
            if !verdict.allowed {
                return line;
            }
            let way = way(request, verdict.method, start_cross);
            if let Some(drag) = figures.drag(request, way) {
                line.worst_pull_mm = Some(drag.worst_pull_mm);
                line.drag_sum_mm = Some(drag.sum_mm);
                line.crossing_metres = Some(drag.crossing_metres);
                line.wear_index = base.map(|base| 100.0 * drag.wear / base.wear);
            }
            let pieces = figures.pieces(request, way);
            let string_mm: f64 = pieces.iter().map(|piece| piece.computed_mm).sum();
            line.string_mm = (!pieces.is_empty()).then(|| rounded_up_mm(string_mm));
            let time = estimate::estimate(&work(request, figures, way, 0), &request.spec);
            line.time_s = Some(time.total.p50_s);
            line
        })
        .collect()
}

/// Reach and grip measured on this machine, or an ordinary one's.
fn tails_source(request: &PlanRequest) -> ValueSource {
    match &request.machine {
        Some(machine) if machine.reach_mm.is_some() && machine.grip_mm.is_some() => ValueSource::Measured,
        _ => ValueSource::Assumed,
    }
}

fn sources(
    request: &PlanRequest,
    figures: &Figures,
    start_cross: &StartCross,
    ends: &Ends,
    holes: &Holes,
) -> Vec<SourceLine> {
    let frame = &request.frame;
    let recorded = |known: bool, field: &str| {
        if known {
            frame.source_of(field).into()
        } else {
            ValueSource::Unknown
        }
    };
    let assumed = |known: bool, field: &str| {
        if known {
            frame.source_of(field).into()
        } else {
            ValueSource::Assumed
        }
    };
    let line = |value, source| SourceLine { value, source };
    vec![
        line("tension", ValueSource::Asked),
        line(
            "tension_range",
            recorded(frame.tension_range.is_some(), "tension_range"),
        ),
        line("pattern", holes.source),
        line("start_cross", start_cross.source),
        line("loop_end", ends.source),
        line("crosses_from", choices::crosses_from_source(frame)),
        line("inside_mm", recorded(frame.inside_mm.is_some(), "inside_mm")),
        line(
            "head_area_in2",
            recorded(frame.head_area_in2.is_some(), "head_area_in2"),
        ),
        line(
            "positions_mm",
            recorded(
                frame.positions_mm.is_some() && !figures.positions_set_aside,
                "positions_mm",
            ),
        ),
        line("wall_mm", assumed(frame.wall_mm.is_some(), "wall_mm")),
        line("tails", tails_source(request)),
        line("drag", figures.source()),
        line("computed_lengths", figures.source()),
        line("estimate", ValueSource::Assumed),
    ]
}
