//! Stories that are told to their end, and lessons with what they cost.

use std::fmt::Write as _;

use super::{demo, json, sentences, spoken, text};
use crate::support::Shop;

/// A journal of evenings on which nothing happens, and of one with a story.
fn journal(story: &str, records: &str) -> Shop {
    let shop = Shop::new();
    for day in 1..=28 {
        let mut text =
            format!("---\ndate: 2026-02-{day:02}\nvehicle: wren\n---\n\n# Day {day}\n\n");
        let _ = writeln!(
            text,
            "I sorted the washers of rack {day} by size and wiped rack {day} down with a rag, and \
             Jonas read the newspaper to me in the kitchen, since it rained all day and nobody \
             wanted to go out to rack {day} before the evening."
        );
        shop.write(&format!("entries/2026/2026-02-{day:02}-day.md"), text);
    }
    shop.write(
        "entries/2026/2026-03-14-pipe.md",
        format!("---\ndate: 2026-03-14\nvehicle: wren\n---\n\n# Pipe\n\n{story}\n\n{records}"),
    );
    shop
}

/// What is read aloud, however it is wrapped.
fn in_one_line(draft: &str) -> String {
    let said = spoken(draft);
    said.split_whitespace().collect::<Vec<_>>().join(" ")
}

const STUCK: &str = "There is no room for a hand behind the tank, and I dropped four clips, lost one \
    for good and broke another in the rail, lying on the frame with my arm down. It is the wrong way \
    round, and Jonas said so with a mouth full of bread and a torch in his hand.";

const FREE: &str = "So I let it down onto a cushion, and twenty minutes later all nine sat where \
    they belong.";

#[test]
fn a_setback_is_told_with_its_end() {
    let shop = journal(&format!("{STUCK}\n\n{FREE}"), "");
    is_told_with(
        &shop,
        "I dropped four clips",
        "all nine sat where they belong",
    );
}

#[test]
fn a_find_is_told_with_what_became_of_it() {
    let found = "Behind the panel, where nobody could have seen it, somebody had hidden a letter \
                 and a photograph, wrapped in newspaper, with a name and a date scratched on the lid.";
    let kept = "It stays here, on the window sill, until the panel goes up again for good.";
    let shop = journal(&format!("{found}\n\n{kept}"), "");
    is_told_with(&shop, "hidden a letter", "It stays here");
}

/// Whatever the length, where one is told so is the other.
fn is_told_with(shop: &Shop, one: &str, other: &str) {
    let mut told = 0;
    for minutes in 2..=8 {
        let ran = shop
            .run(["recap", "--minutes", &minutes.to_string()])
            .ends(0);
        let said = in_one_line(&ran.out);
        if said.contains(one) {
            told += 1;
            assert!(said.contains(other), "{minutes}: {said}");
        }
    }
    assert!(told > 0);
}

#[test]
fn an_order_learned_comes_before_other_advice() {
    let shop = journal(
        STUCK,
        "## Fuel tank\n\n- status: removed\n- refit after: brake pipe\n\
         - lesson: the pipe and its clips go into the rail before the tank goes up\n\n\
         ## Brake pipe\n\n- status: fitted\n\
         - lesson: start at the union and leave the clips slack until both ends are in\n",
    );
    let mut told = (0, 0);
    for minutes in 1..=12 {
        let ran = shop
            .run(["recap", "--minutes", &minutes.to_string()])
            .ends(0);
        let said = in_one_line(&ran.out);
        told.0 += usize::from(said.contains("before the tank goes up"));
        told.1 += usize::from(said.contains("start at the union"));
    }
    assert!(told.0 > 0 && told.0 >= told.1, "{told:?}");
}

#[test]
fn a_vehicle_is_introduced_by_its_own_page() {
    let shop = journal(STUCK, "");
    shop.write(
        "vehicles/wren.md",
        "---\nname: Wren\n---\n\n# Wren\n\nA van that a baker bought. It is brown.\n",
    );
    let draft = json(&shop, &["recap", "--minutes", "3"]);
    let own: Vec<_> = sentences(&draft)
        .into_iter()
        .filter(|sentence| sentence["entry"] == "vehicles/wren.md")
        .map(|sentence| (text(&sentence["text"]).to_owned(), sentence["line"].clone()))
        .collect();
    assert_eq!(own, [("A van that a baker bought.".to_owned(), 7.into())]);
}

#[test]
fn an_opening_says_of_what_it_speaks() {
    let said = spoken(&demo().run(["recap", "--minutes", "8"]).ends(0).out);
    let burnt = said.find("It is really burnt.").expect("of what");
    assert!(said.find("The smell stayed").expect("the opening") > burnt);
}

#[test]
fn a_part_that_a_story_names_brings_its_caution() {
    let shop = journal(
        STUCK,
        "## Tank\n\n- status: removed\n- caution: petrol vapour, doors open\n\n\
         ## Horn\n\n- status: removed\n- caution: loud, ears covered\n",
    );
    let said = in_one_line(&shop.run(["recap", "--minutes", "3"]).ends(0).out);
    assert!(said.contains("I dropped four clips"), "{said}");
    assert!(said.contains("petrol vapour"), "{said}");
    assert!(!said.contains("ears covered"), "{said}");
}

#[test]
fn what_takes_a_find_for_known_is_not_told_without_it() {
    let panel = "The panel had thirty nails in it, and each of them took its time, since the heads \
        were sunk and painted over three times, in cream and in brown and once in green. Jonas \
        pulled and I levered, and then I pulled and Jonas levered, and at four in the afternoon we \
        had the thirtieth in the jar and the panel on the bench, with all its paint on it, which \
        was the whole point of doing it with a lever and not with a hammer.";
    let found = "Behind the panel, where nobody could have seen it, somebody had hidden a biscuit \
        tin, wrapped in newspaper. The tin held a letter and a photograph, and a name and a date \
        were scratched inside.";
    let shop = journal(&format!("{panel}\n\n{found}"), "");
    shop.write(
        "entries/2026/2026-04-02-springs.md",
        "---\ndate: 2026-04-02\nvehicle: wren\n---\n\n# Springs\n\nThe leaf broke and I dropped it, \
         and while I swept up I kept looking at the face from the tin. Jonas laughed and said that \
         it looked just as worn and as wrong as the spring did.\n",
    );
    let (mut with, mut without) = (0, 0);
    for minutes in 1..=8 {
        let said = in_one_line(
            &shop
                .run(["recap", "--minutes", &minutes.to_string()])
                .ends(0)
                .out,
        );
        let is_found = said.contains("hidden a biscuit tin");
        if said.contains("kept looking at the face") {
            assert!(is_found, "{minutes}: {said}");
            with += 1;
        } else {
            without += 1;
        }
    }
    assert!(with > 0 && without > 0, "{with} {without}");
}
