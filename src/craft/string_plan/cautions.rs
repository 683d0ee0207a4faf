//! What to mind: safety first, then what this frame, string and machine bring.
use crate::frame::contradictions::contradictions;
use crate::machine::{ClampKind, PullKind};
use crate::spec::{Material, Pieces};
use crate::sport::Sport;
use crate::string_plan::fault::{FaultCode, PlanFault};
use crate::string_plan::plan::{Caution, Cut, ShortSide, StartCross, Weave};
use crate::string_plan::request::PlanRequest;
use crate::string_plan::sentences::hole_label;
use crate::string_plan::steps::Piece;
use crate::string_plan::validate::unusual_pre_stretch;
use crate::tension::TensionUnit;
use crate::weave_method::WeaveMethod;

/// What cautions are drawn from.
pub(crate) struct Grounds<'a> {
    pub(crate) request: &'a PlanRequest,
    pub(crate) method: WeaveMethod,
    pub(crate) cuts: &'a [Cut],
    pub(crate) start_cross: &'a StartCross,
    pub(crate) weave: &'a Weave,
    pub(crate) short_side: Option<&'a ShortSide>,
    /// Checks that a person's word set aside.
    pub(crate) overruled: &'a [PlanFault],
}

/// Every caution, the frame's own first.
pub(crate) fn cautions(grounds: &Grounds<'_>) -> Vec<Caution> {
    let mut list = List(Vec::new());
    record(grounds, &mut list);
    lengths(grounds, &mut list);
    tensions(grounds, &mut list);
    method(grounds, &mut list);
    machine(grounds, &mut list);
    strings(grounds, &mut list);
    always(grounds, &mut list);
    list.0
}

struct List(Vec<Caution>);

impl List {
    fn add(&mut self, code: &'static str, text: impl Into<String>) {
        self.0.push(Caution {
            code,
            text: text.into(),
            piece: None,
        });
    }

    fn add_of(&mut self, piece: Piece, code: &'static str, text: impl Into<String>) {
        self.0.push(Caution {
            code,
            text: text.into(),
            piece: Some(piece),
        });
    }
}

fn record(grounds: &Grounds<'_>, list: &mut List) {
    let frame = &grounds.request.frame;
    for found in contradictions(frame)
        .into_iter()
        .filter(|found| found.usable_without)
    {
        list.add(
            "frame_contradicts_itself",
            format!(
                "Frame record contradicts itself ({}): {}; taken as not known.",
                found.pointer, found.detail
            ),
        );
    }
    for hole in &frame.pattern.shared_holes {
        list.add(
            "shared_hole",
            format!(
                "Shared hole {}: keep the path open when the first string goes in (blunt tool or a scrap of string), no sharp awl; thread the second with a cut point.",
                hole_label(*hole)
            ),
        );
    }
    start_cross(grounds, list);
    match frame.sport {
        Sport::Badminton => {
            list.add(
                "badminton_supports",
                "All supports and load pads touch the frame without forcing it; look over every grommet, replace single ones as routine.",
            );
        }
        Sport::Squash => list.add(
            "squash_fanned_mains",
            "Where mains fan out turn the clamps to each string.",
        ),
        Sport::Tennis => {}
    }
}

fn start_cross(grounds: &Grounds<'_>, list: &mut List) {
    let start = grounds.start_cross;
    if start.check_on_frame && start.close_call {
        list.add(
            "start_cross_check",
            "Start cross too close to call from geometry (within 3 mm of the next one): count it on the frame before cutting and record it.",
        );
    } else if start.check_on_frame {
        list.add(
            "start_cross_check",
            "Start cross: count it on the frame before cutting and record it.",
        );
    }
    let positions = grounds.request.frame.positions_mm.as_ref();
    let measured = positions.is_some_and(|places| !places.mains_x.is_empty() && !places.crosses_y.is_empty());
    if let (Some(value), Some(proposed)) = (start.value, start.proposed)
        && value != proposed
        && measured
        && !start.close_call
    {
        list.add(
            "start_cross_differs",
            format!(
                "The record says start cross {value}, the measured positions say {proposed}: count again; the record is taken."
            ),
        );
    }
}

fn lengths(grounds: &Grounds<'_>, list: &mut List) {
    for cut in grounds.cuts {
        if let (Some(at_least), Some(computed)) = (cut.at_least_mm, cut.computed_at_least_mm)
            && at_least < computed
        {
            list.add_of(
                cut.piece,
                "recorded_cut_short",
                format!(
                    "The recorded cut of the {} is {} mm shorter than the safe computed one ({computed} mm).",
                    cut.piece.label(),
                    computed - at_least
                ),
            );
        }
    }
    if let Some(short) = grounds.short_side
        && let (Some(at_least), Some(computed)) = (short.at_least_mm, short.computed_at_least_mm)
        && at_least < computed
    {
        list.add_of(
            Piece::OnePiece,
            "recorded_cut_short",
            format!(
                "The recorded short side is {} mm shorter than the safe computed one ({computed} mm).",
                computed - at_least
            ),
        );
    }
}

/// Mains and crosses further apart than this strain the frame's shape (common practice, no source).
const APART_SHARE: f64 = 0.10;
const APART_KG: f64 = 3.0;

fn tensions(grounds: &Grounds<'_>, list: &mut List) {
    let spec = &grounds.request.spec;
    let (mains, crosses) = (
        spec.mains.tension.newtons().get(),
        spec.crosses.tension.newtons().get(),
    );
    let apart = (mains - crosses).abs();
    if apart > APART_SHARE * mains.max(crosses) + 1e-9 || apart > APART_KG * TensionUnit::Kg.newtons() + 1e-9
    {
        list.add(
            "tensions_far_apart",
            format!(
                "Mains and crosses differ by {:.1} kg ({:.0} %): it can change the frame's shape; read it back to the owner.",
                apart / TensionUnit::Kg.newtons(),
                100.0 * apart / mains.max(crosses)
            ),
        );
    }
    let outside_limits = |fault: &&PlanFault| fault.code == FaultCode::OutsideSportLimits;
    if !grounds.overruled.iter().all(|fault| outside_limits(&fault)) {
        list.add(
            "outside_range_by_wish",
            "Tension outside the range by the owner's word, at their own risk.",
        );
    }
    if grounds.overruled.iter().any(|fault| outside_limits(&fault)) {
        list.add(
            "outside_sport_limits",
            "The frame is larger than the rules of its sport allow: not for a match under those rules.",
        );
    }
    for (name, part) in [("mains", &spec.mains), ("crosses", &spec.crosses)] {
        if unusual_pre_stretch(part) {
            list.add(
                "polyester_pre_stretch",
                format!("Pre-stretch of the {name} is asked for; it is not usual with polyester."),
            );
        }
    }
}

fn method(grounds: &Grounds<'_>, list: &mut List) {
    match grounds.method {
        WeaveMethod::HeadDown => list.add(
            "slow_at_shoulder",
            "Pull slowly in the shoulder zone, where outer mains and tops meet: strings burn there.",
        ),
        WeaveMethod::StartCrossBack => {
            if grounds.request.frame.pattern.pulls_towards_head == Some(false) {
                list.add(
                    "slack_dragged_back",
                    "By the loops: the slack of the tail is dragged back through the top crosses; pull slowly.",
                );
            } else {
                list.add(
                    "pulls_towards_head",
                    "The pulls from the start cross to cross 1 run towards the head.",
                );
            }
            list.add(
                "weave_from_bed",
                format!(
                    "Weave the start cross {} the outermost main of side A, counted from the bed: cross 1 meets fewer mains.",
                    start_cross_over_a(grounds)
                ),
            );
        }
        WeaveMethod::TopsOnShortSide => {
            list.add(
                "pulls_towards_head",
                "The short side's pulls from the start cross to cross 1 run towards the head.",
            );
            list.add(
                "last_main_under",
                "Last main: under the installed start cross, pull slowly and downwards; it drags the whole long end.",
            );
        }
        WeaveMethod::Around => list.add(
            "last_weave_between_tight_crosses",
            "The last weave lies between two tight crosses; the last cross meets the far outer main only if that main reaches it.",
        ),
        WeaveMethod::ThroatUp => list.add(
            "throat_shoulders",
            "The throat shoulders are tight too: pull slowly there and at the head.",
        ),
    }
}

fn start_cross_over_a(grounds: &Grounds<'_>) -> &'static str {
    let over = grounds
        .start_cross
        .value
        .and_then(|number| grounds.weave.crosses.get(usize::from(number).checked_sub(1)?))
        .is_some_and(|cross| cross.over_outer_a);
    if over { "over" } else { "under" }
}

fn machine(grounds: &Grounds<'_>, list: &mut List) {
    let Some(machine) = &grounds.request.machine else {
        return;
    };
    if machine.starting_clamps == Some(0) {
        list.add(
            "first_clamp_not_backed",
            "No starting clamp backs the first clamp: watch it for slip while the first main is pulled.",
        );
    }
    if machine.clamps == ClampKind::Flying {
        list.add(
            "flying_clamps",
            "Flying clamps hold a string against a tensioned neighbour: until the first cross has one, back them with a starting clamp.",
        );
    }
    if machine.pull == PullKind::Lockout {
        list.add(
            "lockout",
            "Lockout: the string relaxes once locked; clamp without waiting, the same way each time.",
        );
    }
}

fn strings(grounds: &Grounds<'_>, list: &mut List) {
    let spec = &grounds.request.spec;
    let materials = [spec.mains.string.material, spec.crosses.string.material];
    let has = |material: Material| materials.contains(&Some(material));
    if has(Material::NaturalGut) {
        list.add(
            "gut",
            "Gut: no kinks; do not drag it over dry nylon or other strings.",
        );
    }
    if has(Material::Aramid) || has(Material::Polyester) {
        list.add(
            "cuts_skin",
            "Aramid and thin polyester cut skin: do not wind them round a hand.",
        );
    }
}

/// The usual cautions of the trade, each time.
fn always(grounds: &Grounds<'_>, list: &mut List) {
    list.add("eye_protection", "Eye protection when cutting out and pulling.");
    list.add(
        "inspect_frame",
        "Look for cracks in hoop, grommets and bumper first; refuse a cracked frame or get a signed consent.",
    );
    list.add(
        "cut_out_evenly",
        "Cut out from the centre outwards, mains and crosses in turn; never one side alone.",
    );
    if grounds.request.spec.pieces == Pieces::Two || grounds.method == WeaveMethod::HeadDown {
        list.add(
            "mains_alone",
            "Do not leave a frame with its mains alone: after 15 minutes the coordinator decides, finish or cut out.",
        );
    }
    list.add(
        "mark_at_clamp",
        "Mark the string at the clamps to see slip; an awl goes through open holes alone.",
    );
    list.add(
        "machine_today",
        "Check that the machine was calibrated today, at about this tension.",
    );
    list.add("makers_limits", "The frame maker's sheet stands above this plan.");
}
