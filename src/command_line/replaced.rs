//! `replaced`: the audit of what was replaced.

use std::collections::{BTreeMap, BTreeSet};

use super::arguments::{Common, ReplacedArgs, ReplacedForm};
use super::destination::{DocumentSummary, deliver, terminal};
use super::failure::Failure;
use super::kept_reply::Question;
use super::kept_states::HardwareScope;
use super::kept_texts::TextCache;
use super::scope::{DateSpan, PartScope};
use super::whole_journal::ReportInput;
use super::world::World;
use super::{Reply, opened, whole_journal};
use crate::history::History;
use crate::journal::Journal;
use crate::ledger::Ledger;
use crate::presentation::csv::Csv;
use crate::presentation::export::Exporter;
use crate::presentation::json::Json;
use crate::presentation::page::replaced::ReplacedPage;
use crate::presentation::text::counted;
use crate::reports::replaced::{EntryVersion, RecordCommit, ReplacedRow, replaced};

/// Answers `replaced`.
pub(super) fn run(verb: &ReplacedArgs, common: &Common, world: &World) -> Result<Reply, Failure> {
    let journal = opened::journal(common, world)?;
    let history = History::open(&journal.root)?;
    let known = match &history {
        Some(history) => Some((history.newest()?, history.cut_off_at()?)),
        None => None,
    };
    let question = Question::of("replaced", verb, &verb.output, world).and(&known);
    let here = (&journal, world);
    whole_journal::replied(&question, &verb.times, HardwareScope::Left, here, |asked| {
        answer(verb, &journal, history.as_ref(), asked, world)
    })
}

fn answer(
    verb: &ReplacedArgs,
    journal: &Journal,
    history: Option<&History>,
    asked: &ReportInput,
    world: &World,
) -> Result<Reply, Failure> {
    let rows = rows(verb, (journal, history), &asked.whole.ledger, world)?;
    let document = match verb.output.form() {
        ReplacedForm::Text => terminal(&verb.output, world).export(&rows[..]),
        ReplacedForm::Json => Json.export(&rows[..]),
        ReplacedForm::Csv => Csv.export(&rows[..]),
        ReplacedForm::Page => ReplacedPage {
            title: format!("{}: what was replaced", journal.settings().name),
            about: about(verb, world)?,
        }
        .export(&rows[..]),
    };
    let holds = counted(rows.len(), "unit replaced", "units replaced");
    let mut reply = deliver(
        document,
        &verb.output,
        DocumentSummary::holding(holds),
        world,
    )?;
    if let Some(history) = history {
        reply.said.extend(opened::cut_off(history)?);
    }
    Ok(reply.answering(!rows.is_empty()))
}

/// What the page says below its title.
fn about(verb: &ReplacedArgs, world: &World) -> Result<String, Failure> {
    let as_of = opened::as_of(&verb.times, world)?
        .map(|as_of| format!(", {as_of}"))
        .unwrap_or_default();
    Ok(format!(
        "Made on {}{as_of}. Each row names its entry and the commit that first recorded it.",
        world.today()
    ))
}

fn rows(
    verb: &ReplacedArgs,
    (journal, history): (&Journal, Option<&History>),
    ledger: &Ledger,
    world: &World,
) -> Result<Vec<ReplacedRow>, Failure> {
    let span = DateSpan::typed(&verb.days, world)?;
    let parts = PartScope::typed(&verb.only, journal, ledger)?;
    let versions = versions(ledger, (journal, history), verb, world)?;
    let mut rows = replaced(ledger, &|state| parts.has(state), &versions);
    rows.retain(|row| span.has(row.date));
    Ok(rows)
}

/// The kept versions of every entry in which a unit was replaced.
fn versions(
    ledger: &Ledger,
    (journal, history): (&Journal, Option<&History>),
    verb: &ReplacedArgs,
    world: &World,
) -> Result<BTreeMap<String, Vec<EntryVersion>>, Failure> {
    let Some(history) = history else {
        return Ok(BTreeMap::new());
    };
    let paths: BTreeSet<String> = ledger
        .places
        .values()
        .flat_map(|state| &state.units)
        .filter_map(|unit| unit.brought.as_ref().map(|spot| spot.file.clone()))
        .collect();
    let last = match &verb.times.as_written {
        Some(text) => Some(opened::commit(history, text, world)?),
        None => None,
    };
    let paths: Vec<String> = paths.into_iter().collect();
    let ends = history.cut_off_at()?;
    let mut notes = history.commit_notes();
    let recorded = history.recorded(last, &paths, &mut notes)?;
    history.keep_notes(&notes);
    let mut texts = TextCache::of(history, journal);
    let mut versions: BTreeMap<String, Vec<EntryVersion>> = BTreeMap::new();
    for (path, recorded) in recorded {
        let mut read = Vec::new();
        for recorded in recorded {
            let Some(text) = recorded.after else { continue };
            read.push(EntryVersion {
                is_cut_off: ends.contains(&recorded.commit),
                says: texts.replacing(text, &path)?,
                recorded: RecordCommit {
                    commit: recorded.commit.short(),
                    date: recorded.date.date(),
                    by: recorded.author,
                },
            });
        }
        versions.insert(path, read);
    }
    texts.keep();
    Ok(versions)
}
