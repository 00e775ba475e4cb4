//! Records that share a name: on two vehicles, or twice in one entry.

use std::collections::BTreeSet;

use super::{json, sentences, text};
use crate::support::Shop;

/// One entry about the tank of two vehicles, and twice about the horn of one.
fn twins() -> Shop {
    let shop = Shop::new();
    shop.write(
        "vehicles/lark.md",
        "---\nname: Lark\nmake: Brindle\nmodel: Lark\n---\n",
    );
    shop.write(
        "entries/2026/2026-03-14-both.md",
        "---\ndate: 2026-03-14\nvehicle: wren\n---\n\n# Both of them\n\n\
         ## Tank\n\n- status: removed\n\nThe tank of the van came down on my knees and broke the lamp that I had been given for my birthday.\n\n\
         ## Tank\n\n- vehicle: lark\n- status: removed\n- caution: petrol vapour, no lamp\n\nThe other tank is full of petrol and asbestos rope, and it leaked all over the jack before anyone found the tap.\n\n\
         ## Horn\n\n- status: removed\n\nThe horn broke off its bracket and fell into the sump tray with a splash that woke the whole house.\n\n\
         ## Horn\n\n- found: a wasp nest in the trumpet\n\nA nest was found in the trumpet of it, and the wasps were at home, which is how I lost the afternoon.\n",
    );
    shop
}

fn all_words(shop: &Shop, arguments: &[&str]) -> String {
    shop.run(arguments)
        .ends(0)
        .out
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
}

#[test]
fn what_one_vehicle_raises_is_not_said_of_another() {
    let shop = twins();
    let van = all_words(&shop, &["recap", "--vehicle", "wren"]);
    assert!(
        van.contains("birthday") && !van.contains("found the tap"),
        "{van}"
    );
    assert!(
        !van.contains("petrol") && !van.contains("Asbestos"),
        "{van}"
    );
    let other = all_words(&shop, &["recap", "--vehicle", "lark"]);
    assert!(
        other.contains("no lamp") && other.contains("Asbestos"),
        "{other}"
    );
    // Telling the one leaves the other untold.
    shop.run(["recap", "--vehicle", "wren", "--write"]).ends(0);
    assert_eq!(
        other,
        all_words(&shop, &["recap", "--vehicle", "lark"]).replace("number: 2", "number: 1")
    );
}

#[test]
fn two_records_of_one_name_are_told_one_by_one() {
    let shop = twins();
    let told = |draft: &serde_json::Value| -> BTreeSet<String> {
        let names = draft["told"].as_array().expect("names");
        names.iter().map(|name| text(name).to_owned()).collect()
    };
    let draft = json(&shop, &["recap", "--vehicle", "wren"]);
    let entry = "entries/2026/2026-03-14-both.md";
    for number in [1, 2] {
        assert!(told(&draft).contains(&format!("{entry}, Horn, record {number}")));
    }
    shop.write(
        "episodes/01-horn.md",
        format!("---\nnumber: 1\nvehicle: wren\ntold:\n  - {entry}, Horn, record 1\n---\n"),
    );
    let draft = json(&shop, &["recap", "--vehicle", "wren"]);
    let names = told(&draft);
    assert!(
        names.contains(&format!("{entry}, Horn, record 2")),
        "{names:?}"
    );
    assert!(
        !names.contains(&format!("{entry}, Horn, record 1")),
        "{names:?}"
    );
    let words: String = sentences(&draft)
        .iter()
        .map(|one| text(&one["text"]))
        .collect();
    assert!(
        words.contains("wasps") && !words.contains("splash"),
        "{words}"
    );
    let rest = json(&shop, &["recap", "--untold", "--vehicle", "wren"]);
    let horns: Vec<_> = rest["untold"]
        .as_array()
        .expect("records")
        .iter()
        .filter(|one| text(&one["part"]) == "Horn")
        .map(|one| one["record"].as_u64())
        .collect();
    assert_eq!(horns, [Some(2)]);
    // `check` knows how many there are.
    shop.run(["check"]).ends(0);
    shop.write(
        "episodes/02-horn.md",
        format!("---\nnumber: 2\nvehicle: wren\ntold:\n  - {entry}, Horn, record 3\n---\n"),
    );
    shop.run(["check"])
        .shows("Horn, record 3`, which no entry has");
}
