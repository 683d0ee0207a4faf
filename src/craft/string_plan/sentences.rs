//! Steps as sentences a stringer would say.
use crate::frame::HoleRef;
use crate::racket_end::RacketEnd;
use crate::string_plan::steps::{Action, Holder, HolderChange, OnOff, Piece, Pulled, StringRef, Tail};

/// How a hole is found that is not on record.
pub(super) const FIND_THE_HOLE: &str = "look for the wider grommets there, tie on an inner main, never on the outermost main nor on the string just pulled, and record the hole";

/// The sentence of one action.
#[must_use]
pub fn sentence(action: &Action) -> String {
    match action {
        Action::Inspect => "Look over hoop, grommets and bumper; a crack stops the job.".to_owned(),
        Action::ReadOldBed => "Take a reading of the old bed.".to_owned(),
        Action::CutOut => {
            "Cut out the old strings from the centre outwards, mains and crosses in turn.".to_owned()
        }
        Action::Mount => "Mount the frame, mark on the butt cap up; check the supports.".to_owned(),
        Action::CutString { piece, at_least_mm } => cut(*piece, *at_least_mm),
        Action::StretchByHand { piece, percent } => {
            format!("Pre-stretch the {} by hand, {percent} %.", piece.label())
        }
        Action::SetMachine {
            pulled,
            value,
            unit,
            pre_stretch_percent,
        } => {
            let stretch = pre_stretch_percent
                .map(|percent| format!(", pre-stretch {percent} %"))
                .unwrap_or_default();
            format!(
                "Set the machine to {value} {} for {}{stretch}.",
                unit.symbol(),
                pulled_label(*pulled)
            )
        }
        Action::Thread { strings, tail } => thread(strings, *tail),
        Action::Weave {
            crosses,
            tail,
            from_side,
        } => format!(
            "Weave {} with the {}, in from side {}.",
            cross_list(crosses),
            tail.label(),
            from_side.letter()
        ),
        Action::StartKnot {
            string, end, hole, ..
        } => {
            format!(
                "Tie the starting knot for {} {}.",
                string.label(),
                place(*end, *hole)
            )
        }
        Action::Holders { changes } => format!("{}.", upper(&changes_text(changes))),
        Action::Pull { .. } => pull(action),
        Action::TieOff {
            string,
            tail,
            end,
            hole,
            then,
        } => {
            let freed = if then.is_empty() {
                String::new()
            } else {
                format!(" Then {}.", changes_text(then))
            };
            format!(
                "Tie off the {} after {} {}.{freed}",
                tail.label(),
                string.label(),
                place(*end, *hole)
            )
        }
        Action::Straighten => "Straighten all strings and look over the weave.".to_owned(),
        Action::Unmount => "Take the racket off the machine without waiting.".to_owned(),
        Action::Stencil => "Paint the stencil; drying and bagging belong to the time.".to_owned(),
        Action::Accessory => "Put on what the wish asks for besides strings.".to_owned(),
        Action::Check => "Check weave, tie-offs and grommets.".to_owned(),
        Action::AsOnFrame { pulled } => format!(
            "String the {} in the order of the maker's sheet: this frame's order is not on record.",
            pulled_label(*pulled)
        ),
    }
}

const fn pulled_label(pulled: Pulled) -> &'static str {
    match pulled {
        Pulled::Mains => "mains",
        Pulled::Crosses => "crosses",
    }
}

fn cut(piece: Piece, at_least_mm: Option<u32>) -> String {
    match at_least_mm {
        Some(length) => format!("Cut the {}: at least {}.", piece.label(), metres(length)),
        None => format!(
            "Cut the {}: length not known, measure along the old string.",
            piece.label()
        ),
    }
}

/// "6.50 m": lengths to cut are told in metres and centimetres.
#[must_use]
pub fn metres(length_mm: u32) -> String {
    format!("{:.2} m", f64::from(length_mm) / 1000.0)
}

fn thread(strings: &[StringRef], tail: Option<Tail>) -> String {
    let labels: Vec<String> = strings.iter().map(|string| string.label()).collect();
    match tail {
        Some(tail) => format!("Thread {} with the {}.", labels.join(", "), tail.label()),
        None => format!("Thread {}, centre loop between them.", labels.join(" and ")),
    }
}

fn cross_list(crosses: &[u16]) -> String {
    let numbers: Vec<String> = crosses.iter().map(u16::to_string).collect();
    if crosses.len() == 1 {
        format!("cross {}", numbers.join(""))
    } else {
        format!("crosses {}", numbers.join(", "))
    }
}

/// "at head 6 A", or how to find the place when it is not on record.
fn place(end: RacketEnd, hole: Option<HoleRef>) -> String {
    match hole {
        Some(hole) => format!("at {}", hole_label(hole)),
        None => format!("at the {}: {FIND_THE_HOLE}", end.name()),
    }
}

/// "head 7 A", "throat 9".
#[must_use]
pub fn hole_label(hole: HoleRef) -> String {
    let side = hole
        .side
        .map(|side| format!(" {}", side.letter()))
        .unwrap_or_default();
    format!("{} {}{side}", hole.end.name(), hole.hole)
}

fn pull(action: &Action) -> String {
    let Action::Pull {
        string,
        tail,
        at_loop,
        threads_first,
        again,
        slow,
        knot_extra,
        while_pulled,
    } = action
    else {
        return String::new();
    };
    let mut text = String::new();
    if *threads_first {
        text += "Thread and pull ";
    } else if *again {
        text += "Pull again ";
    } else {
        text += "Pull ";
    }
    text += &string.label();
    if *at_loop {
        text += " by the loop to the next cross";
    } else if *again || (matches!(string, StringRef::Cross { .. }) && *tail == Tail::Short) {
        text += &format!(" by the {}", tail.label());
    }
    if *slow {
        text += ", slowly";
    }
    if *knot_extra {
        text += ", with the knot extra";
    }
    if !while_pulled.is_empty() {
        text += &format!("; {}", changes_text(while_pulled));
    }
    text + "."
}

/// Changes in order; a clamp that comes off and goes on again moves.
fn changes_text(changes: &[HolderChange]) -> String {
    let mut parts = Vec::new();
    let mut index = 0;
    while let Some(change) = changes.get(index) {
        if let Some(next) = changes.get(index + 1)
            && change.change == OnOff::TakeOff
            && next.change == OnOff::PutOn
            && change.holder == next.holder
            && change.string != next.string
        {
            parts.push(format!(
                "move {} from {} to {}",
                change.holder.label(),
                change.string.label(),
                next.string.label()
            ));
            index += 2;
            continue;
        }
        parts.push(change_text(change));
        index += 1;
    }
    parts.join(", then ")
}

fn change_text(change: &HolderChange) -> String {
    let string = change.string.label();
    match (change.change, change.holder) {
        (OnOff::PutOn, Holder::MachineClamp { .. }) => format!("set {} on {string}", change.holder.label()),
        (OnOff::PutOn, Holder::StartingClamp { .. }) => format!(
            "set {} with its pad outside the frame on the {} where it leaves {string}",
            change.holder.label(),
            change.towards.label()
        ),
        (OnOff::TakeOff, _) => format!("take {} off {string}", change.holder.label()),
    }
}

pub(super) fn upper(text: &str) -> String {
    let mut letters = text.chars();
    letters
        .next()
        .map(|first| first.to_uppercase().chain(letters).collect())
        .unwrap_or_default()
}
