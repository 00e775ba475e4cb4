//! How long a draft is, and what is said where it cannot be as long as asked.

use std::collections::BTreeSet;

use super::{demo, json, sentences, spoken, text};
use crate::support::Shop;

#[test]
fn a_draft_is_as_long_as_was_asked() {
    let shop = demo();
    for minutes in [1_i64, 2, 3, 4, 8, 20] {
        let draft = json(
            &shop,
            &[
                "recap",
                "--vehicle",
                "wren",
                "--minutes",
                &minutes.to_string(),
            ],
        );
        let words = draft["words"].as_i64().expect("words");
        let asked = minutes * 150;
        assert!((words - asked).abs() * 10 <= asked, "{words} of {asked}");
        // Said by another count: everything that is read aloud in the Markdown.
        let ran = shop
            .run([
                "recap",
                "--vehicle",
                "wren",
                "--minutes",
                &minutes.to_string(),
            ])
            .ends(0);
        assert!(ran.err.is_empty(), "{ran:#?}");
        let counted = spoken(&ran.out).split_whitespace().count();
        let counted = i64::try_from(counted).expect("few");
        assert!(
            (counted - words).abs() * 50 <= words,
            "{counted} is not {words}"
        );
    }
}

/// An entry with these paragraphs, and nothing else.
fn story(paragraphs: &[String]) -> Shop {
    let shop = Shop::new();
    let text = paragraphs.join("\n\n");
    shop.write(
        "entries/2026/2026-03-14-a.md",
        format!("---\ndate: 2026-03-14\nvehicle: wren\n---\n\n# A day\n\n{text}\n"),
    );
    shop
}

/// A paragraph that no other is like.
fn paragraph(number: usize) -> String {
    format!(
        "On the shelf number {number} a tin of kind {number} stood, with washers of size {number} in it. Nobody had sorted any of tin {number} since the day that the shelf was built, as far as I know."
    )
}

#[test]
fn a_long_story_is_told_from_its_middle_and_not_as_all_there_is() {
    let all: Vec<String> = (0..300).map(paragraph).collect();
    let ran = story(&all)
        .run(["recap", "--vehicle", "wren", "--minutes", "4"])
        .ends(0);
    let words = spoken(&ran.out).split_whitespace().count();
    assert!((540..=660).contains(&words), "{words}");
    assert!(ran.err.is_empty(), "{ran:#?}");
}

#[test]
fn all_there_is_is_said_of_all() {
    let all: Vec<String> = (0..5).map(paragraph).collect();
    let shop = story(&all);
    shop.run(["recap", "--vehicle", "wren", "--minutes", "4"])
        .ends(0)
        .says("this is all there is to tell: 1:");
    let draft = json(&shop, &["recap", "--vehicle", "wren", "--minutes", "4"]);
    let said: BTreeSet<&str> = sentences(&draft)
        .iter()
        .map(|one| text(&one["text"]))
        .collect();
    for number in 0..5 {
        let tin = format!("tin {number} ");
        assert!(said.iter().any(|text| text.contains(&tin)), "{number}");
    }
}

#[test]
fn what_does_not_fit_is_not_called_nothing() {
    // One sentence that takes two minutes, whoever says it.
    let long = format!("It went on {}and on.", "and on ".repeat(150));
    let ran = story(&[long])
        .run(["recap", "--vehicle", "wren", "--minutes", "1"])
        .ends(0);
    assert!(!ran.out.contains("and on"), "{ran:#?}");
    let ran = ran.says("what else there is to tell does not fit in: 0:");
    assert!(ran.err.contains("of the minute asked for"), "{ran:#?}");
}

#[test]
fn nothing_is_told_without_its_cautions() {
    let shop = Shop::new();
    let caution = format!(
        "never {}at all",
        "at any time of the day or night ".repeat(40)
    );
    shop.write(
        "entries/2026/2026-03-14-a.md",
        format!(
            "---\ndate: 2026-03-14\nvehicle: wren\ncaution: {caution}\n---\n\n# A day\n\n{}\n",
            paragraph(1)
        ),
    );
    let ran = shop
        .run(["recap", "--vehicle", "wren", "--minutes", "1"])
        .ends(0);
    assert!(!ran.out.contains("tin of kind"), "{ran:#?}");
    ran.says("does not fit in");
    let ran = shop
        .run(["recap", "--vehicle", "wren", "--minutes", "3"])
        .ends(0);
    assert!(ran.out.contains("tin of kind") && ran.out.contains("at any time"));
}

#[test]
fn a_draft_that_cannot_be_so_short_says_so() {
    let shop = story(&[paragraph(1)]);
    let settings = shop.read("journal.toml");
    shop.write(
        "journal.toml",
        settings.replace("speaking_pace = 150", "speaking_pace = 40"),
    );
    let name = "Long ".repeat(50);
    shop.write("vehicles/wren.md", format!("---\nname: {name}\n---\n"));
    let ran = shop
        .run(["recap", "--vehicle", "wren", "--minutes", "1"])
        .ends(0);
    ran.says("not the minute asked for: less cannot be said");
}
