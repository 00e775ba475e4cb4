//! The figures of a draft are those of the verbs, as of the same day.

use std::collections::BTreeMap;

use serde_json::Value;

use super::{demo, json, sentences, text, words_of};
use crate::support::Shop;

/// What the draft says after asking this verb, and the whole question.
fn said_of<'d>(draft: &'d Value, verb: &str) -> Vec<(&'d str, &'d str)> {
    sentences(draft)
        .into_iter()
        .filter_map(|sentence| Some((text(&sentence["text"]), sentence["report"].as_str()?)))
        .filter(|(_, question)| question.starts_with(verb))
        .collect()
}

/// The answer to a question of a draft.
fn answer(shop: &Shop, question: &str) -> Value {
    let mut words = words_of(question);
    words.push("--json".to_owned());
    serde_json::from_str(&shop.run(words).out).expect("JSON")
}

fn list<'v>(answer: &'v Value, key: &str) -> &'v [Value] {
    answer[key].as_array().expect("a list")
}

/// "1 hour", "2 hours"; nothing for none.
fn counted(count: u64, word: &str) -> Option<String> {
    (count > 0).then(|| format!("{count} {word}{}", if count == 1 { "" } else { "s" }))
}

fn time_and_money(tally: &Value) -> String {
    let minutes = tally["total"]["minutes"].as_u64().expect("minutes");
    let time = [
        counted(minutes / 60, "hour"),
        counted(minutes % 60, "minute"),
    ];
    let time: Vec<String> = time.into_iter().flatten().collect();
    let amounts = |back: bool| -> Vec<String> {
        list(&tally["total"], "money")
            .iter()
            .filter(|money| text(&money["amount"]).starts_with('-') == back)
            .map(|money| {
                let amount = text(&money["amount"]).trim_start_matches('-');
                let (whole, cents) = amount.split_once('.').expect("cents");
                // No amount here has millions.
                let grouped = match whole.len() {
                    0..=3 => whole.to_owned(),
                    length => format!("{},{}", &whole[..length - 3], &whole[length - 3..]),
                };
                format!("{grouped}.{cents} {}", text(&money["currency"]))
            })
            .collect()
    };
    let mut said = Vec::new();
    if !time.is_empty() {
        said.push(format!("{} in the shop", time.join(" and ")));
    }
    for (amounts, words) in [(amounts(false), "spent"), (amounts(true), "came back")] {
        if !amounts.is_empty() {
            said.push(format!("{} {words}", amounts.join(" and ")));
        }
    }
    format!("Written down: {}.", said.join(", "))
}

fn bags(answer: &Value) -> String {
    let all = list(answer, "bags");
    let empty = all.iter().filter(|bag| !bag["emptied"].is_null()).count();
    match (all.len(), empty) {
        (1, 0) => "1 bag was filled.".to_owned(),
        (1, _) => "1 bag was filled, and is empty again.".to_owned(),
        (all, 0) => format!("{all} bags were filled."),
        (all, 1) => format!("{all} bags were filled, and 1 of them is empty again."),
        (all, empty) => format!("{all} bags were filled, and {empty} of them are empty again."),
    }
}

fn standing(answer: &Value) -> String {
    let all = list(answer, "parts");
    let with = |words: &[&str]| {
        let has = |part: &&Value| words.contains(&text(&part["status"]));
        all.iter().filter(has).count()
    };
    let (on, out) = (with(&["fitted", "loose", "undone"]), with(&["out"]));
    let pieces = [
        (on, "on the vehicle"),
        (all.len() - on - out, "off it"),
        (out, "away being worked on"),
    ];
    let pieces: Vec<String> = pieces
        .into_iter()
        .filter(|(count, _)| *count > 0)
        .map(|(count, words)| format!("{count} {words}"))
        .collect();
    let pieces = match &pieces[..] {
        [first @ .., last] if !first.is_empty() => format!("{} and {last}", first.join(", ")),
        one => one.concat(),
    };
    match all.len() {
        1 => format!("1 part is in the records: {pieces}."),
        count => format!("{count} parts are in the records: {pieces}."),
    }
}

fn replaced(answer: &Value) -> String {
    match list(answer, "rows").len() {
        1 => "1 replacement is written down: ".to_owned(),
        count => format!("{count} replacements are written down"),
    }
}

/// Asks every question of a draft and says what its figures have to be.
fn assert_figures(shop: &Shop, draft: &Value) {
    for (verb, expected) in [
        ("tally", time_and_money as fn(&Value) -> String),
        ("bags", bags),
        ("part", standing),
        ("replaced", replaced),
    ] {
        for (said, question) in said_of(draft, verb) {
            let expected = expected(&answer(shop, question));
            assert!(said.starts_with(&expected), "{question}: {said} {expected}");
        }
    }
    let next = draft["chapters"].as_array().expect("chapters");
    let Some(next) = next
        .iter()
        .find(|chapter| text(&chapter["title"]) == "What is next")
    else {
        return;
    };
    let mut need: Option<&str> = None;
    let mut answers: BTreeMap<&str, Value> = BTreeMap::new();
    for sentence in next["sentences"].as_array().expect("sentences") {
        let words = text(&sentence["text"]);
        let Some(question) = sentence["report"].as_str() else {
            need = Some(words);
            continue;
        };
        let open = &*answers
            .entry(question)
            .or_insert_with(|| answer(shop, question));
        // What is away has no words of its own.
        let away = list(open, "needs")
            .iter()
            .find(|one| one["kind"] == "back" && format!("{}.", text(&one["need"])) == words);
        if let Some(away) = away {
            assert_eq!(away["overdue"], true, "{away}");
            need = words.strip_suffix('.');
            continue;
        }
        let of = |one: &&Value| Some(text(&one["need"])) == need;
        let own: Vec<&Value> = list(open, "needs").iter().filter(of).collect();
        assert!(!own.is_empty(), "{question} knows no {need:?}");
        assert!(words.contains("due by"), "{question}: {words}");
    }
}

#[test]
fn figures_are_those_of_the_verbs() {
    let shop = demo();
    for question in [
        &["recap", "--vehicle", "wren", "--minutes", "20"][..],
        &["recap", "--vehicle", "wren", "--until", "2025-06"],
        &[
            "recap",
            "--vehicle",
            "wren",
            "--until",
            "2026-02-10",
            "--since",
            "2025-09",
        ],
        &[
            "recap",
            "--vehicle",
            "wren",
            "--system",
            "brakes",
            "--until",
            "2026-06",
        ],
        &[
            "recap",
            "--vehicle",
            "wren",
            "--part",
            "starter motor",
            "--minutes",
            "3",
        ],
        &["recap", "--vehicle", "pavetta", "--minutes", "3"],
    ] {
        let draft = json(&shop, question);
        assert!(!said_of(&draft, "tally").is_empty(), "{question:?}");
        assert_figures(&shop, &draft);
    }
    let whole = json(&shop, &["recap", "--vehicle", "wren", "--minutes", "20"]);
    for verb in ["tally", "bags", "part", "replaced", "needs"] {
        assert!(!said_of(&whole, verb).is_empty(), "{verb}");
    }
}

/// A horn that came off, was needed, and went back on; then the coil.
fn horn() -> Shop {
    let shop = Shop::new();
    let prose = "It had been in there so long that the bolt broke, and I swore at it and went home for the day without a word to anyone.";
    shop.write(
        "entries/2026/2026-03-01-horn.md",
        format!("---\ndate: 2026-03-01\nvehicle: wren\nhours: 1\n---\n\n# The horn\n\n## Horn\n\n- status: removed\n- hardware: 2 bolt M6, bag 1\n- needs: new horn contacts\n- cost: -50 core returned\n\n{prose}\n"),
    );
    shop.write(
        "entries/2026/2026-03-20-horn.md",
        "---\ndate: 2026-03-20\nvehicle: wren\nhours: 2\n---\n\n# The horn goes back\n\n## Horn\n\n- status: fitted\n- done: all\n\nThe horn is back on its bracket, and it worked, and the whole road knew that it worked on the first try.\n",
    );
    shop
}

#[test]
fn figures_are_of_the_last_day_that_is_told() {
    let shop = horn();
    // The range is longer than what there is in it.
    let past = json(
        &shop,
        &["recap", "--vehicle", "wren", "--until", "2026-03-10"],
    );
    assert_figures(&shop, &past);
    let (said, question) = said_of(&past, "part")[0];
    assert_eq!(said, "1 part is in the records: 1 off it.");
    assert_eq!(question, "part --vehicle wren --on 2026-03-01");
    let all = sentences(&past);
    assert!(
        all.iter()
            .any(|one| text(&one["text"]) == "new horn contacts")
    );

    // An open range is about now, whatever is left to tell of it.
    shop.write(
        "episodes/01-back.md",
        "---\nnumber: 1\nvehicle: wren\ntold:\n  - entries/2026/2026-03-20-horn.md\n---\n",
    );
    let open = json(&shop, &["recap", "--vehicle", "wren"]);
    assert_eq!(text(&open["to"]), "2026-03-01");
    assert_figures(&shop, &open);
    let (said, question) = said_of(&open, "part")[0];
    assert_eq!(said, "1 part is in the records: 1 on the vehicle.");
    assert_eq!(question, "part --vehicle wren --on 2026-03-20");
    assert!(said_of(&open, "needs").is_empty());
}

#[test]
fn money_that_came_back_was_not_spent() {
    let draft = json(
        &horn(),
        &["recap", "--vehicle", "wren", "--until", "2026-03-10"],
    );
    let (said, _) = said_of(&draft, "tally")[0];
    assert_eq!(
        said,
        "Written down: 1 hour in the shop, 50.00 EUR came back."
    );
}

#[test]
fn a_system_or_a_vehicle_as_a_whole_is_no_part() {
    let shop = horn();
    shop.write(
        "entries/2026/2026-03-02-brakes.md",
        "---\ndate: 2026-03-02\nvehicle: wren\n---\n\n# Brakes\n\n## Brakes\n\n- needs: bleed them\n\n## Wren\n\n- needs: a wash\n",
    );
    let draft = json(
        &shop,
        &["recap", "--vehicle", "wren", "--until", "2026-03-10"],
    );
    let (said, _) = said_of(&draft, "part")[0];
    assert_eq!(said, "1 part is in the records: 1 off it.");
    assert_figures(&shop, &draft);
    // What they need is said all the same.
    let brakes = json(
        &shop,
        &[
            "recap",
            "--vehicle",
            "wren",
            "--until",
            "2026-03-10",
            "--system",
            "brakes",
        ],
    );
    let all = sentences(&brakes);
    assert!(
        all.iter().any(|one| text(&one["text"]) == "bleed them"),
        "{brakes}"
    );
}
