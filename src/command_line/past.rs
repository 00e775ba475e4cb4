//! `past`: how the records themselves changed, and bringing an old text back.

use jiff::civil::Date;
use similar::TextDiff;

use super::arguments::{Common, PastArgs, WordsForm};
use super::destination::{DocumentSummary, deliver, may_deliver, terminal};
use super::failure::Failure;
use super::fresh_index::fresh;
use super::kept_reply::Question;
use super::scope::DateSpan;
use super::world::World;
use super::{Reply, opened};
use crate::entry::{Entry, decode, read_file};
use crate::handbook::heading::split_name;
use crate::history::{self, ChangeKind, ChangedKind, History, PastScope};
use crate::journal::{Journal, is_text_of_journal, write_atomically};
use crate::ledger::{Aliases, PlaceKey};
use crate::presentation::export::Exporter;
use crate::presentation::json::Json;
use crate::presentation::json::writing::BroughtBack;
use crate::presentation::past::ChangeView;
use crate::presentation::text::{Text, TextStyle};
use crate::reports::changes::{FactChange, RENAMED, changes};
use crate::reports::parts::{Meant, NameContext};
use crate::vocabulary::name::Name;
use crate::vocabulary::position::Driven;

/// Whose past is asked for.
struct PastFilter {
    /// These texts; all where it is `None`.
    paths: Option<Vec<String>>,
    /// Only changes of the part with these names.
    names: Option<PartNames>,
}

/// The names of a part as far back as its past was followed: a name and a
/// position, each as a key.
struct PartNames(Vec<(String, String)>);

impl PartNames {
    /// The part's name, and those that are joined to it.
    fn of(key: &PlaceKey, aliases: &Aliases) -> PartNames {
        let others = aliases.others(&key.vehicle, &key.name).iter();
        let others = others.map(|name| Name::new(name).key().to_owned());
        let names = std::iter::once(key.name.clone()).chain(others);
        PartNames(names.map(|name| (name, key.at.clone())).collect())
    }

    /// Whether a change is about the part. One that gave it the name it is known
    /// by adds the name it had before.
    fn follow(&mut self, fact: &FactChange) -> bool {
        let Some(name) = fact.part.as_deref().map(Name::new) else {
            return false;
        };
        let is_it = self.0.iter().any(|(own, at)| {
            own == name.key() && (at.is_empty() || fact.at.split("; ").any(|side| side == at))
        });
        if is_it
            && fact.key == RENAMED
            && let Some(before) = &fact.before
        {
            let (name, at) = split_name(before, Driven::Unsaid);
            self.0
                .push((Name::new(&name).key().to_owned(), at.to_string()));
            // A name with a position of its own is read as one as well.
            self.0
                .push((Name::new(before).key().to_owned(), String::new()));
        }
        is_it
    }
}

/// Answers `past`.
pub(super) fn run(verb: &PastArgs, common: &Common, world: &World) -> Result<Reply, Failure> {
    let journal = opened::journal(common, world)?;
    let history = opened::history(&journal)?;
    if let Some(when) = &verb.bring_back {
        let asked = asked(&verb.what.join(" "), &journal, &history, world)?;
        return bring_back(when, &asked, &journal, &history, verb, world);
    }
    // A commit that is named may be another one tomorrow.
    let fresh = match &verb.as_written {
        None => fresh(&journal, world).ok(),
        Some(_) => None,
    };
    let Some(fresh) = fresh else {
        return told(verb, &journal, &history, world);
    };
    let known = (history.newest()?, history.cut_off_at()?);
    let question = Question::of("past", verb, &verb.output, world).and(&known);
    match question.kept(&fresh, &journal) {
        Ok(mut reply) => {
            reply.afterwards = Some(Box::new(move || fresh.index.end()));
            Ok(reply)
        }
        Err(keeper) => Ok(keeper.keeping(told(verb, &journal, &history, world)?, fresh)),
    }
}

/// The reply, made from the history.
fn told(
    verb: &PastArgs,
    journal: &Journal,
    history: &History,
    world: &World,
) -> Result<Reply, Failure> {
    let asked = asked(&verb.what.join(" "), journal, history, world)?;
    let span = DateSpan::typed(&verb.days, world)?;
    let from = match &verb.as_written {
        Some(text) => Some(opened::commit(history, text, world)?),
        None => None,
    };
    let of = match &asked.paths {
        Some(paths) => PastScope::Files(paths),
        None => PastScope::All(&is_text_of_journal),
    };
    let is_in_span = |day: Date| {
        span.since.is_none_or(|since| day >= since) && span.until.is_none_or(|until| day <= until)
    };
    let mut shown = Vec::new();
    let mut names = asked.names;
    history.each_change(from, of, &is_in_span, &mut |change| {
        shown.extend(read(&change, journal, names.as_mut(), verb.text));
        shown.len() < verb.most
    })?;
    shown.truncate(verb.most);
    let document = match verb.output.form() {
        WordsForm::Text => terminal(&verb.output, world).export(&shown[..]),
        WordsForm::Json => Json.export(&shown[..]),
    };
    let mut reply = deliver(document, &verb.output, DocumentSummary::default(), world)?;
    reply.said.extend(opened::cut_off(history)?);
    Ok(reply.answering(!shown.is_empty()))
}

/// Finds the texts or the part that a person means.
fn asked(
    what: &str,
    journal: &Journal,
    history: &History,
    world: &World,
) -> Result<PastFilter, Failure> {
    let what = what.trim();
    if what.is_empty() {
        return Ok(PastFilter {
            paths: None,
            names: None,
        });
    }
    let matching = texts_named(what, journal, history)?;
    let is_path = what.contains(['/', '.']) || what.chars().any(|c| c.is_ascii_digit());
    if is_path && !matching.is_empty() {
        return Ok(PastFilter {
            paths: Some(matching),
            names: None,
        });
    }
    let fresh = fresh(journal, world)?;
    let context = journal.context();
    let names = NameContext {
        aliases: &fresh.aliases,
        context: &context,
        vehicle: None,
    };
    match names.meant(what, &fresh.states()?) {
        Meant::One(key) | Meant::Near(key) => Ok(PastFilter {
            paths: Some(fresh.index.files_of_place(&key.to_string())?),
            names: Some(PartNames::of(&key, &fresh.aliases)),
        }),
        Meant::Several(keys) => {
            let names: Vec<String> = keys
                .iter()
                .filter_map(|key| fresh.place(key))
                .map(|state| state.label())
                .collect();
            Err(Failure::misuse(
                format!("`{what}` could be several parts"),
                format!("name one of: {}", names.join("; ")),
            ))
        }
        Meant::None if !matching.is_empty() => Ok(PastFilter {
            paths: Some(matching),
            names: None,
        }),
        Meant::None => Err(Failure::misuse(
            format!("no entry and no part is called `{what}`"),
            "`matchmark part` lists the parts; an entry is named by a piece of its path",
        )),
    }
}

/// The texts, on disk or kept, whose path holds these words; one that is
/// exactly this path alone.
fn texts_named(what: &str, journal: &Journal, history: &History) -> Result<Vec<String>, Failure> {
    let wanted = what.replace(' ', "-");
    let mut paths: Vec<String> = Vec::new();
    if let Some(newest) = history.newest()? {
        let kept = history.snapshot(newest, &|path| {
            is_text_of_journal(path) && holds_words(path, &wanted)
        })?;
        paths.extend(kept.into_iter().map(|(path, _)| path));
    }
    if journal.has(what) && is_text_of_journal(what) {
        return Ok(vec![what.to_owned()]);
    }
    Ok(paths)
}

/// Whether a path holds these words, each of them whole: "must" is no word of
/// `vehicles/mustard-van.md`.
fn holds_words(path: &str, wanted: &str) -> bool {
    let is_end = |c: Option<char>| c.is_none_or(|c| !c.is_alphanumeric());
    path.match_indices(wanted).any(|(at, _)| {
        let before = path[..at].chars().next_back();
        let behind = path[at + wanted.len()..].chars().next();
        let begins = wanted.chars().next().is_none_or(|c| !c.is_alphanumeric());
        let ends = wanted
            .chars()
            .next_back()
            .is_none_or(|c| !c.is_alphanumeric());
        (begins || is_end(before)) && (ends || is_end(behind))
    })
}

/// A change of texts as a change of facts; `None` if it does not concern what
/// was asked.
fn read(
    change: &history::TextChange,
    journal: &Journal,
    names: Option<&mut PartNames>,
    with_text: bool,
) -> Option<ChangeView> {
    let context = journal.context();
    let is_entry = change.path.starts_with("entries/");
    let text_of = |bytes: &Option<Vec<u8>>| bytes.clone().map(|bytes| decode(bytes).text);
    let entry_of = |text: &Option<String>| -> Option<Entry> {
        let text = text.as_deref().filter(|_| is_entry)?;
        Some(read_file(&change.path, text, &context).0)
    };
    let (before, after) = (text_of(&change.before), text_of(&change.after));
    let mut facts = changes(entry_of(&before).as_ref(), entry_of(&after).as_ref());
    if let Some(names) = names {
        facts.retain(|fact| names.follow(fact));
        if facts.is_empty() {
            return None;
        }
    }
    let difference = with_text.then(|| {
        TextDiff::from_lines(
            before.as_deref().unwrap_or_default(),
            after.as_deref().unwrap_or_default(),
        )
        .unified_diff()
        .context_radius(2)
        .to_string()
    });
    Some(ChangeView {
        commit: change.commit.short(),
        date: change.date.strftime("%Y-%m-%dT%H:%M:%S%:z").to_string(),
        author: change.author.clone(),
        entry: change.path.clone(),
        kind: match &change.kind {
            ChangeKind::Written => "written",
            ChangeKind::Changed => "changed",
            ChangeKind::Removed => "removed",
            ChangeKind::Renamed { .. } => "renamed",
        },
        facts,
        difference,
    })
}

/// Puts the text of one entry back as it stood once. What stands there now is
/// in the history, or it stays.
fn bring_back(
    when: &str,
    asked: &PastFilter,
    journal: &Journal,
    history: &History,
    verb: &PastArgs,
    world: &World,
) -> Result<Reply, Failure> {
    may_deliver(&verb.output, world)?;
    let Some([path]) = asked.paths.as_deref() else {
        return Err(Failure::misuse(
            "only one entry can be brought back at a time",
            "name it by its path: `matchmark past entries/2026/2026-03-14-tank.md --bring-back DAY`",
        ));
    };
    let unkept = history.changed(&|changed| changed == path)?;
    let lies_open = unkept
        .changed
        .iter()
        .any(|changed| changed.kind != ChangedKind::Gone);
    if lies_open {
        return Err(Failure::misuse(
            format!("{path} has changes that are not kept yet"),
            "`matchmark keep` first, so that nothing is lost",
        ));
    }
    let commit = opened::commit(history, when, world)?;
    let Some(bytes) = history.text_at(commit, path)? else {
        return Err(Failure::misuse(
            format!("{path} was not there at {when}"),
            format!("`matchmark past {path}` shows when it was written"),
        ));
    };
    write_atomically(&journal.root.join(path), &bytes)?;
    let document = match verb.output.form() {
        WordsForm::Json => Json.export(&BroughtBack {
            entry: path,
            commit: &commit.short(),
        }),
        WordsForm::Text => {
            let terminal = terminal(&verb.output, world);
            let mut text = Text::new(terminal.width);
            text.line(
                0,
                TextStyle::Plain,
                &format!(
                    "{path} reads as it did at {}; `matchmark keep` puts that into the history",
                    commit.short()
                ),
            );
            terminal.document(&text)
        }
    };
    deliver(document, &verb.output, DocumentSummary::default(), world)
}
