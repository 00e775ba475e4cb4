//! The arrows of the house: which room may look into which, and which outside
//! crate is named where. `docs/architecture.md` tells the same in words.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

/// Room → rooms it may look into, besides those that all may.
const ROOMS: [(&str, &[&str]); 14] = [
    ("vocabulary", &[]),
    ("problem", &[]),
    ("parallel", &[]),
    ("handbook", &[]),
    ("entry", &["handbook"]),
    ("journal", &["entry", "handbook"]),
    ("history", &["entry", "journal"]),
    ("ledger", &["entry"]),
    ("index", &["handbook"]),
    ("reports", &["entry", "ledger", "handbook"]),
    ("recap", &["entry", "ledger", "reports", "handbook"]),
    ("import", &["entry", "handbook"]),
    (
        "presentation",
        &[
            "entry", "ledger", "reports", "recap", "import", "index", "history",
        ],
    ),
    (
        "command_line",
        &[
            "handbook",
            "entry",
            "journal",
            "history",
            "ledger",
            "index",
            "reports",
            "recap",
            "import",
            "presentation",
        ],
    ),
];

/// Rooms that every other may look into.
const OF_ALL: [&str; 3] = ["vocabulary", "problem", "parallel"];

/// Outside crate → the only rooms that may name it.
const OUTSIDE: [(&str, &[&str]); 19] = [
    ("gix", &["history"]),
    ("gix_pack", &["history"]),
    ("tantivy", &["index"]),
    ("pulldown_cmark", &["entry"]),
    ("saphyr_parser", &["entry"]),
    ("walkdir", &["journal"]),
    ("toml", &["journal"]),
    ("tempfile", &["journal", "history"]),
    ("clap", &["command_line"]),
    ("clap_complete", &["command_line"]),
    ("indicatif", &["command_line"]),
    ("console", &["command_line"]),
    ("include_dir", &["command_line"]),
    ("maud", &["presentation"]),
    ("qrcodegen", &["presentation"]),
    ("base64", &["presentation"]),
    ("anstyle", &["presentation"]),
    ("serde_json", &["index", "presentation"]),
    // Only tests judge the order by it.
    ("petgraph", &[]),
];

/// The source files of the crate, by room. Tests inside the rooms may look
/// anywhere.
fn sources() -> BTreeMap<String, Vec<(PathBuf, String)>> {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut rooms: BTreeMap<String, Vec<(PathBuf, String)>> = BTreeMap::new();
    let mut folders = vec![src.clone()];
    while let Some(folder) = folders.pop() {
        for item in fs::read_dir(&folder).expect("a folder of sources") {
            let path = item.expect("a source").path();
            if path.is_dir() {
                if path.file_name().is_some_and(|name| name != "tests") {
                    folders.push(path);
                }
                continue;
            }
            let inside = path.strip_prefix(&src).expect("below src");
            let first = inside
                .components()
                .next()
                .map(|part| part.as_os_str().to_string_lossy().into_owned())
                .unwrap_or_default();
            let room = first.trim_end_matches(".rs").to_owned();
            if room == "lib" || room == "main" {
                continue;
            }
            let text = fs::read_to_string(&path).expect("a source is text");
            rooms.entry(room).or_default().push((path, text));
        }
    }
    rooms
}

/// The code of a file without comments and without its unit tests.
fn code(text: &str) -> String {
    let text = text.split("#[cfg(test)]\nmod ").next().unwrap_or(text);
    text.lines()
        .filter(|line| !line.trim_start().starts_with("//"))
        .collect::<Vec<_>>()
        .join("\n")
}

/// The words that follow `crate::` in some code.
fn rooms_named(code: &str) -> Vec<String> {
    code.match_indices("crate::")
        .filter(|(at, _)| !code[..*at].ends_with('$'))
        .map(|(at, found)| {
            code[at + found.len()..]
                .chars()
                .take_while(|c| c.is_alphanumeric() || *c == '_')
                .collect()
        })
        .collect()
}

#[test]
fn rooms_look_only_where_they_may() {
    let mut wrong = Vec::new();
    for (room, files) in sources() {
        let (_, allowed) = ROOMS
            .iter()
            .find(|(known, _)| *known == room)
            .unwrap_or_else(|| panic!("src/{room} is no room of the house"));
        for (path, text) in files {
            for named in rooms_named(&code(&text)) {
                let is_room = ROOMS.iter().any(|(known, _)| *known == named);
                let fine = named == room
                    || OF_ALL.contains(&named.as_str())
                    || allowed.contains(&named.as_str());
                if is_room && !fine {
                    wrong.push(format!("{}: looks into {named}", path.display()));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn outside_crates_are_named_in_one_room() {
    let mut wrong = Vec::new();
    for (room, files) in sources() {
        for (path, text) in files {
            let code = code(&text);
            for (outside, rooms) in OUTSIDE {
                let named = code.contains(&format!("{outside}::"))
                    || code.contains(&format!("use {outside};"));
                if named && !rooms.contains(&room.as_str()) {
                    wrong.push(format!("{}: names {outside}", path.display()));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_disk_is_touched_in_few_rooms() {
    let mut wrong = Vec::new();
    for (room, files) in sources() {
        for (path, text) in files {
            let touches = code(&text).contains("std::fs") || code(&text).contains("fs::");
            let may = ["journal", "history", "index"].contains(&room.as_str())
                || room == "command_line" && path.ends_with("editor.rs");
            if touches && !may {
                wrong.push(path.display().to_string());
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_file_says_what_it_is_for() {
    for (_, files) in sources() {
        for (path, text) in files {
            assert!(
                text.starts_with("//! "),
                "{} does not begin with `//!`",
                path.display()
            );
        }
    }
}

#[test]
fn the_crate_shows_its_rooms_in_reading_order() {
    let lib = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("src/lib.rs"))
        .expect("src/lib.rs");
    let shown: Vec<&str> = lib
        .lines()
        .filter_map(|line| line.strip_prefix("pub mod ")?.strip_suffix(';'))
        .collect();
    let mut rooms: Vec<&str> = ROOMS.iter().map(|(room, _)| *room).collect();
    let mut sorted = shown.clone();
    sorted.sort_unstable();
    rooms.sort_unstable();
    assert_eq!(sorted, rooms);
    for room in shown {
        assert!(
            lib.contains(&format!("[`{room}`]")),
            "src/lib.rs does not introduce {room}"
        );
    }
}
