//! Opening what is there, and saying clearly why not.

use super::*;
use crate::history::HistoryError;

fn open(root: &Path) -> Result<Option<History>> {
    History::open_with(root, isolated())
}

#[test]
fn a_folder_without_a_repository_has_no_history() {
    let garage = Garage::bare_floor();
    // Unless the folder for temporary files is in one.
    assert!(open(&garage.root).unwrap().is_none());
    assert!(matches!(
        open(&garage.root.join("nowhere")),
        Err(HistoryError::NoFolder { .. })
    ));
}

#[test]
fn creating_twice_is_refused_and_the_branch_is_main() {
    let garage = Garage::bare_floor();
    garage.write("a.md", "here before\n");
    History::create_with(&garage.root, isolated()).unwrap();
    assert_eq!(garage.git(&["symbolic-ref", "HEAD"]), "refs/heads/main\n");
    assert_eq!(garage.status(), "?? a.md\n");
    assert!(matches!(
        History::create_with(&garage.root, isolated()),
        Err(HistoryError::AlreadyThere { .. })
    ));
}

#[test]
fn other_formats_are_named() {
    let garage = Garage::bare_floor();
    garage.git(&["init", "-q", "--object-format=sha256"]);
    assert!(matches!(
        open(&garage.root),
        Err(HistoryError::Sha256 { .. })
    ));

    let garage = Garage::bare_floor();
    garage.git(&["init", "-q", "--ref-format=reftable"]);
    assert!(matches!(
        open(&garage.root),
        Err(HistoryError::Reftable { .. })
    ));
}

#[test]
fn bare_elsewhere_and_damaged_repositories_are_refused() {
    let garage = Garage::new();
    garage.git(&["config", "core.bare", "true"]);
    assert!(matches!(open(&garage.root), Err(HistoryError::Bare { .. })));

    let garage = Garage::new();
    fs::create_dir(garage.root.join("other")).unwrap();
    garage.git(&["config", "core.worktree", "../other"]);
    assert!(matches!(
        open(&garage.root),
        Err(HistoryError::Elsewhere { .. })
    ));

    let garage = Garage::new();
    fs::write(garage.root.join(".git/config"), "[core\n").unwrap();
    assert!(matches!(
        open(&garage.root),
        Err(HistoryError::Damaged { .. })
    ));

    let garage = Garage::new();
    fs::remove_file(garage.root.join(".git/HEAD")).unwrap();
    assert!(matches!(
        open(&garage.root),
        Err(HistoryError::Damaged { .. })
    ));
}

#[cfg(unix)]
#[test]
fn a_strangers_repository_is_refused() {
    let garage = Garage::new();
    // Giving a file away needs the rights of the superuser; where we lack them there is nothing to see.
    if std::os::unix::fs::chown(garage.root.join(".git"), Some(12345), None).is_ok() {
        let error = open(&garage.root).unwrap_err();
        assert!(matches!(error, HistoryError::Foreign { .. }), "{error}");
        assert!(error.hint().unwrap().contains("safe.directory"));
    }
}

#[test]
fn a_linked_work_tree_keeps_on_its_own_branch() {
    let garage = Garage::new();
    garage.keep("a.md", "one\n");
    // Elsewhere, and in nobody's way.
    let beside = tempfile::tempdir().unwrap();
    let second = beside.path().canonicalize().unwrap().join("second");
    garage.git(&[
        "worktree",
        "add",
        "-q",
        "-b",
        "second",
        second.to_str().unwrap(),
    ]);
    fs::write(second.join("b.md"), "two\n").unwrap();
    let history = open(&second).unwrap().unwrap();
    keep(&history, &["b.md"]).unwrap();
    assert_eq!(
        garage.git(&["log", "--format=%s", "second"]),
        "Keep b.md\nKeep a.md\n"
    );
    assert_eq!(garage.git(&["log", "--format=%s", "main"]), "Keep a.md\n");
    assert!(
        git_in(&second, &["status", "--porcelain"])
            .stdout
            .is_empty()
    );
    garage.assert_clean();
}
