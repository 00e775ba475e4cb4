//! The journal as a folder of pages: what is on them, what is not, what is written again,
//! and who may read them over a network.

use std::collections::BTreeSet;
use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::{Shutdown, SocketAddr, TcpStream};
use std::path::Path;
use std::process::{Child, Stdio};
use std::thread;
use std::time::Duration;

use crate::support::{Shop, TINY_PNG, assert_no_panic, entry, json};

/// All files of the book, by path.
fn files(shop: &Shop) -> BTreeSet<String> {
    fn below(folder: &Path, prefix: &str, found: &mut BTreeSet<String>) {
        for item in fs::read_dir(folder).expect("a folder") {
            let item = item.expect("an item");
            let name = format!("{prefix}{}", item.file_name().to_string_lossy());
            match item.path().is_dir() {
                true => below(&item.path(), &format!("{name}/"), found),
                false => drop(found.insert(name)),
            }
        }
    }
    let mut found = BTreeSet::new();
    below(&shop.root.join("book"), "", &mut found);
    found
}

/// Everything that the book says, in one text.
fn everything(shop: &Shop) -> String {
    let read = |file: &String| {
        let bytes = fs::read(shop.root.join("book").join(file)).expect("a file");
        format!("{file}\n{}\n", String::from_utf8_lossy(&bytes))
    };
    let files = files(shop);
    // The program of the pages is the same in every book.
    files
        .iter()
        .filter(|file| *file != "book.js")
        .map(read)
        .collect()
}

/// Fails the test where a page leads to a file that is not there.
fn assert_no_dead_link(shop: &Shop) {
    let files = files(shop);
    for file in files.iter().filter(|file| file.ends_with(".html")) {
        let text = shop.read(&format!("book/{file}"));
        let up = if file.contains('/') { "../" } else { "" };
        for link in text.split("href=\"").chain(text.split("src=\"")).skip(1) {
            let link = link.split('"').next().unwrap_or_default();
            let path = link.split('#').next().unwrap_or_default();
            if path.is_empty() || path.starts_with("http") || path.starts_with('<') {
                continue;
            }
            let inside = path.strip_prefix(up).unwrap_or(path);
            assert!(files.contains(inside), "{file} leads to {link}");
        }
        assert!(text.contains("<h1>"), "{file}");
        assert!(text.contains("Content-Security-Policy"), "{file}");
        assert!(
            !text.contains("<script>") && !text.contains("style="),
            "{file}"
        );
    }
}

/// A journal with hardware, a bag, a shelf, what was learned and a picture.
fn shop() -> Shop {
    let shop = Shop::new();
    shop.write("photos/hub.png", TINY_PNG);
    shop.write(
        "entries/2026/2026-03-14-hub.md",
        "---\ndate: 2026-03-14\nvehicle: wren\nhours: 2\nhelpers: Jonas\n---\n\n# The hub\n\nCold hands.\n\n## Hub, left front\n\n- system: brakes\n- status: removed\n- hardware: 1 spindle nut 7/8-14, bag 12\n- stored: rack 2, lower\n- lesson: the nut turns left\n- caution: heavy\n- torque: 20 lbf·ft, shop manual 4-7\n- needs: buy a seal, by 2026-04-01\n- cost: 12.50 grease\n- photo: photos/hub.png\n- footage: A017 00:10-00:20\n\nIt came off with a groan.[^who]\n\n[^who]: Of mine.\n",
    );
    shop
}

#[test]
fn a_bag_in_the_hand_says_which_way_the_nut_turns() {
    let shop = shop();
    shop.run(["book"])
        .ends(0)
        .shows("pages and 1 picture; open");
    let bag = shop.read("book/bags/bag-12.html");
    for words in [
        "spindle nut 7/8-14",
        "the nut turns left",
        "heavy",
        "20 lbf·ft (27 N·m), shop manual 4-7",
        "rack 2, lower",
        "href=\"../parts/part-wren--hub--left-front.html\"",
    ] {
        assert!(bag.contains(words), "{words}: {bag}");
    }
    let part = shop.read("book/parts/part-wren--hub--left-front.html");
    for words in [
        "It came off with a groan.[who]",
        "<div class=\"note\">[who]<p>Of mine.</p></div>",
        "A017 00:10-00:20",
        "12.50",
        "buy a seal",
        "<img src=\"../pictures/hub.",
    ] {
        assert!(part.contains(words), "{words}: {part}");
    }
    assert!(!part.contains("photos/hub.png"), "{part}");
    let front = shop.read("book/index.html");
    for words in ["Overdue", "overdue: by 2026-04-01", "Made 20", "To get"] {
        assert!(front.contains(words), "{words}: {front}");
    }
    let system = shop.read("book/systems/system-wren--brakes.html");
    assert!(system.contains("type=\"checkbox\" data-tick="), "{system}");
    assert_no_dead_link(&shop);
    assert_eq!(shop.read("book/.gitignore"), "*\n");
}

#[test]
fn only_what_changed_is_written_and_what_is_gone_is_taken_away() {
    let shop = shop();
    shop.write(
        "entries/2026/2026-03-15-horn.md",
        entry("Horn", "It squeaked."),
    );
    let first = json(&shop, &["book"]);
    assert_eq!(first["unchanged"], 0);
    let again = json(&shop, &["book"]);
    // The front page says when it was made.
    assert!(again["written"].as_u64().expect("a number") <= 1, "{again}");
    assert_eq!(again["removed"], 0);
    let page = shop.root.join("book/parts/part-wren--hub--left-front.html");
    let written = || {
        fs::metadata(&page)
            .and_then(|meta| meta.modified())
            .expect("a time")
    };
    let before = written();
    thread::sleep(Duration::from_millis(20));
    shop.write("entries/2026/2026-03-15-horn.md", entry("Bell", "It rang."));
    let changed = json(&shop, &["book"]);
    assert!(changed["removed"].as_u64() >= Some(1), "{changed}");
    assert_eq!(written(), before, "the hub's page stands as it was");
    let files = files(&shop);
    assert!(files.contains("parts/part-wren--bell.html"));
    assert!(!files.contains("parts/part-wren--horn.html"));
    assert!(!everything(&shop).contains("squeaked"));
    // A page that somebody changed is made again, a lost one too.
    fs::write(&page, "mine").expect("written");
    fs::remove_file(shop.root.join("book/book.css")).expect("removed");
    assert!(json(&shop, &["book"])["written"].as_u64() >= Some(2));
    assert!(fs::read_to_string(&page).expect("read").contains("groan"));
    // A picture that changed has another name, and the old one goes.
    shop.write(
        "photos/hub.png",
        [TINY_PNG, b"more behind its end"].concat(),
    );
    assert_eq!(json(&shop, &["book"])["removed"], 1);
    assert_eq!(
        everything(&shop).matches("pictures/hub.").count(),
        4,
        "file, list, part, entry"
    );
    assert_no_dead_link(&shop);
}

/// Numbers that look random and are the same each time.
struct Dice(u64);

impl Dice {
    fn below(&mut self, most: usize) -> usize {
        // Knuth's constants for a linear congruential generator.
        let (by, plus) = (6_364_136_223_846_793_005, 1_442_695_040_888_963_407);
        self.0 = self.0.wrapping_mul(by).wrapping_add(plus);
        usize::try_from(self.0 >> 33).expect("31 bits") % most
    }

    fn one<'a>(&mut self, of: &[&'a str]) -> &'a str {
        of[self.below(of.len())]
    }
}

/// An entry about a few of the same parts, bags, shelves, pictures and other entries.
fn any_entry(dice: &mut Dice, day: usize) -> String {
    let vehicle = dice.one(&["wren", "wren", "pavetta"]);
    let mut text =
        format!("---\ndate: 2026-04-{day:02}\nvehicle: {vehicle}\n---\n\n# Day {day}\n\n");
    for _ in 0..=dice.below(3) {
        let name = dice.one(&[
            "Hub, left front",
            "Hub, right front",
            "Horn",
            "Coil",
            "Fuel tank",
            "Radiator",
        ]);
        text.push_str(&format!("## {name}\n\n"));
        for _ in 0..=dice.below(4) {
            let shelf = dice.one(&["rack 1", "rack 2", "under the bench"]);
            let fact = match dice.below(17) {
                0 | 1 => "status: removed".to_owned(),
                2 => "status: fitted".to_owned(),
                3 => format!("bag: {}", dice.below(4)),
                4 => format!(
                    "hardware: {} bolt M8, bag {}",
                    dice.below(5) + 1,
                    dice.below(4)
                ),
                5 => format!("stored: {shelf}"),
                6 => format!("refit after: {}", dice.one(&["Horn", "Coil", "Radiator"])),
                7 => format!("needs: buy a seal, by 2026-0{}-01", dice.below(9) + 1),
                8 => "caution: hot".to_owned(),
                9 => format!("torque: {} N·m, shop manual", dice.below(60) + 10),
                10 => format!("photo: photos/{}.png, seen", dice.below(3)),
                11 => format!("lesson: it is the {} one", dice.one(&["upper", "lower"])),
                12 => "tell: no".to_owned(),
                13 => format!("of: {}", dice.one(&["Radiator", "Fuel tank"])),
                14 => "also: Hooter".to_owned(),
                15 => format!("hours: {}", dice.below(4) + 1),
                _ => "system: brakes".to_owned(),
            };
            text.push_str(&format!("- {fact}\n"));
        }
        let to = dice.below(9) + 1;
        text.push_str(match dice.below(4) {
            0 => "\nThe battery was off, and petrol ran.\n\n",
            1 => "\n~ Nobody's business.\n\n",
            2 => "\n![there](photos/1.png)\n\n",
            _ => "\n",
        });
        text.push_str(&format!("See [the day](2026-04-{to:02}-day.md).\n\n"));
        if dice.below(5) == 0 {
            text.push_str(&format!(
                "## Bag {}\n\n- holds: Horn; Coil\n- hardware: 2 nut M6\n\n",
                dice.below(4)
            ));
        }
    }
    text
}

#[test]
fn a_book_that_was_kept_up_to_date_is_as_one_made_anew() {
    let shop = shop();
    shop.write("vehicles/pavetta.md", "---\nname: Pavetta 125\n---\n");
    for number in 0..3 {
        let more = vec![number; usize::from(number)];
        shop.write(&format!("photos/{number}.png"), [TINY_PNG, &more].concat());
    }
    let mut dice = Dice(20_260_314);
    let path = |day: usize| format!("entries/2026/2026-04-{day:02}-day.md");
    for day in 1..10 {
        shop.write(&path(day), any_entry(&mut dice, day));
    }
    let mut stood = 0;
    for step in 0..STEPS {
        let day = dice.below(9) + 1;
        match dice.below(10) {
            0 => drop(fs::remove_file(shop.root.join(path(day)))),
            1 => shop.write("photos/1.png", [TINY_PNG, &vec![0; step]].concat()),
            2 => drop(fs::remove_file(shop.root.join("photos/2.png"))),
            3 => shop.write("vehicles/wren.md", format!("---\nname: Wren {step}\n---\n")),
            4 => drop(fs::remove_file(shop.root.join("book/index.html"))),
            5 if shop.root.join(path(day)).exists() => {
                let text = shop.read(&path(day));
                shop.write(&path(day), format!("{text}One word more.\n"));
            }
            _ => shop.write(&path(day), any_entry(&mut dice, day)),
        }
        let public: &[&str] = match step % 8 {
            7 => &["--public"],
            _ => &[],
        };
        let made = json(&shop, &[&["book"], public].concat());
        stood += made["unchanged"].as_u64().expect("a number");
        let anew =
            shop.shell("rm -rf ../anew; cp -a . ../anew; rm -rf ../anew/.matchmark ../anew/book");
        anew.ends(0);
        let copy = shop.around().join("anew");
        let ran = shop
            .command_in(&copy, [&["book"], public].concat())
            .output();
        assert!(ran.expect("the program runs").status.success());
        let same = shop.shell("for b in book ../anew/book; do sed -i 's/Made [-0-9: ]*//' $b/index.html; done; diff -r book ../anew/book");
        assert_eq!(same.out, "", "step {step}");
    }
    assert!(stood > 20 * u64::try_from(STEPS).expect("few"), "{stood}");
    assert_no_dead_link(&shop);
}

/// How often the journal is changed.
const STEPS: usize = 30;

#[test]
fn two_at_once_make_one_book() {
    let shop = shop();
    let children: Vec<Child> = (0..4)
        .map(|_| {
            let mut book = shop.command(["book"]);
            book.stdout(Stdio::null()).stderr(Stdio::piped());
            book.spawn().expect("the program runs")
        })
        .collect();
    for child in children {
        let ended = child.wait_with_output().expect("an end");
        let said = String::from_utf8_lossy(&ended.stderr);
        assert!(ended.status.success(), "{said}");
    }
    assert_no_dead_link(&shop);
}

#[test]
fn a_folder_of_others_is_refused() {
    let shop = shop();
    shop.write("own/notes.txt", "mine");
    shop.run(["book", "own"])
        .ends(2)
        .says("has files in it that this program did not make");
    shop.run(["book", "."]).ends(2).says("did not make");
    shop.run(["book", "own/notes.txt"])
        .ends(2)
        .says("is a file");
    shop.run(["book", "far/away"])
        .ends(2)
        .says("there is no folder");
    assert_eq!(
        fs::read_dir(shop.root.join("own")).expect("read").count(),
        1
    );
    shop.run(["book", "pages"]).ends(0);
    // A file that was put among the pages stays, and one in a page's place is named.
    shop.write("pages/own.txt", "mine");
    shop.write("pages/parts/part-wren--horn.html", "mine");
    shop.run(["book", "pages"]).ends(0);
    shop.write(
        "entries/2026/2026-03-15-horn.md",
        entry("Horn", "It squeaked."),
    );
    shop.run(["book", "pages"])
        .ends(2)
        .says("part-wren--horn.html stands where a page belongs");
    for file in ["pages/own.txt", "pages/parts/part-wren--horn.html"] {
        assert_eq!(shop.read(file), "mine");
    }
    // Two journals do not share a folder by chance: the second takes the first's away.
    fs::remove_file(shop.root.join("pages/parts/part-wren--horn.html")).expect("removed");
    shop.run(["book", "pages"]).ends(0);
}

/// A journal with private, asked and paid things, each word once.
fn secrets() -> Shop {
    let shop = shop();
    shop.write(
        "entries/2026/2026-03-16-secrets.md",
        "---\ndate: 2026-03-16\nvehicle: wren\nhelpers: Jonas; Zelda\n---\n\n# Secrets\n\nOpen words.\n\n~ He is quietlyill.\n![hiddenpicture](photos/hidden.png)\n\n~ ![quietalone](photos/quietalone.png)\n\n~ Quietcall.[^quietnote]\n\nA call.[^b]\n\n## Quietpart\n\n- tell: no\n- status: removed\n- stored: quietshelf\n- hardware: 3 quietbolt, bag 77\n- photo: photos/quietpart.png, quietcaption\n\nQuietprose.\n\n## Askedpart\n\n- ask: Zelda\n- status: removed\n- stored: askedshelf\n\nAskedprose.\n\n## Coil\n\n- status: removed\n- cost: 33.75 paidrelay\n- lesson: Zelda says it is good\n- found: openfound\n\nI paid €19.90 in all.\n\n~ Quietlast ![quietlast](../../photos/quietlast.png)\n\n[^quietnote]: Quietfoot ![quietfoot](photos/quietfoot.png)\n\n[^b]: ~ quietmark\n",
    );
    shop.write(
        "entries/2026/2026-03-17-quiet.md",
        "---\ndate: 2026-03-17\nvehicle: wren\ntell: no\n---\n\n# Quietevening\n\n## Quietbell\n\n- status: removed\n",
    );
    for name in [
        "hidden",
        "quietalone",
        "quietpart",
        "quietlast",
        "quietfoot",
    ] {
        shop.write(&format!("photos/{name}.png"), TINY_PNG);
    }
    shop
}

#[test]
fn what_is_private_is_in_no_book() {
    let shop = secrets();
    shop.run(["book"]).ends(0).shows("left out:");
    let book = everything(&shop).to_lowercase();
    for word in ["quiet", "bag-77", "hiddenpicture", "pictures/hidden"] {
        let at = book
            .find(word)
            .map(|at| &book[at.saturating_sub(80)..at + 40]);
        assert_eq!(at, None, "{word}");
    }
    for word in [
        "open words",
        "askedpart",
        "33.75",
        "19.90",
        "zelda",
        "12.50",
        "jonas",
    ] {
        assert!(book.contains(word), "{word}");
    }
    assert_no_dead_link(&shop);
}

#[test]
fn the_public_sees_neither_money_nor_people_who_were_not_asked() {
    let shop = secrets();
    shop.run(["book"]).ends(0);
    shop.run(["book", "--public"]).ends(0).shows("about money");
    let book = everything(&shop).to_lowercase();
    for word in [
        "quiet",
        "hiddenpicture",
        "asked",
        "zelda",
        "33.75",
        "paidrelay",
        "19.90",
        "12.50",
        "spent",
    ] {
        let at = book
            .find(word)
            .map(|at| &book[at.saturating_sub(80)..at + 40]);
        assert_eq!(at, None, "{word}");
    }
    for word in ["open words", "coil", "openfound", "jonas", "i paid"] {
        assert!(book.contains(word), "{word}");
    }
    assert_no_dead_link(&shop);
}

#[test]
fn hostile_entries_are_only_words() {
    let shop = shop();
    let evil = "<script>alert(1)</script> \"><img src=x onerror=alert(2)> [x](javascript:alert(3)) ![y](https://example.org/z.png) <base href=//example.org>";
    shop.write(
        "vehicles/wren.md",
        format!("---\nname: {evil:?}\n---\n\n{evil}\n"),
    );
    shop.write("journal.toml", format!("name = {evil:?}\n"));
    shop.write(
        "entries/2026/2026-03-15-evil.md",
        format!("---\ndate: 2026-03-15\nvehicle: wren\nhelpers: {evil:?}\n---\n\n# {evil}\n\n{evil}\n\n## {evil}\n\n- status: removed\n- stored: {evil}\n- hardware: 2 bolt {evil}\n- bag: {evil}\n- caution: {evil}\n- photo: {evil}\n- needs: buy {evil}\n\n{evil}\n\n## Bag <b>7</b>\n\n- holds: {evil}\n- hardware: 1 {evil}\n"),
    );
    shop.run(["book"]).ends(0);
    assert_no_dead_link(&shop);
    for file in files(&shop).iter().filter(|file| file.ends_with(".html")) {
        let page = shop.read(&format!("book/{file}"));
        for word in [
            "<script>alert",
            "<img src=x",
            "href=\"javascript:",
            "src=\"https:",
            "<base",
            "<b>7",
        ] {
            assert!(!page.contains(word), "{word} in {file}");
        }
    }
}

#[test]
fn names_that_differ_little_have_pages_of_their_own() {
    let shop = Shop::new();
    let long = "long ".repeat(100);
    let names = [
        "Horn a/b",
        "horn A\\b",
        "Hörn",
        "..",
        "../../horn",
        "Horn:",
        "日本",
        "日本語",
        "con",
        &long,
    ];
    for (at, name) in names.iter().enumerate() {
        shop.write(
            &format!("entries/2026/2026-03-{:02}-X Ä{at}.md", at + 1),
            format!("---\ndate: 2026-03-{:02}\nvehicle: wren\n---\n\n# E{at}\n\n## {name}\n\n- status: removed\n- hardware: 1 bolt, bag {name}\n- stored: {name}\n\nword{at}end\n", at + 1),
        );
    }
    shop.run(["book"]).ends(0);
    assert_no_dead_link(&shop);
    let files = files(&shop);
    let small: BTreeSet<String> = files.iter().map(|file| file.to_lowercase()).collect();
    assert_eq!(small.len(), files.len());
    for file in &files {
        assert!(
            file.len() < 120 && file.is_ascii() && !file.contains(".."),
            "{file}"
        );
    }
    let parts: String = files
        .iter()
        .filter(|file| file.starts_with("parts/part-"))
        .map(|file| shop.read(&format!("book/{file}")))
        .collect();
    for (at, name) in names.iter().enumerate() {
        assert!(parts.contains(&format!("word{at}end")), "{name}");
    }
}

#[test]
fn nothing_written_is_a_book_too() {
    let shop = Shop::new();
    shop.run(["book"]).ends(0);
    assert!(
        shop.read("book/index.html")
            .contains("No entry speaks of it yet")
    );
    assert!(
        shop.read("book/entries/index.html")
            .contains("Nothing is written yet")
    );
    assert!(shop.read("book/search.js").contains("\"pages\":[]"));
    assert_no_dead_link(&shop);
    // An entry without a day counts for no part, and is read all the same.
    shop.write(
        "entries/x.md",
        "# Undated\n\nWords.\n\n## Horn\n\n- status: removed\n",
    );
    shop.run(["book"]).ends(0).says("left out here");
    assert!(everything(&shop).contains("no day is said"));
}

#[test]
fn two_vehicles_are_told_apart() {
    let shop = shop();
    shop.write(
        "vehicles/pavetta.md",
        "---\nname: Pavetta 125\n---\n\nWaits its turn.\n",
    );
    shop.write(
        "entries/2026/2026-03-16-hub.md",
        entry("Hub, left front", "The other hub.").replace("vehicle: wren", "vehicle: pavetta"),
    );
    shop.write(
        "entries/2026/2026-03-17-horn.md",
        entry("Horn", "It came off in one piece."),
    );
    shop.run(["book"]).ends(0);
    let other = shop.read("book/parts/part-pavetta--hub--left-front.html");
    assert!(other.contains("The other hub.") && !other.contains("groan"));
    let front = shop.read("book/index.html");
    assert!(front.contains("Pavetta 125") && front.contains("Waits its turn."));
    // The one with most records comes first.
    assert!(
        front.find("Wren</h2>") < front.find("Pavetta 125</h2>"),
        "{front}"
    );
    assert!(shop.read("book/parts/index.html").contains(", Pavetta 125"));
    assert_no_dead_link(&shop);
}

#[test]
fn pictures_that_cannot_be_shown_are_named() {
    let shop = shop();
    fs::remove_file(shop.root.join("photos/hub.png")).expect("removed");
    let answer = json(&shop, &["book"]);
    assert_eq!(answer["pictures"], 0);
    assert_eq!(answer["pictures_left_out"][0]["picture"], "photos/hub.png");
    assert!(!everything(&shop).contains("<img"));
    for odd in ["../../../etc/passwd", "/etc/passwd", "journal.toml"] {
        shop.write(
            "entries/2026/2026-03-15-odd.md",
            entry("Horn", &format!("![odd]({odd})"))
                .replace("- stored", &format!("- photo: {odd}\n- stored")),
        );
        shop.run(["book"]).ends(0).shows("picture left out");
        assert!(
            !files(&shop)
                .iter()
                .any(|file| file.starts_with("pictures/")),
            "{odd}"
        );
    }
}

/// A book that is shown to browsers, ended with the test.
struct Shown {
    child: Child,
    at: SocketAddr,
    folder: String,
}

impl Drop for Shown {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

impl Shown {
    fn new(shop: &Shop, options: &[&str]) -> Shown {
        let mut command = shop.command([&["book", "--json"], options].concat());
        let mut child = command
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("it runs");
        let mut out = BufReader::new(child.stdout.take().expect("a pipe"));
        let mut said = String::new();
        while !said.ends_with("}\n") || !said.starts_with('{') {
            assert!(out.read_line(&mut said).expect("a line") > 0, "{said}");
            if said.trim_end().ends_with("\n}") {
                break;
            }
        }
        let said: serde_json::Value = serde_json::from_str(&said).expect("JSON");
        let address = said["address"].as_str().expect("an address");
        let rest = address.strip_prefix("http://").expect("http");
        let (at, folder) = rest.split_once('/').expect("a path");
        Shown {
            child,
            at: at.parse().expect("an address"),
            folder: folder.trim_end_matches('/').to_owned(),
        }
    }

    /// What comes back for these bytes.
    fn sends(&self, bytes: &[u8]) -> String {
        let mut stream = TcpStream::connect(self.at).expect("a connection");
        stream
            .set_read_timeout(Some(Duration::from_secs(20)))
            .expect("a timeout");
        let _ = stream.write_all(bytes);
        let _ = stream.shutdown(Shutdown::Write);
        let mut answer = Vec::new();
        let _ = stream.read_to_end(&mut answer);
        String::from_utf8_lossy(&answer).into_owned()
    }

    /// What comes back for a path below the one that nobody guesses.
    fn get(&self, path: &str) -> String {
        self.get_bare(&format!("/{}{path}", self.folder))
    }

    fn get_bare(&self, path: &str) -> String {
        let request = format!("GET {path} HTTP/1.1\r\nHost: {}\r\n\r\n", self.at);
        self.sends(request.as_bytes())
    }
}

#[test]
fn a_book_is_shown_to_this_computer_and_only_read() {
    let shop = shop();
    shop.write("secret.txt", "nobody's business");
    let shown = Shown::new(&shop, &["--serve=127.0.0.1:0"]);
    let front = shown.get("/");
    assert!(front.starts_with("HTTP/1.1 200 OK\r\n"), "{front}");
    assert!(
        front.contains("My journal") && front.contains("nosniff"),
        "{front}"
    );
    assert!(
        shown
            .get("/bags/bag-12.html")
            .contains("the nut turns left")
    );
    for path in [
        "/../secret.txt",
        "/..%2fsecret.txt",
        "/%2e%2e/secret.txt",
        "/bags/../../secret.txt",
        "//secret.txt",
        "/..\\secret.txt",
        "/made-by-matchmark.txt",
        "/.gitignore/../../secret.txt",
        "/bags",
        "/bags/bag-12.html/",
        "/nothing",
    ] {
        let answer = shown.get(path);
        assert!(
            answer.starts_with("HTTP/1.1 404") || answer.starts_with("HTTP/1.1 400"),
            "{path}: {answer}"
        );
        assert!(!answer.contains("nobody"), "{path}");
    }
    for method in [
        "POST", "PUT", "DELETE", "OPTIONS", "TRACE", "CONNECT", "BREW",
    ] {
        let request = format!(
            "{method} / HTTP/1.1\r\nHost: {}\r\nContent-Length: 3\r\n\r\nabc",
            shown.at
        );
        assert!(
            shown.sends(request.as_bytes()).starts_with("HTTP/1.1 405"),
            "{method}"
        );
    }
    // Long lines, many headers, no end, no request at all.
    let long = format!(
        "GET /{} HTTP/1.1\r\nHost: {}\r\n\r\n",
        "a".repeat(100_000),
        shown.at
    );
    assert!(shown.sends(long.as_bytes()).starts_with("HTTP/1.1 431"));
    assert!(shown.sends(&vec![b'A'; 300_000]).starts_with("HTTP/1.1 4"));
    assert_eq!(shown.sends(b"GET / HTTP/1.1\r\nHost"), "");
    assert!(
        shown
            .sends(b"\x16\x03\x01\x02\x00\x01\x00")
            .starts_with("HTTP/1.1 400")
    );
    let other = "GET / HTTP/1.1\r\nHost: example.org\r\n\r\n";
    assert!(shown.sends(other.as_bytes()).starts_with("HTTP/1.1 421"));
    // Many who say nothing keep nobody out for long.
    let silent: Vec<TcpStream> = (0..60)
        .filter_map(|_| TcpStream::connect(shown.at).ok())
        .collect();
    assert!(silent.len() > 20);
    let answered = (0..40).any(|_| {
        thread::sleep(Duration::from_millis(250));
        shown.get("/").starts_with("HTTP/1.1 200")
    });
    assert!(answered, "somebody is answered while others are silent");
    drop(silent);
}

#[test]
fn pages_are_written_again_as_entries_change() {
    let shop = shop();
    let shown = Shown::new(&shop, &["--serve=127.0.0.1:0", "--watch"]);
    assert!(
        shown
            .get("/parts/part-wren--horn.html")
            .starts_with("HTTP/1.1 404")
    );
    shop.write(
        "entries/2026/2026-03-15-horn.md",
        entry("Horn", "It squeaked."),
    );
    let seen = (0..60).any(|_| {
        thread::sleep(Duration::from_millis(250));
        shown
            .get("/parts/part-wren--horn.html")
            .contains("It squeaked.")
    });
    assert!(seen);
}

#[test]
fn addresses_of_others_are_refused() {
    // RFC 1918 gives this block to nobody in particular; no computer here has it.
    shop()
        .run(["book", "--serve=10.255.255.254"])
        .ends(2)
        .says("cannot be used: this computer has no such address");
    let shop = shop();
    for (address, words) in [
        ("0.0.0.0", "means every network"),
        ("8.8.8.8", "is no address of a network of your own"),
        ("here", "is no address"),
    ] {
        let ran = shop
            .run(["book", &format!("--serve={address}")])
            .ends(2)
            .says(words);
        assert_no_panic(&ran);
    }
    assert!(!shop.root.join("book").exists(), "nothing was made");
}
