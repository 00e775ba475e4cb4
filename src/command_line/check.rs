//! `check`: all problems of texts, ledger, index and repository.

use super::arguments::{Check, Common};
use super::failure::Failure;
use super::fresh_index::fresh;
use super::world::World;
use super::{Reply, opened};
use std::path::Path;

use crate::entry::Entry;
use crate::history::History;
use crate::journal::{Contents, Journal};
use crate::ledger::{Aliases, Ledger};
use crate::presentation::json;
use crate::presentation::problems::{render, summary};
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
        problems.extend(journal.unfinished().into_iter().map(|draft| {
            let spot = Spot {
                file: draft,
                ..Spot::default()
            };
            Problem::note(spot, "an unfinished text; nothing in it counts yet")
                .hint("`matchmark write` for its day and vehicle opens it again; delete it if it is done with")
        }));
        problems.extend(repository(&journal, world));
        problems.extend(index(&journal, world));
        sort(&mut problems);
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
            let text_of = |path: &str| text_of(&contents, &journal, path);
            let mut out = render(&problems, &text_of, world.width, world.colours);
            if let Some(understood) = understood {
                out.push_str(&echo(understood, world.width).render(world.colours));
            }
            let read = if entry.is_some() {
                1
            } else {
                contents.entries.len()
            };
            let read = counted(read, "entry", "entries");
            out.push_str(&format!("{read} read: {}\n", summary(&problems)));
            out
        }
    };
    Ok(Reply::new(out).answering(!serious))
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

/// The text of a file of the journal as it was read.
pub(super) fn text_of(contents: &Contents, journal: &Journal, path: &str) -> Option<String> {
    let entry = contents.entries.iter().find(|entry| entry.path == path);
    entry.map(|entry| entry.text.clone()).or_else(|| {
        let bytes = journal.bytes(path).ok()?;
        Some(crate::entry::decode(bytes).text)
    })
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
