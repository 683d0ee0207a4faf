//! From words to what was said: tensions per racket, changes, pieces.
mod amounts;
mod several;

use crate::spec::Pieces;
use crate::tension::TensionUnit;
use crate::wishes::words::Word;

use crate::wishes::Stop;
pub(crate) use amounts::decimal;

/// A number with the unit said beside it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Amount {
    /// The number in thousandths.
    pub(crate) milli: i64,
    /// Its digits as said.
    pub(crate) text: String,
    /// The unit, if said.
    pub(crate) unit: Option<TensionUnit>,
}

/// Mains or crosses.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Side {
    Mains,
    Crosses,
}

/// The tensions said for one racket.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct SaidRacket {
    pub(crate) mains: Option<Amount>,
    pub(crate) crosses: Option<Amount>,
}

/// A change on last time, or on what is asked for now.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Change {
    pub(crate) amount: Amount,
    pub(crate) up: bool,
    /// Both sides where none is named.
    pub(crate) side: Option<Side>,
}

/// All that was said.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Said {
    pub(crate) rackets: Vec<SaidRacket>,
    pub(crate) changes: Vec<Change>,
    pub(crate) same: bool,
    /// Whether last time was named.
    pub(crate) last_named: bool,
    pub(crate) pieces: Option<Pieces>,
}

/// Words that carry no meaning here.
const FILLERS: [&str; 17] = [
    "please", "thanks", "thank", "you", "at", "with", "string", "strung", "it", "them", "the", "all", "and",
    "tension", "racket", "rackets", "each",
];

/// Reads the words; what was understood comes along where it stops.
pub(crate) fn parse(words: &[Word]) -> (Said, Result<(), Stop>) {
    let mut reader = Reader {
        words,
        at: 0,
        said: Said::default(),
        numbered: false,
    };
    let result = reader.read();
    (reader.said, result)
}

struct Reader<'a> {
    words: &'a [Word],
    at: usize,
    said: Said,
    /// Whether the last racket was opened by its number and may still be filled.
    numbered: bool,
}

impl Reader<'_> {
    fn read(&mut self) -> Result<(), Stop> {
        while let Some(word) = self.words.get(self.at) {
            let known = self.racket_number()?
                || self.pieces()?
                || self.same()
                || self.change_by_direction()?
                || self.sides()?
                || self.several()?
                || self.tension()?;
            if known {
                continue;
            }
            match word {
                Word::Break => self.at += 1,
                Word::Plain(text) if FILLERS.contains(&text.as_str()) => self.at += 1,
                other => return Err(not_read(other)),
            }
        }
        Ok(())
    }

    fn word(&self, ahead: usize) -> Option<&Word> {
        self.words.get(self.at + ahead)
    }

    fn plain(&self, ahead: usize) -> &str {
        match self.word(ahead) {
            Some(Word::Plain(text)) => text,
            _ => "",
        }
    }

    /// Takes the next word if it is one of `texts`.
    fn take(&mut self, texts: &[&str]) -> bool {
        let taken = texts.contains(&self.plain(0));
        self.at += usize::from(taken);
        taken
    }

    /// "racket 2:" opens the next racket.
    fn racket_number(&mut self) -> Result<bool, Stop> {
        let (true, Some(Word::Number(milli, text))) = (self.plain(0) == "racket", self.word(1)) else {
            return Ok(false);
        };
        let next = self.said.rackets.len() + 1;
        if i64::try_from(next)
            .ok()
            .and_then(|number| number.checked_mul(1000))
            != Some(*milli)
        {
            return Err(Stop::fault(
                format!("\"Racket {text}\" comes out of turn."),
                format!("Go on with racket {next}."),
            ));
        }
        self.add(SaidRacket::default(), 1)?;
        self.numbered = true;
        self.at += 2;
        Ok(true)
    }

    /// "two knots", "one piece".
    fn pieces(&mut self) -> Result<bool, Stop> {
        let Some(Word::Number(milli, text)) = self.word(0) else {
            return Ok(false);
        };
        let pieces = match (*milli, self.plain(1)) {
            (2000, "knots") | (1000, "piece") => Pieces::One,
            (4000, "knots") | (2000, "piece" | "pieces") => Pieces::Two,
            (_, "knot" | "knots" | "piece" | "pieces") => {
                return Err(Stop::fault(
                    format!("{text} {} cannot be.", self.plain(1)),
                    "Say two knots for one piece, four knots for two pieces.",
                ));
            }
            _ => return Ok(false),
        };
        if self.said.pieces.is_some_and(|before| before != pieces) {
            return Err(Stop::fault(
                "One piece and two pieces are both said.",
                "Say two knots for one piece, or four knots for two pieces.",
            ));
        }
        self.said.pieces = Some(pieces);
        self.at += 2;
        Ok(true)
    }

    /// "same as last time", "as last time".
    fn same(&mut self) -> bool {
        let like = matches!(self.plain(0), "as" | "like") && self.plain(1) == "last";
        if !self.take(&["same"]) && !like {
            return false;
        }
        self.said.same = true;
        self.take(&["again"]);
        if self.take(&["as", "like"]) {
            self.last_time();
        }
        true
    }

    fn last_time(&mut self) {
        self.take(&["the"]);
        if self.take(&["last", "before", "previous"]) {
            self.said.last_named = true;
            self.take(&["time", "one", "job"]);
        }
    }

    /// "down one kilo", "+2 lb".
    fn change_by_direction(&mut self) -> Result<bool, Stop> {
        let up = match self.word(0) {
            Some(Word::Plus) => Some(true),
            Some(Word::Minus) => Some(false),
            Some(Word::Plain(text)) => direction(text),
            _ => None,
        };
        let Some(up) = up else { return Ok(false) };
        self.at += 1;
        let Some(amount) = self.amount()? else {
            return Err(Stop::fault(
                "It is not said by how much.",
                "Say for example \"one kilo down on last time\".",
            ));
        };
        self.change(amount, up);
        Ok(true)
    }

    /// "... on the crosses", "... on last time" behind a change.
    fn change(&mut self, amount: Amount, up: bool) {
        let mut side = None;
        while matches!(self.plain(0), "on" | "in" | "from" | "than" | "for") {
            let ahead = 1 + usize::from(self.plain(1) == "the");
            match (side_named(self.plain(ahead)), self.plain(ahead)) {
                (Some(named), _) if side.is_none() => {
                    side = Some(named);
                    self.at += ahead + 1;
                }
                (_, "last" | "before" | "previous") => {
                    self.at += 1;
                    self.last_time();
                }
                _ => break,
            }
        }
        self.said.changes.push(Change { amount, up, side });
    }

    /// "mains 24", "mains and crosses 52 lb".
    fn sides(&mut self) -> Result<bool, Stop> {
        let Some(first) = side_named(self.plain(0)) else {
            return Ok(false);
        };
        self.at += 1;
        let ahead = usize::from(self.plain(0) == "and");
        let second = side_named(self.plain(ahead)).filter(|side| *side != first);
        if second.is_some() {
            self.at += ahead + 1;
        }
        while self.take(&["at", "on", "with"]) || self.word(0) == Some(&Word::Break) {
            self.at += usize::from(self.word(0) == Some(&Word::Break));
        }
        let Some(amount) = self.amount()? else {
            return Err(Stop::fault(
                format!("No tension is said for the {}.", name(first)),
                "Say for example \"mains 24, crosses 23\".",
            ));
        };
        self.assign(first, amount.clone())?;
        if let Some(second) = second {
            self.assign(second, amount)?;
        }
        Ok(true)
    }

    fn assign(&mut self, side: Side, amount: Amount) -> Result<(), Stop> {
        if self.said.rackets.is_empty() {
            self.add(SaidRacket::default(), 1)?;
        }
        let numbered = self.numbered;
        let several = self.said.rackets.len() > 1 && !numbered;
        let Some(racket) = self.said.rackets.last_mut() else {
            return Ok(());
        };
        let place = match side {
            Side::Mains => &mut racket.mains,
            Side::Crosses => &mut racket.crosses,
        };
        if several || place.is_some() {
            return Err(twice());
        }
        *place = Some(amount);
        Ok(())
    }

    /// A bare amount: a change, one side, or a pair.
    fn tension(&mut self) -> Result<bool, Stop> {
        let from = self.at;
        let Some(amount) = self.amount()? else {
            return Ok(false);
        };
        if let Some(up) = direction(self.plain(0)) {
            self.at += 1;
            self.change(amount, up);
            return Ok(true);
        }
        let ahead = if matches!(self.plain(0), "on" | "in" | "for") {
            1
        } else {
            0
        };
        let ahead = ahead + usize::from(self.plain(ahead) == "the");
        // "24 mains": a number behind the side's name would belong to that name
        if let Some(side) = side_named(self.plain(ahead)) {
            self.at += ahead + 1;
            self.assign(side, amount)?;
            return Ok(true);
        }
        self.at = from;
        let Some(racket) = self.pair()? else {
            return Ok(false);
        };
        match self.said.rackets.last_mut() {
            None => self.add(racket, 1)?,
            Some(open) if self.numbered && *open == SaidRacket::default() => *open = racket,
            Some(_) => return Err(twice()),
        }
        Ok(true)
    }
}

fn direction(word: &str) -> Option<bool> {
    match word {
        "up" | "more" | "higher" | "tighter" | "harder" => Some(true),
        "down" | "less" | "lower" | "looser" | "softer" => Some(false),
        _ => None,
    }
}

fn side_named(word: &str) -> Option<Side> {
    match word {
        "main" | "mains" => Some(Side::Mains),
        "cross" | "crosses" => Some(Side::Crosses),
        _ => None,
    }
}

fn name(side: Side) -> &'static str {
    match side {
        Side::Mains => "mains",
        Side::Crosses => "crosses",
    }
}

fn twice() -> Stop {
    Stop::fault(
        "More than one tension is said.",
        "Write 24/23 for mains and crosses, or \"one each at 24 and 25\" for several rackets.",
    )
}

fn not_read(word: &Word) -> Stop {
    let shown = match word {
        Word::Number(_, text) | Word::Plain(text) => text.clone(),
        Word::Unit(unit) => unit.symbol().to_owned(),
        Word::Slash => "/".to_owned(),
        Word::Plus => "+".to_owned(),
        Word::Minus => "-".to_owned(),
        Word::Break => ",".to_owned(),
    };
    Stop::fault(
        format!("\"{shown}\" is not understood here."),
        "Leave it out, or write it behind a semicolon as a remark.",
    )
}
