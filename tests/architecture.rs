//! The arrows of the house: which room may look into which, and which outside
//! crate is named where. `docs/architecture.md` tells the same in words.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

/// Room → rooms it may look into, besides those that all may.
const ROOMS: [(&str, &[&str]); 16] = [
    ("vocabulary", &[]),
    ("problem", &[]),
    ("parallel", &[]),
    ("handbook", &[]),
    ("entry", &["handbook"]),
    ("journal", &["entry", "handbook"]),
    ("history", &["journal"]),
    ("ledger", &["entry"]),
    ("index", &["handbook"]),
    ("reports", &["entry", "ledger", "handbook"]),
    ("recap", &["entry", "ledger", "reports", "handbook"]),
    ("import", &["entry", "handbook"]),
    ("pictures", &[]),
    (
        "presentation",
        &[
            "entry", "ledger", "reports", "recap", "import", "index", "pictures",
        ],
    ),
    ("server", &[]),
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
            "pictures",
            "presentation",
            "server",
        ],
    ),
];

/// Rooms that every other may look into.
const OF_ALL: [&str; 3] = ["vocabulary", "problem", "parallel"];

/// Outside crate → the only rooms that may name it.
const OUTSIDE: [(&str, &[&str]); 27] = [
    ("gix", &["history"]),
    ("gix_pack", &["history"]),
    ("tantivy", &["index"]),
    ("pulldown_cmark", &["entry"]),
    ("saphyr_parser", &["entry"]),
    ("walkdir", &["journal"]),
    ("toml", &["journal"]),
    ("sha2", &["journal"]),
    ("tempfile", &["journal", "history"]),
    ("clap", &["command_line"]),
    ("clap_complete", &["command_line"]),
    ("indicatif", &["command_line"]),
    ("console", &["command_line"]),
    ("include_dir", &["command_line"]),
    ("signal_hook", &["command_line"]),
    ("maud", &["presentation"]),
    ("qrcodegen", &["presentation"]),
    ("base64", &["presentation"]),
    ("anstyle", &["presentation"]),
    ("exif", &["pictures"]),
    ("heifer", &["pictures"]),
    ("jpeg_encoder", &["pictures"]),
    ("zlib_rs", &["pictures"]),
    ("zune_jpeg", &["pictures"]),
    ("httparse", &["server"]),
    ("serde_json", &["presentation"]),
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

/// The rooms that some code names behind `crate::`, also in `crate::{a, b}`.
fn rooms_named(code: &str) -> Vec<String> {
    let word = |text: &str| -> String {
        text.trim_start()
            .chars()
            .take_while(|c| c.is_alphanumeric() || *c == '_')
            .collect()
    };
    code.match_indices("crate::")
        .filter(|(at, _)| !code[..*at].ends_with('$'))
        .flat_map(|(at, found)| {
            let after = &code[at + found.len()..];
            match after.strip_prefix('{') {
                Some(list) => items(list).into_iter().map(word).collect(),
                None => vec![word(after)],
            }
        })
        .collect()
}

/// The items of a list of imports, from behind its opening brace to its closing one;
/// lists inside stay with their item.
fn items(list: &str) -> Vec<&str> {
    let mut items = Vec::new();
    let (mut depth, mut begin) = (0_usize, 0);
    for (at, sign) in list.char_indices() {
        match sign {
            '{' => depth += 1,
            '}' if depth > 0 => depth -= 1,
            ',' | '}' if depth == 0 => {
                items.push(&list[begin..at]);
                begin = at + 1;
                if sign == '}' {
                    break;
                }
            }
            _ => {}
        }
    }
    items
}

/// Room → rooms that its files name, without itself and those that all may name.
fn arrows() -> BTreeMap<String, BTreeMap<String, PathBuf>> {
    let mut arrows: BTreeMap<String, BTreeMap<String, PathBuf>> = BTreeMap::new();
    for (room, files) in sources() {
        let named = arrows.entry(room.clone()).or_default();
        for (path, text) in files {
            for other in rooms_named(&code(&text)) {
                let is_room = ROOMS.iter().any(|(known, _)| *known == other);
                if is_room && other != room && !OF_ALL.contains(&other.as_str()) {
                    named.entry(other).or_insert_with(|| path.clone());
                }
            }
        }
    }
    arrows
}

#[test]
fn lists_of_imports_are_seen() {
    let code =
        "use crate::{entry::{Entry, read}, journal};\nuse crate::index::Hit;\n$crate::ledger";
    assert_eq!(rooms_named(code), ["entry", "journal", "index"]);
}

#[test]
fn rooms_look_only_where_they_may_and_do() {
    let mut wrong = Vec::new();
    for (room, named) in arrows() {
        let (_, allowed) = ROOMS
            .iter()
            .find(|(known, _)| *known == room)
            .unwrap_or_else(|| panic!("src/{room} is no room of the house"));
        for (other, path) in &named {
            if !allowed.contains(&other.as_str()) {
                wrong.push(format!("{}: looks into {other}", path.display()));
            }
        }
        for unused in allowed.iter().filter(|other| !named.contains_key(**other)) {
            wrong.push(format!(
                "{room} never looks into {unused}: take the arrow out"
            ));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn rooms_look_only_at_those_before_them() {
    let place = |name: &str| ROOMS.iter().position(|(room, _)| *room == name);
    let mut wrong = Vec::new();
    for (room, files) in sources() {
        for (path, text) in files {
            for other in rooms_named(&code(&text)) {
                if place(&other) > place(&room) {
                    wrong.push(format!(
                        "{}: looks into {other}, a later room",
                        path.display()
                    ));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn outside_crates_are_named_in_one_room() {
    let mut wrong = Vec::new();
    let mut used = BTreeSet::new();
    for (room, files) in sources() {
        for (path, text) in files {
            let code = code(&text);
            for (outside, rooms) in OUTSIDE {
                let named = code.contains(&format!("{outside}::"))
                    || code.contains(&format!("use {outside};"));
                if !named {
                    continue;
                }
                match rooms.iter().find(|known| **known == room) {
                    Some(room) => {
                        used.insert((outside, *room));
                    }
                    None => wrong.push(format!("{}: names {outside}", path.display())),
                }
            }
        }
    }
    for (outside, rooms) in OUTSIDE {
        for room in rooms
            .iter()
            .filter(|room| !used.contains(&(outside, **room)))
        {
            wrong.push(format!("{room} never names {outside}: take it out"));
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
            let mark = match path.extension().and_then(|ending| ending.to_str()) {
                Some("css") => "/* ",
                Some("js") => "// ",
                Some(_) | None => "//! ",
            };
            assert!(
                text.starts_with(mark),
                "{} does not begin with `{mark}`",
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
    let rooms: Vec<&str> = ROOMS.iter().map(|(room, _)| *room).collect();
    assert_eq!(shown, rooms);
    for room in shown {
        assert!(
            lib.contains(&format!("[`{room}`]")),
            "src/lib.rs does not introduce {room}"
        );
    }
}

#[test]
fn the_page_shows_the_same_arrows() {
    let page =
        fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/architecture.md"))
            .expect("docs/architecture.md");
    let row = |name: &str| {
        let of = |line: &&str| {
            let cells = line.split('|').nth(1).unwrap_or_default();
            line.starts_with("| ") && cells.split(',').any(|cell| cell.trim() == name)
        };
        page.lines()
            .find(of)
            .and_then(|line| line.split('|').nth(2))
    };
    for (room, allowed) in ROOMS {
        let cell = row(room).unwrap_or_else(|| panic!("no row of the table is about {room}"));
        let shown: BTreeSet<&str> = cell
            .split([' ', ',', '\'', ';'])
            .filter(|word| ROOMS.iter().any(|(known, _)| known == word))
            .collect();
        let allowed: BTreeSet<&str> = allowed.iter().copied().collect();
        if cell.trim() != "everything" {
            assert_eq!(shown, allowed, "{room}");
        }
    }
}
