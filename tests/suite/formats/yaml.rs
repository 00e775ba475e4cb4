//! The 402 cases of the YAML 1.2 test suite as front matter of entries: read
//! without loss, reported where the suite says error, and with the values
//! that the suite says.

use std::collections::BTreeSet;

use matchmark::entry::{FrontMatterFields, read};
use matchmark::problem::Problem;
use serde_json::Value;

use super::{broken_promises, context};

const CASES: &str = include_str!("../../data/yaml/cases.json");

struct Case {
    id: String,
    yaml: String,
    /// The events the suite expects, one a line.
    tree: String,
    error: bool,
}

impl Case {
    /// The case between two `---` lines. One that brings its own `---` line
    /// at the top needs no other.
    fn front_matter(&self) -> String {
        let yaml = &self.yaml;
        let open = if yaml.starts_with("---\n") {
            ""
        } else {
            "---\n"
        };
        let end = if yaml.ends_with('\n') { "" } else { "\n" };
        format!("{open}{yaml}{end}---\n")
    }

    /// Whether a `---` line of its own ends the front matter before the case
    /// is over.
    fn ends_early(&self) -> bool {
        self.front_matter()
            .lines()
            .filter(|line| line.trim_end() == "---")
            .count()
            > 2
    }
}

fn cases() -> Vec<Case> {
    let all: Vec<Value> = serde_json::from_str(CASES).expect("cases");
    let text = |case: &Value, key: &str| case[key].as_str().unwrap_or_default().to_owned();
    all.iter()
        .map(|case| Case {
            id: text(case, "id"),
            yaml: text(case, "yaml"),
            tree: text(case, "tree"),
            error: case["error"].as_bool().expect("yes or no"),
        })
        .collect()
}

#[test]
fn all_cases_are_there() {
    let cases = cases();
    assert_eq!(cases.len(), 402);
    let errors = cases.iter().filter(|case| case.error);
    assert_eq!(errors.clone().count(), 94);
    let early = cases.iter().filter(|case| case.ends_early());
    assert_eq!(early.count(), EARLY, "cases that end early");
    let early = errors.filter(|case| case.ends_early());
    assert_eq!(early.count(), EARLY_ERRORS, "wrong cases that end early");
}

/// Cases of several documents, whose second `---` line ends the front matter
/// for us: of them only the promises about any text are asked.
const EARLY: usize = 35;

/// How many of these the suite calls wrong.
const EARLY_ERRORS: usize = 8;

#[test]
fn no_case_is_changed_by_reading() {
    for case in cases() {
        let front = case.front_matter();
        for text in [
            format!("{front}\n# An evening\n\n## Horn\n\n- bag: 4\n"),
            format!("---\ndate: 2026-03-14\nvehicle: wren\nlesson:\n{front}\n# An evening\n"),
            front.replace('\n', "\r\n"),
            front.clone(),
            case.yaml.clone(),
        ] {
            let broken = broken_promises(text.as_bytes());
            assert!(broken.is_empty(), "{}: {broken:?}", case.id);
        }
    }
}

/// Whether a problem says that the block is not what YAML allows.
fn says_refused(problem: &Problem) -> bool {
    problem.message.contains("line by line")
}

#[test]
fn every_case_that_the_suite_calls_wrong_is_reported() {
    let mut silent = Vec::new();
    for case in cases() {
        if !case.error || case.ends_early() {
            continue;
        }
        let text = format!("{}\n# An evening\n", case.front_matter());
        let (_, problems) = read(&text, &context());
        if !problems.iter().any(says_refused) {
            silent.push(case.id);
        }
    }
    silent.sort();
    assert_eq!(
        silent, NOT_REFUSED,
        "cases that are wrong and taken as they are"
    );
}

/// Cases that the suite calls wrong and the YAML parser in use lets pass.
const NOT_REFUSED: [&str; 0] = [];

/// Keys and values of a case whose only document is a mapping of plain text
/// to plain text, from the events that the suite expects.
fn plain_mapping(tree: &str) -> Option<Vec<(String, String)>> {
    let mut lines = tree.lines().map(str::trim_start);
    let mut next = || lines.next();
    if next()? != "+STR" || !next()?.starts_with("+DOC") || !is_plain_map(next()?) {
        return None;
    }
    let mut pairs = Vec::new();
    loop {
        let line = next()?;
        if line == "-MAP" {
            break;
        }
        pairs.push((scalar(line)?, scalar(next()?)?));
    }
    (next()?.starts_with("-DOC") && next()? == "-STR").then_some(pairs)
}

/// Whether a mapping begins, without an anchor or a tag.
fn is_plain_map(event: &str) -> bool {
    matches!(event, "+MAP" | "+MAP {}")
}

/// The text of `=VAL :text`; none where it has an anchor or a tag.
fn scalar(line: &str) -> Option<String> {
    let value = line.strip_prefix("=VAL ")?;
    let text = value.strip_prefix([':', '"', '\'', '|', '>'])?;
    let mut plain = String::new();
    let mut chars = text.chars();
    while let Some(c) = chars.next() {
        plain.push(match (c, c == '\\') {
            (_, false) => c,
            (_, true) => match chars.next()? {
                'n' => '\n',
                't' => '\t',
                'r' => '\r',
                'b' => '\u{8}',
                other => other,
            },
        });
    }
    Some(plain.split_whitespace().collect::<Vec<_>>().join(" "))
}

#[test]
fn plain_values_are_those_of_the_suite() {
    let mut compared = 0;
    for case in cases() {
        if case.error || case.ends_early() {
            continue;
        }
        let Some(pairs) = plain_mapping(&case.tree) else {
            continue;
        };
        // Of a key that is written twice, a reader may take either value.
        let keys: BTreeSet<&String> = pairs.iter().map(|(key, _)| key).collect();
        if keys.len() < pairs.len() {
            continue;
        }
        let fields = FrontMatterFields::read(&case.front_matter());
        let refused = fields.problems.iter().any(says_refused);
        assert!(!refused, "{}: {:?}", case.id, fields.problems);
        for (key, value) in pairs {
            let got = fields.get(&key).unwrap_or_default();
            assert_eq!(got, value, "{}: `{key}`", case.id);
            compared += 1;
        }
    }
    assert!(compared > 60, "only {compared} values");
}
