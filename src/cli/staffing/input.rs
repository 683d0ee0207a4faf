//! What is asked: a day of known rackets, or an order of play with what players usually bring.
use std::path::Path;

use chrono_tz::Tz;

use crate::cli::Failure;
use crate::cli::input_file::{self, InputFile};
use crate::cli::schedule::refused;
use crate::cli::staffing::Arguments;
use crate::craft::dispatch::file;
use crate::craft::dispatch::problem::{Clamp, Station};
use crate::craft::loose::Loose;
use crate::craft::match_times::day_plan::DayPlan;
use crate::craft::match_times::day_state::DayState;
use crate::craft::match_times::forecast::forecast;
use crate::craft::match_times::length::{Chances, Lengths};
use crate::craft::match_times::order::OrderOfPlay;
use crate::craft::match_times::venue_time::DayTime;
use crate::craft::match_times::who_plays::who_plays;
use crate::craft::rehearse::{Count, Trial, stations_at_least, trials, with_stations};
use crate::craft::tomorrow::draw::ExpectedDay;
use crate::forms::order_of_play::{self, Form, Known};
use crate::forms::place::FormFault;
use crate::forms::racket_habits::{self, Habits};

/// The day, ready to be played.
pub(super) struct Asked {
    /// What it is called.
    pub(super) name: String,
    /// Its repetitions.
    pub(super) trials: Vec<Trial>,
    /// Millimetres of each string by name, over repetitions; empty where nothing tells it.
    pub(super) strings: Vec<(String, Count)>,
}

pub(super) fn read(arguments: &Arguments) -> Result<Asked, Failure> {
    let input = input_file::read(&arguments.file)?;
    if is_day(&input) {
        if let Some(path) = &arguments.rackets {
            let detail = "belongs to an order of play; a day has its rackets in it";
            return Err(Failure::Refused(vec![format!(
                "--rackets {}: {detail}",
                path.display()
            )]));
        }
        return of_day(&input, arguments);
    }
    let habits = match &arguments.rackets {
        Some(path) => habits(path)?,
        None => {
            let detail = format!(
                "{}: an order of play needs --rackets with what players usually bring; a table of the \
                 columns player,rackets with no rows takes every player for usual",
                input.name
            );
            return Err(Failure::Refused(vec![detail]));
        }
    };
    of_order(&input, habits, arguments)
}

/// A JSON document of a day names its format; everything else is tried as an order of play.
fn is_day(input: &InputFile) -> bool {
    Form::of(&input.text) == Form::Json && !input.text.contains(order_of_play::SCHEMA)
}

fn of_day(input: &InputFile, arguments: &Arguments) -> Result<Asked, Failure> {
    let document: Loose = input.json()?;
    let mut day = file::day(&document).map_err(|faults| refused(input, &faults))?;
    if let Some(stations) = arguments.stations {
        day = with_stations(&day, usize::from(stations));
    }
    Ok(Asked {
        name: day.problem.name.clone(),
        trials: trials(&day, arguments.repeat, arguments.seed),
        strings: Vec::new(),
    })
}

fn habits(path: &Path) -> Result<Habits, Failure> {
    let input = input_file::read(path)?;
    racket_habits::read(&input.text).map_err(|faults| placed(&input, &faults))
}

fn placed(input: &InputFile, faults: &[FormFault]) -> Failure {
    Failure::Refused(
        faults
            .iter()
            .map(|fault| format!("{}:{fault}", input.name))
            .collect(),
    )
}

fn of_order(input: &InputFile, habits: Habits, arguments: &Arguments) -> Result<Asked, Failure> {
    let zone = match &arguments.zone {
        None => None,
        Some(name) => Some(name.parse::<Tz>().map_err(|_unknown| {
            Failure::Refused(vec![format!(
                "--zone: \"{name}\" is no IANA time zone, such as Europe/Paris (unknown_zone)"
            )])
        })?),
    };
    let opens: DayTime = arguments
        .opens
        .parse()
        .map_err(|fault| Failure::Refused(vec![format!("--opens: \"{}\" {fault}", arguments.opens)]))?;
    let known = Known {
        zone,
        ..Known::default()
    };
    let read = order_of_play::read(&input.text, &known).map_err(|faults| placed(input, &faults))?;
    let expected = expected(read.order, &habits, opens);
    let repeat = usize::try_from(arguments.repeat).unwrap_or(usize::MAX);
    let mut drawn = expected.draw(repeat, arguments.seed);
    let stations = arguments
        .stations
        .map_or_else(|| stations_at_least(&drawn.trials), usize::from);
    for trial in &mut drawn.trials {
        trial.day = with_stations(&trial.day, stations);
    }
    let asked = |place: usize| {
        let of = |asked: &Vec<i64>| usize::try_from(asked[place]).unwrap_or(0);
        Count::of(drawn.asked_mm.iter().map(of).collect())
    };
    let strings = (0..habits.strings.len()).map(asked);
    Ok(Asked {
        name: expected.plan.order.day.to_string(),
        strings: habits.strings.iter().cloned().zip(strings).collect(),
        trials: drawn.trials,
    })
}

fn expected(order: OrderOfPlay, habits: &Habits, opens: DayTime) -> ExpectedDay {
    let mut lengths = Lengths::default();
    let plan = DayPlan::new(order, Chances::default(), &mut lengths);
    let state = DayState::default();
    let times = forecast(&plan, &state, None, &mut lengths);
    let plays = (0..plan.order.matches.len()).map(|place| who_plays(&plan.order, &times, place));
    ExpectedDay {
        plays: plays.collect(),
        times,
        state,
        // more are copies of it
        stations: vec![Station {
            id: 0,
            clamp: Clamp::Swivel,
            pace: 1000,
            windows: Vec::new(),
            loaded: None,
            first: Vec::new(),
        }],
        opens_s: i64::from(opens.minutes()) * 60,
        habits: habits.by_player.clone(),
        waiting: Vec::new(),
        strings: habits.strings.len(),
        plan,
    }
}
