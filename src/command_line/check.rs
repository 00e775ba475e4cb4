//! `check`: all problems of texts, ledger, index and repository.

use std::collections::HashMap;

use super::arguments::{Check, Common};
use super::failure::Failure;
use super::fresh_index::fresh;
use super::world::World;
use super::write::waiting;
use super::{Reply, opened};
use std::path::Path;

use crate::entry::{Entry, decode};
use crate::history::History;
use crate::journal::{Contents, Journal};
use crate::ledger::{Aliases, Ledger};
use crate::presentation::json;
use crate::presentation::problems::{Shown, render, summary};
use crate::presentation::text::counted;
use crate::presentation::understood::render as echo;
use crate::problem::{Problem, Severity, Spot};
use crate::reports::check::{check, sort};
use crate::reports::understood::{KnownNames, understood};

/// Answers `check`.
pub(super) fn run(verb: &Check, common: &Common, world: &World) -> Result<Reply, Failure> {
    let journal = opened::journal(common, world)?;
    let contents = opened::contents(&journal, verb.as_written.as_ref(), world)?;
    let mut problems = problems(&journal, &contents, world);
    let entry = match &verb.entry {
        Some(file) => Some(entry_of(file, &journal, &contents, world)?),
        None => None,
    };
    if let Some(entry) = entry {
        problems.retain(|problem| problem.spot.file == entry.path);
    } else if verb.as_written.is_none() {
        problems.extend(waiting(&journal, world).into_iter().map(|draft| {
            let draft = draft.display().to_string();
            let hint = format!(
                "`matchmark write --draft {draft}` takes it up; delete it if it is done with"
            );
            let spot = Spot {
                file: draft,
                ..Spot::default()
            };
            Problem::note(
                spot,
                "a text that waits to be placed; nothing in it counts yet",
            )
            .hint(hint)
        }));
        problems.extend(repository(&journal, world));
        problems.extend(index(&journal, world));
        sort(&mut problems, &contents.entries);
    }
    if verb.no_notes {
        problems.retain(|problem| problem.severity != Severity::Note);
    }
    let serious = problems
        .iter()
        .any(|problem| problem.severity != Severity::Note);
    let understood = entry.filter(|_| verb.facts).map(|entry| {
        let aliases = Aliases::collect(&contents.entries);
        let known = KnownNames::before(entry, &contents.entries, &aliases);
        understood(entry, known, &aliases)
    });
    let out = match (common.json, &understood) {
        (true, Some(understood)) => {
            json::text(&json::understood::understood(understood, &problems))
        }
        (true, None) => json::text(&json::check(&problems)),
        (false, understood) => {
            let mut out = with_lines(&problems, Shown::of(verb.all), &contents, &journal, world);
            if let Some(understood) = understood {
                out.push_str(&echo(understood, world.width).render(world.colours));
            }
            let read = match entry {
                Some(_) => 1,
                None => contents.entries.len(),
            };
            let read = counted(read, "entry", "entries");
            out.push_str(&format!("{read} read: {}\n", summary(&problems)));
            out
        }
    };
    Ok(Reply::new(out).answering(!serious))
}

/// The problems with the lines they stand in.
fn with_lines(
    problems: &[Problem],
    shown: Shown,
    contents: &Contents,
    journal: &Journal,
    world: &World,
) -> String {
    let texts: HashMap<&str, &str> = contents
        .entries
        .iter()
        .map(|entry| (entry.path.as_str(), entry.text.as_str()))
        .collect();
    let text_of = |path: &str| match texts.get(path) {
        Some(text) => Some((*text).to_owned()),
        None => Some(decode(journal.bytes(path).ok()?).text),
    };
    render(problems, shown, &text_of, world.width, world.colours)
}

/// The entry in a file that was named from here or from the journal's folder.
fn entry_of<'c>(
    file: &Path,
    journal: &Journal,
    contents: &'c Contents,
    world: &World,
) -> Result<&'c Entry, Failure> {
    let root = journal.root.canonicalize();
    let root = root.as_deref().unwrap_or(&journal.root);
    let from_here = world.here.join(file).canonicalize().ok();
    let inside = from_here
        .as_deref()
        .and_then(|path| path.strip_prefix(root).ok());
    let is_named = |entry: &&Entry| {
        let path = Path::new(&entry.path);
        Some(path) == inside || path == file
    };
    contents.entries.iter().find(is_named).ok_or_else(|| {
        Failure::misuse(
            format!("`{}` is no entry of this journal", file.display()),
            "name its file: `entries/2026/2026-03-14-tank.md`",
        )
    })
}

/// The problems of texts and ledger.
pub(super) fn problems(journal: &Journal, contents: &Contents, world: &World) -> Vec<Problem> {
    let ledger = Ledger::fold(&contents.entries);
    check(
        &contents.entries,
        &ledger,
        &contents.problems,
        world.today(),
        &|path| journal.has(path),
    )
}

/// What is wrong with the repository.
fn repository(journal: &Journal, world: &World) -> Vec<Problem> {
    let history = match History::open(&journal.root) {
        Ok(Some(history)) => history,
        Ok(None) => {
            return vec![
                Problem::note(Spot::default(), "the journal has no history yet")
                    .hint("`matchmark keep` begins one"),
            ];
        }
        Err(error) => {
            let mut problem = Problem::error(Spot::default(), error.to_string());
            problem.hint = error.hint();
            return vec![problem];
        }
    };
    let mut problems: Vec<Problem> = history
        .is_sound(world.system_time())
        .into_iter()
        .map(|wrong| Problem::warning(Spot::default(), wrong))
        .collect();
    if let Some(unfinished) = history.unfinished() {
        problems.push(
            Problem::warning(
                Spot::default(),
                format!("{unfinished} is not finished in the repository"),
            )
            .hint("`git status` says how to finish it; `matchmark keep` waits for that"),
        );
    }
    problems
}

/// What is wrong with the search index; it is made anew by the next `find`.
fn index(journal: &Journal, world: &World) -> Vec<Problem> {
    let wrong = match fresh(journal, world) {
        Ok(fresh) => fresh
            .index
            .validate()
            .unwrap_or_else(|error| vec![error.to_string()]),
        Err(error) => vec![error.to_string()],
    };
    wrong
        .into_iter()
        .map(|wrong| {
            Problem::warning(Spot::default(), wrong)
                .hint("delete the folder .matchmark/index; it is made anew from the texts")
        })
        .collect()
}
