//! Scores against a library that is not ours.

use super::super::{DocumentSource, FileDocs, Folded, Index, Query, RecordDoc};
use super::{TestJournal, seen};

const TEXTS: [&str; 6] = [
    "spindle nut seized hard",
    "spindle worn",
    "nut nut washer missing today",
    "tank strap bolt sheared",
    "horn bracket spindle bolt nut washer",
    "strap",
];

/// What PyPI `bm25s` 0.3.16 gives for these texts, cut at blanks: `BM25(method="lucene",
/// k1=1.2, b=0.75)`, `get_scores` of the question's words, times 2.2. The factor
/// is k1 + 1, which that method leaves out and the engine puts in. Texts without
/// all the words stand as 0 here: they are not found. No text has two of the words side
/// by side as they are asked for; that would add to its score.
const EXPECTED: [(&str, [f32; 6]); 4] = [
    ("spindle", [0.668_293, 0.851_48, 0.0, 0.0, 0.549_973, 0.0]),
    ("nut", [0.668_293, 0.0, 0.864_648, 0.0, 0.549_973, 0.0]),
    ("nut spindle", [1.336_587, 0.0, 0.0, 0.0, 1.099_945, 0.0]),
    ("bolt strap", [0.0, 0.0, 0.0, 1.985_402, 0.0, 0.0]),
];

/// One file a text, with places beside them: those must not count as texts.
struct TestTexts;

impl DocumentSource for TestTexts {
    fn begin(&mut self) {}

    fn read(&mut self, paths: &[&str]) -> Vec<Option<FileDocs>> {
        let read = paths.iter().map(|path| {
            let text = TEXTS[path.parse::<usize>().ok()?];
            Some(FileDocs {
                records: vec![RecordDoc {
                    text: text.to_owned(),
                    ..RecordDoc::default()
                }],
                places: vec![format!("place {path}"), "another".to_owned()],
                ..FileDocs::default()
            })
        });
        read.collect()
    }

    fn prepare(&mut self, _: &std::collections::BTreeSet<&str>) {}

    fn fold(&mut self, _: &str, _: &[std::rc::Rc<str>]) -> Option<Folded> {
        Some(Folded::default())
    }
}

#[test]
fn scores_are_those_of_an_independent_library() {
    let stamp = TestJournal::of(&[("a", "")]).looks()[0].1;
    let paths = (0..TEXTS.len()).map(|number| number.to_string());
    let looks: Vec<_> = paths.map(|path| (path, stamp)).collect();
    let mut index = Index::in_memory("").expect("index");
    index
        .refresh(&seen(&looks), &mut TestTexts, &mut |_, _| {})
        .expect("refresh");
    for (text, expected) in EXPECTED {
        let query = Query {
            text: text.to_owned(),
            ..Query::default()
        };
        let answer = index.search(&query, 10, &|_| None).expect("search");
        let mut scores = [0.0_f32; 6];
        for hit in &answer.hits {
            scores[hit.entry.parse::<usize>().expect("number")] = hit.score;
        }
        for (score, expected) in scores.iter().zip(expected) {
            assert!((score - expected).abs() < 2e-6, "{text}: {scores:?}");
        }
    }
}
