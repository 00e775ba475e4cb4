//! `replaced`: the audit of what was replaced.

use std::collections::{BTreeMap, BTreeSet};

use super::arguments::{Common, Replaced};
use super::failure::Failure;
use super::kept_states::Hardware;
use super::kept_texts::KeptTexts;
use super::own_file::may_be_page;
use super::scope::{Parts, Span};
use super::world::World;
use super::{Reply, opened, whole_journal};
use crate::history::History;
use crate::journal::{Journal, write_atomically};
use crate::ledger::Ledger;
use crate::presentation::replaced::{csv, render};
use crate::presentation::{json, page};
use crate::reports::replaced::{Recorded, Row, Version, replaced};

/// Answers `replaced`.
pub(super) fn run(verb: &Replaced, common: &Common, world: &World) -> Result<Reply, Failure> {
    let journal = opened::journal(common, world)?;
    let asked = whole_journal::asked(&verb.times, Hardware::Left, &journal, world)?;
    let rows = rows(verb, &journal, &asked.whole.ledger, world)?;
    let reply = answer(verb, common, &journal, &rows, world)?;
    Ok(asked.replied(reply))
}

fn answer(
    verb: &Replaced,
    common: &Common,
    journal: &Journal,
    rows: &[Row],
    world: &World,
) -> Result<Reply, Failure> {
    if let Some(file) = &verb.page {
        let file = world.here.join(file);
        may_be_page(&file)?;
        let title = format!("{}: what was replaced", journal.settings().name);
        let about = about(verb, world)?;
        write_atomically(&file, page::replaced(&title, &about, rows).as_bytes())?;
        let said = format!(
            "{} units replaced, written to {}",
            rows.len(),
            file.display()
        );
        return Ok(Reply::new(format!("{said}\n")));
    }
    let out = if common.json {
        json::text(&json::replaced(rows))
    } else if verb.csv {
        csv(rows)
    } else if rows.is_empty() {
        "nothing was replaced\n".to_owned()
    } else {
        render(rows, world.width).render(world.colours)
    };
    Ok(Reply::new(out).answering(!rows.is_empty()))
}

/// What the page says below its title.
fn about(verb: &Replaced, world: &World) -> Result<String, Failure> {
    let as_of = opened::as_of(&verb.times, world)?
        .map(|as_of| format!(", {as_of}"))
        .unwrap_or_default();
    Ok(format!(
        "Made on {}{as_of}. Each row names its entry and the commit that first recorded it.",
        world.today()
    ))
}

fn rows(
    verb: &Replaced,
    journal: &Journal,
    ledger: &Ledger,
    world: &World,
) -> Result<Vec<Row>, Failure> {
    let span = Span::typed(&verb.days, world)?;
    let parts = Parts::typed(&verb.only, journal, ledger)?;
    let versions = versions(ledger, journal, verb, world)?;
    let mut rows = replaced(ledger, &|state| parts.has(state), &versions);
    rows.retain(|row| span.has(row.date));
    Ok(rows)
}

/// The kept versions of every entry in which a unit was replaced.
fn versions(
    ledger: &Ledger,
    journal: &Journal,
    verb: &Replaced,
    world: &World,
) -> Result<BTreeMap<String, Vec<Version>>, Failure> {
    let Some(history) = History::open(&journal.root)? else {
        return Ok(BTreeMap::new());
    };
    let paths: BTreeSet<String> = ledger
        .places
        .values()
        .flat_map(|state| &state.units)
        .filter_map(|unit| unit.brought.as_ref().map(|spot| spot.file.clone()))
        .collect();
    let last = match &verb.times.as_written {
        Some(text) => Some(opened::commit(&history, text, world)?),
        None => None,
    };
    let paths: Vec<String> = paths.into_iter().collect();
    let mut notes = history.commit_notes();
    let recorded = history.recorded(last, &paths, &mut notes)?;
    history.keep_notes(&notes);
    let mut texts = KeptTexts::of(&history, journal);
    let mut versions: BTreeMap<String, Vec<Version>> = BTreeMap::new();
    for (path, recorded) in recorded {
        let mut read = Vec::new();
        for recorded in recorded {
            let Some(text) = recorded.after else { continue };
            read.push(Version {
                says: texts.replacing(text, &path)?,
                recorded: Recorded {
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
