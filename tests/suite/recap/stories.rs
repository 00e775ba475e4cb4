//! Stories that are told to their end, and lessons with what they cost.

use std::fmt::Write as _;

use super::{json, sentences, spoken, text};
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

/// The drafts of one minute to `most`, each in one line.
fn of_each_length(shop: &Shop, most: u8) -> impl Iterator<Item = String> {
    (1..=most).map(|minutes| {
        let ran = shop.run([
            "recap",
            "--vehicle",
            "wren",
            "--minutes",
            &minutes.to_string(),
        ]);
        in_one_line(&ran.ends(0).out)
    })
}

#[test]
fn a_vehicle_is_introduced_by_its_own_page() {
    let shop = journal(STUCK, "");
    shop.write(
        "vehicles/wren.md",
        "---\nname: Wren\n---\n\n# Wren\n\nA van that a baker bought. It is brown.\n",
    );
    let draft = json(&shop, &["recap", "--vehicle", "wren", "--minutes", "3"]);
    let own: Vec<_> = sentences(&draft)
        .into_iter()
        .filter(|sentence| sentence["entry"] == "vehicles/wren.md")
        .map(|sentence| (text(&sentence["text"]).to_owned(), sentence["line"].clone()))
        .collect();
    assert_eq!(own, [("A van that a baker bought.".to_owned(), 7.into())]);
}

#[test]
fn a_part_that_a_story_names_brings_its_caution() {
    let shop = journal(
        STUCK,
        "## Tank\n\n- status: removed\n- caution: petrol vapour, doors open\n\n\
         ## Horn\n\n- status: removed\n- caution: loud, ears covered\n",
    );
    let said = in_one_line(
        &shop
            .run(["recap", "--vehicle", "wren", "--minutes", "3"])
            .ends(0)
            .out,
    );
    assert!(said.contains("I dropped four clips"), "{said}");
    assert!(said.contains("petrol vapour"), "{said}");
    assert!(!said.contains("ears covered"), "{said}");
}

/// An evening on which something rich is found, and the words of an earlier question.
const FOUND: &str = "Behind the panel, where nobody could have seen it, somebody had hidden a letter \
    and a photograph, wrapped in newspaper, with a name and a date scratched on the lid.";

#[test]
fn a_question_is_told_before_its_answer() {
    let answer = "## Panel\n\n- status: removed\n- answer: somebody hid a letter behind it\n";
    let shop = journal(STUCK, &format!("{answer}\n{FOUND}\n"));
    shop.write(
        "entries/2026/2026-02-10-panel.md",
        "---\ndate: 2026-02-10\nvehicle: wren\n---\n\n# A panel\n\n## Panel\n\n\
         - question: why are there two panels on the left?\n\n\
         On the left there are two panels, one in front of the other, with other nails.\n",
    );
    let mut told = 0;
    for said in of_each_length(&shop, 12) {
        if let Some(answer) = said.find("hidden a letter") {
            told += 1;
            let question = said.find("one in front of the other");
            assert!(question.is_some_and(|question| question < answer), "{said}");
        }
    }
    assert!(told > 0);
}

/// A draft with its headings, however it is wrapped.
fn whole(draft: &str) -> String {
    draft.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn a_draft_ends_with_the_last_evening() {
    let shop = journal(STUCK, "");
    shop.write(
        "entries/2026/2026-05-01-last.md",
        "---\ndate: 2026-05-01\nvehicle: wren\n---\n\n# May\n\nI swept the floor and oiled the vice.\n\n\
         Jonas asked through the hedge whether we shall be done by the summer, and I said that \
         nobody had told me which one.\n",
    );
    let said = whole(
        &shop
            .run(["recap", "--vehicle", "wren", "--minutes", "5"])
            .ends(0)
            .out,
    );
    let next = said.find("## What is next").expect("the last chapter");
    assert!(
        said.find("nobody had told me which one") > Some(next),
        "{said}"
    );
}

#[test]
fn people_are_brought_in_by_the_journal_itself() {
    let shop = journal(STUCK, "");
    shop.write(
        "entries/2026/2026-01-01-first.md",
        "---\ndate: 2026-01-01\nvehicle: wren\n---\n\n# First\n\nI began.\n",
    );
    shop.write(
        "entries/2026/2026-01-03-jonas.md",
        "---\ndate: 2026-01-03\nvehicle: wren\nhelpers: Jonas; my sister\n---\n\n# Evening\n\n\
         Rack 0 holds washers and pins and clips and tins of every size there is, in no order at \
         all, and there it stays until the summer, since nobody wants to go out to rack 0 in this rain. \
         Jonas from the corner house brings his drill.\n",
    );
    let mut introduced = 0;
    for said in of_each_length(&shop, 8) {
        let own = said.matches("Jonas from the corner house").count();
        assert_eq!(own, usize::from(said.contains("Jonas ")), "{said}");
        // His own evening is not told then, only he is brought in.
        introduced += usize::from(own == 1 && !said.contains("Rack 0 holds"));
    }
    assert!(introduced > 0, "he never had to be brought in");
}

#[test]
fn facts_that_stand_behind_prose_are_not_spoken() {
    let shop = journal(&format!("{STUCK}\n\n- needs: find a headlamp glass"), "");
    let said = in_one_line(
        &shop
            .run(["recap", "--vehicle", "wren", "--minutes", "6"])
            .ends(0)
            .out,
    );
    assert!(said.contains("I dropped four clips"), "{said}");
    assert!(!said.contains("headlamp"), "{said}");
    shop.run(["check"])
        .shows("`needs` stands behind other text, so it is prose and counts for nothing");
}

#[test]
fn days_that_are_near_come_first_in_what_is_next() {
    let shop = journal(
        STUCK,
        "## Horn\n\n- needs: new contacts, by 2026-01-05\n\n\
         ## Coil\n\n- needs: a bracket, by 2026-03-20\n\n\
         ## Lamp\n\n- needs: a glass\n",
    );
    let said = in_one_line(
        &shop
            .run(["recap", "--vehicle", "wren", "--minutes", "12"])
            .ends(0)
            .out,
    );
    let at = |words: &str| {
        said.find(words)
            .unwrap_or_else(|| panic!("{words}: {said}"))
    };
    assert!(at("a bracket") < at("new contacts"));
    assert!(at("new contacts") < at("a glass"));
}

#[test]
fn a_line_is_found_whatever_ends_it() {
    for end in ["\n", "\r\n", "\r"] {
        let shop = Shop::new();
        let lines = [
            "---",
            "date: 2026-03-14",
            "vehicle: wren",
            "---",
            "",
            "# Pipe",
            "",
            "I dropped four clips behind the tank and found only three of them again.",
        ];
        shop.write("entries/2026/2026-03-14-pipe.md", lines.join(end));
        let outline = json(&shop, &["recap", "--vehicle", "wren", "--as", "outline"]);
        assert_eq!(outline["moments"][0]["line"], 8, "{end:?}: {outline}");
    }
}

#[test]
fn scraps_are_not_told_while_there_is_more_to_say() {
    let shop = journal(STUCK, "");
    for day in 1..=28 {
        shop.write(
            &format!("entries/2026/2026-02-{day:02}-lamp.md"),
            format!(
                "---\ndate: 2026-02-{day:02}\nvehicle: wren\n---\n\n# Lamp {day}\n\n## Lamp\n\n\
                 - status: removed\n\nThat was why she said he laughed.\n"
            ),
        );
    }
    for draft in of_each_length(&shop, 4) {
        assert!(!draft.contains("why she said"), "{draft}");
    }
}
