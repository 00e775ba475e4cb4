//! Wrong questions, empty journals, readers who have seen enough: a sentence,
//! a hint, and the exit status that was promised (0 done, 1 the answer is no,
//! 2 misuse or failure).

use crate::support::{Ran, Shop, assert_no_panic};

fn filled() -> Shop {
    let shop = Shop::new();
    shop.removed("entries/2026/2026-03-14-horn.md", "Horn", "silent");
    shop.keep();
    shop
}

/// Status 2, nothing on standard output, these words on standard error.
#[track_caller]
fn assert_misuse(shop: &Shop, arguments: &[&str], words: &str) {
    let ran = shop.run(arguments);
    assert_no_panic(&ran);
    let ran = ran.ends(2).says(words);
    assert_eq!(ran.out, "", "{ran:#?}");
}

#[test]
fn unknown_names_and_days_are_explained() {
    let shop = filled();
    for (arguments, words) in [
        (
            &["find", "horn", "--vehicle", "swallow"][..],
            "the vehicles are: wren",
        ),
        (
            &["part", "horn", "--vehicle", "swallow"],
            "the vehicles are: wren",
        ),
        (&["part", "--vehicle", "swallow"], "the vehicles are: wren"),
        (
            &["replaced", "--vehicle", "swallow"],
            "the vehicles are: wren",
        ),
        (
            &["write", "--vehicle", "swallow", "text"],
            "the vehicles are: wren",
        ),
        (&["find", "horn", "--system", "sails"], "the systems are: "),
        (&["part", "--system", "sails"], "the systems are: "),
        (&["part", "--status", "sideways"], "sideways"),
        (&["find", "horn", "--status", "sideways"], "sideways"),
        (
            &["part", "horn", "--on", "someday"],
            "`someday` after --on is no day",
        ),
        (
            &["replaced", "--on", "2026-02-30"],
            "`2026-02-30` after --on is no day",
        ),
        (&["replaced", "--since", "soon"], "after --since is no day"),
        (
            &["find", "horn", "--until", "2026-13"],
            "after --until is no day",
        ),
        (
            &["write", "--date", "31/31", "text"],
            "after --date is no day",
        ),
        (
            &["part", "horn", "--as-written", "beef00"],
            "no commit called `beef00`",
        ),
        (
            &["part", "horn", "--as-written", "2001-01-01"],
            "the history begins on",
        ),
        (&["check", "--as-written", "1999"], "1999"),
        (&["past", "--as-written", "--evil"], "--evil"),
        (&["past", "--bring-back", "today"], "only one entry"),
        (
            &["past", "unicorn"],
            "no entry and no part is called `unicorn`",
        ),
        (
            &["past", "entries/none.md"],
            "no entry and no part is called",
        ),
        (
            &[
                "past",
                "entries/2026/2026-03-14-horn.md",
                "--bring-back",
                "2001-01-01",
            ],
            "the history begins on",
        ),
        (&["write", "--status", "removed"], "add `--part"),
        (&["write", "--found", "bent"], "add `--part"),
        (&["adopt", "none.csv"], "none.csv"),
        (&["adopt", "journal.toml"], "no column"),
        (&["begin"], "is a journal already"),
        (
            &["begin", "inside/of/it"],
            "there is a journal around that folder",
        ),
        (&["tour", "entries"], "exists already"),
        (
            &["tour", "inside/of/it"],
            "there is a journal around that folder",
        ),
        (
            &["replaced", "--as", "page", "--into", "p.html", "--json"],
            "cannot be used with",
        ),
        (&["keep", "--as", "csv"], "possible values: text, json"),
        (&["completions", "bash", "--json"], "--json"),
        (&["replaced", "--part", "unicorn"], "no part is called"),
        (&["find"], "Usage"),
        (&["fnid", "horn"], "find"),
        (&["find", "horn", "--sytem", "brakes"], "--system"),
        (&[], "Usage"),
        (&["completions", "abacus"], "abacus"),
        (&["find", "horn", "--most", "many"], "many"),
        (&["-j", "nowhere", "find", "horn"], "there is no folder"),
        (&["-j", "journal.toml", "find", "horn"], "no folder"),
        (&["-j", "nowhere", "write", "text"], "there is no folder"),
    ] {
        assert_misuse(&shop, arguments, words);
    }
    shop.assert_clean();
}

#[test]
fn no_is_an_answer() {
    let shop = filled();
    for arguments in [
        &["find", "unicorn"][..],
        &["find", "\""],
        &["find", "***"],
        &["part", "unicorn"],
        &["part", "--system", "brakes"],
        &["replaced"],
        &["past", "--until", "2001-01-01"],
        &["past", "--since", "2999-01-01"],
        &["find", "unicorn", "--json"],
        &["replaced", "--json"],
    ] {
        let ran = shop.run(arguments);
        assert_no_panic(&ran);
        assert_eq!(
            (ran.code, ran.err.as_str()),
            (Some(1), ""),
            "{arguments:?} {ran:#?}"
        );
        assert_ne!(ran.out, "", "{arguments:?}");
        if arguments.contains(&"--json") {
            serde_json::from_str::<serde_json::Value>(&ran.out).expect("JSON");
        }
    }
}

#[test]
fn outside_a_journal_every_verb_says_so() {
    let shop = Shop::new();
    let verbs = [
        &["find", "horn"][..],
        &["part"],
        &["part", "horn"],
        &["replaced"],
        &["past"],
        &["check"],
        &["keep"],
        &["write", "some text"],
        &["adopt", "table.csv"],
    ];
    for verb in verbs {
        let ran = shop.command_in(shop.around(), verb).output();
        let ran = Ran::from(ran.expect("it runs")).ends(2);
        assert_no_panic(&ran.says("there is no journal in").says("matchmark begin"));
    }
    let lost = shop
        .run_with(["-j", "..", "write", "-"], b"typed for nothing?")
        .ends(2);
    lost.says("there is no journal");
}

#[test]
fn an_empty_journal_answers_every_verb() {
    for kept in [false, true] {
        for vehicles in [true, false] {
            let shop = Shop::new();
            if !vehicles {
                shop.shell("rm -r vehicles").ends(0);
            }
            if kept {
                shop.keep();
            }
            for (arguments, code) in [
                (&["find", "horn"][..], 1),
                (&["part"], 1),
                (&["part", "horn"], 1),
                (&["replaced"], 1),
                (&["check"], 0),
                (&["past"], if kept { 0 } else { 2 }),
                (&["past", "horn"], 2),
            ] {
                let ran = shop.run(arguments);
                assert_no_panic(&ran);
                assert_eq!(ran.code, Some(code), "{arguments:?} {ran:#?}");
                let json = shop.run([arguments, &["--json"]].concat());
                assert_no_panic(&json);
                assert_eq!(json.code, Some(code), "{arguments:?} {json:#?}");
            }
            shop.keep();
            shop.keep().shows("nothing new to keep");
            shop.assert_clean();
        }
    }
    // Not even a folder is left.
    let shop = Shop::new();
    shop.shell("rm -r entries vehicles photos .gitignore && : > journal.toml")
        .ends(0);
    for verb in ["part", "replaced", "check", "keep"] {
        assert_no_panic(&shop.run([verb]));
    }
    shop.run([
        "write",
        "--vehicle",
        "wren",
        "--part",
        "Horn",
        "--found",
        "silent",
    ])
    .ends(0);
    shop.run(["find", "horn"]).ends(0);
}

#[test]
fn a_reader_who_has_seen_enough_is_no_failure() {
    let shop = Shop::new();
    for file in 0..300 {
        let prose = "a long story about the horn and its bracket ".repeat(20);
        shop.removed(
            &format!("entries/{file}.md"),
            &format!("Horn h{file}"),
            &prose,
        );
    }
    shop.keep();
    for verb in [
        "find horn --most 300",
        "find horn --most 300 --json",
        "part",
        "part --json",
        "past --text --most 999",
        "check",
        "manual",
        "completions bash",
        "keep",
    ] {
        let script = format!("(\"$MATCHMARK\" {verb}; echo $? > ../code) | head -c 1 > /dev/null");
        let ran = shop.shell(&script);
        assert_no_panic(&ran);
        assert_eq!(ran.err, "", "{verb}");
        let code = std::fs::read_to_string(shop.around().join("code")).expect("the status");
        assert_eq!(code.trim(), "0", "{verb}");
    }
    // Help goes to standard output, and there too a reader may leave.
    let ran = shop.shell("\"$MATCHMARK\" --help | true; \"$MATCHMARK\" --version");
    assert_no_panic(&ran.ends(0));
}

#[test]
fn a_tour_never_touches_what_is_there() {
    let shop = filled();
    for folder in ["entries", "journal.toml"] {
        assert_misuse(
            &shop,
            &["tour", folder],
            "exists already and was left as it is",
        );
    }
    shop.shell("ln -s nowhere ../dangling").ends(0);
    let ran = shop.run(["tour", "../dangling"]);
    assert_no_panic(&ran.ends(2));
    shop.assert_clean();
    let toured = shop.run(["tour", "../tour"]).ends(0);
    assert_no_panic(&toured);
    let ran = shop
        .command_in(&shop.around().join("tour"), ["keep"])
        .output();
    Ran::from(ran.expect("it runs"))
        .ends(0)
        .shows("nothing new to keep");
    assert_misuse(&shop, &["tour", "../tour"], "exists already");
}
