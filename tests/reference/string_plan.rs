//! Topics of the string plan's numbers, each answered by public functions of `craft`.
use weftdesk::craft::bed::Bed;
use weftdesk::craft::drag::{Moving, ShoulderDrag};
use weftdesk::craft::hoop::Hoop;
use weftdesk::craft::lengths::Lengths;
use weftdesk::craft::racket_end::RacketEnd;
use weftdesk::craft::sport::Sport;
use weftdesk::craft::weave_method::WeaveMethod;
use weftdesk::craft::weave_time::WeaveElements;
use weftdesk::craft::{limits, spacing, units};

use crate::answer::answer;
use crate::case::Case;
use crate::{strings, trade};

/// Whether the answers of a case hold, or why not.
pub(crate) type Held = Result<(), String>;

pub(crate) fn check(case: &Case) -> Held {
    match case.topic.as_str() {
        "unit" => strings::unit(case),
        "limits" => limits(case),
        "hoop" => hoop(case),
        "hoop_from_area" => hoop_from_area(case),
        "start_cross" => start_cross(case),
        "lengths" => lengths(case),
        "crimp" => strings::crimp(case),
        "crimp_share" => strings::crimp_share(case),
        "capstan" => strings::capstan(case),
        "capstan_profile" => strings::capstan_profile(case),
        "parity" => parity(case),
        "elongation" => strings::elongation(case),
        "fibre_EA" => strings::fibre(case),
        "drag" => drag(case),
        "pinch" => strings::pinch(case),
        "frequency" => strings::frequency(case),
        "frequency_ellipse" => strings::frequency_ellipse(case),
        "bed_stiffness" => strings::bed_stiffness(case),
        "stock" => strings::reel(case),
        "spacing_mains" => spacing_mains(case),
        "spacing_crosses" => spacing_crosses(case),
        "weave_time" => weave_time(case),
        "trade_tennis" | "trade_other" => trade::check(case),
        topic => Err(format!("nothing answers topic {topic}")),
    }
}

pub(crate) fn sport(case: &Case) -> Result<Sport, String> {
    let name = case.s("sport")?;
    Sport::ALL
        .into_iter()
        .find(|sport| sport.name() == name)
        .ok_or_else(|| format!("no sport {name}"))
}

pub(crate) fn end(case: &Case, name: &str) -> Result<RacketEnd, String> {
    match case.s(name)? {
        "head" => Ok(RacketEnd::Head),
        "throat" => Ok(RacketEnd::Throat),
        other => Err(format!("no end {other}")),
    }
}

fn limits(case: &Case) -> Held {
    let sport = sport(case)?;
    let names: Vec<&str> = case
        .input_names()
        .map(String::as_str)
        .filter(|name| *name != "sport")
        .collect();
    let measures = names
        .iter()
        .map(|name| Ok((*name, case.f(name)?)))
        .collect::<Result<Vec<_>, String>>()?;
    let broken = limits::violations(sport, &measures).map_err(|why| why.to_string())?;
    case.hold(vec![
        ("compliant", answer(broken.is_empty())),
        ("violations", answer(broken)),
    ])
}

fn hoop_of(case: &Case) -> Result<Hoop, String> {
    Hoop::new(
        case.f("inside_length_mm")?,
        case.f("inside_width_mm")?,
        case.f("exponent_head")?,
        case.f("exponent_throat")?,
        case.f("widest_y_mm")?,
    )
    .ok_or_else(|| "no hoop".to_owned())
}

fn bed_of(case: &Case) -> Result<Bed, String> {
    Bed::new(
        hoop_of(case)?,
        case.f("wall_mm")?,
        false,
        case.list("main_x_half_mm")?,
        case.list("cross_y_mm")?,
    )
    .map_err(|why| why.to_string())
}

fn hoop(case: &Case) -> Held {
    let hoop = hoop_of(case)?;
    let (x1, x2) = (case.f("x1_mm")?, case.f("x2_mm")?);
    let (y1, y2) = (case.f("y1_mm")?, case.f("y2_mm")?);
    case.hold(vec![
        ("area_mm2", answer(hoop.area_mm2())),
        ("perimeter_mm", answer(hoop.perimeter_mm())),
        ("main_chord_at_x1_mm", answer(hoop.main_chord_mm(x1))),
        ("main_chord_at_x2_mm", answer(hoop.main_chord_mm(x2))),
        ("cross_chord_at_y1_mm", answer(hoop.cross_chord_mm(y1))),
        ("cross_chord_at_y2_mm", answer(hoop.cross_chord_mm(y2))),
        ("y_top_at_x1_mm", answer(hoop.y_top_mm(x1))),
    ])
}

fn hoop_from_area(case: &Case) -> Held {
    let hoop = Hoop::from_area(
        case.f("head_area_in2")? * units::MM2_PER_SQ_INCH,
        case.f("aspect_length_over_width")?,
        case.f("exponent_head")?,
        case.f("exponent_throat")?,
        case.f("widest_y_over_length")?,
    )
    .ok_or("no hoop")?;
    case.hold(vec![
        ("inside_width_mm", answer(hoop.width_mm())),
        ("inside_length_mm", answer(hoop.length_mm())),
    ])
}

fn start_cross(case: &Case) -> Held {
    let bed = bed_of(case)?;
    let start = bed.start_cross().ok_or("no start cross")?;
    case.hold(vec![
        ("start_cross", answer(start.cross)),
        ("outer_main_y_top_mm", answer(start.outer_main_y_top_mm)),
        ("depth_below_mm", answer(start.depth_below_mm)),
        ("previous_above_mm", answer(start.previous_above_mm)),
        ("crossings_per_cross", answer(bed.crossings_per_cross())),
    ])
}

fn lengths(case: &Case) -> Held {
    let bed = bed_of(case)?;
    let lengths = Lengths::of(&bed, end(case, "main_loop_at")?);
    let sum = |lengths: &[f64]| lengths.iter().sum::<f64>();
    let inside = bed.inside();
    let mains_free: f64 = bed
        .mains_x_mm()
        .iter()
        .map(|x| 2.0 * inside.main_chord_mm(*x))
        .sum();
    let crosses_free: f64 = bed.crosses_y_mm().iter().map(|y| inside.cross_chord_mm(*y)).sum();
    let start = bed.start_cross().ok_or("no start cross")?.cross;
    case.hold(vec![
        ("sum_main_free_mm", answer(mains_free)),
        ("sum_cross_free_mm", answer(crosses_free)),
        (
            "sum_main_through_wall_mm",
            answer(2.0 * sum(lengths.main_paths_mm())),
        ),
        ("sum_cross_through_wall_mm", answer(sum(lengths.cross_paths_mm()))),
        ("sum_cross_wraps_mm", answer(sum(&lengths.cross_wraps_mm()))),
        (
            "sum_main_wraps_one_side_mm",
            answer(lengths.main_wraps_mm(lengths.mains_per_side())),
        ),
        ("centre_loop_mm", answer(lengths.centre_loop_mm())),
        ("mains_body_mm", answer(lengths.mains_body_mm())),
        (
            "crosses_body_no_crimp_mm",
            answer(lengths.crosses_mm(1, lengths.crosses())),
        ),
        ("top_crosses_to_start_mm", answer(lengths.crosses_mm(1, start))),
        ("start_cross", answer(start)),
    ])
}

fn parity(case: &Case) -> Held {
    let mains = case.n("mains_per_side")?;
    let finish = end(case, "main_loop_at")?.mains_finish(mains);
    let direct = finish == RacketEnd::Head;
    case.hold(vec![
        ("mains_finish_at", answer(finish.name())),
        ("one_piece_crosses_from_head_directly", answer(direct)),
        (
            "around_the_world_needed_if_frame_demands_head_to_throat",
            answer(!direct),
        ),
        (
            "short_side_mains_when_around_the_world",
            if direct {
                answer(None::<usize>)
            } else {
                answer(mains - 1)
            },
        ),
    ])
}

fn drag(case: &Case) -> Held {
    let (paths, wraps) = (case.list("cross_path_mm")?, case.list("wrap_mm")?);
    let moving = Moving {
        cross_paths_mm: &paths,
        cross_wraps_mm: &wraps,
        pulled_end_mm: case.f("pull_end_mm")?,
        outer_main_path_mm: 0.0,
    };
    let start = case.n("start_cross")?;
    let of = |method| ShoulderDrag::of(&moving, method, start, &[]);
    let (normal, reverse) = (of(WeaveMethod::HeadDown), of(WeaveMethod::StartCrossBack));
    case.hold(vec![
        ("normal_top_down_mm", answer(normal.moving_mm)),
        ("reverse_start_mm", answer(reverse.moving_mm)),
        (
            "short_side_top_crosses_mm",
            answer(of(WeaveMethod::TopsOnShortSide).moving_mm),
        ),
        ("sum_normal_mm", answer(normal.sum_mm)),
        ("sum_reverse_mm", answer(reverse.sum_mm)),
        ("reverse_over_normal", answer(reverse.sum_mm / normal.sum_mm)),
    ])
}

fn spacing_mains(case: &Case) -> Held {
    let x = spacing::mains_x_mm(
        case.n("mains")?,
        case.f("outer_x_mm")?,
        case.f("outer_over_centre_gap")?,
        case.f("power")?,
    );
    let never = spacing::gaps_never_shrink_outwards(&x);
    case.hold(vec![
        ("x_half_mm", answer(x)),
        ("gaps_never_shrink_outwards", answer(never)),
    ])
}

fn spacing_crosses(case: &Case) -> Held {
    let y = spacing::crosses_y_mm(
        case.n("crosses")?,
        case.f("first_y_mm")?,
        case.f("last_y_mm")?,
        case.f("edge_over_centre_gap")?,
        case.f("power")?,
        case.f("densest_at")?,
    );
    case.hold(vec![("y_mm", answer(y))])
}

fn weave_time(case: &Case) -> Held {
    let elements = WeaveElements {
        setup_per_cross_s: case.f("s_setup_per_cross")?,
        per_crossing_s: case.f("s_per_crossing")?,
        pull_m_per_s: case.f("pull_speed_m_s")?,
        shoulder_pull_m_per_s: case.f("zone_pull_speed_m_s")?,
    };
    let crossings: Vec<usize> =
        serde_json::from_value(case.input("crossings")?.clone()).map_err(|why| why.to_string())?;
    let seconds = elements.weave_s(
        &crossings,
        &case.list("moving_length_mm")?,
        case.n("start_cross")?,
    );
    case.hold(vec![("weave_s", answer(seconds))])
}
