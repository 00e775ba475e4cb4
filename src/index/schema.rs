//! The fields of the index, and how documents are laid out in them:
//! records, files, places, pages of shares, and the one table of stamps.
//!
//! All live in one index so that one commit changes them together: after a
//! kill they cannot disagree. Nothing here searches.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};
use tantivy::schema::{
    FAST, Field, IndexRecordOption, OwnedValue, Schema, TextFieldIndexing, TextOptions,
};
use tantivy::{TantivyDocument, Term};

use super::analyzer::{PLAIN, STEMS};
use super::documents::{FileDocs, RecordDoc};
use super::error::IndexError;
use crate::vocabulary::words::fold;

/// Raised with every change of fields, tokens or stored layouts: the index of
/// another format is never read, a new one is made beside it.
pub(super) const FORMAT: u32 = 8;

/// The fields by name.
#[derive(Clone, Copy, Debug)]
pub(super) struct IndexFields {
    /// All that a document is found by besides words: its [`DocumentMark`]s. They share a field
    /// because the engine makes a dictionary for each, in every small segment anew.
    pub marks: Field,
    /// What a document keeps, in the layout of its kind.
    pub kept: Field,
    /// Stems of everything a record is to be found by.
    pub text: Field,
    /// Stems of the part's name and position.
    pub heading: Field,
    /// The words of the text as they are: for phrases, and as the dictionary.
    pub plain: Field,
    /// `yyyymmdd`, 0 where there is none.
    pub date: Field,
    /// Path, for the order of equal hits.
    pub entry: Field,
    pub line: Field,
}

/// Names of the fields that order equal hits; the engine asks for them by name.
pub(super) const DATE: &str = "date";
pub(super) const ENTRY: &str = "entry";
pub(super) const LINE: &str = "line";

/// The schema and its fields.
pub(super) fn schema() -> (Schema, IndexFields) {
    let words = |analyzer: &str| {
        TextOptions::default().set_indexing_options(
            TextFieldIndexing::default()
                .set_tokenizer(analyzer)
                .set_index_option(IndexRecordOption::WithFreqsAndPositions),
        )
    };
    let marks = TextOptions::default().set_indexing_options(
        TextFieldIndexing::default()
            .set_tokenizer("raw")
            .set_fieldnorms(false)
            .set_index_option(IndexRecordOption::Basic),
    );
    let mut builder = Schema::builder();
    let fields = IndexFields {
        marks: builder.add_text_field("marks", marks),
        kept: builder.add_text_field("kept", TextOptions::default().set_stored()),
        text: builder.add_text_field("text", words(STEMS)),
        heading: builder.add_text_field("heading", words(STEMS)),
        plain: builder.add_text_field("plain", words(PLAIN)),
        date: builder.add_u64_field(DATE, FAST),
        entry: builder.add_text_field(ENTRY, TextOptions::default().set_fast("raw")),
        line: builder.add_u64_field(LINE, FAST),
    };
    (builder.build(), fields)
}

/// By what a document is found besides words. Values are folded, but for paths, the
/// keys of places and names.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum DocumentMark {
    /// Any record, so that they can be counted and listed.
    Record,
    /// The records of the file at a path.
    RecordOf,
    /// The document of the file at a path.
    File,
    /// The document with what is kept of the file at a path for a look at each.
    Look,
    /// On a file's document: a place it speaks of.
    SpeaksOf,
    /// On a file's document: a name it uses.
    Name,
    /// The document of a place.
    Place,
    /// The document that holds all stamps.
    Stamps,
    /// A page: shares of many places or files, by its number.
    Page,
    /// What a record is about.
    Bag,
    Vehicle,
    System,
    Part,
    At,
    Status,
}

impl DocumentMark {
    /// The mark with a value, as the index knows it. Nothing but this makes them: no two
    /// kinds begin with the same letter.
    pub(super) fn with(self, value: &str) -> String {
        let letter = match self {
            Self::Record => 'r',
            Self::RecordOf => 'o',
            Self::File => 'f',
            Self::Look => 'l',
            Self::SpeaksOf => 's',
            Self::Name => 'm',
            Self::Place => 'p',
            Self::Stamps => 't',
            Self::Page => 'g',
            Self::Bag => 'b',
            Self::Vehicle => 'v',
            Self::System => 'y',
            Self::Part => 'n',
            Self::At => 'a',
            Self::Status => 'u',
        };
        format!("{letter} {value}")
    }
}

/// What a record keeps for its hit.
#[derive(Debug, Default, Serialize, Deserialize)]
pub(super) struct KeptRecord {
    pub entry: String,
    pub line: u32,
    pub span: (u32, u32),
    pub title: String,
    pub date: Option<String>,
    pub vehicle: Option<String>,
    pub system: Option<String>,
    pub part: Option<String>,
    pub at: Vec<String>,
    pub status: Option<String>,
    pub bags: Vec<String>,
    pub places: Vec<String>,
    pub footage: Option<String>,
    pub pictures: Vec<(String, Option<String>)>,
}

/// What a file keeps for the time when it has changed or gone.
#[derive(Debug, Default, Serialize, Deserialize)]
pub(super) struct KeptFile {
    pub path: String,
    pub records: u64,
    pub places: Vec<String>,
}

impl IndexFields {
    pub(super) fn term(field: Field, text: &str) -> Term {
        Term::from_field_text(field, text)
    }

    /// The term of a mark.
    pub(super) fn mark(&self, mark: DocumentMark, value: &str) -> Term {
        Self::term(self.marks, &mark.with(value))
    }

    /// The term of all records.
    pub(super) fn records_term(&self) -> Term {
        self.mark(DocumentMark::Record, "")
    }

    /// The document of a record.
    pub(super) fn record(&self, record: RecordDoc) -> Result<TantivyDocument, IndexError> {
        let mut doc = TantivyDocument::new();
        let mut mark = |mark: DocumentMark, value: &str| doc.add_text(self.marks, mark.with(value));
        mark(DocumentMark::RecordOf, &record.entry);
        mark(DocumentMark::Record, "");
        for (kind, value) in [
            (DocumentMark::Vehicle, &record.vehicle),
            (DocumentMark::System, &record.system),
            (DocumentMark::Part, &record.part),
            (DocumentMark::Status, &record.status),
        ] {
            if let Some(value) = value {
                mark(kind, &fold(value));
            }
        }
        for at in &record.at {
            mark(DocumentMark::At, &fold(at));
        }
        for bag in &record.bags {
            mark(DocumentMark::Bag, &fold(bag));
        }
        doc.add_text(self.text, &record.text);
        doc.add_text(self.plain, &record.text);
        if let Some(part) = &record.part {
            doc.add_text(self.heading, format!("{part} {}", record.at.join(" ")));
        }
        doc.add_u64(self.date, record.date.as_deref().and_then(day).unwrap_or(0));
        doc.add_text(self.entry, &record.entry);
        doc.add_u64(self.line, u64::from(record.line));
        let kept = KeptRecord {
            entry: record.entry,
            line: record.line,
            span: (record.span.start, record.span.end),
            title: record.title,
            date: record.date,
            vehicle: record.vehicle,
            system: record.system,
            part: record.part,
            at: record.at,
            status: record.status,
            bags: record.bags,
            places: record.places,
            footage: record.footage,
            pictures: record.pictures,
        };
        self.keep(&mut doc, &kept)?;
        Ok(doc)
    }

    /// The document of a file.
    pub(super) fn file(&self, path: &str, docs: &FileDocs) -> Result<TantivyDocument, IndexError> {
        let mut doc = TantivyDocument::new();
        doc.add_text(self.marks, DocumentMark::File.with(path));
        for place in &docs.places {
            doc.add_text(self.marks, DocumentMark::SpeaksOf.with(place));
        }
        for name in &docs.names {
            doc.add_text(self.marks, DocumentMark::Name.with(name));
        }
        let kept = KeptFile {
            path: path.to_owned(),
            records: docs.records.len() as u64,
            places: docs.places.clone(),
        };
        self.keep(&mut doc, &kept)?;
        Ok(doc)
    }

    /// The document of the table of stamps.
    pub(super) fn stamps(&self, table: &str) -> TantivyDocument {
        let mut doc = TantivyDocument::new();
        doc.add_text(self.marks, DocumentMark::Stamps.with(""));
        doc.add_text(self.kept, table);
        doc
    }

    /// The document of a place: its key, and bytes kept under it.
    pub(super) fn place(&self, key: &str, bytes: &[u8]) -> TantivyDocument {
        let mut doc = TantivyDocument::new();
        doc.add_text(self.marks, DocumentMark::Place.with(key));
        doc.add_text(self.kept, as_text(bytes));
        doc
    }

    /// The document with what is kept of a file for a look at each.
    pub(super) fn look(&self, path: &str, bytes: &[u8]) -> TantivyDocument {
        let mut doc = TantivyDocument::new();
        doc.add_text(self.marks, DocumentMark::Look.with(path));
        doc.add_text(self.kept, as_text(bytes));
        doc
    }

    /// The document of a page.
    pub(super) fn page(&self, mark: &str, bytes: &[u8]) -> TantivyDocument {
        let mut doc = TantivyDocument::new();
        doc.add_text(self.marks, DocumentMark::Page.with(mark));
        doc.add_text(self.kept, as_text(bytes));
        doc
    }

    fn keep(&self, doc: &mut TantivyDocument, kept: &impl Serialize) -> Result<(), IndexError> {
        let bytes = postcard::to_stdvec(kept).map_err(IndexError::damaged)?;
        doc.add_text(self.kept, as_text(&bytes));
        Ok(())
    }

    /// The text a document keeps.
    pub(super) fn text(&self, mut doc: StoredDocument) -> Result<String, IndexError> {
        match doc.remove(&self.kept) {
            Some(OwnedValue::Str(text)) => Ok(text),
            Some(_) | None => Err(IndexError::damaged("a document without content")),
        }
    }

    /// The bytes a document keeps.
    pub(super) fn kept(&self, doc: StoredDocument) -> Result<Vec<u8>, IndexError> {
        as_bytes(&self.text(doc)?)
            .ok_or_else(|| IndexError::damaged("a document with other content"))
    }
}

/// A document as it is stored. The engine's own type would copy each text once more.
pub(super) type StoredDocument = BTreeMap<Field, OwnedValue>;

/// Bytes as a text of the characters U+0000 to U+00FF. The engine reads stored
/// bytes one by one, and stored texts in one go.
fn as_text(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| char::from(*byte)).collect()
}

/// The bytes of such a text; `None` for any other.
fn as_bytes(text: &str) -> Option<Vec<u8>> {
    let mut bytes = Vec::with_capacity(text.len());
    let mut rest = text;
    // Nearly all of it is ASCII, which is copied as it is.
    while let Some(at) = rest.bytes().position(|byte| !byte.is_ascii()) {
        let (plain, other) = rest.split_at(at);
        bytes.extend_from_slice(plain.as_bytes());
        let mut characters = other.chars();
        bytes.push(u8::try_from(characters.next()?).ok()?);
        rest = characters.as_str();
    }
    bytes.extend_from_slice(rest.as_bytes());
    Some(bytes)
}

/// What a document keeps, read.
pub(super) fn read<'a, T: Deserialize<'a>>(kept: &'a [u8]) -> Result<T, IndexError> {
    postcard::from_bytes(kept).map_err(IndexError::damaged)
}

/// `2026-03-14` as a number that sorts like the day.
pub(super) fn day(date: &str) -> Option<u64> {
    let mut parts = date.split('-').map(|part| part.parse::<u64>().ok());
    let (year, month, day) = (parts.next()??, parts.next()??, parts.next()??);
    (parts.next().is_none() && year < 10_000 && month < 100 && day < 100)
        .then_some(year * 10_000 + month * 100 + day)
}
