//! Styles and scripts, carried inside the binary.
use rust_embed::Embed;

/// The files under `src/pages/static/`, served below `/static/`.
#[derive(Embed)]
#[folder = "src/pages/static/"]
pub struct StaticFiles;

/// One file ready to send.
pub struct StaticFile {
    pub bytes: std::borrow::Cow<'static, [u8]>,
    pub content_type: &'static str,
    /// Strong validator: the file's SHA-256 in hexadecimal, in quotes.
    pub etag: String,
}

/// The names of all files, in order.
pub fn names() -> impl Iterator<Item = String> {
    StaticFiles::iter().map(std::borrow::Cow::into_owned)
}

/// Looks a file up by its name below `/static/`; `None` if there is none.
pub fn find(name: &str) -> Option<StaticFile> {
    let file = StaticFiles::get(name)?;
    let hash: String = file
        .metadata
        .sha256_hash()
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect();
    Some(StaticFile {
        bytes: file.data,
        content_type: content_type(name),
        etag: format!("\"{hash}\""),
    })
}

fn content_type(name: &str) -> &'static str {
    match name.rsplit('.').next().unwrap_or_default() {
        "css" => "text/css; charset=utf-8",
        "js" => "text/javascript; charset=utf-8",
        "svg" => "image/svg+xml",
        _ => "application/octet-stream",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn styles_and_scripts_are_found_with_their_media_type() {
        assert_eq!(
            find("tokens.css").unwrap().content_type,
            "text/css; charset=utf-8"
        );
        assert_eq!(
            find("live.js").unwrap().content_type,
            "text/javascript; charset=utf-8"
        );
        assert!(find("nothing.css").is_none());
        assert!(find("../mod.rs").is_none());
    }

    #[test]
    fn no_style_or_script_points_outside_the_desk() {
        for name in StaticFiles::iter() {
            let text = String::from_utf8(find(&name).unwrap().bytes.into_owned()).unwrap();
            // the name of the SVG vocabulary is not an address anybody fetches
            let text = text.replace("http://www.w3.org/2000/svg", "");
            for word in ["http://", "https://", "@import", "@font-face"] {
                assert!(!text.contains(word), "{name} contains {word}");
            }
        }
    }

    #[test]
    fn the_phone_page_loads_at_most_thirty_kilobytes_of_styles_and_scripts() {
        let sum: usize = ["tokens.css", "player.css"]
            .iter()
            .map(|name| find(name).unwrap().bytes.len())
            .sum();
        assert!(sum <= 30_000, "{sum} bytes");
    }
}
