//! The steps in short leave nothing out: each string is named once and in its order, whatever is drawn together.
use std::ops::RangeInclusive;

use serde_json::{Value, json};
use weftdesk::craft::string_plan::in_short::{ShortStep, in_short};
use weftdesk::craft::string_plan::steps::{Action, Step, StringRef};

use crate::{planned, request};

/// A card of A6 has room for so many lines beside the cautions; counted on the printed card.
const MOST_LINES: usize = 26;

fn wishes() -> Vec<(String, Value)> {
    let mut all = Vec::new();
    for frame in ["F1", "F2", "F3", "F4"] {
        let (mains, crosses) = if frame == "F3" {
            (("25", "lb"), ("26", "lb"))
        } else {
            (("24", "kg"), ("23", "kg"))
        };
        for pieces in ["two", "one"] {
            let mut asked = request(frame, mains, crosses);
            asked["spec"]["pieces"] = json!(pieces);
            all.push((format!("{frame} in {pieces}"), asked));
        }
    }
    all
}

fn pulled(steps: &[Step]) -> Vec<StringRef> {
    let strings = steps.iter().filter_map(|step| match &step.action {
        Action::Pull { string, .. } => Some(*string),
        _ => None,
    });
    strings.collect()
}

/// "Crosses 4 to 19" as numbers, up or down.
fn crosses_in(text: &str) -> Vec<u16> {
    let words: Vec<&str> = text.split(' ').collect();
    let number = |at: usize| words[at].trim_end_matches(',').parse::<u16>().expect("a number");
    let (from, to) = (number(1), number(3));
    let up: RangeInclusive<u16> = from.min(to)..=from.max(to);
    if from <= to {
        up.collect()
    } else {
        up.rev().collect()
    }
}

fn told(line: &ShortStep) -> Vec<StringRef> {
    if line.text.starts_with("Crosses ") {
        let crosses = crosses_in(&line.text).into_iter();
        return crosses.map(|number| StringRef::Cross { number }).collect();
    }
    let (_, after) = line.text.split_once(": ").expect("the mains after a colon");
    let (list, _) = after.split_once(". ").expect("the end of the list");
    list.split(' ')
        .map(|label| {
            let (number, side) = label.split_at(label.len() - 1);
            let side = serde_json::from_value(json!(side)).expect("a side");
            StringRef::Main {
                side,
                number: number.parse().expect("a number"),
            }
        })
        .collect()
}

#[test]
fn every_step_is_told_once_and_in_its_order() {
    let mut drawn_together = 0;
    for (name, asked) in wishes() {
        let plan = planned(&asked);
        let lines = in_short(&plan.steps);
        let mut next = 1;
        for line in &lines {
            assert_eq!(line.first, next, "{name}");
            let steps = &plan.steps[usize::from(line.first) - 1..usize::from(line.last)];
            if let [step] = steps {
                let whole = line.text == step.text || line.text.contains("find the hole as above");
                assert!(whole, "{name}: {} for {}", line.text, step.text);
            } else {
                drawn_together += 1;
                assert_eq!(told(line), pulled(steps), "{name}: {}", line.text);
            }
            for code in steps.iter().flat_map(|step| &step.cautions) {
                assert!(line.cautions.contains(code), "{name}: {code} at {}", line.first);
            }
            next = line.last + 1;
        }
        assert_eq!(
            usize::from(next),
            plan.steps.len() + 1,
            "{name}: the last step is told"
        );
        assert!(lines.len() <= MOST_LINES, "{name}: {} lines", lines.len());
    }
    assert!(drawn_together >= 8, "{drawn_together} runs in eight plans");
}

#[test]
fn a_run_reads_as_a_stringer_would_say_it() {
    let plan = planned(&request("F1", ("24", "kg"), ("23", "kg")));
    let lines = in_short(&plan.steps);
    let mains = lines
        .iter()
        .find(|line| line.text.starts_with("Thread and pull"))
        .expect("the mains");
    // the order of practice: pair by pair from the centre, one ahead on a side at most
    assert_eq!(
        mains.text,
        "Thread and pull in this order: 2B 2A 3A 3B 4B 4A 5A 5B 6B 6A 7A 7B 8B 8A. \
         At each move its side's clamp over from the main before: clamp 1 on side A, clamp 2 on side B."
    );
    let crosses: Vec<&ShortStep> = lines
        .iter()
        .filter(|line| line.text.starts_with("Crosses"))
        .collect();
    assert!(
        crosses[0].text.contains("pull slowly; move"),
        "{}",
        crosses[0].text
    );
    assert_eq!(crosses[0].cautions, ["slow_at_shoulder"]);
    assert_eq!(
        crosses[1].text,
        "Crosses 4 to 19, one by one: weave with the long end, 4 in from side A and then from each side in turn; \
         pull; move clamp 1 over from the cross before."
    );
    assert_eq!(crosses[1].cautions, [] as [&str; 0]);
}

#[test]
fn how_to_find_a_hole_is_said_in_full_once() {
    let mut asked = request("F3", ("25", "lb"), ("26", "lb"));
    for hole in ["tie_off_mains", "tie_off_crosses"] {
        asked["frame"]["pattern"][hole] = json!([]);
    }
    let plan = planned(&asked);
    let lines = in_short(&plan.steps);
    let full = lines.iter().filter(|line| {
        line.text
            .contains("never on the outermost main nor on the string just pulled")
    });
    let again = lines
        .iter()
        .filter(|line| line.text.contains("find the hole as above and record it"));
    assert_eq!((full.count(), again.count()), (1, 3));
}
