//! The whole work as numbered steps: preparation, stringing, finish.
use crate::spec::{CutMeasured, PreStretch, Spec};
use crate::string_plan::order::{Draft, Layout, stringing};
use crate::string_plan::plan::{Caution, Cut, MachineValues};
use crate::string_plan::sentences::sentence;
use crate::string_plan::steps::{Action, Phase, Piece, Pulled, Step, StringRef, Tail};
use crate::weave_method::WeaveMethod;

/// All steps; without `layout` the order of the bed is left to the frame's sheet.
pub(crate) fn steps(
    spec: &Spec,
    layout: Option<&Layout>,
    cuts: &[Cut],
    machine: &MachineValues,
) -> Vec<Step> {
    let mut drafts = prep(spec, cuts);
    if !spec.cut_out_only {
        let bed = layout.map_or_else(as_on_frame, stringing);
        drafts.extend(with_settings(bed, spec, machine));
        drafts.extend(finish(spec));
    }
    let mut number = 0;
    drafts
        .into_iter()
        .map(|draft| {
            number += 1;
            Step {
                number,
                phase: draft.phase,
                text: sentence(&draft.action),
                action: draft.action,
                cautions: Vec::new(),
            }
        })
        .collect()
}

const fn draft(phase: Phase, action: Action) -> Draft {
    Draft { phase, action }
}

fn prep(spec: &Spec, cuts: &[Cut]) -> Vec<Draft> {
    let mut actions = vec![Action::Inspect];
    if spec.read_old_bed_first {
        actions.push(Action::ReadOldBed);
    }
    actions.push(Action::CutOut);
    if !spec.cut_out_only {
        actions.push(Action::Mount);
        for cut in cuts {
            let part = if cut.piece == Piece::Crosses {
                &spec.crosses
            } else {
                &spec.mains
            };
            let cut_action = Action::CutString {
                piece: cut.piece,
                at_least_mm: cut.at_least_mm,
            };
            match part.pre_stretch {
                PreStretch::ByHand {
                    percent,
                    cut_measured,
                } => {
                    let stretch = Action::StretchByHand {
                        piece: cut.piece,
                        percent,
                    };
                    if cut_measured == CutMeasured::Before {
                        actions.extend([cut_action, stretch]);
                    } else {
                        actions.extend([stretch, cut_action]);
                    }
                }
                _ => actions.push(cut_action),
            }
        }
    }
    actions
        .into_iter()
        .map(|action| draft(Phase::Prep, action))
        .collect()
}

fn as_on_frame() -> Vec<Draft> {
    vec![
        draft(
            Phase::Mains,
            Action::AsOnFrame {
                pulled: Pulled::Mains,
            },
        ),
        draft(
            Phase::Crosses,
            Action::AsOnFrame {
                pulled: Pulled::Crosses,
            },
        ),
    ]
}

fn finish(spec: &Spec) -> Vec<Draft> {
    let mut actions = vec![Action::Straighten, Action::Unmount];
    if spec.stencil.is_some() {
        actions.push(Action::Stencil);
    }
    let accessories = spec.string_savers
        || spec.shoulder_pads
        || spec.return_dampener
        || spec.tension_label
        || spec.grip.is_some()
        || spec.grommets.is_some()
        || spec.lead.is_some();
    if accessories {
        actions.push(Action::Accessory);
    }
    actions.push(Action::Check);
    actions
        .into_iter()
        .map(|action| draft(Phase::Finish, action))
        .collect()
}

/// What a pull is, main or cross, decides the setting.
const fn pulled(action: &Action) -> Option<Pulled> {
    match action {
        Action::Pull { string, .. } => Some(match string {
            StringRef::Main { .. } => Pulled::Mains,
            StringRef::Cross { .. } => Pulled::Crosses,
        }),
        Action::AsOnFrame { pulled } => Some(*pulled),
        _ => None,
    }
}

/// Puts a setting of the machine before each pull that needs another one.
fn with_settings(bed: Vec<Draft>, spec: &Spec, machine: &MachineValues) -> Vec<Draft> {
    let setting = |pulled: Pulled| {
        let (value, part) = match pulled {
            Pulled::Mains => (&machine.mains, &spec.mains),
            Pulled::Crosses => (&machine.crosses, &spec.crosses),
        };
        let pre_stretch_percent = match part.pre_stretch {
            PreStretch::ByMachine { percent } => Some(percent),
            _ => None,
        };
        (value.set.clone(), value.unit, pre_stretch_percent)
    };
    let mut current = None;
    let mut drafts = Vec::with_capacity(bed.len() + 4);
    for step in bed {
        if let Some(pulled) = pulled(&step.action) {
            let needed = setting(pulled);
            if current.as_ref() != Some(&needed) {
                let (value, unit, pre_stretch_percent) = needed.clone();
                drafts.push(draft(
                    step.phase,
                    Action::SetMachine {
                        pulled,
                        value,
                        unit,
                        pre_stretch_percent,
                    },
                ));
                current = Some(needed);
            }
        }
        drafts.push(step);
    }
    drafts
}

/// Marks on each step the cautions that bite there.
pub(crate) fn place_cautions(steps: &mut [Step], cautions: &[Caution], method: WeaveMethod) {
    // how much string goes to either side of the start cross hangs on it
    let cut_by_start_cross = matches!(method, WeaveMethod::StartCrossBack | WeaveMethod::TopsOnShortSide);
    for step in steps {
        let codes: &[&'static str] = match &step.action {
            Action::Inspect => &["inspect_frame", "badminton_supports"],
            Action::CutOut => &["eye_protection", "cut_out_evenly"],
            Action::Mount => &["badminton_supports", "machine_today"],
            Action::CutString { .. } if cut_by_start_cross => &["recorded_cut_short", "start_cross_check"],
            Action::CutString { .. } => &["recorded_cut_short"],
            Action::Thread { .. } => &["shared_hole", "squash_fanned_mains"],
            Action::Weave {
                tail: Tail::Short, ..
            } => &["weave_from_bed", "pulls_towards_head"],
            Action::Holders { .. } => &["first_clamp_not_backed"],
            Action::Pull {
                string: StringRef::Main { .. },
                slow: true,
                ..
            } => &["last_main_under"],
            Action::Pull { slow: true, .. } => &["slow_at_shoulder", "slack_dragged_back"],
            _ => &[],
        };
        let piece = match &step.action {
            Action::CutString { piece, .. } => Some(*piece),
            _ => None,
        };
        let given = |code: &&'static str| {
            cautions
                .iter()
                .any(|caution| caution.code == *code && (caution.piece.is_none() || caution.piece == piece))
        };
        step.cautions = codes.iter().copied().filter(given).collect();
    }
}
