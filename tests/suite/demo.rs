//! The demo journal, played by `tour`, against what people wrote down about it
//! without the program: real git, an audit by hand, questions of a restorer.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::OnceLock;

use serde_json::Value;

/// Runs the program in a folder; `NO_COLOR` and a fixed width, nothing else of
/// the surroundings.
fn matchmark(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_matchmark"))
        .args(arguments)
        .current_dir(folder)
        .env("COLUMNS", "80")
        .output()
        .expect("the program runs")
}

fn json(folder: &Path, arguments: &[&str]) -> Value {
    let output = matchmark(folder, &[arguments, &["--json"]].concat());
    serde_json::from_slice(&output.stdout).unwrap_or_else(|error| {
        panic!(
            "{arguments:?}: {error}: {}",
            String::from_utf8_lossy(&output.stdout)
        )
    })
}

fn git(folder: &Path, arguments: &[&str]) -> String {
    let output = Command::new("git")
        .args(arguments)
        .current_dir(folder)
        .env("GIT_CONFIG_GLOBAL", folder.join("no-settings"))
        .env("GIT_CONFIG_NOSYSTEM", "1")
        .output()
        .expect("git runs");
    format!(
        "{}{}",
        String::from_utf8_lossy(&output.stdout),
        String::from_utf8_lossy(&output.stderr)
    )
}

/// The journal that `tour` leaves behind, made once.
fn wren() -> &'static Path {
    static FOLDER: OnceLock<(tempfile::TempDir, PathBuf)> = OnceLock::new();
    let (_, folder) = FOLDER.get_or_init(|| {
        let above = tempfile::tempdir().expect("a folder");
        let output = matchmark(above.path(), &["tour"]);
        assert!(
            output.status.success(),
            "{}",
            String::from_utf8_lossy(&output.stderr)
        );
        let folder = above.path().join("wren-journal");
        (above, folder)
    });
    folder
}

fn data(name: &str) -> Vec<std::collections::HashMap<String, String>> {
    let file = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/data/demo")
        .join(name);
    csv::Reader::from_path(file)
        .expect("a table")
        .deserialize()
        .map(|row| row.expect("a row"))
        .collect()
}

fn text<'v>(value: &'v Value, key: &str) -> &'v str {
    value[key].as_str().unwrap_or_default()
}

#[test]
fn real_git_finds_the_tour_clean_and_dated() {
    let folder = wren();
    assert_eq!(git(folder, &["fsck", "--strict"]), "");
    assert_eq!(git(folder, &["status", "--porcelain"]), "");
    let authored = git(folder, &["log", "--format=%as", "--", "entries"]);
    let committed = git(folder, &["log", "--format=%cs", "--", "entries"]);
    assert_eq!(authored, committed);
    let mut days: Vec<String> = fs::read_dir(folder.join("entries"))
        .expect("years")
        .flat_map(|year| fs::read_dir(year.expect("a year").path()).expect("entries"))
        .map(|entry| entry.expect("an entry").file_name().to_string_lossy()[..10].to_owned())
        .collect();
    days.sort();
    days.dedup();
    assert!(days.len() >= 32);
    for day in days {
        assert!(authored.contains(&day), "no commit on {day}");
    }
}

#[test]
fn a_clone_answers_the_same() {
    let above = tempfile::tempdir().expect("a folder");
    let clone = above.path().join("clone");
    git(
        above.path(),
        &["clone", "-q", &wren().to_string_lossy(), "clone"],
    );
    for words in [&["find", "spindle nut"][..], &["find", "bag 31"], &["part"]] {
        assert_eq!(json(wren(), words), json(&clone, words), "{words:?}");
    }
}

#[test]
fn the_tour_never_writes_over_a_folder() {
    let above = wren().parent().expect("a folder above");
    let before = git(wren(), &["rev-parse", "HEAD"]);
    let output = matchmark(above, &["tour"]);
    assert_eq!(output.status.code(), Some(2));
    assert_eq!(git(wren(), &["rev-parse", "HEAD"]), before);
}

/// Thirty questions of someone who read the demo and did not write it, with
/// the record a person would want first.
#[test]
fn a_restorer_finds_what_was_meant() {
    let questions = data("questions.csv");
    assert_eq!(questions.len(), 30);
    let mut missed = Vec::new();
    for question in &questions {
        let answer = json(wren(), &["find", &question["question"]]);
        let first = &answer["hits"][0];
        let part = text(first, "part");
        let full = match text(first, "at") {
            "" => part.to_owned(),
            at => format!("{part}, {at}"),
        };
        let wanted = question["part"].to_lowercase();
        let same_part = wanted == part.to_lowercase() || wanted == full.to_lowercase();
        if text(first, "entry") != question["entry"] || !same_part {
            missed.push(format!(
                "{}: got {full} in {}",
                question["question"],
                text(first, "entry")
            ));
        }
    }
    assert!(missed.len() <= 2, "{}", missed.join("\n"));
}

#[test]
fn searches_say_what_they_searched() {
    let slip = json(wren(), &["find", "spindel nut"]);
    let right = json(wren(), &["find", "spindle nut"]);
    assert_eq!(slip["hits"], right["hits"]);
    assert!(text(&slip, "said").contains("`spindle`"));
    assert_eq!(right["said"], Value::Null);
    let hood = json(wren(), &["find", "hood hinge"]);
    assert_eq!(text(&hood["hits"][0], "part"), "Bonnet hinge");
    let size = json(wren(), &["find", "7/16-20"]);
    assert!(text(&size["hits"][0], "passage").contains("7/16-20"));
    let bag = json(wren(), &["find", "bag 31"]);
    for hit in bag["hits"].as_array().expect("hits") {
        assert!(text(hit, "passage").contains("bag 31"), "{hit}");
    }
    let nothing = matchmark(wren(), &["find", "zeppelin"]);
    assert_eq!(nothing.status.code(), Some(1));
}

/// The audit by hand against `--csv`, read by an independent reader, and
/// `--json`.
#[test]
fn the_audit_is_what_was_written_down_by_hand() {
    let csv = matchmark(wren(), &["replaced", "--as", "csv"]).stdout;
    let rows: Vec<std::collections::HashMap<String, String>> = csv::Reader::from_reader(&csv[..])
        .deserialize()
        .map(|row| row.expect("a row"))
        .collect();
    let json = json(wren(), &["replaced"]);
    let objects = json["rows"].as_array().expect("rows");
    let by_hand = data("audit.csv");
    assert_eq!(rows.len(), by_hand.len());
    assert_eq!(rows.len(), objects.len());
    for (row, object) in rows.iter().zip(objects) {
        let new = &object["new"];
        for (key, value) in [
            ("date", text(object, "date")),
            ("vehicle", text(object, "vehicle")),
            ("system", text(object, "system")),
            ("part", text(object, "part")),
            ("at", text(object, "at")),
            ("old", text(object, "old")),
            ("new", text(new, "what")),
            ("kind", text(new, "kind")),
            ("number", text(new, "number")),
            ("from", text(new, "from")),
            ("amount", text(&new["cost"], "amount")),
            ("currency", text(&new["cost"], "currency")),
            ("fate", text(object, "fate")),
            ("entry", text(object, "entry")),
            ("recorded_commit", text(&object["recorded"], "commit")),
            ("recorded_date", text(&object["recorded"], "date")),
            ("changed_commit", text(&object["changed"], "commit")),
        ] {
            assert_eq!(row[key], value, "{key}");
        }
        assert_eq!(row["line"], object["line"].to_string());
    }
    for hand in by_hand {
        let found = rows.iter().find(|row| {
            row["date"] == hand["date"]
                && row["part"].to_lowercase() == hand["part"]
                && row["at"] == hand["at"]
        });
        let row = found.unwrap_or_else(|| panic!("{hand:?} is not in the audit"));
        let cost = format!("{} {}", row["amount"], row["currency"]);
        for (value, wanted) in [
            (&row["vehicle"], &hand["vehicle"]),
            (&row["system"], &hand["system"]),
            (&row["kind"], &hand["new_kind"]),
            (&row["number"], &hand["new_number"]),
            (&row["from"], &hand["new_from"]),
            (&row["fate"], &hand["old_fate"]),
            (&row["entry"], &hand["entry"]),
            (&cost.trim().to_owned(), &hand["new_cost"]),
        ] {
            assert_eq!(value, wanted, "{hand:?}");
        }
        // Nobody corrected a replacement later: it was recorded on its evening.
        assert_eq!(row["recorded_date"], hand["date"]);
        assert_eq!(row["recorded_commit"], row["changed_commit"]);
    }
}

#[test]
fn a_part_with_three_units_tells_its_story_in_order() {
    let part = json(wren(), &["part", "starter motor"]);
    let units = part["units"].as_array().expect("units");
    assert_eq!(units.len(), 3);
    assert_eq!(text(&units[1], "kind"), "used");
    assert_eq!(text(&units[2], "kind"), "rebuilt");
    assert_eq!(text(&units[1], "fate"), "returned as core");
    let days: Vec<&str> = part["timeline"]
        .as_array()
        .expect("a timeline")
        .iter()
        .map(|moment| text(moment, "date"))
        .collect();
    assert!(days.is_sorted(), "{days:?}");
    assert_eq!(days.first(), Some(&"2025-02-08"));
    assert_eq!(days.last(), Some(&"2026-09-12"));
    assert_eq!(text(&part, "status"), "at hand");
    let then = json(wren(), &["part", "starter motor", "--on", "2025-04-01"]);
    assert_eq!(then["unit"], 2);
    assert_eq!(text(&then, "status"), "fitted");
}

/// A cable was written down as removed and corrected to undone two months
/// later: the vehicle of that day never had it off, the journal of that day
/// said so.
#[test]
fn the_vehicle_then_and_the_journal_then_differ() {
    let on = json(wren(), &["part", "handbrake cable", "--on", "2025-05-01"]);
    let written = json(
        wren(),
        &["part", "handbrake cable", "--as-written", "2025-05-01"],
    );
    assert_eq!(text(&on, "status"), "undone");
    assert_eq!(text(&written, "status"), "removed");
    let past = json(wren(), &["past", "handbrake cable"]);
    assert_eq!(past["changes"].as_array().expect("changes").len(), 3);
    let tank = json(wren(), &["past", "2025-03-14-the-tank-comes-down"]);
    let fact = &tank["changes"][0]["facts"][0];
    assert!(text(fact, "before").ends_with("bag 14"));
    assert!(text(fact, "after").ends_with("bag 15"));
    let replaced = json(wren(), &["replaced", "--as-written", "2025-06-01"]);
    assert_eq!(replaced["rows"].as_array().expect("rows").len(), 1);
}

#[test]
fn check_finds_the_slips_that_were_left_in() {
    let problems = json(wren(), &["check"]);
    let serious: Vec<&Value> = problems["problems"]
        .as_array()
        .expect("problems")
        .iter()
        .filter(|problem| problem["severity"] != "note")
        .collect();
    assert_eq!(serious.len(), 2, "{serious:?}");
    let says = |words: &str| {
        serious
            .iter()
            .any(|problem| text(problem, "message").contains(words))
    };
    assert!(says("radiater hose") && says("hardwear"));
}

#[test]
fn the_demo_is_as_large_as_promised() {
    let mut words = 0;
    let mut records = 0;
    let mut entries = 0;
    let contents = matchmark::journal::Journal::open(wren())
        .and_then(|journal| journal.load())
        .expect("the demo");
    for entry in &contents.entries {
        entries += 1;
        records += entry
            .records
            .iter()
            .map(|record| record.at.len().max(1))
            .sum::<usize>();
        let passages = entry.records.iter().map(|record| &record.passage);
        for passage in passages.chain(&entry.prose) {
            words += entry.prose_text(passage).split_whitespace().count();
        }
    }
    assert!(entries >= 32 && records >= 150, "{entries}, {records}");
    assert!(words >= 8_000, "{words} words of prose");
}

/// One piece short, one left over, as hidden in the demo; nothing else.
#[test]
fn bags_show_one_short_and_one_left_over() {
    let answer = json(wren(), &["bags"]);
    let mut short = Vec::new();
    let mut over = Vec::new();
    for bag in answer["bags"].as_array().expect("bags") {
        let earlier = bag["earlier"].as_array().expect("fillings");
        for filling in earlier.iter().chain([bag]) {
            for piece in filling["pieces"].as_array().expect("pieces") {
                let count = |key: &str| piece[key].as_u64().expect("a count");
                assert_eq!(
                    count("in") + count("short"),
                    count("used") + count("left"),
                    "{filling}"
                );
                let told = format!("{} {} {}", bag["bag"], piece["kind"], piece["size"]);
                if count("short") > 0 {
                    short.push((told.clone(), count("short")));
                }
                if !filling["emptied"].is_null() && count("left") > 0 {
                    over.push((told, count("left")));
                }
            }
        }
    }
    assert_eq!(short, [("\"54\" \"shackle nut\" \"3/8-24\"".to_owned(), 1)]);
    assert_eq!(over, [("\"55\" \"flat washer\" \"7/16\"".to_owned(), 1)]);
    assert!(answer["problems"].as_array().expect("problems").is_empty());
    let fillings = |label: &str| -> usize {
        let bags = answer["bags"].as_array().expect("bags");
        let bag = bags.iter().find(|bag| bag["bag"] == label).expect("a bag");
        1 + bag["earlier"].as_array().expect("fillings").len()
    };
    // Filled again after being empty; bag 2 never was, its tray is off still.
    assert_eq!([fillings("1"), fillings("2"), fillings("15")], [2, 1, 2]);
}

/// A bag that was filled in bulk is named where its parts are looked up.
#[test]
fn a_hub_names_the_bag_with_its_spindle_nut() {
    let then = matchmark(wren(), &["part", "hub, left front", "--on", "2025-12-01"]);
    let said = String::from_utf8_lossy(&then.stdout).into_owned();
    assert!(said.contains("removed, bag 12"), "{said}");
    assert!(said.contains("in bag 12: 2 spindle nut 7/8-14"), "{said}");
    let now = matchmark(wren(), &["part", "hub, left front"]);
    let said = String::from_utf8_lossy(&now.stdout).into_owned();
    assert!(
        said.contains("out of bag 12: 2 spindle nut 7/8-14"),
        "{said}"
    );
    let bag = json(wren(), &["bags", "12"])["bags"][0].clone();
    assert_eq!(bag["emptied"], "2026-10-10");
    assert_eq!(bag["pieces"][0]["used"], 2);
}

/// What is to be bought by the demo's texts: cut, sheared and short pieces by
/// hand, single-use ones of parts that are still off.
#[test]
fn hardware_to_buy_is_what_is_missing_for_what_still_goes_back() {
    let answer = json(wren(), &["bags", "--buy"]);
    let lines = answer["buy"].as_array().expect("lines");
    let why = |kind: &str, size: &str| -> Vec<String> {
        lines
            .iter()
            .filter(|line| line["kind"] == kind && line["size"] == size)
            .flat_map(|line| line["parts"].as_array().expect("parts"))
            .map(|part| {
                format!(
                    "{} {}",
                    part["pieces"],
                    part["why"].as_str().expect("a word")
                )
            })
            .collect()
    };
    assert_eq!(why("wheel nut", "7/16-20"), ["1 cut"]);
    assert_eq!(why("shackle nut", "3/8-24"), ["1 short"]);
    assert_eq!(why("copper washer", "3/8"), ["2 single use"; 3]);
    // The tank is on, with its bolt.
    assert!(lines.iter().all(|line| line["kind"] != "strap bolt"));
    let stud = lines.iter().find(|line| line["kind"] == "wheel stud");
    let perhaps = &stud.expect("a stud")["perhaps"];
    assert!(
        perhaps.to_string().contains("pressed in a new wheel stud"),
        "{perhaps}"
    );
}
