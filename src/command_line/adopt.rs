//! `adopt`: a table of notes becomes entries, every row accounted for.
//!
//! How the columns were understood is shown before anything is written; rows
//! that cannot be read are listed in a file beside, with their number and the
//! reason.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use jiff::ZonedDateTime;
use jiff::civil::Date;

use super::arguments::{Adopt, Common, DateOrder};
use super::destination::{About, deliver, may_deliver, terminal};
use super::failure::Failure;
use super::fresh_index::fresh;
use super::keep;
use super::world::World;
use super::{Reply, opened};
use crate::history::{ChangedKind, Draft, History};
use crate::import::table::{self, Columns, Order, Row, Table, Unread};
use crate::journal::{Journal, entry_path, is_text_of_journal, slug, walk_entries};
use crate::presentation::csv::table as csv_table;
use crate::presentation::export::{Document, Exporter};
use crate::presentation::json::Json;
use crate::presentation::json::writing::AdoptedTable;
use crate::presentation::terminal::Terminal;
use crate::presentation::text::{Label, Text, counted, fitted, plain};
use crate::vocabulary::money::{Currency, sum_by_currency};

/// Adopts a table, or shows what would be done.
pub(super) fn run(verb: &Adopt, common: &Common, world: &World) -> Result<Reply, Failure> {
    may_deliver(&verb.output, world)?;
    let journal = opened::journal(common, world)?;
    let file = world.here.join(&verb.table);
    let bytes = fs::read(&file).map_err(|error| Failure::file(&file, error))?;
    let table = Table::read(&bytes).map_err(|why| {
        Failure::misuse(
            format!("{} cannot be read as a table: {why}", verb.table.display()),
            "save it as CSV with a header line",
        )
    })?;
    let columns = columns(verb, &table, &journal)?;
    let (rows, unread) = table::rows(&table, &columns);
    let is_json = verb.output.is_json();
    let terminal = terminal(&verb.output, world);
    let mut out = plan(verb, &table, &columns, &rows, &unread, terminal);
    if !verb.yes {
        let note = "nothing was written yet; add --yes to go on\n";
        out.push_str(&fitted(note, terminal.width));
        let document = match is_json {
            true => Adopted::default().as_json(&rows, &unread, table.rows.len(), None),
            false => Document::text(out),
        };
        return deliver(document, &verb.output, About::default(), world);
    }
    let listed = list_unread(&file, &table, &unread)?;
    let count = rows.len();
    let rows = not_adopted_yet(rows, &journal)?;
    let adopted = Adopted {
        before: count - rows.len(),
        ..write(verb, &rows, &journal, world)?
    };
    let document = match is_json {
        true => adopted.as_json(&rows, &unread, table.rows.len(), listed.as_deref()),
        false => {
            let of = table.rows.len();
            out.push_str(&adopted.summary(&rows, &unread, of, listed.as_deref(), terminal));
            Document::text(out)
        }
    };
    let mut fresh = fresh(&journal, world)?;
    let reply = deliver(document, &verb.output, About::default(), world)?;
    let mut reply = reply.answering(unread.is_empty());
    reply.afterwards = Some(Box::new(move || fresh.index.wait_merging()));
    Ok(reply)
}

/// Which column is what: as guessed from the header, as the options say.
fn columns(verb: &Adopt, table: &Table, journal: &Journal) -> Result<Columns, Failure> {
    let currency = match &verb.currency {
        Some(code) => Currency::from_code(code).ok_or_else(|| {
            Failure::misuse(
                format!("`{code}` is no currency"),
                "write its three letters",
            )
        })?,
        None => journal.settings().currency,
    };
    let mut columns = Columns::guess(&table.header, currency);
    let find = |name: &String| {
        table.column(name).ok_or_else(|| {
            Failure::misuse(
                format!("the table has no column `{name}`"),
                format!("its columns are: {}", table.header.join(", ")),
            )
        })
    };
    for (name, place) in [
        (&verb.date, &mut columns.date),
        (&verb.vehicle, &mut columns.vehicle),
        (&verb.cost, &mut columns.cost),
        (&verb.part, &mut columns.part),
    ] {
        if let Some(name) = name {
            *place = Some(find(name)?);
        }
    }
    if !verb.text.is_empty() {
        columns.text = verb.text.iter().map(find).collect::<Result<_, _>>()?;
    }
    if verb.all_vehicle.is_some() {
        columns.vehicle = None;
        columns.all_vehicle.clone_from(&verb.all_vehicle);
    } else if columns.vehicle.is_none() {
        let only = match journal.vehicles() {
            [only] => Some(only.slug.clone()),
            _ => None,
        };
        columns.all_vehicle = only;
    }
    columns.also = if verb.also.is_empty() {
        columns.others(table.header.len())
    } else {
        verb.also.iter().map(find).collect::<Result<_, _>>()?
    };
    let missing = if columns.date.is_none() {
        Some(("date", "--date"))
    } else if columns.text.is_empty() {
        Some(("text", "--text"))
    } else if columns.vehicle.is_none() && columns.all_vehicle.is_none() {
        Some(("vehicle", "--vehicle COLUMN, or --all-vehicle NAME,"))
    } else {
        None
    };
    if let Some((what, option)) = missing {
        return Err(Failure::misuse(
            format!("no column of the table looks like the {what}"),
            format!(
                "name it with {option}; the columns are: {}",
                table.header.join(", ")
            ),
        ));
    }
    columns.marks = table::decimal_marks(table, columns.cost);
    columns.order = match verb.date_order {
        Some(DateOrder::Ymd) => Order::YearMonthDay,
        Some(DateOrder::Dmy) => Order::DayMonthYear,
        Some(DateOrder::Mdy) => Order::MonthDayYear,
        None => table::date_order(table, columns.date).ok_or_else(|| {
            Failure::misuse(
                "the days could be day/month or month/day",
                "say which with --date-order dmy or --date-order mdy",
            )
        })?,
    };
    Ok(columns)
}

/// So many rows that cannot be adopted are shown before it is done.
const MOST_SHOWN: usize = 8;

/// What would be done, for a person to look at first.
fn plan(
    verb: &Adopt,
    table: &Table,
    columns: &Columns,
    rows: &[Row],
    unread: &[Unread],
    terminal: Terminal,
) -> String {
    let mut text = Text::new(terminal.width);
    text.line(
        0,
        Label::Title,
        &format!(
            "{}: {}",
            verb.table.display(),
            counted(table.rows.len(), "row", "rows")
        ),
    );
    let name = |at: usize| table.header.get(at).cloned().unwrap_or_default();
    let names = |at: &[usize]| at.iter().map(|at| name(*at)).collect::<Vec<_>>().join(", ");
    let one = |at: Option<usize>| at.map_or_else(|| "none".to_owned(), name);
    let vehicle = columns.all_vehicle.as_ref().map_or_else(
        || one(columns.vehicle),
        |name| format!("all rows are of {name}"),
    );
    for (what, column_name) in [
        (
            "date",
            format!("{} ({})", one(columns.date), columns.order.words()),
        ),
        ("vehicle", vehicle),
        ("text", names(&columns.text)),
        (
            "cost",
            format!("{} ({})", one(columns.cost), columns.currency.code()),
        ),
        ("part", one(columns.part)),
        ("kept as lines", names(&columns.also)),
    ] {
        text.pair(
            2,
            13,
            (Label::Faint, what.to_owned()),
            &[plain(column_name)],
        );
    }
    if let Some(row) = rows.first() {
        text.line(
            2,
            Label::Faint,
            &format!("the first row becomes, in {}:", path_of(row, 1)),
        );
        for line in row.section().lines() {
            text.wrapped(4, 6, &[plain(line)]);
        }
    }
    text.line(
        0,
        Label::Plain,
        &format!(
            "{} can be adopted, {} cannot",
            counted(rows.len(), "row", "rows"),
            unread.len()
        ),
    );
    for row in unread.iter().take(MOST_SHOWN) {
        text.line(
            2,
            Label::Warning,
            &format!("row {}: {}", row.number, row.why),
        );
    }
    if unread.len() > MOST_SHOWN {
        let more = unread.len() - MOST_SHOWN;
        text.line(2, Label::Warning, &format!("and {more} more"));
    }
    text.render(terminal.colours)
}

fn path_of(row: &Row, number: u32) -> String {
    entry_path(row.date, number, &slug(&row.vehicle))
}

/// The rows that no earlier run has brought in.
fn not_adopted_yet(rows: Vec<Row>, journal: &Journal) -> Result<Vec<Row>, Failure> {
    let days: BTreeSet<Date> = rows.iter().map(|row| row.date).collect();
    let mut there: BTreeMap<Date, String> = BTreeMap::new();
    for file in walk_entries(&journal.root)? {
        let Some(day) = day_of(&file.path).filter(|day| days.contains(day)) else {
            continue;
        };
        let text = crate::entry::decode(journal.bytes(&file.path)?).text;
        there.entry(day).or_default().push_str(&text);
    }
    let is_there = |row: &Row| {
        there
            .get(&row.date)
            .is_some_and(|text| text.contains(&row.section()))
    };
    Ok(rows.into_iter().filter(|row| !is_there(row)).collect())
}

/// The day in an entry's file name.
fn day_of(path: &str) -> Option<Date> {
    let name = path.rsplit('/').next()?;
    crate::vocabulary::day::read_date(name.get(..10)?)
}

/// Lists the rows that cannot be read in a file beside the table.
fn list_unread(file: &Path, table: &Table, unread: &[Unread]) -> Result<Option<PathBuf>, Failure> {
    if unread.is_empty() {
        return Ok(None);
    }
    let mut header = vec!["row", "reason"];
    header.extend(table.header.iter().map(String::as_str));
    let rows: Vec<Vec<String>> = unread
        .iter()
        .map(|row| {
            let mut cells = vec![row.number.to_string(), row.why.clone()];
            cells.extend(
                (0..table.header.len()).map(|at| row.cells.get(at).cloned().unwrap_or_default()),
            );
            cells
        })
        .collect();
    let text = csv_table(&header, &rows);
    let stem = file.file_stem().unwrap_or_default().to_string_lossy();
    for number in 1..1000 {
        let name = if number == 1 {
            format!("{stem}-not-adopted.csv")
        } else {
            format!("{stem}-not-adopted-{number}.csv")
        };
        let beside = file.with_file_name(name);
        match crate::journal::write_new(&beside, text.as_bytes()) {
            Ok(()) => return Ok(Some(beside)),
            Err(crate::journal::JournalError::Exists(_)) => {}
            Err(error) => return Err(error.into()),
        }
    }
    Err(Failure::misuse(
        "there are too many lists of rows that were not adopted",
        "delete the old ones beside the table",
    ))
}

/// What was written.
#[derive(Default)]
struct Adopted {
    /// Rows that an earlier run had brought in.
    before: usize,
    entries: usize,
    vehicles: Vec<String>,
    commits: usize,
}

impl Adopted {
    /// The same for another program.
    fn as_json(
        &self,
        rows: &[Row],
        unread: &[Unread],
        of: usize,
        listed: Option<&Path>,
    ) -> Document {
        let not_adopted: Vec<(usize, &str)> = unread
            .iter()
            .map(|row| (row.number, row.why.as_str()))
            .collect();
        let listed = listed.map(|listed| listed.display().to_string());
        Json.export(&AdoptedTable {
            is_written: self.commits > 0,
            rows: of,
            adopted: rows.len(),
            there_before: self.before,
            entries: self.entries,
            commits: self.commits,
            vehicles: &self.vehicles,
            not_adopted: &not_adopted,
            listed_in: listed.as_deref(),
            money: &sum_by_currency(rows.iter().filter_map(|row| row.cost)),
        })
    }

    /// Every row accounted for.
    fn summary(
        &self,
        rows: &[Row],
        unread: &[Unread],
        of: usize,
        listed: Option<&Path>,
        terminal: Terminal,
    ) -> String {
        let mut text = Text::new(terminal.width);
        text.gap();
        text.line(
            0,
            Label::Title,
            &format!(
                "{} of {} adopted, in {} and {}",
                rows.len(),
                counted(of, "row", "rows"),
                counted(self.entries, "entry", "entries"),
                counted(self.commits, "commit", "commits"),
            ),
        );
        if self.before > 0 {
            let rows = counted(self.before, "row was", "rows were");
            text.line(2, Label::Plain, &format!("{rows} in the journal already"));
        }
        let money = rows.iter().filter_map(|row| row.cost);
        for sum in sum_by_currency(money) {
            text.line(2, Label::Plain, &format!("money: {sum}"));
        }
        if !self.vehicles.is_empty() {
            text.line(
                2,
                Label::Plain,
                &format!("new vehicles: {}", self.vehicles.join(", ")),
            );
        }
        if let Some(listed) = listed {
            text.line(
                2,
                Label::Warning,
                &format!(
                    "{} not adopted, each with the reason in {}",
                    counted(unread.len(), "row", "rows"),
                    listed.display()
                ),
            );
        }
        text.render(terminal.colours)
    }
}

/// Writes the entries into the journal and its history, one commit a day.
fn write(verb: &Adopt, rows: &[Row], journal: &Journal, world: &World) -> Result<Adopted, Failure> {
    let history = match History::open(&journal.root)? {
        Some(history) => history,
        None => keep::create(journal)?,
    };
    let who = keep::who(&history, journal, world)?;
    let vehicles = new_vehicles(rows, journal);
    let slug_of = |name: &str| -> String {
        journal
            .context()
            .vehicle(name)
            .map(|vehicle| vehicle.slug.clone())
            .or_else(|| {
                vehicles
                    .iter()
                    .find(|(known, _)| known == name)
                    .map(|(_, slug)| slug.clone())
            })
            .unwrap_or_else(|| slug(name))
    };
    let mut days: BTreeMap<Date, BTreeMap<String, Vec<&Row>>> = BTreeMap::new();
    for row in rows {
        days.entry(row.date)
            .or_default()
            .entry(slug_of(&row.vehicle))
            .or_default()
            .push(row);
    }
    let table_name = verb
        .table
        .file_name()
        .unwrap_or_default()
        .to_string_lossy()
        .into_owned();
    let mut taken: BTreeMap<Date, u32> = BTreeMap::new();
    for file in walk_entries(&journal.root)? {
        if let Some(day) = day_of(&file.path) {
            *taken.entry(day).or_default() += 1;
        }
    }
    let mut drafts = Vec::new();
    let mut entries = 0;
    let mut frame = unkept_frame(&history, journal)?;
    frame.extend(vehicles.iter().map(|(name, slug)| {
        let text = crate::entry::new_entry(&[("name", name)], name, "");
        (format!("vehicles/{slug}.md"), Some(text.into_bytes()))
    }));
    if !frame.is_empty() {
        drafts.push(Draft {
            files: frame,
            message: format!("Vehicles and settings for {table_name}"),
            who: who.clone(),
            author_time: world.now().clone(),
            commit_time: world.now().clone(),
        });
    }
    for (day, by_vehicle) in days {
        let mut files = Vec::new();
        let mut count = 0;
        for (vehicle, rows) in by_vehicle {
            count += rows.len();
            let groups: Vec<Vec<&Row>> = if verb.entry_per_row {
                rows.into_iter().map(|row| vec![row]).collect()
            } else {
                vec![rows]
            };
            for group in groups {
                let number = taken.entry(day).or_default();
                *number += 1;
                let text = table::entry(day, &vehicle, &group, &table_name);
                files.push((entry_path(day, *number, &vehicle), Some(text.into_bytes())));
                entries += 1;
            }
        }
        drafts.push(Draft {
            files,
            message: format!("{day}: {} of {table_name}", counted(count, "row", "rows")),
            who: who.clone(),
            author_time: noon(day, world),
            commit_time: world.now().clone(),
        });
    }
    let mut progress = world.progress("adopting");
    let of = drafts.len();
    let commits = history.play(drafts, &mut |done| progress.at(done, of))?;
    Ok(Adopted {
        before: 0,
        entries,
        vehicles: vehicles.into_iter().map(|(_, slug)| slug).collect(),
        commits: commits.len(),
    })
}

/// Settings and vehicle files that were never kept: the entries to come need
/// them.
fn unkept_frame(history: &History, journal: &Journal) -> Result<Files, Failure> {
    let found =
        history.changed(&|path| is_text_of_journal(path) && !path.starts_with("entries/"))?;
    let mut files = Vec::new();
    for changed in found.changed {
        if changed.kind == ChangedKind::New {
            let bytes = journal.bytes(&changed.path)?;
            files.push((changed.path, Some(bytes)));
        }
    }
    Ok(files)
}

/// Paths with their texts.
type Files = Vec<(String, Option<Vec<u8>>)>;

/// Vehicles of the table that the journal does not have, with their slugs.
fn new_vehicles(rows: &[Row], journal: &Journal) -> Vec<(String, String)> {
    let context = journal.context();
    let mut slugs: Vec<String> = context
        .vehicles
        .iter()
        .map(|vehicle| vehicle.slug.clone())
        .collect();
    let mut vehicles: Vec<(String, String)> = Vec::new();
    for row in rows {
        let name = &row.vehicle;
        if context.vehicle(name).is_some() || vehicles.iter().any(|(known, _)| known == name) {
            continue;
        }
        let plain = slug(name);
        let mut free = plain.clone();
        let mut number = 2;
        while slugs.contains(&free) {
            free = format!("{plain}-{number}");
            number += 1;
        }
        slugs.push(free.clone());
        vehicles.push((name.clone(), free));
    }
    vehicles
}

/// The author's date of an adopted entry: its day, at noon in this place.
fn noon(day: Date, world: &World) -> ZonedDateTime {
    let zone = world.now().time_zone();
    zone.to_zoned_datetime(day.at(12, 0, 0, 0))
        .unwrap_or_else(|_| world.now().clone())
}
