//! New identities: time-ordered, so that lists by id follow the order of making.
use uuid::Uuid;

/// A kind of id that can be made from a number.
pub trait Numbered {
    /// The id's text.
    fn text(number: u128) -> String;
}

macro_rules! numbered {
    ($($name:ident),+ $(,)?) => {$(
        impl Numbered for crate::craft::ids::$name {
            fn text(number: u128) -> String {
                Self::from_number(number).into()
            }
        }
    )+};
}

numbered!(
    TournamentId,
    AccountId,
    DeviceId,
    SessionId,
    PlayerId,
    FrameId,
    RacketId,
    StringId,
    StockPieceId,
    MachineId,
    CalibrationId,
    StationId,
    StringerId,
    JobId,
    BatchId,
    AttemptId,
    PhaseId,
    CheckId,
    ReadingId,
    SnagId,
    PickupId,
    PhotoId,
    EventId,
);

/// A new id of this kind.
#[must_use]
pub fn new<Id: Numbered>() -> String {
    Id::text(Uuid::now_v7().as_u128())
}

/// Random bits for codes and secrets.
///
/// # Errors
/// [`StoreError::WorkerStopped`](crate::storage::StoreError) where the machine has no randomness to give.
pub fn random_bytes<const N: usize>() -> Result<[u8; N], crate::storage::StoreError> {
    let mut bytes = [0; N];
    getrandom::fill(&mut bytes).map_err(|_cause| crate::storage::StoreError::WorkerStopped)?;
    Ok(bytes)
}
