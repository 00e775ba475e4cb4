//! Hazards recognised in texts, measured against labels that are older than
//! the rules: `tests/data/cautions.md` says which texts, and what a label means.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;
use std::fs;
use std::path::{Path, PathBuf};

use matchmark::entry::{Context, read};
use matchmark::handbook::cautions::Hazard;
use matchmark::reports::cautions::{Raised, of_entry};
use matchmark::vocabulary::money::Currency;

use crate::support::{Ran, Shop};

/// The labels of the table.
pub(crate) const LABELS: [(&str, Hazard); 22] = [
    ("silica", Hazard::Silica),
    ("asbestos", Hazard::Asbestos),
    ("lead", Hazard::Lead),
    ("isocyanates", Hazard::Isocyanates),
    ("carbon monoxide", Hazard::CarbonMonoxide),
    ("raised", Hazard::Raised),
    ("fuel", Hazard::Fuel),
    ("phosgene", Hazard::Phosgene),
    ("compressed air", Hazard::CompressedAir),
    ("refrigerant", Hazard::Refrigerant),
    ("battery", Hazard::Battery),
    ("springs", Hazard::Springs),
    ("paint stripper", Hazard::PaintStripper),
    ("airbag", Hazard::Airbag),
    ("magnesium", Hazard::Magnesium),
    ("fluoroelastomer", Hazard::Fluoroelastomer),
    ("split rims", Hazard::SplitRims),
    ("gas struts", Hazard::GasStruts),
    ("acid", Hazard::Acid),
    ("hydraulic injection", Hazard::Injection),
    ("rotating parts", Hazard::Rotating),
    ("toxic metal", Hazard::ToxicMetal),
];

pub(crate) struct Row {
    id: u32,
    source: String,
    given: String,
    pub(crate) text: String,
    pub(crate) hazards: BTreeSet<Hazard>,
}

fn data(file: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/data")
        .join(file)
}

fn hazards(labels: &str) -> BTreeSet<Hazard> {
    labels
        .split(", ")
        .filter(|word| *word != "none")
        .map(|word| {
            let known = LABELS.iter().find(|(label, _)| *label == word);
            known.unwrap_or_else(|| panic!("no label: {word}")).1
        })
        .collect()
}

pub(crate) fn rows() -> Vec<Row> {
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(b';')
        .from_path(data("cautions.csv"))
        .expect("the table");
    reader
        .records()
        .map(|row| {
            let row = row.expect("a row");
            Row {
                id: row[0].parse().expect("a number"),
                source: row[1].to_owned(),
                given: row[2].to_owned(),
                text: row[3].to_owned(),
                hazards: hazards(&row[4]),
            }
        })
        .collect()
}

fn context() -> Context {
    let systems = [
        "frame",
        "rear suspension",
        "front suspension",
        "steering",
        "brakes",
        "fuel",
        "engine",
        "electrics",
        "cargo body",
        "body",
        "trim",
    ];
    Context {
        systems: systems.map(str::to_owned).to_vec(),
        vehicles: Vec::new(),
        currency: Currency::EUR,
    }
}

/// What the text raises as a part of an entry.
fn raised(given: &str, text: &str) -> Vec<Raised> {
    let front: Vec<&str> = given.split("; ").filter(|line| !line.is_empty()).collect();
    let entry = format!(
        "---\ndate: 2026-03-14\nvehicle: wren\n{}\n---\n\n# A day\n\n{text}\n",
        front.join("\n")
    );
    of_entry(&read(&entry, &context()).0)
}

#[derive(Default)]
struct Score {
    rows: usize,
    right: usize,
    wrong: usize,
    missed: usize,
}

impl Score {
    /// In thousandths.
    fn precision(&self) -> usize {
        1000 * self.right / (self.right + self.wrong).max(1)
    }

    fn recall(&self) -> usize {
        1000 * self.right / (self.right + self.missed).max(1)
    }
}

#[test]
#[expect(
    clippy::print_stdout,
    reason = "the figures are read with `--nocapture`"
)]
fn hazards_are_recognised_as_people_label_them() {
    let mut scores: BTreeMap<String, Score> = BTreeMap::new();
    let mut by_hazard: BTreeMap<Hazard, Score> = BTreeMap::new();
    let mut missed = String::new();
    for row in rows() {
        let found: BTreeSet<Hazard> = raised(&row.given, &row.text)
            .iter()
            .map(|raised| raised.hazard)
            .collect();
        let half = if row.id % 2 == 0 {
            "open half"
        } else {
            "held-out half"
        };
        let source = row.source.split([' ', ':']).next().unwrap_or_default();
        for name in ["all rows", half, source] {
            let score = scores.entry(name.to_owned()).or_default();
            score.rows += 1;
            score.right += found.intersection(&row.hazards).count();
            score.wrong += found.difference(&row.hazards).count();
            score.missed += row.hazards.difference(&found).count();
        }
        for (_, hazard) in LABELS {
            let score = by_hazard.entry(hazard).or_default();
            let (is, seems) = (row.hazards.contains(&hazard), found.contains(&hazard));
            score.right += usize::from(is && seems);
            score.wrong += usize::from(!is && seems);
            score.missed += usize::from(is && !seems);
            if is != seems {
                let what = if is { "missed" } else { "wrong" };
                let start: String = row.text.split_whitespace().collect::<Vec<_>>().join(" ");
                let start: String = start.chars().take(90).collect();
                let _ = writeln!(
                    missed,
                    "{what:7} {:22} {:4} {}: {start}",
                    hazard.name(),
                    row.id,
                    row.source
                );
            }
        }
    }
    let mut said = String::new();
    for (name, score) in &scores {
        let _ = writeln!(
            said,
            "{name:14} {:5} rows, precision {} ‰, recall {} ‰ ({} right, {} wrong, {} missed)",
            score.rows,
            score.precision(),
            score.recall(),
            score.right,
            score.wrong,
            score.missed
        );
    }
    for (hazard, score) in &by_hazard {
        let _ = writeln!(
            said,
            "{:26} {} right, {} wrong, {} missed",
            hazard.name(),
            score.right,
            score.wrong,
            score.missed
        );
    }
    println!("{said}\n{missed}");
    let listed = fs::read_to_string(data("cautions-missed.txt")).unwrap_or_default();
    assert!(
        listed == missed,
        "tests/data/cautions-missed.txt lists other rows than these:\n{missed}"
    );
    for name in ["all rows", "open half", "held-out half"] {
        let score = &scores[name];
        assert!(score.precision() >= 900, "{said}\n{missed}");
        assert!(score.recall() >= 800, "{said}\n{missed}");
    }
}

/// The later lists were learned from, so this only holds what was learned.
#[test]
fn what_was_learned_later_stays_learned() {
    let (score, faults) = on_lists("cautions-later.csv");
    assert!(score.precision() >= 945, "{faults}");
    assert!(score.recall() >= 975, "{faults}");
}

/// Nothing was learned from these: they say what strangers may expect.
#[test]
fn hazards_are_recognised_in_lists_that_nothing_was_learned_from() {
    let (score, faults) = on_lists("cautions-unseen.csv");
    assert!(score.precision() >= 945, "{faults}");
    assert!(score.recall() >= 915, "{faults}");
    let listed = fs::read_to_string(data("cautions-unseen-missed.txt")).unwrap_or_default();
    assert!(
        listed == faults,
        "tests/data/cautions-unseen-missed.txt lists other rows than these:\n{faults}"
    );
}

/// The texts of a file with lists, and what each raises.
pub(crate) fn lists(file: &str) -> impl Iterator<Item = (String, BTreeSet<Hazard>)> {
    let reader = csv::ReaderBuilder::new()
        .delimiter(b';')
        .from_path(data(file));
    let rows = reader.expect("the table").into_records();
    rows.map(|row| {
        let row = row.expect("a row");
        (row[1].to_owned(), hazards(&row[2]))
    })
}

/// How the texts of a file with lists are read, and those that are read wrongly.
fn on_lists(file: &str) -> (Score, String) {
    let mut score = Score::default();
    let mut faults = String::new();
    for (text, is) in lists(file) {
        let raised = raised("", &text);
        let found: BTreeSet<Hazard> = raised.iter().map(|raised| raised.hazard).collect();
        score.right += found.intersection(&is).count();
        score.wrong += found.difference(&is).count();
        score.missed += is.difference(&found).count();
        let names = |hazards: &mut dyn Iterator<Item = &Hazard>| -> String {
            hazards
                .map(|hazard| hazard.name())
                .collect::<Vec<_>>()
                .join(", ")
        };
        if found != is {
            let wrong = names(&mut found.difference(&is));
            let missed = names(&mut is.difference(&found));
            let _ = writeln!(faults, "{text}; wrong: {wrong}; missed: {missed}");
        }
    }
    (score, faults)
}

#[test]
fn the_words_that_raised_a_hazard_stand_where_it_says() {
    let text = "## Fuel tank\n\n- found: sound\n- needs: weld the\n  seam of the tank\n\n\
                Two lines.\n\nThen up on axle stands.\n";
    let found = raised("", text);
    let said: Vec<(Hazard, &str, u32)> = found
        .iter()
        .map(|raised| (raised.hazard, raised.word.as_str(), raised.spot.line))
        .collect();
    // The text begins on line 9: front matter of five lines, the title, blanks.
    assert_eq!(
        said,
        [
            (Hazard::Fuel, "tank", 12),
            (Hazard::Raised, "axle stands", 17)
        ]
    );
    assert!(
        found
            .iter()
            .all(|raised| raised.part.as_deref() == Some("Fuel tank"))
    );
}

#[test]
fn a_plain_day_raises_nothing() {
    for text in [
        "Swept the garage, sorted bolts, drank tea.",
        "## Bonnet\n\n- status: removed\n- hardware: 4 bolt 5/16-24 x 3/4, bag 20\n- stored: loft",
        "## Seat\n\n- found: springs good\n- needs: sew a new cover",
        "- removed: horn; horn bracket\n- stored: rack 2",
        "## Wheel cylinder, left front\n\n- replaced by: wheel cylinder\n  - kind: reproduction",
    ] {
        assert_eq!(raised("", text), [], "{text}");
    }
}

/// How often some words stand in an answer.
fn count(ran: &Ran, words: &str) -> usize {
    ran.out.matches(words).count()
}

#[test]
fn cautions_are_shown_when_they_arise_and_once() {
    let shop = Shop::new();
    let entry = "---\ndate: 2026-03-14\nvehicle: wren\n---\n\n# Brakes\n\n\
                 ## Brake drum, left\n\n- status: removed\n\n\
                 ## Brake drum, right\n\n- status: removed\n\n\
                 ## Battery\n\n- status: removed\n";
    let written = shop.run_with(["write", "-"], entry.as_bytes()).ends(0);
    let kept = shop.keep();
    for ran in [&written, &kept] {
        assert_eq!(
            count(ran, "caution, asbestos (`Brake drum`, line 8)"),
            1,
            "{ran:?}"
        );
        assert_eq!(count(ran, "caution, battery acid and gas"), 1, "{ran:?}");
        assert_eq!(count(ran, "wet wash or HEPA"), 1, "{ran:?}");
        assert_eq!(count(ran, "Local rules, the service manual"), 1, "{ran:?}");
    }
    // What is added speaks for itself alone.
    let more = [
        "write",
        "--date",
        "2026-03-14",
        "--part",
        "Horn",
        "--status",
        "removed",
    ];
    let added = shop.run(more).ends(0);
    assert_eq!(count(&added, "caution"), 0, "{added:?}");
    assert_eq!(count(&shop.keep(), "caution"), 0);
    let more = ["write", "--date", "2026-03-14", "Jacked it up again."];
    let added = shop.run(more).ends(0);
    assert_eq!(
        count(&added, "vehicle off the ground (`Jacked`"),
        1,
        "{added:?}"
    );
    assert_eq!(count(&added, "asbestos"), 0, "{added:?}");
    let kept = shop.keep();
    assert_eq!(count(&kept, "vehicle off the ground"), 1, "{kept:?}");
    assert_eq!(count(&kept, "asbestos"), 0, "{kept:?}");
}

#[test]
fn a_hazard_is_said_once_for_a_day_and_in_one_line() {
    let shop = Shop::new();
    let drum = |day: &str, part: &str| {
        let verb = ["write", "--date", day, "--part", part];
        let verb = [&verb[..], &["--status", "removed"][..]].concat();
        shop.run(verb).ends(0)
    };
    let first = drum("2026-03-14", "Brake drum, left");
    let lines: Vec<&str> = first
        .out
        .lines()
        .filter(|line| line.contains("caution,"))
        .collect();
    assert_eq!(
        lines,
        ["  caution, asbestos (`Brake drum`, line 8): wet wash or HEPA, no air jet"]
    );
    assert_eq!(
        count(&drum("2026-03-14", "Brake drum, right"), "caution"),
        0
    );
    assert_eq!(count(&shop.keep(), "caution, asbestos"), 1);
    // The day has said it, in this text as in another one of it.
    drum("2026-03-14", "Brake shoe, left");
    assert_eq!(count(&shop.keep(), "caution"), 0);
    let more = [
        "write",
        "--new",
        "--date",
        "2026-03-14",
        "Brushed the brake dust out.",
    ];
    assert_eq!(count(&shop.run(more).ends(0), "caution"), 0);
    assert_eq!(count(&shop.keep(), "caution"), 0);
    // Another day says it again.
    assert_eq!(
        count(&drum("2026-03-15", "Brake drum, rear"), "caution, asbestos"),
        1
    );
    assert_eq!(count(&shop.keep(), "caution, asbestos"), 1);
}

/// The names of the hazards in an answer, as `head` begins their lines.
fn hazards_said(ran: &Ran, head: &str) -> BTreeSet<String> {
    let lines = ran
        .out
        .lines()
        .filter_map(|line| line.trim().strip_prefix(head));
    lines
        .filter_map(|rest| Some(rest.split_once(" (`")?.0.to_owned()))
        .collect()
}

#[test]
fn part_says_of_the_newest_record_what_write_said() {
    for (day, facts) in [
        ("2026-03-01", "- status: removed\n- found: dust in the drum"),
        ("2026-03-02", "- done: blew it out with the air line"),
        ("2026-03-03", "- surface: bare"),
        ("2026-03-04", "- needs: reline it, and wash it in petrol"),
        (
            "2026-03-05",
            "- status: fitted\n- found: petrol leaks on it\n\nUp on axle stands.",
        ),
        (
            "2026-03-06",
            "- lesson: cut a gas strut open with the grinder.",
        ),
    ] {
        let shop = Shop::new();
        let entry = format!(
            "---\ndate: {day}\nvehicle: wren\n---\n\n# A day\n\n## Brake drum\n\n{facts}\n"
        );
        let written = shop.run_with(["write", "-"], entry.as_bytes()).ends(0);
        let shown = shop.run(["part", "brake drum"]).ends(0);
        let said = hazards_said(&written, "caution, ");
        assert_eq!(said, hazards_said(&shown, "general caution, "), "{facts}");
        assert!(!said.is_empty(), "{facts}");
    }
}

#[test]
fn part_marks_what_is_general() {
    let shop = Shop::new();
    let entry = "---\ndate: 2026-03-14\nvehicle: wren\n---\n\n# Brakes\n\n\
                 ## Brake drum\n\n- status: removed\n- caution: it is heavy\n";
    shop.run_with(["write", "-"], entry.as_bytes()).ends(0);
    let shown = shop.run(["part", "brake drum"]).ends(0);
    assert_eq!(count(&shown, "\n  caution: it is heavy"), 1, "{shown:?}");
    assert_eq!(
        count(
            &shown,
            "general caution, asbestos (`Brake drum`, 2026-03-14)"
        ),
        1,
        "{shown:?}"
    );
    assert_eq!(
        count(&shown, "Local rules, the service manual"),
        1,
        "{shown:?}"
    );
    let json = shop.run(["part", "brake drum", "--json"]).ends(0);
    for words in ["\"hazard\": \"asbestos\"", "\"word\": \"Brake drum\""] {
        assert_eq!(count(&json, words), 1, "{json:?}");
    }
    // Another unit is another story.
    let entry = "---\ndate: 2026-03-15\nvehicle: wren\n---\n\n# New\n\n\
                 ## Brake drum\n\n- replaced by: a new one\n- status: fitted\n";
    shop.run_with(["write", "-"], entry.as_bytes()).ends(0);
    let shown = shop.run(["part", "brake drum"]).ends(0);
    assert_eq!(count(&shown, "general caution"), 0, "{shown:?}");
    // As it stood the day before, it is the old one.
    let then = shop
        .run(["part", "brake drum", "--on", "2026-03-14"])
        .ends(0);
    assert_eq!(count(&then, "general caution, asbestos"), 1, "{then:?}");
}
