//! `check`: all problems of texts, ledger, index and repository.

use std::collections::HashMap;

use super::arguments::{Check, Common, WordsForm};
use super::destination::{About, deliver, terminal};
use super::failure::Failure;
use super::fresh_index::fresh;
use super::world::World;
use super::write::waiting;
use super::{Reply, opened};
use crate::entry::decode;
use crate::history::History;
use crate::journal::{Contents, Journal};
use crate::ledger::Ledger;
use crate::presentation::export::{Document, Exporter};
use crate::presentation::json::Json;
use crate::presentation::problems::{Shown, render, summary};
use crate::presentation::text::fitted;
use crate::problem::{Problem, Severity, Spot};
use crate::reports::check::{check, sort};

/// Answers `check`.
pub(super) fn run(verb: &Check, common: &Common, world: &World) -> Result<Reply, Failure> {
    let journal = opened::journal(common, world)?;
    let contents = opened::contents(&journal, verb.as_written.as_ref(), world)?;
    let mut problems = problems(&journal, &contents, world);
    if verb.as_written.is_none() {
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
    let document = match verb.output.form() {
        WordsForm::Json => Json.export(&problems[..]),
        WordsForm::Text => {
            let terminal = terminal(&verb.output, world);
            let texts: HashMap<&str, &str> = contents
                .entries
                .iter()
                .map(|entry| (entry.path.as_str(), entry.text.as_str()))
                .collect();
            let text_of = |path: &str| match texts.get(path) {
                Some(text) => Some((*text).to_owned()),
                None => Some(decode(journal.bytes(path).ok()?).text),
            };
            let mut out = render(
                &problems,
                Shown::of(verb.all),
                &text_of,
                terminal.width,
                terminal.colours,
            );
            let count = format!(
                "{} entries read: {}\n",
                contents.entries.len(),
                summary(&problems)
            );
            out.push_str(&fitted(&count, terminal.width));
            Document::text(out)
        }
    };
    let reply = deliver(document, &verb.output, About::default(), world)?;
    Ok(reply.answering(!serious))
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
