//! The steps in short, for a small sheet of paper: what repeats from string to string is said once.
use crate::frame::Side;
use crate::string_plan::sentences::FIND_THE_HOLE;
use crate::string_plan::steps::{Action, Holder, HolderChange, OnOff, Step, StringRef, Tail};

/// What the second and every further search for a hole reads.
const AS_BEFORE: &str = "find the hole as above and record it";
/// Fewer mains than this are no run.
const FEWEST_MAINS: usize = 3;
/// Fewer crosses than this are no run.
const FEWEST_CROSSES: usize = 2;

/// One line of the sheet: a step, or a run of steps that are alike.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ShortStep {
    /// The number of its first step in the plan.
    pub first: u16,
    /// The number of its last step in the plan.
    pub last: u16,
    /// What is done.
    pub text: String,
    /// Codes of the cautions that bite in any of its steps.
    pub cautions: Vec<&'static str>,
}

/// All steps, in order, none left out.
#[must_use]
pub fn in_short(steps: &[Step]) -> Vec<ShortStep> {
    let mut lines = Vec::new();
    let mut rest = steps;
    let mut searched = false;
    while let Some(step) = rest.first() {
        let (taken, mut text) = run_of_mains(rest)
            .or_else(|| run_of_crosses(rest))
            .unwrap_or_else(|| (1, step.text.clone()));
        if searched {
            text = text.replace(FIND_THE_HOLE, AS_BEFORE);
        }
        searched |= text.contains(FIND_THE_HOLE);
        let (these, after) = rest.split_at(taken);
        let mut cautions: Vec<&'static str> = Vec::new();
        for code in these.iter().flat_map(|one| &one.cautions) {
            if !cautions.contains(code) {
                cautions.push(code);
            }
        }
        lines.push(ShortStep {
            first: step.number,
            last: these.last().map_or(step.number, |last| last.number),
            text,
            cautions,
        });
        rest = after;
    }
    lines
}

/// A main that is threaded and pulled while its side's clamp comes over from the main before.
struct MainPull {
    side: Side,
    number: u16,
    clamp: Holder,
    slow: bool,
}

fn main_pull(step: &Step) -> Option<MainPull> {
    let Action::Pull {
        string: StringRef::Main { side, number },
        at_loop: false,
        threads_first: true,
        again: false,
        slow,
        knot_extra: false,
        while_pulled,
        ..
    } = &step.action
    else {
        return None;
    };
    let (clamp, from) = moved(while_pulled, step_string(step)?)?;
    let before = StringRef::Main {
        side: *side,
        number: number.checked_sub(1)?,
    };
    (from == before).then_some(MainPull {
        side: *side,
        number: *number,
        clamp,
        slow: *slow,
    })
}

fn step_string(step: &Step) -> Option<StringRef> {
    match &step.action {
        Action::Pull { string, .. } => Some(*string),
        _ => None,
    }
}

/// The clamp that moves to `to` and nothing else does, and the string it leaves.
fn moved(changes: &[HolderChange], to: StringRef) -> Option<(Holder, StringRef)> {
    let [off, on] = changes else { return None };
    let moves = off.change == OnOff::TakeOff
        && on.change == OnOff::PutOn
        && off.holder == on.holder
        && on.string == to
        && matches!(off.holder, Holder::MachineClamp { .. });
    moves.then_some((off.holder, off.string))
}

fn run_of_mains(steps: &[Step]) -> Option<(usize, String)> {
    let first = main_pull(steps.first()?)?;
    let mut clamps: Vec<(Side, Holder)> = Vec::new();
    let mut labels: Vec<String> = Vec::new();
    for step in steps {
        let Some(pull) = main_pull(step) else { break };
        let known = clamps.iter().find(|(side, _)| *side == pull.side);
        let another_clamp = known.is_some_and(|(_, clamp)| *clamp != pull.clamp);
        if another_clamp || pull.slow != first.slow || step.cautions != steps[0].cautions {
            break;
        }
        if known.is_none() {
            clamps.push((pull.side, pull.clamp));
        }
        labels.push(format!("{}{}", pull.number, pull.side.letter()));
    }
    if labels.len() < FEWEST_MAINS {
        return None;
    }
    clamps.sort_by_key(|(side, _)| side.letter());
    let clamps: Vec<String> = clamps
        .iter()
        .map(|(side, clamp)| format!("{} on side {}", clamp.label(), side.letter()))
        .collect();
    let slowly = if first.slow { ", slowly" } else { "" };
    let text = format!(
        "Thread and pull in this order{slowly}: {}. At each move its side's clamp over from the main before: {}.",
        labels.join(" "),
        clamps.join(", ")
    );
    Some((labels.len(), text))
}

/// A cross that is woven, then pulled while a clamp comes over from the cross before.
#[derive(Clone, Copy)]
struct CrossPair {
    number: u16,
    before: u16,
    from_side: Side,
    tail: Tail,
    clamp: Holder,
    slow: bool,
}

fn cross_pair(weave: &Step, pulled: &Step) -> Option<CrossPair> {
    let Action::Weave {
        crosses,
        tail,
        from_side,
    } = &weave.action
    else {
        return None;
    };
    let Action::Pull {
        string: string @ StringRef::Cross { number },
        tail: pulled_by,
        at_loop: false,
        threads_first: false,
        again: false,
        slow,
        knot_extra: false,
        while_pulled,
    } = &pulled.action
    else {
        return None;
    };
    let (clamp, StringRef::Cross { number: before }) = moved(while_pulled, *string)? else {
        return None;
    };
    (crosses.as_slice() == [*number] && tail == pulled_by).then_some(CrossPair {
        number: *number,
        before,
        from_side: *from_side,
        tail: *tail,
        clamp,
        slow: *slow,
    })
}

fn run_of_crosses(steps: &[Step]) -> Option<(usize, String)> {
    let [weave, pulled, ..] = steps else { return None };
    let first = cross_pair(weave, pulled)?;
    let mut last = first;
    let mut count = 1;
    for pair in steps[2..].chunks_exact(2) {
        let Some(next) = cross_pair(&pair[0], &pair[1]) else {
            break;
        };
        let goes_on = next.before == last.number
            && next.number.abs_diff(last.number) == 1
            && (next.number > last.number) == (first.number > first.before)
            && next.from_side != last.from_side
            && next.tail == first.tail
            && next.clamp == first.clamp
            && next.slow == first.slow
            && pair[0].cautions == weave.cautions
            && pair[1].cautions == pulled.cautions;
        if !goes_on {
            break;
        }
        last = next;
        count += 1;
    }
    if count < FEWEST_CROSSES || first.number.abs_diff(first.before) != 1 {
        return None;
    }
    let slowly = if first.slow { " slowly" } else { "" };
    // as in the steps themselves, the long end needs no word
    let by = if first.tail == Tail::Short {
        " by the short tail"
    } else {
        ""
    };
    let text = format!(
        "Crosses {} to {}, one by one: weave with the {tail}, {} in from side {} and then from each side in turn; pull{slowly}{by}; move {} over from the cross before.",
        first.number,
        last.number,
        first.number,
        first.from_side.letter(),
        first.clamp.label(),
        tail = first.tail.label(),
    );
    Some((2 * count, text))
}
