//! What the verbs that write have done, as JSON: what went where, and what is
//! wrong with it.

use serde_json::{Value, json};

use super::part::general_cautions;
use super::problems::values;
use super::understood::value;
use super::{Json, document, money, said};
use crate::presentation::export::{Document, Exporter};
use crate::problem::Problem;
use crate::reports::cautions::{Raised, once};
use crate::reports::understood::Understood;
use crate::vocabulary::money::Money;

/// A journal that was begun.
#[derive(Clone, Copy, Debug)]
pub struct Begun<'a> {
    /// Its folder.
    pub folder: &'a str,
    /// The vehicles, by their slugs.
    pub vehicles: &'a [String],
}

impl Exporter<Begun<'_>> for Json {
    fn export(&self, begun: &Begun<'_>) -> Document {
        let files: Vec<String> = begun
            .vehicles
            .iter()
            .map(|slug| format!("vehicles/{slug}.md"))
            .collect();
        document(&json!({
            "folder": begun.folder,
            "settings": "journal.toml",
            "vehicles": begun.vehicles,
            "written": files,
        }))
    }
}

/// A text that was written; nothing, if its path is empty.
#[derive(Clone, Copy, Debug, Default)]
pub struct WrittenReport<'a> {
    /// The entry.
    pub entry: &'a str,
    /// The first and the last new line, counted from 1; `None` where all are new.
    pub lines: Option<(u32, u32)>,
    /// Its vehicle.
    pub vehicle: Option<&'a str>,
    /// Its day, as RFC 3339 writes it.
    pub date: Option<&'a str>,
    /// What is wrong with the new lines.
    pub problems: &'a [Problem],
    /// How much is wrong with the lines that were there before.
    pub older_problems: usize,
    /// Cautions that the new lines raise.
    pub raised: &'a [Raised],
    /// What was understood of the new lines.
    pub understood: Option<&'a Understood<'a>>,
}

impl Exporter<WrittenReport<'_>> for Json {
    fn export(&self, written: &WrittenReport<'_>) -> Document {
        document(&json!({
            "entry": said(written.entry),
            "lines": written.lines.map(|(first, last)| [first, last]),
            "vehicle": written.vehicle,
            "date": written.date,
            "problems": values(written.problems),
            "older_problems": written.older_problems,
            "cautions": general_cautions(&once(written.raised.to_vec())),
            "understood": written.understood.map(value),
        }))
    }
}

/// What was put into the history; nothing, if there is no commit.
#[derive(Clone, Copy, Debug, Default)]
pub struct KeptReport<'a> {
    /// The commit, shortened, and its subject.
    pub commit: Option<(&'a str, &'a str)>,
    /// Each text and what became of it: `written`, `changed`, `removed`.
    pub kept: &'a [(&'a str, &'static str)],
    /// What a person is told besides: what was left out, which drafts there are.
    pub notes: &'a [String],
    /// What is wrong in the texts that were kept.
    pub problems: &'a [Problem],
    /// Cautions that they raise.
    pub raised: &'a [Raised],
    /// What was understood of the new and changed records, entry by entry.
    pub understood: &'a [Understood<'a>],
}

impl Exporter<KeptReport<'_>> for Json {
    fn export(&self, kept: &KeptReport<'_>) -> Document {
        let texts: Vec<Value> = kept
            .kept
            .iter()
            .map(|(entry, kind)| json!({ "entry": entry, "kind": kind }))
            .collect();
        document(&json!({
            "commit": kept.commit.map(|(commit, _)| commit),
            "subject": kept.commit.map(|(_, subject)| subject),
            "kept": texts,
            "notes": kept.notes,
            "problems": values(kept.problems),
            "cautions": general_cautions(&once(kept.raised.to_vec())),
            "understood": kept.understood.iter().map(value).collect::<Vec<Value>>(),
        }))
    }
}

/// A table that was adopted, or would be.
#[derive(Clone, Copy, Debug)]
pub struct AdoptedTable<'a> {
    /// Whether anything was written yet.
    pub is_written: bool,
    /// The rows of the table.
    pub rows: usize,
    /// The rows that were adopted, or can be.
    pub adopted: usize,
    /// The rows that an earlier run had brought in.
    pub there_before: usize,
    /// The entries that were written.
    pub entries: usize,
    /// The commits that it took.
    pub commits: usize,
    /// New vehicles, by their slugs.
    pub vehicles: &'a [String],
    /// Rows that cannot be adopted, with the reason.
    pub not_adopted: &'a [(usize, String)],
    /// The file that lists them.
    pub listed_in: Option<&'a str>,
    /// The money of the adopted rows.
    pub money: &'a [Money],
}

impl Exporter<AdoptedTable<'_>> for Json {
    fn export(&self, table: &AdoptedTable<'_>) -> Document {
        let not_adopted: Vec<Value> = table
            .not_adopted
            .iter()
            .map(|(row, why)| json!({ "row": row, "why": why }))
            .collect();
        let sums: Vec<Value> = table.money.iter().map(|sum| money(Some(*sum))).collect();
        document(&json!({
            "written": table.is_written,
            "rows": table.rows,
            "adopted": table.adopted,
            "there_before": table.there_before,
            "entries": table.entries,
            "commits": table.commits,
            "vehicles": table.vehicles,
            "not_adopted": not_adopted,
            "listed_in": table.listed_in,
            "money": sums,
        }))
    }
}

/// The demo journal with its stations.
#[derive(Clone, Debug)]
pub struct Toured {
    /// The folder of the demo journal.
    pub folder: String,
    /// The commits of its history.
    pub commits: usize,
    /// Each station: what it shows, what was typed, what was answered.
    pub stations: Vec<(String, String, String)>,
}

impl Exporter<Toured> for Json {
    fn export(&self, toured: &Toured) -> Document {
        let stations: Vec<Value> = toured
            .stations
            .iter()
            .map(|(about, typed, answer)| {
                json!({ "about": about, "typed": typed, "answer": answer })
            })
            .collect();
        document(&json!({
            "folder": toured.folder,
            "commits": toured.commits,
            "stations": stations,
        }))
    }
}

/// The keys that a fact may have.
#[derive(Clone, Debug)]
pub struct KnownKeys {
    /// Those that are taught first.
    pub taught: Vec<&'static str>,
    /// The others.
    pub others: Vec<&'static str>,
}

impl Exporter<KnownKeys> for Json {
    fn export(&self, keys: &KnownKeys) -> Document {
        document(&json!({ "taught": keys.taught, "others": keys.others }))
    }
}

/// A text that reads again as it did once.
#[derive(Clone, Copy, Debug)]
pub struct BroughtBack<'a> {
    /// Its path.
    pub entry: &'a str,
    /// The commit whose text it is, shortened.
    pub commit: &'a str,
}

impl Exporter<BroughtBack<'_>> for Json {
    fn export(&self, back: &BroughtBack<'_>) -> Document {
        document(&json!({ "entry": back.entry, "commit": back.commit }))
    }
}
