//! Every example in README and docs is what the program really prints.
//!
//! A block of `console` holds commands behind `$ ` and their output. Blocks of
//! a file run one after the other in one scratch folder. A line `...` stands
//! for any lines.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use matchmark::entry::Key;

/// A command with what it is said to print.
struct Example {
    command: String,
    output: Vec<String>,
}

fn examples(text: &str) -> Vec<Example> {
    let mut examples: Vec<Example> = Vec::new();
    let mut inside = false;
    for line in text.lines() {
        if line.starts_with("```") {
            inside = line == "```console";
            continue;
        }
        if !inside {
            continue;
        }
        if let Some(command) = line.strip_prefix("$ ") {
            examples.push(Example {
                command: command.to_owned(),
                output: Vec::new(),
            });
        } else if let Some(example) = examples.last_mut() {
            example.output.push(line.to_owned());
        }
    }
    examples
}

/// With this most pages begin.
const TOUR: &str = "matchmark tour > the-tour.txt";

/// Runs a command as a person in `folder` would; `cd` moves on. The tour is played once
/// and copied from then on.
fn run(command: &str, folder: &mut PathBuf, toured: &Path) -> String {
    if let Some(target) = command.strip_prefix("cd ") {
        *folder = folder.join(target);
        return String::new();
    }
    if command == TOUR && *folder != toured {
        let copied = Command::new("cp")
            .arg("-a")
            .arg(toured.join("."))
            .arg(&*folder)
            .status();
        assert!(copied.expect("`cp` runs").success());
        return String::new();
    }
    let program = Path::new(env!("CARGO_BIN_EXE_matchmark"));
    let above = program.parent().expect("a folder");
    let path = env!("PATH");
    let output = Command::new("sh")
        .arg("-c")
        .arg(command)
        .current_dir(&*folder)
        .env("PATH", format!("{}:{path}", above.display()))
        .env("COLUMNS", "80")
        .env("NO_COLOR", "1")
        .env("GIT_CONFIG_GLOBAL", folder.join("no-settings"))
        .env("GIT_CONFIG_NOSYSTEM", "1")
        .env("HOME", &*folder)
        .output()
        .expect("a shell");
    format!(
        "{}{}",
        String::from_utf8_lossy(&output.stdout),
        String::from_utf8_lossy(&output.stderr)
    )
}

/// The line with every number of a commit made the same: it depends on the
/// moment.
fn without_commits(line: &str) -> String {
    line.split_inclusive(|c: char| !c.is_ascii_alphanumeric())
        .map(|word| {
            let bare = word.trim_end_matches(|c: char| !c.is_ascii_alphanumeric());
            let is_commit = bare.len() == 10
                && bare.bytes().all(|b| b.is_ascii_hexdigit())
                && bare.bytes().any(|b| b.is_ascii_digit());
            if is_commit {
                word.replace(bare, "COMMIT")
            } else {
                word.to_owned()
            }
        })
        .collect()
}

/// Whether the lines are those that are said; `...` stands for any.
fn is_as_said(said: &[String], real: &[&str]) -> bool {
    match said.split_first() {
        None => real.is_empty(),
        Some((first, rest)) if first == "..." => {
            (0..=real.len()).any(|skip| is_as_said(rest, &real[skip..]))
        }
        Some((first, rest)) => real.split_first().is_some_and(|(line, more)| {
            without_commits(line) == without_commits(first) && is_as_said(rest, more)
        }),
    }
}

#[test]
fn every_key_is_explained() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let page = fs::read_to_string(root.join("docs/entry-format.md")).expect("the page");
    let in_tables: Vec<&str> = page
        .lines()
        .filter_map(|line| line.strip_prefix('|')?.split('|').next())
        .flat_map(|cell| cell.split('`').skip(1).step_by(2))
        .collect();
    for key in Key::ALL {
        assert!(in_tables.contains(&key.word()), "`{}`", key.word());
    }
}

#[cfg(unix)]
#[test]
fn examples_print_what_they_say() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut files = vec![root.join("README.md"), root.join("DEVELOPERS.md")];
    files.extend(
        fs::read_dir(root.join("docs"))
            .expect("docs")
            .map(|file| file.expect("a page").path()),
    );
    let mut seen = 0;
    let mut wrong = String::new();
    let toured = tempfile::tempdir().expect("a folder");
    assert_eq!(run(TOUR, &mut toured.path().to_owned(), toured.path()), "");
    for file in files {
        let scratch = tempfile::tempdir().expect("a folder");
        let mut folder = scratch.path().to_owned();
        let text = fs::read_to_string(&file).expect("a page");
        for example in examples(&text) {
            seen += 1;
            let real = run(&example.command, &mut folder, toured.path());
            let mut real: Vec<&str> = real.lines().map(str::trim_end).collect();
            let mut said = example.output;
            while said.last().is_some_and(String::is_empty) {
                said.pop();
            }
            while real.last().is_some_and(|line| line.is_empty()) {
                real.pop();
            }
            if !is_as_said(&said, &real) {
                wrong += &format!(
                    "{}: $ {}\nprints:\n{}\n\n",
                    file.display(),
                    example.command,
                    real.join("\n")
                );
            }
        }
    }
    assert!(seen >= 10, "only {seen} examples");
    assert!(wrong.is_empty(), "{wrong}");
}

/// The two commands that README promises are the ones that are tested here and
/// in the continuous check.
#[test]
fn readme_begins_with_the_two_commands() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let readme = fs::read_to_string(root.join("README.md")).expect("README");
    let tour = readme.find("cargo run -- tour").expect("the tour");
    let test = readme.find("cargo test").expect("the tests");
    assert!(tour < test);
    let check = fs::read_to_string(root.join(".ci/run")).expect("the check");
    assert!(check.contains("cargo test"));
}
