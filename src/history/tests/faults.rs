//! Locks left behind, many at once, and death at any moment.

use std::{
    process::Stdio,
    thread,
    time::{Duration, SystemTime},
};

use super::*;
use crate::history::{HistoryError, index_file::Staged, trees::Leaf, work_tree::WorkTreeReader};
use gix::objs::tree::EntryKind;

/// An hour after that file was written.
fn an_hour_after(path: &Path) -> SystemTime {
    fs::metadata(path).unwrap().modified().unwrap() + Duration::from_secs(3600)
}

#[test]
fn a_stale_index_lock_is_explained_and_cleared() {
    let garage = Garage::new();
    garage.keep("a.md", "one\n");
    let lock = garage.root.join(".git/index.lock");
    garage.write(".git/index.lock", "");
    garage.write(".git/refs/heads/main.lock", "");
    garage.write(".git/objects/.tmpAb3dE", "");
    garage.write("a.md", "two\n");
    let history = garage.history();
    let error = keep(&history, &["a.md"]).unwrap_err();
    assert!(
        matches!(&error, HistoryError::Locked { path } if *path == lock),
        "{error}"
    );

    let written = fs::metadata(&lock).unwrap().modified().unwrap();
    assert_eq!(
        history.stale_locks(written + Duration::from_secs(5)),
        [],
        "somebody may be at work"
    );
    let stale = history.stale_locks(an_hour_after(&lock));
    assert_eq!(stale.len(), 3, "{stale:?}");
    assert_eq!(history.is_sound(an_hour_after(&lock)).len(), 3);
    assert_eq!(history.clear_stale(&stale).unwrap().len(), 3);
    assert_eq!(
        history.is_sound(an_hour_after(&garage.root.join("a.md"))),
        Vec::<String>::new()
    );
    keep(&history, &["a.md"]).unwrap();
    garage.assert_clean();
}

#[test]
fn a_lock_taken_anew_is_not_cleared() {
    let garage = Garage::new();
    garage.write(".git/index.lock", "");
    let lock = garage.root.join(".git/index.lock");
    let stale = garage.history().stale_locks(an_hour_after(&lock));
    let file = fs::File::options().write(true).open(&lock).unwrap();
    file.set_modified(an_hour_after(&lock)).unwrap();
    assert_eq!(
        garage.history().clear_stale(&stale).unwrap(),
        Vec::<PathBuf>::new()
    );
    assert!(lock.exists());
}

#[test]
fn what_is_missing_or_unreadable_is_reported() {
    let garage = Garage::new();
    garage.keep("a.md", "one\n");
    let now = an_hour_after(&garage.root.join("a.md"));
    let blob = garage.git(&["rev-parse", "HEAD:a.md"]);
    let (fan, rest) = blob.trim().split_at(2);
    fs::remove_file(garage.root.join(".git/objects").join(fan).join(rest)).unwrap();
    assert!(garage.history().is_sound(now)[0].contains("a.md"));
    fs::write(garage.root.join(".git/index"), "rubbish").unwrap();
    assert_eq!(garage.history().is_sound(now).len(), 2);
}

/// Eight hands that keep, and the person with git. What is committed by hand, and how, is up to `by_hand`.
fn many_at_once(by_hand: impl Fn(&str) -> Vec<String> + Sync) -> Garage {
    let garage = Garage::new();
    garage.keep("a.md", "one\n");
    thread::scope(|scope| {
        for hand in 0..HANDS {
            let garage = &garage;
            scope.spawn(move || {
                for round in 0..ROUNDS {
                    let path = format!("entries/{hand}-{round}.md");
                    garage.write(&path, format!("{path}\n"));
                    keep(&garage.history(), &[&path]).unwrap();
                }
            });
        }
        scope.spawn(|| {
            for round in 0..ROUNDS {
                let path = format!("by-hand-{round}.txt");
                garage.write(&path, "by hand\n");
                // git does not wait for locks: it is the person who tries again.
                let tries = |arguments: &[&str]| {
                    (0..2000).any(|_| {
                        thread::sleep(Duration::from_millis(5));
                        garage.try_git(arguments).status.success()
                    })
                };
                let commit = by_hand(&path);
                let commit: Vec<&str> = commit.iter().map(String::as_str).collect();
                assert!(tries(&["add", &path]) && tries(&commit));
            }
        });
    });
    garage.assert_sound();
    garage
}

const HANDS: usize = 8;
const ROUNDS: usize = 4;

#[test]
fn many_keep_while_git_commits_and_all_of_it_lands() {
    let garage = many_at_once(|path| {
        ["commit", "-qm", path, "--", path]
            .map(str::to_owned)
            .into()
    });
    garage.assert_clean();
    let files = garage.git(&["ls-tree", "-r", "--name-only", "HEAD"]);
    assert_eq!(files.lines().count(), 1 + HANDS * ROUNDS + ROUNDS);
    assert_eq!(garage.subjects().len(), 1 + HANDS * ROUNDS + ROUNDS);
}

/// A `git commit` without paths reads the index before it locks it. It can so commit an
/// index that is older than a keep, and nobody can stop it; but what was kept stays
/// in the history and in the folder, and shows as new.
#[test]
fn a_hasty_commit_by_hand_takes_nothing_out_of_the_history() {
    let garage = many_at_once(|path| ["commit", "-qm", path].map(str::to_owned).into());
    let ever: std::collections::BTreeSet<String> = garage
        .git(&[
            "log",
            "--first-parent",
            "--diff-filter=A",
            "--name-only",
            "--format=",
        ])
        .lines()
        .map(str::to_owned)
        .collect();
    assert_eq!(ever.len(), 1 + HANDS * ROUNDS + ROUNDS);
    let history = garage.history();
    for changed in history.changed(&|_| true).unwrap().changed {
        keep(&history, &[&changed.path]).unwrap();
    }
    let files = garage.git(&["ls-tree", "-r", "--name-only", "HEAD"]);
    assert_eq!(files.lines().count(), 1 + HANDS * ROUNDS + ROUNDS);
}

#[test]
fn a_kept_text_that_git_is_about_to_take_out_is_reported() {
    let garage = Garage::new();
    garage.keep("a.md", "one\n");
    garage.git(&["rm", "-q", "--cached", "a.md"]);
    let wrong = garage
        .history()
        .is_sound(an_hour_after(&garage.root.join("a.md")));
    assert!(
        wrong.len() == 1 && wrong[0].contains("git add a.md"),
        "{wrong:?}"
    );
}

#[test]
fn a_branch_moved_behind_our_back_is_built_upon() {
    let garage = Garage::new();
    garage.keep("a.md", "one\n");
    let history = garage.history();
    let tip = history.tip().unwrap();
    garage.keep("b.md", "two\n");
    let commit = tip.commit.unwrap();
    assert!(
        history
            .prepare_move(&tip, commit, "late")
            .unwrap()
            .is_none(),
        "an old tip must not move the branch"
    );
    let tip = history.tip().unwrap();
    garage.git(&["branch", "side"]);
    garage.git(&["symbolic-ref", "HEAD", "refs/heads/side"]);
    assert!(
        history
            .prepare_move(&tip, commit, "late")
            .unwrap()
            .is_none(),
        "nor may another branch be moved"
    );
}

#[test]
fn death_between_index_and_branch_loses_nothing() {
    let garage = Garage::new();
    garage.keep("a.md", "one\n");
    garage.write("a.md", "two\n");
    let history = garage.history();
    let path = gix::bstr::BString::from("a.md");
    let mut index = history.hold_index(None).unwrap();
    let mut reader = WorkTreeReader::new(&history, &index.file).unwrap();
    let stored = reader.read(path.as_ref(), &index.file).unwrap().unwrap();
    history.repo.write_blob(&stored.bytes).unwrap();
    let leaf = Leaf {
        kind: EntryKind::Blob,
        id: stored.id,
    };
    let file = Some((leaf, stored.stat));
    index.fill(&[Staged { path, file }], &mut reader).unwrap();
    index.replace().unwrap();
    // Here the power fails.
    assert_eq!(garage.status(), "M  a.md\n");
    assert!(keep(&garage.history(), &["a.md"]).unwrap().commit.is_some());
    garage.assert_clean();
}

/// The index is written before the branch moves, never after: the other way round, the
/// person's next commit would take the new text out again.
#[test]
fn when_the_branch_cannot_move_the_text_is_already_staged() {
    let garage = Garage::new();
    garage.keep("a.md", "one\n");
    garage.write("b.md", "two\n");
    // A folder where the log of HEAD should be: the very last step fails.
    let log = garage.root.join(".git/logs/HEAD");
    fs::remove_file(&log).unwrap();
    garage.write(".git/logs/HEAD/in-the-way", "");
    assert!(keep(&garage.history(), &["b.md"]).is_err());
    assert_eq!(garage.status(), "A  b.md\n");
    assert_eq!(garage.subjects().len(), 1);
    fs::remove_dir_all(&log).unwrap();
    keep(&garage.history(), &["b.md"]).unwrap();
    garage.assert_clean();
    assert_eq!(
        garage
            .history()
            .is_sound(an_hour_after(&garage.root.join("b.md"))),
        Vec::<String>::new()
    );
}

/// The second passes between reading a file and writing the index, and in between the file is
/// edited without changing its size.
#[test]
fn an_edit_while_the_index_is_written_is_seen() {
    let garage = Garage::new();
    garage.git(&["config", "core.trustCtime", "false"]);
    garage.git(&["config", "core.checkStat", "minimal"]);
    let history = garage.history();
    let path = gix::bstr::BString::from("a.md");
    let mut index = history.hold_index(None).unwrap();
    garage.write("a.md", "one\n");
    let mut reader = WorkTreeReader::new(&history, &index.file).unwrap();
    let stored = reader.read(path.as_ref(), &index.file).unwrap().unwrap();
    history.repo.write_blob(&stored.bytes).unwrap();
    let before = fs::metadata(garage.root.join("a.md"))
        .unwrap()
        .modified()
        .unwrap();
    garage.write("a.md", "two\n");
    // As if it had happened within the same tick of the clock.
    fs::File::options()
        .write(true)
        .open(garage.root.join("a.md"))
        .unwrap()
        .set_modified(before)
        .unwrap();
    thread::sleep(Duration::from_millis(1100));
    let leaf = Leaf {
        kind: EntryKind::Blob,
        id: stored.id,
    };
    let file = Some((leaf, stored.stat));
    index.fill(&[Staged { path, file }], &mut reader).unwrap();
    index.replace().unwrap();
    assert_eq!(garage.status(), "AM a.md\n");
}

/// Only does something when [`killed_at_any_moment_the_repository_is_sound`] starts it.
#[test]
fn victim() {
    let Ok(mark) = Path::new("victim-here").canonicalize() else {
        return;
    };
    let root = mark.parent().unwrap();
    let history = History::open_with(root, isolated()).unwrap().unwrap();
    for round in 0..1000 {
        let path = root.join("entries/a.md");
        fs::write(&path, format!("{round} {}\n", std::process::id())).unwrap();
        let _ = keep(&history, &["entries/a.md"]);
    }
}

#[test]
fn killed_at_any_moment_the_repository_is_sound() {
    let garage = Garage::new();
    garage.keep("entries/a.md", "one\n");
    garage.write("victim-here", "");
    garage.keep(".gitignore", "victim-here\n");
    let program = std::env::current_exe().unwrap();
    for round in 0..20 {
        let before = garage.read("entries/a.md");
        let mut victim = std::process::Command::new(&program)
            .args(["--exact", "history::tests::faults::victim"])
            .current_dir(&garage.root)
            .stdout(Stdio::null())
            .spawn()
            .unwrap();
        // However slow the machine: it has begun when the text is another one.
        let begun = (0..2000).any(|_| {
            thread::sleep(Duration::from_millis(5));
            garage.read("entries/a.md") != before
        });
        assert!(begun, "the victim never wrote anything");
        thread::sleep(Duration::from_millis(3 * round));
        victim.kill().unwrap();
        victim.wait().unwrap();
        garage.assert_sound();
        let history = garage.history();
        let stale = history.stale_locks(an_hour_after(&garage.root.join("entries/a.md")));
        history.clear_stale(&stale).unwrap();
        let text = garage.read("entries/a.md");
        let _ = keep(&history, &["entries/a.md"]).unwrap();
        garage.assert_clean();
        assert_eq!(garage.git(&["show", "HEAD:entries/a.md"]), text);
    }
    assert!(
        garage.subjects().len() >= 22,
        "every round has kept something"
    );
}
