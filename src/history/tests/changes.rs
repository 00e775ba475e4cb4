//! What `changed` sees, against `git status`.

use super::*;
use crate::history::{ChangedFile, ChangedKind};

fn changed(garage: &Garage) -> Vec<(String, ChangedKind)> {
    let changes = garage.history().changed(&|_| true).unwrap();
    assert_eq!(changes.left_out, []);
    changes
        .changed
        .into_iter()
        .map(|changed| (changed.path, changed.kind))
        .collect()
}

#[test]
fn new_edited_and_gone_are_told_apart_with_the_text_before() {
    let garage = Garage::new();
    for path in ["a.md", "b.md", "c.md"] {
        garage.keep(path, &format!("{path}\n"));
    }
    garage.write("a.md", "longer than it was\n");
    fs::remove_file(garage.root.join("b.md")).unwrap();
    garage.write("d/e.md", "new\n");
    let expected = [
        ChangedFile {
            path: "a.md".into(),
            kind: ChangedKind::Edited,
            before: Some(b"a.md\n".to_vec()),
        },
        ChangedFile {
            path: "b.md".into(),
            kind: ChangedKind::Gone,
            before: Some(b"b.md\n".to_vec()),
        },
        ChangedFile {
            path: "d/e.md".into(),
            kind: ChangedKind::New,
            before: None,
        },
    ];
    assert_eq!(
        garage.history().changed(&|_| true).unwrap().changed,
        expected
    );
    assert_eq!(
        garage
            .history()
            .changed(&|path| path.starts_with("d/"))
            .unwrap()
            .changed,
        expected[2..]
    );
}

#[test]
fn staged_is_not_yet_kept() {
    let garage = Garage::new();
    garage.keep("a.md", "one\n");
    garage.write("a.md", "two\n");
    garage.write("b.md", "new\n");
    garage.git(&["add", "."]);
    assert_eq!(
        changed(&garage),
        [
            ("a.md".into(), ChangedKind::Edited),
            ("b.md".into(), ChangedKind::New)
        ]
    );
    // Staged and then thrown away again: neither HEAD nor the folder has it.
    fs::remove_file(garage.root.join("b.md")).unwrap();
    assert_eq!(changed(&garage), [("a.md".into(), ChangedKind::Edited)]);
}

#[test]
fn ignored_files_and_repositories_inside_are_left_alone() {
    let garage = Garage::new();
    garage.write(".gitignore", "*.tmp\n/photos/\n");
    garage.write("a.tmp", "x\n");
    garage.write("photos/a.md", "x\n");
    garage.write("entries/.gitignore", "draft-*\n");
    garage.write("entries/draft-1.md", "x\n");
    garage.write("entries/a.md", "x\n");
    garage.write("inner/a.md", "x\n");
    assert!(
        git_in(&garage.root.join("inner"), &["init", "-q"])
            .status
            .success()
    );
    let paths: Vec<_> = changed(&garage).into_iter().map(|(path, _)| path).collect();
    assert_eq!(paths, [".gitignore", "entries/.gitignore", "entries/a.md"]);
    // A file once kept is watched even if it would be ignored now.
    garage.git(&["add", "-f", "a.tmp"]);
    garage.git(&["commit", "-qm", "By hand"]);
    garage.write("a.tmp", "longer\n");
    assert!(changed(&garage).contains(&("a.tmp".into(), ChangedKind::Edited)));
    // Taken out of the index and ignored: out of sight.
    garage.git(&["rm", "-q", "--cached", "a.tmp"]);
    assert!(!changed(&garage).iter().any(|(path, _)| path == "a.tmp"));
}

#[test]
fn a_folder_in_place_of_a_file_is_a_file_gone() {
    let garage = Garage::new();
    garage.keep("a", "one\n");
    garage.keep("b/c", "two\n");
    fs::remove_file(garage.root.join("a")).unwrap();
    fs::remove_dir_all(garage.root.join("b")).unwrap();
    garage.write("a/x", "three\n");
    garage.write("b", "four\n");
    let expected = [
        ("a".into(), ChangedKind::Gone),
        ("a/x".into(), ChangedKind::New),
        ("b".into(), ChangedKind::New),
        ("b/c".into(), ChangedKind::Gone),
    ];
    assert_eq!(changed(&garage), expected);
}

#[test]
fn files_not_checked_out_on_purpose_are_not_gone() {
    let garage = Garage::new();
    garage.keep("a.md", "one\n");
    garage.keep("b.md", "two\n");
    garage.git(&["update-index", "--skip-worktree", "b.md"]);
    fs::remove_file(garage.root.join("b.md")).unwrap();
    assert_eq!(changed(&garage), []);
    assert_eq!(keep(&garage.history(), &["b.md"]).unwrap().commit, None);
}

/// An edit within the same second and of the same size shows neither in the size nor, to git, in
/// the time. Many times over, so that the clock passes a second within a keep.
#[test]
fn an_edit_in_the_same_second_and_of_the_same_size_is_seen() {
    let garage = Garage::new();
    // As on disks that tell only the time of the last change.
    garage.git(&["config", "core.trustCtime", "false"]);
    garage.git(&["config", "core.checkStat", "minimal"]);
    for round in 100..150 {
        garage.keep("a.md", &format!("text {round} a\n"));
        garage.write("a.md", format!("text {round} b\n"));
        assert_eq!(
            changed(&garage),
            [("a.md".into(), ChangedKind::Edited)],
            "round {round}"
        );
        assert_eq!(garage.status(), " M a.md\n", "round {round}");
        // The next keep of another file must not cover it up either.
        garage.keep("b.md", &format!("{round}\n"));
        assert_eq!(garage.status(), " M a.md\n", "round {round}");
    }
}

#[test]
fn entries_git_itself_left_racy_stay_visible() {
    let garage = Garage::new();
    garage.git(&["config", "core.trustCtime", "false"]);
    garage.git(&["config", "core.checkStat", "minimal"]);
    garage.write("a.md", "one\n");
    garage.write("outside.txt", "one\n");
    garage.git(&["add", "."]);
    garage.git(&["commit", "-qm", "By hand"]);
    garage.write("a.md", "two\n");
    garage.write("outside.txt", "two\n");
    std::thread::sleep(std::time::Duration::from_millis(1100));
    garage.keep("b.md", "new\n");
    assert_eq!(garage.status(), " M a.md\n M outside.txt\n");
}

#[test]
fn after_the_dust_has_settled_no_file_needs_to_be_read_again() {
    let garage = Garage::new();
    garage.keep("a.md", "one\n");
    std::thread::sleep(std::time::Duration::from_millis(1100));
    garage.keep("b.md", "two\n");
    let index = garage.git(&["ls-files", "--debug", "a.md"]);
    assert!(
        index.contains("size: 4\t"),
        "a kept file stays marked for ever: {index}"
    );
}
