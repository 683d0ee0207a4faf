//! From letters to words: numbers, units, signs.
use crate::tension::TensionUnit;
use crate::wishes::{Choice, Missing, Needs, Stop};

/// A word of a wish.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Word {
    /// A number, in thousandths, with its digits as written.
    Number(i64, String),
    /// A unit of tension.
    Unit(TensionUnit),
    /// `/` between mains and crosses.
    Slash,
    /// `,` `.` `:` or `&`.
    Break,
    /// `+` before a number.
    Plus,
    /// `-` before a number.
    Minus,
    /// Any other word, in lower case.
    Plain(String),
}

const SMALL: [&str; 20] = [
    "zero",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
];
const TENS: [&str; 8] = [
    "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety",
];

/// Splits the body of a wish into words.
pub(crate) fn words(body: &str) -> Result<Vec<Word>, Stop> {
    let text: Vec<char> = body.to_lowercase().replace('½', " 1/2 ").chars().collect();
    let mut words = Vec::new();
    let mut at = 0;
    // spelled tens just read: "twenty" waits for "four", the digits "20" do not
    let mut tens = None;
    while let Some(sign) = text.get(at).copied() {
        if sign.is_ascii_digit() {
            at = numbers(&text, at, &mut words)?;
            tens = None;
        } else if sign.is_alphabetic() {
            let end = end_of(&text, at, char::is_alphabetic);
            let word = text.iter().skip(at).take(end - at).collect();
            tens = add_plain(word, tens, &mut words);
            at = end;
        } else {
            let next = text.get(at + 1).copied().unwrap_or(' ');
            let before = words.len();
            let mark = mark(sign, next, words.last())?;
            words.extend(mark);
            tens = tens.filter(|_| words.len() == before);
            at += 1;
        }
    }
    Ok(words)
}

/// The word of a punctuation mark; white space and hyphens inside words are none.
fn mark(sign: char, next: char, before: Option<&Word>) -> Result<Option<Word>, Stop> {
    Ok(match sign {
        '/' => Some(Word::Slash),
        ',' | '.' | ':' | '&' => Some(Word::Break),
        '+' if next.is_ascii_digit() => Some(Word::Plus),
        '-' if next.is_alphabetic() => None,
        '-' if matches!(before, Some(Word::Number(..))) => {
            return Err(Stop::fault(
                "A dash between two numbers can mean several things.",
                "Write 24/23 for mains and crosses, or \"one kilo down on last time\".",
            ));
        }
        '-' if next.is_ascii_digit() => Some(Word::Minus),
        other if other.is_whitespace() => None,
        other => {
            return Err(Stop::fault(
                format!("The sign {other:?} is not read in a wish."),
                "Leave it out, or write it behind a semicolon as a remark.",
            ));
        }
    })
}

fn end_of(text: &[char], from: usize, belongs: fn(char) -> bool) -> usize {
    let rest = text.iter().skip(from);
    from + rest.take_while(|sign| belongs(**sign)).count()
}

fn is_digit(sign: char) -> bool {
    sign.is_ascii_digit()
}

/// Reads a number, or numbers joined by commas without a space, from `from` on.
fn numbers(text: &[char], from: usize, words: &mut Vec<Word>) -> Result<usize, Stop> {
    let mut parts = Vec::new();
    let mut at = from;
    let mut pointed = false;
    loop {
        let end = end_of(text, at, is_digit);
        parts.push(text.iter().skip(at).take(end - at).collect::<String>());
        at = end;
        let joint = text.get(at).copied();
        let goes_on = text.get(at + 1).copied().is_some_and(is_digit);
        match joint {
            Some('.') if goes_on && parts.len() == 1 => pointed = true,
            Some(',') if goes_on && !pointed => {}
            _ => break,
        }
        at += 1;
    }
    match parts.as_slice() {
        [whole] => words.push(number(whole, None)?),
        [whole, fraction] if pointed || fraction.len() != 2 => words.push(number(whole, Some(fraction))?),
        [whole, fraction] => return Err(comma_question(text, from, at, whole, fraction)),
        list if list.iter().all(|part| part.len() >= 2) => {
            for part in list {
                words.push(number(part, None)?);
                words.push(Word::Break);
            }
        }
        _ => {
            return Err(Stop::fault(
                "Commas part numbers and decimals here, and they cannot be told apart.",
                "Write decimals with a point and put a space behind each comma: 24.5, 25.5.",
            ));
        }
    }
    Ok(at)
}

/// "24,25" may be 24.25 or two numbers.
fn comma_question(text: &[char], from: usize, end: usize, whole: &str, fraction: &str) -> Stop {
    let before: String = text.iter().take(from).collect();
    let after: String = text.iter().skip(end).collect();
    let choice = |piece: String, label: String| Choice {
        label,
        wish: format!("{before}{piece}{after}"),
    };
    let decimal = choice(format!("{whole}.{fraction}"), format!("{whole}.{fraction}"));
    let two = if before.contains("each at") {
        choice(
            format!("{whole}, {fraction}"),
            format!("{whole} and {fraction}, a racket each"),
        )
    } else {
        choice(
            format!("{whole}/{fraction}"),
            format!("mains {whole}, crosses {fraction}"),
        )
    };
    Stop::Ask(Needs {
        what: Missing::Comma,
        question: format!("Is {whole},{fraction} one number or two?"),
        choices: vec![decimal, two],
        understood: None,
    })
}

/// A number of at most 4 digits before and 3 behind the point.
pub(crate) fn number(whole: &str, fraction: Option<&str>) -> Result<Word, Stop> {
    let text = fraction.map_or_else(|| whole.to_owned(), |digits| format!("{whole}.{digits}"));
    let digits = fraction.unwrap_or("");
    let thousandths = format!("{whole}{digits:0<3}");
    if whole.len() > 4 || digits.len() > 3 {
        return Err(Stop::fault(
            format!("The number {text} has too many digits."),
            "Give at most 4 before and 3 behind the point.",
        ));
    }
    // seven digits always fit
    Ok(Word::Number(thousandths.parse().unwrap_or(0), text))
}

/// Takes over a word: a unit, a spelled number (joined to `tens` before it), or plain.
/// Answers the tens that a spelled number from one to nine may still join.
fn add_plain(word: String, tens: Option<i64>, words: &mut Vec<Word>) -> Option<i64> {
    if let Some(unit) = unit(&word) {
        words.push(Word::Unit(unit));
    } else if let Some((ten, _)) = (2_i64..).zip(TENS).find(|(_, name)| *name == word) {
        words.push(Word::Number(ten * 10_000, (ten * 10).to_string()));
        return Some(ten * 10);
    } else if let Some((small, _)) = (0_i64..).zip(SMALL).find(|(_, name)| *name == word) {
        let tens = tens.filter(|_| (1..10).contains(&small));
        if tens.is_some() {
            words.pop();
        }
        let value = tens.unwrap_or(0) + small;
        words.push(Word::Number(value * 1000, value.to_string()));
    } else {
        words.push(Word::Plain(word));
    }
    None
}

fn unit(word: &str) -> Option<TensionUnit> {
    match word {
        "kg" | "kgs" | "kgf" | "kilo" | "kilos" | "kilogram" | "kilograms" => Some(TensionUnit::Kg),
        "lb" | "lbs" | "lbf" | "pound" | "pounds" => Some(TensionUnit::Lb),
        "n" | "newton" | "newtons" => Some(TensionUnit::N),
        _ => None,
    }
}
