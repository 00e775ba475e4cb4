//! Lines of facts in other clothes, and lines that are none.

use super::*;

fn read_text(text: &str) -> Option<Vec<String>> {
    let line = read(&Item::of_text(text, 0..text.len()))?;
    Some(line.items.iter().map(Item::whole).collect())
}

#[test]
fn facts_in_other_clothes() {
    for (text, expected) in [
        ("status: removed", &["status: removed"][..]),
        ("Status. removed", &["status: removed"]),
        ("bag = 12", &["bag: 12"]),
        ("stored - loft", &["stored: loft"]),
        ("**Bag:** 12", &["bag: 12"]),
        ("Location: rack 4", &["stored: rack 4"]),
        ("shelf: 3", &["stored: shelf 3"]),
        (
            "to buy: 2 hoses, by 2027-01-15",
            &["needs: buy 2 hoses, by 2027-01-15"],
        ),
        ("status: removed; bag: 12", &["status: removed", "bag: 12"]),
        (
            "status: removed, bag: 12, stored: rack 2",
            &["status: removed", "bag: 12", "stored: rack 2"],
        ),
        (
            "off, bag 9, rack 1",
            &["status: off", "bag: 9", "stored: rack 1"],
        ),
        (
            "Removed. Bag 7. Shelf 2.",
            &["status: Removed", "bag: 7", "stored: Shelf 2"],
        ),
        (
            "removed / bag 30 / shelf C",
            &["status: removed", "bag: 30", "stored: shelf C"],
        ),
        (
            "taken off. 4 bolts in bag 3. needs new gasket.",
            &[
                "status: taken off",
                "hardware: 4 bolts in bag 3",
                "needs: new gasket",
            ],
        ),
        (
            "Removed; bag: 18; stored: loft",
            &["status: Removed", "bag: 18", "stored: loft"],
        ),
        ("[x] removed", &["status: removed"]),
        ("[ ] clean it", &["needs: clean it"]),
        ("[x] hone bore", &["done: hone bore"]),
        ("removed and in bag 3", &["status: removed", "bag: 3"]),
        ("in bag 9 on shelf 4", &["bag: 9", "stored: shelf 4"]),
        ("removed, in sack 9", &["status: removed", "bag: 9"]),
        ("off, zip bag 4", &["status: off", "bag: 4"]),
        ("status:removed;bag:12", &["status: removed", "bag: 12"]),
        ("Status removed", &["status: removed"]),
        ("bag → 12", &["bag: 12"]),
        ("bag: nr. 8", &["bag: 8"]),
        ("Bag: number 8", &["bag: 8"]),
        ("bag: no name", &["bag: no name"]),
        ("stored; loft", &["stored: loft"]),
        ("Bag ; 4", &["bag: 4"]),
        ("bag; 4; stored: loft", &["bag: 4", "stored: loft"]),
        ("Removed; bag 4", &["status: Removed", "bag: 4"]),
        ("off. Fixings in jar 2.", &["status: off", "bag: jar 2"]),
        (
            "removed, bag 4, 2 clips, rack 1",
            &[
                "status: removed",
                "bag: 4",
                "hardware: 2 clips, bag 4",
                "stored: rack 1",
            ],
        ),
        (
            "removed, bag 4, 2 clips in tin 2",
            &["status: removed", "bag: 4", "hardware: 2 clips in tin 2"],
        ),
        ("detected: hairline crack", &["found: hairline crack"]),
        (
            "8x #8 x 3/4 self tappers, baggie 1",
            &["hardware: 8x #8 x 3/4 self tappers, baggie 1"],
        ),
        (
            "hinge bolts 6 x 5/16 x 3/4, bag 20",
            &["hardware: hinge bolts 6 x 5/16 x 3/4, bag 20"],
        ),
        (
            "off, 2 people needed, loft",
            &["status: off", "hands: 2 people needed", "stored: loft"],
        ),
        (
            "off, bag 23, bushes are new",
            &["status: off", "bag: 23", "found: bushes are new"],
        ),
        ("stored: loft, box A", &["stored: loft, box A"]),
        (
            "hardware: 4 bolt M8, bag 3",
            &["hardware: 4 bolt M8, bag 3"],
        ),
        (
            "found: rust, much of it. And more",
            &["found: rust, much of it. And more"],
        ),
        (
            "needs: boards, ash; oil them",
            &["needs: boards, ash; oil them"],
        ),
        (
            "lesson: drain first; the plug is soft",
            &["lesson: drain first; the plug is soft"],
        ),
    ] {
        let expected: Vec<String> = expected.iter().map(|one| (*one).to_owned()).collect();
        assert_eq!(read_text(text), Some(expected), "{text}");
    }
}

#[test]
fn lines_that_are_no_facts() {
    for text in [
        "It came off easily.",
        "in box: 4",
        "Bert helped",
        "two of us pulled",
        "colour: blue",
        "the bag was full",
        "we got 4 of the bolts and then the light went",
        "rotor arm points to 10 o clock with no 1 at top",
        "off to see whether the horn still works in bag 3",
    ] {
        assert_eq!(read_text(text), None, "{text}");
    }
}

#[test]
fn a_status_behind_an_empty_box_is_marked() {
    let unticked =
        |text: &str| read(&Item::of_text(text, 0..text.len())).is_some_and(|line| line.unticked);
    assert!(unticked("[ ] fitted"));
    assert!(!unticked("[x] fitted"));
    assert!(!unticked("[ ] clean it"));
}

#[test]
fn lines_behind_angles_are_read() {
    let text = "> status: removed\n> stored: loft\n> It rained.\n";
    let found = of_paragraph(text, 0..text.len(), false);
    let items: Vec<String> = found.items.iter().map(Item::whole).collect();
    assert_eq!(items, ["status: removed", "stored: loft"]);
    assert_eq!(&text[found.prose..], "> It rained.\n");
}

#[test]
fn a_paragraph_of_facts_ends_where_prose_begins() {
    let text = "removed\nfixings: 2 bolts, bag 9\nfound: cracked at the\nlower ear\nIt was dark.\n";
    let found = of_paragraph(text, 0..text.len(), false);
    let items: Vec<String> = found.items.iter().map(Item::whole).collect();
    assert_eq!(
        items,
        [
            "removed",
            "fixings: 2 bolts, bag 9",
            "found: cracked at the lower ear"
        ]
    );
    assert_eq!(&text[found.prose..], "It was dark.\n");
}

#[test]
fn under_a_part_a_line_of_words_ends_nothing() {
    let text = "with the crane, 2 persons\n4 bolts M10, bag 22\nhe wanted bag 30 and we have none\nstored: pallet\nSo that was that.\n";
    let found = of_paragraph(text, 0..text.len(), true);
    let items: Vec<String> = found.items.iter().map(Item::whole).collect();
    assert_eq!(items, ["4 bolts M10, bag 22", "stored: pallet"]);
    let words: Vec<&str> = found.words.iter().map(|at| &text[at.clone()]).collect();
    assert_eq!(
        words,
        [
            "with the crane, 2 persons",
            "he wanted bag 30 and we have none"
        ]
    );
    assert_eq!(&text[found.prose..], "So that was that.\n");
    // A long line goes on in the next.
    let story = "removed\nWe sat there for an hour and talked about the year when it was\nfitted, and the bag it came in.\n";
    let found = of_paragraph(story, 0..story.len(), true);
    assert_eq!(found.items.len(), 1);
}
