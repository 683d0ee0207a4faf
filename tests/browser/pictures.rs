//! Pictures of screens and paper, for people to look at.
use std::path::{Path, PathBuf};

/// The pictures that README shows. `UPDATE=1` takes them over from this run.
const IN_README: [&str; 6] = [
    "hand-in-returning-laptop",
    "next-up-tablet",
    "plan-tablet",
    "floor-laptop",
    "wall-room-wall",
    "your-rackets-arabic-phone",
];

/// Keeps a picture as `target/screens/<name>.png`.
pub(crate) fn keep(name: &str, png: &[u8]) {
    let project = PathBuf::from(env!("CARGO_MANIFEST_DIR"));
    write(&project.join("target/screens"), name, png);
    if IN_README.contains(&name) && std::env::var_os("UPDATE").is_some() {
        write(&project.join("deploy/pictures"), name, png);
    }
}

fn write(folder: &Path, name: &str, png: &[u8]) {
    std::fs::create_dir_all(folder).expect("the folder of pictures");
    std::fs::write(folder.join(format!("{name}.png")), png).expect("the picture is kept");
}
