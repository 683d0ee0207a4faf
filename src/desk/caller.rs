//! Who asks: an account in one tournament, perhaps on a registered device.
use chrono::{DateTime, Utc};

use crate::craft::roles::{Permission, Role};
use crate::desk::refusal::{DeskError, DeskResult};

/// The person or machine on whose behalf something is done.
#[derive(Debug, Clone)]
pub struct Caller {
    tournament: String,
    /// The account; `None` for the service itself, a wall screen or a player's link.
    pub account_id: Option<String>,
    /// What they may do.
    pub role: Role,
    /// The registered device, if any.
    pub device_id: Option<String>,
    /// The device's own time of the tap, where it was sent.
    pub device_at: Option<DateTime<Utc>>,
}

impl Caller {
    /// A signed-in account.
    #[must_use]
    pub fn account(tournament: &str, account_id: &str, role: Role) -> Self {
        Self {
            tournament: tournament.to_owned(),
            account_id: Some(account_id.to_owned()),
            role,
            device_id: None,
            device_at: None,
        }
    }

    /// The service itself.
    #[must_use]
    pub fn system(tournament: &str) -> Self {
        Self {
            tournament: tournament.to_owned(),
            account_id: None,
            role: Role::System,
            device_id: None,
            device_at: None,
        }
    }

    /// The tournament that everything the caller asks for belongs to.
    #[must_use]
    pub fn tournament(&self) -> &str {
        &self.tournament
    }

    /// The text under which the caller's idempotency keys are kept.
    #[must_use]
    pub fn scope(&self) -> String {
        self.account_id
            .clone()
            .or_else(|| self.device_id.clone())
            .unwrap_or_else(|| self.role.as_str().to_owned())
    }

    /// Refuses a role that is not among `roles`; an admin may whatever a coordinator may.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`].
    pub fn must_be(&self, roles: &[Role]) -> DeskResult<()> {
        let fits = roles.iter().any(|role| self.role.stands_in_for(*role));
        if fits { Ok(()) } else { Err(DeskError::NotAllowed) }
    }

    /// Refuses a role that lacks a permission; one that reaches its own things alone has it.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`].
    pub fn must(&self, needs: Permission) -> DeskResult<()> {
        if self.role.may(needs) {
            Ok(())
        } else {
            Err(DeskError::NotAllowed)
        }
    }
}
