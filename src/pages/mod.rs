//! The HTML door: screens for the desk, the bench, the wall and the player, and what is printed.
//!
//! Shape in, one call of the desk, shape out. No SQL and no rule of the trade lives here.
//! `views` holds what each screen prints, as strings and numbers ready to show;
//! `templates/` holds the markup, `static/` the styles and the small scripts, `locales/` the player's languages.
//! Every form works without a script: it posts a hidden key and is answered with a redirect.
pub mod handlers;
#[cfg(test)]
mod page_check;
pub mod parts;
pub mod qr;
pub mod shell;
pub mod static_files;
pub mod views;
pub mod wording;

pub use handlers::{configure, no_such_page};
