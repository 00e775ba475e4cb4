//! The index that was kept through random edits answers as one made anew, and
//! as a fold of everything does.
//!
//! Hits are compared without their order: until the search engine tidies up, it
//! counts deleted texts when it decides how rare a word is, so that two hits of
//! almost the same score may change places.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::Command;

use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::select;
use serde_json::Value;

use super::ledger::text;

/// What happens to the files between two answers.
#[derive(Clone, Debug)]
enum Edit {
    /// A file with this number gets this text, whether or not it is there.
    Write(usize, (i8, String)),
    Delete(usize),
    /// A line more at the end of a file.
    Append(usize, &'static str),
    /// A vehicle file changes what "driver's side" means.
    Turn(&'static str),
}

fn edit() -> impl Strategy<Value = Edit> {
    let also = "\n## Horn\n\n- also: klaxon\n";
    let lines = vec![
        also,
        "\n## Klaxon, driver's side\n\n- status: removed\n- bag: 4\n",
        "\n## Starter motor\n\n- replaced by: used\n  - from: pavetta, starter motor\n",
        "\n## Bag 9\n\n- holds: horn; fuel tank\n",
        "\nMore prose about a rusty spindle.\n",
        "\n## Horn\n\n- system: body\n- needs: paint\n",
        "\n## Fuel tank\n\n- cost: 12.50 paint\n- replaced by: made\n",
    ];
    prop_oneof![
        4 => (0_usize..5, text()).prop_map(|(file, text)| Edit::Write(file, text)),
        2 => (0_usize..5).prop_map(Edit::Delete),
        3 => (0_usize..5, select(lines)).prop_map(|(file, line)| Edit::Append(file, line)),
        1 => select(vec!["left", "right"]).prop_map(Edit::Turn),
    ]
}

/// Where file `number` stands; its day in the name is not the day inside.
fn path(number: usize) -> String {
    format!("entries/2026/2026-03-0{}-{number}-x.md", number % 3 + 1)
}

fn vehicle(name: &str, driven: &str) -> String {
    format!("---\nname: {name}\ndriven: {driven}\n---\n\n# {name}\n")
}

fn frame() -> BTreeMap<String, String> {
    let mut files = BTreeMap::new();
    files.insert("journal.toml".to_owned(), "currency = \"EUR\"\n".to_owned());
    files.insert(
        "vehicles/wren.md".to_owned(),
        vehicle("Brindle Wren", "right"),
    );
    files.insert(
        "vehicles/pavetta.md".to_owned(),
        vehicle("Pavetta 125", "left"),
    );
    // Unchanging, so that an edit is a small part of the journal.
    for day in 1..4 {
        let text = format!(
            "---\ndate: 2026-02-0{day}\nvehicle: wren\n---\n\n# Before\n\n## Fuel tank\n\n- found: rusty spindle\n- bag: {day}\n"
        );
        files.insert(format!("entries/2026/2026-02-0{day}-before.md"), text);
    }
    files
}

fn apply(edit: &Edit, files: &mut BTreeMap<String, String>) {
    match edit {
        Edit::Write(number, (_, text)) => {
            files.insert(path(*number), text.clone());
        }
        Edit::Delete(number) => {
            files.remove(&path(*number));
        }
        Edit::Append(number, line) => {
            let empty = || "---\ndate: 2026-03-02\nvehicle: wren\n---\n\n# Short\n".to_owned();
            files
                .entry(path(*number))
                .or_insert_with(empty)
                .push_str(line);
        }
        Edit::Turn(side) => {
            files.insert("vehicles/wren.md".to_owned(), vehicle("Brindle Wren", side));
        }
    }
}

/// Makes the folder hold exactly these files; files that stay the same are
/// not touched.
fn lay_out(root: &Path, before: &BTreeMap<String, String>, files: &BTreeMap<String, String>) {
    for path in before.keys().filter(|path| !files.contains_key(*path)) {
        fs::remove_file(root.join(path)).expect("delete");
    }
    for (path, text) in files
        .iter()
        .filter(|(path, text)| before.get(*path) != Some(*text))
    {
        let path = root.join(path);
        fs::create_dir_all(path.parent().expect("a folder")).expect("folder");
        fs::write(path, text).expect("write");
    }
}

fn ask(root: &Path, question: &[&str]) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_matchmark"))
        .current_dir(root)
        .args(question)
        .arg("--json")
        .env("NO_COLOR", "1")
        .output()
        .expect("the program runs");
    let code = output.status.code().expect("it ends by itself");
    let error = String::from_utf8_lossy(&output.stderr);
    assert!(code < 2, "{question:?}: {error}");
    let mut answer: Value = serde_json::from_slice(&output.stdout).expect("JSON");
    if let Some(hits) = answer.get_mut("hits").and_then(Value::as_array_mut) {
        hits.sort_by_key(|hit| (hit["entry"].to_string(), hit["line"].as_u64()));
    }
    if let Some(needs) = answer.get_mut("needs").and_then(Value::as_array_mut) {
        // What is overdue depends on the day that is asked for, and comes first.
        for need in needs.iter_mut() {
            need["overdue"] = Value::Null;
        }
        needs.sort_by_key(Value::to_string);
    }
    without_day(&format!("{code} {answer:#}"))
}

/// The same without how long ago something was due: that depends on the day that is
/// asked for.
fn without_day(answer: &str) -> String {
    let pieces: Vec<&str> = answer.split(" days ago").collect();
    let cut = |piece: &&str| {
        piece
            .trim_end_matches(|c: char| c.is_ascii_digit())
            .to_owned()
    };
    let (last, first) = pieces.split_last().expect("one piece at least");
    let mut cut: Vec<String> = first.iter().map(cut).collect();
    cut.push((*last).to_owned());
    cut.join(" days ago")
}

/// The first of them are also answered by folding everything.
const QUESTIONS: [&[&str]; 21] = [
    &["part"],
    &["part", "--by", "shelf"],
    &["part", "horn", "--vehicle", "wren"],
    &["part", "starter motor", "--vehicle", "pavetta"],
    &["part", "tank"],
    &["part", "brake drim"],
    &["needs"],
    &["needs", "--part", "fuel tank"],
    &["bags"],
    &["bags", "9"],
    &["bags", "--buy"],
    &["refit", "--vehicle", "wren"],
    &["refit", "--to", "fuel tank"],
    &["replaced"],
    &["tally"],
    &["tally", "--by", "part"],
    // Those that have no `--on`.
    &["torque", "M8", "--class", "8.8", "--for", "fuel tank"],
    &["check"],
    &["find", "spindle", "--most", "200"],
    &["find", "bag 7", "--most", "200"],
    &["find", "removed", "horn", "--most", "200"],
];

/// How many of the questions can be asked as of a day.
const FOLDED: usize = 16;

/// Every so many answers the same question is asked again: asking all of them each time
/// would start the program hundreds of times.
const ROUND: usize = 3;

/// The questions of one turn; `ROUND` turns ask them all.
fn questions(turn: usize) -> impl Iterator<Item = (usize, &'static [&'static str])> {
    let all = QUESTIONS.iter().copied().enumerate();
    all.filter(move |(at, _)| at % ROUND == turn % ROUND)
}

fn answers(root: &Path, turn: usize) -> Vec<String> {
    let answers = questions(turn).map(|(_, question)| ask(root, question));
    answers.collect()
}

/// The problems in an answer of `check`.
fn problems(root: &Path, question: &[&str]) -> Vec<Value> {
    let answer = ask(root, question);
    let (_, answer) = answer.split_once(' ').expect("a code");
    let answer: Value = serde_json::from_str(answer).expect("JSON");
    answer["problems"].as_array().expect("problems").clone()
}

/// Makes these edits, a few at a time, and compares the answers after each few; the
/// first of them are asked the questions of `turn`.
fn assert_answers_stay_equal(edits: &[Vec<Edit>], turn: usize) {
    let kept = tempfile::tempdir().expect("a folder");
    let mut files = BTreeMap::new();
    let mut next = frame();
    lay_out(kept.path(), &files, &next);
    files = next.clone();
    ask(kept.path(), &["part"]);
    for (turn, step) in (turn..).zip(edits) {
        for edit in step {
            apply(edit, &mut next);
        }
        lay_out(kept.path(), &files, &next);
        files = next.clone();
        let answered = answers(kept.path(), turn);
        let anew = tempfile::tempdir().expect("a folder");
        lay_out(anew.path(), &BTreeMap::new(), &files);
        for ((at, question), answer) in questions(turn).zip(&answered) {
            let wanted = ask(anew.path(), question);
            assert_eq!(answer, &wanted, "{question:?} after {step:?}");
            if at < FOLDED {
                let folded = [question, &["--on", "2999-12-31"][..]].concat();
                assert_eq!(answer, &ask(anew.path(), &folded), "{question:?}");
            }
        }
        // What was kept of an answer is the same answer.
        assert_eq!(answers(kept.path(), turn), answered);
    }
    // What is wrong in one entry is found in the texts of all.
    let all = problems(kept.path(), &["check"]);
    for path in files.keys().filter(|path| path.starts_with("entries/")) {
        let own = all
            .iter()
            .filter(|problem| problem["entry"] == path.as_str());
        let read = problems(kept.path(), &["check", path]);
        assert_eq!(own.collect::<Vec<_>>(), read.iter().collect::<Vec<_>>());
    }
}

proptest! {
    // Every case has turns for all the questions.
    #![proptest_config(ProptestConfig { cases: 5, max_shrink_iters: 60, ..ProptestConfig::default() })]

    #[test]
    fn kept_fresh_and_folded_answers_are_equal(
        edits in vec(vec(edit(), 1..3), ROUND..6),
        turn in 0..ROUND,
    ) {
        assert_answers_stay_equal(&edits, turn);
    }
}

/// Found at random once: a unit of a vehicle that has no such part, of an entry that
/// was there or was not, and a bag that holds what nobody took off.
#[test]
fn answers_that_once_differed_are_equal() {
    let unit = "\n## Starter motor\n\n- replaced by: used\n  - from: pavetta, starter motor\n";
    let above =
        |vehicle| format!("---\ndate: 2026-03-01\nvehicle: {vehicle}\n---\n\n# An evening\n\n");
    let bag = "## Bag 7\n\n- holds: horn; starter motor\n- hardware: 6 clip\n\n";
    // Each is followed by as many empty steps as it takes to ask everything.
    let steps = vec![
        vec![Edit::Append(0, unit)],
        vec![],
        vec![],
        vec![Edit::Write(0, (1, above("wren") + bag))],
        vec![],
        vec![],
        vec![Edit::Delete(0), Edit::Write(1, (1, above("pavetta")))],
        vec![Edit::Append(1, unit)],
        vec![],
        vec![],
    ];
    assert_answers_stay_equal(&steps, 0);
}

/// The last `also` of a journal is taken out again: the two names are two
/// parts again.
#[test]
fn names_that_are_no_longer_joined_part_again() {
    let root = tempfile::tempdir().expect("a folder");
    let mut before = BTreeMap::new();
    let mut files = frame();
    let entry =
        |facts: &str| format!("---\ndate: 2026-03-01\nvehicle: wren\n---\n\n# Noise\n\n{facts}");
    files.insert(path(0), entry("## Klaxon\n\n- bag: 4\n"));
    files.insert(
        path(1),
        entry("## Horn\n\n- also: klaxon\n- stored: rack 1\n"),
    );
    lay_out(root.path(), &before, &files);
    before = files.clone();
    let joined = ask(root.path(), &["part", "klaxon"]);
    assert!(joined.contains("\"rack 1\""), "{joined}");
    files.insert(path(1), entry("## Horn\n\n- stored: rack 1\n"));
    lay_out(root.path(), &before, &files);
    let parted = ask(root.path(), &["part", "klaxon"]);
    assert!(!parted.contains("\"rack 1\""), "{parted}");
    assert_eq!(
        parted,
        ask(root.path(), &["part", "klaxon", "--on", "2999-12-31"])
    );
}
