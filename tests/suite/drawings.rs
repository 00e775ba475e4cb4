//! Drawings: their figures are the ledger's, they leave out nothing in silence, and what
//! stands in an entry is only words in them.

use std::collections::BTreeMap;

use serde_json::Value;

use crate::support::{Shop, json, toured};

/// What stands between two marks, each time.
fn between<'t>(text: &'t str, start: &str, end: &str) -> Vec<&'t str> {
    let pieces = text.split(start).skip(1);
    pieces.filter_map(|piece| piece.split(end).next()).collect()
}

/// A text of a page or a drawing without its marks.
fn plain(text: &str) -> String {
    let mut out = String::new();
    let mut is_mark = false;
    for c in text.chars() {
        match c {
            '<' => is_mark = true,
            '>' => is_mark = false,
            c if !is_mark => out.push(c),
            _ => {}
        }
    }
    let signs = [
        ("&lt;", "<"),
        ("&gt;", ">"),
        ("&quot;", "\""),
        ("&amp;", "&"),
    ];
    signs
        .iter()
        .fold(out, |text, (sign, c)| text.replace(sign, c))
}

/// The rows of a table: its cells in words.
fn rows(table: &str) -> Vec<Vec<String>> {
    let cells = |row: &&str| {
        let marks = row
            .replace("<th scope=\"row\"", "<td")
            .replace("</th>", "</td>");
        between(&marks, "<td", "</td>")
            .into_iter()
            .map(|cell| plain(cell.split_once('>').map_or("", |(_, words)| words)))
            .collect()
    };
    let body = between(table, "<tbody>", "</tbody>").concat();
    between(&body, "<tr", "</tr>").iter().map(cells).collect()
}

/// The tables of a drawing whose name ends so, of a page.
fn table(page: &str, name: &str) -> Vec<Vec<String>> {
    let drawn = page.split("<div class=\"drawn\">").skip(1);
    let own = drawn.filter(|own| own.contains(&format!("{name}-title\"")));
    let own: Vec<&str> = own.collect();
    assert_eq!(own.len(), 1, "{name}");
    rows(own[0])
}

/// A journal of two vehicles, three currencies and two budgets over three years, made up
/// with fixed numbers.
fn made_up() -> Shop {
    let shop = Shop::new();
    shop.write(
        "vehicles/wren.md",
        "---\nname: Wren\nbudget: 900 EUR\n---\n",
    );
    shop.write(
        "vehicles/pavetta.md",
        "---\nname: Pavetta\nbudget: USD 80\n---\n",
    );
    let mut state: u64 = 11;
    let mut any = |below: u64| {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (state >> 33) % below
    };
    let names = [
        "drum", "horn", "tank", "seat", "grille", "axle", "hub", "lamp", "wiper", "floor",
    ];
    for evening in 0..70 {
        let (year, month, day) = (2024 + any(3), 1 + any(12), 1 + any(28));
        let vehicle = ["wren", "wren", "pavetta"][any(3) as usize];
        let mut text = format!(
            "---\ndate: {year}-{month:02}-{day:02}\nvehicle: {vehicle}\nhours: {}:{:02}\n---\n\n# Evening {evening}\n",
            any(5),
            any(60)
        );
        for part in 0..1 + any(3) {
            let name = names[((any(5) + 3 * part) % 10) as usize];
            let at = ["", ", left", ", right"][any(3) as usize];
            let status = [
                "removed", "removed", "fitted", "left off", "scrapped", "undone", "out", "apart",
            ][any(8) as usize];
            let currency = ["EUR", "EUR", "GBP", "USD"][any(4) as usize];
            text += &format!(
                "\n## {name}{at}\n\n- status: {status}\n- system: brakes\n- cost: {}.{:02} {currency}\n",
                any(40),
                any(100)
            );
            if any(3) == 0 {
                text += &format!("- after: {}\n", names[any(10) as usize]);
            }
            if any(4) == 0 {
                text += "- needs: buy a seal\n";
            }
            if any(5) == 0 {
                text += &format!("\n## valve of {name}{at}\n\n- of: {name}{at}\n- found: worn\n");
            }
        }
        shop.write(
            &format!("entries/{year}/{year}-{month:02}-{day:02}-e{evening}.md"),
            text,
        );
    }
    shop.write(
        "entries/undated.md",
        "---\nvehicle: wren\nhours: 3\n---\n\n# Some day\n\nNo day.\n",
    );
    shop
}

fn minutes(words: &str) -> u64 {
    let (hours, minutes) = words.split_once(':').expect("hours");
    60 * hours.parse::<u64>().expect("hours") + minutes.parse::<u64>().expect("minutes")
}

fn amount_of(money: &Value, currency: &str) -> Option<String> {
    let all = money.as_array().expect("money").iter();
    let mut own = all.filter(|money| money["currency"] == currency);
    own.next()
        .map(|money| money["amount"].as_str().expect("an amount").to_owned())
}

/// Hours and money of each month, in all, and of the budget: what `tally` says.
#[test]
fn the_drawn_months_are_those_of_tally() {
    for (shop, vehicles) in [
        (toured(), ["wren", "pavetta"]),
        (made_up(), ["wren", "pavetta"]),
    ] {
        shop.run(["book"]).ends(0);
        let page = shop.read("book/months.html");
        for (number, vehicle) in vehicles.iter().enumerate() {
            let id = format!("vehicle-{}", number + 1);
            let tally = json(&shop, &["tally", "--by", "month", "--vehicle", vehicle]);
            let picture = shop
                .run(["tally", "--vehicle", vehicle, "--as", "picture"])
                .ends(0)
                .out;
            let months = tally["rows"].as_array().expect("rows");
            let total = &tally["total"];
            let mut seen = 0;
            let mut hours = BTreeMap::new();
            for row in table(&page, &format!("{id}-hours")) {
                hours.insert(row[0].clone(), minutes(&row[1]));
            }
            assert_eq!(
                hours.remove("In all"),
                total["minutes"].as_u64(),
                "{vehicle}"
            );
            for row in months {
                let (key, own) = (
                    row["key"].as_str().expect("a month"),
                    row["minutes"].as_u64().expect("minutes"),
                );
                assert_eq!(hours.remove(key).unwrap_or(0), own, "{vehicle} {key}");
                let said = format!("{key}: hours {}:{:02}.", own / 60, own % 60);
                assert!(own == 0 || picture.contains(&said), "{said}");
                seen += 1;
            }
            assert!(hours.is_empty() && seen > 2, "{hours:?}");
            for currency in ["EUR", "GBP", "USD"] {
                let name = format!("{id}-money-{}", currency.to_lowercase());
                let Some(whole) = amount_of(&total["money"], currency) else {
                    assert!(!page.contains(&format!("{name}-title")), "{name}");
                    continue;
                };
                let mut money: BTreeMap<String, Vec<String>> = BTreeMap::new();
                for row in table(&page, &name) {
                    money.insert(row[0].clone(), row[1..].to_vec());
                }
                let in_all = money.remove("In all").expect("a total");
                assert_eq!(in_all[0], whole, "{vehicle} {currency}");
                let budgets = tally["budgets"].as_array().expect("budgets").iter();
                let mut budgets = budgets.filter(|own| own["budget"]["currency"] == currency);
                if let Some(budget) = budgets.next() {
                    assert_eq!(
                        (&in_all[1], &in_all[2]),
                        (
                            &budget["spent"]["amount"]
                                .as_str()
                                .expect("spent")
                                .to_owned(),
                            &budget["left"]["amount"].as_str().expect("left").to_owned(),
                        )
                    );
                    let last = money.values().last().expect("a month");
                    assert_eq!(
                        last[1..],
                        in_all[1..],
                        "what is spent in the last month is all"
                    );
                    assert!(plain(&page).contains("budget of"), "{vehicle}");
                } else {
                    assert_eq!(in_all.len(), 1);
                }
                for row in months {
                    let key = row["key"].as_str().expect("a month");
                    let own = amount_of(&row["money"], currency);
                    assert_eq!(
                        money.remove(key).map(|row| row[0].clone()),
                        own,
                        "{vehicle} {key}"
                    );
                    if let Some(own) = own {
                        assert!(
                            picture.contains(&format!("{key}: spent {own}")),
                            "{key} {own}"
                        );
                    }
                }
                assert!(money.is_empty(), "{money:?}");
            }
        }
    }
}

/// How many parts were off at the end of each month: what `part` says of that day.
#[test]
fn the_drawn_parts_are_those_of_the_ledger() {
    for (shop, vehicle) in [
        (toured(), "wren"),
        (made_up(), "wren"),
        (made_up(), "pavetta"),
    ] {
        let picture = shop
            .run(["tally", "--vehicle", vehicle, "--as", "picture"])
            .ends(0)
            .out;
        let about = between(&picture, "months-parts-about\">", "</desc>");
        let mut before = 0;
        let mut seen = 0;
        for month in about[0].split(". ") {
            let (key, figures) = month.split_once(": ").expect("a month");
            let figure = |word: &str| -> i64 {
                let own = figures
                    .split(", ")
                    .find_map(|own| own.trim_end_matches('.').strip_prefix(word));
                own.map_or(0, |own| own.trim().parse().expect("a number"))
            };
            let still = figure("still off");
            let moved = figure("came off") - figure("went on again") - figure("given up");
            assert_eq!(before + moved, still, "{vehicle} {month}");
            before = still;
            let day = format!("{key}-28");
            if seen % 6 == 5 {
                // All days of the made-up journal are by the 28th.
                let last = if vehicle == "wren" && shop.root.ends_with("demo") {
                    jiff::civil::Date::strptime("%Y-%m-%d", &day)
                        .expect("a day")
                        .last_of_month()
                        .to_string()
                } else {
                    day
                };
                let parts = json(&shop, &["part", "--vehicle", vehicle, "--on", &last]);
                let parts = parts["parts"].as_array().expect("parts");
                let is_off = |part: &&Value| {
                    let status = part["status"].as_str().unwrap_or("new");
                    let name = part["part"].as_str().unwrap_or_default();
                    // A piece is gone with the unit it was in; its place is not open.
                    let went_along = name.starts_with("valve")
                        && ["replaced", "scrapped", "sold", "missing"].contains(&status);
                    !went_along && !["fitted", "loose", "undone", "left off"].contains(&status)
                };
                let off: Vec<&Value> = parts.iter().filter(is_off).collect();
                assert_eq!(off.len() as i64, still, "{vehicle} {last} {off:#?}");
            }
            seen += 1;
        }
        assert!(seen > 10, "{seen}");
    }
}

/// Each step of `refit` is in the table of its system, with what it waits for; what is not
/// drawn is counted.
#[test]
fn the_drawn_order_is_that_of_refit() {
    for (shop, vehicle) in [(toured(), "wren"), (made_up(), "wren")] {
        shop.run(["book"]).ends(0);
        let refit = json(&shop, &["refit", "--vehicle", vehicle]);
        let numbers = |key: &str| -> Vec<u64> {
            let all = refit[key].as_array().expect("a list").iter();
            all.map(|own| own["step"].as_u64().expect("a step"))
                .collect()
        };
        let mut drawn: BTreeMap<u64, Vec<String>> = BTreeMap::new();
        let mut stuck = 0;
        let folder = shop.root.join("book/systems");
        for file in std::fs::read_dir(folder).expect("the pages") {
            let name = file
                .expect("a page")
                .file_name()
                .to_string_lossy()
                .into_owned();
            let page = shop.read(&format!("book/systems/{name}"));
            if !name.contains(&format!("{vehicle}--")) || !page.contains("class=\"drawn\"") {
                continue;
            }
            for row in rows(page.split("class=\"drawn\"").nth(1).unwrap_or_default()) {
                match row[0].parse() {
                    Ok(step) => drop(drawn.insert(step, row)),
                    Err(_) => stuck += 1,
                }
            }
        }
        let steps = refit["steps"].as_array().expect("steps");
        assert_eq!(drawn.len(), steps.len());
        for step in steps {
            let number = step["step"].as_u64().expect("a number");
            let row = &drawn[&number];
            let part = step["part"].as_str().expect("a part");
            assert!(row[1].starts_with(part), "{row:?} {part}");
            let waits: Vec<&str> = step["waits"]
                .as_array()
                .expect("waits")
                .iter()
                .filter_map(Value::as_str)
                .collect();
            let wanted = match number {
                number if numbers("tonight").contains(&number) => "can go on tonight".to_owned(),
                number if numbers("bench").contains(&number) => {
                    "can be done on the bench".to_owned()
                }
                number if numbers("then").contains(&number) => "then, once those are on".to_owned(),
                number if numbers("perhaps").contains(&number) => {
                    "perhaps: its order is assumed".to_owned()
                }
                _ => waits.join("; "),
            };
            assert_eq!(row[2], wanted, "{row:?}");
        }
        let looped: std::collections::BTreeSet<String> = refit["loops"]
            .as_array()
            .expect("loops")
            .iter()
            .flat_map(|links| links.as_array().expect("links"))
            .map(|link| format!("{} {}", link["part"], link["at"]))
            .collect();
        let blocked = refit["blocked"].as_array().expect("blocked").len();
        assert_eq!(stuck, blocked + looped.len());
        assert!(!shop.root.ends_with("demo") || !numbers("tonight").is_empty());
    }
}

/// A whole vehicle in pieces: what is drawn and what is left out is all of it, no system
/// has more boxes than can be read, and none lies beside the picture.
#[test]
fn of_three_hundred_parts_what_is_near_is_drawn() {
    let shop = Shop::new();
    for system in 0..8 {
        let mut text = "---\ndate: 2026-03-14\nvehicle: wren\n---\n\n# Off\n".to_owned();
        for part in 0..40 {
            let name = [
                "brakes",
                "steering",
                "fuel",
                "body",
                "engine",
                "electrics",
                "trim",
                "wheels",
            ][system];
            text += &format!(
                "\n## {name} piece number{part:02}\n\n- system: {name}\n- status: removed\n"
            );
            // Each came off after three others, most of which say the same.
            for before in [1, 2, 7] {
                if part >= before && part % 3 != 0 {
                    text += &format!("- after: {name} piece number{:02}\n", part - before);
                }
            }
        }
        shop.write(&format!("entries/2026/2026-03-14-s{system}.md"), text);
    }
    let steps = json(&shop, &["refit"])["steps"]
        .as_array()
        .expect("steps")
        .len();
    assert_eq!(steps, 320);
    let picture = shop.run(["refit", "--as", "picture"]).ends(0).out;
    let mut all = 0;
    let drawings: Vec<&str> = picture.split("<svg class=\"drawing\"").skip(1).collect();
    assert_eq!(drawings.len(), 8);
    for drawing in drawings {
        let lines = between(drawing, "<text", "</text>").into_iter();
        let names = lines.filter(|line| line.contains("font-weight=\"bold\""));
        let names = names.map(|line| plain(&format!("<{line}")));
        let starts = names.filter(|name| name.starts_with(|c: char| c.is_ascii_digit()));
        let drawn = starts.count();
        assert!((1..=18).contains(&drawn), "{drawn}");
        let said = plain(drawing);
        let left = said.split_once("Not drawn").expect("what is left out").1;
        let left = left.split('.').next().unwrap_or_default();
        let left: usize = left
            .split_whitespace()
            .filter_map(|word| word.parse::<usize>().ok())
            .sum();
        let own = drawn - said.matches("off: ").count() / 2;
        all += own + left;
        let arrows = drawing.matches("<polyline").count();
        assert!(arrows <= 24, "{arrows} arrows");
        let wide: f32 = between(drawing, "width=\"", "\"")[0]
            .parse()
            .expect("a width");
        assert!(wide <= 400.0, "{wide}");
    }
    assert_eq!(all, steps);
}

#[test]
fn nothing_written_is_drawn_as_words() {
    let shop = Shop::new();
    for (arguments, said) in [
        (
            &["tally", "--as", "picture"][..],
            "No hours are written down.",
        ),
        (
            &["refit", "--as", "picture"],
            "Nothing is off that should go back.",
        ),
    ] {
        let picture = shop.run(arguments).ends(1).out;
        assert!(
            picture.starts_with("<?xml") && picture.contains(said),
            "{picture}"
        );
        assert!(
            !picture.contains("<line") && !picture.contains("<rect x"),
            "{picture}"
        );
    }
    shop.run(["book"]).ends(0);
    let page = plain(&shop.read("book/months.html"));
    assert!(page.contains("No hours are written down."), "{page}");
    assert!(page.contains("No part came off"), "{page}");
}

#[test]
fn hostile_names_are_only_words() {
    let shop = Shop::new();
    let long = "x".repeat(300);
    let names = [
        "<script>window.hostile=1</script>",
        "\"' onload=\"window.hostile=1",
        "</text></svg><svg onload=window.hostile=1>",
        "]]> --> &amp; &#x3c;",
        "\u{202e}gnirts\u{202c} \u{5d0}\u{5d1}\u{5d2} \u{627}\u{644}",
        &long,
        "a\u{7}b\u{fffe}c",
    ];
    for (at, name) in names.iter().enumerate() {
        let day = format!("2026-03-{:02}", at + 1);
        shop.write(
            &format!("entries/2026/{day}-x.md"),
            format!("---\ndate: {day}\nvehicle: wren\nhours: 1\n---\n\n# X\n\n## P{at} {name}\n\n- system: {name}\n- status: removed\n- cost: 3 {name}\n- needs: {name}\n- after: P{} {name}\n", at + 1),
        );
    }
    for arguments in [["tally", "--as", "picture"], ["refit", "--as", "picture"]] {
        let picture = shop.run(arguments).ends(0).out;
        for word in [
            "<script",
            " onload=\"",
            "<svg onload",
            "\u{202e}",
            "\u{7}",
            "\u{fffe}",
        ] {
            assert!(!picture.contains(word), "{word:?} in {arguments:?}");
        }
        let lines = between(&picture, "<text", "</text>").into_iter();
        let lines = lines.map(|line| plain(&format!("<{line}")).chars().count());
        let longest = lines.max().unwrap_or(0);
        assert!(longest < 120, "{longest}");
    }
}

#[test]
fn the_public_sees_no_money_drawn() {
    let shop = made_up();
    shop.run(["book"]).ends(0);
    assert!(shop.read("book/months.html").contains("Money by month"));
    shop.run(["book", "--public"]).ends(0);
    let page = plain(&shop.read("book/months.html"));
    assert!(page.contains("Hours by month") && page.contains("Parts off"));
    for word in ["Money", "EUR", "GBP", "USD", "budget", "spent"] {
        assert!(!page.contains(word), "{word}");
    }
}

#[test]
fn what_cannot_be_drawn_is_refused() {
    let shop = Shop::new();
    for (arguments, says) in [
        (
            &["tally", "--by", "system", "--as", "picture"][..],
            "drawn by month",
        ),
        (
            &["refit", "--tonight", "--as", "picture"],
            "hold each other up",
        ),
        (
            &["refit", "--step", "1", "--as", "picture"],
            "hold each other up",
        ),
    ] {
        shop.run(arguments).ends(2).says(says);
    }
    shop.run(["tally", "--by", "month", "--as", "picture"])
        .ends(1);
}
