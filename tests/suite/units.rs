//! Units: what a new one closes and costs, and whether one is ready, the same
//! for whoever asks.

use serde_json::Value;

use crate::support::{Shop, json};

/// An entry of a day in March.
fn day(shop: &Shop, day: u32, body: &str) {
    shop.write(
        &format!("entries/2026/2026-03-{day:02}-work.md"),
        format!("---\ndate: 2026-03-{day:02}\nvehicle: wren\n---\n\n# Work\n\n{body}"),
    );
}

#[track_caller]
fn needs(shop: &Shop) -> Vec<String> {
    let answer = json(shop, &["needs"]);
    let list = answer["needs"].as_array().expect("a list");
    let said = |need: &Value| need["need"].as_str().expect("words").to_owned();
    list.iter().map(said).collect()
}

#[test]
fn more_words_about_a_new_unit_close_none_of_its_work() {
    let shop = Shop::new();
    day(
        &shop,
        1,
        "## Pump\n\n- status: removed\n- needs: clean the strainer; buy a pump\n",
    );
    day(
        &shop,
        2,
        "## Pump\n\n- replaced by: used\n- needs: paint it; buy a gasket\n",
    );
    assert_eq!(needs(&shop), ["paint it", "buy a gasket"]);
    // The number was found on it afterwards: it is still not painted.
    day(&shop, 3, "## Pump\n\n- replaced by: used\n  - number: 77\n");
    assert_eq!(needs(&shop), ["paint it"]);
    // Another one does away with it.
    day(&shop, 4, "## Pump\n\n- replaced by: made\n  - old: sold\n");
    assert_eq!(needs(&shop), Vec::<String>::new());
}

#[test]
fn of_equal_amounts_only_the_one_inside_is_counted_once() {
    let shop = Shop::new();
    day(
        &shop,
        1,
        "## Pump\n\n- replaced by: used\n  - cost: 45.00\n- cost: 45.00\n- cost: 45.00 the second gasket set\n",
    );
    // The same without a vehicle, which the ledger cannot place.
    shop.write(
        "entries/2026/2026-03-02-nowhere.md",
        "---\ndate: 2026-03-02\n---\n\n# Nowhere\n\n## Pump\n\n\
         - replaced by: used\n  - cost: 45.00\n- cost: 45.00\n- cost: 45.00\n",
    );
    let check = shop.run(["check"]);
    assert_eq!(
        check
            .out
            .matches("the cost 45.00 EUR is counted once")
            .count(),
        1,
        "{check:?}"
    );
    let tally = shop
        .run(["tally", "--by", "vehicle", "--as", "csv"])
        .ends(0);
    let rows: Vec<&str> = tally.out.lines().collect();
    assert_eq!(
        rows[1..],
        ["wren,wren,0,90.00,EUR", ",,0,90.00,EUR"],
        "{tally:?}"
    );
}

/// Whether a part is ready, as `part`, the list of parts and `refit` say, and
/// whether its needs hold anything up.
#[track_caller]
fn assert_ready(shop: &Shop, ready: bool) {
    let listed = shop.run(["part", "--status", "ready"]);
    assert_eq!(listed.out.contains("Pump"), ready, "{listed:?}");
    let plan = json(shop, &["refit"]);
    assert_eq!(plan["steps"][0]["ready"], ready, "{plan}");
    let answer = json(shop, &["needs"]);
    let blocks: u64 = answer["needs"]
        .as_array()
        .expect("a list")
        .iter()
        .map(|need| need["blocks"].as_u64().expect("a count"))
        .sum();
    assert_eq!(blocks > 0, !ready, "{answer}");
}

#[test]
fn who_says_ready_says_it_of_what_was_written_until_then() {
    let shop = Shop::new();
    let pipe = "## Pipe\n\n- status: removed\n\n";
    let pump = "## Pump\n\n- status: removed\n- after: pipe\n- needs: paint it\n\n";
    let ready = "## Pump\n\n- status: ready\n";
    day(&shop, 1, &format!("{pipe}{pump}"));
    assert_ready(&shop, false);
    // In the same evening, below.
    day(&shop, 1, &format!("{pipe}{pump}{ready}"));
    assert_ready(&shop, true);
    // What comes up later holds it up again, until it is said once more.
    day(&shop, 2, "## Pump\n\n- needs: free the lever\n");
    assert_ready(&shop, false);
    day(&shop, 3, ready);
    assert_ready(&shop, true);
    // What was said of it before it went on is of no account once it is off again.
    day(&shop, 4, "- fitted: pump\n");
    day(&shop, 5, "- removed: pump\n");
    assert_ready(&shop, false);
}

#[test]
fn a_need_that_ready_was_said_in_spite_of_holds_nothing_up() {
    let shop = Shop::new();
    day(
        &shop,
        1,
        "## Pipe\n\n- status: removed\n\n## Pump\n\n- status: removed\n- after: pipe\n- needs: paint it\n",
    );
    day(
        &shop,
        2,
        "## Pump\n\n- status: ready\n- needs: free the lever\n",
    );
    let answer = json(&shop, &["needs"]);
    let blocks: Vec<(&Value, &Value)> = answer["needs"]
        .as_array()
        .expect("a list")
        .iter()
        .map(|need| (&need["need"], &need["blocks"]))
        .collect();
    let said = |need: &str, count: u64| (Value::from(need), Value::from(count));
    let (lever, paint) = (said("free the lever", 1), said("paint it", 0));
    assert_eq!(blocks, [(&lever.0, &lever.1), (&paint.0, &paint.1)]);
}
