//! What stays open on a frame record is settled here, in one place.
use crate::frame::contradictions::contradictions;
use crate::frame::{CrossesFrom, FrameRecord, FrameSource, HoleRef, Side, SideRule};
use crate::racket_end::RacketEnd;
use crate::spec::Pieces;
use crate::sport::Sport;
use crate::string_plan::figures::Figures;
use crate::string_plan::methods::loop_fact;
use crate::string_plan::plan::{Ends, Holes, StartCross, ValueSource};
use crate::weave_method::WeaveMethod;

/// The start cross: counted on the frame, else proposed by geometry.
pub(crate) fn start_cross(frame: &FrameRecord, figures: &Figures) -> StartCross {
    let proposed = figures.start;
    let proposed_cross = proposed.and_then(|start| u16::try_from(start.cross).ok());
    let close_call = proposed.is_some_and(|start| start.close_call);
    let recorded = frame.pattern.start_cross;
    let source = match (recorded, proposed) {
        (Some(_), _) => frame.source_of("start_cross").into(),
        (None, Some(_)) => ValueSource::Proposed,
        (None, None) => ValueSource::Unknown,
    };
    let counted = recorded.is_some() && source != ValueSource::Proposed && source != ValueSource::Unknown;
    StartCross {
        value: recorded.or(proposed_cross),
        source,
        proposed: proposed_cross,
        depth_below_mm: proposed.map(|start| start.depth_below_mm),
        previous_above_mm: proposed.and_then(|start| start.previous_above_mm),
        close_call,
        check_on_frame: !counted || (source == ValueSource::Reported && close_call),
    }
}

/// How many mains one side may be ahead: frame data, else common practice (no source).
pub(crate) fn max_mains_ahead(frame: &FrameRecord) -> u16 {
    frame.pattern.max_mains_ahead.unwrap_or(match frame.sport {
        Sport::Tennis => 2,
        Sport::Badminton | Sport::Squash => 1,
    })
}

/// Where the loop sits for `method`: recorded, told by the bridge, else as the method needs it.
pub(crate) fn loop_end(frame: &FrameRecord, pieces: Pieces, method: WeaveMethod) -> RacketEnd {
    loop_fact(frame).loop_end.unwrap_or_else(|| {
        let finish = match (pieces, method) {
            (Pieces::One, WeaveMethod::ThroatUp | WeaveMethod::Around) => RacketEnd::Throat,
            _ => RacketEnd::Head,
        };
        RacketEnd::loop_for_finish(finish, frame.mains_per_side())
    })
}

/// Ends of the mains, and where the first cross to be woven enters.
pub(crate) fn ends(
    frame: &FrameRecord,
    pieces: Pieces,
    method: WeaveMethod,
    start_cross: Option<u16>,
) -> Ends {
    let per_side = frame.mains_per_side();
    let fact = loop_fact(frame);
    let loop_end = loop_end(frame, pieces, method);
    let source = if fact.recorded {
        frame.source_of("loop_end").into()
    } else {
        ValueSource::Proposed
    };
    Ends {
        loop_end,
        mains_finish: loop_end.mains_finish(per_side),
        source,
        max_mains_ahead: max_mains_ahead(frame),
        cross_start_side: prescribed(frame.pattern.cross_start_side)
            .or_else(|| side_of_recorded_start(frame, method, start_cross))
            .unwrap_or(Side::A),
    }
}

/// Where the first cross to be woven enters so that its string's start meets the recorded hole.
///
/// The crosses' own string starts at the side of its hole; woven back from the start
/// cross, the short tail reaches the head after as many crosses as lie above.
fn side_of_recorded_start(
    frame: &FrameRecord,
    method: WeaveMethod,
    start_cross: Option<u16>,
) -> Option<Side> {
    if !frame.pattern.known {
        return None;
    }
    let end = match method {
        WeaveMethod::ThroatUp => RacketEnd::Throat,
        _ => RacketEnd::Head,
    };
    let sound = holes(frame).tie_off_crosses;
    let hole = sound.iter().find(|hole| hole.end == end)?;
    let side = hole.side?;
    match (method, start_cross) {
        (WeaveMethod::StartCrossBack, Some(start)) if start.is_multiple_of(2) => Some(side),
        (WeaveMethod::StartCrossBack, _) => Some(side.other()),
        _ => Some(side),
    }
}

/// The side of the short side; A when the maker leaves it open.
pub(crate) fn short_side(frame: &FrameRecord) -> Side {
    prescribed(frame.pattern.short_side).unwrap_or(Side::A)
}

fn prescribed(rule: Option<SideRule>) -> Option<Side> {
    rule.and_then(SideRule::side)
}

/// Holes on record, without those that contradict the rest of it.
pub(crate) fn holes(frame: &FrameRecord) -> Holes {
    let pattern = &frame.pattern;
    let refused: Vec<String> = contradictions(frame)
        .into_iter()
        .map(|found| found.pointer)
        .collect();
    let sound = |name: &str, list: &[HoleRef]| -> Vec<HoleRef> {
        list.iter()
            .enumerate()
            .filter(|(index, _)| !refused.contains(&format!("/pattern/{name}/{index}")))
            .map(|(_, hole)| *hole)
            .collect()
    };
    if !pattern.known {
        return Holes {
            known: false,
            source: ValueSource::Unknown,
            mains_skip: Vec::new(),
            crosses_skip: Vec::new(),
            tie_off_mains: Vec::new(),
            tie_off_crosses: Vec::new(),
            shared_holes: Vec::new(),
        };
    }
    Holes {
        known: true,
        source: frame.source_of("pattern").into(),
        mains_skip: sound("mains_skip", &pattern.mains_skip),
        crosses_skip: sound("crosses_skip", &pattern.crosses_skip),
        tie_off_mains: sound("tie_off_mains", &pattern.tie_off_mains),
        tie_off_crosses: sound("tie_off_crosses", &pattern.tie_off_crosses),
        shared_holes: sound("shared_holes", &pattern.shared_holes),
    }
}

/// Why the order of pulls cannot be told for this frame; `None` when it can.
///
/// Fanned mains and squash frames are strung from recorded holes alone; an odd main in the
/// middle is not covered by the pairs; a badminton frame's direction is its maker's to say.
pub(crate) fn order_not_covered(frame: &FrameRecord) -> Option<&'static str> {
    if !frame.mains.is_multiple_of(2) {
        return Some("an odd number of mains: the order of pulls follows the maker's sheet");
    }
    if frame.fanned_mains == Some(true) && !frame.pattern.known {
        return Some("fanned mains without recorded holes: the order of pulls follows the maker's sheet");
    }
    if frame.sport == Sport::Squash && !frame.pattern.known {
        return Some("squash without recorded holes: the order of pulls follows the maker's sheet");
    }
    if direction_is_the_makers(frame) {
        return Some("crosses of unknown direction: the order of pulls follows the maker's sheet");
    }
    None
}

/// Badminton frames differ, so nothing stands in for a direction that is not on record.
pub(crate) fn direction_is_the_makers(frame: &FrameRecord) -> bool {
    frame.sport == Sport::Badminton && frame.pattern.crosses_from.is_none()
}

/// Where the direction of the crosses comes from.
pub(crate) fn crosses_from_source(frame: &FrameRecord) -> ValueSource {
    match frame.pattern.crosses_from {
        Some(CrossesFrom::Head | CrossesFrom::Throat | CrossesFrom::Either) => {
            frame.source_of("crosses_from").into()
        }
        None => FrameSource::Unknown.into(),
    }
}
