//! The bench slip, A6: specification and drawing in front, the steps and cautions behind.
//!
//! | method | address | fields |
//! |---|---|---|
//! | GET | `/jobs/{id}/slip` | the slip as the plan is now, to print |
use askama::Template;

use crate::pages::views::plan::{Cut, PullValue};

/// The whole sheet.
#[derive(Debug, Template)]
#[template(path = "slip.html", config = ".askama.toml")]
pub struct Slip {
    pub code: String,
    pub player: String,
    pub racket: String,
    pub frame: String,
    pub ready_by: String,
    /// Venue time, "13:02".
    pub printed_at: String,
    /// That the wish was changed after an earlier slip; empty otherwise.
    pub changed: String,
    pub mains: PullValue,
    pub crosses: PullValue,
    pub cuts: Vec<Cut>,
    pub method: String,
    pub facts: Vec<String>,
    /// A finished `<svg>` of this frame, made by the desk itself: printed as it is.
    pub drawing_svg: String,
    /// What its lines and marks mean.
    pub legend: Vec<&'static str>,
    pub unknowns: Vec<String>,
    /// Cautions of the whole job, which no single step has.
    pub general: Vec<String>,
    pub steps: Vec<SlipStep>,
    /// Those of the steps, numbered from 1 as the steps name them.
    pub cautions: Vec<String>,
}

/// So many letters in front leave the drawing its size.
const ROOMY: usize = 220;

impl Slip {
    /// Whether the words take so much of the card that they are set smaller and the drawing gives way.
    fn is_crowded(&self) -> bool {
        let strings = if self.is_one_string() { 1 } else { 2 };
        let names = [&self.player, &self.racket, &self.frame, &self.method];
        let letters = |text: &String| text.chars().count();
        let names: usize = names.into_iter().chain(&self.facts).map(letters).sum();
        names + strings * letters(&self.crosses.string) > ROOMY
    }

    /// Mains and crosses are of one string that is treated alike: it is named once.
    fn is_one_string(&self) -> bool {
        let said = |pull: &PullValue| (pull.string.clone(), pull.words());
        said(&self.mains) == said(&self.crosses)
    }
}

impl PullValue {
    /// What is to be known beside the string: what was asked, where that is not what is set, and the pre-stretch.
    fn words(&self) -> String {
        let asked = format!("asked {}", self.asked);
        let asked = match (
            self.remark.as_str(),
            self.asked == format!("{} {}", self.set, self.unit),
        ) {
            ("", true) => "",
            ("", false) => asked.as_str(),
            (remark, _) => remark,
        };
        let said = [asked, self.pre_stretch.as_str()];
        said.into_iter()
            .filter(|words| !words.is_empty())
            .map(|words| format!(" · {words}"))
            .collect()
    }
}

/// A step, or a run of steps that are alike.
#[derive(Clone, Debug)]
pub struct SlipStep {
    /// "7" or "11–24".
    pub numbers: String,
    pub words: String,
    /// Numbers of the cautions that bite here.
    pub cautions: Vec<usize>,
}
