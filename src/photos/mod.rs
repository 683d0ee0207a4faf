//! Photos on their way in and out, for both doors: read from a form, made small, bare of all but the picture.
#![warn(missing_docs)]
pub mod picture;
pub mod sent;
pub mod shown;

use actix_web::web;
use bytes::Bytes;
use tokio::sync::Semaphore;

pub use self::picture::Picture;

/// The largest photo that is read, in bytes (8 MiB).
pub const PHOTO_LIMIT: usize = 8 * 1024 * 1024;

/// One photo is unpacked at a time: while that lasts it takes some hundred times what was sent.
static TURN: Semaphore = Semaphore::const_new(1);

/// Why something sent is not kept as a photo.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum NotKept {
    /// No file came along.
    #[error("no photo came along")]
    Missing,
    /// The body is no form with files.
    #[error("not a form with files")]
    NoForm,
    /// More than [`PHOTO_LIMIT`].
    #[error("more than {PHOTO_LIMIT} bytes")]
    TooLarge,
    /// Another kind of file.
    #[error("neither JPEG nor PNG nor WebP")]
    OtherKind,
    /// It says what it is, but can't be read.
    #[error("the picture is broken")]
    Broken,
    /// More points than are unpacked.
    #[error("too many points")]
    TooManyPoints,
}

/// Makes a photo of what was sent, off the threads that serve requests.
///
/// # Errors
/// [`NotKept`].
pub async fn prepare(sent: Bytes) -> Result<Picture, NotKept> {
    let _turn = TURN.acquire().await;
    let made = web::block(move || Picture::of(&sent)).await;
    made.unwrap_or_else(|cause| {
        // a decoder that gave up on what somebody sent is their file's fault, and ours to look at
        tracing::error!(%cause, "a photo could not be unpacked");
        Err(NotKept::Broken)
    })
}
