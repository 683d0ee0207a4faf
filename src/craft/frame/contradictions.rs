//! Where a frame record contradicts itself, field by field.
use crate::frame::{FrameRecord, HoleRef, InsideSize};
use crate::racket_end::RacketEnd;
use crate::tension::Tension;

/// One place where a record cannot be right.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Contradiction {
    /// JSON Pointer inside the frame record.
    pub pointer: String,
    /// What is wrong and the way out.
    pub detail: String,
    /// Whether the rest of the record can still be used when this field is taken as unknown.
    pub usable_without: bool,
}

/// Everything in `frame` that cannot be right; empty for a sound record.
#[must_use]
pub fn contradictions(frame: &FrameRecord) -> Vec<Contradiction> {
    let mut found = Found(Vec::new());
    counts(frame, &mut found);
    tension_range(frame, &mut found);
    holes(frame, &mut found);
    tie_offs(frame, &mut found);
    sizes(frame, &mut found);
    positions(frame, &mut found);
    cuts(frame, &mut found);
    found.0
}

struct Found(Vec<Contradiction>);

impl Found {
    fn refuse(&mut self, pointer: impl Into<String>, detail: impl Into<String>) {
        self.0.push(Contradiction {
            pointer: pointer.into(),
            detail: detail.into(),
            usable_without: false,
        });
    }
    fn set_aside(&mut self, pointer: impl Into<String>, detail: impl Into<String>) {
        self.0.push(Contradiction {
            pointer: pointer.into(),
            detail: detail.into(),
            usable_without: true,
        });
    }
}

fn counts(frame: &FrameRecord, found: &mut Found) {
    if !(6..=30).contains(&frame.mains) {
        found.refuse("/mains", "must be 6 to 30 mains; count them on the frame");
    }
    if !(6..=40).contains(&frame.crosses) {
        found.refuse("/crosses", "must be 6 to 40 crosses; count them on the frame");
    }
    if let Some(start) = frame.pattern.start_cross
        && (start == 0 || start > frame.crosses / 2)
    {
        found.refuse(
            "/pattern/start_cross",
            format!(
                "cross {start} cannot be the start cross of {} crosses; count crosses from the head, 1 first",
                frame.crosses
            ),
        );
    }
    if let Some(ahead) = frame.pattern.max_mains_ahead
        && !(1..=3).contains(&ahead)
    {
        found.refuse(
            "/pattern/max_mains_ahead",
            "must be 1, 2 or 3 mains ahead on one side",
        );
    }
    if let (Some(bridge), Some(loop_end)) = (frame.pattern.bridge_holes_per_side, frame.pattern.loop_end)
        && loop_from_bridge(bridge) != loop_end
    {
        found.set_aside(
            "/pattern/bridge_holes_per_side",
            format!(
                "{bridge} main holes per side in the throat bridge put the centre loop at the {}, the record says {}; look at the frame",
                loop_from_bridge(bridge).name(),
                loop_end.name()
            ),
        );
    }
}

/// Where the centre loop sits, from the main holes per side in the throat bridge (derived by counting).
#[must_use]
pub const fn loop_from_bridge(bridge_holes_per_side: u16) -> RacketEnd {
    if bridge_holes_per_side.is_multiple_of(2) {
        RacketEnd::Head
    } else {
        RacketEnd::Throat
    }
}

fn tension_range(frame: &FrameRecord, found: &mut Found) {
    let Some(range) = &frame.tension_range else { return };
    let mut parse = |field: &str, text: &str| match Tension::parse(text, range.unit) {
        Ok(tension) => Some(tension),
        Err(fault) => {
            found.refuse(format!("/tension_range/{field}"), fault.to_string());
            None
        }
    };
    let (min, max) = (parse("min", &range.min), parse("max", &range.max));
    if let (Some(min), Some(max)) = (min, max)
        && min.number() > max.number()
    {
        found.refuse(
            "/tension_range",
            format!(
                "the lowest tension {} is above the highest {}; exchange them",
                range.min, range.max
            ),
        );
    }
}

fn holes(frame: &FrameRecord, found: &mut Found) {
    let pattern = &frame.pattern;
    let lists = [
        ("mains_skip", &pattern.mains_skip),
        ("crosses_skip", &pattern.crosses_skip),
        ("tie_off_mains", &pattern.tie_off_mains),
        ("tie_off_crosses", &pattern.tie_off_crosses),
        ("shared_holes", &pattern.shared_holes),
    ];
    for (name, list) in lists {
        for (index, hole) in list.iter().enumerate() {
            if !(1..=60).contains(&hole.hole) {
                found.refuse(
                    format!("/pattern/{name}/{index}/hole"),
                    "must be 1 to 60, counted from the centre line outwards",
                );
            }
        }
    }
    for (index, shared) in pattern.shared_holes.iter().enumerate() {
        let overlaps = |hole: &HoleRef| same_hole(hole, shared);
        if pattern.mains_skip.iter().any(overlaps) && pattern.crosses_skip.iter().any(overlaps) {
            found.refuse(
                format!("/pattern/shared_holes/{index}"),
                format!(
                    "{} {} is shared by a main and a cross, and both skip it",
                    shared.end.name(),
                    shared.hole
                ),
            );
        }
    }
}

fn same_hole(one: &HoleRef, other: &HoleRef) -> bool {
    one.end == other.end
        && one.hole == other.hole
        && (one.side.is_none() || other.side.is_none() || one.side == other.side)
}

/// A tail can only be tied off at the end where its string finishes.
fn tie_offs(frame: &FrameRecord, found: &mut Found) {
    let Some(finish) = frame.mains_finish() else {
        return;
    };
    if !frame.mains.is_multiple_of(2) {
        return;
    }
    for (index, hole) in frame.pattern.tie_off_mains.iter().enumerate() {
        if hole.end != finish {
            found.set_aside(
                format!("/pattern/tie_off_mains/{index}"),
                format!(
                    "mains cannot be tied off at {} {}: with {} mains a side and the loop at the {} they finish at the {}",
                    hole.end.name(),
                    hole.hole,
                    frame.mains_per_side(),
                    finish.mains_finish(frame.mains_per_side()).name(),
                    finish.name()
                ),
            );
        }
    }
}

fn sizes(frame: &FrameRecord, found: &mut Found) {
    let mut check = |pointer: &str, size: Option<InsideSize>, low: f64, high: f64| {
        let Some(size) = size else { return };
        for (field, value) in [("length", size.length), ("width", size.width)] {
            if !(value.is_finite() && (low..=high).contains(&value)) {
                found.refuse(
                    format!("{pointer}/{field}"),
                    format!("must be {low} to {high} mm; give millimetres"),
                );
            }
        }
        if size.width > size.length {
            found.refuse(
                pointer,
                "is wider than long; length runs along the shaft, exchange them",
            );
        }
    };
    check("/inside_mm", frame.inside_mm, 100.0, 450.0);
    check("/overall_mm", frame.overall_mm, 100.0, 900.0);
    if let Some(area) = frame.head_area_in2
        && !(area.is_finite() && (30.0..=150.0).contains(&area))
    {
        found.refuse("/head_area_in2", "must be 30 to 150 square inches");
    }
    if let Some(wall) = frame.wall_mm
        && !(wall.is_finite() && (1.0..=25.0).contains(&wall))
    {
        found.refuse("/wall_mm", "must be 1 to 25 mm");
    }
}

fn positions(frame: &FrameRecord, found: &mut Found) {
    let Some(positions) = &frame.positions_mm else {
        return;
    };
    let (xs, ys) = (&positions.mains_x, &positions.crosses_y);
    if !xs.is_empty() {
        if xs.len() != frame.mains_per_side() {
            found.refuse(
                "/positions_mm/mains_x",
                format!(
                    "has {} positions for {} mains on a side",
                    xs.len(),
                    frame.mains_per_side()
                ),
            );
        }
        if !(xs.iter().all(|x| x.is_finite() && *x > 0.0) && xs.windows(2).all(|pair| pair[0] < pair[1])) {
            found.refuse(
                "/positions_mm/mains_x",
                "must rise from the centre outwards, mm from the centre line",
            );
        }
    }
    if !ys.is_empty() {
        if ys.len() != usize::from(frame.crosses) {
            found.refuse(
                "/positions_mm/crosses_y",
                format!("has {} positions for {} crosses", ys.len(), frame.crosses),
            );
        }
        if !(ys.iter().all(|y| y.is_finite()) && ys.windows(2).all(|pair| pair[0] > pair[1])) {
            found.refuse(
                "/positions_mm/crosses_y",
                "must fall from the head to the throat, mm above mid length",
            );
        }
    }
    let Some(inside) = frame.inside_mm else { return };
    if xs.last().is_some_and(|x| *x >= inside.width / 2.0) {
        found.refuse(
            "/positions_mm/mains_x",
            "puts the outermost main outside the hoop of inside_mm",
        );
    }
    if ys.iter().any(|y| y.abs() >= inside.length / 2.0) {
        found.refuse(
            "/positions_mm/crosses_y",
            "puts a cross outside the hoop of inside_mm",
        );
    }
}

fn cuts(frame: &FrameRecord, found: &mut Found) {
    let Some(cut) = &frame.cut_mm else { return };
    let lengths = [
        ("mains", cut.mains),
        ("crosses", cut.crosses),
        ("one_piece", cut.one_piece),
        ("short_side", cut.short_side),
    ];
    for (field, length) in lengths {
        if length.is_some_and(|length| !(1000..=20_000).contains(&length)) {
            found.refuse(
                format!("/cut_mm/{field}"),
                "must be 1000 to 20000 mm; give millimetres",
            );
        }
    }
    if let (Some(short), Some(whole)) = (cut.short_side, cut.one_piece)
        && short >= whole
    {
        found.refuse(
            "/cut_mm/short_side",
            "is not shorter than the whole one-piece cut",
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::frame::{FrameSource, Pattern, TensionRange};
    use crate::sport::Sport;
    use crate::tension::TensionUnit;

    fn sound() -> FrameRecord {
        FrameRecord {
            sport: Sport::Tennis,
            name: "Frame 16x19".to_owned(),
            mains: 16,
            crosses: 19,
            tension_range: None,
            pattern: Pattern::default(),
            cut_mm: None,
            source: FrameSource::Measured,
            sources: std::collections::BTreeMap::new(),
            inside_mm: None,
            head_area_in2: None,
            positions_mm: None,
            fanned_mains: None,
            wall_mm: None,
            overall_mm: None,
        }
    }

    #[track_caller]
    fn check(change: impl FnOnce(&mut FrameRecord), pointers: &[&str]) {
        let mut frame = sound();
        change(&mut frame);
        let found = contradictions(&frame);
        let named: Vec<&str> = found.iter().map(|one| one.pointer.as_str()).collect();
        assert_eq!(named, pointers);
    }

    #[test]
    fn a_sound_record_has_no_contradiction() {
        check(|_| (), &[]);
    }

    #[test]
    fn each_contradiction_is_named_by_its_field() {
        check(|frame| frame.mains = 2, &["/mains"]);
        check(
            |frame| frame.pattern.start_cross = Some(12),
            &["/pattern/start_cross"],
        );
        check(
            |frame| frame.pattern.max_mains_ahead = Some(4),
            &["/pattern/max_mains_ahead"],
        );
        check(
            |frame| {
                frame.tension_range = Some(TensionRange {
                    min: "27".to_owned(),
                    max: "21".to_owned(),
                    unit: TensionUnit::Kg,
                });
            },
            &["/tension_range"],
        );
        check(
            |frame| {
                frame.inside_mm = Some(InsideSize {
                    length: 250.0,
                    width: 330.0,
                });
            },
            &["/inside_mm"],
        );
    }

    #[test]
    fn mains_cannot_be_tied_off_where_they_do_not_finish() {
        check(
            |frame| {
                frame.pattern.loop_end = Some(RacketEnd::Head);
                frame.pattern.tie_off_mains = vec![HoleRef {
                    end: RacketEnd::Throat,
                    hole: 6,
                    side: None,
                }];
            },
            &["/pattern/tie_off_mains/0"],
        );
    }
}
