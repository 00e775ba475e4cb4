//! What was, against `git log`, `git show` and `git diff`.

use super::*;
use crate::history::{
    AsWritten, ChangeKind, CommitId, CommitNotes, HistoryError, PastScope, TextChange, TextVersion,
};
use jiff::civil::date;

fn keep_at(garage: &Garage, path: &str, text: Option<&str>, at: &str, hours: i8) -> CommitId {
    match text {
        Some(text) => garage.write(path, text),
        None => fs::remove_file(garage.root.join(path)).unwrap(),
    }
    let request = KeepRequest {
        commit_time: time(at, hours),
        ..request(&[path])
    };
    garage.history().keep(&request).unwrap().commit.unwrap()
}

fn told(changes: &[TextChange]) -> Vec<String> {
    changes
        .iter()
        .map(|change| {
            let text = |text: &Option<Vec<u8>>| {
                text.as_ref().map_or("-".into(), |text| {
                    String::from_utf8_lossy(text).trim().replace('\n', "/")
                })
            };
            let kind = match &change.kind {
                ChangeKind::Written => "written".into(),
                ChangeKind::Changed => "changed".into(),
                ChangeKind::Removed => "removed".into(),
                ChangeKind::Renamed { from } => format!("renamed from {from}"),
            };
            format!(
                "{} {kind}: {} > {}",
                change.path,
                text(&change.before),
                text(&change.after)
            )
        })
        .collect()
}

#[test]
fn a_days_journal_is_the_last_commit_of_that_day_by_its_own_clock() {
    let garage = Garage::new();
    // Half past midnight at UTC+2 is still the 13th in Greenwich.
    let first = keep_at(&garage, "a.md", Some("1\n"), "2026-03-13T22:30:00Z", 2);
    let second = keep_at(&garage, "a.md", Some("2\n"), "2026-03-14T20:00:00Z", 1);
    // Still the 15th where it was made.
    let third = keep_at(&garage, "a.md", Some("3\n"), "2026-03-16T03:00:00Z", -5);
    let history = garage.history();
    let on = |day| history.as_written(&AsWritten::Day(date(2026, 3, day)));
    assert_eq!(on(14).unwrap(), second);
    assert_eq!(on(15).unwrap(), third);
    assert_eq!(on(30).unwrap(), third);
    let error = on(13).unwrap_err();
    assert!(
        matches!(error, HistoryError::BeforeHistory { first, .. } if first == date(2026, 3, 14)),
        "{error}"
    );
    assert_eq!(history.newest().unwrap(), Some(third));

    let named = |name: &str| history.as_written(&AsWritten::Commit(name.into()));
    garage.git(&["tag", "-am", "told", "episode-1", &first.to_string()]);
    assert_eq!(named(&first.short()).unwrap(), first);
    assert_eq!(named("main").unwrap(), third);
    assert_eq!(named("main~1").unwrap(), second);
    assert_eq!(named("episode-1").unwrap(), first);
    assert!(matches!(
        named("nonsense"),
        Err(HistoryError::UnknownCommit { .. })
    ));
    assert!(matches!(
        named("ffffffff"),
        Err(HistoryError::UnknownCommit { .. })
    ));
    assert!(matches!(
        named("main:a.md"),
        Err(HistoryError::UnknownCommit { .. })
    ));
}

#[test]
fn an_empty_history_says_so() {
    let garage = Garage::new();
    let history = garage.history();
    assert!(matches!(
        history.as_written(&AsWritten::Day(date(2026, 1, 1))),
        Err(HistoryError::Empty)
    ));
    assert_eq!(
        history.past(None, PastScope::All(&|_| true), None).unwrap(),
        []
    );
    assert_eq!(history.newest().unwrap(), None);
}

#[test]
fn texts_are_read_as_they_were() {
    let garage = Garage::bare_floor();
    garage.git(&["init", "-q"]);
    garage.write("outside.md", "not ours\n");
    garage.git(&["add", "."]);
    garage.git(&["commit", "-qm", "Begin"]);
    let history = {
        fs::create_dir(garage.root.join("journal")).unwrap();
        garage.history_in("journal")
    };
    garage.write("journal/entries/a.md", "one\n");
    garage.write("journal/b.md", "two\n");
    let old = keep(&history, &["entries/a.md", "b.md"])
        .unwrap()
        .commit
        .unwrap();
    garage.write("journal/entries/a.md", "changed\n");
    let new = keep(&history, &["entries/a.md"]).unwrap().commit.unwrap();
    let texts = |commit| {
        history
            .snapshot(commit, &|path| path.ends_with(".md"))
            .unwrap()
    };
    assert_eq!(
        texts(old),
        [
            ("b.md".into(), b"two\n".to_vec()),
            ("entries/a.md".into(), b"one\n".to_vec())
        ]
    );
    assert_eq!(texts(new)[1].1, b"changed\n");
    assert_eq!(
        history.snapshot(new, &|path| path == "b.md").unwrap().len(),
        1
    );
    assert_eq!(
        history.text_at(old, "entries/a.md").unwrap().unwrap(),
        b"one\n"
    );
    assert_eq!(history.text_at(old, "entries").unwrap(), None);
    assert_eq!(history.text_at(old, "outside.md").unwrap(), None);
    let told = told(&history.past(None, PastScope::All(&|_| true), None).unwrap());
    assert_eq!(
        told,
        [
            "entries/a.md changed: one > changed",
            "b.md written: - > two",
            "entries/a.md written: - > one"
        ]
    );
}

#[test]
fn the_past_of_everything_is_newest_first_with_both_texts() {
    let garage = Garage::new();
    garage.keep("a.md", "1\n");
    garage.keep("b/c.md", "2\n");
    garage.keep("a.md", "3\n");
    keep_at(&garage, "a.md", None, "2026-03-15T21:30:00Z", 1);
    let history = garage.history();
    let changes = history.past(None, PastScope::All(&|_| true), None).unwrap();
    assert_eq!(
        told(&changes),
        [
            "a.md removed: 3 > -",
            "a.md changed: 1 > 3",
            "b/c.md written: - > 2",
            "a.md written: - > 1"
        ]
    );
    assert_eq!(changes[0].author, "Robin Fettle");
    assert_eq!(
        changes[0].date.to_string(),
        "2026-03-15T22:30:00+01:00[+01:00]"
    );
    assert_eq!(
        changes[0].commit.to_string(),
        garage.git(&["rev-parse", "HEAD"]).trim()
    );
    assert_eq!(
        history
            .past(None, PastScope::All(&|_| true), Some(2))
            .unwrap(),
        changes[..2]
    );
    assert_eq!(
        told(
            &history
                .past(None, PastScope::All(&|path| path.starts_with("b/")), None)
                .unwrap()
        ),
        ["b/c.md written: - > 2"]
    );
    assert_eq!(
        told(
            &history
                .past(None, PastScope::Files(&["b/c.md".into()]), None)
                .unwrap()
        ),
        ["b/c.md written: - > 2"]
    );
}

#[test]
fn a_file_is_followed_through_its_renames_as_git_does() {
    let garage = Garage::new();
    let body = "line one\nline two\nline three\nline four\n";
    garage.keep("entries/tank.md", body);
    garage.keep("entries/tank.md", &format!("{body}line five\n"));
    garage.keep("entries/decoy.md", "nothing alike\n");
    // Renamed and edited at once, while another file goes as well.
    fs::remove_file(garage.root.join("entries/tank.md")).unwrap();
    fs::remove_file(garage.root.join("entries/decoy.md")).unwrap();
    garage.write("fuel/tank.md", format!("{body}line 5\n"));
    keep(
        &garage.history(),
        &["entries/tank.md", "entries/decoy.md", "fuel/tank.md"],
    )
    .unwrap();
    garage.keep("fuel/tank.md", "short\n");

    let history = garage.history();
    let changes = history
        .past(None, PastScope::Files(&["fuel/tank.md".into()]), None)
        .unwrap();
    let kinds: Vec<_> = changes
        .iter()
        .map(|change| (change.path.as_str(), change.kind.clone()))
        .collect();
    assert_eq!(
        kinds,
        [
            ("fuel/tank.md", ChangeKind::Changed),
            (
                "fuel/tank.md",
                ChangeKind::Renamed {
                    from: "entries/tank.md".into()
                }
            ),
            ("entries/tank.md", ChangeKind::Changed),
            ("entries/tank.md", ChangeKind::Written),
        ]
    );
    assert_eq!(
        changes[1].before.as_deref(),
        Some(format!("{body}line five\n").as_bytes())
    );
    let ours: Vec<String> = changes
        .iter()
        .map(|change| change.commit.to_string())
        .collect();
    let gits = garage.git(&["log", "--follow", "--format=%H", "--", "fuel/tank.md"]);
    assert_eq!(ours, gits.lines().collect::<Vec<_>>());

    let everything = told(&history.past(None, PastScope::All(&|_| true), None).unwrap());
    assert_eq!(everything[1], "entries/decoy.md removed: nothing alike > -");
    assert!(
        everything[2].starts_with("fuel/tank.md renamed from entries/tank.md"),
        "{everything:?}"
    );
    assert_eq!(everything.len(), 6, "{everything:?}");

    let recorded = history
        .recorded(
            None,
            &["fuel/tank.md".into(), "never.md".into()],
            &mut CommitNotes::default(),
        )
        .unwrap();
    assert_eq!(recorded.len(), 1);
    let recorded: Vec<String> = recorded["fuel/tank.md"]
        .iter()
        .map(|one| one.commit.to_string())
        .collect();
    assert_eq!(
        recorded,
        ours.into_iter().rev().collect::<Vec<_>>(),
        "oldest first"
    );
}

#[test]
fn a_removed_file_is_told_of_when_asked_for_by_name() {
    let garage = Garage::new();
    garage.keep("a.md", "same\n");
    fs::rename(garage.root.join("a.md"), garage.root.join("b.md")).unwrap();
    keep(&garage.history(), &["a.md", "b.md"]).unwrap();
    let history = garage.history();
    assert_eq!(
        told(
            &history
                .past(None, PastScope::Files(&["a.md".into()]), None)
                .unwrap()
        ),
        ["a.md removed: same > -", "a.md written: - > same"]
    );
    assert_eq!(
        history
            .recorded(None, &["a.md".into()], &mut CommitNotes::default())
            .unwrap()["a.md"]
            .last()
            .unwrap()
            .after,
        None
    );
    // Two names asked for that were one file: each has its whole past.
    let both = history
        .recorded(
            None,
            &["a.md".into(), "b.md".into()],
            &mut CommitNotes::default(),
        )
        .unwrap();
    assert_eq!(both["b.md"].len(), 2);
    assert_eq!(both["a.md"].len(), 2);
}

#[test]
fn an_older_file_of_the_same_name_is_another_file() {
    let garage = Garage::new();
    garage.keep("b.md", "some other text\n");
    keep_at(&garage, "b.md", None, "2026-03-15T21:30:00Z", 1);
    garage.keep("a.md", "same\n");
    fs::rename(garage.root.join("a.md"), garage.root.join("b.md")).unwrap();
    keep(&garage.history(), &["a.md", "b.md"]).unwrap();
    let changes = garage
        .history()
        .past(None, PastScope::Files(&["b.md".into()]), None)
        .unwrap();
    let ours: Vec<String> = changes
        .iter()
        .map(|change| change.commit.to_string())
        .collect();
    let gits = garage.git(&["log", "--follow", "--format=%H", "--", "b.md"]);
    assert_eq!(ours, gits.lines().collect::<Vec<_>>());
    assert_eq!(ours.len(), 2);
}

#[test]
fn a_merge_counts_as_the_commit_that_brought_its_texts() {
    let garage = Garage::new();
    garage.keep("a.md", "one\n");
    garage.git(&["switch", "-qc", "side"]);
    garage.keep("side.md", "1\n");
    garage.keep("side.md", "2\n");
    garage.git(&["switch", "-q", "main"]);
    garage.keep("b.md", "two\n");
    garage.git(&["merge", "-q", "--no-edit", "side"]);
    let history = garage.history();
    let changes = history
        .past(None, PastScope::Files(&["side.md".into()]), None)
        .unwrap();
    assert_eq!(told(&changes), ["side.md written: - > 2"]);
    assert_eq!(
        changes[0].commit.to_string(),
        garage.git(&["rev-parse", "HEAD"]).trim()
    );
    let gits = garage.git(&[
        "log",
        "--first-parent",
        "-m",
        "--format=%H",
        "--",
        "side.md",
    ]);
    assert_eq!(gits.lines().count(), 1);
}

#[test]
fn a_shallow_clone_ends_where_it_was_cut() {
    let garage = Garage::new();
    garage.keep("a.md", "1\n");
    garage.keep("a.md", "2\n");
    garage.keep("a.md", "3\n");
    let clone = Garage::bare_floor();
    let from = format!("file://{}", garage.root.display());
    clone.git(&["clone", "-q", "--depth", "2", &from, "."]);
    let changes = clone
        .history()
        .past(None, PastScope::All(&|_| true), None)
        .unwrap();
    assert_eq!(
        told(&changes),
        ["a.md changed: 2 > 3", "a.md written: - > 2"]
    );
    clone.keep("a.md", "4\n");
    clone.assert_clean();
}

/// A journal whose texts are written, edited, renamed and taken away at random, each
/// with lines that no other has.
fn lived_in(seed: u64, commits: usize) -> (Garage, Vec<String>) {
    let garage = Garage::new();
    let mut state = seed;
    let mut next = move |below: usize| {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1);
        (state >> 33) as usize % below
    };
    let mut texts: Vec<String> = Vec::new();
    let mut ever: Vec<String> = Vec::new();
    for number in 0..commits {
        let path = format!("{}/{number}.md", ["a", "b", "c"][next(3)]);
        let changed = match (next(6), texts.len()) {
            (0 | 1, 1..) => {
                let at = &texts[next(texts.len())];
                let text = garage.read(at) + &format!("line {number}\n");
                garage.write(at, text);
                vec![at.clone()]
            }
            (2, 1..) => {
                let gone = texts.swap_remove(next(texts.len()));
                fs::remove_file(garage.root.join(&gone)).unwrap();
                vec![gone]
            }
            (3, 1..) => {
                let from = texts.swap_remove(next(texts.len()));
                garage.write(&path, garage.read(&from) + &format!("line {number}\n"));
                fs::remove_file(garage.root.join(&from)).unwrap();
                texts.push(path.clone());
                vec![from, path]
            }
            _ => {
                let lines = (0..9).map(|line| format!("{number} has line {line}\n"));
                garage.write(&path, lines.collect::<String>());
                texts.push(path.clone());
                vec![path]
            }
        };
        let changed: Vec<&str> = changed.iter().map(String::as_str).collect();
        keep(&garage.history(), &changed).unwrap();
        ever.extend(changed.into_iter().map(str::to_owned));
    }
    ever.sort();
    ever.dedup();
    (garage, ever)
}

fn recorded(garage: &Garage, paths: &[String]) -> Vec<(String, Vec<TextVersion>)> {
    let history = garage.history();
    let mut notes = history.commit_notes();
    let answer = history.recorded(None, paths, &mut notes).unwrap();
    history.keep_notes(&notes);
    answer.into_iter().collect()
}

#[test]
fn noted_commits_answer_as_those_that_are_looked_at() {
    for seed in 1..4 {
        let (garage, ever) = lived_in(seed, 40);
        let history = garage.history();
        let noted = recorded(&garage, &ever);
        assert!(garage.root.join(".matchmark/commits").is_file());
        assert_eq!(recorded(&garage, &ever), noted, "from the notes");
        for (path, list) in &noted {
            let told = history
                .past(None, PastScope::Files(std::slice::from_ref(path)), None)
                .unwrap();
            let told: Vec<_> = told
                .iter()
                .rev()
                .map(|change| (change.commit, change.after.clone()))
                .collect();
            let noted: Vec<_> = list
                .iter()
                .map(|one| {
                    (
                        one.commit,
                        one.after.map(|text| history.text(text).unwrap()),
                    )
                })
                .collect();
            assert_eq!(noted, told, "{path}, seed {seed}");
        }
        // One commit more is added to the notes, and a history that is another one is not
        // mixed up with them.
        garage.keep("a/last.md", "last\n");
        let grown = recorded(&garage, &["a/last.md".into()]);
        assert_eq!(grown[0].1.len(), 1);
        garage.git(&["reset", "-q", "--hard", "HEAD~9"]);
        let cut = recorded(&garage, &ever);
        fs::remove_file(garage.root.join(".matchmark/commits")).unwrap();
        assert_eq!(recorded(&garage, &ever), cut, "seed {seed}");
        assert_ne!(cut, noted);
    }
}

#[test]
fn damaged_notes_are_made_anew() {
    let (garage, ever) = lived_in(9, 12);
    let sound = recorded(&garage, &ever);
    let file = garage.root.join(".matchmark/commits");
    let bytes = fs::read(&file).unwrap();
    for at in (0..bytes.len()).step_by(37) {
        let mut damaged = bytes.clone();
        damaged[at] ^= 1;
        fs::write(&file, &damaged).unwrap();
        assert_eq!(recorded(&garage, &ever), sound, "byte {at}");
        fs::write(&file, &bytes[..at]).unwrap();
        assert_eq!(recorded(&garage, &ever), sound, "cut at {at}");
    }
    fs::remove_file(&file).unwrap();
    fs::create_dir(&file).unwrap();
    assert_eq!(recorded(&garage, &ever), sound, "a folder in its place");
}

#[test]
fn notes_of_a_shallow_clone_do_not_outlive_it() {
    let garage = Garage::new();
    for text in ["one\n", "one\ntwo\n", "one\ntwo\nthree\n"] {
        garage.keep("a.md", text);
    }
    let elsewhere = Garage::bare_floor();
    let origin = format!("file://{}", garage.root.display());
    elsewhere.git(&["clone", "-q", "--depth=1", &origin, "."]);
    let paths = ["a.md".to_owned()];
    assert_eq!(recorded(&elsewhere, &paths)[0].1.len(), 1);
    elsewhere.git(&["fetch", "-q", "--unshallow"]);
    assert_eq!(recorded(&elsewhere, &paths)[0].1.len(), 3);
}
