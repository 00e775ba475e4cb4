//! Editors that fail, and people who change their mind: what was typed is on
//! disk, and the message says where.

use std::fs;
use std::path::PathBuf;

use crate::support::{PROGRAM, Ran, Shop, assert_no_panic, tell};

/// Whether a terminal can be had for a program.
fn has_terminal(shop: &Shop) -> bool {
    let has = shop.shell("script -qec true /dev/null").code == Some(0);
    if !has {
        tell("left out: `script` gives no terminal here");
    }
    has
}

/// Runs `write` on a terminal, with a shell script as the editor (`$1` is the
/// file). All that is said comes on the terminal.
fn write_with(shop: &Shop, editor: &str, options: &str) -> Ran {
    let file = shop.around().join("editor");
    fs::write(&file, format!("#!/bin/sh\n{editor}\n")).expect("a script");
    let mut script = shop.surrounded("script", &shop.root);
    script
        .arg("-qec")
        .arg(format!("\"$MATCHMARK\" write {options}"))
        .arg("/dev/null")
        .env("MATCHMARK", PROGRAM)
        .env("COLUMNS", "100")
        .env("VISUAL", format!("sh '{}'", file.display()));
    let mut ran = Ran::from(script.output().expect("it runs"));
    ran.err = ran.out.replace('\r', "");
    assert_no_panic(&ran);
    ran
}

const DAY: &str = "--date 2026-03-14";

/// Adds a section to whatever the editor was given.
const TYPE: &str = "printf '\\n## Lamp\\n\\n- found: cracked lens\\n' >> \"$1\"";

fn entries(shop: &Shop) -> Vec<PathBuf> {
    let listed = shop.shell("find entries -name '*.md' | sort").out;
    listed.lines().map(|line| shop.root.join(line)).collect()
}

/// All that lies in the journal, drafts and all.
fn everything(shop: &Shop) -> String {
    shop.shell("cat $(find . ../tmp -name '*.md') 2>/dev/null")
        .out
}

#[test]
fn what_is_typed_becomes_an_entry_and_the_draft_goes() {
    let shop = Shop::new();
    if !has_terminal(&shop) {
        return;
    }
    write_with(&shop, TYPE, DAY)
        .ends(0)
        .says("written to entries/");
    shop.run(["find", "lens"]).ends(0);
    write_with(&shop, &TYPE.replace("Lamp", "Bracket"), DAY).ends(0);
    assert_eq!(entries(&shop).len(), 1, "added to the day's entry");
    assert_eq!(everything(&shop).matches("cracked lens").count(), 2);
}

#[test]
fn an_editor_that_fails_keeps_the_draft_for_the_next_time() {
    let shop = Shop::new();
    if !has_terminal(&shop) {
        return;
    }
    let ran = write_with(&shop, &format!("{TYPE}\nexit 1"), DAY).ends(2);
    let draft = shop.file_named_in(&ran.says("your text is in"));
    assert!(
        fs::read_to_string(&draft)
            .expect("the draft")
            .contains("cracked lens")
    );
    assert!(entries(&shop).is_empty());
    // The next time it is open again.
    write_with(&shop, "grep -q 'cracked lens' \"$1\"", DAY).ends(0);
    shop.run(["find", "lens"]).ends(0);
    assert!(!draft.exists());

    // The day's entry is as it was until the editor ends well.
    let before = fs::read_to_string(&entries(&shop)[0]).expect("the entry");
    let editor = format!("{}\nexit 1", TYPE.replace("cracked", "broken"));
    let ran = write_with(&shop, &editor, DAY).ends(2);
    let draft = shop.file_named_in(
        &ran.says("your text is in")
            .says("run the same command again"),
    );
    assert!(
        fs::read_to_string(&draft)
            .expect("the draft")
            .contains("broken lens")
    );
    assert_eq!(fs::read_to_string(&entries(&shop)[0]).expect("it"), before);
    // The next write and the next keep name it, and the next editor has it.
    shop.run(["write", "--date", "2026-03-15", "words"])
        .ends(0)
        .says("waits to be placed");
    write_with(&shop, "grep -q 'broken lens' \"$1\"", DAY).ends(0);
    assert!(!draft.exists());
    shop.run(["find", "broken"]).ends(0);
    shop.keep();
    shop.assert_clean();
}

#[test]
fn an_editor_that_cannot_be_started() {
    let shop = Shop::new();
    if !has_terminal(&shop) {
        return;
    }
    for there_before in [false, true] {
        if there_before {
            shop.removed("entries/2026/2026-03-14-horn.md", "Horn", "silent");
        }
        let ran = write_with(&shop, "exec no-such-editor-anywhere \"$1\"", DAY).ends(2);
        ran.says("the editor ended with an error, and nothing was typed");
        assert_eq!(shop.shell("ls drafts").out, "");
    }
    let mut script = shop.surrounded("script", &shop.root);
    script.args(["-qec", &format!("'{PROGRAM}' write"), "/dev/null"]);
    let ran = Ran::from(script.output().expect("it runs"));
    ran.ends(2).shows("no editor is set").shows("EDITOR=");
}

#[test]
fn an_editor_that_deletes_the_file() {
    let shop = Shop::new();
    if !has_terminal(&shop) {
        return;
    }
    for there_before in [false, true] {
        if there_before {
            shop.removed("entries/2026/2026-03-14-horn.md", "Horn", "silent");
        }
        let ran = write_with(&shop, "rm \"$1\"", DAY).ends(2);
        ran.says("the editor left nothing")
            .says("nothing was added");
        assert_eq!(entries(&shop).len(), usize::from(there_before));
    }
    // And the next time begins anew.
    write_with(&shop, TYPE, DAY).ends(0);
    shop.run(["find", "lens"]).ends(0);
    shop.run(["find", "silent"]).ends(0);
}

#[test]
fn an_editor_that_writes_no_text() {
    let shop = Shop::new();
    if !has_terminal(&shop) {
        return;
    }
    let ran = write_with(&shop, &format!("{TYPE}\nprintf '\\377\\n' >> \"$1\""), DAY).ends(2);
    let draft = shop.file_named_in(&ran.says("is not UTF-8"));
    assert!(
        fs::read(&draft)
            .expect("the draft")
            .ends_with(b"cracked lens\n\xff\n")
    );
    // Mended the next time.
    write_with(
        &shop,
        "LC_ALL=C tr -d '\\377' < \"$1\" > \"$1.new\"; mv \"$1.new\" \"$1\"",
        DAY,
    )
    .ends(0);
    shop.run(["find", "lens"]).ends(0);

    let ran = write_with(&shop, "printf 'soft \\377 plug\\n' >> \"$1\"", DAY).ends(2);
    let draft = shop.file_named_in(&ran.says("not UTF-8"));
    assert!(
        fs::read(&draft)
            .expect("the draft")
            .ends_with(b"soft \xff plug\n")
    );
    shop.run(["find", "lens"]).ends(0);
}

#[test]
fn an_editor_that_empties_the_file() {
    let shop = Shop::new();
    if !has_terminal(&shop) {
        return;
    }
    write_with(&shop, ": > \"$1\"", DAY)
        .ends(1)
        .says("nothing was added");
    write_with(&shop, "true", DAY)
        .ends(1)
        .says("nothing was added");
    assert!(entries(&shop).is_empty());
    shop.removed("entries/2026/2026-03-14-horn.md", "Horn", "silent");
    shop.keep();
    let ran = write_with(&shop, ": > \"$1\"", DAY).ends(1);
    ran.says("stays as it was");
    shop.assert_clean();
}

/// Whatever else writes while the editor is open, both texts are there.
#[test]
fn what_is_written_while_the_editor_is_open_is_there_too() {
    let shop = Shop::new();
    if !has_terminal(&shop) {
        return;
    }
    let meanwhile = format!(
        "cp \"$1\" ../open; \"$MATCHMARK\" write {DAY} --part Ferrule --found 'soft as cheese' || exit 3; cp ../open \"$1\"\n{TYPE}"
    );
    // First a new draft, then the day's entry itself.
    for lenses in 1..=2 {
        write_with(&shop, &meanwhile, DAY).ends(0);
        let all = everything(&shop);
        assert_eq!(all.matches("cracked lens").count(), lenses, "{all}");
        assert_eq!(all.matches("soft as cheese").count(), lenses, "{all}");
    }
    let found = shop.run(["find", "cheese", "--json"]).ends(0);
    assert!(found.out.contains("\"total\": 2"), "{found:#?}");
}

/// Two editors at once: neither takes the other's draft away.
#[test]
fn two_editors_at_once_lose_nothing() {
    let shop = Shop::new();
    if !has_terminal(&shop) {
        return;
    }
    let second = "if test -e ../second; then printf '\\n## Ferrule\\n\\n- found: soft as cheese\\n' >> \"$1\"; exit 0; fi
touch ../second; script -qec \"'$MATCHMARK' write --date 2026-03-14\" /dev/null >&2 || exit 3";
    write_with(&shop, &format!("{second}\n{TYPE}"), DAY).ends(0);
    let all = everything(&shop);
    assert!(
        all.contains("cracked lens") && all.contains("soft as cheese"),
        "{all}"
    );
    assert_eq!(
        shop.shell("ls .matchmark/drafts | grep -c md").out.trim(),
        "0"
    );
    shop.run(["find", "cheese"]).ends(0);
    shop.run(["find", "lens"]).ends(0);
}

#[test]
fn standard_input_that_is_closed_or_empty() {
    let shop = Shop::new();
    for script in [
        "\"$MATCHMARK\" write <&-",
        "\"$MATCHMARK\" write - <&-",
        "\"$MATCHMARK\" write < /dev/null",
        "printf ' \\n' | \"$MATCHMARK\" write",
    ] {
        let ran = shop.shell(script).ends(2);
        assert_no_panic(&ran.says("nothing came from standard input"));
    }
    shop.shell("\"$MATCHMARK\" write < .").ends(2);
    assert!(entries(&shop).is_empty());
    // Output that nobody takes: the text is there all the same.
    let ran = shop.shell("\"$MATCHMARK\" write --part Lamp --found cracked >&- 2>&-");
    assert_no_panic(&ran);
    shop.run(["find", "lamp"]).ends(0);
    let ran = shop
        .shell("\"$MATCHMARK\" write --part Horn --found silent > /dev/full")
        .ends(2);
    assert_no_panic(&ran.says("could not be shown"));
    shop.run(["find", "horn"]).ends(0);
}
