//! Forms that carry photos: `multipart/form-data` (RFC 7578), read with a bound on every part.
use actix_multipart::Multipart;
use actix_web::http::header::{CONTENT_TYPE, HeaderMap};
use actix_web::web::Payload;
use bytes::{Bytes, BytesMut};
use futures_util::StreamExt;
use sha2::{Digest, Sha256};

use super::{NotKept, PHOTO_LIMIT};

/// What the fields beside the photos may take together, in bytes (1 MiB, as every other form).
const WORDS_LIMIT: usize = 1024 * 1024;
/// What the photos of one form may take together, in bytes.
const ALL_PHOTOS_LIMIT: usize = 3 * PHOTO_LIMIT;
/// How much of a form is read past before it is given up, in bytes: a photo that is too large
/// must not lose what else was filled in.
const READ_PAST: usize = 8 * PHOTO_LIMIT;

/// The fields of a form in their order, and its photos.
#[derive(Debug, Clone, Default)]
pub struct Sent {
    /// Names and values.
    pub fields: Vec<(String, String)>,
    /// The name of the field and the file that was chosen in it; fields without a file are left out.
    pub photos: Vec<(String, Bytes)>,
    /// The names of fields whose photo was too large to be read.
    pub too_large: Vec<String>,
}

impl Sent {
    /// The value of a field; `None` where it is not there or empty.
    #[must_use]
    pub fn get(&self, name: &str) -> Option<&str> {
        let mut values = self.fields.iter().filter(|(field, _)| field == name);
        let value = values.next_back().map(|(_, value)| value.trim());
        value.filter(|value| !value.is_empty())
    }

    /// What tells this form from another: another boundary of the same parts is the same form.
    #[must_use]
    pub fn fingerprint(&self) -> String {
        let mut hash = Sha256::new();
        let fields = self.fields.iter().map(|(name, value)| (name, value.as_bytes()));
        let photos = self.photos.iter().map(|(name, file)| (name, file.as_ref()));
        for (name, value) in fields.chain(photos) {
            hash.update(format!("{}:{name}={}:", name.len(), value.len()));
            hash.update(value);
        }
        super::picture::hexadecimal(&hash.finalize())
    }
}

/// Whether the request says that its body is such a form.
#[must_use]
pub fn is_form(headers: &HeaderMap) -> bool {
    let kind = headers.get(CONTENT_TYPE).and_then(|kind| kind.to_str().ok());
    kind.is_some_and(|kind| {
        kind.trim_start()
            .to_ascii_lowercase()
            .starts_with("multipart/form-data")
    })
}

/// Reads the whole form; `is_photo` says which fields hold photos. Any other is text.
///
/// # Errors
/// [`NotKept::NoForm`] for what breaks off or is no form, [`NotKept::TooLarge`] where it never ends.
pub async fn read(
    headers: &HeaderMap,
    payload: Payload,
    is_photo: fn(&str) -> bool,
) -> Result<Sent, NotKept> {
    let mut parts = Multipart::new(headers, payload);
    let mut sent = Sent::default();
    let (mut words, mut photos, mut read_past) = (0, 0, 0);
    while let Some(part) = parts.next().await {
        let mut part = part.map_err(|_unread| NotKept::NoForm)?;
        let name = part.name().unwrap_or_default().to_owned();
        let photo = is_photo(&name);
        let bound = if photo {
            PHOTO_LIMIT.min(ALL_PHOTOS_LIMIT - photos)
        } else {
            WORDS_LIMIT - words
        };
        let mut value = BytesMut::new();
        let mut fits = true;
        while let Some(piece) = part.next().await {
            let piece = piece.map_err(|_unread| NotKept::NoForm)?;
            fits = fits && value.len() + piece.len() <= bound;
            if fits {
                value.extend_from_slice(&piece);
                continue;
            }
            read_past += piece.len();
            if !photo || read_past > READ_PAST {
                return Err(NotKept::TooLarge);
            }
        }
        match (photo, fits) {
            (true, false) => sent.too_large.push(name),
            // a browser sends a field where nothing was chosen as an empty file
            (true, true) if value.is_empty() => {}
            (true, true) => {
                photos += value.len();
                sent.photos.push((name, value.freeze()));
            }
            (false, _) => {
                words += value.len();
                let text = String::from_utf8(value.to_vec()).map_err(|_other| NotKept::NoForm)?;
                sent.fields.push((name, text));
            }
        }
    }
    Ok(sent)
}
