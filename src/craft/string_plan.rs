//! The string plan: how to string this frame to this wish.
//!
//! Pure and deterministic: the same request gives the same plan. What is not
//! known is listed, what is asked against a rule is refused with the way out.

mod assemble;
mod cautions;
pub(crate) mod choices;
mod choose_method;
pub mod estimate;
pub mod fault;
mod figures;
pub mod in_short;
pub mod interlacing;
pub mod machine_value;
pub mod methods;
pub mod order;
pub mod plan;
mod range;
pub mod request;
pub mod sentences;
mod sport_limits;
pub mod steps;
mod stock;
mod string_stretch;
pub mod text;
mod unknowns;
mod validate;
mod work_order;

pub use fault::PlanFault;
pub use plan::Plan;
pub use request::PlanRequest;

/// Makes the plan of `request`.
///
/// # Errors
/// Every [`PlanFault`] found, each with the field, the reason and the way out.
pub fn plan(request: &PlanRequest) -> Result<Plan, Vec<PlanFault>> {
    let faults = validate::check(request);
    if !faults.is_empty() {
        return Err(faults);
    }
    let mut outside = range::check(request);
    outside.extend(sport_limits::check(&request.frame));
    if !outside.is_empty() && request.insist.is_none() {
        return Err(outside);
    }
    assemble::assemble(request, &outside).map_err(|fault| vec![fault])
}
