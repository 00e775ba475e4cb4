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
    for said in of_each_length(shop, 8) {
        if said.contains(one) {
            told += 1;
            assert!(said.contains(other), "{said}");
        }
    }
    assert!(told > 0);
}

/// The drafts of one minute to `most`, each in one line.
fn of_each_length(shop: &Shop, most: u8) -> impl Iterator<Item = String> {
    (1..=most).map(|minutes| {
        let ran = shop.run(["recap", "--minutes", &minutes.to_string()]);
        in_one_line(&ran.ends(0).out)
    })
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
    for said in of_each_length(&shop, 12) {
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
    for said in of_each_length(&shop, 8) {
        let is_found = said.contains("hidden a biscuit tin");
        if said.contains("kept looking at the face") {
            assert!(is_found, "{said}");
            with += 1;
        } else {
            without += 1;
        }
    }
    assert!(with > 0 && without > 0, "{with} {without}");
}

/// An evening on which something rich is found, and the words of an earlier question.
const FOUND: &str = "Behind the panel, where nobody could have seen it, somebody had hidden a letter \
    and a photograph, wrapped in newspaper, with a name and a date scratched on the lid.";

#[test]
fn a_question_is_told_before_its_answer() {
    let shop = journal(
        FOUND,
        "## Panel\n\n- status: removed\n- answer: somebody hid a letter behind it\n",
    );
    shop.write(
        "entries/2026/2026-01-10-panel.md",
        "---\ndate: 2026-01-10\nvehicle: wren\n---\n\n# A panel\n\n## Panel\n\n\
         - question: why are there two panels on the left?\n\n\
         On the left there are two panels, one in front of the other, with other nails.\n",
    );
    let mut told = 0;
    for said in of_each_length(&shop, 6) {
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
    let said = whole(&shop.run(["recap", "--minutes", "5"]).ends(0).out);
    let next = said.find("## What is next").expect("the last chapter");
    assert!(
        said.find("nobody had told me which one") > Some(next),
        "{said}"
    );
    // What went wrong on the last evening is a story, and told in its place.
    shop.write(
        "entries/2026/2026-05-01-last.md",
        "---\ndate: 2026-05-01\nvehicle: wren\n---\n\n# May\n\n\
         Jonas dropped the vice on the floor and the floor cracked and we swore at all three of \
         them, and then we went in for tea.\n",
    );
    let said = whole(&shop.run(["recap", "--minutes", "5"]).ends(0).out);
    let next = said.find("## What is next").unwrap_or(said.len());
    assert!(said.find("dropped the vice") < Some(next), "{said}");
}

#[test]
fn people_are_brought_in_by_the_journal_itself() {
    let shop = journal(STUCK, "");
    shop.write(
        "entries/2026/2026-01-03-jonas.md",
        "---\ndate: 2026-01-03\nvehicle: wren\nhelpers: Jonas; my sister\n---\n\n# Jonas\n\n\
         I sorted the washers of rack 0 by size and wiped rack 0 down with a rag, since it rained \
         all day and nobody wanted to go out to rack 0 before the evening, which was one like others. \
         Jonas from the corner house brought his drill.\n",
    );
    let mut introduced = 0;
    for said in of_each_length(&shop, 8) {
        let own = said.matches("Jonas from the corner house").count();
        assert_eq!(own, usize::from(said.contains("Jonas ")), "{said}");
        // His own evening is not told then, only he is brought in.
        introduced += usize::from(own == 1 && !said.contains("washers of rack 0"));
    }
    assert!(introduced > 0, "he never had to be brought in");
}

#[test]
fn months_without_a_word_are_counted() {
    let shop = journal(STUCK, "");
    for month in 4..=9 {
        shop.write(
            &format!("entries/2026/2026-{month:02}-02-x.md"),
            format!(
                "---\ndate: 2026-{month:02}-02\nvehicle: wren\n---\n\n# M{month}\n\n## Horn\n\n- stored: rack {month}\n"
            ),
        );
    }
    shop.write(
        "entries/2026/2026-10-01-leak.md",
        "---\ndate: 2026-10-01\nvehicle: wren\nsystem: fuel\n---\n\n# Leak\n\n\
         The tank leaked on the floor and a neighbour slipped in it and swore, and he was right, \
         as I had forgotten the plug of it on the bench.\n",
    );
    shop.write(
        "entries/2026/2026-10-09-end.md",
        "---\ndate: 2026-10-09\nvehicle: wren\n---\n\n# End\n\n## Horn\n\n- stored: shelf\n",
    );
    let said = in_one_line(&shop.run(["recap", "--minutes", "3"]).ends(0).out);
    assert!(said.contains("The tank leaked"), "{said}");
    assert!(said.contains("October 2026, 7 sessions later"), "{said}");
}

#[test]
fn facts_that_stand_behind_prose_are_not_spoken() {
    let shop = journal(&format!("{STUCK}\n\n- needs: find a headlamp glass"), "");
    let said = in_one_line(&shop.run(["recap", "--minutes", "6"]).ends(0).out);
    assert!(said.contains("I dropped four clips"), "{said}");
    assert!(!said.contains("headlamp"), "{said}");
    shop.run(["check"])
        .shows("`needs` stands behind other text, so it is prose and counts for nothing");
}

#[test]
fn instructions_wait_until_all_stories_are_told() {
    let how = "You want the front well up, and if you do not look for the washers behind the bolt \
        you lose your washers, and then you find your washers in the drain a year later.";
    let shop = journal(
        &format!("{STUCK}\n\n## Box\n\n- status: removed\n\n{how}"),
        "",
    );
    for said in of_each_length(&shop, 4) {
        assert!(
            !said.contains("You want the front") || said.contains("I dropped four clips"),
            "{said}"
        );
    }
    let untold = json(&shop, &["recap", "--untold", "--most", "99"]);
    let ours = |one: &&serde_json::Value| text(&one["text"]).starts_with("You want");
    let all = untold["untold"].as_array().expect("a list");
    let own = all.iter().find(ours).expect("in the list");
    assert!(text(&own["why"]).contains("instructions"), "{own}");
    assert!(own["weight"].as_i64() < Some(0), "{own}");
}

#[test]
fn days_that_are_near_come_first_in_what_is_next() {
    let shop = journal(
        STUCK,
        "## Horn\n\n- needs: new contacts, by 2026-01-05\n\n\
         ## Coil\n\n- needs: a bracket, by 2026-03-20\n\n\
         ## Lamp\n\n- needs: a glass\n",
    );
    let said = in_one_line(&shop.run(["recap", "--minutes", "12"]).ends(0).out);
    let at = |words: &str| {
        said.find(words)
            .unwrap_or_else(|| panic!("{words}: {said}"))
    };
    assert!(at("a bracket") < at("new contacts"));
    assert!(at("new contacts") < at("a glass"));
}
