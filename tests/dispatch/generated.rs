//! Generated instances as JSON, so that both judges read the same text.
use serde_json::{Value, json};
use weftdesk::craft::chance::Chance;

/// An instance that can be planned: somebody with swivel clamps stays long enough for all.
pub(crate) fn instance(seed: u64) -> Value {
    let chance = &mut Chance::from_seed(seed);
    let (stations, players, jobs) = (1 + up_to(chance, 4), 1 + up_to(chance, 8), 1 + up_to(chance, 24));
    let stations_json: Vec<Value> = (0..stations).map(|index| station(chance, index)).collect();
    let players_json: Vec<Value> = (0..players)
        .map(|index| {
            let home = (up_to(chance, 3) > 0).then(|| up_to(chance, stations));
            let hold = match home {
                None => "none",
                // who is held hard must be at home where everything can be strung
                Some(0) if up_to(chance, 2) == 0 => "hard",
                Some(_) => "soft",
            };
            json!({"id": index + 100, "home": home, "hold": hold})
        })
        .collect();
    let jobs_json: Vec<Value> = (0..jobs)
        .map(|index| {
            let release = 20_000 + up_to(chance, 9000);
            let mut job = json!({
                "id": 1000 + index, "player": 100 + up_to(chance, players), "class": "today",
                "release": release, "due": release + up_to(chance, 9000), "weight": up_to(chance, 61),
                "base": 1 + up_to(chance, 1300), "swivel": up_to(chance, 4) == 0,
            });
            attributes(chance, &mut job);
            job
        })
        .collect();
    json!({
        "format": "weftdesk-dispatch-instance/1", "name": "generated", "t0": 20_000, "horizon": 200_000,
        "cost": {"tardy": up_to(chance, 200), "late": up_to(chance, 200_000), "break": up_to(chance, 60_000), "flow": up_to(chance, 3)},
        "setup": {"main": up_to(chance, 90), "cross": up_to(chance, 90), "pattern": 30, "mount": 45, "tension": up_to(chance, 20)},
        "stations": stations_json, "players": players_json, "jobs": jobs_json,
    })
}

fn up_to(chance: &mut Chance, bound: i64) -> i64 {
    i64::try_from(chance.below(usize::try_from(bound).unwrap())).unwrap()
}

fn attributes(chance: &mut Chance, of: &mut Value) {
    for (name, kinds) in [
        ("main", 4),
        ("cross", 4),
        ("pattern", 3),
        ("mount", 2),
        ("tension", 6),
    ] {
        of[name] = json!(up_to(chance, kinds));
    }
}

fn station(chance: &mut Chance, index: i64) -> Value {
    let first = index == 0;
    let mut loaded = json!({});
    attributes(chance, &mut loaded);
    let pause = 24_000 + up_to(chance, 2000);
    json!({
        "id": index,
        "clamp": if first || up_to(chance, 2) == 0 { "swivel" } else { "glide" },
        "pull": "constant",
        "pace": 700 + up_to(chance, 700),
        "windows": [[20_000 + up_to(chance, 500), pause], [pause + up_to(chance, 900) + 1, if first { 200_000 } else { 40_000 }]],
        "loaded": if up_to(chance, 2) == 0 { loaded } else { Value::Null },
    })
}
