//! `keep`: everything written goes into the history, problems or not.

use std::collections::{BTreeSet, HashMap, HashSet};

use super::arguments::{Common, KeepArgs, WordsForm};
use super::destination::{DocumentSummary, deliver, may_deliver, terminal};
use super::entry_problems::entry_problems;
use super::failure::Failure;
use super::fresh_index::{Fresh, OpenedIndex};
use super::world::World;
use super::write::waiting_lines;
use super::{Reply, echo, opened, picture_sums};
use crate::entry::{Entry, decode, read_file};
use crate::history::{self, AsKept, ChangedFile, ChangedKind, History, Who, WorkTreeChanges};
use crate::journal::{Journal, Walked, is_text_of_journal, walk};
use crate::parallel;
use crate::presentation::cautions::arising;
use crate::presentation::export::{Document, Exporter};
use crate::presentation::json::Json;
use crate::presentation::json::writing::KeptReport;
use crate::presentation::problems::{ProblemLimit, render, summary};
use crate::presentation::text::{Text, TextStyle, shown};
use crate::presentation::understood::render as understood_lines;
use crate::problem::{Problem, Severity};
use crate::reports::cautions::{Hazard, Raised, hazards_of, of_entry};
use crate::reports::changes::{FactChange, changes};
use crate::reports::commit_message::{TextToKeep, message};
use crate::reports::understood::Understood;

/// Keeps what changed.
pub(super) fn run(verb: &KeepArgs, common: &Common, world: &World) -> Result<Reply, Failure> {
    may_deliver(&verb.output, world)?;
    let journal = opened::journal(common, world)?;
    let history = match History::open(&journal.root)? {
        Some(history) => history,
        None => create(&journal)?,
    };
    let mut said = Vec::new();
    if verb.clear_locks {
        for lock in history.clear_locks(world.system_time())? {
            said.push(format!("cleared {}", lock.display()));
        }
    }
    if let Err(error) = picture_sums::add_new(&journal, world) {
        said.push(format!("pictures were not listed: {error}"));
    }
    // One look at the disk serves both, and what was kept is read beside it. The index
    // needs nothing else, so it is brought up to date while the history is written.
    // Nothing it finds may hold back a text.
    let photos = journal.settings().keep_photos;
    let wanted = |path: &str| is_text_of_journal(path) || (photos && path.starts_with("photos/"));
    let (walked, (as_kept, index)) = parallel::both(
        || walk(&journal.root),
        || (history.as_kept(&wanted), OpenedIndex::of(&journal)),
    );
    let (walked, mut as_kept) = (walked?, as_kept?);
    let (fresh, kept) = parallel::both(
        || index.reflecting(&journal, &walked.files, world),
        || {
            let mut found = as_kept.changed(Some(&walked))?;
            let deletions = Deletions::decided(&mut found, world)?;
            let ignored = ignored_words(&found.ignored);
            let kept = keep(
                verb,
                (&history, as_kept),
                &journal,
                (&found, &walked),
                world,
            )?;
            Ok::<_, Failure>((kept, deletions, ignored))
        },
    );
    journal.clear_unfinished(world.system_time());
    let (kept, deletions, ignored) = kept?;
    said.extend(ignored);
    said.extend(deletions.said());
    let Some((texts, kept, raised)) = kept else {
        said.extend(waiting_lines(&journal, world));
        let document = match verb.output.form() {
            WordsForm::Text => Document::text("nothing new to keep\n".to_owned()),
            WordsForm::Json => Json.export(&KeptReport {
                notes: &said,
                ..KeptReport::default()
            }),
        };
        let mut reply = deliver(document, &verb.output, DocumentSummary::default(), world)?;
        reply.said = said;
        return Ok(reply.answering(deletions.held_back == 0));
    };
    said.extend(texts.left_out.iter().cloned());
    said.extend(waiting_lines(&journal, world));
    let fresh = fresh?;
    let problems = problems(&texts, &journal, &fresh, world);
    let understood = texts.understood(&fresh);
    let subject = verb.message.clone().unwrap_or_else(|| texts.message());
    let subject = shown(subject.lines().next().unwrap_or_default());
    let commit = kept.commit.map(|commit| commit.short());
    if kept.unsigned {
        said.push("git asks for signed commits here, and this one is not signed".to_owned());
    }
    let document = match verb.output.form() {
        WordsForm::Text => {
            let terminal = terminal(&verb.output, world);
            let text_of = |path: &str| texts.text_of(path);
            let mut out = render(
                &problems,
                ProblemLimit::of(verb.all),
                &text_of,
                terminal.width,
                terminal.colours,
            );
            out.push_str(&arising(&raised, terminal.width, terminal.colours));
            let taken = out.lines().count();
            let echoed = understood_lines(&understood, terminal.width, taken);
            out.push_str(&echoed.render(terminal.colours));
            let mut text = Text::new(terminal.width);
            match &commit {
                Some(commit) => {
                    text.line(0, TextStyle::Plain, &format!("kept {commit}: {subject}"))
                }
                None => text.line(0, TextStyle::Plain, "nothing new to keep"),
            }
            if deletions.kept > 0 {
                let gone = format!("{} deleted", texts_counted(deletions.kept));
                text.line(0, TextStyle::Plain, &gone);
            }
            if !problems.is_empty() {
                let grave = |problem: &Problem| problem.severity == Severity::Error;
                let counts = match problems.iter().any(grave) {
                    true => ", but what has an error counts for nothing yet",
                    false => "",
                };
                let with = format!(
                    "with {}; what was written is safe{counts}",
                    summary(&problems)
                );
                text.line(0, TextStyle::Plain, &with);
            }
            out.push_str(&text.render(terminal.colours));
            Document::text(out)
        }
        WordsForm::Json => Json.export(&KeptReport {
            commit: commit.as_deref().map(|commit| (commit, subject.as_str())),
            kept: &texts.kept(),
            notes: &said,
            problems: &problems,
            raised: &raised,
            understood: &understood,
        }),
    };
    let reply = deliver(document, &verb.output, DocumentSummary::default(), world)?;
    let mut reply = reply.answering(deletions.held_back == 0);
    reply.said = said;
    reply.afterwards = Some(Box::new(move || {
        fresh.index.end();
        history.tidy();
    }));
    Ok(reply)
}

/// What becomes of texts that were kept and are gone from the folder.
struct Deletions {
    /// Number of texts deleted from the journal.
    kept: usize,
    /// Number of texts that stay in it.
    held_back: usize,
}

impl Deletions {
    /// Fewer than this are never asked about.
    const FEW: usize = 3;

    /// Asks where most of the journal is gone, and leaves the deletions out of `found`
    /// unless the person wants them.
    fn decided(found: &mut WorkTreeChanges, world: &World) -> Result<Deletions, Failure> {
        let is_gone = |changed: &&ChangedFile| changed.kind == ChangedKind::Gone;
        let gone = found.changed.iter().filter(is_gone).count();
        let is_most = gone >= Self::FEW && gone * 2 > found.kept;
        let question = format!(
            "{gone} of the {} kept texts are gone from the folder. Take them out of the journal too? [y/n]",
            found.kept
        );
        let may_go = !is_most
            || world.can_ask && {
                let answer = world.ask(&question);
                let answer = answer.map_err(|error| Failure::file("terminal".as_ref(), error))?;
                ["y", "yes"].contains(&answer.to_lowercase().as_str())
            };
        if may_go {
            return Ok(Deletions {
                kept: gone,
                held_back: 0,
            });
        }
        found
            .changed
            .retain(|changed| changed.kind != ChangedKind::Gone);
        Ok(Deletions {
            kept: 0,
            held_back: gone,
        })
    }

    fn said(&self) -> Option<String> {
        (self.held_back > 0).then(|| {
            format!(
                "{} gone from the folder, which is most of the journal; they stay in the history. `git restore .` puts them back; `matchmark keep` at a terminal asks whether to take them out",
                match self.held_back {
                    1 => "1 kept text is".to_owned(),
                    several => format!("{several} kept texts are"),
                }
            )
        })
    }
}

fn texts_counted(count: usize) -> String {
    match count {
        1 => "1 text".to_owned(),
        several => format!("{several} texts"),
    }
}

/// Names the texts that git ignores, the first few of them; `None` if there are none.
pub(super) fn ignored_words(ignored: &[String]) -> Option<String> {
    const NAMED: usize = 3;
    let first = ignored.first()?;
    let named: Vec<&str> = ignored.iter().take(NAMED).map(String::as_str).collect();
    let more = match ignored.len().saturating_sub(NAMED) {
        0 => String::new(),
        more => format!(" and {more} more"),
    };
    let verb = if ignored.len() == 1 { "is" } else { "are" };
    Some(format!(
        "{} ignored by git and never kept: {}{more}; `git check-ignore -v {first}` shows the rule",
        format_args!("{} {verb}", texts_counted(ignored.len())),
        named.join(", "),
    ))
}

/// Begins the history; several runs at once begin it together.
pub(super) fn create(journal: &Journal) -> Result<History, Failure> {
    let _held = journal.hold();
    match History::open(&journal.root)? {
        Some(history) => Ok(history),
        None => Ok(History::create(&journal.root)?),
    }
}

/// Puts what changed into the history, and looks for the cautions it raises while that
/// waits for the disk; `None` if nothing changed.
fn keep(
    verb: &KeepArgs,
    (history, as_kept): (&History, AsKept<'_>),
    journal: &Journal,
    (found, walked): (&WorkTreeChanges, &Walked),
    world: &World,
) -> Result<Option<(ChangedTexts, history::KeepOutcome, Vec<Raised>)>, Failure> {
    if found.changed.is_empty() && found.left_out.is_empty() {
        return Ok(None);
    }
    let texts = ChangedTexts::read(journal, found);
    let wanted = history::KeepRequest {
        paths: found
            .changed
            .iter()
            .map(|changed| changed.path.clone())
            .collect(),
        message: verb.message.clone().unwrap_or_else(|| texts.message()),
        who: who(history, journal, world)?,
        author_time: world.now().clone(),
        commit_time: world.now().clone(),
    };
    let (raised, kept) = parallel::both(|| texts.raised(journal, walked), || as_kept.keep(&wanted));
    Ok(Some((texts, kept?, raised)))
}

/// Who keeps: as git says, else as journal.toml says, else as the person says.
pub(super) fn who(history: &History, journal: &Journal, world: &World) -> Result<Who, Failure> {
    if let Some(who) = history.author() {
        return Ok(who);
    }
    if let Some((name, email)) = journal.settings().author.clone() {
        return Ok(Who { name, email });
    }
    let nobody = || {
        Failure::misuse(
            "the history records who wrote what, and nobody has said who you are",
            "write a line `author = \"Your Name <you@example.org>\"` in journal.toml, then run `matchmark keep` again; nothing is lost meanwhile",
        )
    };
    if !world.can_ask {
        return Err(nobody());
    }
    let ask = |question: &str| {
        world
            .ask(question)
            .map_err(|error| Failure::file("terminal".as_ref(), error))
    };
    let name = ask("The history records who wrote what. Your name?")?;
    let email = ask("And a mail address (any will do)?")?;
    if name.is_empty() || email.is_empty() {
        return Err(nobody());
    }
    Ok(Who { name, email })
}

/// The day with which the name of an entry's file begins.
fn day_of(path: &str) -> &str {
    let name = path.rsplit('/').next().unwrap_or_default();
    name.get(..10).unwrap_or_default()
}

/// The changed texts, before and after.
pub(super) struct ChangedTexts {
    all: Vec<ChangedText>,
    /// What could not be kept, in words.
    left_out: Vec<String>,
}

struct ChangedText {
    path: String,
    kind: ChangedKind,
    before: Option<Entry>,
    after: Option<Entry>,
    problems: Vec<Problem>,
    facts: Vec<FactChange>,
}

impl ChangedTexts {
    fn read(journal: &Journal, found: &WorkTreeChanges) -> ChangedTexts {
        let context = journal.context();
        let all = found
            .changed
            .iter()
            .map(|changed| {
                let is_entry = changed.path.starts_with("entries/");
                let read = |bytes: Vec<u8>| {
                    let decoded = decode(bytes);
                    let (entry, mut problems) = read_file(&changed.path, &decoded.text, &context);
                    problems.extend(decoded.problems.into_iter().map(|mut problem| {
                        problem.spot.file.clone_from(&changed.path);
                        problem
                    }));
                    (entry, problems)
                };
                let now = journal
                    .bytes(&changed.path)
                    .ok()
                    .filter(|_| is_entry)
                    .map(read);
                let before = changed
                    .before
                    .clone()
                    .filter(|_| is_entry)
                    .map(|bytes| read(bytes).0);
                let (after, problems) = now.unzip();
                ChangedText {
                    path: changed.path.clone(),
                    kind: changed.kind,
                    facts: changes(before.as_ref(), after.as_ref()),
                    before,
                    after,
                    problems: problems.unwrap_or_default(),
                }
            })
            .collect();
        let left_out = found
            .left_out
            .iter()
            .map(|left_out| format!("{} was not kept: {}", left_out.path, left_out.why))
            .collect();
        ChangedTexts { all, left_out }
    }

    fn message(&self) -> String {
        let kept: Vec<TextToKeep<'_>> = self
            .all
            .iter()
            .map(|text| match (&text.kind, &text.after, &text.before) {
                (ChangedKind::Gone, _, _) => TextToKeep::Gone(&text.path),
                (ChangedKind::New, Some(entry), _) | (ChangedKind::Edited, Some(entry), None) => {
                    TextToKeep::Written(entry)
                }
                (ChangedKind::Edited, Some(entry), Some(_)) => {
                    TextToKeep::Changed(entry, &text.facts)
                }
                (ChangedKind::New | ChangedKind::Edited, None, _) => TextToKeep::Other(&text.path),
            })
            .collect();
        message(&kept)
    }

    /// The hazards that the new and changed records raise and that nothing kept before
    /// of the same day did.
    fn raised(&self, journal: &Journal, walked: &Walked) -> Vec<Raised> {
        let said = self.said_of_days(journal, walked);
        let entries = self.all.iter().filter_map(|text| text.after.as_ref());
        let is_new = |raised: &Raised| {
            let said = said.get(day_of(&raised.spot.file));
            said.is_none_or(|said| !said.contains(&raised.hazard))
        };
        entries.flat_map(of_entry).filter(is_new).collect()
    }

    /// What was kept before raises, by the days of these texts.
    fn said_of_days(&self, journal: &Journal, walked: &Walked) -> HashMap<&str, BTreeSet<Hazard>> {
        let mut said: HashMap<&str, BTreeSet<Hazard>> = HashMap::new();
        let mut changed = HashSet::new();
        for text in &self.all {
            changed.insert(text.path.as_str());
            let before = text.before.as_ref().map(hazards_of);
            said.entry(day_of(&text.path))
                .or_default()
                .extend(before.unwrap_or_default());
        }
        for file in &walked.files {
            let is_changed = changed.contains(file.path.as_str());
            if let Some(day) = said.get_mut(day_of(&file.path)).filter(|_| !is_changed)
                && let Ok((entry, _)) = journal.entry(&file.path)
            {
                day.extend(hazards_of(&entry));
            }
        }
        said
    }

    /// What was understood of the new and changed records.
    fn understood(&self, fresh: &Fresh) -> Vec<Understood<'_>> {
        let written = || self.all.iter().filter(|text| text.after.is_some());
        let entries: Vec<&Entry> = written().filter_map(|text| text.after.as_ref()).collect();
        let mut all = echo::of_entries(&entries, fresh);
        for (understood, text) in all.iter_mut().zip(written()) {
            if let Some(before) = &text.before {
                understood.retain_new(before);
            }
        }
        all
    }

    /// Each text, and what became of it.
    fn kept(&self) -> Vec<(&str, &'static str)> {
        let kind = |text: &ChangedText| match text.kind {
            ChangedKind::New => "written",
            ChangedKind::Edited => "changed",
            ChangedKind::Gone => "removed",
        };
        self.all
            .iter()
            .map(|text| (text.path.as_str(), kind(text)))
            .collect()
    }

    fn text_of(&self, path: &str) -> Option<String> {
        // They stand in order of path.
        let found = self
            .all
            .binary_search_by(|text| text.path.as_str().cmp(path));
        let text = &self.all[found.ok()?];
        text.after.as_ref().map(|entry| entry.text.clone())
    }
}

/// What is wrong in the changed texts, and at the places they speak of.
fn problems(texts: &ChangedTexts, journal: &Journal, fresh: &Fresh, world: &World) -> Vec<Problem> {
    let entries: Vec<Entry> = texts
        .all
        .iter()
        .filter_map(|text| text.after.clone())
        .collect();
    let read: Vec<Problem> = texts
        .all
        .iter()
        .flat_map(|text| text.problems.iter().cloned())
        .collect();
    entry_problems(&entries, read, journal, fresh, world)
}
