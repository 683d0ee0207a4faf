//! Stations of a file.
use std::collections::BTreeMap;

use crate::dispatch::file::field::{Reader, TIMES};
use crate::dispatch::problem::{Attributes, Clamp, Station, Window};
use crate::loose::Loose;

pub(super) fn read(
    reader: &mut Reader,
    document: &Loose,
    horizon: i64,
) -> (Vec<Station>, BTreeMap<i64, usize>) {
    let mut seen = BTreeMap::new();
    let entries = reader.list(document, "", "stations", 500);
    if entries.is_empty() && matches!(document.member("stations"), Some(Loose::List(_))) {
        reader.fault("/stations", "no_station", "is empty; give at least one station");
    }
    let mut stations = Vec::new();
    for (index, (at, entry)) in entries.into_iter().enumerate() {
        reader.object(entry, &at);
        let clamps = [("swivel", Clamp::Swivel), ("glide", Clamp::Glide)];
        if entry.member("pull").is_some() {
            reader.word(entry, &at, "pull", &[("constant", ()), ("lockout", ())]);
        }
        stations.push(Station {
            id: reader.id(entry, &at, index, &mut seen),
            clamp: reader.word(entry, &at, "clamp", &clamps).unwrap_or(Clamp::Swivel),
            pace: reader.whole(entry, &at, "pace", 1..=100_000),
            windows: windows(reader, entry, &at, horizon),
            loaded: match entry.member("loaded") {
                None | Some(Loose::Null) => None,
                Some(loaded) => Some(attributes(reader, loaded, &format!("{at}/loaded"))),
            },
            first: Vec::new(),
        });
    }
    (stations, seen)
}

/// What a job needs, or a station is set up for.
pub(super) fn attributes(reader: &mut Reader, of: &Loose, at: &str) -> Attributes {
    let mut attribute = |name| reader.whole(of, at, name, 0..=i64::MAX);
    Attributes {
        main: attribute("main"),
        cross: attribute("cross"),
        pattern: attribute("pattern"),
        mount: attribute("mount"),
        tension: attribute("tension"),
    }
}

fn windows(reader: &mut Reader, station: &Loose, at: &str, horizon: i64) -> Vec<Window> {
    let mut windows: Vec<Window> = Vec::new();
    for (at, entry) in reader.list(station, at, "windows", 100) {
        let Some([from, to]) = pair(reader, &at, entry) else {
            continue;
        };
        if to <= from {
            let detail = format!("ends at {to}, not after its start at {from}; give start, then end");
            reader.fault(&at, "window_ends_before_start", detail);
        } else if to > horizon {
            let detail = format!("ends at {to}, after the horizon at {horizon}; give a later horizon");
            reader.fault(&at, "horizon_too_short", detail);
        } else if windows.last().is_some_and(|before| from < before.to) {
            let detail = "begins before the one before it ends; give windows in order, apart";
            reader.fault(&at, "windows_overlap", detail);
        } else {
            windows.push(Window { from, to });
        }
    }
    windows
}

fn pair(reader: &mut Reader, at: &str, entry: &Loose) -> Option<[i64; 2]> {
    if let Loose::List(ends) = entry
        && let [Loose::Whole(from), Loose::Whole(to)] = ends.as_slice()
    {
        let before = reader.faults.len();
        let from = reader.in_range(format!("{at}/0"), *from, TIMES);
        let to = reader.in_range(format!("{at}/1"), *to, TIMES);
        return (reader.faults.len() == before).then_some([from, to]);
    }
    reader.fault(
        at,
        "wrong_kind",
        "is no pair; give two whole numbers, start and end",
    );
    None
}
