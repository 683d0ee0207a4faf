//! Who plays whom, from the cells of a match: ids, badges and, where they are told, names.
use super::check::Checking;
use super::sides::entrants;
use super::{Cells, Known, Raw};
use crate::craft::match_times::order::{Entrant, Match};
use crate::craft::match_times::order_faults::Refusal;
use crate::craft::search_key::search_key;

impl Checking {
    pub(super) fn side(&mut self, cells: &Cells, name: &str, known: &Known<'_>) -> Vec<Entrant> {
        let text = cells.get(name).map(|cell| cell.text.as_str()).unwrap_or_default();
        let parts = text.split('+').map(|part| entrant(part.trim(), known));
        match parts.collect() {
            Ok(side) => side,
            Err(why) => {
                let detail = why.unwrap_or_else(|| {
                    format!("\"{text}\" is no side; join ids by +, or write W:match, L:match, TBD or BYE")
                });
                self.add(Refusal::NotAValue, cells.place_of(name), detail);
                Vec::new()
            }
        }
    }

    /// Faults for players of whom the desk has never heard.
    pub(super) fn players(&mut self, raw: &Raw, matches: &[Match], known: &Known<'_>) {
        let Some(players) = known.players else { return };
        for (cells, played) in raw.matches.iter().zip(matches) {
            for player in played.players().filter(|player| !players.contains(*player)) {
                let on_first = played.sides[0].contains(&Entrant::Player(player.to_owned()));
                let place = cells.place_of(if on_first { "side1" } else { "side2" });
                let detail = format!("player {player} is not known here; register the player, or write TBD");
                self.add(Refusal::UnknownPlayer, place, detail);
            }
        }
    }
}

/// One of a side; else why not, in words where names may be written.
fn entrant(part: &str, known: &Known<'_>) -> Result<Entrant, Option<String>> {
    let is_id = known.players.is_some_and(|players| players.contains(part));
    let called = known.called.filter(|_| !is_id && !part.is_empty());
    match called
        .and_then(|called| called.get(&search_key(part)))
        .map(Vec::as_slice)
    {
        Some([one]) => return Ok(Entrant::Player(one.clone())),
        Some(several @ [_, _, ..]) => {
            let detail = format!(
                "{} players are called \"{part}\"; write which: {}",
                several.len(),
                several.join(" or ")
            );
            return Err(Some(detail));
        }
        _ => {}
    }
    let read = entrants(part).and_then(|mut side| side.pop());
    read.ok_or_else(|| {
        called.map(|_| {
            format!(
                "\"{part}\" is no player here; register the player first, or write the badge, W:match, L:match, \
                 TBD or BYE"
            )
        })
    })
}

#[cfg(test)]
mod tests {
    use std::collections::{BTreeMap, BTreeSet};

    use crate::craft::match_times::order::Entrant;
    use crate::craft::search_key::search_key;
    use crate::forms::order_of_play::{Known, day_in, read};

    const HEAD: &str = "day,court,seq,match_id,format,start_rule,start_time,side1,side2\n";

    #[test]
    fn a_player_is_written_by_name_badge_or_id_and_two_of_one_name_by_badge() {
        let players: BTreeSet<String> = ["B1", "B2", "p3"].map(str::to_owned).into();
        let called: BTreeMap<String, Vec<String>> = [
            (search_key("Example Ängström"), vec!["B1".to_owned()]),
            (search_key("Example Twin"), vec!["B2".to_owned(), "p3".to_owned()]),
        ]
        .into();
        let known = Known {
            zone: Some(chrono_tz::UTC),
            players: Some(&players),
            called: Some(&called),
            ..Known::default()
        };
        let sides = |side1: &str, side2: &str| {
            let text = format!("{HEAD}2026-05-02,C1,1,M1,bo3_tb,starting_at,11:00,{side1},{side2}\n");
            assert_eq!(
                day_in(&text).map(|day| day.to_string()).as_deref(),
                Some("2026-05-02")
            );
            read(&text, &known).map(|read| read.order.matches[0].sides.clone())
        };
        let player = |id: &str| Entrant::Player(id.to_owned());
        let read = sides("example  angstrom + p3", "B2").expect("names and ids");
        assert_eq!(read, [vec![player("B1"), player("p3")], vec![player("B2")]]);
        let refused = |side: &str| sides(side, "TBD").unwrap_err()[0].to_string();
        let twins = refused("Example Twin");
        assert!(
            twins.contains("2 players") && twins.contains("B2 or p3"),
            "{twins}"
        );
        let stranger = refused("Example Stranger");
        assert!(
            stranger.starts_with("2:") && stranger.contains("\"Example Stranger\" is no player"),
            "{stranger}"
        );
    }
}
