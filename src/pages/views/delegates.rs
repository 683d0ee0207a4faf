//! Who else may collect a player's rackets: named where the desk hears of it, and withdrawn there.
//!
//! | method | address | fields |
//! |---|---|---|
//! | POST | `/players/{id}/delegates` | `how=name_delegate` with `delegate_name`, `delegate_often=once\|always`; or `how=withdraw:NAME`; `taken` (the job whose read-back is shown again), `once` |
//!
//! Hand Out takes the same fields in its own form, so that nothing ticked there is lost.
use askama::Template;

use crate::pages::parts::Field;

/// The part of a form.
#[derive(Clone, Debug, Template)]
#[template(path = "parts/delegates.html", config = ".askama.toml")]
pub struct Delegates {
    /// Name, and how often they may come.
    pub named: Vec<(String, &'static str)>,
    pub name: Field,
    pub often: Field,
}

impl askama::filters::HtmlSafe for Delegates {}
