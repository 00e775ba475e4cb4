//! Looks up the documents that are not found by searching: the states of
//! places, what files speak of, pages, and the table of stamps.
//!
//! A place's key and state are opaque here.

use std::collections::{BTreeMap, HashMap};
use std::rc::Rc;

use tantivy::schema::Field;
use tantivy::schema::IndexRecordOption;
use tantivy::{DocAddress, DocSet, Searcher, TERMINATED, Term};

use super::error::{IndexError, reading};
use super::schema::{self, DocumentMark, IndexFields, KeptFile, StoredDocument};

/// The living documents with a term.
pub(super) fn with_term(searcher: &Searcher, term: &Term) -> tantivy::Result<Vec<DocAddress>> {
    let mut found = Vec::new();
    for (segment, reader) in searcher.segment_readers().iter().enumerate() {
        let index = reader.inverted_index(term.field())?;
        let Some(mut postings) = index.read_postings(term, IndexRecordOption::Basic)? else {
            continue;
        };
        let mut doc = postings.doc();
        while doc != TERMINATED {
            if !reader.is_deleted(doc) {
                found.push(DocAddress::new(segment as u32, doc));
            }
            doc = postings.advance();
        }
    }
    Ok(found)
}

/// How many living documents have a term. The engine's own count has those in it that
/// were taken out and wait to be cleared away.
pub(super) fn living(searcher: &Searcher, term: &Term) -> tantivy::Result<u64> {
    let mut living = 0;
    for reader in searcher.segment_readers() {
        let index = reader.inverted_index(term.field())?;
        if !reader.has_deletes() {
            living += u64::from(index.doc_freq(term)?);
            continue;
        }
        let Some(mut postings) = index.read_postings(term, IndexRecordOption::Basic)? else {
            continue;
        };
        let mut doc = postings.doc();
        while doc != TERMINATED {
            living += u64::from(!reader.is_deleted(doc));
            doc = postings.advance();
        }
    }
    Ok(living)
}

/// How many words the living documents have in a field, as far as the engine notes the
/// length of each.
pub(super) fn words_in(searcher: &Searcher, field: Field) -> tantivy::Result<u64> {
    let mut words = 0;
    for reader in searcher.segment_readers() {
        let lengths = reader.get_fieldnorms_reader(field)?;
        words += reader
            .doc_ids_alive()
            .map(|doc| u64::from(lengths.fieldnorm(doc)))
            .sum::<u64>();
    }
    Ok(words)
}

/// The only document with a mark.
fn first(searcher: &Searcher, term: &Term) -> Result<Option<StoredDocument>, IndexError> {
    let found = reading(|| with_term(searcher, term))?;
    let doc = found.first().map(|&address| searcher.doc(address));
    reading(|| doc.transpose())
}

fn first_kept(
    searcher: &Searcher,
    fields: &IndexFields,
    (mark, value): (DocumentMark, &str),
) -> Result<Option<Vec<u8>>, IndexError> {
    let doc = first(searcher, &fields.mark(mark, value))?;
    doc.map(|doc| fields.kept(doc)).transpose()
}

/// What the document at an address keeps.
pub(super) fn kept(
    searcher: &Searcher,
    fields: &IndexFields,
    address: DocAddress,
) -> Result<Vec<u8>, IndexError> {
    fields.kept(reading(|| searcher.doc(address))?)
}

/// The table of stamps; none in an index that was never filled.
pub(super) fn stamps(
    searcher: &Searcher,
    fields: &IndexFields,
) -> Result<Option<String>, IndexError> {
    let doc = first(searcher, &fields.mark(DocumentMark::Stamps, ""))?;
    doc.map(|doc| fields.text(doc)).transpose()
}

/// The state of one place.
pub(super) fn place(
    searcher: &Searcher,
    fields: &IndexFields,
    key: &str,
) -> Result<Option<Vec<u8>>, IndexError> {
    first_kept(searcher, fields, (DocumentMark::Place, key))
}

/// A page, by its mark.
pub(super) fn page(
    searcher: &Searcher,
    fields: &IndexFields,
    mark: &str,
) -> Result<Option<Vec<u8>>, IndexError> {
    first_kept(searcher, fields, (DocumentMark::Page, mark))
}

/// What is known of a file.
pub(super) fn file(
    searcher: &Searcher,
    fields: &IndexFields,
    path: &str,
) -> Result<Option<KeptFile>, IndexError> {
    match first_kept(searcher, fields, (DocumentMark::File, path))? {
        Some(kept) => schema::read(&kept).map(Some),
        None => Ok(None),
    }
}

/// Paths of files by where their documents stand. A file speaks of many places, and
/// what is kept of it lists them all: it is read once, not once for each.
pub(super) type Paths = HashMap<DocAddress, Rc<str>>;

/// The files that speak of a place, by path; `known` are those met before.
pub(super) fn files_of(
    searcher: &Searcher,
    fields: &IndexFields,
    place: &str,
    known: &mut Paths,
) -> Result<Vec<Rc<str>>, IndexError> {
    let term = fields.mark(DocumentMark::SpeaksOf, place);
    let mut files = Vec::new();
    for address in reading(|| with_term(searcher, &term))? {
        let path = match known.get(&address) {
            Some(path) => Rc::clone(path),
            None => {
                let kept = kept(searcher, fields, address)?;
                let path: Rc<str> = schema::read::<KeptFile>(&kept)?.path.into();
                known.insert(address, Rc::clone(&path));
                path
            }
        };
        files.push(path);
    }
    files.sort();
    Ok(files)
}

/// Where the places whose key begins with `prefix` are stored, by key.
pub(super) fn addresses(
    searcher: &Searcher,
    fields: &IndexFields,
    prefix: &str,
) -> Result<BTreeMap<String, DocAddress>, IndexError> {
    let mut found = BTreeMap::new();
    let prefix = DocumentMark::Place.with(prefix);
    marked(searcher, fields, &prefix, &mut |key, docs| {
        if let Some(address) = docs.next() {
            found.insert(key.to_owned(), address);
        }
    })?;
    Ok(found)
}

/// What is kept of each file for a look at each.
pub(super) fn looks(searcher: &Searcher, fields: &IndexFields) -> Result<Vec<Vec<u8>>, IndexError> {
    let mut found = Vec::new();
    marked(
        searcher,
        fields,
        &DocumentMark::Look.with(""),
        &mut |_, docs| {
            found.extend(docs.next());
        },
    )?;
    // Neighbours are stored in one compressed block.
    found.sort_unstable();
    found
        .into_iter()
        .map(|address| kept(searcher, fields, address))
        .collect()
}

/// Visits each mark that begins with `prefix`: the rest of it, and where the living
/// documents with it stand.
pub(super) fn marked(
    searcher: &Searcher,
    fields: &IndexFields,
    prefix: &str,
    visit: &mut dyn FnMut(&str, &mut dyn Iterator<Item = DocAddress>),
) -> Result<(), IndexError> {
    reading(|| {
        for (segment, reader) in searcher.segment_readers().iter().enumerate() {
            let index = reader.inverted_index(fields.marks)?;
            let mut terms = index.terms().range().ge(prefix).into_stream()?;
            while let Some((mark, info)) = terms.next() {
                let Some(rest) = mark.strip_prefix(prefix.as_bytes()) else {
                    break;
                };
                let mut docs = index.read_postings_from_terminfo(info, IndexRecordOption::Basic)?;
                let mut living = std::iter::from_fn(|| {
                    let mut doc = docs.doc();
                    while doc != TERMINATED && reader.is_deleted(doc) {
                        doc = docs.advance();
                    }
                    (doc != TERMINATED).then(|| {
                        docs.advance();
                        DocAddress::new(segment as u32, doc)
                    })
                });
                visit(&String::from_utf8_lossy(rest), &mut living);
            }
        }
        Ok(())
    })
}
