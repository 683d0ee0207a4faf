//! Who may do what and see what, per role.
//!
//! What a role may do to one job in one state stands in [`crate::job`];
//! here stands what does not depend on a job's state. "Own" grants are narrowed
//! further by whoever knows whose job, run or match it is.
use crate::text_enum::text_enum;

text_enum! {
    /// On whose behalf something is asked for.
    pub enum Role, "role" {
        /// Takes rackets in and hands them out.
        Desk = "desk",
        /// Strings rackets at a station.
        Stringer = "stringer",
        /// Steers the whole room.
        Coordinator = "coordinator",
        /// Carries rackets between desk and courts.
        Runner = "runner",
        /// The office that keeps the order of play.
        Referee = "referee",
        /// Charges, payments and the day's end.
        Accounts = "accounts",
        /// Sets up the tournament, its keys and its people.
        Admin = "admin",
        /// Another system with an API key; its scopes narrow it.
        Integration = "integration",
        /// The service itself, such as the dispatcher.
        System = "system",
        /// A wall screen.
        Board = "board",
        /// The holder of a player's private link.
        PlayerLink = "player_link",
    }
}

text_enum! {
    /// Something a role may do or see anywhere in the tournament.
    pub enum Permission, "permission" {
        /// See that jobs exist, their states and their times.
        SeeJobTimes = "see_job_times",
        /// See strings, tensions and notes.
        SeeSpec = "see_spec",
        /// See how to reach a player.
        SeeContact = "see_contact",
        /// See single charges and payments.
        SeeMoney = "see_money",
        /// See the day's sums of money.
        SeeMoneyTotals = "see_money_totals",
        /// Take rackets in.
        Intake = "intake",
        /// Hand rackets out.
        HandOut = "hand_out",
        /// String: phases, checks, readings.
        Bench = "bench",
        /// Hold and release jobs.
        Hold = "hold",
        /// Rush a job for a player on court.
        CourtRush = "court_rush",
        /// Rush any job.
        Rush = "rush",
        /// Move work between stations, set shifts.
        MoveWork = "move_work",
        /// See matches and when they start.
        SeeMatches = "see_matches",
        /// Change matches and the order of play.
        ChangeMatches = "change_matches",
        /// Check machines and instruments.
        Calibrate = "calibrate",
        /// See the machine book.
        SeeMachines = "see_machines",
        /// Receive, open, count and write off strings.
        Stock = "stock",
        /// Read the frame records.
        SeeFrames = "see_frames",
        /// Change the frame records.
        ChangeFrames = "change_frames",
        /// Take a payment.
        TakePayment = "take_payment",
        /// Refund, and close the day.
        RefundAndClose = "refund_and_close",
        /// Set up courts, stations, machines, prices, tolerances.
        SetUp = "set_up",
        /// Manage accounts, roles, devices, keys and webhooks; correct a job.
        ManageAccess = "manage_access",
    }
}

/// How far a permission reaches.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Reach {
    /// Not at all.
    None,
    /// Only what belongs to the caller: a player's rackets, a runner's runs,
    /// a stringer's assigned jobs, a board's initials.
    Own,
    /// Only with the API key's scope of [`Permission::scope`].
    WithScope,
    /// Everything in the tournament.
    All,
}

impl Role {
    /// Roles of people, who sign in.
    pub const OF_PEOPLE: [Self; 7] = [
        Self::Desk,
        Self::Stringer,
        Self::Coordinator,
        Self::Runner,
        Self::Referee,
        Self::Accounts,
        Self::Admin,
    ];

    /// How far `permission` reaches for this role.
    #[must_use]
    pub fn reach(self, permission: Permission) -> Reach {
        use Permission as P;
        match self {
            Self::Admin => match permission {
                P::ManageAccess | P::SetUp | P::ChangeFrames | P::SeeMoney => Reach::All,
                P::SeeContact => Reach::All,
                other => Self::Coordinator.reach(other),
            },
            Self::System => Reach::All,
            Self::Coordinator => all_but(
                permission,
                &[
                    P::SeeMoney,
                    P::TakePayment,
                    P::RefundAndClose,
                    P::SetUp,
                    P::ManageAccess,
                ],
            ),
            Self::Desk => only(
                permission,
                &[
                    P::SeeJobTimes,
                    P::SeeSpec,
                    P::SeeContact,
                    P::SeeMoney,
                    P::SeeMoneyTotals,
                    P::Intake,
                    P::HandOut,
                    P::Hold,
                    P::CourtRush,
                    P::SeeMatches,
                    P::SeeMachines,
                    P::Stock,
                    P::SeeFrames,
                    P::ChangeFrames,
                    P::TakePayment,
                ],
            ),
            Self::Stringer => match permission {
                P::SeeSpec | P::MoveWork => Reach::Own,
                other => only(
                    other,
                    &[
                        P::SeeJobTimes,
                        P::Bench,
                        P::SeeMatches,
                        P::Calibrate,
                        P::SeeMachines,
                        P::SeeFrames,
                        P::Stock,
                    ],
                ),
            },
            Self::Runner => match permission {
                P::SeeJobTimes | P::HandOut => Reach::Own,
                other => only(other, &[P::SeeMatches]),
            },
            Self::Referee => match permission {
                P::SeeJobTimes => Reach::Own,
                other => only(other, &[P::SeeMatches, P::ChangeMatches]),
            },
            Self::Accounts => only(
                permission,
                &[
                    P::SeeJobTimes,
                    P::SeeContact,
                    P::SeeMoney,
                    P::SeeMoneyTotals,
                    P::TakePayment,
                    P::RefundAndClose,
                ],
            ),
            Self::Board => match permission {
                P::SeeJobTimes => Reach::Own,
                other => only(other, &[P::SeeMatches]),
            },
            Self::PlayerLink => match permission {
                P::SeeJobTimes | P::SeeContact | P::SeeMoney | P::SeeMatches => Reach::Own,
                _ => Reach::None,
            },
            Self::Integration => match permission.scope() {
                Some(_) => Reach::WithScope,
                None => Reach::None,
            },
        }
    }

    /// Whether `permission` reaches anything at all for this role.
    ///
    /// For an integration this says yes where a scope could grant it: ask
    /// [`Permission::scope`] which one its key needs.
    #[must_use]
    pub fn may(self, permission: Permission) -> bool {
        self.reach(permission) != Reach::None
    }

    /// Whether this role may do whatever `other` may do to a job.
    #[must_use]
    pub fn stands_in_for(self, other: Self) -> bool {
        self == other || (self == Self::Admin && other == Self::Coordinator)
    }

    /// Which confidential fields this role is shown, for things in its reach.
    #[must_use]
    pub fn field_view(self) -> FieldView {
        FieldView {
            spec: self.reach(Permission::SeeSpec),
            contact: self.reach(Permission::SeeContact),
            money: self.reach(Permission::SeeMoney),
            full_name: match self {
                Self::Board | Self::PlayerLink => Reach::None,
                _ => Reach::All,
            },
        }
    }
}

/// How far a role sees each group of confidential fields.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FieldView {
    /// Strings, tensions, notes.
    pub spec: Reach,
    /// Telephone, mail, room.
    pub contact: Reach,
    /// Charges and payments.
    pub money: Reach,
    /// The player's name in full; otherwise initials.
    pub full_name: Reach,
}

impl Permission {
    /// The API key scope that grants this to an integration; `None`: no key can.
    #[must_use]
    pub const fn scope(self) -> Option<&'static str> {
        match self {
            Self::SeeJobTimes => Some("jobs:read"),
            Self::Intake => Some("jobs:write"),
            Self::SeeSpec => Some("specs:read"),
            Self::SeeMoney | Self::SeeMoneyTotals => Some("billing:read"),
            Self::SeeMatches => Some("matches:read"),
            Self::ChangeMatches => Some("matches:write"),
            Self::SeeMachines => Some("machines:read"),
            Self::SeeFrames => Some("frames:read"),
            _ => None,
        }
    }
}

/// All of what is listed, nothing else.
fn only(permission: Permission, granted: &[Permission]) -> Reach {
    if granted.contains(&permission) {
        Reach::All
    } else {
        Reach::None
    }
}

/// Nothing of what is listed, all else.
fn all_but(permission: Permission, refused: &[Permission]) -> Reach {
    if refused.contains(&permission) {
        Reach::None
    } else {
        Reach::All
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_board_and_the_player_link_never_see_a_spec() {
        for role in [
            Role::Board,
            Role::PlayerLink,
            Role::Referee,
            Role::Runner,
            Role::Accounts,
        ] {
            assert_eq!(role.field_view().spec, Reach::None, "{role}");
        }
        assert_eq!(Role::Board.field_view().full_name, Reach::None);
    }

    #[test]
    fn the_player_sees_only_own_contact_and_money() {
        let view = Role::PlayerLink.field_view();
        assert_eq!((view.contact, view.money), (Reach::Own, Reach::Own));
    }

    #[test]
    fn only_the_admin_and_the_service_manage_access() {
        let who: Vec<_> = Role::ALL
            .iter()
            .filter(|role| role.may(Permission::ManageAccess))
            .collect();
        assert_eq!(who, [&Role::Admin, &Role::System]);
    }

    #[test]
    fn refunds_and_the_days_end_belong_to_accounts() {
        let who: Vec<_> = Role::ALL
            .iter()
            .filter(|role| role.may(Permission::RefundAndClose))
            .collect();
        assert_eq!(who, [&Role::Accounts, &Role::System]);
    }

    #[test]
    fn the_admin_may_whatever_the_coordinator_may() {
        for permission in Permission::ALL {
            assert!(
                Role::Admin.reach(*permission) >= Role::Coordinator.reach(*permission),
                "{permission}"
            );
        }
        assert!(Role::Admin.stands_in_for(Role::Coordinator));
        assert!(!Role::Coordinator.stands_in_for(Role::Admin));
    }

    #[test]
    fn the_desk_rushes_only_for_a_player_on_court() {
        assert!(Role::Desk.may(Permission::CourtRush));
        assert!(!Role::Desk.may(Permission::Rush));
    }

    #[test]
    fn a_key_reaches_only_what_a_scope_names() {
        for permission in Permission::ALL {
            let expected = if permission.scope().is_some() {
                Reach::WithScope
            } else {
                Reach::None
            };
            assert_eq!(Role::Integration.reach(*permission), expected, "{permission}");
        }
        assert!(!Role::Integration.may(Permission::SeeContact));
    }
}
