//! The walls between the rooms. Words are compared, so this stops slips, not intent.
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use crate::source::{SourceFile, files_below, none};

/// A room of `src/` and what its files must not name.
struct Room {
    place: &'static str,
    forbidden: &'static [&'static str],
    /// Narrow exceptions to `forbidden`, each with its reason beside it.
    allowed: &'static [&'static str],
}

const ROOMS: &[Room] = &[
    Room {
        // a crate of its own (src/craft/Cargo.toml): the compiler keeps it from the other rooms
        place: "craft",
        forbidden: &[
            "diesel",
            "actix",
            "tokio",
            "serde_json",
            "rand::",
            "uuid::",
            "std::fs",
            "std::net",
            "std::env",
            "std::thread",
            "std::process",
            "SystemTime",
            "Instant",
            "Utc::now",
            "Local::now",
        ],
        allowed: &[],
    },
    Room {
        place: "forms",
        forbidden: &[
            "diesel",
            "actix",
            "tokio",
            "std::fs",
            "std::net",
            "std::env",
            "Utc::now",
            "Local::now",
            "crate::storage",
            "crate::desk",
            "crate::api",
            "crate::pages",
            "crate::live",
            "crate::cli",
            "crate::server",
            "crate::config",
        ],
        allowed: &[],
    },
    Room {
        place: "storage",
        forbidden: &[
            "actix",
            "crate::desk",
            "crate::api",
            "crate::pages",
            "crate::live",
            "crate::cli",
            "crate::server",
            "crate::config",
        ],
        allowed: &[],
    },
    Room {
        place: "desk",
        forbidden: &[
            "diesel",
            "actix",
            "crate::api",
            "crate::pages",
            "crate::live",
            "crate::cli",
            "crate::server",
            "crate::config",
        ],
        allowed: &[],
    },
    Room {
        place: "access",
        forbidden: &[
            "diesel",
            "crate::storage",
            "crate::desk",
            "crate::api",
            "crate::pages",
            "crate::live",
            "crate::cli",
            "crate::server",
            "crate::config",
        ],
        allowed: &[],
    },
    Room {
        place: "photos",
        forbidden: &[
            "diesel",
            "std::fs",
            "crate::storage",
            "crate::desk",
            "crate::api",
            "crate::pages",
            "crate::live",
            "crate::cli",
            "crate::server",
            "crate::config",
        ],
        allowed: &[],
    },
    Room {
        place: "api",
        forbidden: &[
            "diesel",
            "crate::storage",
            "crate::pages",
            "crate::cli",
            "crate::server",
            "crate::config",
        ],
        // an answer is kept with its effect, in the form in which records are kept
        allowed: &["crate::storage::to_record"],
    },
    Room {
        place: "pages",
        forbidden: &[
            "diesel",
            "crate::storage",
            "crate::api",
            "crate::cli",
            "crate::server",
            "crate::config",
        ],
        allowed: &[],
    },
    Room {
        place: "live",
        forbidden: &[
            "diesel",
            "crate::storage",
            "crate::api",
            "crate::pages",
            "crate::cli",
            "crate::server",
            "crate::config",
        ],
        // how instances on one PostgreSQL wake each other
        allowed: &["crate::storage::notices"],
    },
    Room {
        place: "cli",
        forbidden: &["diesel", "actix", "crate::pages"],
        allowed: &[],
    },
    Room {
        place: "demo",
        forbidden: &["diesel", "crate::pages"],
        allowed: &[],
    },
    Room {
        place: "server",
        forbidden: &["diesel", "crate::craft", "crate::cli"],
        allowed: &[],
    },
    Room {
        place: "server.rs",
        forbidden: &["diesel", "crate::craft", "crate::cli"],
        allowed: &[],
    },
    Room {
        place: "config.rs",
        forbidden: &["diesel", "actix", "crate::"],
        allowed: &[],
    },
    Room {
        place: "telemetry.rs",
        forbidden: &["diesel", "actix", "crate::"],
        // the layer that numbers requests belongs to the log
        allowed: &["tracing_actix_web", "actix_server=warn"],
    },
    Room {
        place: "main.rs",
        forbidden: &[
            "diesel",
            "actix",
            "::storage",
            "::craft",
            "::desk",
            "::api",
            "::pages",
            "::live",
        ],
        allowed: &[],
    },
];

/// Rooms that the layout names and nobody has built yet. One that is built must leave this list.
const NOT_BUILT: &[&str] = &[];

/// The code of a file, with `crate::{a, b::c}` spelt out as `crate::a` and `crate::b::c`.
fn spelt_out(line: &str) -> String {
    let Some((before, group)) = line.split_once("crate::{") else {
        return line.to_owned();
    };
    let mut depth = 0_usize;
    let mut text = format!("{before}crate::");
    for letter in group.chars() {
        match letter {
            '{' => depth += 1,
            '}' => depth = depth.saturating_sub(1),
            _ => {}
        }
        text.push(letter);
        if letter == ',' && depth == 0 {
            text.push_str("crate::");
        }
    }
    text.replace("crate:: ", "crate::")
}

/// Every place where `file` names what the room must not.
fn breaches(room: &Room, file: &SourceFile) -> Vec<String> {
    let mut found = Vec::new();
    for (number, line) in file.code_lines() {
        let mut code = spelt_out(line);
        for exception in room.allowed {
            code = code.replace(exception, "");
        }
        let words = room.forbidden.iter().filter(|word| code.contains(**word));
        found.extend(words.map(|word| format!("{}:{number}: `{word}`", file.path.display())));
    }
    found
}

#[test]
fn rooms_only_look_inwards() {
    let mut found = Vec::new();
    for room in ROOMS {
        for file in files_below(&[&format!("src/{}", room.place)]) {
            if file.is_rust() {
                found.extend(breaches(room, &file));
            }
        }
    }
    none("a room names what lies behind a wall", &found);
}

#[test]
fn every_room_stands_in_the_list() {
    let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let built: BTreeSet<String> = fs::read_dir(source)
        .expect("the source folder")
        .map(|entry| {
            entry
                .expect("a readable entry")
                .file_name()
                .to_string_lossy()
                .into_owned()
        })
        .filter(|name| name != "lib.rs")
        .collect();
    let listed: BTreeSet<String> = ROOMS.iter().map(|room| room.place.to_owned()).collect();
    let without_walls: Vec<_> = built.difference(&listed).cloned().collect();
    none("rooms without walls: give each its line in ROOMS", &without_walls);
    let missing: Vec<_> = listed.difference(&built).cloned().collect();
    none("walls without a room: take them out of ROOMS", &missing);
    let stale = NOT_BUILT.iter().filter(|name| built.contains(**name));
    none(
        "built by now: take them out of NOT_BUILT",
        &stale.map(|name| (*name).to_owned()).collect::<Vec<_>>(),
    );
}

#[test]
fn a_breach_is_seen_in_plain_and_in_grouped_imports() {
    let room = ROOMS.iter().find(|room| room.place == "forms").expect("the room");
    let file = |text: &str| SourceFile {
        path: "src/forms/example.rs".into(),
        text: text.to_owned(),
    };
    for text in [
        "use crate::storage::Db;",
        "use crate::{craft, storage::Db};",
        "let now = chrono::Utc::now();",
    ] {
        assert_eq!(breaches(room, &file(text)).len(), 1, "{text}");
    }
    for text in [
        "use crate::craft::units::Newtons;",
        "// diesel would be wrong here",
    ] {
        assert!(breaches(room, &file(text)).is_empty(), "{text}");
    }
    let live = ROOMS.iter().find(|room| room.place == "live").expect("the room");
    assert!(breaches(live, &file("use crate::storage::notices::{self, Notices};")).is_empty());
    assert_eq!(breaches(live, &file("use crate::storage::jobs;")).len(), 1);
}
