//! What belongs to a step, and what can go on with how many hands.

use serde_json::Value;

use super::{day, json};
use crate::support::Shop;

#[track_caller]
fn parts(list: &Value) -> Vec<&str> {
    let list = list.as_array().expect("a list").iter();
    list.map(|item| item["part"].as_str().expect("a part"))
        .collect()
}

/// The step of a part.
#[track_caller]
fn step<'v>(plan: &'v Value, part: &str) -> &'v Value {
    let mut steps = plan["steps"].as_array().expect("steps").iter();
    let found = steps.find(|step| step["part"] == part);
    found.unwrap_or_else(|| panic!("no step of {part} in {plan}"))
}

#[track_caller]
fn told<'v>(plan: &'v Value, part: &str, key: &str) -> Vec<&'v str> {
    let list = step(plan, part)[key].as_array().expect("a list").iter();
    list.map(|told| told["text"].as_str().expect("words"))
        .collect()
}

#[test]
fn alone_nothing_is_promised_that_hangs_on_two_people() {
    let shop = Shop::new();
    day(
        &shop,
        1,
        "system: engine\nstatus: removed\n",
        "## Fan\n\n- after: cowl\n\n## Cowl\n\n- stored: loft\n\n## Radiator\n\n- after: fan\n- hands: 2\n",
    );
    // Back goes the radiator, by two; then the fan, then the cowl.
    let two = json(&shop, &[]);
    assert_eq!(parts(&two["tonight"]), ["Radiator"]);
    assert_eq!(parts(&two["then"]), ["Fan", "Cowl"]);
    let alone = json(&shop, &["--alone"]);
    for list in ["tonight", "then", "perhaps", "bench"] {
        assert_eq!(parts(&alone[list]), Vec::<&str>::new(), "{list}");
    }
    let words = shop.run(["refit", "--alone"]).ends(0);
    assert!(!words.out.contains("and then"), "{words:?}");
    // It says nothing about one step, one part or a page, and does not pretend to.
    for other in [&["--to", "fan"][..], &["--step", "1"]] {
        shop.run([&["refit", "--alone"], other].concat())
            .ends(2)
            .says("cannot be used with");
    }
    shop.run(["refit", "--alone", "--as", "page", "--into", "x.html"])
        .ends(2)
        .says("leave out --tonight, --alone and --step");
}

#[test]
fn what_is_only_loose_yet_is_something_to_say() {
    let shop = Shop::new();
    day(&shop, 1, "", "- loose: shackle\n");
    shop.run(["refit"])
        .ends(0)
        .shows("On, and still loose shackle");
    let plan = json(&shop, &[]);
    assert_eq!(parts(&plan["loose"]), ["shackle"]);
    assert_eq!(plan["steps"], Value::Array(Vec::new()));
}

#[test]
fn a_connection_to_what_is_not_there_is_in_no_step() {
    let shop = Shop::new();
    let off =
        "## Sender\n\n- undone: lead, to loom\n- status: removed\n\n## Loom\n\n- status: removed\n";
    day(&shop, 1, "", off);
    day(&shop, 2, "", "- scrapped: loom\n");
    let plan = json(&shop, &[]);
    assert_eq!(step(&plan, "Sender")["connect"], Value::Array(Vec::new()));
    assert_eq!(parts(&plan["blocked"]), ["Loom"]);
    assert_eq!(plan["blocked"][0]["connect"][0]["connect"], "lead to loom");
    shop.run(["refit"])
        .ends(0)
        .shows("Loom: get one: it was scrapped; then connect lead to loom");
    // There is one again: it comes with the last of both.
    day(&shop, 3, "", "## Loom\n\n- replaced by: reproduction\n");
    let plan = json(&shop, &[]);
    let connects: usize = ["Sender", "Loom"]
        .map(|part| {
            step(&plan, part)["connect"]
                .as_array()
                .expect("a list")
                .len()
        })
        .iter()
        .sum();
    assert_eq!(connects, 1);
    // In a loop neither has a step, and no other step can connect them.
    day(
        &shop,
        3,
        "",
        "## Loom\n\n- replaced by: reproduction\n- refit after: clip\n\n## Clip\n\n- status: removed\n- refit after: loom\n",
    );
    let plan = json(&shop, &[]);
    assert_eq!(plan["loops"].as_array().map(Vec::len), Some(1));
    assert_eq!(parts(&plan["steps"]), ["Sender"]);
    assert_eq!(step(&plan, "Sender")["connect"], Value::Array(Vec::new()));
}

#[test]
fn a_lesson_about_a_longer_name_is_none_about_a_shorter() {
    let shop = Shop::new();
    day(
        &shop,
        1,
        "",
        "## Drum\n\n- status: removed\n\n## Brake drum\n\n- found: sound\n\n\
         ## Horn\n\n- status: removed\n- lesson: slacken the brake drum first\n- lesson: the drum is heavy\n\n\
         ## Lever\n\n- status: removed\n- after: hub drum\n- lesson: a hub drum has two screws\n",
    );
    let plan = json(&shop, &[]);
    // The brake drum is on, and the hub drum is named in passing only.
    assert_eq!(told(&plan, "Drum", "lessons"), ["the drum is heavy"]);
}

#[test]
fn what_a_session_taught_reaches_the_steps_it_names() {
    let shop = Shop::new();
    day(
        &shop,
        1,
        "lesson: mark the horn before the lamp\ncaution: the battery bites\n",
        "## Horn\n\n- status: removed\n\n## Lamp\n\n- status: removed\n\n## Seat\n\n- status: removed\n",
    );
    // A session about one part is about that part, named or not.
    day(
        &shop,
        2,
        "lesson: drain it first\ncaution: fumes\n",
        "## Tank\n\n- status: removed\n",
    );
    let plan = json(&shop, &[]);
    let mark = "mark the horn before the lamp";
    assert_eq!(told(&plan, "Horn", "lessons"), [mark]);
    assert_eq!(told(&plan, "Lamp", "lessons"), [mark]);
    assert_eq!(told(&plan, "Seat", "lessons"), Vec::<&str>::new());
    assert_eq!(told(&plan, "Seat", "cautions"), Vec::<&str>::new());
    assert_eq!(told(&plan, "Tank", "lessons"), ["drain it first"]);
    assert_eq!(told(&plan, "Tank", "cautions"), ["fumes"]);
    let of = &step(&plan, "Tank")["lessons"][0];
    assert_eq!((&of["of"], &of["line"]), (&Value::Null, &Value::from(4)));
    // As it stood before, it was not learned yet.
    let before = json(&shop, &["--on", "2026-03-01"]);
    assert_eq!(parts(&before["steps"]).len(), 3);
}

/// What the plan and the shopping list say is to be got for one part.
#[track_caller]
fn assert_lacks(shop: &Shop, part: &str, expected: &[&str]) {
    let plan = json(shop, &[]);
    assert_eq!(step(&plan, part)["new"], serde_json::json!(expected));
    let ran = shop.run(["bags", "--buy", "--json"]);
    let answer: Value = serde_json::from_str(&ran.out).expect("JSON");
    let lines = answer["buy"].as_array().expect("a list");
    assert_eq!(lines.len(), expected.len(), "{answer}");
}

#[test]
fn the_plan_and_the_shopping_list_lack_the_same() {
    let shop = Shop::new();
    day(
        &shop,
        1,
        "",
        "## Hub\n\n- status: removed\n- hardware: 1 cotter pin, new; 2 bolt 3/8-24, sheared\n",
    );
    assert_lacks(
        &shop,
        "Hub",
        &["1 cotter pin", "2 bolt 3/8-24 (the old one sheared)"],
    );
    // On and off again: the pin is needed again, the bolts were got.
    day(
        &shop,
        2,
        "",
        "## Hub\n\n- status: fitted\n- short: 3 washer\n",
    );
    day(&shop, 3, "", "- removed: hub\n");
    assert_lacks(
        &shop,
        "Hub",
        &["1 cotter pin", "3 washer (missing last time)"],
    );
    // Written down anew, it is what was written last.
    day(
        &shop,
        3,
        "",
        "## Hub\n\n- status: removed\n- hardware: 2 split pin, new\n- done: 3 washer came\n",
    );
    assert_lacks(&shop, "Hub", &["2 split pin"]);
    // What only the section of a bag says is lacking all the same.
    day(
        &shop,
        4,
        "",
        "## Bag 7\n\n- holds: hub\n- hardware: 4 tab washer, new\n",
    );
    assert_lacks(&shop, "Hub", &["2 split pin", "4 tab washer"]);
}

#[test]
fn a_bag_that_names_its_part_in_short_is_fetched_too() {
    let shop = Shop::new();
    day(
        &shop,
        1,
        "",
        "## Hub, left front\n\n- status: removed\n\n## Bag 7\n\n- holds: hub\n- hardware: 4 washer 3/8\n",
    );
    assert_eq!(
        step(&json(&shop, &[]), "Hub")["bags"],
        serde_json::json!(["7"])
    );
    shop.run(["part", "hub", "--json"]).ends(0).shows("\"7\"");
}
