//! Keep, seen by git.

use super::*;
use crate::history::{HistoryError, Unfinished, Unkeepable};

#[test]
fn the_first_keep_is_a_clean_commit_on_main() {
    let garage = Garage::new();
    let kept = garage.keep("entries/2026-03-14-tank.md", "# The tank\n");
    garage.assert_clean();
    let log = garage.git(&["log", "--format=%H %D%n%an <%ae> %aI%n%cn <%ce> %cI"]);
    assert_eq!(
        log.lines().collect::<Vec<_>>(),
        [
            format!("{} HEAD -> main", kept.commit.unwrap()),
            "Robin Fettle <robin@example.org> 2026-03-14T21:15:00+01:00".into(),
            "Robin Fettle <robin@example.org> 2026-03-15T22:30:00+01:00".into(),
        ]
    );
    // Raw, because `log` would hide a missing final newline.
    let raw = garage.git(&["cat-file", "commit", "HEAD"]);
    assert!(
        raw.ends_with("\n\nKeep entries/2026-03-14-tank.md\n"),
        "{raw:?}"
    );
    assert!(
        garage
            .git(&["reflog", "show", "HEAD"])
            .contains("commit (initial): Keep entries")
    );
    assert!(
        garage
            .git(&["reflog", "show", "main"])
            .contains("commit (initial): Keep entries")
    );
}

#[test]
fn new_edited_and_gone_files_are_kept_together() {
    let garage = Garage::new();
    garage.write("a.md", "one\n");
    garage.write("b/c/d.md", "two\n");
    keep(&garage.history(), &["a.md", "b/c/d.md"]).unwrap();
    garage.write("a.md", "one and more\n");
    garage.write("e.md", "three\n");
    fs::remove_dir_all(garage.root.join("b")).unwrap();
    keep(&garage.history(), &["a.md", "b/c/d.md", "e.md"]).unwrap();
    garage.assert_clean();
    assert_eq!(
        garage.git(&["show", "--format=", "--name-status", "HEAD"]),
        "M\ta.md\nD\tb/c/d.md\nA\te.md\n"
    );
    assert_eq!(
        garage.git(&["ls-tree", "--name-only", "HEAD"]),
        "a.md\ne.md\n"
    );
}

#[test]
fn taking_the_last_file_away_leaves_an_empty_commit_tree() {
    let garage = Garage::new();
    garage.keep("a/b.md", "one\n");
    fs::remove_dir_all(garage.root.join("a")).unwrap();
    assert!(
        keep(&garage.history(), &["a/b.md"])
            .unwrap()
            .commit
            .is_some()
    );
    garage.assert_clean();
    assert_eq!(garage.git(&["ls-tree", "-r", "HEAD"]), "");
}

#[test]
fn nothing_changed_makes_no_commit() {
    let garage = Garage::new();
    garage.keep("a.md", "one\n");
    assert_eq!(garage.keep("a.md", "one\n").commit, None);
    assert_eq!(
        keep(&garage.history(), &["never-there.md"]).unwrap().commit,
        None
    );
    assert_eq!(garage.subjects().len(), 1);
}

#[test]
fn what_the_person_staged_stays_staged() {
    let garage = Garage::new();
    garage.keep("a.md", "one\n");
    garage.write("shopping.txt", "bolts\n");
    garage.write("loose.txt", "not staged\n");
    garage.git(&["add", "shopping.txt"]);
    garage.keep("b.md", "two\n");
    assert_eq!(garage.status(), "A  shopping.txt\n?? loose.txt\n");
    assert_eq!(
        garage.git(&["ls-tree", "--name-only", "HEAD"]),
        "a.md\nb.md\n"
    );
    garage.assert_sound();
}

#[test]
fn a_text_staged_in_an_older_version_is_kept_as_it_is_now() {
    let garage = Garage::new();
    garage.keep("a.md", "one\n");
    garage.write("a.md", "half\n");
    garage.git(&["add", "a.md"]);
    garage.keep("a.md", "whole\n");
    garage.assert_clean();
    assert_eq!(garage.git(&["show", "HEAD:a.md"]), "whole\n");
}

#[test]
fn a_journal_in_a_subfolder_commits_only_itself() {
    let garage = Garage::bare_floor();
    garage.git(&["init", "-q"]);
    garage.write("readme.txt", "everything I own\n");
    garage.git(&["add", "."]);
    garage.git(&["commit", "-qm", "Begin"]);
    garage.write("readme.txt", "changed by hand\n");
    garage.write("cars/wren/entries/a.md", "one\n");
    let history = garage.history_in("cars/wren");
    let changed = history.changed(&|_| true).unwrap().changed;
    assert_eq!(
        changed
            .iter()
            .map(|changed| changed.path.as_str())
            .collect::<Vec<_>>(),
        ["entries/a.md"]
    );
    keep(&history, &["entries/a.md"]).unwrap();
    assert_eq!(garage.status(), " M readme.txt\n");
    assert_eq!(
        garage.git(&["show", "HEAD:cars/wren/entries/a.md"]),
        "one\n"
    );
    garage.assert_sound();
}

#[test]
fn the_persons_next_commit_does_not_undo_a_keep() {
    let garage = Garage::new();
    garage.keep("entries/a.md", "one\n");
    // Now git writes its cache of folder names into the index.
    garage.write("entries/b.md", "by hand\n");
    garage.git(&["add", "."]);
    garage.git(&["commit", "-qm", "By hand"]);
    garage.keep("entries/a.md", "two\n");
    garage.write("other/c.txt", "by hand\n");
    garage.git(&["add", "other/c.txt"]);
    garage.git(&["commit", "-qm", "By hand again"]);
    assert_eq!(garage.git(&["show", "HEAD:entries/a.md"]), "two\n");
    garage.assert_clean();
}

#[test]
fn line_ends_are_stored_as_git_would() {
    let garage = Garage::new();
    garage.git(&["config", "core.autocrlf", "true"]);
    garage.keep("a.md", "one\r\ntwo\r\n");
    assert_eq!(garage.git(&["cat-file", "blob", "HEAD:a.md"]), "one\ntwo\n");
    garage.assert_clean();
    assert_eq!(garage.history().changed(&|_| true).unwrap().changed, []);

    let garage = Garage::new();
    garage.keep(".gitattributes", "*.md text eol=crlf\n");
    garage.keep("a.md", "one\r\n");
    assert_eq!(garage.git(&["cat-file", "blob", "HEAD:a.md"]), "one\n");
    garage.assert_clean();
}

#[cfg(unix)]
#[test]
fn the_executable_bit_is_kept_where_it_means_something() {
    use std::os::unix::fs::PermissionsExt;
    let garage = Garage::new();
    garage.keep("a.md", "one\n");
    fs::set_permissions(garage.root.join("a.md"), fs::Permissions::from_mode(0o755)).unwrap();
    assert_eq!(
        garage.history().changed(&|_| true).unwrap().changed.len(),
        1
    );
    keep(&garage.history(), &["a.md"]).unwrap();
    assert!(
        garage
            .git(&["ls-tree", "HEAD", "a.md"])
            .starts_with("100755")
    );
    garage.assert_clean();
    garage.git(&["config", "core.fileMode", "false"]);
    fs::set_permissions(garage.root.join("a.md"), fs::Permissions::from_mode(0o644)).unwrap();
    assert_eq!(garage.history().changed(&|_| true).unwrap().changed, []);
    garage.keep("a.md", "two\n");
    assert!(
        garage
            .git(&["ls-tree", "HEAD", "a.md"])
            .starts_with("100755")
    );
}

#[test]
fn a_file_can_become_a_folder_and_a_folder_a_file() {
    let garage = Garage::new();
    garage.write("tank", "one\n");
    garage.write("axle/left.md", "two\n");
    garage.write("axle.md", "sorts between\n");
    keep(&garage.history(), &["tank", "axle/left.md", "axle.md"]).unwrap();
    fs::remove_file(garage.root.join("tank")).unwrap();
    fs::remove_dir_all(garage.root.join("axle")).unwrap();
    garage.write("tank/inside.md", "three\n");
    garage.write("axle", "four\n");
    keep(
        &garage.history(),
        &["axle", "tank/inside.md", "tank", "axle/left.md"],
    )
    .unwrap();
    garage.assert_clean();
    assert_eq!(
        garage.git(&["ls-tree", "-r", "--name-only", "HEAD"]),
        "axle\naxle.md\ntank/inside.md\n"
    );
}

#[test]
fn what_a_new_file_leaves_no_room_for_goes_without_being_named() {
    let garage = Garage::new();
    garage.write("tank", "one\n");
    garage.write("axle/left.md", "two\n");
    keep(&garage.history(), &["tank", "axle/left.md"]).unwrap();
    fs::remove_file(garage.root.join("tank")).unwrap();
    fs::remove_dir_all(garage.root.join("axle")).unwrap();
    garage.write("tank/inside.md", "three\n");
    garage.write("axle", "four\n");
    keep(&garage.history(), &["tank/inside.md"]).unwrap();
    keep(&garage.history(), &["axle"]).unwrap();
    garage.assert_clean();
}

#[test]
fn letters_of_every_kind_may_be_in_a_path() {
    let garage = Garage::new();
    let path = "entries/Türgriff größer – 扉.md";
    garage.keep(path, "öffnet nicht\n");
    garage.assert_clean();
    assert_eq!(
        garage.git(&[
            "-c",
            "core.quotePath=off",
            "ls-tree",
            "-r",
            "--name-only",
            "HEAD"
        ]),
        format!("{path}\n")
    );
}

#[test]
fn paths_out_of_the_journal_are_refused() {
    let garage = Garage::new();
    let history = garage.history();
    for path in [
        "../a.md",
        "/etc/passwd",
        "a//b.md",
        "",
        ".git/config",
        "a/.GIT/config",
        "./a.md",
        "a/",
    ] {
        assert!(
            matches!(keep(&history, &[path]), Err(HistoryError::BadPath { .. })),
            "{path}"
        );
    }
}

#[test]
fn a_merge_in_progress_is_refused() {
    let garage = Garage::new();
    garage.keep("a.md", "one\n");
    garage.git(&["switch", "-qc", "side"]);
    garage.keep("a.md", "side\n");
    garage.git(&["switch", "-q", "main"]);
    garage.keep("a.md", "main\n");
    assert!(!garage.try_git(&["merge", "side"]).status.success());
    let history = garage.history();
    assert_eq!(history.unfinished(), Some(Unfinished::Merge));
    let before = garage.git(&["rev-parse", "HEAD"]);
    let error = keep(&history, &["a.md"]).unwrap_err();
    assert!(matches!(error, HistoryError::Unfinished(Unfinished::Merge)));
    assert!(error.hint().unwrap().contains("git merge --continue"));
    // Without the note of the merge, its conflicts in the index still refuse.
    fs::remove_file(garage.root.join(".git/MERGE_HEAD")).unwrap();
    assert!(
        matches!(keep(&history, &["a.md"]), Err(HistoryError::Conflicts { paths }) if paths == ["a.md"])
    );
    assert_eq!(garage.git(&["rev-parse", "HEAD"]), before);
}

#[test]
fn a_rebase_and_a_bisect_in_progress_are_seen() {
    let garage = Garage::new();
    garage.keep("a.md", "one\n");
    garage.keep("a.md", "two\n");
    garage.git(&["bisect", "start"]);
    assert_eq!(garage.history().unfinished(), Some(Unfinished::Bisect));
    garage.git(&["bisect", "reset"]);
    assert!(
        !garage
            .try_git(&["rebase", "--exec", "false", "HEAD~1"])
            .status
            .success()
    );
    assert_eq!(garage.history().unfinished(), Some(Unfinished::Rebase));
}

#[test]
fn a_detached_head_is_refused() {
    let garage = Garage::new();
    garage.keep("a.md", "one\n");
    garage.git(&["checkout", "-q", "--detach"]);
    garage.write("a.md", "two\n");
    assert!(matches!(
        keep(&garage.history(), &["a.md"]),
        Err(HistoryError::Detached)
    ));
    assert_eq!(garage.status(), " M a.md\n");
}

#[test]
fn a_commit_needs_a_name_and_a_message() {
    let garage = Garage::new();
    assert_eq!(garage.history().author(), None);
    garage.git(&["config", "user.name", "Kim"]);
    garage.git(&["config", "user.email", "kim@example.org"]);
    assert_eq!(
        garage.history().author(),
        Some(Who {
            name: "Kim".into(),
            email: "kim@example.org".into()
        })
    );
    garage.write("a.md", "one\n");
    for name in ["", "  ", "A <b>", "two\nlines", "..."] {
        let request = KeepRequest {
            who: Who {
                name: name.into(),
                ..who()
            },
            ..request(&["a.md"])
        };
        assert!(
            matches!(
                garage.history().keep(&request),
                Err(HistoryError::BadName { .. })
            ),
            "{name}"
        );
    }
    let request = KeepRequest {
        message: " \n".into(),
        ..request(&["a.md"])
    };
    assert!(matches!(
        garage.history().keep(&request),
        Err(HistoryError::EmptyMessage)
    ));
    assert_eq!(garage.status(), "?? a.md\n");
}

#[test]
fn times_before_1970_and_odd_offsets_do_not_trouble_git() {
    let garage = Garage::new();
    garage.write("a.md", "one\n");
    let odd = tz::TimeZone::fixed(tz::Offset::from_seconds(4 * 3600 + 772).unwrap());
    let commit_time = "2026-03-14T20:15:00Z"
        .parse::<Timestamp>()
        .unwrap()
        .to_zoned_datetime(odd);
    let request = KeepRequest {
        author_time: time("1957-06-01T10:00:00Z", 2),
        commit_time,
        ..request(&["a.md"])
    };
    garage.history().keep(&request).unwrap();
    garage.assert_clean();
    assert_eq!(
        garage.git(&["log", "--format=%ad %cd", "--date=raw"]),
        "0 +0000 1773519300 +0412\n"
    );
}

#[test]
fn wanting_signatures_is_reported() {
    let garage = Garage::new();
    assert!(!garage.keep("a.md", "one\n").unsigned);
    garage.git(&["config", "commit.gpgSign", "true"]);
    assert!(garage.keep("a.md", "two\n").unsigned);
}

#[cfg(unix)]
#[test]
fn what_is_no_plain_file_is_never_taken_for_gone() {
    use std::os::unix::fs::symlink;
    let garage = Garage::new();
    garage.write("entries/a.md", "one\n");
    garage.write("entries/b.md", "two\n");
    garage.write("notes/c.md", "three\n");
    keep(
        &garage.history(),
        &["entries/a.md", "entries/b.md", "notes/c.md"],
    )
    .unwrap();
    fs::rename(
        garage.root.join("entries/a.md"),
        garage.root.join("elsewhere.md"),
    )
    .unwrap();
    symlink("../elsewhere.md", garage.root.join("entries/a.md")).unwrap();
    fs::rename(garage.root.join("notes"), garage.root.join("moved")).unwrap();
    symlink("moved", garage.root.join("notes")).unwrap();

    let history = garage.history();
    let changes = history
        .changed(&|path| path != "elsewhere.md" && !path.starts_with("moved/"))
        .unwrap();
    assert_eq!(changes.changed, []);
    let left_out: Vec<_> = changes
        .left_out
        .into_iter()
        .map(|left| (left.path, left.why))
        .collect();
    assert!(
        left_out.contains(&("entries/a.md".into(), Unkeepable::Link)),
        "{left_out:?}"
    );
    assert!(
        left_out.contains(&("notes/c.md".into(), Unkeepable::BehindLink)),
        "{left_out:?}"
    );
    for path in ["entries/a.md", "notes/c.md"] {
        assert!(
            matches!(
                keep(&history, &[path]),
                Err(HistoryError::CannotKeep { .. })
            ),
            "{path}"
        );
    }
    assert_eq!(
        garage.git(&["ls-tree", "-r", "--name-only", "HEAD"]),
        "entries/a.md\nentries/b.md\nnotes/c.md\n"
    );
}

#[test]
fn many_new_files_at_once_go_into_one_sound_pack() {
    let garage = Garage::new();
    let paths: Vec<String> = (0..250)
        .map(|number| format!("entries/{:02}/{number}.md", number % 7))
        .collect();
    for path in &paths {
        garage.write(path, format!("entry {path}\n"));
    }
    keep(
        &garage.history(),
        &paths.iter().map(String::as_str).collect::<Vec<_>>(),
    )
    .unwrap();
    garage.assert_clean();
    assert!(garage.git(&["count-objects", "-v"]).contains("packs: 1\n"));
}
