//! The outline: proposed, edited by a person, and told as it was ticked.

use std::collections::BTreeSet;

use serde_json::Value;

use super::{demo, json, sentences, spoken, text};
use crate::support::Shop;

/// Evenings with two paragraphs each, none like another.
fn evenings(count: usize) -> Shop {
    let shop = Shop::new();
    for day in 1..=count {
        shop.write(
            &format!("entries/2026/2026-02-{day:02}-day.md"),
            format!(
                "---\ndate: 2026-02-{day:02}\nvehicle: wren\nfootage: A{day:03} 1:00-2:00\n---\n\n# Day {day}\n\nOn evening {day} he came over and held lamp {day} while I turned bolt {day}, and it did not move at all.\n\nBolt {day} came out later with heat, all of it, and we went in for tea number {day} and a bun.\n"
            ),
        );
    }
    shop
}

fn moments(outline: &Value) -> &[Value] {
    outline["moments"].as_array().expect("moments")
}

#[test]
fn an_untouched_outline_is_the_draft_itself() {
    let shop = demo();
    let draft = json(&shop, &["recap", "--vehicle", "wren", "--minutes", "6"]);
    let ask = [
        "recap",
        "--vehicle",
        "wren",
        "--minutes",
        "6",
        "--as",
        "outline",
    ];
    let sheet = shop.run(ask).ends(0).out;
    shop.write("outline.txt", &sheet);
    let from = json(&shop, &["recap", "--from", "outline.txt"]);
    assert_eq!(from["chapters"], draft["chapters"]);
    // The same through a pipe.
    let piped = shop.run_with(["recap", "--from", "-", "--json"], sheet.as_bytes());
    let piped: Value = serde_json::from_str(&piped.ends(0).out).expect("JSON");
    assert_eq!(piped["chapters"], draft["chapters"]);
    // One line a moment, in the order of the work; each once.
    let all = json(&shop, &ask);
    let beside = ["people", "numbers", "next"].map(|name| format!("[x] {name}"));
    assert!(
        beside
            .iter()
            .all(|line| sheet.lines().any(|one| one == line))
    );
    let lines = sheet.lines().filter(|line| line.starts_with('['));
    let lines = lines.count() - beside.len();
    assert_eq!(lines, moments(&all).len());
    let ids: BTreeSet<&str> = moments(&all).iter().map(|one| text(&one["id"])).collect();
    assert_eq!(ids.len(), lines);
    let days: Vec<&str> = moments(&all).iter().map(|one| text(&one["date"])).collect();
    assert!(days.is_sorted());
}

#[test]
fn lines_are_ticked_moved_and_deleted() {
    let shop = evenings(9);
    let outline = json(&shop, &["recap", "--as", "outline"]);
    let id = |at: usize| text(&moments(&outline)[at]["id"]).to_owned();
    let (one, other, third) = (id(0), id(9), id(4));
    shop.write(
        "sheet.txt",
        format!("minutes: 3\n* [v] {other} and whatever stands here\n\n[X]{one}\n> [*] {third}\n[x] zzzzzz\n[ ] {}\nnot a line\n", id(2)),
    );
    let ran = shop.run(["recap", "--from", "sheet.txt"]).ends(0);
    let said = spoken(&ran.out)
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ");
    let at = |words: &str| {
        said.find(words)
            .unwrap_or_else(|| panic!("{words}: {said}"))
    };
    assert!(at("Bolt 5 came") < at("On evening 1 "));
    assert!(at("On evening 1 ") < at("On evening 3 "));
    assert!(!said.contains("evening 2 "), "{said}");
    let ran = ran
        .says("no moment is called `zzzzzz`")
        .says("line 8: no box");
    assert!(ran.err.contains("the ticked moments take"), "{ran:#?}");
    // Ids stay when something is written elsewhere.
    shop.write(
        "entries/2026/2026-01-01-new.md",
        "---\ndate: 2026-01-01\nvehicle: wren\n---\n\n# New\n\nSomething new came in.\n",
    );
    let later = json(&shop, &["recap", "--as", "outline"]);
    let ids: BTreeSet<&str> = moments(&later).iter().map(|one| text(&one["id"])).collect();
    assert!(ids.contains(one.as_str()) && ids.contains(other.as_str()));
}

#[test]
fn what_has_no_room_is_named() {
    let shop = evenings(28);
    let sheet = shop
        .run(["recap", "--as", "outline", "--minutes", "2"])
        .ends(0)
        .out;
    shop.write("sheet.txt", sheet.replace("[ ]", "[x]"));
    let ran = shop.run(["recap", "--from", "sheet.txt"]).ends(0);
    assert!(ran.err.contains("more than 2:00; untick some"), "{ran:#?}");
    assert!(ran.err.matches("[x] ").count() > 20, "{ran:#?}");
    let words = spoken(&ran.out).split_whitespace().count();
    assert!((240..=330).contains(&words), "{words}");
}

#[test]
fn marked_moments_lead() {
    let shop = evenings(28);
    let entry = "entries/2026/2026-02-14-day.md";
    let marked = shop.read(entry).replace("Bolt 14", "! Bolt 14");
    shop.write(entry, marked);
    let outline = json(&shop, &["recap", "--as", "outline", "--minutes", "1"]);
    let first = moments(&outline)
        .iter()
        .find(|one| one["rank"] == 1)
        .expect("the first");
    assert!(text(&first["text"]).starts_with("Bolt 14"), "{first}");
    assert_eq!(
        (&first["mark"], &first["ticked"]),
        (&"tell".into(), &true.into())
    );
    let draft = json(&shop, &["recap", "--minutes", "1"]);
    let said = |one: &&Value| text(&one["text"]).starts_with("Bolt 14");
    assert!(sentences(&draft).iter().any(said));
}

#[test]
fn what_needs_each_other_is_tied() {
    let shop = evenings(20);
    let prose = "It hung there for years and nobody had an idea what it was for, and I asked.";
    for (day, fact, words) in [
        (
            "2026-01-02",
            "- status: removed\n- question: what is it for",
            "asked",
        ),
        (
            "2026-03-02",
            "- answer: the choke\n- status: fitted",
            "told",
        ),
    ] {
        shop.write(
            &format!("entries/2026/{day}-lever.md"),
            format!("---\ndate: {day}\nvehicle: wren\n---\n\n## Lever\n\n{fact}\n\n{prose} That was {words} me.\n"),
        );
    }
    let outline = json(&shop, &["recap", "--as", "outline", "--minutes", "2"]);
    let of = |words: &str| {
        let has = |one: &&Value| text(&one["text"]).ends_with(words);
        moments(&outline).iter().find(has).expect("the moment")
    };
    let (asked, told) = (of("asked me."), of("told me."));
    for (one, other) in [(asked, told), (told, asked)] {
        let needs = one["needs"].as_array().expect("ids");
        assert!(needs.contains(&other["id"]), "{one}");
        assert_eq!(one["ticked"], other["ticked"]);
    }
    assert_eq!(asked["ticked"], true);
}

#[test]
fn the_vehicle_with_something_to_tell_is_meant() {
    let shop = evenings(2);
    shop.write("vehicles/lark.md", "---\nname: Lark\n---\n");
    shop.write(
        "entries/2026/2026-04-01-lark.md",
        "---\ndate: 2026-04-01\nvehicle: lark\n---\n\n# Lark\n\nThe other one came home.\n",
    );
    shop.run(["recap"])
        .ends(2)
        .says("of which vehicle? There is something to tell of lark and wren");
    shop.write(
        "episodes/01-lark.md",
        "---\nnumber: 1\nvehicle: lark\ntold:\n  - entries/2026/2026-04-01-lark.md\n---\n",
    );
    // The latest entry is of the other one.
    shop.run(["recap"]).ends(0).shows("vehicle: wren");
}

#[test]
fn a_stripping_is_one_sentence_with_its_count() {
    let shop = Shop::new();
    shop.write(
        "entries/2026/2026-03-14-a.md",
        "---\ndate: 2026-03-14\nvehicle: wren\n---\n\n# Strip\n\n- removed: horn; coil; dynamo; lamp, left; lamp, right\n\nAll of it came off and he stacked it by the door.\n",
    );
    let draft = json(&shop, &["recap", "--minutes", "1"]);
    let all = sentences(&draft);
    let counted: Vec<&str> = all
        .iter()
        .map(|one| text(&one["text"]))
        .filter(|one| one.contains("parts came off"))
        .collect();
    assert_eq!(
        counted,
        ["5 parts came off: horn, coil, dynamo and 2 more."]
    );
}

#[test]
fn an_edit_list_has_the_clips_with_their_times() {
    let shop = evenings(3);
    let list = shop.run(["recap", "--as", "edl"]).ends(0).out;
    assert!(list.starts_with("TITLE: "), "{list}");
    assert!(
        list.contains("A001     V     C        00:01:00:00 00:02:00:00"),
        "{list}"
    );
    assert!(list.contains("* LOC: 01:00:00:00 RED "), "{list}");
    let timeline = shop.run(["recap", "--as", "otio"]).ends(0).out;
    let timeline: Value = serde_json::from_str(&timeline).expect("JSON");
    let clips = &timeline["tracks"]["children"][0]["children"];
    assert_eq!(clips.as_array().expect("clips").len(), 3);
    assert_eq!(clips[0]["source_range"]["duration"]["value"], 60 * 25);
}
