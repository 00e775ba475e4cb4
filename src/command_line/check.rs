//! `check`: all problems of texts, ledger, index and repository.

use std::collections::BTreeMap;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::path::Path;

use super::arguments::{CheckArgs, Common, WordsForm};
use super::destination::{DocumentSummary, deliver, terminal};
use super::failure::Failure;
use super::fresh_index::{Fresh, fresh_from};
use super::kept_states::HardwareScope;
use super::world::World;
use super::write::waiting;
use super::{Reply, kept_answer, opened, picture_sums};
use crate::entry::{Entry, decode};
use crate::history::History;
use crate::journal::{Contents, Journal, Walked, walk};
use crate::ledger::{Aliases, Ledger};
use crate::parallel;
use crate::presentation::export::{Document, Exporter};
use crate::presentation::json::Json;
use crate::presentation::json::writing::AcceptedPicture;
use crate::presentation::problems::{ProblemLimit, render, summary};
use crate::presentation::terminal::Terminal;
use crate::presentation::text::{counted, fitted, shown};
use crate::presentation::understood::render as echo;
use crate::problem::{Problem, Severity, Spot};
use crate::reports::check::Findings;
use crate::reports::kept_entry::EntryFindings;
use crate::reports::known_names::KnownNames;
use crate::reports::understood::understood;

/// Answers `check`.
pub(super) fn run(verb: &CheckArgs, common: &Common, world: &World) -> Result<Reply, Failure> {
    let journal = opened::journal(common, world)?;
    if !verb.accept.is_empty() {
        let accepted = picture_sums::accept(&verb.accept, &journal, world)?;
        let document = match verb.output.form() {
            WordsForm::Text => Document::text(accepted_words(&accepted)),
            WordsForm::Json => Json.export(&accepted[..]),
        };
        return deliver(document, &verb.output, DocumentSummary::default(), world);
    }
    let contents = match (&verb.entry, &verb.as_written) {
        (None, None) => None,
        (_, as_written) => Some(opened::contents(&journal, as_written.as_ref(), world)?),
    };
    let entry = match (&verb.entry, &contents) {
        (Some(file), Some(contents)) => Some(entry_of(file, &journal, contents, world)?),
        (_, _) => None,
    };
    let Looked {
        findings,
        texts,
        mut beside,
    } = match &contents {
        None => now(&journal, world)?,
        Some(contents) => Looked {
            findings: findings(contents, &journal),
            texts: texts(contents),
            beside: Vec::new(),
        },
    };
    let read = entry.map_or(findings.entries, |_| 1);
    if contents.is_none() {
        let named = findings.pictures();
        beside.extend(picture_sums::problems(&journal, &named, world));
    }
    let mut problems = findings.on_day(world.today(), &|path| journal.has(path), beside);
    if let Some(entry) = entry {
        problems.retain(|problem| problem.spot.file == entry.path);
    }
    if verb.no_notes {
        problems.retain(|problem| problem.severity != Severity::Note);
    }
    let serious = problems
        .iter()
        .any(|problem| problem.severity != Severity::Note);
    let understood = contents.as_ref().and_then(|contents| {
        let entry = entry.filter(|_| verb.facts)?;
        let aliases = Aliases::collect(&contents.entries);
        let mut known = KnownNames::before(entry, &contents.entries, &aliases);
        Some(understood(entry, &mut known, &aliases))
    });
    let document = match (verb.output.form(), &understood) {
        (WordsForm::Json, Some(understood)) => Json.export(&(understood, &problems[..])),
        (WordsForm::Json, None) => Json.export(&problems[..]),
        (WordsForm::Text, understood) => {
            let terminal = terminal(&verb.output, world);
            let shown = ProblemLimit::of(verb.all);
            let mut out = with_lines(&problems, shown, &texts, &journal, &terminal);
            if let Some(understood) = understood {
                let echoed = echo(std::slice::from_ref(understood), terminal.width, 0);
                out.push_str(&echoed.render(terminal.colours));
            }
            let read = counted(read, "entry", "entries");
            let count = format!("{read} read: {}\n", summary(&problems));
            out.push_str(&fitted(&count, terminal.width));
            Document::text(out)
        }
    };
    let reply = deliver(document, &verb.output, DocumentSummary::default(), world)?;
    Ok(reply.answering(!serious))
}

fn accepted_words(accepted: &[AcceptedPicture]) -> String {
    let mut words = String::new();
    for picture in accepted {
        let now = match picture.sum {
            Some(_) => "as it is now",
            None => "gone, as it is meant",
        };
        words.push_str(&format!("{}: {now}\n", shown(&picture.path)));
    }
    words + "`matchmark keep` puts that into the history\n"
}

/// The problems with the lines they stand in.
fn with_lines(
    problems: &[Problem],
    shown: ProblemLimit,
    texts: &TextsByPath,
    journal: &Journal,
    terminal: &Terminal,
) -> String {
    let text_of = |path: &str| match texts.get(path) {
        Some(text) => Some(text.clone()),
        None => Some(decode(journal.bytes(path).ok()?).text),
    };
    render(problems, shown, &text_of, terminal.width, terminal.colours)
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

/// Texts by path.
type TextsByPath = BTreeMap<String, String>;

fn texts(contents: &Contents) -> TextsByPath {
    let entries = contents.entries.iter();
    entries
        .map(|entry| (entry.path.clone(), entry.text.clone()))
        .collect()
}

/// What was found.
struct Looked {
    /// What is wrong with the texts and the ledger.
    findings: Findings,
    /// The texts, as far as they were read.
    texts: TextsByPath,
    /// What is wrong beside the texts: drafts that wait, the repository, the index.
    beside: Vec<Problem>,
}

/// What is wrong as the journal is now. Nothing is read again that was looked at before
/// and has not changed since.
fn now(journal: &Journal, world: &World) -> Result<Looked, Failure> {
    let walked = walk(&journal.root)?;
    let fresh = fresh_from(journal, &walked.files, world);
    let mut beside = drafts(journal, world);
    beside.extend(repository(journal, &walked, world));
    let wrong = match &fresh {
        Ok(fresh) => index(fresh),
        Err(error) => vec![index_problem(error.to_string())],
    };
    let is_whole = wrong.is_empty();
    beside.extend(wrong);
    let fresh = fresh.ok();
    let state = fresh.as_ref();
    let state = state.and_then(|fresh| state_of(fresh, &walked, journal));
    let kept = state
        .as_ref()
        .and_then(|state| kept_answer::read(journal, CHECK, state));
    if let Some(findings) = kept {
        return Ok(Looked {
            findings,
            texts: TextsByPath::new(),
            beside,
        });
    }
    let kept = fresh.as_ref().filter(|_| is_whole);
    let kept = kept.and_then(|fresh| kept_findings(fresh, &walked, journal));
    let (findings, texts) = match kept {
        Some(findings) => (findings, TextsByPath::new()),
        None => {
            let contents = journal.load()?;
            (findings(&contents, journal), texts(&contents))
        }
    };
    // Only if nothing has changed meanwhile is it known which texts these are.
    let after = walk(&journal.root)?;
    let fresh = fresh_from(journal, &after.files, world).ok();
    let after = fresh.and_then(|fresh| state_of(&fresh, &after, journal));
    if let Some(state) = after.filter(|after| state.as_ref() == Some(after)) {
        kept_answer::write(&kept_answer::file(journal, CHECK), &state, &findings);
    }
    Ok(Looked {
        findings,
        texts,
        beside,
    })
}

/// What is wrong, from what the index keeps of entries and places; `None` where the texts
/// are needed: a file of an entry cannot be read, or an episode may tell what is private.
fn kept_findings(fresh: &Fresh, walked: &Walked, journal: &Journal) -> Option<Findings> {
    let (read, whole) = parallel::both(
        || fresh.kept_entries(),
        || fresh.whole_journal(HardwareScope::Whole),
    );
    let (read, whole) = (read.ok()?, whole.ok()?);
    if read.len() != walked.files.len() {
        return None;
    }
    let (entries, found): (Vec<Entry>, Vec<EntryFindings>) =
        read.into_iter().map(|one| (one.entry, one.found)).unzip();
    let contents = journal.load_around(walked, entries).ok()?;
    if !contents.episodes.is_empty() && found.iter().any(|found| found.is_private) {
        return None;
    }
    Some(Findings::of_checked(
        &contents.entries,
        found,
        (&whole.ledger, whole.tools),
        contents.problems,
        &contents.settings.systems,
    ))
}

/// Texts that wait to be placed.
fn drafts(journal: &Journal, world: &World) -> Vec<Problem> {
    let waiting = waiting(journal, world).into_iter();
    let drafts = waiting.map(|draft| {
        let draft = draft.display().to_string();
        let hint =
            format!("`matchmark write --draft {draft}` takes it up; delete it if it is done with");
        let spot = Spot {
            file: draft,
            ..Spot::default()
        };
        Problem::note(
            spot,
            "a text that waits to be placed; nothing in it counts yet",
        )
        .hint(hint)
    });
    drafts.collect()
}

/// The name under which the findings are kept.
const CHECK: &str = "check";

/// What the findings depend on: the entries, settings and vehicles, which the index
/// knows, and the episodes and what lies among the entries without being one, which it
/// does not.
fn state_of(fresh: &Fresh, walked: &Walked, journal: &Journal) -> Option<String> {
    let index = fresh.index.state().ok().flatten()?;
    let episodes = journal.episode_texts()?;
    let mut hasher = DefaultHasher::new();
    episodes.hash(&mut hasher);
    walked.others.hash(&mut hasher);
    format!("{:?}", walked.unread).hash(&mut hasher);
    Some(format!("{index} {:016x}", hasher.finish()))
}

/// The problems of texts and ledger.
fn findings(contents: &Contents, journal: &Journal) -> Findings {
    let ledger = Ledger::fold(&contents.entries);
    let systems = &journal.settings().systems;
    Findings::of(&contents.entries, &ledger, &contents.problems, systems)
}

/// What is wrong with the repository.
fn repository(journal: &Journal, walked: &Walked, world: &World) -> Vec<Problem> {
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
    let ignored = history.ignored_texts(walked).ok();
    problems.extend(ignored.into_iter().flatten().map(|path| {
        let hint = format!("`git check-ignore -v {path}` shows the rule that hides it");
        let spot = Spot {
            file: path,
            ..Spot::default()
        };
        Problem::warning(spot, "git ignores this text, so it is never kept").hint(hint)
    }));
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
