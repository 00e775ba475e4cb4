//! Play: many commits at once, read back by git.

use super::*;
use crate::history::{HistoryError, PastScope, PlannedCommit};

fn draft(files: &[(&str, Option<&str>)], message: &str) -> PlannedCommit {
    PlannedCommit {
        files: files
            .iter()
            .map(|(path, text)| (path.to_string(), text.map(|text| text.as_bytes().to_vec())))
            .collect(),
        message: message.into(),
        who: who(),
        author_time: time("2019-05-04T10:00:00Z", 0),
        commit_time: time("2026-03-15T21:30:00Z", 1),
    }
}

fn play(history: &History, drafts: Vec<PlannedCommit>) -> Result<usize> {
    history
        .play(drafts, &mut |_| {})
        .map(|commits| commits.len())
}

#[test]
fn drafts_become_commits_that_git_reads_back() {
    let garage = Garage::new();
    garage.write("unrelated.txt", "mine\n");
    // One flat folder, so that the pack is full of deltas, in chains longer than allowed.
    let drafts: Vec<PlannedCommit> = (0..300)
        .map(|number| {
            let path = format!("entries/{:03}.md", (number * 7) % 150);
            let text = format!("entry {number}\n");
            // Two changes far apart, so that the difference has a long middle.
            draft(
                &[(&path, Some(&text)), ("entries/log.md", Some(&text))],
                &format!("Draft {number}"),
            )
        })
        .collect();
    let mut last = 0;
    let commits = garage
        .history()
        .play(drafts, &mut |done| last = done)
        .unwrap();
    assert_eq!((commits.len(), last), (300, 300));
    assert_eq!(garage.status(), "?? unrelated.txt\n");
    garage.assert_sound();
    garage.git(&["gc", "-q"]);
    garage.assert_sound();
    assert_eq!(
        garage.git(&["rev-parse", "HEAD"]).trim(),
        commits[299].to_string()
    );
    for number in [0, 1, 40, 149, 150, 299] {
        let path = format!("{}:entries/{:03}.md", commits[number], (number * 7) % 150);
        assert_eq!(garage.git(&["show", &path]), format!("entry {number}\n"));
        let count = garage
            .git(&["ls-tree", "-r", "--name-only", &commits[number].to_string()])
            .lines()
            .count();
        assert_eq!(count, 150.min(number + 1) + 1);
    }
    assert_eq!(
        garage.git(&["log", "-1", "--format=%aI %cI %B"]),
        "2019-05-04T10:00:00Z 2026-03-15T22:30:00+01:00 Draft 299\n\n"
    );
    assert_eq!(
        garage
            .history()
            .past(None, PastScope::All(&|_| true), None)
            .unwrap()
            .len(),
        600
    );
}

#[test]
fn the_pack_is_small_because_folders_are_stored_as_differences() {
    let garage = Garage::new();
    let drafts = (0..400).map(|number| {
        draft(
            &[(
                &format!("entries/2026-03-14-some-longer-title-{number}.md"),
                Some(&format!("{number}\n")),
            )],
            "Draft",
        )
    });
    garage.history().play(drafts, &mut |_| {}).unwrap();
    let sizes = garage.git(&["count-objects", "-v"]);
    let size: u32 = sizes
        .lines()
        .find_map(|line| line.strip_prefix("size-pack: "))
        .unwrap()
        .parse()
        .unwrap();
    assert!(size < 600, "{size} KiB for 400 small commits");
    garage.assert_clean();
}

#[test]
fn files_can_be_taken_away_and_change_into_folders() {
    let garage = Garage::new();
    garage.keep("old.md", "kept\n");
    let drafts = vec![
        draft(&[("a", Some("file\n")), ("gone/x.md", Some("x\n"))], "One"),
        draft(
            &[("a/b.md", Some("in a folder\n")), ("gone/x.md", None)],
            "Two",
        ),
        draft(&[("gone/x.md", None)], "Changes nothing"),
        draft(&[("old.md", Some("new text\n"))], "Three"),
    ];
    assert_eq!(play(&garage.history(), drafts).unwrap(), 3);
    garage.assert_clean();
    assert_eq!(garage.subjects(), ["Three", "Two", "One", "Keep old.md"]);
    assert_eq!(
        garage.git(&["ls-tree", "-r", "--name-only", "HEAD"]),
        "a/b.md\nold.md\n"
    );
    assert_eq!(garage.read("old.md"), "new text\n");
    assert!(!garage.root.join("gone").exists());
}

#[test]
fn a_kept_file_can_be_taken_away() {
    let garage = Garage::new();
    garage.keep("entries/old.md", "kept\n");
    garage.keep("b.md", "stays\n");
    assert_eq!(
        play(
            &garage.history(),
            vec![draft(&[("entries/old.md", None)], "Away")]
        )
        .unwrap(),
        1
    );
    garage.assert_clean();
    assert!(!garage.root.join("entries").exists());
}

#[test]
fn what_was_never_kept_is_never_written_over() {
    let garage = Garage::new();
    garage.keep("kept.md", "kept\n");
    garage.write("kept.md", "edited since\n");
    garage.write("new.md", "mine\n");
    garage.write("same.md", "the same\n");
    let before = garage.git(&["count-objects", "-v"]);
    let drafts = || {
        vec![draft(
            &[
                ("kept.md", Some("theirs\n")),
                ("new.md", Some("theirs\n")),
                ("same.md", Some("the same\n")),
                ("z.md", Some("z\n")),
            ],
            "Play",
        )]
    };
    let error = play(&garage.history(), drafts()).unwrap_err();
    assert!(
        matches!(&error, HistoryError::InTheWay { paths } if paths == &["kept.md", "new.md"]),
        "{error}"
    );
    assert_eq!(
        (garage.read("kept.md"), garage.read("new.md")),
        ("edited since\n".into(), "mine\n".into())
    );
    assert!(!garage.root.join("z.md").exists());
    assert_eq!(
        garage.git(&["count-objects", "-v"]),
        before,
        "a refused play leaves nothing behind"
    );
    assert_eq!(garage.subjects().len(), 1);

    garage.write("kept.md", "kept\n");
    fs::remove_file(garage.root.join("new.md")).unwrap();
    play(&garage.history(), drafts()).unwrap();
    garage.assert_clean();
    assert_eq!(garage.read("kept.md"), "theirs\n");
}

#[test]
fn a_file_where_a_folder_is_needed_is_in_the_way() {
    let garage = Garage::new();
    garage.write("entries", "a file of mine\n");
    let error = play(
        &garage.history(),
        vec![draft(&[("entries/a.md", Some("a\n"))], "Play")],
    );
    assert!(
        matches!(error, Err(HistoryError::InTheWay { .. })),
        "{error:?}"
    );
    assert_eq!(garage.read("entries"), "a file of mine\n");
    assert_eq!(garage.status(), "?? entries\n");
}

#[test]
fn playing_into_a_subfolder_leaves_the_rest_alone() {
    let garage = Garage::bare_floor();
    garage.git(&["init", "-q"]);
    garage.git(&["config", "core.autocrlf", "true"]);
    garage.write("top.txt", "top\n");
    garage.git(&["add", "."]);
    garage.git(&["commit", "-qm", "Begin"]);
    fs::create_dir(garage.root.join("journal")).unwrap();
    play(
        &garage.history_in("journal"),
        vec![draft(&[("a.md", Some("one\r\n"))], "One")],
    )
    .unwrap();
    garage.assert_clean();
    assert_eq!(
        garage.git(&["cat-file", "blob", "HEAD:journal/a.md"]),
        "one\n"
    );
    assert_eq!(garage.read("journal/a.md"), "one\r\n");
}
