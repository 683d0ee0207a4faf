//! Which of the allowed weave methods is taken, by whose word.
use crate::spec::Pieces;
use crate::string_plan::fault::{FaultCode, PlanFault};
use crate::string_plan::methods::{ALL, ChosenBy, MethodVerdict};
use crate::string_plan::request::PlanRequest;
use crate::weave_method::WeaveMethod;

/// The method to take: frame rule, wish, bench, last racket, habit, policy, else the first allowed.
pub(crate) fn choose(
    request: &PlanRequest,
    verdicts: &[MethodVerdict],
) -> Result<(WeaveMethod, ChosenBy), PlanFault> {
    let allowed = |method: &WeaveMethod| {
        verdicts
            .iter()
            .any(|verdict| verdict.method == *method && verdict.allowed)
    };
    if let Some(wish) = request.spec.method.filter(|wish| !allowed(wish)) {
        return Err(wish_refused(wish, verdicts));
    }
    let policy = request
        .policy
        .as_ref()
        .and_then(|policy| match request.spec.pieces {
            Pieces::One => policy.one_piece,
            Pieces::Two => policy.two_piece,
        });
    let prescribed = &request.frame.pattern.methods;
    let wanted = [
        (
            prescribed
                .iter()
                .copied()
                .find(|method| prescribed.len() == 1 && allowed(method)),
            ChosenBy::FrameRule,
        ),
        (request.spec.method, ChosenBy::OwnerWish),
        (request.bench_method, ChosenBy::Bench),
        (request.last_method, ChosenBy::LastRacket),
        (
            request.stringer.as_ref().and_then(|habits| habits.method),
            ChosenBy::StringerHabit,
        ),
        (policy, ChosenBy::Policy),
    ];
    for (method, by) in wanted {
        if let Some(method) = method.filter(&allowed) {
            return Ok((method, by));
        }
    }
    ALL.into_iter()
        .find(|method| allowed(method))
        .map(|method| (method, ChosenBy::FirstAllowed))
        .ok_or_else(|| {
            let told: Vec<String> = ALL
                .iter()
                .map(|method| format!("{}: {}", method.words(), why_not(verdicts, *method)))
                .collect();
            PlanFault::firm(
                "/spec/pieces",
                FaultCode::NoMethodAllowed,
                format!("no weave method can be used here; {}", told.join("; ")),
            )
        })
}

fn wish_refused(wish: WeaveMethod, verdicts: &[MethodVerdict]) -> PlanFault {
    PlanFault::firm(
        "/spec/method",
        FaultCode::MethodNotAllowed,
        format!(
            "\"{}\" cannot be used here: {}.{}",
            wish.words(),
            why_not(verdicts, wish),
            instead(verdicts)
        ),
    )
}

fn why_not(verdicts: &[MethodVerdict], method: WeaveMethod) -> String {
    let texts: Vec<&str> = verdicts
        .iter()
        .filter(|verdict| verdict.method == method)
        .flat_map(|verdict| &verdict.reasons)
        .filter(|reason| reason.forbids)
        .map(|reason| reason.text.as_str())
        .collect();
    texts.join(", and ")
}

fn instead(verdicts: &[MethodVerdict]) -> String {
    let names: Vec<&str> = verdicts
        .iter()
        .filter(|verdict| verdict.allowed)
        .map(|verdict| verdict.method.words())
        .collect();
    if names.is_empty() {
        " No other method can be used either.".to_owned()
    } else {
        format!(" Allowed: {}.", names.join("; "))
    }
}
