//! Sign-in, and the page behind the one-time link of a new desk.
//!
//! | method | address | fields |
//! |---|---|---|
//! | POST | `/sign-in` | `way=password`, `login`, `password`, `next`, `once` |
//! | POST | `/sign-in` | `way=pin`, `person`, `pin`, `next`, `once` (only on a registered device) |
//! | POST | `/sign-out` | `once` |
//! | POST | `/set-up/{token}` | `tournament_name`, `zone`, `name`, `login`, `password`, `password_again`, `once` |
use askama::Template;

use crate::pages::parts::{Choice, Field};
use crate::pages::shell::Shell;

/// The sign-in page.
#[derive(Debug, Template)]
#[template(path = "sign_in.html", config = ".askama.toml")]
pub struct SignIn {
    pub shell: Shell,
    pub login: Field,
    pub password: Field,
    /// People of this registered device, who may sign in with a PIN.
    pub people: Vec<Choice>,
    pub pin: Field,
    /// There is no tournament yet.
    pub unfounded: bool,
    /// The name of the registered device, "Bench 3".
    pub device: String,
    /// Where to go afterwards; a path of this desk.
    pub next: String,
}

/// The first page of a new desk: makes the tournament and its first admin.
#[derive(Debug, Template)]
#[template(path = "set_up.html", config = ".askama.toml")]
pub struct SetUp {
    pub shell: Shell,
    pub token: String,
    pub tournament: Vec<Field>,
    pub admin: Vec<Field>,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::page_check::{rendered, words};
    use crate::pages::parts::{Control, Fault, Problem};
    use crate::pages::shell::Surface;

    fn sign_in() -> SignIn {
        SignIn {
            shell: Shell::bare("Sign in", Surface::Day, "0192-invented"),
            login: Field::new("login", "Account", Control::Text).autocomplete("username"),
            password: Field::new("password", "Password", Control::Password).autocomplete("current-password"),
            people: vec![
                Choice::new("a1", "Ana").hint("desk"),
                Choice::new("a2", "Leo").hint("stringer"),
            ],
            pin: Field::new("pin", "PIN", Control::Pin).autocomplete("off"),
            device: "Bench 3".into(),
            unfounded: false,
            next: "/hand-in".into(),
        }
    }

    #[test]
    fn a_registered_device_offers_the_pin_and_the_password() {
        let html = rendered("sign-in", &sign_in());
        assert_eq!(html.matches("action=\"/sign-in\"").count(), 2);
        assert!(html.contains("name=\"pin\"") && html.contains("name=\"password\""));
        assert!(html.contains("inputmode=\"numeric\"") && html.contains("data-keys=\"pin\""));
    }

    #[test]
    fn an_unknown_device_offers_the_password_alone() {
        let html = rendered(
            "sign-in-password",
            &SignIn {
                people: Vec::new(),
                device: String::new(),
                ..sign_in()
            },
        );
        assert!(!html.contains("name=\"pin\""));
    }

    #[test]
    fn a_refused_sign_in_says_so_on_top_and_at_the_field() {
        let mut page = sign_in();
        let said = "Account and password do not belong together.";
        page.login = page.login.value("ana").fault(Some(said.into()));
        let fault = Fault {
            field: "login".into(),
            words: said.into(),
        };
        page.shell.problem = Some(Problem {
            faults: vec![fault],
            reference: None,
        });
        let html = rendered("sign-in-refused", &page);
        assert_eq!(words(&html).matches(said).count(), 2);
        assert!(html.contains("aria-invalid=\"true\"") && html.contains("value=\"ana\""));
        assert!(html.contains("<title>Problem: Sign in"));
    }

    #[test]
    fn the_set_up_link_asks_for_a_tournament_and_an_admin() {
        let page = SetUp {
            shell: Shell::bare("Start this desk", Surface::Day, "0192-invented"),
            token: "st_invented".into(),
            tournament: vec![
                Field::new("tournament_name", "Name of the tournament", Control::Text),
                Field::new("zone", "Time zone of the venue", Control::Text).value("Europe/Berlin"),
            ],
            admin: vec![
                Field::new("name", "Your name", Control::Text).autocomplete("name"),
                Field::new("login", "Account", Control::Text).autocomplete("username"),
                Field::new("password", "Password", Control::Password)
                    .hint("At least 12 characters.")
                    .autocomplete("new-password"),
                Field::new("password_again", "Password again", Control::Password)
                    .autocomplete("new-password"),
            ],
        };
        let html = rendered("set-up", &page);
        assert!(html.contains("action=\"/set-up/st_invented\""));
    }
}
