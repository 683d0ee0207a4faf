//! The picture itself: its kind by its bytes, upright, small, written anew.
//!
//! It is unpacked and packed again, so nothing of the sent file survives but its points:
//! no place, time, owner or camera, and nothing hidden behind the picture's end.
use std::io::Cursor;

use image::codecs::jpeg::JpegEncoder;
use image::error::LimitError;
use image::imageops::FilterType;
use image::metadata::Orientation;
use image::{DynamicImage, ImageDecoder, ImageError, ImageFormat, ImageReader, Limits};
use sha2::{Digest, Sha256};

use super::NotKept;

/// The longest side that is kept, in points: a hair crack still shows, a file stays below 1 MB.
pub const LONGEST: u32 = 1600;
/// The longest side of the small one, shown beside the marks.
pub const LONGEST_SMALL: u32 = 320;
/// The longest side that is unpacked.
const LONGEST_SENT: u32 = 12_000;
/// The most bytes a picture may take unpacked: 50 million points of three colours. A file of a
/// few kilobytes can claim a hundred times that.
const UNPACKED_BYTES: u64 = 150_000_000;
/// JPEG's quality, 1 to 100. From memory: above 80 the eye finds no difference in a photograph.
const QUALITY: u8 = 82;

/// A photo as it is kept: two JPEGs, the larger one's size and fingerprint.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    /// The photo.
    pub whole: Vec<u8>,
    /// The same, small.
    pub small: Vec<u8>,
    /// Points from left to right.
    pub width_px: u32,
    /// Points from top to bottom.
    pub height_px: u32,
    /// SHA-256 of the larger one, in hexadecimal.
    pub digest: String,
}

impl Picture {
    /// Makes a photo of a sent file; its name and what the sender calls it do not count.
    ///
    /// # Errors
    /// [`NotKept`].
    pub fn of(sent: &[u8]) -> Result<Self, NotKept> {
        let upright = unpacked(sent)?;
        let whole = packed(&upright)?;
        let small = packed(&within(&upright, LONGEST_SMALL))?;
        Ok(Self {
            digest: hexadecimal(&Sha256::digest(&whole)),
            width_px: upright.width(),
            height_px: upright.height(),
            whole,
            small,
        })
    }
}

/// The picture as it is to be seen, no longer than [`LONGEST`].
fn unpacked(sent: &[u8]) -> Result<DynamicImage, NotKept> {
    let kind = match image::guess_format(sent) {
        Ok(kind @ (ImageFormat::Jpeg | ImageFormat::Png | ImageFormat::WebP)) => kind,
        _ => return Err(NotKept::OtherKind),
    };
    let mut limits = Limits::default();
    limits.max_image_width = Some(LONGEST_SENT);
    limits.max_image_height = Some(LONGEST_SENT);
    limits.max_alloc = Some(UNPACKED_BYTES);
    let mut reader = ImageReader::with_format(Cursor::new(sent), kind);
    reader.limits(limits);
    let mut decoder = reader.into_decoder().map_err(|cause| why(&cause))?;
    // what a picture claims is known before a byte of it is unpacked
    if decoder.total_bytes() > UNPACKED_BYTES {
        return Err(NotKept::TooManyPoints);
    }
    // a broken note on how the camera was held leaves the picture as it lies
    let held = decoder.orientation().unwrap_or(Orientation::NoTransforms);
    let picture = DynamicImage::from_decoder(decoder).map_err(|cause| why(&cause))?;
    // made smaller first: turning copies all of it
    let mut picture = within(&picture, LONGEST);
    picture.apply_orientation(held);
    Ok(picture)
}

fn within(picture: &DynamicImage, longest: u32) -> DynamicImage {
    if picture.width().max(picture.height()) <= longest {
        return picture.clone();
    }
    picture.resize(longest, longest, FilterType::Triangle)
}

/// A JPEG of three colours, without any note beside it.
fn packed(picture: &DynamicImage) -> Result<Vec<u8>, NotKept> {
    let mut file = Vec::new();
    let encoder = JpegEncoder::new_with_quality(&mut file, QUALITY);
    let written = picture.to_rgb8().write_with_encoder(encoder);
    written.map_err(|cause| why(&cause))?;
    Ok(file)
}

fn why(cause: &ImageError) -> NotKept {
    match cause {
        ImageError::Limits(LimitError { .. }) => NotKept::TooManyPoints,
        _ => NotKept::Broken,
    }
}

pub(super) fn hexadecimal(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

#[cfg(test)]
#[path = "picture_tests.rs"]
mod tests;
