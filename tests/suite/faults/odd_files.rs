//! Files that no one should write, and that turn up all the same.

use std::ffi::OsStr;
use std::fs;
use std::os::unix::ffi::OsStrExt;
use std::time::Duration;

use crate::support::{Ran, Shop, assert_no_panic, entry};

fn filled() -> Shop {
    let shop = Shop::new();
    shop.removed("entries/2026/2026-03-14-horn.md", "Horn", "silent");
    shop
}

/// Every verb that reads answers, and the good entry counts.
#[track_caller]
fn assert_reads(shop: &Shop) {
    shop.run(["find", "horn"]).ends(0).shows("Horn");
    shop.run(["part", "horn"]).ends(0).shows("removed");
    let checked = shop.run(["check"]);
    assert!(matches!(checked.code, Some(0 | 1)), "{checked:#?}");
    for ran in [
        checked,
        shop.run(["part"]).ends(0),
        shop.run(["find", "horn", "--json"]).ends(0),
        shop.run(["replaced"]).ends(1),
    ] {
        assert_no_panic(&ran);
    }
}

#[test]
fn links_in_circles_and_links_that_lead_away() {
    let shop = filled();
    let without = shop.run(["find", "horn", "--json"]).ends(0).out;
    shop.shell(
        "ln -s . entries/circle
         ln -s 2026 entries/again
         ln -s ../entries entries/2026/up
         ln -s nowhere.md entries/dangling.md
         ln -s itself.md entries/itself.md
         ln -s /etc/passwd entries/away.md
         ln -s ../vehicles/wren.md vehicles/again.md
         ln -s nowhere.md vehicles/dangling.md
         ln -s itself.md vehicles/itself.md",
    )
    .ends(0);
    assert_reads(&shop);
    let with = shop.run(["find", "horn", "--json"]).ends(0).out;
    assert_eq!(with, without);
    shop.run(["part", "--json"]).ends(0);
    // Else the same vehicle would be there twice.
    shop.run(["check"])
        .ends(1)
        .shows("/again.md: it is a link, and links are not followed");
    let kept = shop.run(["keep"]).ends(0);
    assert_no_panic(&kept);
    kept.says("entries/away.md was not kept: it is a symbolic link");
    let files = shop.git(["ls-tree", "-r", "--name-only", "HEAD"]);
    assert!(
        files.contains("2026-03-14-horn.md") && !files.contains("away"),
        "{files}"
    );
    shop.assert_sound();
}

#[test]
fn pipes_and_folders_named_like_texts() {
    let shop = filled();
    shop.shell(
        "mkfifo entries/pipe.md vehicles/pipe.md
         mkdir entries/folder.md vehicles/folder.md
         mkdir -p episodes && mkfifo episodes/pipe.md",
    )
    .ends(0);
    // Whoever opened a pipe would wait for ever.
    for verb in [
        &["find", "horn"][..],
        &["part", "horn"],
        &["check"],
        &["keep"],
    ] {
        let mut child = shop
            .command(verb)
            .stdout(std::process::Stdio::null())
            .stderr(std::process::Stdio::null())
            .spawn()
            .expect("it starts");
        let ended = (0..1000).any(|_| {
            std::thread::sleep(Duration::from_millis(10));
            child.try_wait().expect("a child").is_some()
        });
        let _ = child.kill();
        let _ = child.wait();
        assert!(ended, "{verb:?} hangs");
    }
    assert_reads(&shop);
    shop.assert_sound();
    let files = shop.git(["ls-tree", "-r", "--name-only", "HEAD"]);
    assert!(
        files.contains("2026-03-14-horn.md") && !files.contains("pipe"),
        "{files}"
    );
}

#[test]
fn an_entry_of_many_megabytes() {
    let shop = filled();
    let line = "The strap bolt sheared as soon as I looked at it, again and again.\n";
    let mut text = entry("Fuel tank", "");
    // Without optimisation the same would take minutes.
    let size = if cfg!(debug_assertions) {
        1_000_000
    } else {
        50_000_000
    };
    text.push_str(&line.repeat(size / line.len()));
    text.push_str("Then the ferrule came off.\n");
    shop.write("entries/2026/2026-03-15-tank.md", &text);
    let found = shop.run(["find", "ferrule"]).ends(0);
    assert_no_panic(&found);
    assert!(found.shows("Fuel tank").out.len() < 2000);
    assert!(shop.run(["part", "horn"]).ends(0).out.len() < 2000);
    shop.keep();
    assert_eq!(shop.git(["status", "--porcelain"]), "");
    let size = shop.git(["cat-file", "-s", "HEAD:entries/2026/2026-03-15-tank.md"]);
    assert_eq!(size.trim(), text.len().to_string());
}

#[test]
fn yaml_that_would_explode() {
    let shop = filled();
    let mut bomb = String::from("---\ndate: 2026-03-15\nvehicle: wren\na0: &a0 [lol, lol, lol]\n");
    for level in 1..30 {
        let before = format!("*a{}", level - 1);
        bomb += &format!(
            "a{level}: &a{level} [{}]\n",
            [before.as_str(); 9].join(", ")
        );
    }
    bomb += "---\n\n# Boom\n\n## Lamp\n\n- status: removed\n";
    shop.write("entries/2026/2026-03-15-bomb.md", &bomb);
    let deep = format!(
        "---\ndate: 2026-03-16\nvehicle: wren\nx: {}\n---\n\n# Deep\n",
        "[".repeat(50_000)
    );
    shop.write("entries/2026/2026-03-16-deep.md", deep);
    let quotes = format!(
        "# Q\n\n{}\n\n{}text\n",
        "> ".repeat(20_000),
        "- ".repeat(20_000)
    );
    shop.write("entries/2026/2026-03-17-quotes.md", quotes);
    shop.write("vehicles/bomb.md", &bomb);
    shop.write(
        "vehicles/deep.md",
        format!("---\nx: {}\n---\n", "{a: ".repeat(50_000)),
    );
    assert_reads(&shop);
    shop.keep();
    shop.assert_clean();
}

#[test]
fn bytes_that_are_no_text() {
    let shop = filled();
    let text = entry("Lamp", "the lens is cracked");
    let bad = [
        &text.as_bytes()[..60],
        b"\xff\xfe\xc3(\xed\xa0\x80",
        &text.as_bytes()[60..],
    ]
    .concat();
    let utf16: Vec<u8> = "\u{feff}# Sixteen\n"
        .encode_utf16()
        .flat_map(u16::to_le_bytes)
        .collect();
    let files: [(&str, Vec<u8>); 8] = [
        ("entries/bad.md", bad),
        ("entries/sixteen.md", utf16),
        ("entries/crlf.md", text.replace('\n', "\r\n").into_bytes()),
        ("entries/cr.md", text.replace('\n', "\r").into_bytes()),
        ("entries/bom.md", format!("\u{feff}{text}").into_bytes()),
        (
            "entries/nul.md",
            text.replace("lens", "le\0ns").into_bytes(),
        ),
        ("entries/empty.md", Vec::new()),
        ("entries/noise.md", (0..=255).cycle().take(20_000).collect()),
    ];
    for (path, bytes) in &files {
        shop.write(path, bytes);
    }
    assert_reads(&shop);
    let found = shop.run(["find", "\"lens is cracked\"", "--json"]).ends(0);
    for path in ["bad", "crlf", "cr", "bom"] {
        assert!(
            found.out.contains(&format!("entries/{path}.md")),
            "{path} {found:#?}"
        );
    }
    let checked = shop.run(["check"]).ends(1);
    checked.shows("not UTF-8").shows("UTF-16");
    shop.keep();
    shop.assert_clean();
    for (path, bytes) in &files {
        assert_eq!(
            fs::read(shop.root.join(path)).expect("a file"),
            *bytes,
            "{path}"
        );
        let kept = shop.try_git(["show", &format!("HEAD:{path}")]);
        assert_eq!(kept.bytes, *bytes, "{path}");
    }
}

#[test]
fn an_entry_that_is_no_text_is_not_written_to() {
    let shop = filled();
    let path = "entries/2026/2026-03-15-bad.md";
    let bytes = [
        entry("Lamp", "x").replace("03-14", "03-15").as_bytes(),
        b"\xff\n",
    ]
    .concat();
    shop.write(path, &bytes);
    let ran = shop.run([
        "write",
        "--date",
        "2026-03-15",
        "--part",
        "Bracket",
        "--found",
        "bent",
    ]);
    let ran = ran.ends(2).says("is not UTF-8").says("your text is in");
    let text = fs::read_to_string(shop.file_named_in(&ran)).expect("the text");
    assert!(text.contains("- found: bent"), "{text}");
    assert_eq!(fs::read(shop.root.join(path)).expect("a file"), bytes);

    let ran = shop.run_with(["write", "-"], b"a \xff lens\n").ends(2);
    let ran = ran.says("not UTF-8");
    assert_eq!(
        fs::read(shop.file_named_in(&ran)).expect("the text"),
        b"a \xff lens\n"
    );
}

#[test]
fn line_ends_and_marks_at_the_beginning_stay_when_something_is_added() {
    let shop = Shop::new();
    let text = format!("\u{feff}{}", entry("Lamp", "x")).replace('\n', "\r\n");
    shop.write("entries/2026/2026-03-14-lamp.md", &text);
    shop.run([
        "write",
        "--date",
        "2026-03-14",
        "--part",
        "Bracket",
        "--found",
        "bent",
    ])
    .ends(0);
    let now = shop.read("entries/2026/2026-03-14-lamp.md");
    assert!(now.starts_with(&text), "{now}");
    assert!(!now.replace("\r\n", "").contains('\n'), "{now:?}");
    shop.run(["part", "bracket"]).ends(0).shows("bent");
}

/// What a terminal would obey.
const EVIL: &str = "\u{1b}[2J\u{1b}]0;own\u{7}\u{9b}31m\u{8}\u{7f}\u{90}x\u{9c}\u{202e}";

/// Nothing that a terminal would obey.
#[track_caller]
fn assert_harmless(ran: &Ran) {
    let harmful = |text: &str| {
        text.chars()
            .filter(|c| c.is_control() && *c != '\n' || *c == '\u{202e}')
            .collect::<String>()
    };
    let out = ran.out.replace("\r\n", "\n");
    assert_eq!(harmful(&out), "", "{ran:#?}");
    assert_eq!(harmful(&ran.err), "", "{ran:#?}");
    assert_no_panic(ran);
}

#[test]
fn a_terminal_never_obeys_an_entry() {
    let shop = filled();
    let name = format!("entries/2026/2026-03-14-2-{EVIL}.md");
    let text = format!(
        "---\ndate: 2026-03-14\nvehicle: wren\nsystem: brakes\nfootage: A0{EVIL}17\nod{EVIL}d: x\n---\n\n# Ti{EVIL}tle\n\n## Dr{EVIL}um, left front\n\n- status: removed\n- bag: 1{EVIL}2\n- stored: ra{EVIL}ck\n- found: sco{EVIL}red\n- needs: tur{EVIL}ning\n- needs: buy lin{EVIL}ing\n- cost: 12.50 oi{EVIL}l\n- caution: du{EVIL}st\n- lesson: he{EVIL}at\n- question: wh{EVIL}y\n- hardware: 4 nut{EVIL} 1/2-13, bag 3{EVIL}1\n- after: whe{EVIL}el\n- photo: photos/{EVIL}.jpg\n- replaced by: reproduction\n  - number: N{EVIL}1\n  - from: shop{EVIL}\n  - cost: 10\n  - old: scrapped\n- bo{EVIL}gus: x\n\nThe pro{EVIL}se goes on.\n\n## Bag 9{EVIL}\n\n- holds: no{EVIL}thing\n"
    );
    shop.write(&name, &text);
    let other = format!(
        "---\ndate: x{EVIL}\nvehicle: no{EVIL}ne\nstatus: wr{EVIL}ong\n---\n\n- removed: ho{EVIL}rn\n"
    );
    shop.write(&format!("entries/{EVIL}.md"), other);
    shop.write(
        "vehicles/odd.md",
        format!("---\nname: Od{EVIL}d\nyear: 19{EVIL}57\n---\n"),
    );
    let settings = shop.read("journal.toml");
    shop.write(
        "journal.toml",
        settings
            .replace("My journal", "My \\u001b[2J\\u009bjournal")
            .replace("\"trim\"", "\"tr\\u001b[2Jim\""),
    );
    fs::write(
        shop.root.join(OsStr::from_bytes(b"entries/\x1b\xff.md")),
        "# Name\n",
    )
    .expect("a file");
    shop.shell("ln -s x entries/\"$(printf '\\033[2Jlink.md')\"")
        .ends(0);

    let questions = |shop: &Shop| {
        for question in [
            &["find", "drum"][..],
            &["find", "prose"],
            &["find", "1/2-13"],
            &["find", "bag", "9"],
            &["find", "name"],
            &["find", "--part", "drum", "goes"],
            &["part"],
            &["part", "--by", "shelf"],
            &["part", "dr"],
            &["part", "drum, left front"],
            &["part", "horn"],
            &["check"],
            &["past"],
            &["past", "--text"],
            &["replaced"],
            &["find", EVIL],
            &["part", EVIL],
            &["past", EVIL],
            &["past", "--as-written", EVIL],
            &["find", "x", "--vehicle", EVIL],
            &["find", "x", "--system", EVIL],
            &["find", "x", "--since", EVIL],
        ] {
            assert_harmless(&shop.run(question));
            assert_harmless(&shop.run([question, &["--json"]].concat()));
        }
        assert_harmless(&shop.run(["replaced", "--as", "csv"]));
    };
    questions(&shop);
    assert_harmless(&shop.run(["keep"]).ends(0));
    questions(&shop);
    shop.write(
        &name,
        text.replace("rack", "shelf").replace("scrapped", "sold"),
    );
    assert_harmless(&shop.run(["keep"]).ends(0));
    questions(&shop);
    fs::remove_file(shop.root.join(&name)).expect("it can be removed");
    assert_harmless(&shop.run(["keep"]).ends(0));
    questions(&shop);
    // The message of a commit is shown by other programs, which print it as it is.
    assert!(
        !shop
            .git(["log", "--format=%B"])
            .contains(['\u{1b}', '\u{9b}', '\u{7f}'])
    );
    shop.assert_sound();

    for write in [
        &["write", "--part", EVIL, "--found", EVIL][..],
        &["write", "--part", "Lamp", "--fact", EVIL, "--title", EVIL],
        &[
            "write",
            "--new",
            "--date",
            "2026-03-14",
            "--title",
            EVIL,
            EVIL,
        ],
        &["write", "--date", "2026-03-14", EVIL],
        &["write", "--date", EVIL, "x"],
        &["write", "--vehicle", EVIL, "x"],
        &["keep", "--message", EVIL],
    ] {
        assert_harmless(&shop.run(write));
    }
    // JSON is for programs, which get every character back.
    let found = shop
        .run(["find", "horn", "--part", "horn", "--json"])
        .ends(0);
    let read: serde_json::Value = serde_json::from_str(&found.out).expect("JSON");
    assert!(read["total"].as_u64() >= Some(1), "{read}");
}

#[test]
fn very_long_lines() {
    let shop = filled();
    let word = "x".repeat(60_000);
    let words = "very long ".repeat(15_000);
    shop.write(
        "entries/2026/2026-03-15-long.md",
        format!(
            "---\ndate: 2026-03-15\nvehicle: wren\nlesson: {words}\n---\n\n# {words}\n\n## {word}\n\n- status: removed\n- found: {words}\n- bag: {word}\n- {word}: {word}\n\n{words} ferrule {words} {word}\n\n## {words}\n\n- status: nonsense {word}\n"
        ),
    );
    assert_reads(&shop);
    let found = shop.run(["find", "ferrule"]).ends(0);
    assert!(found.out.len() < 20_000, "{}", found.out.len());
    let checked = shop.run(["check"]);
    assert!(checked.out.len() < 100_000, "{}", checked.out.len());
    let kept = shop.keep();
    assert!(kept.out.len() < 100_000, "{}", kept.out.len());
    assert!(shop.git(["log", "-1", "--format=%s"]).len() < 200);
    let writes = |found: usize| {
        shop.run([
            "write",
            "--part",
            &word[..60_000],
            "--found",
            &words[..found],
            "--title",
            &words[..60_000],
        ])
    };
    writes(15_000).ends(0);
    let refused = writes(60_000).ends(2);
    assert!(refused.err.len() < 1_000, "{}", refused.err);
    shop.keep();
    shop.assert_clean();
}

#[test]
fn names_of_every_alphabet() {
    let shop = filled();
    for (part, question) in [
        ("Kühler", "kuhler"),
        ("Öldruckschalter 🛢️", "oldruckschalter"),
        ("Ręcznik hamulcowy", "recznik"),
        ("Стартер", "стартер"),
        ("燃料タンク", "燃料タンク"),
        ("👩‍🔧 bracket", "bracket"),
        ("e\u{301}trier", "étrier"),
    ] {
        let path = format!("entries/2026/2026-03-14-{part}.md");
        shop.removed(&path, part, "wie neu");
        let ran = shop.run(["find", question]).ends(0);
        assert_no_panic(&ran);
        let listed = shop.run(["part", part, "--json"]).ends(0);
        assert_no_panic(&listed);
    }
    let written = shop.run([
        "write",
        "--part",
        "Türgriff 🚪",
        "--found",
        "fällt ab 🙈",
        "--title",
        "Türen 🚪",
    ]);
    written.ends(0).shows("turen.md");
    assert_reads(&shop);
    shop.keep();
    shop.assert_clean();
    let past = shop.run(["past", "--json"]).ends(0);
    assert!(past.out.contains("Kühler"), "{past:#?}");
    shop.assert_answers_as_fresh(&["find", "neu", "--json", "--most", "50"]);
}
