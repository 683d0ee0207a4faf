//! What is wrong with an order of play that can be read.
use std::collections::{BTreeMap, BTreeSet};

use super::order::{OrderOfPlay, StartRule};
use super::venue_time::{ClockChange, day_instant};
use crate::text_enum::text_enum;

text_enum! {
    /// Why an order of play, or an event of it, is refused.
    pub enum Refusal, "refusal" {
        /// The text is not of its form at all.
        Unreadable = "unreadable",
        /// A value is missing.
        Missing = "missing",
        /// A value or member that does not belong there.
        NotAValue = "not_a_value",
        /// No such court.
        UnknownCourt = "unknown_court",
        /// No such player.
        UnknownPlayer = "unknown_player",
        /// No such format, or one that cannot be played.
        UnknownFormat = "unknown_format",
        /// No such time zone.
        UnknownZone = "unknown_zone",
        /// No such match in an event.
        UnknownMatch = "unknown_match",
        /// Two matches of one id.
        MatchTwice = "match_twice",
        /// Two courts of one id.
        CourtTwice = "court_twice",
        /// Two matches at one place of a court.
        PlaceTwice = "place_twice",
        /// One player on both sides, or twice on one.
        PlayerTwice = "player_twice",
        /// Matches that wait for one another.
        Cycle = "cycle",
        /// A time before the day of play.
        BeforeTheDay = "before_the_day",
        /// An event outside this day, or for a match of another one.
        OtherDay = "other_day",
        /// A score that becomes less without being a correction.
        ScoreBackward = "score_backward",
        /// A score that a match of this format cannot have.
        NotAScore = "not_a_score",
        /// A change of an older version of the order.
        StaleVersion = "stale_version",
        /// A move of a match under way behind one that waits.
        LiveMatchMoved = "live_match_moved",
        /// What is over cannot begin again, what has not begun cannot be scored.
        WrongState = "wrong_state",
        /// Two different events under one number of one source.
        EventTwice = "event_twice",
    }
}

text_enum! {
    /// What is accepted, and worth a word.
    pub enum Remark, "remark" {
        /// A time that the clock shows twice: the first is meant.
        ClockShowsTwice = "clock_shows_twice",
        /// A time that the clock jumps over: the offset before the jump is meant.
        ClockJumpsOver = "clock_jumps_over",
        /// A result of a match that is not in this order of play: to be decided elsewhere.
        DecidedElsewhere = "decided_elsewhere",
        /// A player with two matches and no rest given between them; the day's default counts.
        NoRestGiven = "no_rest_given",
        /// A match that starts before its court opens.
        BeforeOpening = "before_opening",
        /// A match that was taken to be over because the next one began.
        FinishInferred = "finish_inferred",
        /// A court whose last matches will probably not fit before it closes.
        MayBeMoved = "may_be_moved",
        /// The same event a second time.
        EventRepeated = "event_repeated",
    }
}

/// Where in an order of play something stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Spot {
    /// The order itself, and its member.
    Order(&'static str),
    /// A court by its place in the list, and its member.
    Court(usize, &'static str),
    /// A match by its place in the list, and its member.
    Match(usize, &'static str),
}

/// One fault.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OrderFault {
    /// Why it is refused.
    pub refusal: Refusal,
    /// Where it stands.
    pub spot: Spot,
    /// What is wrong, and the way out.
    pub detail: String,
}

/// One remark.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OrderRemark {
    /// What is remarked.
    pub remark: Remark,
    /// Where it stands.
    pub spot: Spot,
    /// In words.
    pub detail: String,
}

/// Everything that is wrong with the order.
#[must_use]
pub fn faults(order: &OrderOfPlay) -> Vec<OrderFault> {
    let mut faults = Vec::new();
    twice(order, &mut faults);
    for (place, played) in order.matches.iter().enumerate() {
        let mut add = |refusal, member, detail: String| {
            faults.push(OrderFault {
                refusal,
                spot: Spot::Match(place, member),
                detail,
            });
        };
        if order.court(&played.court).is_none() {
            let known: Vec<&str> = order.courts.iter().map(|court| court.id.as_str()).collect();
            let detail = format!(
                "court {} is not in the list; use one of: {}",
                played.court,
                known.join(", ")
            );
            add(Refusal::UnknownCourt, "court", detail);
        }
        if matches!(played.start.rule, StartRule::StartingAt | StartRule::NotBefore)
            && played.start.time.is_none()
        {
            add(
                Refusal::Missing,
                "start",
                format!("{} needs a time", played.start.rule),
            );
        }
        let mut seen = BTreeSet::new();
        for player in played.players().filter(|player| !seen.insert(*player)) {
            add(
                Refusal::PlayerTwice,
                "sides",
                format!("player {player} plays twice in this match"),
            );
        }
    }
    if let Some(cycle) = cycle(order) {
        let places = order.places();
        let names: Vec<&str> = cycle
            .iter()
            .map(|place| order.matches[*place].id.as_str())
            .collect();
        let first = names.first().copied().unwrap_or_default();
        let detail = format!(
            "matches wait for one another: {} waits for {first}",
            names.join(" waits for ")
        );
        let place = places.get(first).copied().unwrap_or_default();
        faults.push(OrderFault {
            refusal: Refusal::Cycle,
            spot: Spot::Match(place, "after"),
            detail,
        });
    }
    faults
}

/// Ids and places that stand twice.
fn twice(order: &OrderOfPlay, faults: &mut Vec<OrderFault>) {
    let mut courts = BTreeSet::new();
    for (place, court) in order.courts.iter().enumerate() {
        if !courts.insert(&court.id) {
            let detail = format!("court {} stands twice; give each court once", court.id);
            faults.push(OrderFault {
                refusal: Refusal::CourtTwice,
                spot: Spot::Court(place, "id"),
                detail,
            });
        }
    }
    let mut ids = BTreeSet::new();
    let mut places = BTreeMap::new();
    for (place, played) in order.matches.iter().enumerate() {
        if !ids.insert(&played.id) {
            let detail = format!("match {} stands twice; give each match once", played.id);
            faults.push(OrderFault {
                refusal: Refusal::MatchTwice,
                spot: Spot::Match(place, "id"),
                detail,
            });
        } else if let Some(other) = places.insert((&played.court, played.seq), &played.id) {
            let detail = format!(
                "court {} has match {other} at place {} already",
                played.court, played.seq
            );
            faults.push(OrderFault {
                refusal: Refusal::PlaceTwice,
                spot: Spot::Match(place, "seq"),
                detail,
            });
        }
    }
}

/// A ring of matches, each of which waits for the next, if there is one.
#[must_use]
pub fn cycle(order: &OrderOfPlay) -> Option<Vec<usize>> {
    let waits = waits(order);
    // 0 not seen, 1 on the way, 2 done
    let mut seen = vec![0_u8; order.matches.len()];
    for start in 0..order.matches.len() {
        let mut path = vec![(start, 0_usize)];
        while let Some((place, next)) = path.last().copied() {
            if next == 0 {
                seen[place] = 1;
            }
            let Some(&feeder) = waits[place].get(next) else {
                seen[place] = 2;
                path.pop();
                continue;
            };
            if let Some(last) = path.last_mut() {
                last.1 += 1;
            }
            if seen[feeder] == 1 {
                let from = path.iter().position(|(on, _)| *on == feeder).unwrap_or(0);
                return Some(path[from..].iter().map(|(on, _)| *on).collect());
            }
            if seen[feeder] == 0 {
                path.push((feeder, 0));
            }
        }
    }
    None
}

/// For each match those it waits for: the one before it on the court, and its feeders.
#[must_use]
pub fn waits(order: &OrderOfPlay) -> Vec<Vec<usize>> {
    let places = order.places();
    let mut waits: Vec<Vec<usize>> = order
        .matches
        .iter()
        .map(|played| {
            played
                .feeders()
                .filter_map(|id| places.get(id).copied())
                .collect()
        })
        .collect();
    for court in order.by_court().values() {
        for pair in court.windows(2) {
            waits[pair[1]].push(pair[0]);
        }
    }
    for feeders in &mut waits {
        feeders.sort_unstable();
        feeders.dedup();
    }
    waits
}

/// What is accepted, and worth a word.
#[must_use]
pub fn remarks(order: &OrderOfPlay) -> Vec<OrderRemark> {
    let mut remarks = Vec::new();
    for (place, played) in order.matches.iter().enumerate() {
        let feeders: BTreeSet<&str> = played.feeders().filter(|id| order.find(id).is_none()).collect();
        for feeder in feeders {
            let member = if played.after.iter().any(|id| id == feeder) {
                "after"
            } else {
                "sides"
            };
            let detail =
                format!("match {feeder} is not in this order of play; its result is taken as still to come");
            remarks.push(OrderRemark {
                remark: Remark::DecidedElsewhere,
                spot: Spot::Match(place, member),
                detail,
            });
        }
        let Some(time) = played.start.time else { continue };
        let spot = Spot::Match(place, "start");
        let change = day_instant(order.zone, order.day, time).map(|(_, change)| change);
        if change == Some(ClockChange::ShownTwice) {
            let detail = format!("{time} is shown twice that night; the first is meant");
            remarks.push(OrderRemark {
                remark: Remark::ClockShowsTwice,
                spot,
                detail,
            });
        }
        if change == Some(ClockChange::NeverShown) {
            let detail = format!("the clock jumps over {time}; the offset before the jump is taken");
            remarks.push(OrderRemark {
                remark: Remark::ClockJumpsOver,
                spot,
                detail,
            });
        }
        let opens = order.court(&played.court).and_then(|court| court.opens);
        if opens.is_some_and(|opens| time < opens) {
            let detail = format!("{time} is before court {} opens", played.court);
            remarks.push(OrderRemark {
                remark: Remark::BeforeOpening,
                spot,
                detail,
            });
        }
    }
    players_who_play_again(order, &mut remarks);
    remarks
}

fn players_who_play_again(order: &OrderOfPlay, remarks: &mut Vec<OrderRemark>) {
    let mut of_player: BTreeMap<&str, usize> = BTreeMap::new();
    for (place, played) in order.matches.iter().enumerate() {
        for player in played.players() {
            let again = of_player.insert(player, place).is_some();
            if again && played.rest_min.is_none() {
                let detail = format!(
                    "player {player} plays again; {} minutes of rest are taken",
                    order.defaults.rest_min
                );
                remarks.push(OrderRemark {
                    remark: Remark::NoRestGiven,
                    spot: Spot::Match(place, "rest_min"),
                    detail,
                });
            }
        }
    }
}
