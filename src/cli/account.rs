//! `weftdesk account`: accounts by hand, on the machine of the database.
use std::io::BufRead;

use clap::{Args, Subcommand};

use crate::access::secrets::{Password, Pin};
use crate::cli::database::{DatabaseOption, block_on};
use crate::cli::{Failure, answer};
use crate::craft::roles::Role;
use crate::desk::found::{NewAccount, add_account};
use crate::desk::reset_password::reset_password;
use crate::desk::sign_in::fresh_token;
use crate::desk::{Caller, Clock, Desk, DeskError};
use crate::storage::{Store, accounts, tournaments};

/// What `weftdesk account` takes.
#[derive(Debug, Args)]
pub struct Arguments {
    #[command(flatten)]
    database: DatabaseOption,
    /// The tournament's id, where there are several.
    #[arg(long, global = true)]
    tournament: Option<String>,
    #[command(subcommand)]
    what: What,
}

#[derive(Debug, Subcommand)]
enum What {
    /// Add an account; without --password-stdin a password is made up and printed once.
    Add {
        /// What is typed to sign in.
        sign_in: String,
        /// What they may do: desk, stringer, coordinator, runner, referee, accounts or admin.
        #[arg(long)]
        role: Role,
        /// The name that others see; the sign-in when absent.
        #[arg(long)]
        name: Option<String>,
        /// A PIN of 4 to 8 digits for registered devices.
        #[arg(long)]
        pin: Option<String>,
        /// Read the password from the first line of standard input.
        #[arg(long)]
        password_stdin: bool,
    },
    /// List accounts.
    List,
    /// Set a new password; without --password-stdin one is made up and printed once.
    Password {
        /// Whose.
        sign_in: String,
        /// Read the password from the first line of standard input.
        #[arg(long)]
        password_stdin: bool,
    },
}

/// Does it.
///
/// # Errors
/// [`Failure::Refused`] for what can't be, [`Failure::CouldNotRun`] without a database.
pub fn run(arguments: Arguments) -> Result<(), Failure> {
    drop(arguments.database.open_existing()?);
    let store = arguments
        .database
        .tell(Store::open(&arguments.database.database))?;
    let desk = Desk::new(store, Clock::real());
    block_on(async {
        let tournament = the_tournament(&desk, arguments.tournament).await?;
        match arguments.what {
            What::Add {
                sign_in,
                role,
                name,
                pin,
                password_stdin,
            } => {
                let password = Typed::get(password_stdin)?;
                let new = NewAccount {
                    display_name: name.unwrap_or_else(|| sign_in.clone()),
                    sign_in: sign_in.clone(),
                    role,
                    password_hash: Some(password.hash()?),
                    pin_hash: pin.as_deref().map(pin_hash).transpose()?,
                    stringer_id: None,
                };
                let system = Caller::system(&tournament);
                let added = desk.write(&system, move |tx| add_account(tx, new)).await;
                added.map_err(|error| refused(&error))?;
                answer(&format!("{sign_in} may sign in as {role}.{}\n", password.shown()))
            }
            What::List => list(&desk, tournament).await,
            What::Password {
                sign_in,
                password_stdin,
            } => {
                let password = Typed::get(password_stdin)?;
                let hash = password.hash()?;
                let system = Caller::system(&tournament);
                let whose = sign_in.clone();
                let set = desk
                    .write(&system, move |tx| reset_password(tx, &whose, hash))
                    .await;
                set.map_err(|error| refused(&error))?;
                answer(&format!("{sign_in} has a new password.{}\n", password.shown()))
            }
        }
    })?
}

async fn list(desk: &Desk, tournament: String) -> Result<(), Failure> {
    let accounts = desk
        .read(move |db| Ok::<_, DeskError>(accounts::all(db, &tournament)?))
        .await
        .map_err(|error| refused(&error))?;
    let mut text = String::new();
    for account in accounts {
        let state = if account.active { "" } else { "\tswitched off" };
        text += &format!(
            "{}\t{}\t{}{state}\n",
            account.sign_in, account.role, account.display_name
        );
    }
    answer(&text)
}

async fn the_tournament(desk: &Desk, wanted: Option<String>) -> Result<String, Failure> {
    let all = desk
        .read(|db| Ok::<_, DeskError>(tournaments::all(db)?))
        .await
        .map_err(|error| refused(&error))?;
    let said = match (wanted, all.as_slice()) {
        (Some(id), all) if all.iter().any(|one| one.id == id) => return Ok(id),
        (Some(id), _) => format!("--tournament: there is no {id} here"),
        (None, [only]) => return Ok(only.id.clone()),
        (None, []) => {
            "There is no tournament yet: start `weftdesk serve` and open the link it prints.".to_owned()
        }
        (None, several) => {
            let ids: Vec<&str> = several.iter().map(|one| one.id.as_str()).collect();
            format!(
                "--tournament: there are several; choose one of {}",
                ids.join(", ")
            )
        }
    };
    Err(Failure::Refused(vec![said]))
}

fn refused(error: &DeskError) -> Failure {
    match error {
        DeskError::Invalid(faults) => Failure::Refused(
            faults
                .iter()
                .map(|fault| format!("{}: {}", fault.pointer.trim_start_matches('/'), fault.detail))
                .collect(),
        ),
        DeskError::NotFound(_) => Failure::Refused(vec!["There is no such account.".to_owned()]),
        other => Failure::CouldNotRun(other.to_string()),
    }
}

/// A password that was typed, or made up and then shown once.
struct Typed {
    text: String,
    made_up: bool,
}

impl Typed {
    fn get(from_stdin: bool) -> Result<Self, Failure> {
        let could_not = |error: &dyn std::fmt::Display| Failure::CouldNotRun(error.to_string());
        if !from_stdin {
            let text = fresh_token()
                .map_err(|error| could_not(&error))?
                .chars()
                .take(20)
                .collect();
            return Ok(Self { text, made_up: true });
        }
        let mut line = String::new();
        std::io::stdin()
            .lock()
            .read_line(&mut line)
            .map_err(|error| could_not(&error))?;
        Ok(Self {
            text: line.trim_end_matches(['\r', '\n']).to_owned(),
            made_up: false,
        })
    }

    fn hash(&self) -> Result<String, Failure> {
        let refused = |fault| Failure::Refused(vec![format!("password: {fault}")]);
        Password::parse(&self.text)
            .map_err(refused)?
            .hash()
            .map_err(refused)
    }

    fn shown(&self) -> String {
        if self.made_up {
            format!(" Password, shown this once: {}", self.text)
        } else {
            String::new()
        }
    }
}

fn pin_hash(typed: &str) -> Result<String, Failure> {
    let refused = |fault| Failure::Refused(vec![format!("--pin: {fault}")]);
    Pin::parse(typed).map_err(refused)?.hash().map_err(refused)
}
