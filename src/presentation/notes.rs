//! What `adopt` does with a folder of notes, shown before it is done and after: every file
//! accounted for.

use jiff::civil::Date;
use serde_json::{Value, json};

use super::export::{Document, Exporter};
use super::json::{Json, document};
use super::terminal::Terminal;
use super::text::{Text, TextStyle, counted};

/// What is to be done with a folder of notes, or was done.
#[derive(Clone, Debug, Default)]
pub struct NotesPlan {
    /// Notes that become entries.
    pub taken: Vec<TakenNote>,
    /// Notes that the journal has: the file and its entry.
    pub before: Vec<(String, String)>,
    /// Files that are left out, and why.
    pub left_out: Vec<(String, String)>,
    /// Whether it was done.
    pub is_done: bool,
}

/// A note that becomes an entry.
#[derive(Clone, Debug)]
pub struct TakenNote {
    /// Its path inside the folder.
    pub from: String,
    /// Its day.
    pub date: Date,
    /// The vehicle.
    pub vehicle: String,
    /// The title.
    pub title: String,
    /// How many records its words would make.
    pub records: usize,
    /// Whether they are quoted, so that they make none.
    pub is_quoted: bool,
    /// The entry, once it is written.
    pub entry: Option<String>,
}

impl Exporter<NotesPlan> for Terminal {
    fn export(&self, plan: &NotesPlan) -> Document {
        let mut text = Text::new(self.width);
        for note in &plan.taken {
            let to = match &note.entry {
                Some(entry) => format!("to {entry}"),
                None => note.title.clone(),
            };
            text.wrapped(
                0,
                4,
                &[
                    (TextStyle::Title, format!("{} ", note.date)),
                    (TextStyle::Plain, format!("{}: {to}", note.from)),
                ],
            );
            let records = counted(note.records, "record", "records");
            match (note.records, note.is_quoted) {
                (0, _) => {}
                (_, true) => text.line(
                    4,
                    TextStyle::Plain,
                    &format!("its lists read as {records}; quoted, unless --records says that they are meant"),
                ),
                (_, false) => text.line(4, TextStyle::Plain, &format!("with {records}")),
            }
        }
        for (file, entry) in &plan.before {
            text.line(
                0,
                TextStyle::Plain,
                &format!("already there: {file} in {entry}"),
            );
        }
        for (file, why) in &plan.left_out {
            text.line(0, TextStyle::Plain, &format!("left out: {file}: {why}"));
        }
        let mut sum = counted(plan.taken.len(), "note", "notes");
        sum.push_str(if plan.is_done {
            " written"
        } else {
            " to write"
        });
        sum.push_str(&format!(
            ", {} already there, {} left out",
            plan.before.len(),
            plan.left_out.len()
        ));
        text.line(0, TextStyle::Plain, &sum);
        let end = match (plan.taken.is_empty(), plan.is_done) {
            (true, _) => "nothing new to adopt",
            (false, false) => "nothing was written yet; add --yes to go on",
            (false, true) => "`matchmark keep` puts them into the history",
        };
        text.line(0, TextStyle::Plain, end);
        self.document(&text)
    }
}

impl Exporter<NotesPlan> for Json {
    fn export(&self, plan: &NotesPlan) -> Document {
        let notes: Vec<Value> = plan
            .taken
            .iter()
            .map(|note| {
                json!({
                    "from": note.from,
                    "date": note.date.to_string(),
                    "vehicle": note.vehicle,
                    "title": note.title,
                    "records": note.records,
                    "quoted": note.is_quoted,
                    "entry": note.entry,
                })
            })
            .collect();
        let already: Vec<Value> = plan
            .before
            .iter()
            .map(|(file, entry)| json!({ "file": file, "entry": entry }))
            .collect();
        let left_out: Vec<Value> = plan
            .left_out
            .iter()
            .map(|(file, why)| json!({ "file": file, "why": why }))
            .collect();
        document(&json!({
            "notes": notes,
            "already": already,
            "left_out": left_out,
            "written": plan.is_done,
        }))
    }
}
