//! What was, against `git log`, `git show` and `git diff`.

use super::*;
use crate::history::{AsWritten, Change, ChangeKind, CommitId, HistoryError, Of};
use jiff::civil::date;

fn keep_at(garage: &Garage, path: &str, text: Option<&str>, at: &str, hours: i8) -> CommitId {
    match text {
        Some(text) => garage.write(path, text),
        None => fs::remove_file(garage.root.join(path)).unwrap(),
    }
    let request = Keep {
        commit_time: time(at, hours),
        ..request(&[path])
    };
    garage.history().keep(&request).unwrap().commit.unwrap()
}

fn told(changes: &[Change]) -> Vec<String> {
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
    assert_eq!(history.past(None, Of::All(&|_| true), None).unwrap(), []);
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
    let told = told(&history.past(None, Of::All(&|_| true), None).unwrap());
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
    let changes = history.past(None, Of::All(&|_| true), None).unwrap();
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
        history.past(None, Of::All(&|_| true), Some(2)).unwrap(),
        changes[..2]
    );
    assert_eq!(
        told(
            &history
                .past(None, Of::All(&|path| path.starts_with("b/")), None)
                .unwrap()
        ),
        ["b/c.md written: - > 2"]
    );
    assert_eq!(
        told(
            &history
                .past(None, Of::Files(&["b/c.md".into()]), None)
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
        .past(None, Of::Files(&["fuel/tank.md".into()]), None)
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

    let everything = told(&history.past(None, Of::All(&|_| true), None).unwrap());
    assert_eq!(everything[1], "entries/decoy.md removed: nothing alike > -");
    assert!(
        everything[2].starts_with("fuel/tank.md renamed from entries/tank.md"),
        "{everything:?}"
    );
    assert_eq!(everything.len(), 6, "{everything:?}");

    let recorded = history
        .recorded(None, &["fuel/tank.md".into(), "never.md".into()])
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
                .past(None, Of::Files(&["a.md".into()]), None)
                .unwrap()
        ),
        ["a.md removed: same > -", "a.md written: - > same"]
    );
    assert_eq!(
        history.recorded(None, &["a.md".into()]).unwrap()["a.md"]
            .last()
            .unwrap()
            .after,
        None
    );
    // Two names asked for that were one file: each has its whole past.
    let both = history
        .recorded(None, &["a.md".into(), "b.md".into()])
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
        .past(None, Of::Files(&["b.md".into()]), None)
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
        .past(None, Of::Files(&["side.md".into()]), None)
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
        .past(None, Of::All(&|_| true), None)
        .unwrap();
    assert_eq!(
        told(&changes),
        ["a.md changed: 2 > 3", "a.md written: - > 2"]
    );
    clone.keep("a.md", "4\n");
    clone.assert_clean();
}
