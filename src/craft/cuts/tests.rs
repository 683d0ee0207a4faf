use proptest::prelude::*;

use super::*;
use crate::bed::ordinary_hoop_of_area;
use crate::drag::{Moving, ShoulderDrag, shoulder_wear};
use crate::sport::Sport;
use crate::weave_method::WeaveMethod;

fn bed(area_in2: f64, mains: usize, crosses: usize) -> Bed {
    let hoop = ordinary_hoop_of_area(Sport::Tennis, area_in2 * 645.16).expect("a hoop");
    Bed::ordinary(hoop, 9.5, mains, crosses, &Sport::Tennis.defaults()).expect("a bed")
}

fn string(strain: f64) -> CutString {
    CutString {
        strain,
        tails: Tails::of(Sport::Tennis),
    }
}

/// (cut, tensioned body) of every method, both not rounded.
fn cuts_and_bodies(lengths: &Lengths, string: &CutString, start: usize) -> Vec<(f64, f64)> {
    let crosses_mm = lengths.crosses_mm(1, lengths.crosses());
    let mains_mm = lengths.mains_body_mm();
    let both_mm = mains_mm + crosses_mm;
    vec![
        (string.two_piece_mains(lengths).total_mm(), mains_mm),
        (
            string.two_piece_crosses(lengths, 15.0, false).total_mm(),
            crosses_mm,
        ),
        (
            string.start_cross_back(lengths, 15.0, start).total_mm(),
            crosses_mm,
        ),
        (
            string.one_piece(lengths, 15.0, RacketEnd::Head).total_mm(),
            both_mm,
        ),
        (
            string.tops_on_short_side(lengths, 15.0, start).total_mm(),
            both_mm,
        ),
        (string.around(lengths, 15.0).total_mm(), both_mm),
    ]
}

proptest! {
    #[test]
    fn a_cut_is_never_shorter_than_what_lies_in_the_bed_at_rest(
        area in 80.0..135.0_f64, mains in 12_usize..22, crosses in 14_usize..24, strain in 0.0..0.12_f64,
    ) {
        let bed = bed(area, mains, crosses);
        let start = bed.start_cross().expect("a start cross").cross;
        for end in [RacketEnd::Head, RacketEnd::Throat] {
            let lengths = Lengths::of(&bed, end);
            for (cut_mm, body_mm) in cuts_and_bodies(&lengths, &string(strain), start) {
                prop_assert!(cut_mm >= body_mm / (1.0 + strain));
                prop_assert!(f64::from(rounded_up_mm(cut_mm)) >= cut_mm - 0.001);
                prop_assert!(f64::from(rounded_up_mm(cut_mm)) < cut_mm + CUT_STEP_MM);
            }
        }
    }

    #[test]
    fn starting_at_the_start_cross_drags_less_than_starting_at_the_head(
        area in 80.0..135.0_f64, mains in 12_usize..22, crosses in 14_usize..24,
    ) {
        let bed = bed(area, mains, crosses);
        let start = bed.start_cross().expect("a start cross").cross;
        let lengths = Lengths::of(&bed, RacketEnd::Head);
        let wraps = lengths.cross_wraps_mm();
        let moving = Moving {
            cross_paths_mm: lengths.cross_paths_mm(),
            cross_wraps_mm: &wraps,
            pulled_end_mm: 500.0,
            outer_main_path_mm: lengths.outer_main_path_mm(),
        };
        let met = bed.crossings_per_cross();
        let drag = |method| ShoulderDrag::of(&moving, method, start, &met);
        let (down, back) = (drag(WeaveMethod::HeadDown), drag(WeaveMethod::StartCrossBack));
        prop_assert!(back.sum_mm < down.sum_mm);
        prop_assert!(back.worst_pull_mm < down.worst_pull_mm);
        prop_assert!(back.crossing_metres < down.crossing_metres);
        let wear = |method| shoulder_wear(&bed, &moving, method, start, 2.54);
        prop_assert!(wear(WeaveMethod::StartCrossBack) < wear(WeaveMethod::HeadDown));
        prop_assert!(wear(WeaveMethod::StartCrossBack) <= wear(WeaveMethod::TopsOnShortSide));
    }
}

#[test]
fn an_odd_main_belongs_to_the_long_side() {
    let bed = bed(100.0, 17, 19);
    let lengths = Lengths::of(&bed, RacketEnd::Head);
    assert_eq!(lengths.short_side_finishes_at(), RacketEnd::Head);
    assert_eq!(lengths.long_side_finishes_at(), RacketEnd::Throat);
    let centre = lengths.centre_main_path_mm().expect("a main in the middle");
    let more = lengths.long_side_mm() - lengths.short_side_mm(lengths.mains_per_side());
    assert!(more > centre && more < centre + 40.0, "{more} against {centre}");
}

#[test]
fn cuts_round_up_and_never_past_the_next_step() {
    assert_eq!(rounded_up_mm(6200.0), 6200);
    assert_eq!(rounded_up_mm(6200.5), 6250);
    assert_eq!(rounded_up_mm(f64::NAN), 0);
    assert_eq!(rounded_up_mm(-3.0), 0);
}
