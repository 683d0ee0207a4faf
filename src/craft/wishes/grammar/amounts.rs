//! Numbers with halves, quarters and units, alone or in pairs.
use crate::wishes::Stop;
use crate::wishes::grammar::{Amount, Reader, SaidRacket};
use crate::wishes::words::Word;

impl Reader<'_> {
    /// "24/23" or "24" for both.
    pub(super) fn pair(&mut self) -> Result<Option<SaidRacket>, Stop> {
        let Some(mains) = self.amount()? else {
            return Ok(None);
        };
        if self.word(0) != Some(&Word::Slash) {
            return Ok(Some(SaidRacket {
                mains: Some(mains.clone()),
                crosses: Some(mains),
            }));
        }
        self.at += 1;
        let Some(crosses) = self.amount()? else {
            return Err(Stop::fault(
                "No tension follows the stroke.",
                "Write mains and crosses, such as 24/23.",
            ));
        };
        let unit = crosses.unit;
        let mains = Amount {
            unit: mains.unit.or(unit),
            ..mains
        };
        let crosses = Amount {
            unit: unit.or(mains.unit),
            ..crosses
        };
        Ok(Some(SaidRacket {
            mains: Some(mains),
            crosses: Some(crosses),
        }))
    }

    /// "24", "24.5 kg", "24 and a half", "a kilo and a half", "half a kilo".
    pub(super) fn amount(&mut self) -> Result<Option<Amount>, Stop> {
        let (mut milli, mut text) = match (self.word(0), self.word(1)) {
            (Some(Word::Number(milli, text)), _) => (*milli, Some(text.clone())),
            (Some(Word::Plain(word)), Some(Word::Unit(_))) if word == "a" || word == "one" => (1000, None),
            (Some(Word::Plain(word)), _) if word == "half" => (500, None),
            _ => return Ok(None),
        };
        self.at += 1;
        if milli == 500 && text.is_none() {
            self.take(&["a"]);
        } else if let Some(more) = self.fraction() {
            (milli, text) = (milli + more, None);
        }
        let unit = match self.word(0) {
            Some(Word::Unit(unit)) => Some(*unit),
            _ => None,
        };
        if unit.is_some() {
            self.at += 1;
            if let Some(more) = self.fraction() {
                (milli, text) = (milli + more, None);
            }
        }
        if milli == 0 {
            return Err(Stop::fault(
                "A tension must be above 0.",
                "Give the tension in kilograms, pounds or newtons.",
            ));
        }
        let text = text.unwrap_or_else(|| decimal(milli));
        Ok(Some(Amount { milli, text, unit }))
    }

    /// "and a half", "1/2" behind a number, in thousandths.
    fn fraction(&mut self) -> Option<i64> {
        if let (Some(Word::Number(1000, _)), Some(Word::Slash), Some(Word::Number(below, _))) =
            (self.word(0), self.word(1), self.word(2))
        {
            let part = match below {
                2000 => 500,
                4000 => 250,
                _ => return None,
            };
            self.at += 3;
            return Some(part);
        }
        let mut ahead = usize::from(self.plain(0) == "and");
        ahead += usize::from(self.plain(ahead) == "a");
        let part = match self.plain(ahead) {
            "half" => 500,
            "quarter" => 250,
            _ => return None,
        };
        // "24 half" is not said, "24 and half" is
        (ahead > 0).then(|| {
            self.at += ahead + 1;
            part
        })
    }
}

/// Thousandths as decimal text without needless zeros.
pub(crate) fn decimal(milli: i64) -> String {
    let (whole, part) = (milli / 1000, milli % 1000);
    if part == 0 {
        return whole.to_string();
    }
    format!("{whole}.{part:03}").trim_end_matches('0').to_owned()
}
