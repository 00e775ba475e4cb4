//! A folder of notes: each with its day becomes an entry once, every file is accounted for,
//! and nothing in the folder is touched.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use serde_json::Value;

use crate::support::{Shop, TINY_PNG, json};

/// A journal with a folder of notes beside it.
fn shop(notes: &[(&str, &[u8])]) -> Shop {
    let shop = Shop::new();
    for (path, bytes) in notes {
        let file = folder(&shop).join(path);
        fs::create_dir_all(file.parent().expect("a folder")).expect("a folder");
        fs::write(file, bytes).expect("written");
    }
    shop
}

fn folder(shop: &Shop) -> PathBuf {
    shop.around().join("notes")
}

/// All files of a folder with their bytes.
fn files(folder: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let mut found = BTreeMap::new();
    for item in fs::read_dir(folder).into_iter().flatten() {
        let path = item.expect("an item").path();
        if path.is_dir() {
            found.extend(files(&path));
        } else {
            found.insert(path.clone(), fs::read(path).unwrap_or_default());
        }
    }
    found
}

const TANK: &str = "---\ntitle: The tank\ndate: 2026-03-14\nstatus: removed\ntags: [van]\n---\n\nIt came *down*.\n\n## Straps\n\nRusty.\n";

#[test]
fn notes_become_entries_once_and_stay_as_they_were() {
    let utf16: Vec<u8> = "\u{feff}Seats out.\r\n"
        .encode_utf16()
        .flat_map(u16::to_le_bytes)
        .collect();
    let shop = shop(&[
        ("tank.md", TANK.as_bytes()),
        ("2026-03-15 seats.txt", &utf16),
        (
            "2026/15 March 2026.txt",
            b"\xef\xbb\xbfFloor up.\r\n\r\nWet.\r\n",
        ),
        (
            "log.md",
            b"# Log\n\n## 1 April 2026\n\nRain.\n\n## 2 April 2026\n\nSun.\n",
        ),
        (
            "facts.md",
            b"# 3 April 2026\n\n## Horn\n\n- stored: rack 2\n\n```\n- removed: wing\n```\n",
        ),
    ]);
    let before = files(&folder(&shop));
    let shown = shop.run(["adopt", "../notes"]).ends(0);
    for words in [
        "2026-03-14 tank.md: The tank",
        "facts.md",
        "its lists read as 1 record; quoted",
        "6 notes to write, 0 already there, 0 left out",
        "nothing was written yet",
    ] {
        assert!(shown.out.contains(words), "{words}:\n{}", shown.out);
    }
    assert!(!shop.root.join("entries/2026").exists());
    shop.run(["adopt", "../notes", "--yes"])
        .ends(0)
        .shows("6 notes written");
    assert_eq!(files(&folder(&shop)), before);
    let tank = shop.read("entries/2026/2026-03-14-the-tank.md");
    for words in [
        "\n# The tank\n",
        "It came *down*.\n\n## Straps\n\nRusty.",
        "```yaml\n",
        "status: removed",
    ] {
        assert!(tank.contains(words), "{words}:\n{tank}");
    }
    let facts = shop.read("entries/2026/2026-04-03-notes-of-3-april-2026.md");
    assert!(
        facts.contains("> ## Horn\n> \n> - stored: rack 2"),
        "{facts}"
    );
    let seats = files(&shop.root.join("entries")).into_iter();
    let of_day = seats.filter(|(path, _)| path.to_string_lossy().contains("2026-03-15"));
    assert_eq!(of_day.count(), 2);
    // No word of theirs became a record, and all are found.
    let parts = json(&shop, &["part"]);
    assert_eq!(parts["parts"], Value::Array(Vec::new()));
    for words in ["seats", "floor wet", "rusty", "sun"] {
        shop.run(["find", words]).ends(0);
    }
    let problems = json(&shop, &["check"]);
    let bad = problems["problems"].as_array().expect("problems").iter();
    let bad: Vec<_> = bad
        .filter(|problem| problem["severity"] != "note")
        .collect();
    assert!(bad.is_empty(), "{bad:?}");

    // Again, also after the entries were kept and edited: nothing is added.
    let written = files(&shop.root.join("entries"));
    shop.run(["adopt", "../notes", "--yes"])
        .ends(0)
        .shows("0 notes written, 6 already there");
    assert_eq!(files(&shop.root.join("entries")), written);
    shop.keep();
    shop.write(
        "entries/2026/2026-03-14-the-tank.md",
        tank.replace("Rusty", "Very rusty"),
    );
    fs::rename(
        folder(&shop).join("tank.md"),
        folder(&shop).join("moved.md"),
    )
    .expect("moved");
    shop.run(["adopt", "../notes", "--yes"])
        .ends(0)
        .shows("0 notes written, 6 already there");
}

#[test]
fn facts_are_records_where_they_are_meant() {
    let facts: &[u8] = b"# 3 April 2026\n\n## Horn\n\n- status: removed\n- stored: rack 2\n";
    let shop = shop(&[("facts.md", facts)]);
    shop.run(["adopt", "../notes", "--records", "--yes"])
        .ends(0)
        .shows("with 1 record");
    shop.run(["part", "horn"]).ends(0).shows("rack 2");
    // An entry of this journal's form says itself what it is.
    let entry =
        "---\ndate: 2026-04-04\nvehicle: wren\n---\n\n# Bell\n\n## Bell\n\n- status: removed\n";
    fs::write(folder(&shop).join("bell.md"), entry).expect("written");
    shop.run(["adopt", "../notes", "--yes"])
        .ends(0)
        .shows("1 note written, 1 already there");
    assert_eq!(shop.read("entries/2026/2026-04-04-bell.md"), entry);
}

#[test]
fn every_odd_file_is_left_out_with_its_reason() {
    let huge = vec![b'a'; 1_200_000];
    let shop = shop(&[
        ("2026-03-14.md", b"Fine."),
        ("2026-03-14 copy.md", b"Fine."),
        ("2026-03-16 empty.md", b" \r\n"),
        ("2026-03-16 binary.txt", b"\x00\x01\x02"),
        ("2026-03-16 damaged.txt", b"caf\xc3\xa9 \xc3"),
        ("2026-03-16 huge.txt", &huge),
        ("3-4-2026.txt", b"Either."),
        ("some day.txt", b"No day."),
        ("2099-01-01.txt", b"To come."),
        ("table.csv", b"a,b\n"),
        ("talk.vtt", b"WEBVTT\n"),
        (
            "talk.sheet.txt",
            b"# What was said: 0 of 1 lines ticked.\n[ ] removed: lid\n",
        ),
        ("manual.pdf", b"%PDF-1.7"),
        (".hidden.md", b"x"),
    ]);
    #[cfg(unix)]
    std::os::unix::fs::symlink("some day.txt", folder(&shop).join("link.txt")).expect("a link");
    let plan = json(&shop, &["adopt", "../notes"]);
    let why: BTreeMap<&str, &str> = plan["left_out"]
        .as_array()
        .expect("a list")
        .iter()
        .map(|left| {
            (
                left["file"].as_str().unwrap_or(""),
                left["why"].as_str().unwrap_or(""),
            )
        })
        .collect();
    for (file, words) in [
        ("2026-03-14.md", "the same as"),
        ("2026-03-16 empty.md", "empty"),
        ("2026-03-16 binary.txt", "no text"),
        ("2026-03-16 damaged.txt", "damaged"),
        ("2026-03-16 huge.txt", "longer than 1 MB"),
        ("3-4-2026.txt", "2026-04-03 or 2026-03-04"),
        ("some day.txt", "no day"),
        ("2099-01-01.txt", "still to come"),
        ("table.csv", "a table"),
        ("talk.vtt", "a narration"),
        ("talk.sheet.txt", "a sheet"),
        ("manual.pdf", "neither"),
        (".hidden.md", "hidden"),
        ("link.txt", "a link"),
    ] {
        let found = why.get(file).copied().unwrap_or("nothing");
        assert!(
            found.contains(words) || cfg!(not(unix)) && file == "link.txt",
            "{file}: {found}"
        );
    }
    assert_eq!(plan["notes"].as_array().map(Vec::len), Some(1));
    assert_eq!(plan["written"], false);
    // What was asked can be answered.
    let said = json(
        &shop,
        &[
            "adopt",
            "../notes",
            "--date-order",
            "mdy",
            "--day",
            "2026-03-20",
        ],
    );
    let days: Vec<&str> = said["notes"]
        .as_array()
        .expect("notes")
        .iter()
        .filter_map(|note| note["date"].as_str())
        .collect();
    assert_eq!(days, ["2026-03-14", "2026-03-04", "2026-03-20"]);
}

#[test]
fn texts_beside_pictures_are_asked_about() {
    let shop = shop(&[("2026-03-14.md", b"Fine."), ("2026-03-14.png", TINY_PNG)]);
    shop.run(["adopt", "../notes"]).ends(2).says("--only texts");
    shop.run(["adopt", "../notes", "--only", "texts"])
        .ends(0)
        .shows("1 note to write, 0 already there, 1 left out");
    shop.run(["adopt", "../notes", "--only", "pictures"])
        .ends(0)
        .shows("2026-03-14.png to photos/");
}

#[test]
fn prose_becomes_a_sheet_and_the_sheet_an_entry_with_every_word() {
    let shop = shop(&[
        (
            "2026-03-14 front.md",
            b"# Front end\n\nI took the grille off, four screws, bag 12.\n\nThen tea.\n",
        ),
        ("2026-03-15 later.txt", b"The radiator is cracked.\n"),
    ]);
    shop.run(["adopt", "../notes", "--infer"])
        .ends(2)
        .says("name the first with --into");
    shop.run(["adopt", "../notes", "--infer", "--into", "../sheet.txt"])
        .ends(0)
        .shows("2 sheets");
    let sheet = fs::read_to_string(shop.around().join("sheet.txt")).expect("a sheet");
    assert!(
        sheet.contains("[x] #1 removed: grille | hardware: 4 screws, bag 12\n"),
        "{sheet}"
    );
    assert!(!shop.root.join("entries/2026").exists());
    shop.run(["adopt", "--from", "../sheet.txt", "--yes"])
        .ends(0);
    let entry = shop.read("entries/2026/2026-03-14-front-end.md");
    for words in [
        "\n# Front end\n",
        "\nThen tea.\n",
        "## Grille\n",
        "I took the grille off",
    ] {
        assert!(entry.contains(words), "{words}:\n{entry}");
    }
    // The note is in the journal now, whichever way it is asked for.
    for arguments in [
        &["adopt", "../notes"][..],
        &["adopt", "../notes", "--infer"],
    ] {
        let ran = shop.run(arguments).ends(0);
        let said = format!("{}{}", ran.out, ran.err)
            .split_whitespace()
            .collect::<Vec<_>>()
            .join(" ");
        assert!(
            said.contains("2026-03-14 front.md: entries/2026/2026-03-14-front-end.md came from it"),
            "{said}"
        );
    }
}
