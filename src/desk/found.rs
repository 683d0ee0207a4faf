//! Founding: a tournament with its first admin, by hand, by link or by the demo.
use chrono::{DateTime, TimeDelta, Utc};
use chrono_tz::Tz;
use serde_json::json;

use crate::craft::ids::{AccountId, TournamentId};
use crate::craft::roles::Role;
use crate::desk::records::TournamentSettings;
use crate::desk::refusal::{DeskError, DeskResult, MemberFault, Thing};
use crate::desk::sign_in::token_hash;
use crate::desk::{Caller, Desk, Tx, ids, text_member};
use crate::storage::accounts::{self, Account};
use crate::storage::sessions::{self, SetUpLink};
use crate::storage::tournaments::{self, Tournament};
use crate::storage::workshop::people;
use crate::storage::{Db, to_record};

/// How long a one-time set-up link lives.
const LINK_LIFETIME: TimeDelta = TimeDelta::hours(24);

/// A tournament to found.
#[derive(Debug, Clone)]
pub struct NewTournament {
    /// Its name.
    pub name: String,
    /// The venue's time zone, IANA name.
    pub time_zone: String,
    /// Its settings.
    pub settings: TournamentSettings,
}

/// An account to add. Hashes were made by the door.
#[derive(Debug, Clone)]
pub struct NewAccount {
    /// What is typed to sign in, unique in the tournament.
    pub sign_in: String,
    /// The name that others see.
    pub display_name: String,
    /// What they may do.
    pub role: Role,
    /// Hash of the password, if they sign in with one.
    pub password_hash: Option<String>,
    /// Hash of the PIN for registered devices, if any.
    pub pin_hash: Option<String>,
    /// The stringer this account is, if any.
    pub stringer_id: Option<String>,
}

impl Desk {
    /// Founds a tournament; answers its id.
    ///
    /// # Errors
    /// [`DeskError::Invalid`] for a name or zone that can't be.
    pub async fn found_tournament(&self, new: NewTournament) -> DeskResult<String> {
        let (id, ()) = self.found(new, |_tx| Ok(())).await?;
        Ok(id)
    }

    /// Founds a tournament with its first admin by a one-time link, all of it or nothing;
    /// answers the tournament's id and the account.
    ///
    /// # Errors
    /// As [`Self::found_tournament`], [`check_link`] and [`add_account`].
    pub async fn found_by_link(
        &self,
        new: NewTournament,
        token: &str,
        admin: NewAccount,
    ) -> DeskResult<(String, Account)> {
        let (token, wall) = (token.to_owned(), self.clock().wall());
        self.found(new, move |tx| {
            check_link(tx.db, &token, wall)?;
            // of two who use it at the same moment the second waits here, and finds it used
            if !sessions::use_link(tx.db, &token_hash(&token), wall.into())? {
                return Err(DeskError::NotFound(Thing::Link));
            }
            add_account(tx, admin)
        })
        .await
    }

    /// A new tournament and what belongs to it from the first moment, in one transaction.
    async fn found<T: Send + 'static>(
        &self,
        new: NewTournament,
        first: impl FnOnce(&mut Tx<'_>) -> DeskResult<T> + Send + 'static,
    ) -> DeskResult<(String, T)> {
        check(&new)?;
        let (id, now) = (ids::new::<TournamentId>(), self.clock().desk());
        let row = Tournament {
            id: id.clone(),
            name: new.name.trim().to_owned(),
            time_zone: new.time_zone,
            record: to_record(&new.settings)?,
            sequence: 0,
            version: 1,
            created_at: now.into(),
        };
        let (caller, memory) = (Caller::system(&id), self.court_memory());
        let work = move |db: &mut Db| {
            tournaments::insert(db, &row)?;
            let mut tx = Tx::enter(db, &caller, now, memory)?;
            tx.emit("tournament.founded", &row.id, &json!({}))?;
            let made = first(&mut tx)?;
            tx.close()?;
            Ok::<_, DeskError>(made)
        };
        let made = self.store().write(&id, work).await?;
        Ok((id, made))
    }

    /// Makes a one-time link for the first admin of a fresh database; answers its token.
    ///
    /// # Errors
    /// [`DeskError::Storage`].
    pub async fn make_set_up_link(&self) -> DeskResult<String> {
        let token = crate::desk::sign_in::fresh_token()?;
        let row = SetUpLink {
            token_hash: token_hash(&token),
            tournament_id: None,
            expires_at: (self.clock().wall() + LINK_LIFETIME).into(),
            used_at: None,
        };
        self.store()
            .write("", move |db| Ok::<_, DeskError>(sessions::insert_link(db, &row)?))
            .await?;
        Ok(token)
    }
}

/// Refuses a set-up link that is unknown, used or too old.
///
/// # Errors
/// [`DeskError::NotFound`] with [`Thing::Link`].
pub fn check_link(db: &mut Db, token: &str, wall: DateTime<Utc>) -> DeskResult<()> {
    sessions::link(db, &token_hash(token))?
        .filter(|link| link.used_at.is_none() && link.expires_at.utc() > wall)
        .map(|_| ())
        .ok_or(DeskError::NotFound(Thing::Link))
}

/// Refuses a tournament without a name or with a zone that is none, both at once.
///
/// # Errors
/// [`DeskError::Invalid`].
pub fn check(new: &NewTournament) -> DeskResult<()> {
    let mut faults = Vec::new();
    if new.name.trim().is_empty() || new.name.chars().count() > 120 {
        let detail = "Give a name of 1 to 120 characters.";
        faults.push(MemberFault::at("/name", "out_of_range", detail));
    }
    if new.time_zone.parse::<Tz>().is_err() {
        let detail = "Give an IANA time zone, such as Europe/Paris.";
        faults.push(MemberFault::at("/time_zone", "invalid_value", detail));
    }
    if faults.is_empty() {
        Ok(())
    } else {
        Err(DeskError::Invalid(faults))
    }
}

/// Adds an account.
///
/// # Errors
/// [`DeskError::NotAllowed`] unless an admin or the service asks,
/// [`DeskError::Invalid`] for a sign-in that can't be or is taken.
pub fn add_account(tx: &mut Tx<'_>, new: NewAccount) -> DeskResult<Account> {
    tx.caller.must_be(&[Role::Admin, Role::System])?;
    let sign_in = new.sign_in.trim().to_lowercase();
    if !(1..=60).contains(&sign_in.chars().count()) || sign_in.chars().any(char::is_whitespace) {
        let detail = "Give 1 to 60 characters without spaces.";
        return Err(DeskError::member("/sign_in", "out_of_range", detail));
    }
    if accounts::all(tx.db, tx.tournament())?
        .iter()
        .any(|account| account.sign_in == sign_in)
    {
        return Err(DeskError::member(
            "/sign_in",
            "already_exists",
            "Somebody has this sign-in; choose another.",
        ));
    }
    refuse_roles_without_people(new.role)?;
    known_stringer(tx, new.stringer_id.as_deref())?;
    let account = Account {
        id: ids::new::<AccountId>(),
        tournament_id: tx.tournament().to_owned(),
        sign_in,
        display_name: text_member::name(&new.display_name, "/display_name")?,
        role: new.role.as_str().to_owned(),
        password_hash: new.password_hash,
        pin_hash: new.pin_hash,
        stringer_id: new.stringer_id,
        active: true,
        version: 1,
        created_at: tx.at(),
    };
    accounts::insert(tx.db, &account)?;
    tx.emit("account.added", &account.id, &json!({"role": account.role}))?;
    Ok(account)
}

/// The service, wall screens, links and keys are no people and sign in nowhere.
pub(super) fn refuse_roles_without_people(role: Role) -> DeskResult<()> {
    if Role::OF_PEOPLE.contains(&role) {
        return Ok(());
    }
    let detail = "Give a role of people: desk, stringer, coordinator, runner, referee, accounts or admin.";
    Err(DeskError::member("/role", "invalid_value", detail))
}

/// Refuses a stringer who is none of this tournament's.
pub(super) fn known_stringer(tx: &mut Tx<'_>, id: Option<&str>) -> DeskResult<()> {
    match id {
        Some(id) if people::find(tx.db, tx.tournament(), id)?.is_none() => {
            let detail = "No such stringer; add them first.";
            Err(DeskError::member("/stringer_id", "unknown_reference", detail))
        }
        _ => Ok(()),
    }
}
