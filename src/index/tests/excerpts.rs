//! Excerpts: what they show, and that they never fail.

use proptest::prelude::*;

use super::super::excerpt::of_file;
use super::super::query::parse;
use super::super::terms::units;
use super::{TestJournal, marked};
use crate::handbook::shop_words::QuestionForm;

fn cut(file: &str, from: usize, question: &str) -> (String, u32, Vec<String>) {
    let units = units(&parse(question).required, QuestionForm::KeyWords, |label| {
        label == "31"
    });
    let excerpt = of_file(file, (from as u32, file.len() as u32), &units);
    let chars: Vec<char> = excerpt.text.chars().collect();
    let marks = excerpt
        .marks
        .iter()
        .map(|&(from, to)| chars[from..to].iter().collect());
    (excerpt.text, excerpt.line, marks.collect())
}

#[test]
fn a_short_record_is_shown_whole_in_one_line() {
    let file = "# Title\n\n## Fuel tank\n\n- after: filler neck\n- hardware: 4 strap bolt\n  3/8-24 x 2-1/2, bag 31\n\nIt came\ndown.\n";
    let (text, line, marks) = cut(
        file,
        file.find("## F").expect("part"),
        "3/8-24 bolts bag 31",
    );
    assert_eq!(
        text,
        "Fuel tank · after: filler neck · hardware: 4 strap bolt 3/8-24 x 2-1/2, bag 31 · It came down."
    );
    assert_eq!(line, 3);
    assert_eq!(marks, ["bolt", "3/8-24", "bag 31"]);
}

#[test]
fn both_words_are_shown_even_if_one_comes_often() {
    let mut file = "The tank.\n".repeat(60);
    file.push_str("Here the tank has its sender.\n");
    file.push_str(&"Nothing more.\n".repeat(60));
    let (text, line, marks) = cut(&file, 0, "tank sender");
    assert!(marks.contains(&"sender".to_owned()) && marks.contains(&"tank".to_owned()));
    assert!(text.chars().count() <= 260, "{text}");
    assert!(text.starts_with("The tank.") && line > 30, "{line} {text}");
}

#[test]
fn marks_fit_where_folding_changes_lengths() {
    let (text, _, marks) = cut(
        "Die ﬁne Kühler-Dichtung, 2½ × ⅜ weit\u{301}er",
        0,
        "fine kuhler 2-1/2 weiter",
    );
    assert_eq!(text, "Die ﬁne Kühler-Dichtung, 2½ × ⅜ weit\u{301}er");
    assert_eq!(marks, ["ﬁne", "Kühler", "2½", "weit\u{301}er"]);
}

#[test]
fn nothing_that_steers_a_terminal_gets_through() {
    let (text, _, marks) = cut("a\u{1b}[31mred\u{7} horn\u{202e} x\r\n\ty\u{0}", 0, "horn");
    assert_eq!(text, "a[31mred horn x y");
    assert_eq!(marks, ["horn"]);
}

#[test]
fn a_file_that_changed_since_is_cut_all_the_same() {
    for span in [(0, 900), (5, 6), (900, 1000), (7, 3)] {
        let excerpt = of_file(
            "Kühler, é",
            span,
            &units(&parse("kühler").required, QuestionForm::KeyWords, |_| {
                false
            }),
        );
        assert!(excerpt.text.len() < 20);
    }
    let mut shop = TestJournal::of(&[("a.md", "Horn\nloud")]);
    let index = shop.indexed();
    shop.remove("a.md");
    let hit = &shop.ask(&index, "horn").hits[0];
    assert_eq!(
        (hit.passage.as_str(), marked(hit).len(), hit.line),
        ("", 0, 1)
    );
}

#[test]
fn a_number_is_marked_as_a_bag_only_after_the_word() {
    let (_, _, marks) = cut("31 clips in bag 30 and bag 31", 0, "bag 31");
    assert_eq!(marks, ["bag 31"]);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, ..ProptestConfig::default() })]
    #[test]
    fn marks_lie_within_the_text(
        words in proptest::collection::vec("(horn|3/8-24 x 2½|O-ring|bag 31|wrist pin|\\PC{0,9}|[\\n\\r\\t #*-]{0,4}|[\u{300}\u{200b}ﬁİ½×.'/-]{0,3})", 0..80),
        question in "(horn|3/8-24|oring|2½|bag 31|gudgeon pins|\"o ring\"|\\PC{0,6}| ){0,5}",
        from in 0..300_u32,
        to in 0..2000_u32,
    ) {
        let file = words.join(" ");
        let units = units(&parse(&question).required, QuestionForm::KeyWords, |label| label == "31");
        for span in [(0, file.len() as u32), (from, to)] {
            let excerpt = of_file(&file, span, &units);
            let length = excerpt.text.chars().count();
            prop_assert!(length <= 240 * 3);
            prop_assert!(!excerpt.text.chars().any(char::is_control));
            let mut last = 0;
            for (from, to) in &excerpt.marks {
                prop_assert!(last <= *from && from < to && *to <= length, "{:?}", excerpt);
                last = *to;
            }
        }
    }
}
