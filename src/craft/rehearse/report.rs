//! Repetitions under every dispatcher, with intervals.
use crate::dispatch::file::Day;
use crate::rehearse::play::{Outcome, play};
use crate::rehearse::scene::Dispatcher;
use crate::rehearse::world::World;

/// Mean over repetitions, with a 95 % interval.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    /// Mean.
    pub mean: f64,
    /// Half the width of the interval; 0 with one repetition.
    pub half_width: f64,
}

/// One dispatcher's day.
#[derive(Debug, Clone, PartialEq)]
pub struct Report {
    /// Its name.
    pub name: String,
    /// Percent of jobs ready when due.
    pub ready_percent: Spread,
    /// Percent of on-court jobs ready when due; nothing where there are none.
    pub on_court_ready_percent: Option<Spread>,
    /// Weighted minutes late.
    pub weighted_tardiness_min: Spread,
    /// Jobs late.
    pub late: Spread,
    /// Continuity breaks.
    pub breaks: Spread,
    /// Minutes of set-up.
    pub set_up_min: Spread,
    /// The longest lateness in minutes.
    pub max_tardiness_min: Spread,
    /// Cost in millions.
    pub cost_millions: Spread,
}

/// Plays `repeat` worlds of `seed` under each dispatcher; `fresh` makes one by name for each repetition.
///
/// Stops early when `keep_going` says so; answers nothing then.
pub fn rehearse(
    day: &Day,
    names: &[&str],
    repeat: u64,
    seed: u64,
    fresh: &mut dyn FnMut(&str, u64) -> Box<dyn Dispatcher>,
    keep_going: &mut dyn FnMut() -> bool,
) -> Option<Vec<Report>> {
    let mut outcomes: Vec<Vec<Outcome>> = vec![Vec::new(); names.len()];
    for repetition in 0..repeat {
        let world = World::draw(day, seed, repetition);
        for (name, outcomes) in names.iter().zip(&mut outcomes) {
            if !keep_going() {
                return None;
            }
            outcomes.push(play(day, &world, fresh(name, repetition).as_mut()));
        }
    }
    let reports = names.iter().zip(&outcomes);
    Some(
        reports
            .map(|(name, outcomes)| Report::of(name, outcomes))
            .collect(),
    )
}

impl Report {
    #[expect(clippy::cast_precision_loss, reason = "counts and seconds of a day")]
    fn of(name: &str, outcomes: &[Outcome]) -> Self {
        let over =
            |figure: &dyn Fn(&Outcome) -> f64| Spread::of(&outcomes.iter().map(figure).collect::<Vec<_>>());
        let percent = |part: usize, of: usize| 100.0 * part as f64 / of.max(1) as f64;
        let on_court = outcomes.iter().any(|outcome| outcome.on_court > 0);
        Self {
            name: name.to_owned(),
            ready_percent: over(&|day| percent(day.ready, day.jobs)),
            on_court_ready_percent: on_court.then(|| over(&|day| percent(day.on_court_ready, day.on_court))),
            weighted_tardiness_min: over(&|day| day.weighted_tardiness as f64 / 60.0),
            late: over(&|day| day.late as f64),
            breaks: over(&|day| day.breaks as f64),
            set_up_min: over(&|day| day.set_up_s as f64 / 60.0),
            max_tardiness_min: over(&|day| day.max_tardiness_s as f64 / 60.0),
            cost_millions: over(&|day| day.cost as f64 / 1e6),
        }
    }
}

impl Spread {
    /// Mean and 1.96 standard errors: the normal interval.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "a count")]
    pub fn of(values: &[f64]) -> Self {
        let count = values.len() as f64;
        let mean = values.iter().sum::<f64>() / count.max(1.0);
        let square = values.iter().map(|value| (value - mean).powi(2)).sum::<f64>();
        let half_width = if values.len() > 1 {
            1.96 * (square / (count - 1.0) / count).sqrt()
        } else {
            0.0
        };
        Self { mean, half_width }
    }
}
