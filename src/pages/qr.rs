//! QR codes as inline SVG.
use fast_qr::convert::Builder;
use fast_qr::convert::svg::SvgBuilder;
use fast_qr::{ECL, QRBuilder};

/// `text` as an SVG element: level Q (a quarter of the symbol may be torn or wet), quiet zone of four modules.
///
/// `None` if the text is too long for any QR symbol.
pub fn qr_svg(text: &str) -> Option<String> {
    let code = QRBuilder::new(text).ecl(ECL::Q).build().ok()?;
    Some(SvgBuilder::default().margin(4).to_str(&code))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tag_code_becomes_a_square_of_21_modules_and_its_quiet_zone() {
        // ISO/IEC 18004, version 1-Q holds 16 alphanumeric characters in 21 x 21 modules (from memory).
        let svg = qr_svg("K7M4G").unwrap();
        assert!(svg.contains(r#"viewBox="0 0 29 29""#), "{}", &svg[..200]);
        assert!(!svg.contains("style="));
    }

    #[test]
    fn a_text_too_long_for_a_symbol_gives_none() {
        assert!(qr_svg(&"x".repeat(5000)).is_none());
    }
}
