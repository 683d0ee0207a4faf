//! What instances and days have in common: prices, set-ups, stations, players.
use std::collections::BTreeMap;

use crate::dispatch::file::field::{Reader, TIMES};
use crate::dispatch::file::stations;
use crate::dispatch::problem::{Hold, Job, Player, Prices, Problem, SetUp, Station};
use crate::loose::Loose;

/// The document without its jobs.
#[derive(Debug)]
pub(super) struct Frame {
    name: String,
    pub(super) t0: i64,
    pub(super) horizon: i64,
    prices: Prices,
    set_up: SetUp,
    pub(super) stations: Vec<Station>,
    pub(super) players: Vec<Player>,
    /// Index of a player by id.
    pub(super) player_of: BTreeMap<i64, usize>,
}

impl Frame {
    pub(super) fn problem(self, jobs: Vec<Job>) -> Problem {
        Problem {
            name: self.name,
            t0: self.t0,
            horizon: self.horizon,
            taken_by_arrivals: 0.0,
            prices: self.prices,
            set_up: self.set_up,
            stations: self.stations,
            players: self.players,
            jobs,
        }
    }
}

pub(super) fn read(reader: &mut Reader, document: &Loose, format: &str) -> Frame {
    reader.object(document, "");
    let stated = reader.text(document, "", "format");
    if !stated.is_empty() && stated != format {
        reader.fault(
            "/format",
            "unknown_format",
            format!("is '{stated}'; give '{format}'"),
        );
    }
    let t0 = reader.whole(document, "", "t0", TIMES);
    let horizon = reader.whole(document, "", "horizon", TIMES);
    if horizon < t0 {
        reader.fault(
            "/horizon",
            "horizon_too_short",
            "lies before t0; give a later time",
        );
    }
    let empty = Loose::Members(Vec::new());
    let cost = document.member("cost").unwrap_or(&empty);
    let mut price = |name| reader.whole(cost, "/cost", name, 0..=1_000_000_000);
    let prices = Prices {
        tardy: price("tardy"),
        late: price("late"),
        break_: price("break"),
        flow: price("flow"),
        ..Prices::default()
    };
    let seconds = document.member("setup").unwrap_or(&empty);
    let mut second = |name| reader.whole(seconds, "/setup", name, 0..=10_000);
    let set_up = SetUp {
        main: second("main"),
        cross: second("cross"),
        pattern: second("pattern"),
        mount: second("mount"),
        tension: second("tension"),
    };
    let (stations, station_of) = stations::read(reader, document, horizon);
    let (players, player_of) = players(reader, document, &station_of);
    Frame {
        name: reader.text(document, "", "name").to_owned(),
        t0,
        horizon,
        prices,
        set_up,
        stations,
        players,
        player_of,
    }
}

fn players(
    reader: &mut Reader,
    document: &Loose,
    station_of: &BTreeMap<i64, usize>,
) -> (Vec<Player>, BTreeMap<i64, usize>) {
    let mut seen = BTreeMap::new();
    let mut players = Vec::new();
    for (index, (at, entry)) in reader
        .list(document, "", "players", 20_000)
        .into_iter()
        .enumerate()
    {
        reader.object(entry, &at);
        let id = reader.id(entry, &at, index, &mut seen);
        let words = [
            ("none", None),
            ("soft", Some(Hold::Soft)),
            ("hard", Some(Hold::Hard)),
        ];
        let hold = reader.word(entry, &at, "hold", &words).flatten();
        let home = match entry.member("home") {
            None | Some(Loose::Null) => None,
            Some(_) => {
                let before = reader.faults.len();
                let id = reader.whole(entry, &at, "home", 0..=i64::MAX);
                let home = station_of.get(&id).copied();
                if home.is_none() && reader.faults.len() == before {
                    let detail = format!("is {id}; no station has that id");
                    reader.fault(format!("{at}/home"), "unknown_station", detail);
                }
                home
            }
        };
        if hold == Some(Hold::Hard) && matches!(entry.member("home"), None | Some(Loose::Null)) {
            let detail = "is 'hard' without a home; give a home or another hold";
            reader.fault(format!("{at}/hold"), "hold_without_home", detail);
        }
        players.push(Player {
            id,
            home,
            hold: hold.unwrap_or(Hold::Soft),
        });
    }
    (players, seen)
}
