//! Disks that take nothing: read-only, or full. Questions are answered; what
//! cannot be written is said, and the person's text is where the message says.

use std::fs;
use std::path::PathBuf;

use crate::support::{Ran, Shop, assert_no_panic, shot, tell};

/// Whether mounts can be made here that nobody else sees.
fn may_mount(shop: &Shop) -> bool {
    let try_it = "unshare -m sh -c 'mount -t tmpfs tmpfs \"$HOME\"' 2>&1";
    let ran = shop.shell(try_it);
    let may = ran.code == Some(0);
    if !may {
        tell(&format!("left out: no mounts here ({})", ran.out.trim()));
    }
    may
}

/// Runs a script where mounts are seen by nobody else.
fn apart(shop: &Shop, script: &str) -> Ran {
    let mut shell = shop.surrounded("unshare", shop.around());
    shell.args(["-m", "sh", "-ec", script]);
    shell.env("MATCHMARK", crate::support::PROGRAM);
    shell.output().expect("it runs").into()
}

fn filled() -> Shop {
    let shop = Shop::new();
    shop.removed("entries/2026/2026-03-14-horn.md", "Horn", "silent");
    shop.keep();
    shop
}

/// The questions that any disk must answer.
const QUESTIONS: [&str; 5] = ["find horn", "part horn", "check", "past", "replaced"];

const READ_ONLY: &str = "
mount --bind journal journal
mount -o remount,bind,ro journal
cd journal
";

#[test]
fn a_read_only_journal_answers() {
    let shop = filled();
    if !may_mount(&shop) {
        return;
    }
    for indexed in [true, false] {
        if !indexed {
            fs::remove_dir_all(shop.root.join(".matchmark")).expect("it can be removed");
        }
        for question in QUESTIONS {
            let here: Vec<&str> = question.split(' ').collect();
            let there = apart(&shop, &format!("{READ_ONLY} \"$MATCHMARK\" {question}"));
            assert_no_panic(&there);
            let here = shop.texts_and_history_answer(&here);
            assert_eq!(
                (there.code, &there.out),
                (here.code, &here.out),
                "{there:#?}"
            );
        }
    }
}

#[test]
fn a_read_only_journal_loses_no_text() {
    let shop = filled();
    if !may_mount(&shop) {
        return;
    }
    let day = "--date 2026-03-14";
    for write in [
        format!("write {day} --part Lamp --found 'cracked lens'"),
        "write --date 2026-03-20 --part Lamp --found 'cracked lens'".to_owned(),
        format!("write {day} 'a cracked lens of the lamp'"),
        format!("write {day} - <<END\n## Lamp\n\n- found: cracked lens\nEND"),
    ] {
        let ran = apart(&shop, &format!("{READ_ONLY} \"$MATCHMARK\" {write}"));
        assert_no_panic(&ran);
        let ran = ran.ends(2).says("read-only").says("your text is in");
        let text = fs::read_to_string(shop.file_named_in(&ran)).expect("the text");
        assert!(text.contains("cracked lens"), "{text}");
    }
    let kept = shop.git(["rev-parse", "HEAD"]);
    fs::write(shop.root.join("entries/new.md"), "# New\n").expect("a file");
    let ran = apart(&shop, &format!("{READ_ONLY} \"$MATCHMARK\" keep"));
    assert_no_panic(&ran.ends(2).says("read-only"));
    assert_eq!(shop.git(["rev-parse", "HEAD"]), kept);
    shop.keep();
    shop.assert_clean();
}

/// A journal on a disk of two megabytes with not a byte left.
const FULL: &str = "
mkdir small
mount -t tmpfs -o size=2m tmpfs small
cp -a journal small/journal
cd small/journal
fill() { cat /dev/zero > ../fill 2>/dev/null || true; }
";

#[test]
fn a_full_disk_answers() {
    let shop = filled();
    if !may_mount(&shop) {
        return;
    }
    for before in ["", "rm -rf .matchmark; "] {
        for question in QUESTIONS {
            let here: Vec<&str> = question.split(' ').collect();
            // Something is to be read anew, and cannot be put into the index.
            let there = apart(
                &shop,
                &format!(
                    "{FULL} {before} touch entries/2026/2026-03-14-horn.md; fill; \"$MATCHMARK\" {question}"
                ),
            );
            fs::remove_dir(shop.around().join("small")).expect("the mount point");
            assert_no_panic(&there);
            let here = shop.texts_and_history_answer(&here);
            assert_eq!(
                (there.code, &there.out),
                (here.code, &here.out),
                "{there:#?}"
            );
        }
    }
}

#[test]
fn a_full_disk_loses_no_text() {
    let shop = filled();
    if !may_mount(&shop) {
        return;
    }
    let script = format!(
        "{FULL}
        before=$(git rev-parse HEAD)
        long=$(head -c 20000 /dev/zero | tr '\\0' x)
        printf -- '---\\ndate: 2026-03-16\\nvehicle: wren\\n---\\n\\n# New\\n\\n%s\\n' \"$long\" > entries/new.md
        fill
        code=0; \"$MATCHMARK\" write --date 2026-03-14 --part Lamp --found \"cracked $long\" || code=$?
        test $code = 2
        cmp entries/2026/2026-03-14-horn.md ../../journal/entries/2026/2026-03-14-horn.md
        code=0; \"$MATCHMARK\" keep || code=$?
        test $code = 2
        test \"$(git rev-parse HEAD)\" = \"$before\"
        grep -q x entries/new.md
        test -z \"$(find . -name '*.part' -o -name 'tmp_obj_*')\"
        rm ../fill
        \"$MATCHMARK\" keep
        git fsck --strict --no-dangling --no-progress 1>&2
        test -z \"$(git status --porcelain)\"
        git show HEAD:entries/new.md | grep -q x"
    );
    let ran = apart(&shop, &script);
    assert_no_panic(&ran);
    let ran = ran.ends(0).says("the disk is full").says("your text is in");
    let text = fs::read_to_string(shop.file_named_in(&ran)).expect("the text");
    assert!(text.contains("cracked xxx"), "{text}");
}

/// Every disk is full, the one for drafts too: the text comes back on the
/// screen.
#[test]
fn with_nowhere_to_write_the_person_gets_the_text_back() {
    let shop = filled();
    if !may_mount(&shop) {
        return;
    }
    let script = format!(
        "{FULL} fill; export TMPDIR=$PWD HOME=$PWD; \"$MATCHMARK\" write --date 2026-03-14 --part Lamp --found 'cracked lens'"
    );
    let ran = apart(&shop, &script).ends(2);
    assert_no_panic(&ran);
    ran.says("- found: cracked lens");
}

/// A camera's folder with a picture a day, each of 300 kB, and what the book of a day
/// shows of it.
fn camera(shop: &Shop) -> PathBuf {
    let camera = shop.around().join("camera");
    fs::create_dir(&camera).expect("a folder");
    for day in 14..22 {
        let when = format!("2026:03:{day} 12:00:00");
        let picture = shot(&when, &vec![day; 300_000]);
        fs::write(camera.join(format!("{day}.jpg")), picture).expect("a picture");
    }
    camera
}

/// Fails the test unless all of the camera's pictures lie in the journal once, whole, and
/// each is named once.
fn assert_adopted(shop: &Shop, journal: &str) {
    let script = format!(
        "cd {journal}
        for picture in ../camera/*; do
            name=$(basename $picture .jpg)
            cmp $picture photos/2026-03-$name/$name.jpg
            test $(grep -rc \"photo: photos/2026-03-$name/$name.jpg\" entries | grep -v ':0$' | wc -l) = 1
        done
        test $(find photos -type f | wc -l) = 8
        test -z \"$(find . -name '*.part')\""
    );
    shop.shell(&format!("set -e; cd ..; {script}")).ends(0);
}

#[test]
fn a_disk_that_fills_while_pictures_are_copied_loses_and_doubles_none() {
    let shop = filled();
    if !may_mount(&shop) {
        return;
    }
    camera(&shop);
    let script = format!(
        "{FULL}
        code=0; \"$MATCHMARK\" adopt ../../camera --yes || code=$?
        test $code = 2
        copied=$(find photos -type f | wc -l)
        test $copied -gt 0; test $copied -lt 8
        mount -o remount,size=12m ..
        \"$MATCHMARK\" adopt ../../camera --yes
        \"$MATCHMARK\" adopt ../../camera --yes
        cp -a . ../../after"
    );
    let ran = apart(&shop, &script);
    assert_no_panic(&ran);
    ran.ends(0)
        .says("the disk is full")
        .says("make room on the disk, then run the same command again")
        .shows("nothing new to adopt");
    assert_adopted(&shop, "after");
}

/// As above where no mounts can be made: no file may be longer than this.
#[test]
fn a_disk_that_takes_no_long_file_loses_and_doubles_no_picture() {
    let shop = filled();
    let camera = camera(&shop);
    let long = shot("2026:03:17 12:00:00", &vec![17; 900_000]);
    fs::write(camera.join("17.jpg"), long).expect("a picture");
    let adopt = "\"$MATCHMARK\" adopt ../camera --yes";
    let ran = shop.shell(&format!("trap '' XFSZ; ulimit -f 1200; {adopt}"));
    assert_no_panic(&ran);
    ran.ends(2).says("the disk takes no file as large as this");
    let copied = shop.shell("find photos -type f").ends(0).out;
    assert_eq!(copied.lines().count(), 3, "{copied}");
    shop.shell(adopt).ends(0).shows("in no record");
    shop.shell(adopt).ends(0).shows("nothing new to adopt");
    assert_adopted(&shop, "journal");
}

#[test]
fn a_book_on_a_full_disk_is_finished_by_the_next_run() {
    let shop = filled();
    if !may_mount(&shop) {
        return;
    }
    for day in 10..30 {
        shop.removed(
            &format!("entries/2026/2026-04-{day}-lamp.md"),
            &format!("Lamp {day}"),
            &"It was dim. ".repeat(2_500),
        );
    }
    shop.run(["book", "../whole"]).ends(0);
    let script = format!(
        "{FULL}
        code=0; \"$MATCHMARK\" book ../book || code=$?
        test $code = 2
        test -n \"$(find ../book -name '*.html')\"; test ! -e ../book/unfinished.part
        mount -o remount,size=12m ..
        \"$MATCHMARK\" book ../book
        sed -i 's/Made [-0-9: ]*//' ../book/index.html ../../whole/index.html
        diff -r ../book ../../whole"
    );
    let ran = apart(&shop, &script);
    assert_no_panic(&ran);
    ran.ends(0).says("the disk is full");
}

impl Shop {
    /// The answer of a writable copy, history and all.
    fn texts_and_history_answer(&self, question: &[&str]) -> Ran {
        let copy = self.around().join("copy");
        let copied = self.shell("rm -rf ../copy; cp -a . ../copy; rm -rf ../copy/.matchmark");
        copied.ends(0);
        self.command_in(&copy, question)
            .output()
            .expect("the program runs")
            .into()
    }
}
