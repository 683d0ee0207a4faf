//! What has to be won: the forms of a match as data.
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// How a match is won.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum MatchFormat {
    /// Tennis: points, games, sets.
    Sets(SetsFormat),
    /// Badminton and squash: every rally is a point of a game.
    Rally(RallyFormat),
}

/// A match of sets.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct SetsFormat {
    /// Sets that win the match.
    pub need: u8,
    /// Games that win a set, with a lead of two.
    pub games: u8,
    /// Games of both at which a tie-break decides; none: the set goes on until the lead is two.
    pub tb_at: Option<u8>,
    /// Points that win a tie-break, with a lead of two.
    pub tb: u8,
    /// Whether one point decides a game at deuce.
    pub noad: bool,
    /// What decides when all sets but one are shared.
    #[serde(rename = "final")]
    pub decider: Decider,
    /// Points that win the deciding set's tie-break, or the match tie-break.
    pub final_tb: u8,
}

/// The last set.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Decider {
    /// A set like the others, with its own tie-break.
    Set,
    /// A match tie-break in place of the set.
    Mtb,
}

/// A match of rally games.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct RallyFormat {
    /// Games that win the match.
    pub need: u8,
    /// Points that win a game, with a lead of two.
    pub pts: u8,
    /// Points that win a game whatever the lead.
    pub cap: Option<u8>,
    /// Points of the leader at which there is a rest inside the game.
    pub mid: Option<u8>,
    /// How long that rest is, in seconds.
    pub mid_s: f64,
    /// The rest between two games, in seconds.
    pub brk_s: f64,
}

const fn sets(need: u8, games: u8, noad: bool, decider: Decider, final_tb: u8) -> MatchFormat {
    MatchFormat::Sets(SetsFormat {
        need,
        games,
        tb_at: Some(games),
        tb: 7,
        noad,
        decider,
        final_tb,
    })
}

const fn rally(need: u8, pts: u8, cap: Option<u8>, mid: Option<u8>, mid_s: f64, brk_s: f64) -> MatchFormat {
    MatchFormat::Rally(RallyFormat {
        need,
        pts,
        cap,
        mid,
        mid_s,
        brk_s,
    })
}

/// The formats that have a name.
///
/// Tennis: ITF Rules of Tennis, rules 5 to 7 and appendix V (no-ad, short sets,
/// match tie-breaks); the ten-point tie-break of last sets: from memory. Badminton:
/// laws 7 and 16.2 (60 s when the leader reaches 11, 120 s between games). Squash:
/// 90 s between games, from memory.
pub const NAMED: [(&str, MatchFormat); 12] = [
    ("bo3_tb", sets(2, 6, false, Decider::Set, 7)),
    ("bo3_tb10", sets(2, 6, false, Decider::Set, 10)),
    ("bo5_tb", sets(3, 6, false, Decider::Set, 7)),
    ("bo5_tb10", sets(3, 6, false, Decider::Set, 10)),
    ("bo3_mtb10", sets(2, 6, false, Decider::Mtb, 10)),
    ("dbl_noad_mtb10", sets(2, 6, true, Decider::Mtb, 10)),
    ("pro8", sets(1, 8, false, Decider::Set, 7)),
    ("short4", sets(2, 4, false, Decider::Set, 7)),
    ("short4_mtb10", sets(2, 4, true, Decider::Mtb, 10)),
    ("bad_3x21", rally(2, 21, Some(30), Some(11), 60.0, 120.0)),
    ("sq_bo5_11", rally(3, 11, None, None, 0.0, 90.0)),
    ("sq_bo3_11", rally(2, 11, None, None, 0.0, 90.0)),
];

/// The format of this name.
#[must_use]
pub fn named(name: &str) -> Option<MatchFormat> {
    NAMED
        .iter()
        .find(|(known, _)| *known == name)
        .map(|(_, format)| *format)
}

/// The names of all formats that have one, joined by commas.
#[must_use]
pub fn known_names() -> String {
    NAMED.map(|(name, _)| name).join(", ")
}

impl MatchFormat {
    /// Sets or games that win the match.
    #[must_use]
    pub const fn need(&self) -> u8 {
        match self {
            Self::Sets(sets) => sets.need,
            Self::Rally(rally) => rally.need,
        }
    }

    /// What is wrong with a format given as data: the member and the way out.
    #[must_use]
    pub fn fault(&self) -> Option<(&'static str, &'static str)> {
        match self {
            Self::Sets(sets) => sets.fault(),
            Self::Rally(rally) => rally.fault(),
        }
    }
}

impl SetsFormat {
    fn fault(&self) -> Option<(&'static str, &'static str)> {
        let within = |value: u8, least: u8, most: u8| (least..=most).contains(&value);
        if !within(self.need, 1, 4) {
            Some(("need", "must be 1 to 4 sets"))
        } else if !within(self.games, 1, 12) {
            Some(("games", "must be 1 to 12 games"))
        } else if self
            .tb_at
            .is_some_and(|at| !within(at, self.games.saturating_sub(1).max(1), self.games + 6))
        {
            Some((
                "tb_at",
                "must lie between one game fewer and six games more than `games`",
            ))
        } else if !within(self.tb, 1, 30) {
            Some(("tb", "must be 1 to 30 points"))
        } else if !within(self.final_tb, 1, 30) {
            Some(("final_tb", "must be 1 to 30 points"))
        } else {
            None
        }
    }
}

impl RallyFormat {
    fn fault(&self) -> Option<(&'static str, &'static str)> {
        let rest = |seconds: f64| (0.0..=1800.0).contains(&seconds);
        if !(1..=4).contains(&self.need) {
            Some(("need", "must be 1 to 4 games"))
        } else if !(1..=50).contains(&self.pts) {
            Some(("pts", "must be 1 to 50 points"))
        } else if self.cap.is_some_and(|cap| cap < self.pts || cap > 100) {
            Some(("cap", "must be at least `pts` and at most 100"))
        } else if self.mid.is_some_and(|mid| mid == 0 || mid >= self.pts) {
            Some(("mid", "must lie below `pts`"))
        } else if !rest(self.mid_s) {
            Some(("mid_s", "must be 0 to 1800 seconds"))
        } else if !rest(self.brk_s) {
            Some(("brk_s", "must be 0 to 1800 seconds"))
        } else {
            None
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_named_format_is_sound_and_found() {
        for (name, format) in NAMED {
            assert_eq!(format.fault(), None, "{name}");
            assert_eq!(named(name), Some(format));
        }
        assert_eq!(named("best_of_9"), None);
    }

    #[test]
    fn a_format_as_data_that_cannot_be_played_names_its_member() {
        let MatchFormat::Sets(sound) = NAMED[0].1 else {
            panic!("a format of sets")
        };
        let fault = |change: fn(&mut SetsFormat)| {
            let mut format = sound;
            change(&mut format);
            MatchFormat::Sets(format).fault().map(|(member, _)| member)
        };
        assert_eq!(fault(|format| format.need = 0), Some("need"));
        assert_eq!(fault(|format| format.tb_at = Some(2)), Some("tb_at"));
        // the fast form: four games, tie-break at three all
        assert_eq!(
            fault(|format| (format.games, format.tb_at, format.tb) = (4, Some(3), 5)),
            None
        );
        assert_eq!(fault(|format| format.tb_at = None), None);
    }
}
