//! From what was said to tensions: units, last time, questions.
use crate::sport::Sport;
use crate::tension::{Tension, TensionUnit};
use crate::units::NEWTONS_PER_KGF;
use crate::wishes::grammar::{self, Amount, Said, SaidRacket, Side, decimal};
use crate::wishes::read_back::{self, read_back};
use crate::wishes::words::{self, Word};
use crate::wishes::{
    Choice, MOST_CHARACTERS, MOST_REMARK_CHARACTERS, Missing, Needs, RacketWish, ResolvedWish, Stop,
    WishContext,
};

const UNITS: [TensionUnit; 3] = [TensionUnit::Kg, TensionUnit::Lb, TensionUnit::N];

/// Whether players of `sport` ask for such a pull at all.
///
/// Wide bounds, from memory: 12 to 34 kgf in tennis, 7 to 17 kgf in badminton, 8
/// to 17 kgf in squash. They decide what is asked, never what is strung: that is
/// the frame maker's range.
#[must_use]
pub fn is_plausible(tension: &Tension, sport: Sport) -> bool {
    let (low_kgf, high_kgf) = match sport {
        Sport::Tennis => (12.0, 34.0),
        Sport::Badminton => (7.0, 17.0),
        Sport::Squash => (8.0, 17.0),
    };
    (low_kgf..=high_kgf).contains(&(tension.newtons().get() / NEWTONS_PER_KGF))
}

/// A wish on its way.
struct Wish<'a> {
    context: &'a WishContext<'a>,
    body: &'a str,
    remark: Option<&'a str>,
    said: Said,
}

/// Resolves the wish, or stops with a fault or a question.
pub(crate) fn resolve(text: &str, context: &WishContext<'_>) -> Result<ResolvedWish, Stop> {
    let (body, remark) = text.split_once(';').unwrap_or((text, ""));
    let remark = Some(remark.trim()).filter(|remark| !remark.is_empty());
    for (what, part, most) in [
        ("wish", body, MOST_CHARACTERS),
        ("remark", remark.unwrap_or(""), MOST_REMARK_CHARACTERS),
    ] {
        if part.chars().count() > most {
            return Err(Stop::fault(
                format!("The {what} is longer than {most} characters."),
                "Give the tensions here and the rest as a note.",
            ));
        }
    }
    let words = words::words(body).map_err(|stop| with_remark(stop, remark))?;
    let (said, read) = grammar::parse(&words);
    let of_now = context.now.is_some() && !said.last_named;
    let understood = read_back::understood(&said, of_now);
    let wish = Wish {
        context,
        body: body.trim(),
        remark,
        said,
    };
    let done = read.and_then(|()| wish.tensions());
    let (rackets, cautions) = done.map_err(|stop| stop.having_understood(understood))?;
    Ok(ResolvedWish {
        as_said: text.trim().to_owned(),
        read_back: wish.read_back(&rackets),
        cautions: cautions
            .into_iter()
            .chain(unusual(&rackets, context.sport))
            .collect(),
        rackets,
        pieces: wish.said.pieces,
        remarks: remark.map(str::to_owned).into_iter().collect(),
    })
}

/// The choices of a question about the body go on with the remark.
fn with_remark(stop: Stop, remark: Option<&str>) -> Stop {
    match (stop, remark) {
        (Stop::Ask(mut needs), Some(remark)) => {
            for choice in &mut needs.choices {
                choice.wish = format!("{}; {remark}", choice.wish);
            }
            Stop::Ask(needs)
        }
        (stop, _) => stop,
    }
}

/// What is said of tensions that players of the sport hardly ever ask for.
fn unusual(rackets: &[RacketWish], sport: Sport) -> Vec<String> {
    let mut told: Vec<String> = Vec::new();
    let odd = rackets.iter().flat_map(|racket| [&racket.mains, &racket.crosses]);
    for tension in odd.filter(|tension| !is_plausible(tension, sport)) {
        let text = format!(
            "{} is unusual for {}: make sure of number and unit.",
            read_back::tension(tension),
            sport.name()
        );
        if !told.contains(&text) {
            told.push(text);
        }
    }
    told
}

type Tensions = (Vec<RacketWish>, Vec<String>);

impl Wish<'_> {
    fn tensions(&self) -> Result<Tensions, Stop> {
        let relative = self.said.same || !self.said.changes.is_empty();
        match (relative, self.said.rackets.is_empty()) {
            (true, false) => Err(Stop::fault(
                "A tension and a change on last time are both said.",
                "Say the tensions, such as 24/23, or the change, such as \"one kilo down on last time\".",
            )),
            (true, true) => self.relative(),
            (false, true) => Err(self.ask_tension()),
            (false, false) => self.absolute(),
        }
    }

    fn read_back(&self, rackets: &[RacketWish]) -> String {
        read_back(rackets, self.said.pieces, self.remark)
    }

    /// No tension was said.
    fn ask_tension(&self) -> Stop {
        let as_last = self.context.last.map(|last| {
            let racket = RacketWish {
                mains: last.mains.tension.clone(),
                crosses: last.crosses.tension.clone(),
            };
            Choice {
                label: format!("as last time: {}", read_back::tensions(&racket)),
                wish: self.read_back(&[racket]),
            }
        });
        Stop::Ask(Needs {
            what: Missing::Tension,
            question: "What tension, mains and crosses?".to_owned(),
            choices: as_last.into_iter().collect(),
            understood: None,
        })
    }

    /// The unit the player speaks in: the one on record, else that of last time.
    fn remembered(&self) -> Option<TensionUnit> {
        let last = || {
            let last = self.context.now.or(self.context.last)?;
            let unit = last.mains.tension.unit();
            (unit == last.crosses.tension.unit()).then_some(unit)
        };
        self.context.usual_unit.or_else(last)
    }

    fn absolute(&self) -> Result<Tensions, Stop> {
        let pairs = self.pairs()?;
        let amounts = || pairs.iter().flat_map(|(mains, crosses)| [*mains, *crosses]);
        let mut units: Vec<TensionUnit> = Vec::new();
        for unit in amounts().filter_map(|amount| amount.unit) {
            if !units.contains(&unit) {
                units.push(unit);
            }
        }
        let open = amounts().any(|amount| amount.unit.is_none());
        match (open, units.as_slice()) {
            (false, [first, ..]) | (true, [first]) => Ok((in_unit(&pairs, *first)?, Vec::new())),
            (true, [_, _, ..]) => Err(Stop::fault(
                "Two units are said, and a number has none.",
                "Say the unit behind each number.",
            )),
            (_, []) => self.without_unit(&pairs),
        }
    }

    /// Mains and crosses of each racket, or the question for the one that is missing.
    fn pairs(&self) -> Result<Vec<(&Amount, &Amount)>, Stop> {
        let rackets = &self.said.rackets;
        let mut pairs = Vec::with_capacity(rackets.len());
        for (number, racket) in (1..).zip(rackets) {
            let SaidRacket {
                mains: Some(mains),
                crosses: Some(crosses),
            } = racket
            else {
                let only = racket.mains.as_ref().or(racket.crosses.as_ref());
                return Err(match (only, rackets.len()) {
                    (Some(amount), 1) => self.ask_other_side(racket.mains.is_some(), amount),
                    _ => Stop::fault(
                        format!("Racket {number} has not both tensions."),
                        "Say mains and crosses for each racket.",
                    ),
                });
            };
            pairs.push((mains, crosses));
        }
        Ok(pairs)
    }

    fn ask_other_side(&self, mains_said: bool, amount: &Amount) -> Stop {
        let other = if mains_said { "crosses" } else { "mains" };
        let amount = read_back::amount(amount);
        let wish = format!(
            "{}, {other} {amount}",
            self.body.trim_end_matches(['.', ',', ' '])
        );
        let ask = Stop::Ask(Needs {
            what: Missing::Tension,
            question: format!("What tension for the {other}?"),
            choices: vec![Choice {
                label: format!("also {amount}"),
                wish,
            }],
            understood: None,
        });
        with_remark(ask, self.remark)
    }

    /// No unit was said: the one chosen beside the words if players ask for that, the remembered one if no
    /// other can be meant, else a question.
    fn without_unit(&self, pairs: &[(&Amount, &Amount)]) -> Result<Tensions, Stop> {
        let mut fitting = Vec::new();
        for unit in UNITS {
            let rackets = in_unit(pairs, unit)?;
            if unusual(&rackets, self.context.sport).is_empty() {
                fitting.push((unit, rackets));
            }
        }
        let chosen = fitting
            .iter()
            .find(|(unit, _)| Some(*unit) == self.context.chosen_unit);
        if let Some((_, rackets)) = chosen {
            return Ok((rackets.clone(), Vec::new()));
        }
        // what was chosen and does not fit is asked about, never replaced by what is remembered
        let remembered = match self.context.chosen_unit {
            Some(_) => None,
            None => self.remembered(),
        };
        match (fitting.as_slice(), remembered) {
            ([], _) => Err(Stop::fault(
                format!(
                    "No unit makes this a usual tension for {}.",
                    self.context.sport.name()
                ),
                "Say the unit as well if it is meant so, such as 10 kg.",
            )),
            ([(unit, rackets)], Some(usual)) if *unit == usual => Ok((rackets.clone(), Vec::new())),
            (several, _) => Err(self.ask_unit(several)),
        }
    }

    fn ask_unit(&self, choices: &[(TensionUnit, Vec<RacketWish>)]) -> Stop {
        let symbols: Vec<&str> = choices.iter().map(|(unit, _)| unit.symbol()).collect();
        Stop::Ask(Needs {
            what: Missing::Unit,
            question: format!("In which unit: {}?", symbols.join(" or ")),
            choices: choices
                .iter()
                .map(|(unit, rackets)| Choice {
                    label: unit.symbol().to_owned(),
                    wish: self.read_back(rackets),
                })
                .collect(),
            understood: None,
        })
    }

    /// "same as last time", "one kilo down on last time".
    fn relative(&self) -> Result<Tensions, Stop> {
        // what is asked for now is not last time: whoever names that means the stringing before
        let of_now = self.context.now.filter(|_| !self.said.last_named);
        let Some(last) = of_now.or(self.context.last) else {
            return Err(Stop::Ask(Needs {
                what: Missing::LastSpec,
                question: "Nothing is on record from last time. What tension, mains and crosses?".to_owned(),
                choices: Vec::new(),
                understood: None,
            }));
        };
        let (mains, crosses) = (&last.mains.tension, &last.crosses.tension);
        let mut units = Vec::new();
        for unit in [self.context.usual_unit, Some(mains.unit()), Some(crosses.unit())] {
            units.extend(unit.filter(|unit| !units.contains(unit)));
        }
        let open = self
            .said
            .changes
            .iter()
            .any(|change| change.amount.unit.is_none());
        if let Some(chosen) = self.context.chosen_unit {
            return self.changed(mains, crosses, chosen);
        }
        if open && units.len() > 1 {
            let mut choices = Vec::new();
            for unit in units {
                let (rackets, _) = self.changed(mains, crosses, unit)?;
                choices.push((unit, rackets));
            }
            return Err(self.ask_unit(&choices));
        }
        self.changed(mains, crosses, mains.unit())
    }

    /// Last time's tensions with every change, a bare number taken in `unit`.
    fn changed(&self, mains: &Tension, crosses: &Tension, unit: TensionUnit) -> Result<Tensions, Stop> {
        let mut racket = RacketWish {
            mains: mains.clone(),
            crosses: crosses.clone(),
        };
        let mut cautions = Vec::new();
        for change in &self.said.changes {
            let unit = change.amount.unit.unwrap_or(unit);
            for (side, tension) in [
                (Side::Mains, &mut racket.mains),
                (Side::Crosses, &mut racket.crosses),
            ] {
                if change.side.is_some_and(|only| only != side) {
                    continue;
                }
                let step = milli_in(change.amount.milli, unit, tension.unit())?;
                if unit != tension.unit() {
                    let text = format!(
                        "{} {} was taken as {} {}.",
                        change.amount.text,
                        unit.symbol(),
                        decimal(step),
                        tension.unit().symbol()
                    );
                    if !cautions.contains(&text) {
                        cautions.push(text);
                    }
                }
                *tension = moved(tension, if change.up { step } else { -step })?;
            }
        }
        Ok((vec![racket], cautions))
    }
}

/// The tensions with `unit` behind every number that has none.
fn in_unit(pairs: &[(&Amount, &Amount)], unit: TensionUnit) -> Result<Vec<RacketWish>, Stop> {
    let tension = |amount: &Amount| parse(&amount.text, amount.unit.unwrap_or(unit));
    pairs
        .iter()
        .map(|(mains, crosses)| {
            Ok(RacketWish {
                mains: tension(mains)?,
                crosses: tension(crosses)?,
            })
        })
        .collect()
}

fn parse(text: &str, unit: TensionUnit) -> Result<Tension, Stop> {
    Tension::parse(text, unit).map_err(|fault| {
        Stop::fault(
            format!("The tension {text} {fault}."),
            "Give the tension as a number such as 24.5.",
        )
    })
}

/// A step in thousandths of another unit, rounded to a tenth where it is converted.
fn milli_in(milli: i64, from: TensionUnit, to: TensionUnit) -> Result<i64, Stop> {
    if from == to {
        return Ok(milli);
    }
    let number: f64 = decimal(milli).parse().unwrap_or(f64::NAN);
    milli_of(&format!("{:.1}", number * from.newtons() / to.newtons()))
}

fn milli_of(text: &str) -> Result<i64, Stop> {
    let (whole, fraction) = text.split_once('.').unwrap_or((text, "0"));
    match words::number(whole, Some(fraction))? {
        Word::Number(milli, _) => Ok(milli),
        _ => Ok(0),
    }
}

fn moved(tension: &Tension, step: i64) -> Result<Tension, Stop> {
    let milli = milli_of(tension.value())? + step;
    if milli <= 0 {
        return Err(Stop::fault(
            format!(
                "Nothing is left of {} after that change.",
                read_back::tension(tension)
            ),
            "Say the tension itself.",
        ));
    }
    parse(&decimal(milli), tension.unit())
}
