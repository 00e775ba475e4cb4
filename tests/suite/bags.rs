//! Bags from outside: fillings, vehicles, sections about whole bags, what to
//! get.

use std::fs;

use super::support::{Shop, json};

/// A journal made up here, with everything that can go wrong with a bag.
fn odd() -> Shop {
    let shop = Shop::new();
    let write = |day: &str, vehicle: &str, text: &str| {
        let name = text.lines().next().unwrap_or_default().len();
        shop.write(
            &format!("entries/2026/2026-{day}-{vehicle}-{name}.md"),
            format!("---\ndate: 2026-{day}\nvehicle: {vehicle}\n---\n\n# A day\n\n{text}"),
        );
    };
    shop.write("vehicles/pavetta.md", "# Pavetta 125\n");
    write(
        "01-01",
        "wren",
        "## Horn\n\n- status: removed\n- hardware: 2 screw M4 x 10, bag 1\n\n\
         ## Hub, left front\n\n- status: removed\n- hardware: 1 spindle nut\n\n\
         ## Hub, right front\n\n- status: removed\n- hardware: 1 cotter pin, new\n\n\
         ## Grille\n\n- status: removed\n- hardware: 8 pan head screw\n- bag: coffee tin\n\n\
         ## Badge\n\n- status: removed\n- hardware: 2 clip\n",
    );
    write(
        "01-02",
        "wren",
        "## Horn\n\n- status: fitted\n- leftover: 5 screw M4 x 10\n",
    );
    write(
        "01-03",
        "wren",
        "## Bag 12\n\n- holds: hub\n- hardware: 2 spindle nuts; 2 cap\n- stored: rack 3\n",
    );
    write(
        "01-04",
        "wren",
        "## Mirror\n\n- status: removed\n- hardware: 1 bolt 1/4-20, bag 1\n",
    );
    write(
        "01-05",
        "pavetta",
        "## Seat\n\n- status: removed\n- hardware: 2 nut M8, bag 1\n",
    );
    shop
}

#[test]
fn a_bag_filled_again_and_one_of_two_vehicles() {
    let shop = odd();
    let bag = &json(&shop, &["bags", "1"])["bags"][0];
    assert_eq!(bag["filling"], 2);
    assert_eq!(bag["vehicles"], serde_json::json!(["wren", "pavetta"]));
    let first = &bag["earlier"][0];
    assert_eq!(first["emptied"], "2026-01-02");
    // Five left over of two: two can be, and the rest is said.
    let counts = &first["pieces"][0];
    assert_eq!(
        (
            &counts["in"],
            &counts["used"],
            &counts["left"],
            &counts["short"]
        ),
        (&2.into(), &0.into(), &2.into(), &0.into())
    );
    shop.run(["check"])
        .ends(1)
        .shows("5 pieces left over, but only 2 came off Horn")
        .shows("bag 1 holds hardware of pavetta, and of wren before");
    shop.run(["bags", "1"])
        .ends(0)
        .shows("it holds hardware of two vehicles")
        .shows("Filling 1");
    shop.run(["bags", "--vehicle", "pavetta"])
        .ends(0)
        .shows("1 bag");
}

#[test]
fn a_bag_of_words_and_hardware_in_no_bag() {
    let shop = odd();
    for words in [&["bags", "coffee", "tin"][..], &["bags", "Bag Coffee  Tin"]] {
        shop.run(words)
            .ends(0)
            .shows("Bag coffee tin (wren): 8 pieces")
            .shows("entries/2026/2026-01-01-wren-7.md:");
    }
    shop.run(["bags"])
        .ends(0)
        .shows("in no bag: Badge (wren): 2 clip")
        .shows("3 bags: 3 with hardware");
    shop.run(["bags", "coffee"])
        .ends(1)
        .shows("near it: coffee tin");
    shop.run(["bags", "1; coffee tin"])
        .ends(0)
        .shows("Bag 1 ")
        .shows("Bag coffee tin");
}

/// A bag's section names its parts without their corners; the pieces written
/// down before are the same ones, and are used when the last part is on.
#[test]
fn a_section_about_a_bag_counts_for_all_its_parts() {
    let shop = odd();
    let counts = |day: &str| {
        let bag = json(&shop, &["bags", "12", "--on", day])["bags"][0].clone();
        assert_eq!(bag["parts"].as_array().map(Vec::len), Some(2), "{bag}");
        assert_eq!(bag["stored"], "rack 3");
        let nuts = bag["pieces"][0].clone();
        (
            nuts["in"].clone(),
            nuts["used"].clone(),
            nuts["left"].clone(),
        )
    };
    assert_eq!(counts("2026-01-09"), (2.into(), 0.into(), 2.into()));
    for part in ["hub, left front", "hub, right front"] {
        shop.run(["part", part])
            .ends(0)
            .shows("removed, bag 12")
            .shows("in bag 12: 2 spindle nuts; 2 cap");
        let found = json(&shop, &["find", part]);
        assert_eq!(found["hits"][0]["now"][0]["bags"][0], "12", "{found}");
    }
    let found = json(&shop, &["find", "spindle nuts cap"]);
    assert_eq!(
        found["hits"][0]["now"].as_array().map(Vec::len),
        Some(2),
        "{found}"
    );
    shop.write(
        "entries/2026/2026-01-10-on.md",
        "---\ndate: 2026-01-10\nvehicle: wren\n---\n\n# On\n\n## Hub, left front\n\n- status: fitted\n",
    );
    assert_eq!(counts("2026-01-10"), (2.into(), 0.into(), 2.into()));
    shop.write(
        "entries/2026/2026-01-11-on.md",
        "---\ndate: 2026-01-11\nvehicle: wren\n---\n\n# On\n\n## Hub, right front\n\n- status: fitted\n- leftover: 1 cap\n",
    );
    assert_eq!(counts("2026-01-11"), (2.into(), 2.into(), 0.into()));
    shop.run(["bags"]).ends(0).shows("left over: 1 cap, bag 12");
    assert_eq!(counts("2026-01-10"), (2.into(), 0.into(), 2.into()));
}

#[test]
fn what_to_get_is_summed_and_forgotten_when_it_is_there() {
    let shop = Shop::new();
    let write = |day: u32, text: &str| {
        shop.write(
            &format!("entries/2026/2026-01-{day:02}-x.md"),
            format!("---\ndate: 2026-01-{day:02}\nvehicle: wren\n---\n\n# A day\n\n{text}"),
        );
    };
    write(
        1,
        "## Wheel, left\n\n- status: removed\n- hardware: 1 wheel nut 7/16-20, cut; 2 pin 1/8, new\n\n\
         ## Wheel, right\n\n- status: removed\n- hardware: 2 Wheel Nuts 7/16-20 UNF, lost\n\n\
         ## Badge\n\n- status: left off\n- hardware: 3 clip, new\n",
    );
    let pieces = |shop: &Shop| -> Vec<(String, u64)> {
        json(shop, &["bags", "--buy"])["buy"]
            .as_array()
            .expect("lines")
            .iter()
            .map(|line| {
                let kind = line["kind"].as_str().unwrap_or_default().to_owned();
                (kind, line["pieces"].as_u64().unwrap_or_default())
            })
            .collect()
    };
    assert_eq!(
        pieces(&shop),
        [("pin".to_owned(), 2), ("wheel nut".to_owned(), 3)]
    );
    write(
        2,
        "## Wheel, left\n\n- status: fitted\n- short: 1 wheel nut 7/16-20\n",
    );
    assert_eq!(pieces(&shop), [("wheel nut".to_owned(), 3)]);
    write(3, "## Wheel, left\n\n- done: new wheel nut\n");
    assert_eq!(pieces(&shop), [("wheel nut".to_owned(), 2)]);
    // Off again, and nothing said: what is used once is needed once more.
    write(4, "## Wheel, left\n\n- status: removed\n");
    assert_eq!(
        pieces(&shop),
        [("pin".to_owned(), 2), ("wheel nut".to_owned(), 2)]
    );
    write(5, "## Wheel\n\n- at: left; right\n- status: fitted\n");
    shop.run(["bags", "--buy"]).ends(1).shows("nothing to get");
}

#[test]
fn a_journal_without_bags_says_so() {
    let shop = Shop::new();
    shop.run(["bags"]).ends(1).shows("no bags");
    shop.run(["bags", "--buy"]).ends(1).shows("nothing to get");
    shop.run(["bags", "31"])
        .ends(1)
        .shows("there is no bag `31`");
    shop.run(["bags", "--as", "labels", "--into", "l.html"])
        .ends(1)
        .says("no bag holds anything");
    assert!(fs::metadata(shop.root.join("l.html")).is_err());
    shop.removed("entries/2026/2026-03-14-x.md", "horn", "");
    shop.run(["bags", "--part", "nonsense"])
        .ends(2)
        .says("no part is called");
}

/// What is counted in a section, however long, is the same that was written down
/// with the part.
#[test]
fn a_long_section_counts_its_last_kind_once() {
    let shop = Shop::new();
    shop.write(
        "entries/2026/2026-01-01-off.md",
        "---\ndate: 2026-01-01\nvehicle: wren\n---\n\n# Off\n\n\
         ## Dash\n\n- status: removed\n- hardware: 3 screw M60 x 10\n",
    );
    let kinds: Vec<String> = (1..=60)
        .map(|size| format!("3 screw M{size} x 10"))
        .collect();
    shop.write(
        "entries/2026/2026-01-02-bagged.md",
        format!(
            "---\ndate: 2026-01-02\nvehicle: wren\n---\n\n# Bagged\n\n\
             ## Bag 9\n\n- holds: dash\n- hardware: {}\n",
            kinds.join("; ")
        ),
    );
    let bag = json(&shop, &["bags", "9"])["bags"][0].clone();
    let pieces = bag["pieces"].as_array().expect("pieces");
    assert_eq!(pieces.len(), 60, "{bag}");
    assert!(pieces.iter().all(|pieces| pieces["in"] == 3), "{bag}");
}

#[test]
fn what_is_bought_is_named_as_the_bag_knows_it_and_not_if_it_lies_in_it() {
    let shop = Shop::new();
    let write = |day: &str, text: &str| {
        shop.write(
            &format!("entries/2026/2026-01-{day}.md"),
            format!("---\ndate: 2026-01-{day}\nvehicle: wren\n---\n\n# A day\n\n{text}"),
        );
    };
    write(
        "01",
        "## Spring, left\n\n- status: removed\n- hardware: 4 shackle nut 3/8-24, bag 5; 2 pad, bag 5\n\n\
         ## Spring, right\n\n- status: removed\n- bag: 5\n- hardware: 3 shackle nut, sheared\n",
    );
    let buy = |shop: &Shop| -> Vec<(String, u64)> {
        let list = json(shop, &["bags", "--buy"])["buy"].clone();
        let list = list.as_array().expect("a list").iter();
        let line = |line: &serde_json::Value| {
            let size = line["size"].as_str().unwrap_or_default();
            (size.to_owned(), line["pieces"].as_u64().unwrap_or_default())
        };
        list.map(line).collect()
    };
    assert_eq!(buy(&shop), [("3/8-24".to_owned(), 3)]);
    // Two of the left ones were left over: they need not be bought.
    write(
        "02",
        "## Spring, left\n\n- status: fitted\n- leftover: 2 shackle nut\n",
    );
    assert_eq!(buy(&shop), [("3/8-24".to_owned(), 1)]);
    write(
        "02",
        "## Spring, left\n\n- status: fitted\n- leftover: 3 shackle nut\n",
    );
    assert_eq!(buy(&shop), []);
}
