//! `check`: all problems of texts, ledger, index and repository.

use std::collections::BTreeMap;
use std::hash::{DefaultHasher, Hash, Hasher};

use super::arguments::{Check, Common};
use super::failure::Failure;
use super::fresh_index::{Fresh, fresh};
use super::world::World;
use super::write::waiting;
use super::{Reply, kept_answer, opened};
use crate::entry::decode;
use crate::history::History;
use crate::journal::{Contents, Journal};
use crate::ledger::Ledger;
use crate::presentation::json;
use crate::presentation::problems::{Shown, render, summary};
use crate::problem::{Problem, Severity, Spot};
use crate::reports::check::Findings;

/// Answers `check`.
pub(super) fn run(verb: &Check, common: &Common, world: &World) -> Result<Reply, Failure> {
    let journal = opened::journal(common, world)?;
    let (findings, texts, index_problems) = match &verb.as_written {
        None => now(&journal, world)?,
        Some(text) => {
            let contents = opened::contents(&journal, Some(text), world)?;
            let findings = findings(&contents);
            let texts = contents.entries.into_iter();
            let texts = texts.map(|entry| (entry.path, entry.text)).collect();
            (findings, texts, Vec::new())
        }
    };
    let entries = findings.entries;
    let mut more = Vec::new();
    if verb.as_written.is_none() {
        more.extend(waiting(&journal, world).into_iter().map(|draft| {
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
        more.extend(repository(&journal, world));
        more.extend(index_problems);
    }
    let mut problems = findings.on_day(world.today(), &|path| journal.has(path), more);
    if verb.no_notes {
        problems.retain(|problem| problem.severity != Severity::Note);
    }
    let serious = problems
        .iter()
        .any(|problem| problem.severity != Severity::Note);
    let out = if common.json {
        json::text(&json::check(&problems))
    } else {
        let text_of = |path: &str| {
            let read = || Some(decode(journal.bytes(path).ok()?).text);
            texts.get(path).cloned().or_else(read)
        };
        let mut out = render(
            &problems,
            Shown::of(verb.all),
            &text_of,
            world.width,
            world.colours,
        );
        out.push_str(&format!("{entries} entries read: {}\n", summary(&problems)));
        out
    };
    Ok(Reply::new(out).answering(!serious))
}

/// Texts by path.
type Texts = BTreeMap<String, String>;

/// What is wrong as the journal is now, the texts as far as they were read, and what
/// is wrong with the index. Nothing is read again that was looked at before and has
/// not changed since.
fn now(journal: &Journal, world: &World) -> Result<(Findings, Texts, Vec<Problem>), Failure> {
    let before = fresh(journal, world);
    let wrong = match &before {
        Ok(fresh) => index(fresh),
        Err(error) => vec![index_problem(error.to_string())],
    };
    let state = before.ok().and_then(|fresh| state(&fresh, journal));
    let kept = state
        .as_ref()
        .and_then(|state| kept_answer::read(journal, CHECK, state));
    if let Some(findings) = kept {
        return Ok((findings, Texts::new(), wrong));
    }
    let contents = journal.load()?;
    let findings = findings(&contents);
    // Only if nothing has changed meanwhile is it known which texts these are.
    let after = fresh(journal, world);
    let after = after.ok().and_then(|fresh| self::state(&fresh, journal));
    if let Some(state) = after.filter(|after| state.as_ref() == Some(after)) {
        kept_answer::write(journal, CHECK, &state, &findings);
    }
    let texts = contents.entries.into_iter();
    let texts = texts.map(|entry| (entry.path, entry.text)).collect();
    Ok((findings, texts, wrong))
}

/// The name under which the findings are kept.
const CHECK: &str = "check";

/// What the findings depend on: the entries, settings and vehicles, which the index
/// knows, and the episodes, which it does not.
fn state(fresh: &Fresh, journal: &Journal) -> Option<String> {
    let index = fresh.index.state().ok().flatten()?;
    let episodes = journal.episode_texts()?;
    let mut hasher = DefaultHasher::new();
    episodes.hash(&mut hasher);
    Some(format!("{index} {:016x}", hasher.finish()))
}

/// The problems of texts and ledger.
fn findings(contents: &Contents) -> Findings {
    let ledger = Ledger::fold(&contents.entries);
    Findings::of(&contents.entries, &ledger, &contents.problems)
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
fn index(fresh: &Fresh) -> Vec<Problem> {
    let wrong = fresh.index.validate();
    let wrong = wrong.unwrap_or_else(|error| vec![error.to_string()]);
    wrong.into_iter().map(index_problem).collect()
}

fn index_problem(wrong: String) -> Problem {
    Problem::warning(Spot::default(), wrong)
        .hint("delete the folder .matchmark/index; it is made anew from the texts")
}
