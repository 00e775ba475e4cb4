//! Nothing typed is lost, whatever goes wrong: it is in an entry, or in a draft
//! that the message names and that the next verbs name until it is taken up.

use std::fs;
use std::path::PathBuf;

use crate::support::{Ran, Shop, assert_no_panic};

const DAY: &str = "2026-03-14";

/// The only entry of a journal.
#[track_caller]
fn entry(shop: &Shop) -> String {
    let listed = shop.shell("find entries -name '*.md'").out;
    let paths: Vec<&str> = listed.lines().collect();
    assert_eq!(paths.len(), 1, "{paths:?}");
    fs::read_to_string(shop.root.join(paths[0])).expect("an entry")
}

/// The draft that a failure names, and what is in it.
#[track_caller]
fn draft(shop: &Shop, ran: Ran) -> (PathBuf, String) {
    assert_no_panic(&ran);
    let file = shop.file_named_in(&ran.ends(2).says("your text is in").says("--draft"));
    let text = fs::read_to_string(&file).expect("a draft");
    (file, text)
}

#[test]
fn options_words_and_piped_text_all_count() {
    for (arguments, piped, wanted) in [
        (
            &["--part", "Horn", "--status", "removed", "off in", "no time"][..],
            "It sheared.\n\nTwice.\n",
            "## Horn\n\n- status: removed\n\noff in no time\n\nIt sheared.\n\nTwice.\n",
        ),
        (&["--part", "Horn"], "bent\n", "## Horn\n\n- found: bent\n"),
        (&["typed"], "piped\n", "\n\ntyped\n\npiped\n"),
        (&["typed", "-"], "piped\n", "\n\ntyped -\n\npiped\n"),
        (&["-"], "piped\n", "\n\npiped\n"),
        (
            &["--part", "Horn", "--bag", "3"],
            "- found: bent\n\nProse.\n\n## Lamp\n\n- found: cracked\n",
            "## Horn\n\n- bag: 3\n- found: bent\n\nProse.\n\n## Lamp\n\n- found: cracked\n",
        ),
        (
            &["--hours", "2"],
            "# A good day\n\nProse.\n",
            "hours: 2\n---\n\n# A good day\n\nProse.\n",
        ),
        (
            &["--part", "Horn", "--found", "bent"],
            "---\nvehicle: wren\nsystem: body\n---\n\n# Whole\n",
            "---\nvehicle: wren\nsystem: body\ndate: 2026-03-14\n---\n\n# Whole\n\n## Horn\n\n- found: bent\n",
        ),
    ] {
        let shop = Shop::new();
        let arguments = [&["write", "--date", DAY], arguments].concat();
        let ran = shop.run_with(&arguments, piped.as_bytes()).ends(0);
        assert_no_panic(&ran);
        let text = entry(&shop);
        assert!(text.contains(wanted), "{arguments:?}\n{text}");
        assert!(
            !ran.out.contains("warning") && !ran.out.contains("error"),
            "{ran:?}"
        );
    }
}

#[test]
fn what_cannot_be_placed_is_taken_up_once_it_is_said_right() {
    for (arguments, piped, wrong, right, wanted) in [
        (
            &["--date", "someday", "words", "--part", "Horn", "--bag", "3"][..],
            "piped\n",
            "`someday` after --date",
            &[][..],
            &["## Horn\n\n- bag: 3\n\nwords\n\npiped\n"][..],
        ),
        (
            &["--hours", "lots", "words"],
            "",
            "`hours: lots` cannot be read",
            &["--hours", "2"],
            &["hours: 2\n", "words"],
        ),
        (
            &["--part", "Horn", "--hours", "lots", "words"],
            "",
            "`hours: lots` cannot be read",
            &["--hours", "2"],
            &["## Horn\n\n- hours: 2\n\nwords\n"],
        ),
        (
            &["--status", "removed", "--replaced-by", "a new one"],
            "words\n",
            "belong to a part",
            &["--part", "Horn"],
            &["## Horn\n\n- status: removed\n- replaced by: a new one\n\nwords\n"],
        ),
        (
            &["--part", "Horn", "--cost", "too much"],
            "",
            "`cost: too much` cannot be read",
            &["--cost", "40"],
            &["- cost: 40\n"],
        ),
        (
            &[
                "--vehicle",
                "swallow",
                "--title",
                "A day",
                "--lesson",
                "heat first",
            ],
            "",
            "no vehicle of this journal",
            &["--vehicle", "wren"],
            &["# A day\n", "lesson: heat first\n"],
        ),
        (
            &["--date", DAY, "words"],
            "---\ndate: 2026-03-15\nvehicle: wren\n---\n\n# T\n\nwhole\n",
            "the text says `date: 2026-03-15`",
            &["--date", "2026-03-15"],
            &["words", "whole", "date: 2026-03-15"],
        ),
    ] {
        let shop = Shop::new();
        let arguments = [&["write"], arguments].concat();
        let ran = shop.run_with(&arguments, piped.as_bytes());
        let (file, _) = draft(&shop, ran.says(wrong));
        // The next verbs name it.
        shop.run(["keep"]).ends(0).says("waits to be placed");
        shop.run(["check"]).ends(0).shows("waits to be placed");
        let taken = [&["write", "--draft"], &[file.to_str().expect("a path")][..]].concat();
        let said_right = if right.contains(&"--date") {
            Vec::new()
        } else {
            vec!["--date", DAY]
        };
        shop.run([taken, said_right, right.to_vec()].concat())
            .ends(0);
        let text = entry(&shop);
        for wanted in wanted {
            assert!(
                text.contains(wanted),
                "{arguments:?}: no {wanted:?} in\n{text}"
            );
        }
        assert!(!file.exists(), "{arguments:?}");
        let kept = shop.run(["keep"]).ends(0);
        assert_eq!(kept.err, "");
    }
}

#[test]
fn outside_of_a_journal_the_text_waits_for_one() {
    let shop = Shop::new();
    let ran = shop.run_with(
        ["-j", "..", "write", "--part", "Horn", "words"],
        b"typed for nothing?\n",
    );
    let (file, text) = draft(&shop, ran.says("there is no journal"));
    assert!(
        file.starts_with(shop.around().join("home")),
        "{}",
        file.display()
    );
    assert!(
        text.contains("words") && text.contains("typed for nothing?"),
        "{text}"
    );
    shop.run(["write", "more"])
        .ends(0)
        .says(&file.display().to_string());
    let path = file.display().to_string();
    shop.run(["write", "--draft", &path]).ends(0);
    assert!(entry(&shop).contains("typed for nothing?"));
    assert!(!file.exists());
    // Where it still cannot be placed, it stays where it is.
    let (file, text) = draft(&shop, shop.run(["-j", "..", "write", "again"]));
    let path = file.display().to_string();
    let (same, still) = draft(&shop, shop.run(["-j", "..", "write", "--draft", &path]));
    assert_eq!((same, still), (file, text));
}

#[test]
fn piped_text_outlives_an_option_that_there_is_not() {
    let shop = Shop::new();
    let ran = shop
        .run_with(["write", "--hour", "2"], b"typed for nothing?\n")
        .ends(2);
    let file = shop.file_named_in(&ran.says("your text is in"));
    assert_eq!(fs::read(file).expect("a draft"), b"typed for nothing?\n");
}

#[test]
fn bytes_that_are_no_text_are_kept_as_they_came() {
    let shop = Shop::new();
    let ran = shop.run_with(["write", "-"], b"soft \xff plug\n");
    let file = shop.file_named_in(&ran.ends(2).says("not UTF-8"));
    assert_eq!(fs::read(file).expect("a draft"), b"soft \xff plug\n");
}

#[test]
fn facts_of_a_session_need_no_part() {
    let shop = Shop::new();
    let write = |arguments: &[&str]| {
        shop.run([&["write", "--date", DAY], arguments].concat())
            .ends(0)
    };
    write(&[
        "--hours",
        "2",
        "--cost",
        "-20 core",
        "--lesson",
        "heat: first",
    ]);
    write(&["--hours", "1:30", "--cost", "12 oil", "--tool", "puller"])
        .shows("hours of the session: 2:00 + 1:30 = 3:30");
    // A share above the session's hours raises them.
    write(&["--part", "Horn", "--hours", "4"]).shows("hours of the session: 4:00");
    write(&["--title", "Another title"]);
    let text = entry(&shop);
    assert!(text.starts_with("---\ndate: 2026-03-14\nvehicle: wren\nhours: 4:00\ncost: \"-20 core\"\nlesson: \"heat: first\"\ncost: 12 oil\ntool: puller\n---\n"), "{text}");
    assert!(text.contains("Another title"));
    shop.run(["check", "--no-notes"]).ends(0);
    shop.run(["tally"]).shows("-8.00").shows("4:00");
}

#[test]
fn the_first_lines_of_the_help_work() {
    let shop = Shop::new();
    let help = shop.run(["--help"]).ends(0).out;
    assert!(help.contains("`matchmark begin my-van --vehicle \"My van\"`, `cd my-van`"));
    let script = "cd ..; \"$MATCHMARK\" begin my-van --vehicle 'My van' --author 'A <a@example.org>' && cd my-van && \"$MATCHMARK\" write words && \"$MATCHMARK\" keep && \"$MATCHMARK\" check";
    shop.shell(script).ends(0).shows("no problems");
    // One begun without a vehicle says how to add one.
    let bare = "cd ..; \"$MATCHMARK\" begin bare --author 'A <a@example.org>' && cd bare && \"$MATCHMARK\" write words";
    shop.shell(bare).ends(2).says("matchmark begin --vehicle");
}

#[test]
fn a_vehicle_is_added_once() {
    let shop = Shop::new();
    shop.run(["begin", "--vehicle", "Second van"])
        .ends(0)
        .shows("vehicles/second-van.md");
    shop.run(["write", "--vehicle", "second van", "words"])
        .ends(0);
    shop.run(["begin", "--vehicle", "WREN"])
        .ends(2)
        .says("already: wren");
    shop.run(["begin", "--vehicle", "Wrenn"])
        .ends(2)
        .says("one slip from the vehicle `wren`");
    shop.run(["begin", "--vehicle", "second-van"])
        .ends(2)
        .says("already: second-van");
    assert_eq!(shop.shell("ls vehicles | wc -l").out.trim(), "2");
}

#[test]
fn a_misreading_can_be_seen_in_the_echo() {
    let shop = Shop::new();
    let entry = |day: &str, facts: &str| {
        format!("---\ndate: 2026-03-{day}\nvehicle: wren\n---\n\n# Evening {day}\n\n{facts}")
    };
    let first = entry("14", "## Carburettor\n\n- off, bag dynamo\n");
    shop.run_with(["write"], first.as_bytes()).ends(0);
    let second = entry(
        "15",
        "## Carb\n\n- undone\n\n## Door\n\n- out\n- hardware: 2 bolt M6, bag generator\n\n\
         ## Horn\n\n- off, bag 1O\n- replaced by: used\n\n## Bonnet\n\n- on, bolts hand tight only\n",
    );
    let ran = shop.run_with(["write"], second.as_bytes()).ends(0);
    let said = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    for shown in [
        "Carb (new? near: Carburettor): undone (in place)",
        "Door (new): out (sent away)",
        // Words for one part are none for one bag.
        "bag generator (new): 2 bolt M6",
        "replaced by used",
        "Bonnet (new): loose",
    ] {
        assert!(said.contains(shown), "{shown}: {said}");
    }
    assert!(!said.contains("used used"), "{said}");
    let problems = shop.run(["check"]).out;
    assert!(problems.contains("is it bag 10?"), "{problems}");
    let asked = entry(
        "16",
        "## Bumper\n\n- still at the plater! promised for end of may\n- replaced by: new ones 2 @ 24.50 (copy)\n- plater wants £120\n",
    );
    shop.run_with(["write"], asked.as_bytes()).ends(0);
    shop.run(["check"])
        .shows("only that it is away counts")
        .shows("`24.50` in `replaced by` looks like a price");
    let spent = shop.run(["tally", "--json"]).out;
    assert!(!spent.contains("120"), "{spent}");
}

#[test]
fn a_vehicle_that_is_not_known_is_none_other() {
    let shop = Shop::new();
    shop.run(["begin", "--vehicle", "Tarnhof 18"]).ends(0);
    shop.run(["write", "--vehicle", "wren", "words"]).ends(0);
    let text = "---\ndate: 2026-03-14\nvehicle: tarnhof\n---\n\n# Off\n\n## Horn\n\n- off\n";
    shop.run_with(["write"], text.as_bytes())
        .ends(2)
        .says("no vehicle of this journal")
        .says("tarnhof-18")
        .says("drafts/");
    shop.run([
        "write",
        "--vehicle",
        "tarnhof",
        "--part",
        "Horn",
        "--status",
        "off",
    ])
    .ends(2)
    .says("did you mean `tarnhof-18`");
    let written = shop.shell("cat entries/2026/*.md").out;
    assert!(!written.contains("Horn"), "{written}");
}

#[test]
fn a_journal_begins_in_the_folder_that_is_named() {
    let shop = Shop::new();
    let script = |words: &str| {
        format!("mkdir ../elsewhere 2> /dev/null; cd ../elsewhere && \"$MATCHMARK\" {words}")
    };
    let begun = "-j ../named begin --vehicle Wren --author 'A <a@example.org>'";
    shop.shell(&script(begun)).ends(0).shows("../named");
    shop.shell(&script("-j ../named begin --vehicle Lark"))
        .ends(0)
        .shows("vehicle added: lark");
    shop.shell(&script("-j ../named begin ../other"))
        .ends(2)
        .says("two folders");
    shop.shell(&script("-j ../named tour"))
        .ends(2)
        .says("matchmark tour FOLDER");
    assert_eq!(shop.shell("ls ../elsewhere | wc -l").out.trim(), "0");
    assert_eq!(
        shop.shell("ls ../named/vehicles").out.trim(),
        "lark.md\nwren.md"
    );
}

#[test]
fn a_day_that_can_be_two_is_not_taken_as_today() {
    let shop = Shop::new();
    let text = |day: &str| {
        format!("---\ndate: {day}\nvehicle: wren\n---\n\n# Off\n\n## Horn\n\n- status: removed\n")
    };
    let ran = shop.run_with(["write"], text("3/4/26").as_bytes()).ends(2);
    assert!(ran.err.contains("2026-04-03 or 2026-03-04"), "{}", ran.err);
    assert!(ran.err.contains("drafts/"), "{}", ran.err);
    let ran = shop.run_with(["write"], text("21/2/26").as_bytes()).ends(0);
    assert!(
        ran.err.contains("2026-02-21") || ran.out.contains("2026-02-21"),
        "{ran:?}"
    );
    // The day stays as it was typed.
    let path = std::fs::read_dir(shop.root.join("entries/2026"))
        .expect("a folder")
        .next();
    let written = std::fs::read_to_string(path.expect("an entry").expect("an entry").path());
    assert!(written.expect("its text").contains("date: 21/2/26"));
}
