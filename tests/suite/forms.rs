//! The forms in which an answer leaves, and where it may go.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use serde_json::Value;

use super::support::{Ran, Shop, assert_no_panic};

/// A journal in which each verb has something to say.
fn shop() -> Shop {
    let shop = Shop::new();
    shop.write(
        "entries/2026/2026-03-14-a.md",
        "---\ndate: 2026-03-14\nvehicle: wren\nsystem: brakes\nhours: 1\n---\n\n# Off\n\n\
         It took an hour and it did not want to come off.\n\n## Brake drum\n\n- status: removed\n\
         - hardware: 4 hex nut 7/16-20, bag 7\n- needs: turning, by 2026-05-01\n- cost: 3.50 oil\n\n\
         ## Horn\n\n- status: removed\n- replaced by: reproduction\n  - from: a market stall\n",
    );
    shop
}

fn object(ran: &Ran) -> Value {
    assert_no_panic(ran);
    let value: Value =
        serde_json::from_str(&ran.out).unwrap_or_else(|error| panic!("{error}: {ran:?}"));
    assert!(value.is_object(), "{ran:?}");
    value
}

/// All keys of a value, at any depth.
fn keys(value: &Value, into: &mut BTreeSet<String>) {
    match value {
        Value::Object(object) => {
            for (key, value) in object {
                into.insert(key.clone());
                keys(value, into);
            }
        }
        Value::Array(values) => values.iter().for_each(|value| keys(value, into)),
        Value::Null | Value::Bool(_) | Value::Number(_) | Value::String(_) => {}
    }
}

/// Every verb that shows `--json` in its help answers with one object, `--as
/// json` is the same, and docs/json.md names every key.
#[test]
fn every_verb_that_offers_json_answers_with_it() {
    let page = Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/json.md");
    let page = fs::read_to_string(page).expect("docs/json.md");
    let documented: BTreeSet<&str> = page
        .split(|c: char| !c.is_alphanumeric() && c != '_')
        .collect();
    let shop = shop();
    shop.write(
        "rows.csv",
        "date,text\n2026-03-20,washed the shed\nnever,odd\n",
    );
    let verbs: [(&str, &[&str]); 18] = [
        ("find", &["horn"]),
        ("part", &["horn"]),
        ("replaced", &[]),
        ("needs", &[]),
        ("bags", &[]),
        ("refit", &[]),
        ("torque", &["7/16-20", "--grade", "5"]),
        ("tally", &[]),
        ("recap", &[]),
        ("past", &[]),
        ("check", &[]),
        ("keep", &[]),
        ("book", &["../book"]),
        ("write", &["--part", "coil", "--status", "removed"]),
        ("adopt", &["rows.csv"]),
        ("begin", &["../other", "--vehicle", "Pavetta"]),
        ("tour", &["../demo"]),
        ("write", &["--keys"]),
    ];
    // Something for `past` to tell.
    shop.keep();
    shop.removed("entries/2026/2026-03-15-b.md", "lamp", "");
    for (verb, arguments) in verbs {
        let again: Vec<String> = arguments
            .iter()
            .map(|word| match word.strip_prefix("../") {
                Some(name) => format!("../{name}-again"),
                None => (*word).to_owned(),
            })
            .collect();
        let mut long = vec![verb.to_owned()];
        long.extend(again);
        long.extend(["--as".to_owned(), "json".to_owned()]);
        let short = [&[verb], arguments, &["--json"]].concat();
        for ran in [shop.run(short), shop.run(long)] {
            let mut named = BTreeSet::new();
            keys(&object(&ran), &mut named);
            for key in named {
                assert!(
                    documented.contains(key.as_str()),
                    "docs/json.md does not name `{key}` of {verb}"
                );
            }
        }
    }
    let help = shop.run(["--help"]).ends(0).out;
    for line in help.lines().skip_while(|line| *line != "Commands:").skip(1) {
        let Some(verb) = line
            .split_whitespace()
            .next()
            .filter(|_| line.starts_with("  "))
        else {
            break;
        };
        if verb == "help" || !line.starts_with(&format!("  {verb}")) {
            continue;
        }
        let offers = shop.run([verb, "--help"]).ends(0).out.contains("--json");
        let tested = verbs.iter().any(|(known, _)| *known == verb);
        assert_eq!(offers, tested, "{verb}");
    }
}

/// What was written or kept, where, and what is wrong with it.
#[test]
fn verbs_that_write_say_what_and_where() {
    let shop = Shop::new();
    let written = object(&shop.run([
        "write",
        "--part",
        "horn",
        "--status",
        "removed",
        "--date",
        "2026-03-14",
        "--needs",
        "",
        "--json",
    ]));
    let entry = written["entry"].as_str().expect("an entry");
    assert!(shop.read(entry).contains("## horn"), "{written}");
    assert_eq!(
        (&written["vehicle"], &written["date"]),
        (&"wren".into(), &"2026-03-14".into())
    );
    assert!(written["problems"].is_array() && written["lines"].is_null());
    let added = object(&shop.run([
        "write",
        "--part",
        "coil",
        "--found",
        "wet",
        "--date",
        "2026-03-14",
        "--json",
    ]));
    let first = added["lines"][0].as_u64().expect("a line");
    let line = usize::try_from(first).expect("small") - 1;
    assert_eq!(
        shop.read(entry).lines().nth(line),
        Some("## coil"),
        "{added}"
    );

    let kept = object(&shop.run(["keep", "--json"]).ends(0));
    assert_eq!(kept["kept"].as_array().map(Vec::len), Some(4), "{kept}");
    let commit = kept["commit"].as_str().expect("a commit");
    assert!(shop.git(["rev-parse", "HEAD"]).starts_with(commit));
    let subject = kept["subject"].as_str().expect("a subject");
    assert_eq!(shop.git(["log", "-1", "--format=%s"]).trim(), subject);
    let nothing = object(&shop.run(["keep", "--json"]).ends(0));
    assert!(nothing["commit"].is_null() && nothing["kept"] == Value::Array(Vec::new()));

    shop.write(
        "rows.csv",
        "date,text,cost\n2026-03-20,washed the shed,2.50\nnever,odd,\n",
    );
    let plan = object(&shop.run(["adopt", "rows.csv", "--json"]).ends(0));
    assert_eq!(
        (&plan["written"], &plan["adopted"]),
        (&false.into(), &1.into())
    );
    let done = object(&shop.run(["adopt", "rows.csv", "--yes", "--json"]).ends(1));
    assert_eq!(
        (&done["written"], &done["entries"]),
        (&true.into(), &1.into())
    );
    assert_eq!(done["not_adopted"][0]["row"], 2, "{done}");
    assert_eq!(done["money"][0]["amount"], "2.50");

    let begun = object(
        &shop
            .run(["begin", "../b", "--vehicle", "Pavetta 125", "--json"])
            .ends(0),
    );
    assert_eq!(begun["vehicles"][0], "pavetta-125");
    assert!(shop.around().join("b/vehicles/pavetta-125.md").exists());
}

/// An old option or form ends with a sentence that names the new one.
#[test]
fn renamed_options_name_the_new_ones() {
    let shop = shop();
    for (old, new) in [
        (&["replaced", "--csv"][..], "--as csv"),
        (&["replaced", "--page", "p.html"], "--as page --into"),
        (&["replaced", "--page=p.html"], "--as page --into"),
        (&["needs", "--calendar", "n.ics"], "--as calendar --into"),
        (&["bags", "--labels", "l.html"], "--as labels --into"),
        (
            &["bags", "7", "--labels", "l.svg"],
            "--as labels-svg --into",
        ),
        (&["refit", "--page", "p.html"], "--as page --into"),
        (&["-j", ".", "tally", "--csv"], "--as csv"),
        (&["recap", "--as", "shots", "--csv"], "--as shots-csv"),
        (&["recap", "--as", "marks"], "--as chapter-list"),
    ] {
        shop.run(old).ends(2).says(new);
    }
    // An option that never was is none of these.
    let other = shop.run(["find", "horn", "--csv"]).ends(2);
    assert!(!other.err.contains("another name"), "{other:?}");
}

/// One thing is asked for, in one form.
#[test]
fn a_form_goes_to_standard_output_or_into_a_file() {
    let shop = shop();
    for (verb, form) in [
        ("replaced", "csv"),
        ("replaced", "page"),
        ("replaced", "text"),
        ("needs", "calendar"),
        ("needs", "json"),
        ("bags", "labels"),
        ("bags", "labels-svg"),
        ("refit", "page"),
        ("refit", "picture"),
        ("tally", "csv"),
        ("tally", "picture"),
        ("recap", "draft"),
        ("recap", "article"),
        ("recap", "chapters"),
        ("recap", "shots-csv"),
    ] {
        let name = format!("{verb}-{form}");
        let shown = shop.run([verb, "--as", form]).ends(0).out;
        assert!(!shown.is_empty(), "{name}");
        assert_eq!(
            shop.run([verb, "--as", form, "--into", "-"]).ends(0).out,
            shown
        );
        let said = shop.run([verb, "--as", form, "--into", &name]).ends(0).out;
        assert!(
            said.contains("written to") && said.contains(&name),
            "{said}"
        );
        let written = shop.read(&name);
        let bare = |text: &str| {
            let lines = text.lines().filter(|line| !line.starts_with("DTSTAMP"));
            lines.map(str::to_owned).collect::<Vec<_>>()
        };
        assert_eq!(bare(&written), bare(&shown), "{name}");
        // Once more: a form with a mark is renewed, any other is left alone.
        let marked = [
            "page",
            "picture",
            "calendar",
            "labels",
            "labels-svg",
            "article",
        ]
        .contains(&form);
        let again = shop.run([verb, "--as", form, "--into", &name]);
        assert_eq!(
            again.code,
            Some(if marked { 0 } else { 2 }),
            "{name} {again:?}"
        );
        // What a person put there is never written over, whatever the form.
        let mine = format!("mine, with {written}");
        shop.write(&name, &mine);
        shop.run([verb, "--as", form, "--into", &name])
            .ends(2)
            .says("nothing was written");
        assert_eq!(shop.read(&name), mine);
    }
}

/// Nothing that is no file of its own is opened, written or waited for.
#[cfg(unix)]
#[test]
fn odd_targets_are_refused_and_never_waited_for() {
    use std::os::unix::fs::symlink;

    let shop = shop();
    assert!(shop.shell("mkfifo pipe && mkdir there").code == Some(0));
    symlink("nowhere", shop.root.join("dangling")).expect("a link");
    symlink("pipe", shop.root.join("to-pipe")).expect("a link");
    symlink("journal.toml", shop.root.join("to-settings")).expect("a link");
    let settings = shop.read("journal.toml");
    for form in [
        &["replaced", "--as", "page"][..],
        &["replaced", "--as", "csv"],
        &["needs", "--as", "calendar"],
        &["bags", "--as", "labels-svg"],
        &["find", "horn", "--json"],
        &["keep", "--json"],
        &["write", "--part", "zzqxw", "--found", "vvkzj", "--json"],
        &["begin", "../never"],
    ] {
        for (target, says) in [
            ("pipe", "is a pipe or a device"),
            ("to-pipe", "is a pipe or a device"),
            ("/dev/null", "is a pipe or a device"),
            ("there", "is a folder"),
            (".", "is a folder"),
            ("/", "is a folder"),
            ("dangling", "leads nowhere"),
            ("to-settings", "is there already"),
            ("journal.toml", "is there already"),
            ("no/such/file", "there is no folder"),
        ] {
            let script = format!(
                "timeout 20 \"$MATCHMARK\" {} --into {target} > said 2>&1; echo $? >> said",
                form.join(" ")
            );
            shop.shell(&script);
            let said = shop.read("said");
            let words = said.split_whitespace().collect::<Vec<_>>().join(" ");
            assert!(
                words.contains(says) && words.ends_with(" 2"),
                "{form:?} {target}: {said}"
            );
        }
    }
    assert_eq!(shop.read("journal.toml"), settings);
    // Nothing was done before it was refused.
    assert!(!shop.around().join("never").exists());
    assert!(!shop.root.join(".git").exists());
    shop.run(["find", "vvkzj"]).ends(1);
    // A link to a page of its own stays one.
    shop.run(["replaced", "--as", "page", "--into", "real.html"])
        .ends(0);
    symlink("real.html", shop.root.join("link.html")).expect("a link");
    fs::remove_file(shop.root.join("said")).expect("a file");
    shop.run(["replaced", "--as", "page", "--into", "link.html"])
        .ends(0);
    assert!(shop.root.join("link.html").is_symlink());
}

/// A folder that takes no file is named, and nothing else happens.
#[cfg(unix)]
#[test]
fn a_folder_that_takes_no_file_is_named() {
    let shop = shop();
    // Even the superuser cannot write there.
    if !Path::new("/proc/self").exists() {
        return;
    }
    let ran = shop
        .run(["replaced", "--as", "page", "--into", "/proc/page.html"])
        .ends(2);
    assert!(ran.err.contains("/proc/page.html"), "{ran:?}");
}
