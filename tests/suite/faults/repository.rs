//! Repositories in every state that a person, or another program, can leave
//! them in. Questions are answered in all of them.

use std::fs;
use std::path::Path;

use crate::support::{PROGRAM, Ran, Shop, assert_no_panic, entry, tell};

fn filled() -> Shop {
    let shop = Shop::new();
    shop.removed("entries/2026/2026-03-14-horn.md", "Horn", "silent");
    shop.keep();
    shop
}

/// The questions that need no history.
#[track_caller]
fn assert_answers(shop: &Shop) {
    for question in ["find", "part"] {
        let ran = shop.run([question, "horn"]).ends(0);
        assert_no_panic(&ran);
        ran.shows("Horn");
    }
    let checked = shop.run(["check"]);
    assert_no_panic(&checked);
    checked.shows(" read: ");
}

/// Keeping is refused with these words, and nothing has moved.
#[track_caller]
fn assert_refuses_to_keep(shop: &Shop, words: &str) -> Ran {
    let before = (
        shop.try_git(["rev-parse", "HEAD"]).out,
        shop.shell("ls -R entries").out,
    );
    let ran = shop.run(["keep"]).ends(2).says(words);
    assert_no_panic(&ran);
    let after = (
        shop.try_git(["rev-parse", "HEAD"]).out,
        shop.shell("ls -R entries").out,
    );
    assert_eq!(before, after);
    ran
}

#[test]
fn without_a_repository_everything_else_works() {
    let shop = filled();
    fs::remove_dir_all(shop.root.join(".git")).expect("it can be removed");
    assert_answers(&shop);
    shop.run(["check"]).shows("no history yet");
    shop.run(["past"]).ends(2).says("has no history yet");
    shop.run(["replaced"]).ends(1);
    shop.run(["find", "horn", "--json"]).ends(0);
    shop.run(["part", "horn", "--as-written", "2026-03-14"])
        .ends(2)
        .says("has no history yet");
    shop.keep();
    shop.assert_clean();
}

#[test]
fn a_merge_in_progress_is_waited_for() {
    let shop = filled();
    shop.git(["switch", "-qc", "phone"]);
    shop.removed("entries/2026/2026-03-14-horn.md", "Horn", "hoarse");
    shop.keep();
    shop.git(["switch", "-q", "main"]);
    shop.removed("entries/2026/2026-03-14-horn.md", "Horn", "loud");
    shop.keep();
    shop.try_git(["merge", "phone"]).ends(1);
    shop.removed("entries/2026/2026-03-15-lamp.md", "Lamp", "dark");
    assert_answers(&shop);
    assert_refuses_to_keep(&shop, "a merge is unfinished").says("git merge --continue");

    // Stages of a conflict without a merge: as after `git stash pop`.
    fs::remove_file(shop.root.join(".git/MERGE_HEAD")).expect("it can be removed");
    assert_answers(&shop);
    assert_refuses_to_keep(&shop, "unresolved conflicts").says("git add");

    shop.removed("entries/2026/2026-03-14-horn.md", "Horn", "loud and hoarse");
    shop.git(["add", "entries/2026/2026-03-14-horn.md"]);
    shop.keep();
    shop.assert_clean();
}

#[test]
fn other_half_done_work_is_waited_for() {
    let shop = filled();
    shop.removed("entries/2026/2026-03-14-horn.md", "Horn", "hoarse");
    shop.keep();
    shop.git(["revert", "--no-commit", "HEAD"]);
    assert_answers(&shop);
    assert_refuses_to_keep(&shop, "a revert is unfinished");
    shop.git(["revert", "--abort"]);
    shop.git(["bisect", "start"]);
    shop.removed("entries/2026/2026-03-14-horn.md", "Horn", "mended");
    assert_refuses_to_keep(&shop, "a bisect is unfinished");
    shop.git(["bisect", "reset"]);
    shop.keep();
    shop.assert_clean();
}

#[test]
fn a_detached_head_is_not_kept_upon() {
    let shop = filled();
    shop.git(["switch", "-q", "--detach"]);
    shop.removed("entries/2026/2026-03-15-lamp.md", "Lamp", "dark");
    assert_answers(&shop);
    shop.run(["check"]).shows("not on any branch");
    assert_refuses_to_keep(&shop, "not on any branch").says("git switch main");
    shop.run(["past"]).ends(0);
    shop.git(["switch", "-q", "main"]);
    shop.keep();
    shop.assert_clean();
}

#[test]
fn a_stale_lock_is_explained_and_cleared_when_the_person_says_so() {
    let shop = filled();
    shop.removed("entries/2026/2026-03-15-lamp.md", "Lamp", "dark");
    let lock = shop.root.join(".git/index.lock");
    fs::write(&lock, "").expect("a lock");
    fs::write(shop.root.join(".git/refs/heads/main.lock"), "").expect("a lock");
    assert_answers(&shop);
    assert_refuses_to_keep(&shop, "index.lock exists").says("matchmark keep --clear-locks");
    assert!(lock.exists(), "nobody asked for it to be removed");
    // The person is standing there and need not wait for a minute to pass.
    let ran = shop.run(["keep", "--clear-locks"]).ends(0);
    ran.says("cleared").shows("kept");
    shop.assert_clean();
}

/// A lock that comes and goes belongs to someone, and is not taken away.
#[test]
fn a_lock_of_someone_at_work_is_not_cleared() {
    let shop = filled();
    shop.removed("entries/2026/2026-03-15-lamp.md", "Lamp", "dark");
    let lock = shop.root.join(".git/index.lock");
    fs::write(&lock, "").expect("a lock");
    let ran = std::thread::scope(|scope| {
        let keeping = scope.spawn(|| shop.run(["keep", "--clear-locks"]));
        std::thread::sleep(std::time::Duration::from_secs(2));
        assert!(lock.exists(), "cleared at once");
        fs::remove_file(&lock).expect("it can be removed");
        keeping.join().expect("it ends")
    });
    assert!(!ran.ends(0).err.contains("cleared"));
    shop.assert_clean();
}

/// `git commit -a` holds the lock for as long as its editor is open.
#[test]
fn no_lock_is_cleared_while_git_is_at_work() {
    let shop = filled();
    if !Path::new("/proc/self/cwd").exists() {
        tell("left out: the system does not say which programs run");
        return;
    }
    shop.removed("entries/2026/2026-03-14-horn.md", "Horn", "hoarse");
    let waiting = shop.around().join("editor-is-open");
    let editor = format!(
        "touch {0}; while test -e {0}; do sleep 0.05; done; echo by hand >",
        waiting.display()
    );
    let mut git = shop.surrounded("git", &shop.root);
    git.args([
        "-c",
        "user.name=By Hand",
        "-c",
        "user.email=hand@example.org",
    ])
    .args(["commit", "-qa"])
    .env("GIT_EDITOR", editor);
    let mut git = git.spawn().expect("git runs");
    while !waiting.exists() {
        std::thread::sleep(std::time::Duration::from_millis(10));
    }
    let lock = shop.root.join(".git/index.lock");
    assert!(lock.exists(), "git holds its lock");
    let ran = shop.run(["keep", "--clear-locks"]).ends(2);
    ran.says("git is at work").says(&git.id().to_string());
    assert!(lock.exists());
    fs::remove_file(&waiting).expect("the editor closes");
    assert!(git.wait().expect("it ends").success());
    shop.keep();
    shop.assert_clean();
    shop.git(["log", "--format=%s", "--grep=by hand"]);
}

#[test]
fn a_bare_or_damaged_repository_is_explained() {
    let shop = filled();
    shop.git(["config", "core.bare", "true"]);
    assert_answers(&shop);
    let ran = shop.run(["keep"]).ends(2).says("bare");
    assert_no_panic(&ran);
    shop.git(["config", "core.bare", "false"]);
    shop.keep();

    for (file, bytes) in [
        ("HEAD", "rubbish\n"),
        ("config", "[core\n\0"),
        ("index", "rubbish"),
    ] {
        let file = shop.root.join(".git").join(file);
        let whole = fs::read(&file).expect("a file");
        fs::write(&file, bytes).expect("a file");
        fs::write(shop.root.join("entries/new.md"), format!("# {bytes}\n")).expect("a file");
        assert_answers(&shop);
        assert_eq!(shop.run(["check"]).code, Some(1), "{}", file.display());
        let ran = shop.run(["keep"]);
        assert_no_panic(&ran);
        assert_eq!(ran.code, Some(2), "{} {ran:#?}", file.display());
        fs::write(&file, whole).expect("a file");
        shop.keep();
        shop.assert_clean();
    }
}

#[test]
fn lost_objects_and_an_empty_dot_git_are_explained() {
    let shop = filled();
    let objects = shop.root.join(".git/objects");
    fs::rename(&objects, shop.root.join(".git/elsewhere")).expect("it can be renamed");
    fs::create_dir(&objects).expect("a folder");
    assert_answers(&shop);
    shop.removed("entries/2026/2026-03-15-lamp.md", "Lamp", "dark");
    for verb in ["keep", "past"] {
        let ran = shop.run([verb]);
        assert_no_panic(&ran);
        assert_eq!(ran.code, Some(2), "{ran:#?}");
    }
    fs::remove_dir_all(shop.root.join(".git")).expect("it can be removed");
    fs::create_dir(shop.root.join(".git")).expect("a folder");
    assert_answers(&shop);
    let ran = shop.run(["keep"]).ends(2);
    assert_no_panic(&ran.says("damaged"));
}

#[test]
fn a_journal_in_a_bigger_repository_leaves_the_rest_alone() {
    let shop = Shop::new();
    let around = shop.around().to_owned();
    let git = |arguments: &[&str]| -> Ran {
        let mut git = shop.surrounded("git", &around);
        git.args([
            "-c",
            "user.name=By Hand",
            "-c",
            "user.email=hand@example.org",
        ]);
        Ran::from(git.args(arguments).output().expect("git runs")).ends(0)
    };
    git(&["init", "-qb", "main"]);
    fs::write(around.join("other.txt"), "one\n").expect("a file");
    fs::write(around.join("staged.txt"), "one\n").expect("a file");
    git(&["add", "other.txt", "staged.txt"]);
    git(&["commit", "-qm", "Other work"]);
    fs::write(around.join("staged.txt"), "two\n").expect("a file");
    fs::write(around.join("new.txt"), "new\n").expect("a file");
    git(&["add", "staged.txt", "new.txt"]);
    fs::write(around.join("staged.txt"), "three\n").expect("a file");
    fs::write(around.join("other.txt"), "two\n").expect("a file");
    git(&["rm", "-q", "--cached", "other.txt"]);
    let others = ["other.txt", "staged.txt", "new.txt"];
    let state = || {
        let status = git(&[&["status", "--porcelain", "--"], &others[..]].concat()).out;
        let staged = git(&[&["diff", "--cached", "--"], &others[..]].concat()).out;
        (status, staged)
    };
    let before = state();
    for day in 14..18 {
        shop.removed(
            &format!("entries/2026/2026-03-{day}-horn.md"),
            "Horn",
            "silent",
        );
        shop.keep();
        assert_eq!(state(), before);
    }
    assert!(!shop.root.join(".git").exists());
    let kept = git(&["ls-tree", "-r", "--name-only", "HEAD"]).out;
    assert_eq!(
        kept.lines()
            .filter(|path| path.starts_with("journal/entries/"))
            .count(),
        4
    );
    assert!(
        kept.lines()
            .all(|path| path.starts_with("journal/") || others.contains(&path))
    );
    shop.assert_sound();
    assert_answers(&shop);
    shop.run(["past"])
        .ends(0)
        .shows("entries/2026/2026-03-17-horn.md");
}

fn is_root(shop: &Shop) -> bool {
    let may = shop
        .shell("test $(id -u) = 0 && setpriv --version >/dev/null")
        .code
        == Some(0);
    if !may {
        tell("left out: only root can make a stranger's file");
    }
    may
}

#[test]
fn a_strangers_repository_is_not_trusted() {
    let shop = filled();
    if !is_root(&shop) {
        return;
    }
    shop.shell("chown -R nobody .git").ends(0);
    shop.removed("entries/2026/2026-03-15-lamp.md", "Lamp", "dark");
    assert_answers(&shop);
    let ran = shop.run(["keep"]).ends(2);
    assert_no_panic(&ran.says("belongs to another user").says("safe.directory"));
    shop.run(["past"]).ends(2).says("belongs to another user");
    shop.shell("chown -R 0 .git").ends(0);
    shop.keep();
    shop.assert_clean();
}

#[test]
fn someone_elses_journal_can_be_read_and_not_written() {
    let shop = filled();
    if !is_root(&shop) {
        return;
    }
    // The program, and the way to the journal, must be open to the stranger.
    fs::copy(PROGRAM, shop.around().join("matchmark")).expect("a copy");
    shop.shell("chmod -R go+rX .. && chmod 1777 ../tmp").ends(0);
    let as_nobody = |arguments: &str| {
        shop.shell(&format!(
            "setpriv --reuid nobody --regid nogroup --clear-groups ../matchmark {arguments}"
        ))
    };
    for indexed in [true, false] {
        if !indexed {
            fs::remove_dir_all(shop.root.join(".matchmark")).expect("it can be removed");
        }
        for question in ["find horn", "part horn"] {
            let ran = as_nobody(question).ends(0);
            assert_no_panic(&ran);
            assert_eq!(ran.err, "");
            ran.shows("Horn");
        }
        let ran = as_nobody("check");
        assert_no_panic(&ran);
        ran.shows("belongs to another user");
    }
    let ran = as_nobody("keep").ends(2);
    assert_no_panic(&ran.says("belongs to another user"));
    for day in ["2026-03-14", "2026-03-20"] {
        let ran = as_nobody(&format!("write --date {day} --part Lamp --found cracked")).ends(2);
        assert_no_panic(&ran);
        let ran = ran.says("you may not read or write this");
        let text = fs::read_to_string(shop.file_named_in(&ran)).expect("the text");
        assert!(text.contains("cracked"), "{text}");
    }

    // One folder that the stranger may not look into hides no other entry.
    shop.removed("entries/private/2026-03-16-lamp.md", "Lamp", "dark");
    shop.shell("chmod 700 entries/private").ends(0);
    shop.removed("entries/2026/2026-03-17-secret.md", "Bracket", "bent");
    shop.shell("chmod 600 entries/2026/2026-03-17-secret.md")
        .ends(0);
    as_nobody("find horn").ends(0).shows("Horn");
    let ran = as_nobody("check");
    assert_no_panic(&ran);
    ran.shows("entries/private").shows("2026-03-17-secret.md");
}

#[test]
fn texts_that_git_ignores_are_named() {
    let shop = filled();
    shop.write(".gitignore", "/photos/\nhidden*\n/vehicles/\n");
    shop.keep();
    shop.removed("entries/2026/hidden-lamp.md", "Lamp", "dark");
    shop.write("vehicles/heron.md", "# Heron\n");
    for _ in 0..2 {
        let ran = shop.run(["keep"]).ends(0).shows("nothing new to keep");
        ran.says("2 texts are ignored by git")
            .says("entries/2026/hidden-lamp.md")
            .says("vehicles/heron.md");
    }
    let ran = shop.run(["check"]).shows("git ignores this text");
    ran.shows("hidden-lamp.md").shows("heron.md");
    // A text that was kept before it was ignored still is.
    shop.write("vehicles/wren.md", "# Wren\n\nBlue.\n");
    let ran = shop.run(["keep"]).ends(0).shows("kept ");
    ran.says("2 texts are ignored by git");
}

#[test]
fn a_journal_begun_where_git_ignores_it_says_so() {
    let shop = Shop::new();
    shop.shell("mkdir ../big && cd ../big && git init -q && echo '*.md' > .gitignore")
        .ends(0);
    let big = shop.around().join("big");
    let ran = shop.command_in(&big, ["begin", "journal"]).output();
    let ran: Ran = ran.expect("it runs").into();
    ran.ends(0)
        .says("ignored by git")
        .says("entries/2026/2026-03-14-tank.md");
}

#[test]
fn texts_that_are_gone_are_counted_and_most_of_a_journal_is_asked_about() {
    let shop = filled();
    for number in 0..8 {
        let path = format!("entries/2026/2026-03-15-{number}.md");
        shop.removed(&path, &format!("Bracket {number}"), "bent");
    }
    shop.keep();
    fs::remove_file(shop.root.join("entries/2026/2026-03-15-0.md")).expect("removed");
    shop.run(["keep"]).ends(0).shows("1 text deleted");

    fs::remove_dir_all(shop.root.join("entries/2026")).expect("removed");
    shop.removed("entries/2027/2027-01-01-lamp.md", "Lamp", "dark");
    let ran = shop.run(["keep"]).ends(1).shows("lamp removed");
    ran.says("8 kept texts are gone")
        .says("they stay in the history");
    let kept = shop.git(["ls-tree", "-r", "--name-only", "HEAD", "entries"]);
    assert_eq!(kept.lines().count(), 9, "{kept}");
    let again = shop.run(["keep"]).ends(1).shows("nothing new to keep");
    again.says("8 kept texts are gone");
    shop.git(["restore", "."]);
    shop.run(["keep"]).ends(0).shows("nothing new to keep");
    shop.assert_clean();
}

#[test]
fn no_program_that_came_with_a_repository_is_run() {
    let shop = filled();
    // Whatever git would run, it leaves a mark.
    shop.shell(
        "printf '#!/bin/sh\\ntouch %s/ran-$1\\ncat\\n' \"$PWD\" > ../mark && chmod +x ../mark
         printf '#!/bin/sh\\ntouch %s/ran-hook\\n' \"$PWD\" > .git/hooks/pre-auto-gc
         chmod +x .git/hooks/pre-auto-gc
         for hook in pre-commit post-commit post-index-change reference-transaction; do
             cp .git/hooks/pre-auto-gc .git/hooks/$hook; done
         mkdir -p .git/objects/17
         for i in $(seq 10 50); do
             touch .git/objects/17/000000000000000000000000000000000000$i; done
         git config gc.auto 1
         git config gc.autoDetach false
         git config maintenance.autoDetach false
         git config core.fsmonitor \"$PWD/../mark fsmonitor\"
         git config filter.other.clean \"$PWD/../mark clean\"
         echo '*.md filter=other' > .gitattributes",
    )
    .ends(0);
    shop.removed("entries/2026/2026-03-15-lamp.md", "Lamp", "dark");
    shop.write("journal.toml", shop.read("journal.toml") + "\n");
    let ran = shop.run(["keep"]).ends(0);
    ran.says("2026-03-15-lamp.md was not kept")
        .says("git config --global filter.other.clean");
    for verb in [&["check"][..], &["find", "horn"], &["past"], &["replaced"]] {
        assert_no_panic(&shop.run(verb));
    }
    let marks = shop.shell("ls -d ran-* 2>/dev/null || true").out;
    assert_eq!(marks, "");
    // In the person's own settings it is the person's. These are written by hand:
    // `git config --global` would write to wherever the settings are said to be.
    shop.shell("git config --unset filter.other.clean").ends(0);
    let own = shop.around().join("own-settings");
    fs::write(&own, "[filter \"other\"]\n\tclean = tr a-z A-Z\n").expect("settings");
    let ran = shop
        .command(["keep"])
        .env("GIT_CONFIG_GLOBAL", &own)
        .output();
    let ran: Ran = ran.expect("it runs").into();
    ran.ends(0).shows("kept ");
    let stored = shop.git(["show", "HEAD:entries/2026/2026-03-15-lamp.md"]);
    assert!(stored.contains("DARK"), "{stored}");
}

#[test]
fn a_shallow_clone_says_what_it_cannot_know() {
    let shop = filled();
    let path = "entries/2026/2026-03-15-lamp.md";
    let replaced = "---\ndate: 2026-03-15\nvehicle: wren\n---\n\n# Lamp\n\n## Lamp\n\n- replaced by: reproduction\n";
    shop.write(path, replaced);
    shop.keep();
    shop.run(["replaced"]).ends(0);
    shop.write(path, format!("{replaced}  - number: L-2\n"));
    shop.keep();
    let whole = json_of(&shop.run(["replaced", "--json"]));
    assert_ne!(whole["rows"][0]["recorded"], serde_json::Value::Null);
    shop.shell("git clone -q --depth 1 \"file://$PWD\" ../cut")
        .ends(0);
    let cut = shop.around().join("cut");
    let in_cut = |arguments: &[&str]| -> Ran {
        let ran = shop.command_in(&cut, arguments).output();
        ran.expect("it runs").into()
    };
    let ran = in_cut(&["replaced", "--json"]);
    assert_eq!(
        json_of(&ran)["rows"][0]["recorded"],
        serde_json::Value::Null
    );
    ran.ends(0).says("this is a shallow clone");
    in_cut(&["past"]).ends(0).says("this is a shallow clone");
    shop.shell("cd ../cut && git fetch -q --unshallow").ends(0);
    let ran = in_cut(&["replaced", "--json"]).ends(0);
    assert_eq!(json_of(&ran), whole);
    assert_eq!(ran.err, "");
}

fn json_of(ran: &Ran) -> serde_json::Value {
    serde_json::from_str(&ran.out).unwrap_or_else(|error| panic!("{error}: {ran:?}"))
}

#[test]
fn links_pipes_and_conflicts_are_told_of() {
    let shop = filled();
    shop.shell(
        "mkdir ../far && cp entries/2026/*.md ../far
         ln -s ../far entries/far && ln -s nowhere.md entries/2026/link.md
         mkfifo entries/2026/pipe.md",
    )
    .ends(0);
    let ran = shop.run(["check"]);
    ran.shows("entries/far")
        .shows("entries/2026/link.md")
        .shows("a link, which is not followed")
        .shows("entries/2026/pipe.md");
    let path = "entries/2026/2026-03-14-horn.md";
    let text = shop.read(path);
    shop.write(
        path,
        format!("{text}<<<<<<< ours\nfound: blue\n=======\nfound: red\n>>>>>>> theirs\n"),
    );
    for verb in ["find", "part"] {
        let ran = shop.run([verb, "horn"]).ends(0);
        ran.says("a conflict of a git merge is still in entries/2026/2026-03-14-horn.md");
    }
    shop.run(["check"]).shows("a conflict of a git merge");
}

#[test]
fn adopt_keeps_only_what_it_made() {
    let shop = filled();
    shop.write("vehicles/heron.md", "# Heron\n");
    shop.write("episodes/01-half-done.md", "# Half done\n");
    shop.write(
        "entries/2026/2026-03-14-horn.md",
        entry("Horn", "not done yet"),
    );
    shop.write("rows.csv", "date,part,note\n2026-04-01,Lamp,wired anew\n");
    let adopt = "adopt rows.csv --yes --date date --part part --text note --all-vehicle wren";
    shop.run(adopt.split(' ')).ends(0);
    let made = shop.git(["show", "--name-only", "--format=", "HEAD"]);
    assert_eq!(made.lines().count(), 1, "{made}");
    assert!(made.starts_with("entries/2026/2026-04-01"), "{made}");
    let open = shop.git(["status", "--porcelain"]);
    for path in [
        "vehicles/heron.md",
        "episodes/",
        " M entries/2026/2026-03-14-horn.md",
    ] {
        assert!(open.contains(path), "{open}");
    }
}
