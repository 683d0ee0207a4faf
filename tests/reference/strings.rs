//! Topics of single strings, friction, the bed as a membrane, stock and units.
use weftdesk::craft::crimp::{Crimp, cross_crest_height_mm};
use weftdesk::craft::{elongation, friction, stock, stringbed, units};

use crate::answer::answer;
use crate::case::Case;
use crate::string_plan::Held;

/// What a unit measures, and how many of the base unit one of it is.
fn unit_size(unit: &str) -> Result<(&'static str, f64), String> {
    let size = match unit {
        "N" => ("force", 1.0),
        "lbf" => ("force", units::NEWTONS_PER_LBF),
        "kgf" => ("force", units::NEWTONS_PER_KGF),
        "kg" => ("mass", 1.0),
        "lb" => ("mass", units::KG_PER_LB),
        "mm" => ("length", 1.0),
        "cm" => ("length", 10.0),
        "m" => ("length", 1000.0),
        "in" => ("length", units::MM_PER_INCH),
        "ft" => ("length", units::MM_PER_FOOT),
        "mm2" => ("area", 1.0),
        "cm2" => ("area", 100.0),
        "m2" => ("area", 1.0e6),
        "in2" => ("area", units::MM2_PER_SQ_INCH),
        "N/mm" | "kN/m" => ("stiffness", 1.0),
        "N/m" => ("stiffness", 0.001),
        "lb/in" | "lbf/in" => ("stiffness", units::NEWTONS_PER_LBF / units::MM_PER_INCH),
        other => return Err(format!("no unit {other}")),
    };
    Ok(size)
}

pub(crate) fn unit(case: &Case) -> Held {
    let (from, to) = case.s("conversion")?.split_once("->").ok_or("no arrow")?;
    let ((of, from_size), (into, to_size)) = (unit_size(from)?, unit_size(to)?);
    if of != into {
        return Err(format!("{from} is {of}, {to} is {into}"));
    }
    case.hold(vec![("result", answer(case.f("value")? * from_size / to_size))])
}

pub(crate) fn crimp(case: &Case) -> Held {
    let crimp = Crimp::of(
        case.f("spacing_p_mm")?,
        case.f("sum_of_diameters_D_mm")?,
        case.f("crest_height_h_mm")?,
    );
    case.hold(vec![
        ("theta_rad", answer(crimp.theta_rad)),
        ("cell_length_mm", answer(crimp.cell_length_mm)),
        ("crimp_fraction", answer(crimp.crimp_fraction)),
        ("wrap_angle_per_crossing_rad", answer(crimp.wrap_rad)),
    ])
}

pub(crate) fn crimp_share(case: &Case) -> Held {
    let sum = case.f("sum_of_diameters_D_mm")?;
    let cross = cross_crest_height_mm(
        sum,
        case.f("tension_main_N")?,
        case.f("tension_cross_N")?,
        case.f("main_spacing_mm")?,
        case.f("cross_spacing_mm")?,
    );
    case.hold(vec![
        ("cross_height_mm", answer(cross)),
        ("main_height_mm", answer(sum - cross)),
    ])
}

pub(crate) fn capstan(case: &Case) -> Held {
    let pull = case.f("pull_N")?;
    let far = friction::far_tension_n(pull, case.f("mu")?, case.f("total_wrap_rad")?);
    case.hold(vec![
        ("far_N", answer(far)),
        ("ratio_pull_over_far", answer(pull / far)),
    ])
}

pub(crate) fn capstan_profile(case: &Case) -> Held {
    let profile = friction::tension_profile_n(
        case.f("pull_N")?,
        case.f("mu")?,
        &case.list("wrap_rad_from_pulled_end")?,
    );
    let count = f64::from(u32::try_from(profile.len()).map_err(|why| why.to_string())?);
    let mean = profile.iter().sum::<f64>() / count;
    case.hold(vec![
        ("segment_tensions_N", answer(profile)),
        ("mean_of_segments_N", answer(mean)),
    ])
}

pub(crate) fn elongation(case: &Case) -> Held {
    let strain = elongation::strain(case.f("tension_N")?, case.f("axial_stiffness_EA_N")?);
    let rest = elongation::unstretched_mm(case.f("path_under_tension_mm")?, strain);
    case.hold(vec![("strain", answer(strain)), ("unstretched_mm", answer(rest))])
}

pub(crate) fn fibre(case: &Case) -> Held {
    let (gravity, diameter) = (case.f("specific_gravity")?, case.f("diameter_mm")?);
    let modulus = elongation::modulus_gpa(case.f("specific_modulus_N_per_tex")?, gravity);
    case.hold(vec![
        ("E_GPa", answer(modulus)),
        ("EA_N", answer(elongation::axial_stiffness_n(modulus, diameter))),
        (
            "linear_density_g_per_m",
            answer(elongation::linear_density_g_per_m(gravity, diameter)),
        ),
    ])
}

pub(crate) fn pinch(case: &Case) -> Held {
    let (near, far) = (
        case.f("distance_to_near_end_mm")?,
        case.f("distance_to_far_end_mm")?,
    );
    let stiffness = friction::lateral_stiffness_n_per_mm(case.f("tension_N")?, near, far);
    case.hold(vec![
        ("lateral_stiffness_N_per_mm", answer(stiffness)),
        ("relative_to_midspan", answer(friction::pinch(near, far))),
    ])
}

pub(crate) fn frequency(case: &Case) -> Held {
    let (tension, density) = (case.f("mean_tension_N")?, case.f("linear_density_kg_per_m")?);
    let (area, spacing) = (case.f("area_m2")?, case.f("spacing_mm")? / 1000.0);
    let square = stringbed::square_form_hz(tension, density, area);
    let circle = stringbed::circle_hz(
        stringbed::tension_per_width_n_per_m(tension, spacing),
        stringbed::areal_mass_kg_per_m2(density, spacing),
        area,
    );
    case.hold(vec![
        ("f_square_form_Hz", answer(square)),
        ("f_circle_membrane_Hz", answer(circle)),
        (
            "tension_back_from_square_form_N",
            answer(stringbed::mean_tension_n(square, density, area)),
        ),
    ])
}

pub(crate) fn frequency_ellipse(case: &Case) -> Held {
    let hz = stringbed::ellipse_hz(
        case.f("tau_x_N_per_m")?,
        case.f("tau_y_N_per_m")?,
        case.f("areal_mass_kg_per_m2")?,
        case.f("inside_length_mm")? / 1000.0,
        case.f("inside_width_mm")? / 1000.0,
    );
    case.hold(vec![("f_Hz", answer(hz))])
}

pub(crate) fn bed_stiffness(case: &Case) -> Held {
    let (x, y) = (case.f("tau_x_N_per_m")?, case.f("tau_y_N_per_m")?);
    let (area, radius) = (case.f("area_m2")?, case.f("patch_radius_m")?);
    case.hold(vec![
        (
            "k_uniform_patch_kN_per_m",
            answer(stringbed::stiffness_uniform_n_per_m(x, y, area, radius) / 1000.0),
        ),
        (
            "k_flat_disc_kN_per_m",
            answer(stringbed::stiffness_flat_disc_n_per_m(x, y, area, radius) / 1000.0),
        ),
    ])
}

pub(crate) fn reel(case: &Case) -> Held {
    case.hold(vec![
        (
            "jobs_per_reel",
            answer(stock::jobs_per_reel(
                case.f("reel_m")?,
                case.f("job_m")?,
                case.f("waste_per_job_m")?,
            )),
        ),
        (
            "short_side_in_racket_lengths",
            answer(stock::racket_lengths(
                case.f("short_side_mm")?,
                case.f("racket_length_mm")?,
            )),
        ),
    ])
}
