//! `adopt`: a table of notes becomes entries, every row accounted for; a narration
//! becomes a sheet, and the sheet an entry; notes and pictures of a folder.
//!
//! How the columns were understood, and what the journal has already, is shown
//! before anything is written. Rows that cannot be read are put beside the table
//! as they stand, to be repaired and adopted by themselves.

mod already;
mod camera;
mod chosen;
mod left_over;
mod narration;
mod notes;
mod plan;
mod sheet_walk;
mod writing;

use super::arguments::{AdoptArgs, AdoptOnly, Common, WordsForm};
use super::destination::{DocumentSummary, deliver, may_deliver, terminal};
use super::failure::Failure;
use super::fresh_index::fresh;
use super::world::World;
use super::{Reply, opened};
use crate::import::columns::Columns;
use crate::import::row::ImportRow;
use crate::import::rows::{self, UnreadRow};
use crate::import::table::Table;
use crate::journal::read_if_there;
use crate::presentation::export::Document;
use crate::presentation::text::fitted;
use narration::EntryWanted;

/// What a run would do with a table.
struct AdoptPlan<'a> {
    verb: &'a AdoptArgs,
    table: &'a Table,
    columns: Columns,
    /// Rows that the journal does not have.
    fresh: Vec<ImportRow>,
    /// How many rows it has already.
    before: usize,
    unread: Vec<UnreadRow>,
    empty: usize,
    /// Cells that say nothing about a part though their column does.
    unplaced: Vec<(String, String)>,
    /// Vehicles the journal does not have: name and slug.
    vehicles: Vec<(String, String)>,
    /// New vehicles that are one slip from another, with that one.
    near: Vec<(String, String)>,
}

/// Adopts a table, a narration, notes or a camera's folder, or shows what would be done.
pub(super) fn run(verb: &AdoptArgs, common: &Common, world: &World) -> Result<Reply, Failure> {
    may_deliver(&verb.output, world)?;
    if let Some(sheet) = &verb.from {
        if verb.walk {
            return sheet_walk::sheet_again(sheet, verb, common, world);
        }
        let wanted = match verb.yes {
            true => EntryWanted::Written,
            false => EntryWanted::Shown,
        };
        return narration::entry_from(sheet, wanted, verb, common, world);
    }
    let file = world.here.join(verb.source());
    if file.is_dir() {
        let journal = opened::journal(common, world)?;
        return match notes::kind(verb, &file, world)? {
            AdoptOnly::Texts => notes::run(verb, &file, &journal, world),
            AdoptOnly::Pictures => camera::run(verb, &file, &journal, world),
        };
    }
    if let Some(bytes) = narration::heard_in(verb.source(), world)? {
        return narration::listen(&bytes, verb, common, world);
    }
    let journal = opened::journal(common, world)?;
    let bytes = read_if_there(&file)?
        .ok_or_else(|| Failure::file(&file, std::io::ErrorKind::NotFound.into()))?;
    let table = Table::read(&bytes).map_err(|why| {
        Failure::misuse(
            format!(
                "{} cannot be read as a table: {why}",
                verb.source().display()
            ),
            "save it as CSV with a header line",
        )
    })?;
    let columns = chosen::columns(verb, &table, &journal, world)?;
    let read = rows::read(&table, &columns);
    let (before, fresh_rows) = already::part(read.rows, &journal)?;
    let vehicles = writing::new_vehicles(fresh_rows.iter(), &journal);
    let plan = AdoptPlan {
        verb,
        table: &table,
        columns,
        fresh: fresh_rows,
        before,
        unread: read.unread,
        empty: read.empty,
        unplaced: read.unplaced,
        near: already::near_vehicles(&vehicles, &journal),
        vehicles,
    };
    let terminal = terminal(&verb.output, world);
    let mut out = plan::shown(&plan, terminal);
    if !verb.yes {
        let note = "nothing was written yet; add --yes to go on\n";
        out.push_str(&fitted(note, terminal.width));
        let document = match verb.output.form() {
            WordsForm::Text => Document::text(out),
            WordsForm::Json => plan::as_json(&plan, None, None),
        };
        return deliver(document, &verb.output, DocumentSummary::default(), world);
    }
    let left = left_over::write(&file, &plan)?;
    let written = writing::write(verb, &plan.fresh, &journal, world)?;
    out.push_str(&plan::summary(&plan, &written, left.as_ref(), terminal));
    let document = match verb.output.form() {
        WordsForm::Text => Document::text(out),
        WordsForm::Json => plan::as_json(&plan, Some(&written), left.as_ref()),
    };
    let mut fresh = fresh(&journal, world)?;
    let reply = deliver(document, &verb.output, DocumentSummary::default(), world)?;
    let mut reply = reply.answering(plan.unread.is_empty());
    reply.afterwards = Some(Box::new(move || fresh.index.wait_merging()));
    Ok(reply)
}
