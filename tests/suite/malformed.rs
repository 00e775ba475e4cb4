//! Entries that are wrong in one way each, with the problem a person expects,
//! written from the format's description by someone who had not seen the
//! reader.

use std::fs;
use std::path::Path;

use jiff::civil::date;
use matchmark::journal::gather;
use matchmark::ledger::Ledger;
use matchmark::problem::Problem;
use matchmark::reports::check::check;

use crate::formats::context;

const WREN: &str = "---\nname: Brindle Wren\nyear: 1957\ndriven: right\n---\n";
const PAVETTA: &str = "---\nname: Pavetta 125\nyear: 1974\n---\n";

fn problems_of(entry: Vec<u8>) -> Vec<Problem> {
    let contents = gather(vec![
        ("vehicles/wren.md".into(), WREN.into()),
        ("vehicles/pavetta.md".into(), PAVETTA.into()),
        ("entries/2026/2026-10-05-case.md".into(), entry),
    ]);
    let ledger = Ledger::fold(&contents.entries);
    check(
        &contents.entries,
        &ledger,
        &contents.problems,
        &context().systems,
        date(2026, 11, 24),
        &|_| false,
    )
}

/// `LINE SEVERITY WORDS`, or `none`.
fn is_met(expected: &str, problems: &[Problem]) -> bool {
    if expected == "none" {
        return problems.is_empty();
    }
    let mut words = expected.splitn(3, ' ');
    let line: u32 = words
        .next()
        .and_then(|line| line.parse().ok())
        .expect("a line");
    let severity = words.next().expect("a severity");
    let wanted = words.next().expect("words").to_lowercase();
    problems.iter().any(|problem| {
        let text = format!(
            "{} {}",
            problem.message,
            problem.hint.as_deref().unwrap_or_default()
        );
        problem.spot.line == line
            && problem.severity.word() == severity
            && text.to_lowercase().contains(&wanted)
    })
}

#[test]
fn every_wrong_entry_has_the_problem_a_person_expects() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/malformed");
    let mut cases = 0;
    let mut failures = String::new();
    let mut files: Vec<_> = fs::read_dir(&folder)
        .expect("the cases")
        .map(|file| file.expect("a case").path())
        .filter(|path| path.extension().is_some_and(|end| end == "expected"))
        .collect();
    files.sort();
    for file in files {
        let expected = fs::read_to_string(&file).expect("an expectation");
        let entry = fs::read(file.with_extension("md")).expect("an entry");
        let problems = problems_of(entry);
        cases += 1;
        for line in expected.lines() {
            if !is_met(line, &problems) {
                let name = file.file_stem().unwrap_or_default().to_string_lossy();
                failures += &format!("{name}: expected `{line}`, got:\n");
                for problem in &problems {
                    failures += &format!(
                        "    {} {} {} | {}\n",
                        problem.spot.line,
                        problem.severity.word(),
                        problem.message,
                        problem.hint.as_deref().unwrap_or_default()
                    );
                }
            }
        }
    }
    assert!(cases >= 300, "only {cases} cases");
    assert!(failures.is_empty(), "{failures}");
}
