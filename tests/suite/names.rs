//! Names that live: a part that is renamed, whose slip is corrected, or whose
//! names are joined keeps its past, and the newer name heads the answer.

use std::fs;

use crate::support::{Shop, json};

const ENTRY: &str = "entries/2026/2026-03-14-off.md";

/// A journal with a kept entry about a link and, with a slip, a horn.
fn shop() -> Shop {
    let shop = Shop::new();
    let text = "---\ndate: 2026-03-14\nvehicle: wren\n---\n\n# Off\n\n## Track rod\n\n- status: removed\n- bag: 3\n\nBent.\n\n## Hron\n\n- status: removed\n- stored: loft\n";
    fs::create_dir_all(shop.root.join("entries/2026")).expect("a folder");
    fs::write(shop.root.join(ENTRY), text).expect("an entry");
    shop.keep();
    shop
}

fn change(shop: &Shop, pairs: &[(&str, &str)]) {
    let mut text = fs::read_to_string(shop.root.join(ENTRY)).expect("an entry");
    for (before, after) in pairs {
        assert!(text.contains(before), "{before}");
        text = text.replace(before, after);
    }
    fs::write(shop.root.join(ENTRY), text).expect("written");
}

/// The subject of the last commit.
fn subject(shop: &Shop) -> String {
    shop.git(["log", "-1", "--format=%s"]).trim().to_owned()
}

#[test]
fn a_renamed_part_keeps_its_past() {
    let shop = shop();
    change(&shop, &[("## Track rod", "## Drag link")]);
    shop.keep();
    assert_eq!(subject(&shop), "2026-03-14: Track rod renamed to Drag link");
    shop.run(["past"])
        .ends(0)
        .shows("Track rod renamed to Drag link");
    let past = json(&shop, &["past", "drag", "link"]);
    let changes = past["changes"].as_array().expect("changes");
    assert_eq!(changes.len(), 2, "{past}");
    assert_eq!(changes[0]["facts"][0]["key"], "renamed");
    assert_eq!(changes[0]["facts"][0]["before"], "Track rod");
    assert_eq!(changes[0]["facts"][0]["after"], "Drag link");
    assert_eq!(changes[0]["facts"].as_array().map(Vec::len), Some(1));
    assert_eq!(changes[1]["facts"][0]["part"], "Track rod");
    // And once more, with a fact beside it.
    change(
        &shop,
        &[("## Drag link", "## Side rod"), ("bag: 3", "bag: 4")],
    );
    shop.keep();
    assert_eq!(
        subject(&shop),
        "2026-03-14: Drag link renamed to Side rod; 1 more change"
    );
    let past = json(&shop, &["past", "side", "rod"]);
    assert_eq!(past["changes"].as_array().map(Vec::len), Some(3), "{past}");
}

#[test]
fn what_was_replaced_stays_recorded_by_its_first_commit() {
    let shop = shop();
    change(
        &shop,
        &[("- bag: 3\n", "- bag: 3\n- replaced by: reproduction\n")],
    );
    shop.keep();
    let recorded = |shop: &Shop| {
        let rows = json(shop, &["replaced"])["rows"].clone();
        (
            rows[0]["part"].clone(),
            rows[0]["recorded"]["commit"].clone(),
        )
    };
    let before = recorded(&shop);
    assert_eq!(before.0, "Track rod");
    change(&shop, &[("## Track rod", "## Drag link")]);
    shop.keep();
    let after = recorded(&shop);
    assert_eq!(after, (serde_json::json!("Drag link"), before.1));
}

#[test]
fn a_corrected_slip_is_no_new_part() {
    let shop = shop();
    change(
        &shop,
        &[("## Hron", "## Horn"), ("stored: loft", "stored: rack 2")],
    );
    shop.keep();
    assert_eq!(
        subject(&shop),
        "2026-03-14: Hron renamed to Horn; 1 more change"
    );
    let past = json(&shop, &["past", "horn"]);
    assert_eq!(past["changes"].as_array().map(Vec::len), Some(2), "{past}");
    // Another part that also came off is one.
    change(
        &shop,
        &[(
            "## Horn\n\n- status: removed\n- stored: rack 2",
            "## Lamp\n\n- status: removed",
        )],
    );
    shop.keep();
    assert!(!subject(&shop).contains("renamed"), "{}", subject(&shop));
}

#[test]
fn the_newer_of_two_joined_names_heads_the_answer() {
    let shop = shop();
    shop.run([
        "write",
        "--date",
        "2026-03-20",
        "--part",
        "Drag link",
        "--status",
        "fitted",
        "--fact",
        "also: Track rod",
    ])
    .ends(0);
    shop.keep();
    for name in ["drag link", "track rod"] {
        let part = json(&shop, &["part", name]);
        assert_eq!(part["part"], "Drag link", "{part}");
        assert_eq!(part["also"][0], "Track rod", "{part}");
        let past = json(&shop, &["past", name]);
        assert_eq!(past["changes"].as_array().map(Vec::len), Some(2), "{past}");
    }
    shop.assert_answers_as_fresh(&["part", "drag link", "--json"]);
}

#[test]
fn a_word_is_not_completed_to_a_vehicle() {
    let shop = shop();
    shop.run(["begin", "--vehicle", "Mustard van"]).ends(0);
    shop.keep();
    shop.run(["past", "must"])
        .ends(2)
        .says("no entry and no part is called `must`");
    shop.run(["past", "mustard-van"]).ends(0);
    shop.run(["past", "vehicles/mustard-van.md"]).ends(0);
    shop.run(["past", "2026-03-14"]).ends(0);
}

#[test]
fn an_option_in_another_word_is_named() {
    let shop = Shop::new();
    for (said, option) in [
        ("--price", "--cost"),
        ("--location", "--stored"),
        ("--tip", "--lesson"),
        ("--todo", "--needs"),
        ("--condition", "--found"),
        ("--warning", "--caution"),
        ("--note", "--found"),
    ] {
        let ran = shop.run(["write", "--part", "horn", said, "x"]).ends(2);
        assert!(
            ran.err.contains(&format!("write `{option}`")),
            "{said}: {}",
            ran.err
        );
    }
    // What is typed is not lost either.
    let ran = shop.run_with(
        ["write", "--part", "horn", "--price", "12"],
        b"It squeaks.\n",
    );
    assert!(ran.err.contains("drafts/"), "{}", ran.err);
    shop.run(["part", "--status", "in bits"])
        .shows("no such parts");
    let ran = shop.run(["part", "--status", "on the shelf"]).ends(2);
    assert!(ran.err.contains("removed, or ready"), "{}", ran.err);
}

#[test]
fn the_same_part_of_two_vehicles_is_asked_about() {
    let shop = Shop::new();
    shop.run(["begin", "--vehicle", "pavetta"]).ends(0);
    for vehicle in ["wren", "pavetta"] {
        shop.write(
            &format!("entries/2026/2026-03-14-{vehicle}.md"),
            format!("---\ndate: 2026-03-14\nvehicle: {vehicle}\n---\n\n# Evening\n\n## Semaphore, left\n\n- status: removed\n"),
        );
    }
    let asked = shop.run(["part", "semaphore", "left"]).ends(1);
    assert!(
        asked.out.contains("(wren)") && asked.out.contains("(pavetta)"),
        "{asked:?}"
    );
    shop.run(["part", "--vehicle", "wren", "semaphore", "left"])
        .ends(0)
        .shows("wren");
}

#[test]
fn a_question_looks_where_it_says() {
    let shop = Shop::new();
    for (day, part, words) in [
        (
            "2025-03-14",
            "Wiper motor",
            "Fan belt squealed, slack taken up.",
        ),
        ("2026-03-14", "Fan", "One blade cracked at the rivet."),
    ] {
        let text =
            format!("---\ndate: {day}\nvehicle: wren\n---\n\n# A day\n\n## {part}\n\n{words}\n");
        shop.write(&format!("entries/{day}.md"), text);
    }
    let asked = ["find", "What was wrong with the fan in March 2026?"];
    let ran = shop.run(asked);
    assert!(ran.out.contains("looked only in March 2026"), "{ran:?}");
    assert!(
        ran.out.contains("blade") && !ran.out.contains("belt"),
        "{ran:?}"
    );
    // Nothing stands there: what stands elsewhere is shown, and nothing is said of a month.
    let asked = ["find", "What was wrong with the fan in May 2024?"];
    let ran = shop.run(asked);
    assert!(
        ran.out.contains("blade") && !ran.out.contains("looked only"),
        "{ran:?}"
    );
}
