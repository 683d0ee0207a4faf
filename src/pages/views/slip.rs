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
    pub unknowns: Vec<String>,
    /// Cautions of the whole job, which no single step has.
    pub general: Vec<String>,
    pub steps: Vec<SlipStep>,
    /// Those of the steps, numbered from 1 as the steps name them.
    pub cautions: Vec<String>,
}

/// So many letters of names leave the drawing its size.
const ROOMY: usize = 110;

impl Slip {
    /// Whether the names take so much of the card that the drawing gives way.
    fn is_crowded(&self) -> bool {
        let names = [
            &self.player,
            &self.racket,
            &self.mains.string,
            &self.crosses.string,
        ];
        names.iter().map(|name| name.chars().count()).sum::<usize>() > ROOMY
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
