//! Drafts of episodes: true to what is written, as long as was asked, and the
//! same every time.

mod episodes;
mod figures;
mod length;
mod outline;
mod private;
mod stories;
mod twins;

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use serde_json::Value;

use crate::support::{Shop, TINY_PNG, assert_no_panic};

/// The demo's texts in a journal of their own.
fn demo() -> Shop {
    let shop = Shop::new();
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-journal");
    fs::remove_dir_all(shop.root.join("vehicles")).expect("no vehicles");
    for folder in ["vehicles", "entries/2025", "entries/2026"] {
        for file in fs::read_dir(demo.join(folder)).expect("a folder") {
            let file: PathBuf = file.expect("a file").path();
            let name = file
                .file_name()
                .expect("a name")
                .to_string_lossy()
                .into_owned();
            shop.write(
                &format!("{folder}/{name}"),
                fs::read(&file).expect("a text"),
            );
        }
    }
    shop.write(
        "journal.toml",
        fs::read(demo.join("journal.toml")).expect("settings"),
    );
    shop
}

fn json(shop: &Shop, arguments: &[&str]) -> Value {
    let mut all = arguments.to_vec();
    all.push("--json");
    let ran = shop.run(&all).ends(0);
    serde_json::from_str(&ran.out).expect("JSON")
}

/// The sentences of a draft.
fn sentences(draft: &Value) -> Vec<&Value> {
    draft["chapters"]
        .as_array()
        .expect("chapters")
        .iter()
        .flat_map(|chapter| chapter["sentences"].as_array().expect("sentences"))
        .collect()
}

fn text(value: &Value) -> &str {
    value.as_str().unwrap_or_default()
}

fn joined(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// What is read aloud of a draft: neither front matter, titles nor footnotes.
fn spoken(markdown: &str) -> String {
    let body = markdown.splitn(3, "---\n").nth(2).expect("a body");
    let body = body.split("\n<!-- Who appears").next().expect("a body");
    body.lines()
        .filter(|line| !line.starts_with('#') && !line.starts_with("[^"))
        .collect::<Vec<_>>()
        .join("\n")
        .replace("\n- ", "\n")
}

#[test]
fn the_same_journal_gives_the_same_draft() {
    let shop = demo();
    let copy = shop.texts_alone();
    for form in [
        "draft",
        "article",
        "chapters",
        "chapter-list",
        "description",
        "shots",
    ] {
        let first = shop
            .run(["recap", "--vehicle", "wren", "--as", form])
            .ends(0)
            .out;
        assert!(!first.is_empty());
        assert_eq!(
            first,
            copy.run(["recap", "--vehicle", "wren", "--as", form])
                .ends(0)
                .out
        );
    }
}

#[test]
fn chosen_sentences_stand_as_they_were_written() {
    let shop = demo();
    for minutes in ["8", "60"] {
        let draft = json(&shop, &["recap", "--vehicle", "wren", "--minutes", minutes]);
        let mut seen = BTreeSet::new();
        for sentence in sentences(&draft) {
            let is_counted = text(&sentence["why"]).starts_with("counted");
            let Some(entry) = sentence["entry"].as_str().filter(|_| !is_counted) else {
                continue;
            };
            let line = usize::try_from(sentence["line"].as_u64().expect("a line")).expect("small");
            let whole = shop.read(entry);
            let from = whole.lines().skip(line - 1).collect::<Vec<_>>().join("\n");
            let words = text(&sentence["text"]);
            assert!(
                joined(&from).contains(words),
                "{entry}:{line} has no `{words}`"
            );
            let is_work = !text(&sentence["why"]).contains("need");
            assert!(
                !is_work || seen.insert((entry, line, words)),
                "twice: {words}"
            );
        }
    }
}

/// Every number of an untouched draft stands in a sentence that was written, or
/// a verb gives it as well.
#[test]
fn every_number_is_written_or_counted() {
    let shop = demo();
    for scope in [
        &["--minutes", "20"][..],
        &["--system", "brakes", "--until", "2026-06"],
        &["--part", "starter motor", "--minutes", "3"],
    ] {
        let draft = json(&shop, &[&["recap", "--vehicle", "wren"], scope].concat());
        let (from, to) = (text(&draft["from"]), text(&draft["to"]));
        let mut counted: BTreeSet<String> = BTreeSet::new();
        let mut quoted = String::new();
        let mut asked: BTreeSet<&str> = BTreeSet::new();
        for sentence in sentences(&draft) {
            let words = text(&sentence["text"]);
            if sentence["entry"].is_string() || sentence["source"].is_string() {
                quoted.push_str(words);
                quoted.push(' ');
            } else if let Some(question) = sentence["report"].as_str()
                && asked.insert(question)
            {
                let answer = shop.run(words_of(question)).out;
                counted.extend(numbers(&answer));
                counted.extend(hours_apart(&answer));
                // "10 replacements are written down", "57 are on the vehicle": rows.
                counted.extend(rows_of(&shop, question));
            }
        }
        if scope.len() == 2 && scope[0] == "--minutes" {
            counted.insert(entries_between(&shop, from, to).to_string());
        } else {
            // Of a system or a part: the entries with a record of it.
            let all = [
                &["recap", "--vehicle", "wren", "--untold", "--again"],
                scope,
            ]
            .concat();
            let all = json(&shop, &all);
            let all = all["untold"].as_array().expect("records");
            let entries: BTreeSet<&str> = all.iter().map(|one| text(&one["entry"])).collect();
            counted.insert(entries.len().to_string());
        }
        counted.extend(numbers(from).into_iter().chain(numbers(to)));
        let said = spoken(
            &shop
                .run([&["recap", "--vehicle", "wren"], scope].concat())
                .ends(0)
                .out,
        );
        let said = said
            .split("[^")
            .map(|piece| piece.split_once(']').map_or(piece, |(_, rest)| rest));
        let said: String = said.collect();
        let mut left = numbers(&said);
        let written: BTreeSet<String> = numbers(&quoted).into_iter().collect();
        left.retain(|number| !written.contains(number) && !counted.contains(number));
        // The months of leads: their years are those of the entries.
        left.retain(|number| number != "2025" && number != "2026");
        assert!(left.is_empty(), "{scope:?}: nobody says {left:?}");
    }
}

/// The words of a question, with what is in quotes as one.
fn words_of(question: &str) -> Vec<String> {
    let mut words = Vec::new();
    for (index, piece) in question.split('"').enumerate() {
        if index % 2 == 1 {
            words.push(piece.to_owned());
        } else {
            words.extend(piece.split_whitespace().map(str::to_owned));
        }
    }
    words
}

/// The numbers of a text; "4,213.90" is 4213 and 90.
fn numbers(text: &str) -> Vec<String> {
    let letters: Vec<char> = text.chars().collect();
    let is_digit = |at: usize| letters.get(at).is_some_and(char::is_ascii_digit);
    let groups = |at: usize| {
        letters[at] == ','
            && at > 0
            && is_digit(at - 1)
            && (1..4).all(|next| is_digit(at + next))
            && !is_digit(at + 4)
    };
    let whole: String = (0..letters.len())
        .filter(|at| !groups(*at))
        .map(|at| letters[at])
        .collect();
    whole
        .split(|c: char| !c.is_ascii_digit())
        .filter(|digits| !digits.is_empty())
        .map(|digits| {
            let bare = digits.trim_start_matches('0');
            if bare.is_empty() {
                "0".to_owned()
            } else {
                bare.to_owned()
            }
        })
        .collect()
}

/// "176:35 h" is said as hours and minutes.
fn hours_apart(answer: &str) -> Vec<String> {
    answer
        .split([' ', '\n'])
        .filter(|word| word.contains(':'))
        .flat_map(numbers)
        .collect()
}

/// How many rows a verb answers with, in all and by status.
fn rows_of(shop: &Shop, question: &str) -> Vec<String> {
    let mut arguments = words_of(question);
    arguments.push("--json".to_owned());
    let answer: Value = serde_json::from_str(&shop.run(arguments).out).expect("JSON");
    if let Some(rows) = answer["rows"].as_array() {
        return vec![rows.len().to_string()];
    }
    if let Some(needs) = answer["needs"].as_array() {
        return needs
            .iter()
            .map(|need| need["blocks"].to_string())
            .collect();
    }
    let Some(parts) = answer["parts"].as_array() else {
        return Vec::new();
    };
    let with = |words: &[&str]| {
        let has = |part: &&Value| words.contains(&text(&part["status"]));
        parts.iter().filter(has).count()
    };
    let (on, out) = (with(&["fitted", "loose", "undone"]), with(&["out"]));
    [parts.len(), on, parts.len() - on - out, out]
        .map(|count| count.to_string())
        .to_vec()
}

/// The entries of the van between two days, counted in their files.
fn entries_between(shop: &Shop, from: &str, to: &str) -> usize {
    ["2025", "2026"]
        .iter()
        .flat_map(|year| fs::read_dir(shop.root.join("entries").join(year)).expect("a year"))
        .map(|file| fs::read_to_string(file.expect("a file").path()).expect("a text"))
        .filter(|text| {
            let value = |key: &str| {
                text.lines()
                    .find_map(|line| line.strip_prefix(key))
                    .unwrap_or_default()
                    .to_owned()
            };
            let date = value("date: ");
            value("vehicle: ") == "wren" && date.as_str() >= from && date.as_str() <= to
        })
        .count()
}

#[test]
fn what_was_told_does_not_come_back_unless_asked_for() {
    let shop = demo();
    let first = json(&shop, &["recap", "--vehicle", "wren"]);
    let ran = shop
        .run(["recap", "--vehicle", "wren", "--write"])
        .ends(0)
        .shows("written to episodes/01-");
    let path = ran
        .out
        .split_whitespace()
        .nth(2)
        .expect("a path")
        .trim_end_matches(':')
        .to_owned();
    let told: BTreeSet<String> = first["told"]
        .as_array()
        .expect("names")
        .iter()
        .map(|name| text(name).to_owned())
        .collect();
    assert!(shop.read(&path).contains("state: draft"));
    for name in &told {
        assert!(shop.read(&path).contains(name.as_str()), "{name}");
    }
    shop.run(["check"]).ends(json_code(&shop));

    let second = json(&shop, &["recap", "--vehicle", "wren"]);
    for name in second["told"].as_array().expect("names") {
        assert!(!told.contains(text(name)), "told again: {name}");
    }
    let untold = json(&shop, &["recap", "--vehicle", "wren", "--untold"]);
    for one in untold["untold"].as_array().expect("records") {
        let part = one["part"].as_str().unwrap_or("session");
        assert!(
            !told.contains(&format!("{}, {part}", text(&one["entry"]))),
            "{one}"
        );
    }
    let again = json(&shop, &["recap", "--vehicle", "wren", "--again"]);
    assert_eq!(first["chapters"], again["chapters"]);
    shop.run(["recap", "--vehicle", "wren"])
        .ends(0)
        .shows("number: 2");
}

/// `check` on the demo finds what it finds, episodes or not.
fn json_code(shop: &Shop) -> i32 {
    let before = shop.run(["check"]);
    assert!(!before.out.contains("episodes/"), "{before:#?}");
    before.code.expect("a status")
}

/// The names of what a draft tells.
fn told(draft: &Value) -> BTreeSet<String> {
    let names = draft["told"].as_array().expect("names");
    names.iter().map(|name| text(name).to_owned()).collect()
}

#[test]
fn telling_one_more_thing_only_makes_room() {
    let shop = demo();
    let before = told(&json(
        &shop,
        &["recap", "--vehicle", "wren", "--minutes", "8"],
    ));
    assert!(before.len() > 5, "{before:?}");
    for name in before.iter().step_by(2) {
        shop.write(
            "episodes/01-one.md",
            format!("---\nnumber: 1\nstate: published\ntold:\n  - {name}\n---\n"),
        );
        let after = told(&json(
            &shop,
            &["recap", "--vehicle", "wren", "--minutes", "8"],
        ));
        assert!(!after.contains(name), "{name}");
        let kept = before.intersection(&after).count();
        assert!(kept * 3 >= before.len() * 2, "{name}: {after:?}");
    }
}

#[test]
fn told_twice_is_known() {
    let shop = demo();
    let one = "entries/2025/2025-03-14-the-tank-comes-down.md, fuel tank";
    for number in [1, 2] {
        shop.write(
            &format!("episodes/0{number}-tank.md"),
            format!("---\nnumber: {number}\ntold:\n  - {one}\n---\n"),
        );
    }
    let answer = json(&shop, &["recap", "--vehicle", "wren", "--untold"]);
    assert_eq!(
        answer["told_twice"].as_array().expect("a list").len(),
        1,
        "{}",
        answer["told_twice"]
    );
    shop.run(["recap", "--vehicle", "wren", "--untold"])
        .ends(0)
        .shows("told twice:");
}

/// The forms in which a text from an entry could do harm on a page.
const HOSTILE: &str = "<script>document.title='broken'</script>\n\nHe said <img src=x onerror=\"document.title='broken'\"> and [press here](javascript:document.title='broken') and <a href=\"javascript:alert(1)\" onclick='alert(2)'>there</a> about the rusty tank, which leaked all over the floor of the garage for a week & more.\n";

#[test]
fn nothing_in_an_entry_does_anything_in_the_article() {
    let shop = Shop::new();
    shop.write(
        "entries/2026/2026-03-14-tank.md",
        format!(
            "---\ndate: 2026-03-14\nvehicle: wren\n---\n\n# The <b onload=x()>tank</b> & \"co\"\n\n{HOSTILE}\n## Tank <svg/onload=alert(3)>\n\n- status: removed\n- lesson: never <script>alert(4)</script> trust a lid\n- caution: vapour <iframe src=javascript:alert(5)>\n- photo: ../../../etc/passwd.png; photos/<x>.png\n\n{HOSTILE}"
        ),
    );
    let page = shop
        .run(["recap", "--vehicle", "wren", "--as", "article"])
        .ends(0)
        .out;
    let known = [
        "html",
        "head",
        "meta",
        "title",
        "style",
        "body",
        "article",
        "h1",
        "h2",
        "p",
        "span",
        "sup",
        "a",
        "ol",
        "ul",
        "li",
        "figure",
        "img",
        "figcaption",
    ];
    for tag in page.split('<').skip(1) {
        let inside = tag.split('>').next().unwrap_or_default();
        let name = inside
            .trim_start_matches(['/', '!'])
            .split([' ', '\n'])
            .next()
            .unwrap_or_default();
        assert!(
            known.contains(&name) || inside == "!DOCTYPE html",
            "<{inside}>"
        );
        assert!(!inside.contains(" on"), "<{inside}>");
        let is_own = !inside.contains("href=") || inside.contains("href=\"#n");
        assert!(is_own, "<{inside}>");
    }
    assert!(page.contains("press here") && page.contains("rusty tank"));
    for form in ["draft", "chapters", "description"] {
        let out = shop
            .run(["recap", "--vehicle", "wren", "--as", form])
            .ends(0)
            .out;
        assert!(
            !out.contains("<script") || out.contains("\\<script"),
            "{form}: {out}"
        );
    }
}

#[test]
fn an_episode_leaves_as_it_was_edited() {
    let shop = demo();
    shop.run([
        "recap",
        "--vehicle",
        "wren",
        "--system",
        "fuel",
        "--minutes",
        "5",
        "--write",
    ])
    .ends(0);
    let file = fs::read_dir(shop.root.join("episodes")).expect("a folder");
    let file = file.last().expect("an episode").expect("an episode").path();
    let path = file
        .strip_prefix(&shop.root)
        .expect("inside")
        .to_string_lossy();
    let path = path.as_ref();
    let draft = shop.read(path);
    let marks = shop
        .run(["recap", "--episode", "1", "--as", "chapter-list"])
        .ends(0)
        .out;
    let untouched = [
        "recap",
        "--vehicle",
        "wren",
        "--system",
        "fuel",
        "--minutes",
        "5",
        "--again",
        "--as",
        "chapter-list",
    ];
    assert_eq!(marks, shop.run(untouched).ends(0).out);
    let mine = "## How I <i>fell</i> for it\n\nMy own words, <script>alert(1)</script> and a [link](javascript:alert(2)), which nobody drafted, and more of them, so that there is something to say for ten seconds and then some, as long as it takes.\n";
    shop.write(
        path,
        draft.replace("## In numbers\n", &format!("{mine}\n## Petrol & such\n")),
    );
    let marks = shop
        .run(["recap", "--episode", "1", "--as", "chapter-list"])
        .ends(0)
        .out;
    assert!(
        marks.contains("How I") && marks.contains("Petrol & such"),
        "{marks}"
    );
    let page = shop
        .run(["recap", "--episode", "1", "--as", "article"])
        .ends(0)
        .out;
    assert!(
        page.contains("My own words") && !page.contains("<script"),
        "{page}"
    );
    assert!(
        !page.contains("javascript:") && !page.contains("[^"),
        "{page}"
    );
    shop.run(["recap", "--episode", "2", "--as", "chapter-list"])
        .ends(2)
        .says("there is no episode 2");
    shop.run(["recap", "--episode", "1"])
        .ends(2)
        .says("say with --as");
}

#[test]
fn photos_are_inside_the_page() {
    let shop = Shop::new();
    shop.write("photos/tank.png", TINY_PNG);
    shop.write(
        "entries/2026/2026-03-14-tank.md",
        "---\ndate: 2026-03-14\nvehicle: wren\n---\n\n# Tank\n\n## Tank\n\n- status: removed\n- photo: photos/tank.png\n\nThe tank came down on the jack and slid off the cushion, and I caught it with my knees.\n",
    );
    let page = shop
        .run(["recap", "--vehicle", "wren", "--as", "article"])
        .ends(0)
        .out;
    assert!(
        page.contains("src=\"data:image/png;base64,iVBORw0KGgoAAAAN"),
        "{page}"
    );
    assert!(
        page.matches("<figcaption>Tank, 14 March 2026</figcaption>")
            .count()
            == 1,
        "{page}"
    );
}

#[test]
fn odd_journals_have_their_recap() {
    let shop = Shop::new();
    shop.run(["recap"])
        .ends(2)
        .says("there is nothing to tell yet");
    shop.run(["recap", "--vehicle", "wern"])
        .ends(2)
        .says("no vehicle");
    shop.run(["recap", "--minutes", "0"]).ends(2);
    shop.run(["recap", "--as", "csv"]).ends(2).says("shots-csv");
    shop.write(
        "entries/2026/2026-03-14-a.md",
        "---\ndate: 2026-03-14\nvehicle: wren\n---\n\n- removed: horn; coil\n",
    );
    let ran = shop
        .run(["recap"])
        .ends(0)
        .says("this is all there is to tell");
    assert_no_panic(&ran);
    shop.write(
        "entries/2026/2026-03-15-b.md",
        "---\ndate: 2026-03-15\nvehicle: wren\nsystem: brakes\n---\n\n# Ölwanne: \"größer\" # und 日本\n\nDie Mutter war fest. ねじが固い。外した。 Zwölf Schläge mit dem Hammer, und dann brach sie ab 🔧.\n\n## Ölwanne\n\n- status: removed\n- found: Riss, 3 cm\n",
    );
    let ran = shop.run(["recap", "--write"]).ends(0);
    assert_no_panic(&ran);
    // What was written reads back without a problem, whatever the title was.
    shop.run(["check"]).ends(0);
    shop.run(["recap", "--system", "brakes"])
        .ends(1)
        .says("nothing is left to tell");
    shop.keep();
    shop.assert_clean();
}

#[test]
fn a_year_of_terse_records_is_told_soon() {
    let shop = Shop::new();
    let mut day = jiff::civil::date(2025, 1, 1);
    for index in 0..400 {
        let text = [
            "bucket tooth missing",
            "oil leak at swing motor",
            "replace bucket teeth",
        ];
        shop.write(
            &format!("entries/2025/{day}-{index}.md"),
            format!(
                "---\ndate: {day}\nvehicle: wren\n---\n\n# Work\n\n> {} {}\n",
                text[index % 3],
                index % 40
            ),
        );
        if index % 5 == 0 {
            day = day.tomorrow().expect("a day");
        }
    }
    let draft = json(&shop, &["recap", "--vehicle", "wren", "--minutes", "2"]);
    assert!(draft["words"].as_i64().expect("words") >= 270, "{draft}");
}

/// The outside reader of WebVTT needs node; where it is, `.ci/run` asks it.
#[test]
fn marks_begin_at_nothing_and_are_apart() {
    let shop = demo();
    let out = shop
        .run(["recap", "--vehicle", "wren", "--as", "chapter-list"])
        .ends(0)
        .out;
    let seconds: Vec<u32> = out
        .lines()
        .map(|line| {
            let clock = line.split(' ').next().expect("a time");
            clock.split(':').fold(0, |sum, part| {
                sum * 60 + part.parse::<u32>().expect("digits")
            })
        })
        .collect();
    assert_eq!(seconds.first(), Some(&0));
    assert!(
        seconds.windows(2).all(|pair| pair[1] >= pair[0] + 10),
        "{out}"
    );
    let vtt = shop
        .run(["recap", "--vehicle", "wren", "--as", "chapters"])
        .ends(0)
        .out;
    assert!(vtt.starts_with("WEBVTT\n\n00:00:00.000 --> "));
}
