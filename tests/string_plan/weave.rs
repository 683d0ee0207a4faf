//! The plain weave of a plan, counted over again from the outermost main of the bed.
use weftdesk::craft::frame::Side;
use weftdesk::craft::string_plan::Plan;
use weftdesk::craft::weave_method::WeaveMethod;

/// Whether the weave of `plan` is plain, whole-bed counted and, with tops, over the long side's outer main.
pub(crate) fn plain(plan: &Plan) -> Result<(), String> {
    let mains = usize::from(plan.frame.mains);
    // an even bed: neighbours alternate, so its two outermost mains are met differently
    for pair in plan.weave.crosses.windows(2) {
        if pair[0].over_outer_a == pair[1].over_outer_a || pair[0].over_outer_b == pair[1].over_outer_b {
            return Err(format!(
                "crosses {} and {} pass alike",
                pair[0].cross, pair[1].cross
            ));
        }
    }
    for cross in &plan.weave.crosses {
        if (cross.over_outer_a == cross.over_outer_b) == mains.is_multiple_of(2) {
            return Err(format!("cross {} does not alternate across the bed", cross.cross));
        }
        if let (Some(first), Some(over)) = (cross.first_met_on_a, cross.over_first_met_on_a) {
            // walk from the outermost main inwards, over and under in turn
            let missed = mains / 2 - usize::from(first);
            let walked = (0..missed).fold(cross.over_outer_a, |over, _| !over);
            if walked != over {
                return Err(format!(
                    "cross {} is counted from the first main it meets",
                    cross.cross
                ));
            }
        }
    }
    if plan.method.method == WeaveMethod::TopsOnShortSide {
        let start = usize::from(plan.start_cross.value.ok_or("no start cross")?);
        let cross = &plan.weave.crosses[start - 1];
        let over_long = match plan.short_side.as_ref().ok_or("no short side")?.side {
            Side::A => cross.over_outer_b,
            Side::B => cross.over_outer_a,
        };
        if !over_long {
            return Err("the start cross passes under the long side's outer main".to_owned());
        }
    }
    Ok(())
}
