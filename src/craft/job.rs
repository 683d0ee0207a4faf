//! What can be done to a job: its states, its table of actions and whether one
//! of them is allowed now, to this caller, and if not, why not.
mod actions;
mod facts;
mod legality;
mod phases;
mod refusal;
mod states;
mod table;

pub use actions::{Blocker, JobAction, Need};
pub use facts::JobFacts;
pub use legality::{AllowedAction, Move, allowed_actions, check, check_rush};
pub use phases::phases_up_to;
pub use refusal::{Refusal, RefusalCode, RefusalKind};
pub use states::{JobPhase, JobState, Outcome, RushLevel};
pub use table::{Rule, States, TABLE};
