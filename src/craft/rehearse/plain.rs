//! Plain rules, played live: whenever a station is free, the highest index goes next.
use crate::dispatch::baselines::{Look, Rule, Scales};
use crate::rehearse::scene::{Dispatcher, Scene};

/// A plain rule.
#[derive(Debug, Clone, Copy)]
pub struct Plain {
    /// The rule.
    pub rule: Rule,
    /// Its scales.
    pub scales: Scales,
}

impl Plain {
    /// The rule with its usual scales.
    #[must_use]
    pub fn new(rule: Rule) -> Self {
        Self {
            rule,
            scales: Scales::default(),
        }
    }
}

impl Dispatcher for Plain {
    fn decide(&mut self, scene: &Scene<'_>, free: &[usize]) -> Vec<(usize, usize)> {
        let mut taken: Vec<usize> = Vec::new();
        let mut decided = Vec::new();
        for &station in free {
            if let Some(job) = self.best(scene, station, &taken) {
                taken.push(job);
                decided.push((station, job));
            }
        }
        decided
    }
}

impl Plain {
    #[expect(clippy::cast_precision_loss, reason = "seconds of a day")]
    fn best(&self, scene: &Scene<'_>, station: usize, taken: &[usize]) -> Option<usize> {
        let problem = &scene.day.problem;
        let until = scene.open_until(station)?;
        let whole = problem.set_up.main
            + problem.set_up.cross
            + problem.set_up.pattern
            + problem.set_up.mount
            + problem.set_up.tension;
        let jobs = problem.jobs.len().max(1) as f64;
        let mean_stringing_s = problem.jobs.iter().map(|job| job.base as f64).sum::<f64>() / jobs;
        let mut best: Option<(f64, usize)> = None;
        for &job in scene.waiting {
            if taken.contains(&job) || !scene.allowed(job, station) {
                continue;
            }
            let (set_up, stringing) = scene.planned(job, station);
            if scene.now + set_up + stringing > until {
                continue;
            }
            let facts = &problem.jobs[job];
            let look = Look {
                now_s: scene.now as f64,
                release_s: scene.release(job) as f64,
                due_s: scene.due(job).0,
                weight: facts.weight as f64,
                stringing_s: stringing as f64,
                set_up_s: set_up as f64,
                away: scene.home(facts.player).is_some_and(|home| home != station),
                mean_stringing_s,
                mean_set_up_s: 0.5 * whole as f64,
            };
            let index = self.rule.index(&look, self.scales);
            if best.is_none_or(|(highest, _)| index > highest) {
                best = Some((index, job));
            }
        }
        best.map(|(_, job)| job)
    }
}
