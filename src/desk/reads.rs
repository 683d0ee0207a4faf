//! What doors may read as it is stored, without a use case of its own: nothing here writes.
pub use crate::storage::{At, Db, StoreResult, from_record};

/// Tournaments.
pub mod tournaments {
    pub use crate::storage::tournaments::{Tournament, all, find};
}

/// Accounts of people.
pub mod accounts {
    pub use crate::storage::accounts::{Account, all, find};
}

/// Registered devices.
pub mod devices {
    pub use crate::storage::accounts::registered::{Device, all, find};
}

/// Frame models.
pub mod frames {
    pub use crate::storage::rackets::models::{Frame, all, find};
}

/// String products.
pub mod strings {
    pub use crate::storage::stock::{StringProduct, all, find};
}

/// Pieces of string.
pub mod pieces {
    pub use crate::storage::stock::pieces::{StockPiece, any, find, open};
}

/// Players.
pub mod players {
    pub use crate::storage::players::{Player, find, page, with_ids};
}

/// Rackets.
pub mod rackets {
    pub use crate::storage::rackets::{Racket, find, page};
}

/// Photos of rackets.
pub mod photos {
    pub use crate::storage::photos::{Photo, find};
}

/// Machines.
pub mod machines {
    pub use crate::storage::workshop::machinery::{Machine, all, find};
}

/// Stringers.
pub mod stringers {
    pub use crate::storage::workshop::people::{Stringer, all, find};
}

/// Jobs.
pub mod jobs {
    pub use crate::storage::jobs::{Job, JobFilter, by_code, count, list};
}

/// Hand-outs.
pub mod pickups {
    pub use crate::storage::work::hand_outs::{Pickup, find};
}

/// Snags.
pub mod snags {
    pub use crate::storage::work::waiting_decisions::{Snag, find, open};
}

/// Stations.
pub mod stations {
    pub use crate::storage::workshop::places::{Station, all, find};
}
