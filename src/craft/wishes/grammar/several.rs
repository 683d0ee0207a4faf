//! Several rackets in one clause.
use crate::wishes::grammar::amounts::decimal;
use crate::wishes::grammar::{Reader, SaidRacket};
use crate::wishes::words::Word;
use crate::wishes::{MOST_RACKETS, Stop};

impl Reader<'_> {
    /// "one each at 24, 25 and 26", "two at 24", "each at 24".
    pub(super) fn several(&mut self) -> Result<bool, Stop> {
        let count = match self.word(0) {
            Some(Word::Number(milli, _)) => Some(*milli),
            _ => None,
        };
        let mut ahead = usize::from(count.is_some());
        if ahead == 1 && matches!(self.plain(1), "racket" | "rackets") {
            ahead += 1;
        }
        let each = self.plain(ahead) == "each";
        ahead += usize::from(each);
        if self.plain(ahead) != "at" || (count.is_none() && !each) {
            return Ok(false);
        }
        let many = count.map_or(Ok(1), racket_count)?;
        self.at += ahead + 1;
        self.numbered = false;
        let mut found = false;
        while let Some(racket) = self.pair()? {
            found = true;
            self.add(racket, many)?;
            if !each || !self.list_goes_on() {
                break;
            }
        }
        if found {
            Ok(true)
        } else {
            Err(Stop::fault(
                "No tension follows \"at\".",
                "Say for example \"one each at 24 and 25\".",
            ))
        }
    }

    /// Steps over ", " and "and" if another tension of the list comes behind them.
    fn list_goes_on(&mut self) -> bool {
        let mut ahead = 0;
        while self.word(ahead) == Some(&Word::Break) || self.plain(ahead) == "and" {
            ahead += 1;
        }
        let is_number = matches!(self.word(ahead), Some(Word::Number(..)));
        // a count in front of "knots", "at" or "each" belongs to the next clause
        let other = matches!(
            self.plain(ahead + 1),
            "knots" | "knot" | "piece" | "pieces" | "at" | "each" | "rackets" | "racket"
        );
        if ahead == 0 || !is_number || other {
            return false;
        }
        self.at += ahead;
        true
    }

    pub(super) fn add(&mut self, racket: SaidRacket, many: usize) -> Result<(), Stop> {
        if self.said.rackets.len() + many > MOST_RACKETS {
            return Err(Stop::fault(
                format!("More than {MOST_RACKETS} rackets are named."),
                "Take them down in several wishes.",
            ));
        }
        self.said.rackets.extend(std::iter::repeat_n(racket, many));
        Ok(())
    }
}

fn racket_count(milli: i64) -> Result<usize, Stop> {
    let whole = usize::try_from(milli / 1000).unwrap_or(0);
    if milli % 1000 != 0 || whole == 0 || whole > MOST_RACKETS {
        return Err(Stop::fault(
            format!("{} is no number of rackets.", decimal(milli)),
            format!("Give 1 to {MOST_RACKETS} rackets, such as \"two at 24\"."),
        ));
    }
    Ok(whole)
}
