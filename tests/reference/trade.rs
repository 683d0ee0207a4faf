//! What the trade says, held against the whole plan with what a desk would know.
use serde_json::{Value, json};
use weftdesk::craft::racket_end::RacketEnd;
use weftdesk::craft::stock::racket_lengths;
use weftdesk::craft::string_plan::plan::MethodComparison;
use weftdesk::craft::string_plan::steps::Piece;
use weftdesk::craft::string_plan::{Plan, PlanRequest, plan};
use weftdesk::craft::units::{MM_PER_FOOT, MM2_PER_SQ_INCH};

use crate::answer::{Answer, answer};
use crate::case::Case;
use crate::string_plan::{end, sport};

/// Answers whatever of the trade's figures a case expects, each from a plan.
pub(crate) fn check(case: &Case) -> Result<(), String> {
    let desk = Desk::of(case)?;
    let answers = case
        .expected()
        .map(|name| Ok((name.as_str(), desk.answer(name)?)))
        .collect::<Result<Vec<_>, String>>()?;
    case.hold(answers)
}

/// What the desk knows, as the frame and string of a plan request.
struct Desk {
    frame: Value,
    string: Value,
    racket_mm: f64,
}

impl Desk {
    fn of(case: &Case) -> Result<Self, String> {
        let sport = sport(case)?;
        let mut frame = json!({
            "sport": sport.name(), "name": "Reference",
            "mains": case.n("mains")?, "crosses": case.n("crosses")?, "pattern": {},
        });
        if case.has("inside_length_mm") {
            frame["inside_mm"] = json!({
                "length": case.f("inside_length_mm")?, "width": case.f("inside_width_mm")?,
            });
        }
        if case.has("head_area_in2") {
            frame["head_area_in2"] = json!(case.f("head_area_in2")?);
        }
        if case.has("strung_area_cm2") {
            frame["head_area_in2"] = json!(case.f("strung_area_cm2")? * 100.0 / MM2_PER_SQ_INCH);
        }
        if case.has("mains_finish_at") {
            let finish = end(case, "mains_finish_at")?;
            let loop_end = RacketEnd::loop_for_finish(finish, case.n("mains")? / 2);
            frame["pattern"]["loop_end"] = json!(loop_end);
        }
        let tension = json!({"value": case.f("tension_N")?.to_string(), "unit": "N"});
        let facts = if case.has("string") {
            string_facts(case.s("string")?)?
        } else {
            json!({})
        };
        Ok(Self {
            frame,
            string: json!({"string": facts, "tension": tension}),
            racket_mm: if case.has("racket_length_mm") {
                case.f("racket_length_mm")?
            } else {
                sport.defaults().racket_mm
            },
        })
    }

    /// The plan by `method`, or by the first way that is allowed.
    fn plan(&self, pieces: &str, method: Option<&str>) -> Result<Plan, String> {
        let mut request = json!({
            "frame": self.frame,
            "spec": {"pieces": pieces, "mains": self.string, "crosses": self.string},
        });
        if let Some(method) = method {
            request["spec"]["method"] = json!(method);
        }
        let request: PlanRequest = serde_json::from_value(request).map_err(|why| why.to_string())?;
        plan(&request).map_err(|faults| format!("{faults:?}"))
    }

    fn answer(&self, name: &str) -> Result<Answer, String> {
        let feet = |mm: f64| answer(mm / MM_PER_FOOT);
        let two = || self.plan("two", Some("head_down"));
        let reverse = || self.plan("two", Some("start_cross_back"));
        let value = match name {
            "start_cross" => answer(two()?.start_cross.value),
            "two_piece_cross_cut_ft" => feet(cut(&two()?, Piece::Crosses)?),
            "two_piece_mains_cut_ft" => feet(cut(&two()?, Piece::Mains)?),
            "reverse_start_short_tail_ft" => {
                feet(reverse()?.short_tail_mm.map(f64::from).ok_or("no short tail")?)
            }
            "two_piece_total_m" => answer(total_mm(&two()?)? / 1000.0),
            "one_piece_total_m" => answer(total_mm(&self.plan("one", None)?)? / 1000.0),
            "max_drag_normal_ft" => feet(chosen(&two()?)?.worst_pull_mm.ok_or("no drag")?),
            "max_drag_reverse_ft" => feet(chosen(&reverse()?)?.worst_pull_mm.ok_or("no drag")?),
            "reverse_over_normal_drag_sum" => {
                let sum =
                    |plan: &Plan| -> Result<f64, String> { Ok(chosen(plan)?.drag_sum_mm.ok_or("no drag")?) };
                answer(sum(&reverse()?)? / sum(&two()?)?)
            }
            "total_time_min_practised" => answer(minutes(&two()?)),
            "reverse_start_saving_min" => answer(minutes(&two()?) - minutes(&reverse()?)),
            "short_side_plain_racket_lengths" => self.short_side(None)?,
            "short_side_with_top_crosses_racket_lengths" => self.short_side(Some("tops_on_short_side"))?,
            other => return Err(format!("nothing answers output {other}")),
        };
        Ok(value)
    }

    fn short_side(&self, method: Option<&str>) -> Result<Answer, String> {
        let side = self.plan("one", method)?.short_side.ok_or("no short side")?;
        let length = side.at_least_mm.map(f64::from).ok_or("no length")?;
        Ok(answer(racket_lengths(length, self.racket_mm)))
    }
}

/// "polyester 1.25": a material in the desk's words and perhaps a gauge in mm.
fn string_facts(text: &str) -> Result<Value, String> {
    let (words, gauges): (Vec<&str>, Vec<&str>) = text
        .split_whitespace()
        .partition(|word| word.parse::<f64>().is_err());
    let material = match words.join("_").as_str() {
        "gut" => "natural_gut".to_owned(),
        "nylon_solid_core" => "nylon".to_owned(),
        other => other.to_owned(),
    };
    let mut facts = json!({"material": material});
    match gauges.as_slice() {
        [] => {}
        [gauge] => facts["gauge_mm"] = json!(gauge),
        _ => return Err(format!("two gauges in {text}")),
    }
    Ok(facts)
}

/// The computed cut of one piece, not rounded.
fn cut(plan: &Plan, piece: Piece) -> Result<f64, String> {
    let cut = plan.cuts.iter().find(|cut| cut.piece == piece);
    cut.and_then(|cut| cut.computed_mm)
        .ok_or_else(|| format!("no length of {piece:?}"))
}

fn total_mm(plan: &Plan) -> Result<f64, String> {
    let lengths = plan.cuts.iter().map(|cut| cut.computed_mm.ok_or("no length"));
    Ok(lengths.sum::<Result<f64, _>>()?)
}

/// The line of the method taken in the comparison of methods.
fn chosen(plan: &Plan) -> Result<&MethodComparison, String> {
    let line = plan.comparison.iter().find(|line| line.chosen);
    line.ok_or_else(|| "no method was taken".to_owned())
}

fn minutes(plan: &Plan) -> f64 {
    plan.estimate.total.p50_s / 60.0
}
