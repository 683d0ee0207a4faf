//! Pictures of screens and paper, for people to look at.
use std::path::PathBuf;

/// Keeps a picture as `target/screens/<name>.png`.
pub(crate) fn keep(name: &str, png: &[u8]) {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("target/screens");
    std::fs::create_dir_all(&folder).expect("the folder of pictures");
    std::fs::write(folder.join(format!("{name}.png")), png).expect("the picture is kept");
}
