//! What a question finds, in which order, and what the answer says about it.

use proptest::prelude::*;

use super::{TestJournal, found, found_besides, marked};
use crate::index::{Correction, Index, Query};

#[test]
fn an_index_that_was_never_filled_finds_nothing() {
    let index = Index::in_memory("").expect("index");
    for text in ["horn", "hron", "bag 31", ""] {
        assert_eq!(TestJournal::default().ask(&index, text).total, 0);
    }
    assert_eq!(index.validate().expect("validate"), Vec::<String>::new());
}

#[test]
fn all_words_are_required_and_stemmed() {
    let mut shop = TestJournal::of(&[
        ("a.md", "Hub, left front\nspindle nut, seized"),
        ("b.md", "Hub, right front\nspindle fine"),
    ]);
    let index = shop.indexed();
    let answer = shop.ask(&index, "Spindles nuts");
    assert_eq!(found(&answer), ["a.md:1"]);
    assert_eq!(answer.total, 1);
    assert_eq!(answer.searched, "spindles nuts");
    assert_eq!(marked(&answer.hits[0]), ["spindle", "nut"]);
}

#[test]
fn a_whole_sentence_is_also_found_by_everyday_words() {
    let texts = [
        ("a.md", "Tank\nrepaired the crack"),
        ("b.md", "Horn\na crack in the bracket"),
    ];
    let mut shop = TestJournal::of(&texts);
    let index = shop.indexed();
    let answer = shop.ask(&index, "When did we mend the crack?");
    assert_eq!(
        (answer.total, found(&answer)),
        (1, vec!["a.md:1".to_owned()])
    );
    assert_eq!(shop.ask(&index, "mend crack").total, 0);
}

#[test]
fn two_of_the_words_in_a_long_record_outweigh_one_in_a_short_one() {
    let long = "Rotor\nafter two evenings on the floor the swivel came off its pin at last and \
                nobody was hurt while the bucket hung there over the pit all night long";
    let mut files = vec![("a.md".to_owned(), "Door\nswap".to_owned())];
    files.push(("b.md".to_owned(), long.to_owned()));
    for other in 0..20 {
        files.push((format!("c{other}.md"), "Horn\nno fault at all".to_owned()));
    }
    let files: Vec<(&str, &str)> = files
        .iter()
        .map(|(path, text)| (&**path, &**text))
        .collect();
    let mut shop = TestJournal::of(&files);
    let index = shop.indexed();
    let answer = shop.ask(&index, "swap swivel bucket");
    assert_eq!(found_besides(&answer), ["b.md:1", "a.md:1"]);
}

#[test]
fn records_with_some_of_the_words_come_after_and_apart() {
    let mut shop = TestJournal::of(&[("a.md", "Hub\nspindle nut"), ("b.md", "Horn\nits bracket")]);
    let index = shop.indexed();
    let answer = shop.ask(&index, "spindle bracket");
    assert_eq!((answer.total, found_besides(&answer).len()), (0, 2));
    assert_eq!(answer.searched, "spindle bracket");
    let answer = shop.ask(&index, "spindle nut");
    assert_eq!(
        (found(&answer), found_besides(&answer)),
        (vec!["a.md:1".to_owned()], vec![])
    );
    shop.write("c.md", "Nut\nof the horn");
    let index = shop.indexed();
    let answer = shop.ask(&index, "spindle nut");
    assert_eq!(
        (found(&answer), answer.total),
        (vec!["a.md:1".to_owned()], 1)
    );
    assert_eq!(found_besides(&answer), ["c.md:1"]);
    // Words that have another name together are words all the same.
    let mut shop = TestJournal::of(&[("a.md", "Electric shock\noff the coil")]);
    let index = shop.indexed();
    let answer = shop.ask(&index, "shock absorber");
    assert_eq!(
        (answer.total, found_besides(&answer)),
        (0, vec!["a.md:1".to_owned()])
    );
    assert_eq!(answer.searched, "shock absorber");
}

#[test]
fn a_sentence_is_asked_for_what_it_says() {
    let mut shop = TestJournal::of(&[
        ("a.md", "Wheel, left\nremoved, nuts in the tin"),
        ("b.md", "Paint\ntake it off when I did the wing"),
    ]);
    let index = shop.indexed();
    let answer = shop.ask(&index, "when did I take the wheel off");
    assert_eq!(found(&answer), ["a.md:1"]);
    // A word that is nowhere is no slip in a sentence where it leads to nothing.
    let answer = shop.ask(&index, "where is the pant of the wheel?");
    assert_eq!((answer.corrected, answer.total), (vec![], 0));
}

#[test]
fn hardware_comes_before_a_heading_with_one_of_its_words() {
    let prose = "It took an evening, a cold one, and the kettle twice. The drum came after it.";
    let hub = format!("Hub, left front\n2 spindle nut 7/8-14, bag 12\n{prose}");
    let mut shop = TestJournal::of(&[
        ("a.md", "Spindle, left\nworn, and the nut with it"),
        ("b.md", "Nut\nsplit it, the spindle is fine"),
        ("c.md", &hub),
    ]);
    for number in 0..20 {
        shop.write(&format!("d{number}.md"), &format!("Part {number}\n{prose}"));
    }
    let index = shop.indexed();
    assert_eq!(found(&shop.ask(&index, "spindle nut"))[0], "c.md:1");
}

#[test]
fn a_name_with_a_hyphen_is_known() {
    let mut shop = TestJournal::of(&[("a.md", "Handbrake\nratchet worn"), ("b.md", "Brake\nshoe")]);
    let index = shop.indexed();
    for text in ["e-brake", "E brake", "parking brake"] {
        assert_eq!(found(&shop.ask(&index, text)), ["a.md:1"], "{text}");
    }
}

#[test]
fn joining_words_do_not_stand_in_the_way() {
    let mut shop = TestJournal::of(&[("a.md", "Horn\nrack 2"), ("b.md", "Tank\nis here")]);
    let index = shop.indexed();
    let answer = shop.ask(&index, "where is the horn?");
    assert_eq!(found(&answer), ["a.md:1"]);
    // Unless there is nothing else, or they are quoted.
    assert_eq!(found(&shop.ask(&index, "is")), ["b.md:1"]);
    assert_eq!(found(&shop.ask(&index, "\"is here\"")), ["b.md:1"]);
}

#[test]
fn quoted_words_are_taken_literally() {
    let mut shop = TestJournal::of(&[
        ("a.md", "A\nstrap bolts sheared"),
        ("b.md", "B\nthe strap bolt"),
        ("c.md", "C\nbolt the strap"),
        ("d.md", "D\nbonnet"),
    ]);
    let index = shop.indexed();
    assert_eq!(shop.ask(&index, "strap bolt").total, 3);
    let answer = shop.ask(&index, "\"strap bolt\"");
    assert_eq!(found(&answer), ["b.md:1"]);
    assert_eq!(answer.searched, "\"strap bolt\"");
    assert_eq!(marked(&answer.hits[0]), ["strap bolt"]);
    assert_eq!(shop.ask(&index, "“strap bolt”").total, 1);
    assert_eq!(shop.ask(&index, "hood").total, 1);
    assert_eq!(shop.ask(&index, "\"hood\"").total, 0);
}

#[test]
fn other_shops_words_are_found_below_the_word_itself() {
    let mut shop = TestJournal::of(&[
        ("a.md", "Hinge one\nof the bonnet"),
        ("b.md", "Hinge two\nof the hood"),
        ("c.md", "Hinge too\nof the hood"),
    ]);
    let index = shop.indexed();
    // The rarer word is worth more by itself, and still comes last.
    assert_eq!(
        found(&shop.ask(&index, "hood hinge")),
        ["b.md:1", "c.md:1", "a.md:1"]
    );
    assert_eq!(found(&shop.ask(&index, "bonnet hinge"))[0], "a.md:1");
    let last = &shop.ask(&index, "hood hinge").hits[2];
    assert_eq!(marked(last), ["Hinge", "bonnet"]);
}

#[test]
fn other_names_of_several_words_work_both_ways() {
    let mut shop = TestJournal::of(&[
        ("a.md", "Damper, rear"),
        ("b.md", "Shock absorber, front"),
        ("c.md", "Piston\nwrist pin tight"),
    ]);
    let index = shop.indexed();
    assert_eq!(
        found(&shop.ask(&index, "shock absorbers")),
        ["b.md:1", "a.md:1"]
    );
    assert_eq!(found(&shop.ask(&index, "damper")), ["a.md:1", "b.md:1"]);
    let answer = shop.ask(&index, "gudgeon pins");
    assert_eq!(found(&answer), ["c.md:1"]);
    assert_eq!(marked(&answer.hits[0]), ["wrist pin"]);
}

#[test]
fn the_part_itself_comes_before_a_mention() {
    let mut shop = TestJournal::of(&[
        ("a.md", "Grille\nafter the bonnet hinge came off"),
        (
            "b.md",
            "Bonnet hinge, left\nstiff, wants oil and a new pin before it goes back on",
        ),
    ]);
    let index = shop.indexed();
    assert_eq!(found(&shop.ask(&index, "hood hinge")), ["b.md:1", "a.md:1"]);
}

#[test]
fn a_word_that_is_nowhere_is_set_right() {
    let mut shop = TestJournal::of(&[
        ("a.md", "Hub\nspindle nut"),
        ("b.md", "Hub\nspindle worn"),
        ("c.md", "Lathe\nspindlo thing"),
    ]);
    let index = shop.indexed();
    for (slip, to) in [
        ("spinde", "spindle"),
        ("spinddle", "spindle"),
        ("spimdle", "spindle"),
        ("spidnle", "spindle"),
        ("pindle", "spindle"),
    ] {
        let answer = shop.ask(&index, slip);
        let correction = Correction {
            from: slip.to_owned(),
            to: to.to_owned(),
        };
        assert_eq!(answer.corrected, [correction]);
        assert_eq!((answer.searched.as_str(), answer.total > 0), (to, true));
    }
    // Two slips at once, and one that helps only in its company.
    let answer = shop.ask(&index, "spindel nutt");
    assert_eq!(
        (found(&answer), answer.corrected.len()),
        (vec!["a.md:1".to_owned()], 2)
    );
    // Two slips in a long word.
    assert_eq!(shop.ask(&index, "sipndel").searched, "spindle");
    assert_eq!(shop.ask(&index, "nxxt").corrected, []);
    let answer = shop.ask(&index, "spindlx thing");
    assert_eq!(
        (found(&answer), answer.searched.as_str()),
        (vec!["c.md:1".to_owned()], "spindlo thing")
    );
    assert_eq!(marked(&answer.hits[0]), ["spindlo", "thing"]);
}

#[test]
fn another_size_is_no_slip() {
    let mut shop = TestJournal::of(&[("a.md", "Hub\n7/16-20 nut, BC57-2140-C")]);
    let index = shop.indexed();
    for text in ["7/16-28", "BC57-2104-C", "M11", "nu", "\"nutt\""] {
        let answer = shop.ask(&index, text);
        assert_eq!((answer.corrected, answer.total), (vec![], 0), "{text}");
    }
}

#[test]
fn a_word_known_by_another_name_is_no_slip() {
    let mut shop = TestJournal::of(&[("a.md", "Bonnet"), ("b.md", "Wood\nof the frame")]);
    let index = shop.indexed();
    let answer = shop.ask(&index, "hood");
    assert_eq!(
        (found(&answer), answer.corrected),
        (vec!["a.md:1".to_owned()], vec![])
    );
}

#[test]
fn a_bag_is_found_by_its_label() {
    let mut shop = TestJournal::of(&[
        ("a.md", "Tank\n4 strap bolts, bag 31\nbag: 31"),
        ("b.md", "Floor\n31 clips in bag 30\nbag: 30"),
        ("c.md", "Grille\nscrews\nbag: Front End"),
    ]);
    let index = shop.indexed();
    let answer = shop.ask(&index, "Bag 31");
    assert_eq!(
        (found(&answer), answer.searched.as_str()),
        (vec!["a.md:1".to_owned()], "bag 31")
    );
    assert_eq!(marked(&answer.hits[0]), ["bag 31", "bag: 31"]);
    assert_eq!(found(&shop.ask(&index, "bag:30")), ["b.md:1"]);
    assert_eq!(found(&shop.ask(&index, "bag front end")), ["c.md:1"]);
    assert_eq!(found(&shop.ask(&index, "bag \"front end\"")), ["c.md:1"]);
    assert_eq!(found(&shop.ask(&index, "strap bag 31")), ["a.md:1"]);
    let answer = shop.ask(&index, "strpa bag 31");
    assert_eq!(
        (found(&answer), answer.searched.as_str()),
        (vec!["a.md:1".to_owned()], "strap bag 31")
    );
    assert_eq!(shop.ask(&index, "grille bag 31").total, 0);
    // No such bag: plain words.
    assert_eq!(found(&shop.ask(&index, "bag clips")), ["b.md:1"]);
    assert_eq!(found(&shop.ask(&index, "bag 31 clips")), ["b.md:1"]);
}

#[test]
fn filters_are_exact_but_for_case() {
    let text = "Door, left\nsystem: Body\nstatus: removed\ndate: 2026-03-14\n\nDoor, right\nstatus: fitted\ndate: 2026-04-01\n\nDoor card\nno date";
    let mut shop = TestJournal::of(&[("a.md", text)]);
    let index = shop.indexed();
    let ask = |change: fn(&mut Query)| {
        let mut query = Query::default();
        change(&mut query);
        found(&shop.query(&index, &query))
    };
    assert_eq!(ask(|_| ()), ["a.md:6", "a.md:1", "a.md:10"]);
    assert_eq!(ask(|q| q.system = Some("BODY".into())), ["a.md:1"]);
    assert_eq!(ask(|q| q.part = Some("door".into())), ["a.md:6", "a.md:1"]);
    assert_eq!(ask(|q| q.at = Some("Right".into())), ["a.md:6"]);
    assert_eq!(ask(|q| q.status = Some("removed".into())), ["a.md:1"]);
    assert_eq!(ask(|q| q.vehicle = Some("WREN".into())).len(), 3);
    assert_eq!(ask(|q| q.vehicle = Some("pavetta".into())).len(), 0);
    assert_eq!(
        ask(|q| q.since = Some("2026-03-14".into())),
        ["a.md:6", "a.md:1"]
    );
    assert_eq!(ask(|q| q.since = Some("2026-03-15".into())), ["a.md:6"]);
    assert_eq!(ask(|q| q.until = Some("2026-03-14".into())), ["a.md:1"]);
    assert_eq!(
        ask(|q| {
            q.text = "card".into();
            q.part = Some("door".into());
        }),
        [""; 0]
    );
}

#[test]
fn equal_hits_are_shown_newest_first() {
    let mut shop = TestJournal::default();
    for (path, date) in [
        ("c.md", "2026-01-02"),
        ("a.md", "2026-01-01"),
        ("b.md", "2026-01-02"),
        ("d.md", "2026-01-03"),
    ] {
        shop.write(path, &format!("Horn\ndate: {date}\n\nHorn\ndate: {date}"));
    }
    let index = shop.indexed();
    let answer = shop.ask(&index, "horn");
    assert_eq!(
        found(&answer),
        [
            "d.md:1", "d.md:4", "b.md:1", "b.md:4", "c.md:1", "c.md:4", "a.md:1", "a.md:4"
        ]
    );
    let first = index.search(
        &Query {
            text: "horn".into(),
            ..Query::default()
        },
        3,
        &|_| None,
    );
    let first = first.expect("search");
    assert_eq!(
        (found(&first), first.total),
        (found(&answer)[..3].to_vec(), 8)
    );
    let none = index.search(
        &Query {
            text: "horn".into(),
            ..Query::default()
        },
        0,
        &|_| None,
    );
    assert_eq!(none.expect("search").total, 8);
}

#[test]
fn a_hit_carries_the_state_of_its_places() {
    let mut shop = TestJournal::of(&[("a.md", "Horn\nremoved"), ("b.md", "Tank\nafter: Horn")]);
    let index = shop.indexed();
    let hit = &shop.ask(&index, "removed").hits[0];
    let state = b"a.md: Horn\nremoved|b.md: Tank\nafter: Horn".to_vec();
    assert_eq!(hit.places, [("Horn".to_owned(), Some(state.clone()))]);
    assert_eq!(index.place("Horn").expect("place"), Some(state.clone()));
    assert_eq!(index.place("Hor").expect("place"), None);
    assert_eq!(index.place_keys("").expect("keys"), ["Horn", "Tank"]);
    assert_eq!(
        index.places("Ho").expect("places"),
        [("Horn".to_owned(), state)]
    );
    assert_eq!(
        index.files_of_place("Horn").expect("files"),
        ["a.md", "b.md"]
    );
}

#[test]
fn signs_of_other_search_languages_do_no_harm() {
    let mut shop = TestJournal::of(&[("a.md", "Horn\nbracket at 10:30, 3/8\" bolt")]);
    let index = shop.indexed();
    for text in [
        "horn NOT bracket",
        "horn*",
        "+horn -bracket",
        "title:horn bracket",
        "(horn",
        "\"horn",
        "horn\"",
        "10:30",
        "horn AND bracket",
        "3/8\" bolt",
        "[horn TO",
        "horn~2",
        "horn^3",
        "3/8\" \"horn",
    ] {
        let answer = shop.ask(&index, text);
        let found = answer.total + answer.also.len();
        assert_eq!(found, 1, "{text}: {answer:?}");
    }
    for text in ["***", "\"\"", "\"", "- -", "…"] {
        assert_eq!(shop.ask(&index, text).total, 0, "{text}");
    }
    assert_eq!(shop.ask(&index, "  ").total, 1);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]
    #[test]
    fn no_question_fails(text in "\\PC{0,40}", signs in "[\"*:/.,'x0-9½ -]{0,20}") {
        let mut shop = TestJournal::of(&[("a.md", "Horn\n3/8-24 x 2-1/2"), ("b.md", &text)]);
        let index = shop.indexed();
        for question in [&text, &signs, &format!("{text} {signs}"), &format!("bag {signs}")] {
            shop.ask(&index, question);
        }
    }
}
