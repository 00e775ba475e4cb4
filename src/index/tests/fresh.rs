//! After any edits the index answers like one made anew, and reads no more than
//! it must.

use std::collections::BTreeSet;
use std::time::Duration;

use proptest::prelude::*;
use tempfile::tempdir;

use super::{TestJournal, found, found_besides, seen};
use crate::index::{Index, ShareKind, shares};

#[derive(Clone, Debug)]
enum Edit {
    Write(usize, Vec<(usize, usize)>),
    Remove(usize),
    Refresh,
}

const WORDS: [&str; 12] = [
    "bonnet",
    "hood",
    "hinge",
    "horn",
    "tank",
    "bolt 3/8-24",
    "spindle",
    "spindel",
    "bag: 31",
    "after: Horn",
    "after: Tank",
    "date: 2026-01-02",
];
const PARTS: [&str; 5] = ["Horn", "Tank", "Hinge, left", "Hinge, right", "Bonnet"];
const ASKED: [&str; 12] = [
    "horn",
    "hood",
    "bonnet hinge",
    "spindle",
    "spindle tank",
    "spindl",
    "bag 31",
    "3/8-24 bolt",
    "hinge left",
    "\"hinge, left\"",
    "nowhere tank",
    "",
];

fn edits() -> impl Strategy<Value = Vec<Edit>> {
    let block = (0..PARTS.len(), 0..WORDS.len());
    let edit = prop_oneof![
        5 => (0..8_usize, proptest::collection::vec(block, 1..4)).prop_map(|(file, blocks)| Edit::Write(file, blocks)),
        2 => (0..8_usize).prop_map(Edit::Remove),
        3 => Just(Edit::Refresh),
    ];
    proptest::collection::vec(edit, 1..25)
}

/// Everything that can be asked, in a form that can be compared.
fn everything(shop: &TestJournal, index: &Index) -> Vec<String> {
    let mut all = Vec::new();
    for text in ASKED {
        let answer = shop.ask(index, text);
        let hits: Vec<_> = answer
            .hits
            .iter()
            .map(|hit| {
                format!(
                    "{}:{} {:?} {:?} {:?}",
                    hit.entry, hit.line, hit.places, hit.passage, hit.marks
                )
            })
            .collect();
        let also = found_besides(&answer);
        all.push(format!(
            "{text}: {} {also:?} {:?} {} {hits:?}",
            answer.searched, answer.corrected, answer.total
        ));
    }
    assert_eq!(index.mixed_up().expect("files"), Vec::<String>::new());
    all.push(format!("{:?}", index.places("").expect("places")));
    for sort in [ShareKind::Place, ShareKind::PlaceMore, ShareKind::File] {
        let pages = index.pages(sort).expect("pages");
        let shares = pages.iter().map(|page| shares(page).expect("shares"));
        all.push(format!("{sort:?} {:?}", shares.collect::<Vec<_>>()));
    }
    let mut looks = index.looks().expect("looks");
    looks.sort();
    all.push(format!("{looks:?}"));
    for except in [BTreeSet::new(), BTreeSet::from(["0.md", "1.md", "gone.md"])] {
        let names = index.names_besides(&except).expect("names");
        all.push(format!("{:?}", names.beginning("H").expect("names")));
    }
    for key in index.place_keys("").expect("keys") {
        all.push(format!(
            "{key} {:?}",
            index.files_of_place(&key).expect("files")
        ));
    }
    all
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]
    #[test]
    fn a_refreshed_index_answers_like_a_new_one(edits in edits()) {
        let folder = tempdir().expect("folder");
        let open = || Index::open(folder.path(), "f", Duration::from_secs(5)).expect("open");
        let mut shop = TestJournal::default();
        for unchanged in 0..30 {
            shop.write(&format!("u{unchanged}.md"), "Quiet\nnothing to see");
        }
        let mut index = open();
        prop_assert!(shop.refresh(&mut index).rebuilt);
        for edit in edits.into_iter().chain([Edit::Refresh]) {
            match edit {
                Edit::Write(file, blocks) => {
                    let blocks: Vec<_> = blocks.iter()
                        .map(|&(part, word)| format!("{}\n{}", PARTS[part], WORDS[word]))
                        .collect();
                    shop.write(&format!("{file}.md"), &blocks.join("\n\n"));
                }
                Edit::Remove(file) => shop.remove(&format!("{file}.md")),
                Edit::Refresh => {
                    let done = shop.refresh(&mut index);
                    prop_assert!(!done.rebuilt);
                    prop_assert_eq!(everything(&shop, &index), everything(&shop, &shop.clone().indexed()));
                    index.wait_merging();
                    drop(index);
                    index = open();
                    shop.read.clear();
                    prop_assert_eq!(shop.refresh(&mut index), Default::default());
                    prop_assert!(shop.read.is_empty());
                    prop_assert_eq!(index.validate().expect("validate"), Vec::<String>::new());
                }
            }
        }
    }
}

fn many() -> TestJournal {
    let mut shop = TestJournal::default();
    for file in 0..20 {
        shop.write(
            &format!("{file:02}.md"),
            &format!("Part {file}\nafter: Horn"),
        );
    }
    shop
}

#[test]
fn only_what_changed_is_read() {
    let mut shop = many();
    let mut index = shop.indexed();
    // In memory there is no clock to compare with.
    shop.read.clear();
    assert_eq!(shop.refresh(&mut index).files, 20);

    let folder = tempdir().expect("folder");
    let mut index = Index::open(folder.path(), "f", Duration::ZERO).expect("open");
    shop.refresh(&mut index);
    shop.read.clear();
    shop.write("03.md", "Part 3\nnow without");
    shop.remove("04.md");
    let done = shop.refresh(&mut index);
    assert_eq!(shop.read, ["03.md"]);
    assert_eq!((done.files, done.places, done.rebuilt), (2, 3, false));
    let horn = index.files_of_place("Horn").expect("files");
    assert!(horn.len() == 18 && !horn.contains(&"03.md".to_owned()));
    assert_eq!(index.place("Part 4").expect("place"), None);
    // More than a third: all of it.
    for file in 5..15 {
        shop.write(&format!("{file:02}.md"), "Part\nother");
    }
    assert!(shop.refresh(&mut index).rebuilt);
}

#[test]
fn another_fingerprint_reads_everything_anew() {
    let folder = tempdir().expect("folder");
    let mut shop = many();
    for (fingerprint, rebuilt) in [("a", true), ("a", false), ("b", true), ("b", false)] {
        let mut index = Index::open(folder.path(), fingerprint, Duration::ZERO).expect("open");
        assert_eq!(shop.refresh(&mut index).rebuilt, rebuilt, "{fingerprint}");
        assert_eq!(shop.ask(&index, "part").total, 20);
    }
}

/// An edit of the same length within one tick of the clock, right after the
/// file was read, leaves the stamp as it was.
#[test]
fn an_edit_in_the_same_tick_is_seen() {
    let folder = tempdir().expect("folder");
    let mut shop = many();
    let mut index = Index::open(folder.path(), "f", Duration::ZERO).expect("open");
    let now = super::super::storage::file_clock(folder.path()).expect("clock");
    let looks = |shop: &TestJournal| {
        let mut looks = shop.looks();
        // Written a moment after the index looks at the clock.
        looks[3].1.modified_ns = now + 1_000_000_000;
        looks
    };
    let before = looks(&shop);
    index
        .refresh(&seen(&before), &mut shop, &mut |_, _| {})
        .expect("refresh");
    shop.write("03.md", "Tart 3\nafter: Horn");
    let after = looks(&shop);
    assert_eq!(before, after);
    shop.read.clear();
    index
        .refresh(&seen(&after), &mut shop, &mut |_, _| {})
        .expect("refresh");
    assert_eq!(shop.read, ["03.md"]);
    assert_eq!(found(&shop.ask(&index, "tart")), ["03.md:1"]);
}

#[test]
fn a_file_that_cannot_be_read_contributes_nothing() {
    let mut shop = many();
    let mut looks = shop.looks();
    looks.push(("gone.md".to_owned(), looks[0].1));
    looks.push(looks[0].clone());
    looks.reverse();
    let mut index = Index::in_memory("").expect("index");
    let mut steps = Vec::new();
    index
        .refresh(&seen(&looks), &mut shop, &mut |done, all| {
            steps.push((done, all))
        })
        .expect("refresh");
    assert_eq!(shop.ask(&index, "part").total, 20);
    assert_eq!(index.validate().expect("validate"), Vec::<String>::new());
    assert_eq!((steps[0], steps[steps.len() - 1]), ((0, 21), (21, 21)));
}

#[test]
fn two_at_once_agree() {
    let folder = tempdir().expect("folder");
    let shop = many();
    std::thread::scope(|scope| {
        for turn in 0..4 {
            let (folder, mut shop) = (folder.path(), shop.clone());
            scope.spawn(move || {
                for _ in 0..5 {
                    let mut index =
                        Index::open(folder, "f", Duration::from_secs(60)).expect("open");
                    shop.refresh(&mut index);
                    assert_eq!(shop.ask(&index, "part").total, 20, "{turn}");
                    index.wait_merging();
                }
            });
        }
    });
}

#[test]
fn who_waits_for_nothing_is_told() {
    let folder = tempdir().expect("folder");
    let mut shop = many();
    let mut first = Index::open(folder.path(), "f", Duration::ZERO).expect("open");
    shop.refresh(&mut first);
    // The first one still holds the writer. Nothing changed: no writer needed.
    let mut second = Index::open(folder.path(), "f", Duration::ZERO).expect("open");
    shop.refresh(&mut second);
    shop.write("03.md", "Part 3\nchanged");
    let refused = second.refresh(&seen(&shop.looks()), &mut shop, &mut |_, _| {});
    assert!(
        matches!(refused, Err(crate::index::IndexError::Busy)),
        "{refused:?}"
    );
    first.wait_merging();
    assert_eq!(shop.refresh(&mut second).files, 1);
}

#[test]
fn the_index_stays_in_few_pieces() {
    let folder = tempdir().expect("folder");
    let mut shop = many();
    for turn in 0..60 {
        shop.write("03.md", &format!("Part 3\nturn {turn}"));
        let mut index = Index::open(folder.path(), "f", Duration::ZERO).expect("open");
        shop.refresh(&mut index);
        index.wait_merging();
    }
    let index = Index::open(folder.path(), "f", Duration::ZERO).expect("open");
    assert!(index.reader.searcher().segment_readers().len() < 12);
    assert_eq!(index.validate().expect("validate"), Vec::<String>::new());
    assert_eq!(found(&shop.ask(&index, "turn 59")), ["03.md:1"]);
}

/// A changed entry must not have everything written anew.
#[test]
fn little_pieces_are_merged_with_each_other_alone() {
    let folder = tempdir().expect("folder");
    let open = || Index::open(folder.path(), "f", Duration::ZERO).expect("open");
    let mut shop = TestJournal::default();
    for file in 0..800 {
        shop.write(
            &format!("{file:03}.md"),
            &format!("Part {file}\nafter: Horn"),
        );
    }
    let pieces = |index: &Index| -> Vec<_> {
        let readers = index.reader.searcher();
        let readers = readers.segment_readers().iter();
        readers.map(|reader| reader.segment_id()).collect()
    };
    let mut index = open();
    shop.refresh(&mut index);
    index.wait_merging();
    let first = pieces(&index);
    for turn in 0..24 {
        shop.write(&format!("new-{turn}.md"), &format!("New {turn}\nfresh"));
        let mut index = open();
        shop.refresh(&mut index);
        index.wait_merging();
    }
    let last = pieces(&open());
    assert!(last.len() < 12, "{last:?}");
    assert!(
        first.iter().all(|piece| last.contains(piece)),
        "{first:?} {last:?}"
    );
}

/// Written out by another process between the look at what changed and the turn
/// to write: the answer is about what is there now.
#[test]
fn what_another_process_wrote_out_is_taken_up() {
    let folder = tempdir().expect("folder");
    let open = || Index::open(folder.path(), "f", Duration::ZERO).expect("open");
    let mut shop = many();
    shop.refresh(&mut open());
    let mut waiting = open();
    for file in 0..5 {
        shop.write(&format!("{file:02}.md"), "Part\nspindle");
    }
    let mut other = open();
    assert_eq!(shop.refresh(&mut other).files, 5);
    other.wait_merging();
    let done = shop.refresh(&mut waiting);
    assert_eq!((done.files, done.changed), (0, true));
    assert_eq!(shop.ask(&waiting, "spindle").total, 5);
    assert_eq!(shop.refresh(&mut waiting), Default::default());
    assert_eq!(everything(&shop, &waiting), everything(&shop, &open()));
}

/// A file that came and went between two answers.
#[test]
fn what_was_undone_again_is_forgotten() {
    let folder = tempdir().expect("folder");
    let open = || Index::open(folder.path(), "f", Duration::ZERO).expect("open");
    let mut shop = many();
    shop.refresh(&mut open());
    for turn in 0..8 {
        shop.write("new.md", &format!("Spindle\nturn {turn}"));
        shop.refresh(&mut open());
    }
    assert_eq!(shop.ask(&open(), "spindle").total, 1);
    shop.remove("new.md");
    let mut index = open();
    shop.refresh(&mut index);
    assert_eq!(shop.ask(&index, "spindle").total, 0);
    assert_eq!(shop.ask(&open(), "spindle").total, 0);
    assert_eq!(
        everything(&shop, &open()),
        everything(&shop, &shop.clone().indexed())
    );
}

#[test]
fn names_are_listed_that_other_files_use() {
    let mut shop = TestJournal::of(&[
        ("1.md", "Horn\nafter: Tank"),
        ("2.md", "Horn\n\nHinge, left"),
        ("3.md", "Hinge, right"),
    ]);
    let mut index = shop.indexed();
    let names = |index: &Index, begin: &str, except: &[&str]| -> Vec<String> {
        let except = except.iter().copied().collect();
        let names = index.names_besides(&except).expect("names");
        let names = names.beginning(begin).expect("names");
        names.into_iter().collect()
    };
    assert_eq!(names(&index, "", &[]), ["Hinge", "Horn", "Tank"]);
    assert_eq!(names(&index, "H", &["2.md"]), ["Hinge", "Horn"]);
    assert_eq!(names(&index, "H", &["2.md", "3.md"]), ["Horn"]);
    shop.remove("1.md");
    shop.refresh(&mut index);
    assert_eq!(names(&index, "", &["3.md", "1.md"]), ["Hinge", "Horn"]);
    assert_eq!(names(&index, "H", &["2.md"]), ["Hinge"]);
}
