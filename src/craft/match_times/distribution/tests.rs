use proptest::prelude::*;

use super::*;

fn some_distribution() -> impl Strategy<Value = Distribution> {
    (-50_i64..50, prop::collection::vec(0.01_f64..1.0, 1..30)).prop_map(|(first, mass)| {
        let total: f64 = mass.iter().sum();
        Distribution::from_masses(first, mass).scaled(1.0 / total)
    })
}

proptest! {
    /// Both ways to the same sum; the first is the definition.
    #[test]
    fn the_transform_agrees_with_the_products(
        long in prop::collection::vec(0.0_f64..1.0, 200..900),
        short in prop::collection::vec(0.0_f64..1.0, 24..300),
    ) {
        let share = |list: Vec<f64>| { let all: f64 = list.iter().sum(); list.into_iter().map(|mass| mass / all).collect::<Vec<_>>() };
        let (long, short) = (share(long), share(short));
        let (quick, plain) = (convolution::by_transform(&long, &short), convolution::one_by_one(&long, &short));
        prop_assert_eq!(quick.len(), plain.len());
        for (quick, plain) in quick.iter().zip(&plain) {
            prop_assert!((quick - plain).abs() < 1e-15 && *quick >= 0.0, "{} {}", quick, plain);
        }
    }
}

#[test]
fn two_dice_sum_as_everybody_knows() {
    let die = Distribution::from_masses(1, vec![1.0 / 6.0; 6]);
    let both = die.plus(&die);
    assert!((both.at(7) - 6.0 / 36.0).abs() < 1e-15);
    assert!((both.at(12) - 1.0 / 36.0).abs() < 1e-15);
    assert_eq!(both.quantile(0.5), 7);
    // the greater of two dice is six in 11 of 36 throws
    assert!((die.later_of(&die).at(6) - 11.0 / 36.0).abs() < 1e-15);
}

#[test]
fn what_lay_before_the_floor_falls_onto_it() {
    let folded = Distribution::from_pairs(&[(1, 0.25), (3, 0.25), (9, 0.5)]).not_before(3);
    assert_eq!((folded.first(), folded.at(3)), (3, 0.5));
    let beyond = Distribution::from_pairs(&[(1, 0.5), (3, 0.5)]).not_before(7);
    assert_eq!((beyond.first(), beyond.last()), (7, 7));
}

#[test]
fn a_condition_that_cannot_hold_gives_nothing() {
    let length = Distribution::from_pairs(&[(60, 0.5), (80, 0.5)]);
    assert_eq!(
        length.given_above(60),
        Some(Distribution::from_masses(61, {
            let mut mass = vec![0.0; 20];
            mass[19] = 1.0;
            mass
        }))
    );
    assert_eq!(length.given_above(80), None);
}

proptest! {
    #[test]
    fn sums_add_means_and_variances(one in some_distribution(), two in some_distribution()) {
        let sum = one.plus(&two);
        prop_assert!((sum.mean() - one.mean() - two.mean()).abs() < 1e-9);
        prop_assert!((sum.variance() - one.variance() - two.variance()).abs() < 1e-8);
    }

    #[test]
    fn no_operation_loses_mass(one in some_distribution(), two in some_distribution(), bound in -80_i64..80) {
        for kept in [
            one.later_of(&two),
            one.clone().not_before(bound),
            one.clone().trimmed(1e-2),
            one.stretched(1.37),
            one.clone().shifted(100).cut_short(),
        ] {
            prop_assert!((kept.total() - 1.0).abs() < 1e-9, "{kept:?}");
        }
    }

    #[test]
    fn stretching_keeps_the_mean_exactly(one in some_distribution(), factor in 0.2_f64..3.0) {
        prop_assert!((one.stretched(factor).mean() - factor * one.mean()).abs() < 1e-9);
    }

    #[test]
    fn the_later_of_two_is_never_before_either(one in some_distribution(), two in some_distribution()) {
        let later = one.later_of(&two);
        prop_assert!(later.mean() >= one.mean().max(two.mean()) - 1e-9);
        prop_assert!(later.quantile(0.05) >= one.quantile(0.05).max(two.quantile(0.05)));
    }
}
