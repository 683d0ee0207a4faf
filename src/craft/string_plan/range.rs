//! Whether the asked tensions are inside what frame and sport allow.
use crate::sport::Sport;
use crate::string_plan::fault::{FaultCode, PlanFault, Suggestion};
use crate::string_plan::request::PlanRequest;
use crate::tension::{Tension, TensionUnit};

/// Lowest and highest tension, N, and how it is told.
struct Allowed {
    min_n: f64,
    max_n: f64,
    told: String,
}

/// What a sport's rackets plausibly take when the frame has no range on record, kg.
///
/// Common practice, no source; wide, to catch wrong units alone.
const fn plausible_kg(sport: Sport) -> (f64, f64) {
    match sport {
        Sport::Tennis => (9.0, 36.0),
        Sport::Badminton => (7.0, 17.0),
        Sport::Squash => (6.0, 17.0),
    }
}

/// Faults of both tensions; a knot extra counts. Equality passes.
pub(crate) fn check(request: &PlanRequest) -> Vec<PlanFault> {
    let allowed = allowed(request);
    let extra_n = request
        .spec
        .knot_extra
        .as_ref()
        .map_or(0.0, |extra| extra.newtons().get());
    [
        ("/spec/mains/tension", &request.spec.mains.tension),
        ("/spec/crosses/tension", &request.spec.crosses.tension),
    ]
    .into_iter()
    .filter_map(|(pointer, asked)| fault(pointer, asked, extra_n, &allowed))
    .collect()
}

fn allowed(request: &PlanRequest) -> Allowed {
    if let Some(range) = &request.frame.tension_range
        && let (Ok(min), Ok(max)) = (
            Tension::parse(&range.min, range.unit),
            Tension::parse(&range.max, range.unit),
        )
    {
        return Allowed {
            min_n: min.newtons().get(),
            max_n: max.newtons().get(),
            told: format!(
                "this frame's range {}-{} {}",
                range.min,
                range.max,
                range.unit.symbol()
            ),
        };
    }
    let (min, max) = plausible_kg(request.frame.sport);
    let newtons = TensionUnit::Kg.newtons();
    Allowed {
        min_n: min * newtons,
        max_n: max * newtons,
        told: format!(
            "{min}-{max} kg, what {} rackets take (this frame has no range on record)",
            request.frame.sport.name()
        ),
    }
}

/// Rounding in the conversion of units must not refuse what is exactly at the limit.
const EQUAL_N: f64 = 1e-9;

impl Allowed {
    fn holds(&self, lowest_n: f64, highest_n: f64) -> bool {
        lowest_n >= self.min_n - EQUAL_N && highest_n <= self.max_n + EQUAL_N
    }
}

fn fault(pointer: &str, asked: &Tension, extra_n: f64, allowed: &Allowed) -> Option<PlanFault> {
    let asked_n = asked.newtons().get();
    if allowed.holds(asked_n, asked_n + extra_n) {
        return None;
    }
    let meant = [TensionUnit::Kg, TensionUnit::Lb, TensionUnit::N]
        .into_iter()
        .filter(|unit| *unit != asked.unit())
        .filter_map(|unit| Tension::parse(asked.value(), unit).ok())
        .find(|other| {
            let other_n = other.newtons().get();
            allowed.holds(other_n, other_n + extra_n)
        });
    let with_extra = if extra_n > 0.0 && asked_n <= allowed.max_n {
        " with its knot extra"
    } else {
        ""
    };
    let where_it_lies = if asked_n + extra_n > allowed.max_n {
        "above"
    } else {
        "below"
    };
    let mut detail = format!(
        "{} {}{with_extra} is {where_it_lies} {}.",
        asked.value(),
        asked.unit().symbol(),
        allowed.told
    );
    match &meant {
        Some(other) => {
            let same_as = if other.unit() == TensionUnit::Kg {
                TensionUnit::Lb
            } else {
                TensionUnit::Kg
            };
            detail += &format!(
                " Did you mean {} {} ({:.1} {})?",
                other.value(),
                other.unit().symbol(),
                other.in_unit(same_as),
                same_as.symbol()
            );
        }
        None => detail += " Ask the owner; if they insist, send `override` with a reason.",
    }
    Some(PlanFault {
        pointer: pointer.to_owned(),
        code: if meant.is_some() {
            FaultCode::UnitSuspect
        } else {
            FaultCode::TensionOutOfRange
        },
        detail,
        suggestion: meant.as_ref().map(Suggestion::from),
        override_allowed: true,
    })
}
