//! Narrow terminals: nothing is wider than the terminal, no word is broken, and
//! no column shrinks to signs of something left out.

use std::collections::BTreeSet;

use unicode_width::UnicodeWidthStr;

use super::support::{PROGRAM, Ran, Shop, assert_no_panic};

const WIDTHS: [&str; 3] = ["40", "60", "80"];

/// What is asked on any journal.
const QUESTIONS: [&[&str]; 27] = [
    &["find", "nut"],
    &["find", "brake drum"],
    &["find", "unicorn"],
    &["part"],
    &["part", "--by", "shelf"],
    &["part", "hub"],
    &["part", "brake drum, left front"],
    &["part", "unicorn"],
    &["replaced"],
    &["needs"],
    &["needs", "--buy"],
    &["bags"],
    &["bags", "--buy"],
    &["bags", "7"],
    &["bags", "unicorn"],
    &["refit"],
    &["refit", "--tonight"],
    &["refit", "--step", "1"],
    &["refit", "--to", "hub"],
    &["torque", "7/16-20"],
    &["torque", "7/16-20", "--grade", "5"],
    &["tally"],
    &["tally", "--by", "part"],
    &["recap", "--vehicle", "wren", "--untold"],
    &["recap", "--vehicle", "wren", "--as", "shots"],
    &["past"],
    &["check"],
];

fn run(shop: &Shop, width: &str, arguments: &[&str]) -> Ran {
    let mut command = shop.command(arguments);
    command.env("COLUMNS", width);
    let ran: Ran = command.output().expect("the program runs").into();
    assert_no_panic(&ran);
    ran
}

/// Fails unless a text fits, keeps its words whole, and says something in every
/// column. `known` are the words that the journal and the program have.
#[track_caller]
fn assert_fits(ran: &Ran, width: &str, what: &[&str]) {
    let columns: usize = width.parse().expect("a number");
    for line in ran.out.lines().chain(ran.err.lines()) {
        assert!(
            line.width() <= columns,
            "{what:?} at {width}: {} columns in\n{line}",
            line.width()
        );
        // Prose that goes on ends with one sign; a column of them says nothing.
        let is_sign = |word: &&str| word.chars().all(|c| c == '…');
        let signs = line.split_whitespace().filter(is_sign).count();
        assert!(
            signs < 2 && line.trim() != "…" && !line.contains("……"),
            "{what:?} at {width}: nothing but `…` in\n{line}"
        );
    }
}

/// The words of an answer, in their order, without the signs between them.
fn words(text: &str) -> Vec<String> {
    text.split(|c: char| !c.is_alphabetic())
        .filter(|word| !word.is_empty())
        .map(str::to_owned)
        .collect()
}

fn demo() -> Shop {
    let mut shop = Shop::new();
    let mut tour = shop.surrounded(PROGRAM, shop.around());
    tour.args(["tour", "demo"]).env("COLUMNS", "40");
    let ran: Ran = tour.output().expect("the program runs").into();
    assert_fits(&ran.ends(0), "40", &["tour"]);
    shop.root = shop.around().join("demo");
    shop
}

/// Long names, long shelves, long labels, of two vehicles, in two currencies.
fn long_names() -> Shop {
    let shop = Shop::new();
    let long = "Windscreen wiper motor mounting bracket reinforcement plate";
    let shelf = "the third shelf of the blue cupboard behind the compressor";
    shop.write("vehicles/pavetta.md", "---\nname: Pavetta 125 with the long-distance touring equipment\nbudget: 14000\n---\n\n# Pavetta\n");
    for (day, vehicle) in [(1, "wren"), (2, "pavetta"), (3, "wren")] {
        shop.write(
            &format!("entries/2026/2026-03-{day:02}-a-title-that-nobody-would-ever-shorten-in-a-hurry-{day}.md"),
            format!(
                "---\ndate: 2026-03-{day:02}\nvehicle: {vehicle}\nsystem: brakes\nhours: 181:20\nfootage: A017 00:00-09:30\n---\n\n# A title that nobody would ever shorten in a hurry\n\n\
                 It took the whole of an evening, and then the whole of another one; in the end it came off.\n\n\
                 ## {long}, left front, upper\n\n- status: removed\n- hardware: 12 countersunk socket head machine screw 7/16-20 x 2-1/2 grade 8, bag the coffee tin with the dented lid {day}; 2 castellated nut, new\n\
                 - stored: {shelf}\n- needs: straightening, welding and a new captive nut, by 2026-05-01\n- found: cracked\n- cost: 1234567.50 welding gas\n- cost: USD 84.50 plate\n\
                 - after: {long}, right front\n- caution: petrol vapour\n- lesson: support the whole assembly before the last screw comes out\n\n\
                 ## {long}, right front\n\n- status: removed\n- bag: 7\n- replaced by: reproduction, of stainless steel and with the later fixing\n  - from: a market stall at the other end of the country\n  - cost: 84.50\n  - old: kept\n\n\
                 ## Hub\n\n- status: removed\n- bag: 7\n- unknown key: something\n\n## Brake drum, left front\n\n- status: ready\n- torque: 75-90 lbf·ft, shop manual 3-12\n- hours: many\n",
            ),
        );
    }
    shop
}

#[test]
fn every_answer_fits_a_narrow_terminal() {
    for shop in [demo(), long_names()] {
        let keep = run(&shop, "40", &["keep"]);
        assert_fits(&keep, "40", &["keep"]);
        // A table may cut a name; the list of parts tells all of them.
        let names = words(&run(&shop, "100", &["part"]).out);
        for question in QUESTIONS {
            let wide = words(&run(&shop, "100", question).out);
            let known: BTreeSet<&str> = wide.iter().chain(&names).map(String::as_str).collect();
            for width in WIDTHS {
                let ran = run(&shop, width, question);
                assert_fits(&ran, width, question);
                for word in words(&ran.out) {
                    // A path may be parted at its signs, a word never; what is cut has a sign.
                    let cut = || {
                        ran.out.contains(&format!("{word}…"))
                            || ran.out.contains(&format!("…{word}"))
                    };
                    let told = [
                        "to", "and", "more", "shows", "all", "in", "used", "left", "short",
                    ];
                    assert!(
                        known.contains(word.as_str()) || told.contains(&word.as_str()) || cut(),
                        "{question:?} at {width}: `{word}` is no whole word in\n{}",
                        ran.out
                    );
                }
            }
        }
    }
}

#[test]
fn what_is_written_and_refused_fits_too() {
    let shop = long_names();
    for width in WIDTHS {
        for arguments in [
            &[
                "write",
                "--part",
                "a part with quite a long name, left rear",
                "--status",
                "removd",
                "--needs",
                "x",
            ][..],
            &["write", "--keys"],
            &["write", "--part", "x", "--date", "nosuchday"],
            &["keep"],
            &["keep"],
            &["check"],
            &["find", "horn", "--vehicle", "nobody"],
            &["adopt", "nowhere-at-all-in-the-world-of-files.csv"],
            &[
                "replaced",
                "--as",
                "page",
                "--into",
                "a-page-with-a-rather-long-name-for-a-file.html",
            ],
            &[
                "bags",
                "--as",
                "labels",
                "--into",
                "labels-with-a-rather-long-name-for-a-file.html",
            ],
            &["begin", "inside"],
            &["begin", "../a-journal-with-a-rather-long-name-for-a-folder"],
            &["past", "hub", "--text"],
            &["--help"],
            &["help"],
            &["help", "bags"],
            &["bags", "--help"],
            &["recap", "-h"],
        ] {
            let ran = run(&shop, width, arguments);
            assert_fits(&ran, width, arguments);
        }
        let _ = std::fs::remove_dir_all(
            shop.around()
                .join("a-journal-with-a-rather-long-name-for-a-folder"),
        );
    }
    shop.write("rows.csv", "date,a text column with a long name,a column kept as a line of its own\n2026-03-20,washed the shed,two bottles\nnever,odd,\n");
    let ran = run(
        &shop,
        "40",
        &[
            "adopt",
            "rows.csv",
            "--text",
            "a text column with a long name",
            "--all-vehicle",
            "wren",
        ],
    );
    assert_fits(&ran, "40", &["adopt"]);
    let ran = run(
        &shop,
        "40",
        &[
            "adopt",
            "rows.csv",
            "--text",
            "a text column with a long name",
            "--all-vehicle",
            "wren",
            "--yes",
        ],
    );
    assert_fits(&ran, "40", &["adopt --yes"]);
}

#[test]
fn help_answers_for_each_verb() {
    let shop = Shop::new();
    shop.run(["help"]).ends(0).shows("Usage: matchmark");
    for verb in ["needs", "refit", "recap", "write"] {
        let help = shop.run(["help", verb]).ends(0).out;
        assert_eq!(help, shop.run([verb, "--help"]).ends(0).out);
    }
    shop.run(["help", "unicorn"]).ends(2);
}
