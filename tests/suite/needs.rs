//! `needs` against what people wrote down about the demo, against the plan for
//! putting it back, and its calendar as a reader reads it that is not ours.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use ical::IcalParser;
use jiff::civil::date;
use matchmark::journal::gather;
use matchmark::ledger::Ledger;
use matchmark::reports::needs::{OpenNeed, open};
use proptest::collection::vec;
use proptest::prelude::*;
use serde_json::Value;

use crate::support::{Ran, Shop, toured};

fn json(shop: &Shop, arguments: &[&str]) -> Vec<Value> {
    let ran = shop.run([&["needs", "--json"], arguments].concat());
    let value: Value = serde_json::from_str(&ran.out).unwrap_or_else(|_| panic!("{ran:?}"));
    value["needs"].as_array().expect("needs").clone()
}

fn text<'v>(value: &'v Value, key: &str) -> &'v str {
    value[key].as_str().unwrap_or_default()
}

/// Part, position, need.
fn what(need: &Value) -> (&str, &str, &str) {
    (text(need, "part"), text(need, "at"), text(need, "need"))
}

/// Overdue first, then what blocks most, then the oldest.
fn assert_in_order(needs: &[Value]) {
    let rank = |need: &Value| {
        (
            !need["overdue"].as_bool().expect("overdue"),
            Reverse(need["blocks"].as_u64().expect("blocks")),
            Reverse(need["directly"].as_u64().expect("directly")),
            text(need, "since").to_owned(),
        )
    };
    for pair in needs.windows(2) {
        assert!(rank(&pair[0]) <= rank(&pair[1]), "{pair:#?}");
    }
}

/// Written down with the demo in `tests/data/demo/hidden.md`, without the
/// program.
#[test]
fn the_demo_needs_what_was_hidden_in_it() {
    let shop = toured();
    let needs = json(&shop, &["--on", "2026-11-24"]);
    assert_in_order(&needs);
    assert_eq!(
        what(&needs[0]),
        ("Bulkhead", "lower", "let in a new corner on the right")
    );
    let days = |which: &dyn Fn(&Value) -> bool| -> BTreeMap<&str, (&str, &str)> {
        let chosen = needs.iter().filter(|need| which(need));
        chosen
            .map(|need| (text(need, "by"), (text(need, "part"), text(need, "kind"))))
            .collect()
    };
    assert_eq!(
        days(&|need| need["overdue"] == true),
        BTreeMap::from([
            ("2026-06-30", ("Handbrake cable", "buy")),
            ("2026-09-30", ("Bumper", "back")),
            ("2026-10-31", ("Bulkhead", "work")),
            ("2026-11-07", ("", "return")),
        ])
    );
    assert_eq!(
        days(&|need| need["overdue"] == false && !need["by"].is_null()),
        BTreeMap::from([
            ("2026-12-20", ("Master cylinder", "work")),
            ("2027-01-15", ("Cylinder", "back")),
            ("2027-01-22", ("", "return")),
            ("2027-01-31", ("Wiring loom", "work")),
            ("2027-03-01", ("Tail door", "work")),
        ])
    );
    let silencer = needs.iter().find(|need| text(need, "part") == "Silencer");
    assert_eq!(silencer.map(|need| text(need, "kind")), Some("buy"));
    let circuit = needs
        .iter()
        .find(|need| text(need, "need") == "fill and bleed the whole circuit");
    let circuit = circuit.expect("the need of a system");
    assert!(circuit["part"].is_null(), "{circuit}");
    assert_eq!(text(circuit, "system"), "brakes");
    // All questions of the demo were answered in the end, four were open before.
    let questions = |needs: &[Value]| {
        needs
            .iter()
            .filter(|need| need["kind"] == "question")
            .count()
    };
    assert_eq!(questions(&needs), 0);
    assert_eq!(questions(&json(&shop, &["--on", "2025-09-13"])), 4);
}

/// What blocks is what the plan says that waits, and nothing else.
#[test]
fn the_plan_and_the_needs_count_alike() {
    let shop = toured();
    let day = ["--on", "2026-11-24"];
    let plan = shop.run(["refit", "--json", day[0], day[1]]);
    let plan: Value = serde_json::from_str(&plan.out).expect("JSON");
    let key = |value: &Value| {
        let key = |key: &str| text(value, key).to_lowercase();
        (key("vehicle"), key("part"), key("at"))
    };
    let waiting: BTreeMap<_, u64> = plan["blocking"]
        .as_array()
        .expect("blocking")
        .iter()
        .map(|blocker| (key(blocker), blocker["waiting"].as_u64().expect("a count")))
        .collect();
    let needs = json(&shop, &day);
    let mut seen = 0;
    for need in needs.iter().filter(|need| need["kind"] != "question") {
        let waits = waiting.get(&key(need)).copied().unwrap_or(0);
        assert_eq!(need["blocks"], waits, "{need}");
        seen += u64::from(waits > 0);
    }
    assert!(seen >= 10, "only {seen} block anything");
    for (key, count) in &waiting {
        let listed = needs.iter().any(|need| {
            (
                text(need, "part").to_lowercase(),
                text(need, "at").to_lowercase(),
            ) == (key.1.clone(), key.2.clone())
        });
        assert!(
            listed || *count == 0,
            "{key:?} holds up {count} and is not listed"
        );
    }
}

/// A journal with one of everything that can be open.
fn shop() -> Shop {
    let shop = Shop::new();
    shop.write(
        "entries/2026/2026-03-01-off.md",
        "---\ndate: 2026-03-01\nvehicle: wren\nsystem: body\ntool: hub puller, from Jonas, return by 2026-03-20\n---\n\n# Off\n\n\
         ## Grille\n\n- status: removed\n- needs: straighten it\n\n\
         ## Cowl\n\n- status: removed\n- after: grille\n- needs: fill the dents, by 2026-05-01\n\n\
         ## Panel\n\n- status: removed\n- after: cowl\n- question: was it ever blue?\n\n\
         ## Plate\n\n- status: removed\n- after: panel\n- needs: weld it; buy rivets\n",
    );
    shop.write(
        "entries/2026/2026-03-10-more.md",
        "---\ndate: 2026-03-10\nvehicle: wren\n---\n\n# More\n\n\
         ## Bumper\n\n- system: body\n- sent to: plater, back by 2026-04-01\n\n\
         ## Horn\n\n- system: electrics\n- status: missing\n\n\
         ## Brakes\n\n- needs: bleed them\n\n## Wren\n\n- needs: wash; der Prüfer, im Mai\n",
    );
    shop
}

#[test]
fn one_of_everything_in_its_order() {
    let shop = shop();
    let needs = json(&shop, &["--on", "2026-04-15"]);
    assert_in_order(&needs);
    let got: Vec<(&str, u64)> = needs
        .iter()
        .map(|need| {
            (
                text(need, "need"),
                need["blocks"].as_u64().expect("a count"),
            )
        })
        .collect();
    // By hand: what came off last goes back first, so three wait for the plate.
    assert_eq!(
        got,
        [
            ("return hub puller, from Jonas", 0),
            ("have it back from plater", 0),
            ("weld it", 3),
            ("buy rivets", 3),
            ("fill the dents", 1),
            ("straighten it", 0),
            ("was it ever blue?", 0),
            ("buy another: it was missing", 0),
            ("bleed them", 0),
            ("wash", 0),
            ("der Prüfer, im Mai", 0),
        ]
    );
    let shown = shop.run(["needs", "--on", "2026-04-15"]).ends(0);
    let shown = shown
        .shows("11 open, 2 overdue, 2 to buy, 1 question")
        .shows("return hub puller, from Jonas, by 2026-03-20, 26 days ago")
        .shows("3 Plate: weld it")
        .shows("Panel: find out: was it ever blue?")
        .shows("Cowl: fill the dents, by 2026-05-01, in 16 days")
        .shows("brakes as a whole: bleed them")
        .shows("wren as a whole: wash");
    assert!(
        shown.out.lines().all(|line| line.chars().count() <= 80),
        "{shown:?}"
    );
}

#[test]
fn what_is_done_is_no_need() {
    let shop = shop();
    shop.write(
        "entries/2026/2026-03-12-done.md",
        "---\ndate: 2026-03-12\nvehicle: wren\ntool: puller, returned with thanks\n---\n\n# Done\n\n\
         ## Plate\n\n- done: welded\n\n## Panel\n\n- answer: never\n\n\
         ## Bumper\n\n- status: removed\n\n## Horn\n\n- replaced by: used\n",
    );
    let open = |day: &str| json(&shop, &["--on", day]).len();
    assert_eq!(open("2026-03-11") - open("2026-03-12"), 5);
    let needs = json(&shop, &["--on", "2026-03-12", "--part", "plate"]);
    assert_eq!(
        needs.iter().map(what).collect::<Vec<_>>(),
        [("Plate", "", "buy rivets")]
    );
    shop.run(["check"]).ends(0);
    shop.write(
        "entries/2026/2026-03-13-again.md",
        "---\ndate: 2026-03-13\nvehicle: wren\ntool: puller, returned\n---\n\n# Again\n\n## Plate\n\n- done: welded\n",
    );
    let check = shop.run(["check"]);
    let check = check.shows("`puller` was not to be returned");
    let check = check.shows("`welded` was done already on 2026-03-12");
    let _: Ran = check.shows("2026-03-12-done.md:11)");
}

#[test]
fn needs_can_be_narrowed_down() {
    let shop = shop();
    let count =
        |arguments: &[&str]| json(&shop, &[arguments, &["--on", "2026-04-15"]].concat()).len();
    assert_eq!(count(&["--buy"]), 2);
    assert_eq!(count(&["--system", "body"]), 7);
    assert_eq!(count(&["--system", "brakes"]), 1);
    assert_eq!(count(&["--part", "cowl"]), 1);
    assert_eq!(count(&["--due", "15d"]), 2);
    assert_eq!(count(&["--due", "16 days"]), 3);
    assert_eq!(count(&["--due", "3w"]), 3);
    assert_eq!(count(&["--due", "2026-03-31"]), 1);
    assert_eq!(count(&["--due", "2026-05"]), 3);
    shop.run(["needs", "--buy"])
        .ends(0)
        .shows("matchmark bags --buy");
    // Nothing was written yet, so nothing was open.
    shop.run(["needs", "--on", "2026-02-01"])
        .ends(1)
        .shows("nothing is open");
    shop.run(["needs", "--due", "1d", "--on", "2026-03-02", "--buy"])
        .ends(1)
        .shows("nothing to buy that is due by 2026-03-03");
    for (arguments, words) in [
        (["--due", "soon"], "neither a span nor a day"),
        (["--due", "99999999d"], "too far away"),
        (["--vehicle", "nobody"], "no vehicle"),
        (["--system", "wings"], "no system"),
        (["--part", "nothing"], "no part"),
        (["--on", "someday"], "no day"),
    ] {
        shop.run(["needs", arguments[0], arguments[1]])
            .ends(2)
            .says(words);
    }
    Shop::new().run(["needs"]).ends(1).shows("nothing is open");
}

#[test]
fn the_journal_can_be_asked_as_it_was_written() {
    let shop = shop();
    shop.keep();
    shop.write(
        "entries/2026/2026-03-11-later.md",
        "---\ndate: 2026-03-11\nvehicle: wren\n---\n\n# Later\n\n## Plate\n\n- done: all\n",
    );
    let count = |arguments: &[&str]| json(&shop, &[arguments, &["--part", "plate"]].concat()).len();
    assert_eq!((count(&[]), count(&["--as-written", "HEAD"])), (0, 2));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(120))]

    /// Parts that came off one after the other, each after some of those before:
    /// behind a need waits whatever had to come off first for it, and so on.
    #[test]
    fn what_blocks_most_comes_first(
        after in (2_usize..14).prop_flat_map(|parts| vec(vec(0..parts, 0..3), parts)),
        due in vec(prop::option::of(1_i8..29), 14),
    ) {
        let mut text = String::from("---\ndate: 2026-03-01\nvehicle: wren\nsystem: body\n---\n\n# Off\n\n");
        let mut behind: Vec<BTreeSet<usize>> = Vec::new();
        for (part, after) in after.iter().enumerate() {
            let by = due[part].map_or(String::new(), |day| format!(", by 2026-04-{day:02}"));
            text += &format!("## Thing {part}x\n\n- status: removed\n- needs: paint{by}\n");
            let mut own = BTreeSet::new();
            for first in after.iter().filter(|first| **first < part) {
                text += &format!("- after: thing {first}x\n");
                own.insert(*first);
                own.extend(behind[*first].clone());
            }
            behind.push(own);
            text.push('\n');
        }
        let contents = gather(vec![
            ("vehicles/wren.md".into(), b"---\nname: Wren\n---\n".to_vec()),
            ("entries/2026/2026-03-01-off.md".into(), text.into_bytes()),
        ]);
        let ledger = Ledger::fold(&contents.entries);
        let today = date(2026, 4, 15);
        let all = open(&ledger, Vec::new(), today, &contents.context());
        prop_assert_eq!(all.len(), after.len());
        let rank = |open: &OpenNeed| (open.by.is_none_or(|by| by >= today), Reverse(open.waiting.all));
        for pair in all.windows(2) {
            prop_assert!(rank(&pair[0]) <= rank(&pair[1]), "{:?}", pair);
        }
        for open in &all {
            let part = open.part.clone().unwrap_or_default();
            let number = part.trim_start_matches("Thing ").trim_end_matches('x');
            let number: usize = number.parse().expect("a number");
            prop_assert_eq!(open.waiting.all, behind[number].len(), "{}", part);
        }
    }
}

/// A calendar's events by their UID: day and summary, read by a parser that is
/// not ours.
fn events(file: &Path) -> BTreeMap<String, (String, String)> {
    let bytes = std::fs::read(file).expect("a calendar");
    let text = std::str::from_utf8(&bytes).expect("UTF-8, not cut within a character");
    assert!(!text.replace("\r\n", "").contains(['\r', '\n']), "{text}");
    for line in text.split_terminator("\r\n") {
        assert!(line.len() <= 75, "{} octets: {line}", line.len());
    }
    let calendars: Vec<_> = IcalParser::new(&bytes[..]).collect();
    assert_eq!(calendars.len(), 1);
    let calendar = calendars[0].as_ref().expect("a calendar");
    let head = |name: &str| {
        calendar
            .properties
            .iter()
            .filter(|own| own.name == name)
            .count()
    };
    assert_eq!((head("VERSION"), head("PRODID")), (1, 1));
    let mut events = BTreeMap::new();
    for event in &calendar.events {
        let property = |name: &str| {
            let mut own = event.properties.iter().filter(|own| own.name == name);
            let first = own.next().unwrap_or_else(|| panic!("no {name}"));
            assert!(own.next().is_none(), "{name} twice");
            first.clone()
        };
        let stamp = property("DTSTAMP").value.expect("a stamp");
        assert!(stamp.len() == 16 && stamp.ends_with('Z'), "{stamp}");
        let start = property("DTSTART");
        assert_eq!(
            start.params,
            Some(vec![("VALUE".to_owned(), vec!["DATE".to_owned()])])
        );
        let summary = property("SUMMARY").value.expect("a summary");
        assert!(property("DESCRIPTION").value.is_some());
        let plain = summary
            .replace("\\,", ",")
            .replace("\\;", ";")
            .replace("\\\\", "\\");
        let uid = property("UID").value.expect("a UID");
        let event = (start.value.expect("a day"), plain);
        assert!(events.insert(uid, event).is_none(), "a UID twice");
    }
    events
}

#[test]
fn another_reader_reads_the_calendar() {
    let shop = toured();
    let file = shop.around().join("needs.ics");
    let write = || {
        shop.command([
            "needs",
            "--as",
            "calendar",
            "--into",
            "../needs.ics",
            "--on",
            "2026-11-24",
        ])
        .output()
        .map(Ran::from)
        .expect("the program runs")
    };
    write().ends(0).shows("9 days, written to");
    let first = events(&file);
    let needs = json(&shop, &["--on", "2026-11-24"]);
    let mut wanted: Vec<String> = needs
        .iter()
        .filter(|need| !need["by"].is_null())
        .map(|need| text(need, "by").replace('-', ""))
        .collect();
    let mut days: Vec<String> = first.values().map(|(day, _)| day.clone()).collect();
    wanted.sort();
    days.sort();
    assert_eq!(days, wanted);
    assert!(
        first
            .values()
            .any(|(_, summary)| summary == "Bulkhead, lower: let in a new corner on the right"),
        "{first:?}"
    );
    // Again, over itself: the same events under the same names.
    write().ends(0);
    assert_eq!(events(&file), first);
}

#[test]
fn a_calendar_holds_any_text() {
    let shop = Shop::new();
    let long = "Prüfen, ob der Schlüßel für die Häubenschlösser noch paßt, 検査する 🚐".repeat(4);
    shop.write(
        "entries/2026/2026-03-01-odd.md",
        format!(
            "---\ndate: 2026-03-01\nvehicle: wren\n---\n\n# Odd\n\n## Häube, left\n\n- needs: {long}, by 2026-05-01\n\
             - needs: a\\b, by 2026-05-02\n- needs: the same, by 2026-05-03\n- needs: the same, by 2026-05-04\n"
        ),
    );
    let file = shop.root.join("x.ics");
    shop.run(["needs", "--as", "calendar", "--into", "x.ics"])
        .ends(0)
        .shows("4 days");
    let events = events(&file);
    let has = |summary: &str| events.values().filter(|(_, own)| own == summary).count();
    assert_eq!(has(&format!("Häube, left: {long}")), 1, "{events:?}");
    assert_eq!(has("Häube, left: a\\b"), 1);
    assert_eq!(has("Häube, left: the same"), 2);
}

#[test]
fn a_calendar_is_written_over_nothing_else() {
    let shop = shop();
    shop.write(
        "mine.ics",
        "BEGIN:VCALENDAR\r\nPRODID:-//somebody//else//EN\r\n",
    );
    shop.run(["needs", "--as", "calendar", "--into", "mine.ics"])
        .ends(2)
        .says("is there already, and this program did not make it");
    assert!(shop.read("mine.ics").contains("somebody"));
    shop.run(["needs", "--as", "calendar", "--into", "nowhere/x.ics"])
        .ends(2)
        .says("there is no folder");
    shop.run(["needs", "--buy", "--as", "calendar", "--into", "x.ics"])
        .ends(1)
        .says("nothing open has a day");
    assert!(!shop.root.join("x.ics").exists());
}
