//! Invented problems for the tests beside the code.
use crate::chance::Chance;
use crate::dispatch::problem::{
    Attributes, Clamp, Hold, Job, Player, Prices, Problem, SetUp, Station, Window,
};

/// A day of `jobs` rackets on `stations`, all of it feasible: the last windows are long.
pub(crate) fn day(seed: u64, jobs: usize, stations: usize) -> Problem {
    let mut chance = Chance::from_seed(seed);
    let mut up_to = |most: i64| i64::try_from(chance.below(usize::try_from(most).unwrap())).unwrap();
    let stations: Vec<Station> = (0..stations)
        .map(|index| Station {
            id: i64::try_from(index).unwrap(),
            clamp: if index == 0 || up_to(3) > 0 {
                Clamp::Swivel
            } else {
                Clamp::Glide
            },
            pace: 850 + up_to(300),
            windows: vec![
                Window {
                    from: 30_000,
                    to: 36_000 + up_to(3000),
                },
                Window {
                    from: 40_000,
                    to: 400_000,
                },
            ],
            loaded: (up_to(2) == 0).then(|| needs(&mut up_to)),
            first: Vec::new(),
        })
        .collect();
    let homes = i64::try_from(stations.len()).unwrap();
    let players: Vec<Player> = (0..jobs.div_ceil(2))
        .map(|index| Player {
            id: i64::try_from(index).unwrap(),
            home: (up_to(3) > 0).then(|| usize::try_from(up_to(homes)).unwrap()),
            hold: Hold::Soft,
        })
        .collect();
    let jobs = (0..jobs)
        .map(|index| job(index, players.len(), &mut up_to))
        .collect();
    Problem {
        name: "invented".to_owned(),
        t0: 28_000,
        horizon: 400_000,
        taken_by_arrivals: 0.0,
        prices: Prices::default(),
        set_up: SetUp::default(),
        stations,
        players,
        jobs,
    }
}

fn needs(up_to: &mut impl FnMut(i64) -> i64) -> Attributes {
    Attributes {
        main: up_to(4),
        cross: up_to(4),
        pattern: up_to(3),
        mount: up_to(2),
        tension: up_to(8),
    }
}

fn job(index: usize, players: usize, up_to: &mut impl FnMut(i64) -> i64) -> Job {
    let release = 28_000 + up_to(12_000);
    Job {
        id: i64::try_from(index).unwrap(),
        player: usize::try_from(up_to(i64::try_from(players).unwrap())).unwrap(),
        class: "today".to_owned(),
        release,
        due: release + up_to(15_000),
        promised: None,
        weight: 1 + up_to(60),
        base: 850 + up_to(400),
        swivel: up_to(5) == 0,
        needs: needs(up_to),
        spread_s: 0.0,
        pinned: None,
        barred: Vec::new(),
    }
}
