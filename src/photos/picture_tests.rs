use image::{ExtendedColorType, ImageEncoder, Rgb, RgbImage};

use super::*;

/// A picture that is red at the left and blue at the right.
fn halves(width: u32, height: u32) -> RgbImage {
    RgbImage::from_fn(width, height, |x, _| {
        if x < width / 2 {
            Rgb([220, 20, 20])
        } else {
            Rgb([20, 20, 220])
        }
    })
}

fn jpeg(picture: &RgbImage) -> Vec<u8> {
    let mut file = Vec::new();
    picture
        .write_with_encoder(JpegEncoder::new_with_quality(&mut file, 95))
        .unwrap();
    file
}

/// An Exif segment (Exif 2.32, 4.5 and 4.6: APP1, TIFF header, IFD0) put behind a JPEG's first marker:
/// how the camera was held, and a GPS IFD with a latitude. Written by hand, byte for byte.
fn with_exif(jpeg: &[u8], orientation: u8) -> Vec<u8> {
    let mut tiff = b"II*\0\x08\0\0\0".to_vec();
    tiff.extend(2_u16.to_le_bytes());
    // 0x0112 Orientation, SHORT, 1
    tiff.extend([0x12, 0x01, 3, 0, 1, 0, 0, 0, orientation, 0, 0, 0]);
    // 0x8825 GPS IFD, LONG, 1, at byte 38
    tiff.extend([0x25, 0x88, 4, 0, 1, 0, 0, 0, 38, 0, 0, 0]);
    tiff.extend([0; 4]);
    tiff.extend(1_u16.to_le_bytes());
    // GPSLatitudeRef, ASCII, "N"
    tiff.extend([1, 0, 2, 0, 2, 0, 0, 0, b'N', 0, 0, 0]);
    tiff.extend([0; 4]);
    tiff.extend(b"48.8566N 2.3522E");
    let mut segment = b"Exif\0\0".to_vec();
    segment.extend(tiff);
    let length = u16::try_from(segment.len() + 2).unwrap().to_be_bytes();
    [&jpeg[..2], &[0xff, 0xe1], &length, &segment, &jpeg[2..]].concat()
}

/// The markers of a JPEG up to its points (ITU T.81, B.1): 0xFF, a code, and a length.
fn markers(file: &[u8]) -> Vec<u8> {
    let mut found = Vec::new();
    let mut at = 2;
    while file[at] == 0xff && file[at + 1] != 0xda {
        found.push(file[at + 1]);
        at += 2 + usize::from(u16::from_be_bytes([file[at + 2], file[at + 3]]));
    }
    found
}

fn contains(file: &[u8], words: &[u8]) -> bool {
    file.windows(words.len()).any(|window| window == words)
}

#[test]
fn only_the_picture_is_kept() {
    let mut sent = with_exif(&jpeg(&halves(400, 300)), 1);
    // and something behind the picture's end
    sent.extend(b"hidden behind the end");
    assert!(contains(&sent, b"48.8566N") && markers(&sent).contains(&0xe1));
    let kept = Picture::of(&sent).unwrap();
    for file in [&kept.whole, &kept.small] {
        assert!(!contains(file, b"Exif") && !contains(file, b"48.8566N") && !contains(file, b"hidden"));
        // APP0 (JFIF) says nothing but the shape of a point; no other APPn, no comment (0xFE)
        let told: Vec<u8> = markers(file).into_iter().filter(|code| *code >= 0xe0).collect();
        assert_eq!(told, [0xe0]);
    }
    assert_eq!((kept.width_px, kept.height_px), (400, 300));
}

#[test]
fn a_picture_stands_as_the_camera_was_held() {
    // orientation 6: the camera was turned, the picture's top lies at its right side
    let sent = with_exif(&jpeg(&halves(400, 300)), 6);
    let kept = Picture::of(&sent).unwrap();
    assert_eq!((kept.width_px, kept.height_px), (300, 400));
    let shown = image::load_from_memory(&kept.whole).unwrap().to_rgb8();
    let (top, bottom) = (shown.get_pixel(150, 20), shown.get_pixel(150, 380));
    assert!(top[0] > 150 && top[2] < 100, "red at the top: {top:?}");
    assert!(bottom[2] > 150 && bottom[0] < 100, "blue below: {bottom:?}");
}

#[test]
fn large_pictures_are_made_small_and_small_ones_stay() {
    let kept = Picture::of(&jpeg(&halves(2000, 1000))).unwrap();
    assert_eq!((kept.width_px, kept.height_px), (1600, 800));
    let small = image::load_from_memory(&kept.small).unwrap();
    assert_eq!((small.width(), small.height()), (320, 160));
    let kept = Picture::of(&jpeg(&halves(100, 50))).unwrap();
    assert_eq!((kept.width_px, kept.height_px), (100, 50));
}

#[test]
fn png_and_webp_are_taken_too_and_become_jpeg() {
    let picture = halves(64, 48);
    let (mut png, mut webp) = (Vec::new(), Vec::new());
    image::codecs::png::PngEncoder::new(&mut png)
        .write_image(&picture, 64, 48, ExtendedColorType::Rgb8)
        .unwrap();
    image::codecs::webp::WebPEncoder::new_lossless(&mut webp)
        .write_image(&picture, 64, 48, ExtendedColorType::Rgb8)
        .unwrap();
    for sent in [png, webp] {
        let kept = Picture::of(&sent).unwrap();
        // ITU T.81: start of image
        assert_eq!(kept.whole[..2], [0xff, 0xd8]);
        assert_eq!((kept.width_px, kept.height_px), (64, 48));
    }
}

#[test]
fn what_is_no_picture_is_refused_by_its_bytes() {
    for (sent, cause) in [
        (&b""[..], NotKept::OtherKind),
        (b"GIF89a\x01\0\x01\0\0\0\0;", NotKept::OtherKind),
        (b"<svg xmlns=\"http://www.w3.org/2000/svg\"/>", NotKept::OtherKind),
        (b"\xff\xd8\xff\xe0 and nothing more", NotKept::Broken),
        (b"\x89PNG\r\n\x1a\n", NotKept::Broken),
        (b"RIFF\x10\0\0\0WEBPVP8 ", NotKept::Broken),
    ] {
        assert_eq!(Picture::of(sent), Err(cause), "{}", String::from_utf8_lossy(sent));
    }
    let mut png = Vec::new();
    image::codecs::png::PngEncoder::new(&mut png)
        .write_image(&halves(400, 300), 400, 300, ExtendedColorType::Rgb8)
        .unwrap();
    assert_eq!(Picture::of(&png[..png.len() / 2]), Err(NotKept::Broken));
}

/// A PNG of some bytes that claims `width` by `height` points (PNG, 11.2.2: IHDR), with its check sum.
fn claims(width: u32, height: u32) -> Vec<u8> {
    let mut chunk = b"IHDR".to_vec();
    chunk.extend(width.to_be_bytes());
    chunk.extend(height.to_be_bytes());
    chunk.extend([8, 2, 0, 0, 0]);
    let sum = crc(&chunk).to_be_bytes();
    let idat = [b"IDAT".to_vec(), vec![0x78, 0x9c]].concat();
    let mut file = b"\x89PNG\r\n\x1a\n\0\0\0\x0d".to_vec();
    file.extend(chunk);
    file.extend(sum);
    file.extend(2_u32.to_be_bytes());
    file.extend(&idat);
    file.extend(crc(&idat).to_be_bytes());
    file
}

/// CRC-32 as PNG's annex D gives it.
fn crc(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(!0, |sum, byte| {
        (0..8).fold(sum ^ u32::from(*byte), |sum, _| {
            (sum >> 1) ^ if sum & 1 == 1 { 0xedb8_8320 } else { 0 }
        })
    })
}

#[test]
fn a_small_file_that_claims_a_huge_picture_is_not_unpacked() {
    for (width, height) in [(10_000, 10_000), (60_000, 10), (u32::MAX >> 1, u32::MAX >> 1)] {
        assert_eq!(
            Picture::of(&claims(width, height)),
            Err(NotKept::TooManyPoints),
            "{width} x {height}"
        );
    }
    // the same file with a modest claim is read, and found broken
    assert_eq!(Picture::of(&claims(10, 10)), Err(NotKept::Broken));
}
