//! Narrations: the sheet that is proposed, what becomes of it when it is edited, and
//! the entry that the ticked lines make.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use serde_json::Value;

use crate::support::{Ran, Shop, json};

fn spoken(name: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/narrations");
    fs::read_to_string(path.join(name)).expect("a narration")
}

/// A journal with a narration beside it.
fn shop() -> Shop {
    let shop = Shop::new();
    fs::write(shop.around().join("shed.vtt"), spoken("shed-evening.vtt")).expect("written");
    shop
}

const LISTEN: [&str; 9] = [
    "adopt",
    "../shed.vtt",
    "--driven",
    "right",
    "--clip",
    "A020",
    "--day",
    "2026-03-14",
    "--vehicle=wren",
];

fn sheet(shop: &Shop) -> String {
    shop.run(LISTEN).ends(0).out
}

/// Adopts a sheet.
fn from_sheet(shop: &Shop, text: &str, options: &[&str]) -> Ran {
    fs::write(shop.around().join("sheet.txt"), text).expect("written");
    shop.run(["adopt", "--from", "../sheet.txt"].iter().chain(options))
}

#[test]
fn a_narration_becomes_a_sheet() {
    let shop = shop();
    let sheet = sheet(&shop);
    let expected = spoken("shed-evening.sheet");
    assert_eq!(sheet, expected, "now:\n{sheet}");
    // Standard input gives the same, and nothing is written.
    let mut piped = LISTEN;
    piped[1] = "-";
    let again = shop
        .run_with(piped, spoken("shed-evening.vtt").as_bytes())
        .ends(0);
    assert_eq!(again.out, sheet);
    assert!(!shop.root.join("entries").join("2026").exists());
}

#[test]
fn what_did_not_happen_is_listed_unticked_with_its_reason() {
    let shop = shop();
    let sheet = sheet(&shop);
    for (part, why) in [
        ("bumper", "denied"),
        ("water pump", "another vehicle"),
        ("fan", "planned"),
        ("wing", "supposed"),
    ] {
        let is_there = sheet.lines().any(|line| {
            line.starts_with("[ ]")
                && line.contains(part)
                && line.ends_with(&format!("left out: {why}"))
        });
        assert!(is_there, "{part}, {why}:\n{sheet}");
        let is_ticked =
            |line: &str| line.starts_with("[x]") && line.contains(&format!("removed: {part}"));
        assert!(!sheet.lines().any(is_ticked), "{part}:\n{sheet}");
    }
}

#[test]
fn the_ticked_sheet_becomes_an_entry_once() {
    let shop = shop();
    let sheet = sheet(&shop);
    // Without --yes it is only shown.
    let shown = from_sheet(&shop, &sheet, &[])
        .ends(0)
        .says("nothing was written yet");
    assert!(!shop.root.join("entries").join("2026").exists());
    let written = from_sheet(&shop, &sheet, &["--yes"])
        .ends(0)
        .shows("written to entries/2026/");
    let (error, warning) = ("error:", "warning:");
    assert!(
        !written.out.contains(error) && !written.out.contains(warning),
        "{}",
        written.out
    );
    let path = "entries/2026/2026-03-14-what-was-said-in-a020.md";
    let entry = shop.read(path);
    assert_eq!(entry, shown.out);
    for line in [
        "## Grille\n",
        "- status: removed\n- hardware: 6 screws, bag 12\n",
        "- footage: A020 00:09-00:14\n",
        "## Headlamp, left\n",
        "Now the radiator. It can't come out until",
    ] {
        assert!(entry.contains(line), "{line}:\n{entry}");
    }
    assert!(!entry.contains("clatter"), "{entry}");
    // Doing it again adds nothing.
    from_sheet(&shop, &sheet, &["--yes"])
        .ends(0)
        .shows("every word of it already");
    let count = fs::read_dir(shop.root.join("entries/2026"))
        .expect("entries")
        .count();
    assert_eq!(count, 1);
    shop.keep().ends(0);
    shop.run(["part", "radiator"]).ends(0).shows("removed");
}

#[test]
fn only_a_ticked_order_is_claimed_as_known() {
    let shop = shop();
    let sheet = sheet(&shop);
    let order = sheet
        .lines()
        .find(|line| line.contains("first: bottom hose"))
        .expect("an order");
    assert!(order.starts_with("[ ]"), "{order}");
    assert!(!from_sheet(&shop, &sheet, &[]).out.contains("- after:"));
    let ticked = sheet.replace(order, &order.replacen("[ ]", "[x]", 1));
    let entry = from_sheet(&shop, &ticked, &[]).ends(0).out;
    assert!(entry.contains("- after: bottom hose\n"), "{entry}");
}

#[test]
fn the_times_of_the_clip_stand_with_each_part() {
    let shop = shop();
    let sheet = sheet(&shop);
    from_sheet(&shop, &sheet, &["--yes"]).ends(0);
    shop.keep();
    shop.run(["find", "perished"])
        .ends(0)
        .shows("footage A020 00:29-00:46");
    shop.run(["part", "grille"])
        .ends(0)
        .shows("filmed: A020 00:09-00:14 (2026-03-14)");
    let part = json(&shop, &["part", "grille"]);
    assert_eq!(part["clips"][0]["clip"], "A020 00:09-00:14");
    shop.run(["recap", "--vehicle", "wren", "--as", "shots"])
        .ends(0)
        .shows("A020 0:09 to 0:14 Grille");
}

/// The orders of the refit plan that it calls known: what goes on, and what before it.
fn known_orders(shop: &Shop) -> BTreeSet<(String, String)> {
    let plan = json(shop, &["refit", "--vehicle", "wren"]);
    let mut orders = BTreeSet::new();
    for step in plan["steps"].as_array().expect("steps") {
        for before in step["after"].as_array().expect("a list") {
            let name = |value: &Value| value["part"].as_str().unwrap_or_default().to_owned();
            orders.insert((name(step), name(before)));
        }
        let has_order = step["after"] != Value::Array(Vec::new());
        assert!(step["known"] == true || !has_order, "{step}");
    }
    orders
}

#[test]
fn the_refit_plan_knows_the_ticked_orders_and_no_others() {
    let parts = ["grille", "bonnet stay", "radiator", "fan", "bumper"];
    let orders = [
        ("grille", "radiator"),
        ("radiator", "fan"),
        ("bumper", "grille"),
        ("fan", "bonnet stay"),
    ];
    for ticked in [&orders[..2], &orders[..0], &orders[1..], &orders[..]] {
        let shop = Shop::new();
        let mut sheet =
            String::from("vehicle: wren\ndate: 2026-03-14\nclip: A020\n> 0:00:05 All off.\n");
        for part in parts {
            sheet.push_str(&format!("[x] 0:00:05 removed: {part}\n"));
        }
        for order in orders {
            let sign = if ticked.contains(&order) { 'x' } else { ' ' };
            sheet.push_str(&format!(
                "[{sign}] 0:00:09 first: {} | before: {}\n",
                order.0, order.1
            ));
        }
        from_sheet(&shop, &sheet, &["--yes"]).ends(0);
        let capital = |name: &str| name[..1].to_uppercase() + &name[1..];
        let expected: BTreeSet<(String, String)> = ticked
            .iter()
            .map(|(first, later)| (capital(first), capital(later)))
            .collect();
        assert_eq!(known_orders(&shop), expected);
    }
}

#[test]
fn the_names_of_the_journal_come_first() {
    let shop = shop();
    shop.write(
        "entries/2026/2026-01-02-loaf.md",
        "---\ndate: 2026-01-02\nvehicle: wren\n---\n\n# Loaf\n\n## Loaf hatch\n\n- system: body\n- status: fitted\n",
    );
    fs::write(
        shop.around().join("shed.vtt"),
        "00:01.000 --> 00:04.000\nThe loaf hatch is off. The grille's off.\n",
    )
    .expect("written");
    let sheet = sheet(&shop);
    assert!(
        sheet.contains("[x] 0:00:01 ~ removed: loaf hatch\n"),
        "{sheet}"
    );
    assert!(sheet.contains("removed: grille | new\n"), "{sheet}");
}

#[test]
fn dictated_lines_with_times_are_heard() {
    let shop = Shop::new();
    fs::write(shop.around().join("shed.txt"), spoken("dictated.txt")).expect("written");
    let sheet = shop
        .run(["adopt", "../shed.txt", "--offset", "1:00"])
        .ends(0)
        .out;
    for line in [
        "[x] 0:01:05 ~ removed: number plate lamp | hardware: 2 screws",
        "removed: tail lamp, left",
        "[x] 0:01:40 needs: lens",
    ] {
        assert!(sheet.contains(line), "{line}:\n{sheet}");
    }
}

#[test]
fn another_program_gets_the_same_as_one_object() {
    let shop = shop();
    let ran = shop.run(LISTEN.iter().chain(&["--json"])).ends(0);
    let answer: Value = serde_json::from_str(&ran.out).expect("JSON");
    for key in [
        "vehicle",
        "date",
        "events",
        "came_first",
        "left_out",
        "entry",
    ] {
        assert!(!answer[key].is_null(), "{key}");
    }
    let grille = answer["events"]
        .as_array()
        .expect("events")
        .iter()
        .find(|event| event["part"] == "grille")
        .expect("the grille");
    assert_eq!(grille["kind"], "removed");
    assert_eq!(grille["start"], "00:00:09.500");
    assert_eq!(grille["hardware"][0]["count"], 6);
    assert_eq!(grille["asked"], false);
    assert!(
        answer["entry"]
            .as_str()
            .is_some_and(|entry| entry.contains("## Grille"))
    );
}

#[test]
fn what_is_no_narration_is_said_clearly() {
    let shop = Shop::new();
    for (name, bytes, says) in [
        ("empty.vtt", &b""[..], "there is nothing in it"),
        ("words.txt", b"no times here\n", "no line of it has a time"),
        (
            "silent.vtt",
            b"WEBVTT\n\n00:01.000 --> 00:02.000\n\n",
            "it has times and no words",
        ),
        (
            "odd.srt",
            b"\xff\xfe\x00\x01",
            "cannot be read as a narration",
        ),
    ] {
        fs::write(shop.around().join(name), bytes).expect("written");
        let file = format!("../{name}");
        shop.run(["adopt", &file]).ends(2).says(says);
    }
    // A time that cannot be read takes its words with it, and that is said.
    let lost = "WEBVTT\n\n00:01.000 --> 00:04.000\nThe grille's off.\n\n0x:05 --> 00:07.000\nThe horn's off.\n";
    fs::write(shop.around().join("lost.vtt"), lost).expect("written");
    let ran = shop
        .run(["adopt", "../lost.vtt"])
        .ends(0)
        .says("the time at line 6 cannot be read");
    assert!(
        ran.out.contains("grille") && !ran.out.contains("horn"),
        "{ran:?}"
    );
    shop.run(["adopt", "../nowhere.vtt"])
        .ends(2)
        .says("nowhere.vtt");
    let sbv = b"0:00:01.000,0:00:04.000\nThe grille's off.\n";
    fs::write(shop.around().join("talk.sbv"), sbv).expect("written");
    shop.run(["adopt", "../talk.sbv"])
        .ends(0)
        .shows("[x] 0:00:01 ~ removed: grille");
    shop.run_with(["adopt", "-"], &vec![b'a'; 9 << 20])
        .ends(2)
        .says("longer than a day");
    fs::write(
        shop.around().join("one.vtt"),
        "00:01.000 --> 00:04.000\nThe grille's off.\n",
    )
    .expect("written");
    shop.run(["adopt", "../one.vtt", "--yes"])
        .ends(2)
        .says("before it is ticked");
    shop.run(["adopt", "../one.vtt", "--offset", "soon"])
        .ends(2)
        .says("is no time");
    shop.run(["adopt"]).ends(2);
}

#[test]
fn a_sheet_that_was_edited_badly_writes_nothing_that_was_not_meant() {
    let shop = shop();
    for (text, code, says) in [
        ("", 2, "nothing is ticked"),
        ("date: 2026-03-14\n[ ] removed: horn\n", 2, "put an x"),
        ("[x] removed: horn\n", 2, "says no day"),
        ("date: 2999-03-14\n[x] removed: horn\n", 2, "still to come"),
        (
            "date: 2026-03-14\nvehicle: nobody\n[x] removed: horn\n",
            2,
            "nobody",
        ),
        (
            "date: 2026-03-14\n[x] removed: horn\n[x] flown: wing\n",
            1,
            "line 3",
        ),
        ("date: 2026-03-14\n[x] removed: horn\nstray\n", 0, "line 3"),
    ] {
        from_sheet(&shop, text, &[]).ends(code).says(says);
    }
    from_sheet(
        &shop,
        "date: 2026-03-14\n[x] removed: horn\n[x] flown: wing\n",
        &["--yes"],
    )
    .ends(2)
    .says("nothing was written");
    assert!(!shop.root.join("entries").join("2026").exists());
    shop.run(["adopt", "--from", "../no-such-sheet"])
        .ends(2)
        .says("there is no file");
}

/// Each talk with a line that its sheet must have.
const HEARD: [(&str, &str); 14] = [
    // What was announced by itself, a minute ago.
    (
        "0:05 Bonnet.\n0:20 Two bolts this side, and one washer.\n1:20 Up, your end... off she comes.",
        "[x] 0:01:20 ~ removed: bonnet",
    ),
    (
        "0:05 It dropped, and I thought, that's the window gone. It's not.",
        "[ ] 0:00:05 removed: window | left out: supposed",
    ),
    (
        "0:05 And then the radiator out. That's the plan.",
        "[ ] 0:00:05 removed: radiator | left out: planned",
    ),
    (
        "0:05 I thought about taking the radiator out.",
        "[ ] 0:00:05 removed: radiator | left out: planned",
    ),
    (
        "0:05 Somebody's had the thermostat out.",
        "[ ] 0:00:05 removed: thermostat | left out: remembered",
    ),
    (
        "0:05 On my neighbour's feed truck the dash is off.",
        "[ ] 0:00:05 removed: dash | left out: another vehicle",
    ),
    (
        "0:05 The bottom hose I've only slipped off.",
        "[x] 0:00:05 undone: bottom hose",
    ),
    (
        "0:05 Two clips, one each end, and the top hose is off.",
        "[x] 0:00:05 removed: top hose | hardware: 2 clips",
    ),
    ("0:05 The cap's tapped off.", "[x] 0:00:05 ~ removed: cap"),
    // Full stops of a machine.
    (
        "0:05 I pulled the. Starter.",
        "[ ] 0:00:05 removed: starter",
    ),
    (
        "0:05 The drum and the two bolts each side.",
        "[x] 0:00:05 ~ removed: drum | hardware: 4 bolts",
    ),
    (
        "0:05 You can see daylight through the bowl.",
        "[ ] 0:00:05 found: bowl | You can see daylight through the bowl",
    ),
    (
        "0:05 There's a cotter pin, and until that's out of the way the drum's going nowhere.",
        "[ ] 0:00:05 first: cotter pin | before: drum",
    ),
    (
        "0:05 So before I pull the drum, the hub cap.",
        "[ ] 0:00:05 first: hub cap | before: drum",
    ),
];

#[test]
fn kinds_of_talk_become_lines() {
    let shop = Shop::new();
    let talk = shop.around().join("talk.txt");
    let mut wrong = Vec::new();
    for (words, line) in HEARD {
        fs::write(&talk, words).expect("written");
        let sheet = shop.run(["adopt", "../talk.txt", "--vehicle=wren"]).ends(0);
        if !sheet.out.lines().any(|there| there == line) {
            wrong.push(format!("{line}\n{}", sheet.out));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn who_does_not_say_which_side_is_driven_is_told() {
    let shop = Shop::new();
    let talk = "0:05 Driver's side first, and the handle's off.";
    fs::write(shop.around().join("talk.txt"), talk).expect("written");
    let hear = ["adopt", "../talk.txt", "--vehicle=wren"];
    shop.run(hear).ends(0).says("--driven left");
    let left = shop.run(hear.iter().chain(&["--driven=left"])).ends(0);
    assert!(!left.err.contains("--driven"), "{}", left.err);
    assert!(left.out.contains("removed: handle, left"), "{}", left.out);
}

#[test]
fn a_sheet_that_was_mended_writes_no_second_entry() {
    let shop = Shop::new();
    let sheet = "vehicle: wren\ndate: 2026-03-14\n[x] 0:00:15 removed: bonnet stay\n";
    shop.write("sheet.txt", sheet);
    shop.run(["adopt", "--from", "sheet.txt", "--yes"]).ends(0);
    let mended = shop
        .read("sheet.txt")
        .replace("stay", "stay | hardware: 2 nuts");
    shop.write("sheet.txt", &mended);
    let path = "entries/2026/2026-03-14-what-was-said.md";
    shop.run(["adopt", "--from", "sheet.txt", "--yes"])
        .ends(2)
        .says(&format!("{path} was written from this sheet"))
        .says("delete it");
    assert!(!shop.read(path).contains("2 nuts"));
    fs::remove_file(shop.root.join(path)).expect("deleted");
    shop.run(["adopt", "--from", "sheet.txt", "--yes"]).ends(0);
    assert!(shop.read(path).contains("2 nuts"));
}

#[test]
fn a_line_that_would_be_an_error_in_the_entry_is_said_with_its_number() {
    let shop = Shop::new();
    let sheet = "date: 2026-03-14\n[x] removed: lid\n[x] needs: 2 brake pipes\n";
    from_sheet(&shop, sheet, &["--vehicle=wren"])
        .ends(1)
        .says("line 3: `needs: 2 brake pipes`")
        .says("`brake pipe | 2 of them`");
    from_sheet(&shop, sheet, &["--vehicle=wren", "--yes"])
        .ends(2)
        .says("nothing was written")
        .says("line 3: ");
    assert!(!shop.root.join("entries/2026").exists());
    let mended = sheet.replace("2 brake pipes", "brake pipe | 2 of them");
    let entry = from_sheet(&shop, &mended, &["--vehicle=wren"]).ends(0).out;
    assert!(entry.contains("## Brake pipe\n"), "{entry}");
    assert!(entry.contains("- needs: 2 of them\n"), "{entry}");
}

#[test]
fn where_a_part_lies_says_nothing_else_of_it() {
    let shop = Shop::new();
    for (words, expected) in [
        ("on the hub, finger tight", "on the hub (finger tight)"),
        ("bench, sold", "bench (sold)"),
        ("out on the bench", "out on the bench"),
        ("off to the left of the vice", "off to the left of the vice"),
    ] {
        let sheet = format!("date: 2026-03-14\n[x] fitted: lid\n[x] stored: lid | {words}\n");
        let entry = from_sheet(&shop, &sheet, &["--vehicle=wren"]).ends(0).out;
        assert!(
            entry.contains(&format!("- stored: {expected}\n")),
            "{entry}"
        );
        assert_eq!(entry.matches("status").count(), 1, "{entry}");
    }
}

#[test]
fn what_was_cut_is_off_only_if_that_is_ticked() {
    let shop = Shop::new();
    let sheet = "date: 2026-03-14\n[x] 0:00:15 cut: hose\n";
    let entry = from_sheet(&shop, sheet, &["--vehicle=wren"]).ends(0).out;
    assert!(entry.contains("- found: was cut"), "{entry}");
    assert!(!entry.contains("- status:"), "{entry}");
}

#[test]
fn what_broke_is_not_claimed_to_be_on() {
    let shop = Shop::new();
    let sheet = "date: 2026-03-14\n[x] 0:00:15 broken: bonnet stay | it just snapped\n";
    let entry = from_sheet(&shop, sheet, &["--vehicle=wren"]).ends(0).out;
    assert!(entry.contains("- found: broke: it just snapped"), "{entry}");
    assert!(!entry.contains("- status:"), "{entry}");
}
