//! Words of the dictionary that a given one begins, or that are one slip of the
//! finger from it.
//!
//! Over words as they are written: a slip in a stem is often none in the word,
//! and the other way round. Which of them is searched instead, `search` decides.

use std::collections::HashMap;

use tantivy::postings::TermInfo;
use tantivy::query::FuzzyTermQuery;
use tantivy::schema::IndexRecordOption;
use tantivy::{DocSet, InvertedIndexReader, Searcher, SegmentReader, TERMINATED};

use super::error::{IndexError, reading};
use super::schema::IndexFields;

/// Fewer letters than this begin too many words to mean one.
const SHORTEST_BEGINNING: usize = 4;
/// A word of at least this many letters is still known with two slips.
const SHORTEST_OF_TWO_SLIPS: usize = 7;

/// Words that living records contain and that begin with this one; those of most
/// records first.
pub(super) fn begun_by(
    searcher: &Searcher,
    fields: &IndexFields,
    word: &str,
) -> Result<Vec<String>, IndexError> {
    if word.chars().count() < SHORTEST_BEGINNING {
        return Ok(Vec::new());
    }
    let mut found: HashMap<String, u64> = HashMap::new();
    reading(|| {
        for reader in searcher.segment_readers() {
            let index = reader.inverted_index(fields.plain)?;
            let mut terms = index.terms().range().ge(word).into_stream()?;
            while let Some((term, info)) = terms.next() {
                if !term.starts_with(word.as_bytes()) {
                    break;
                }
                count(reader, &index, term, info, &mut found)?;
            }
        }
        Ok(())
    })?;
    Ok(by_frequency(found))
}

/// Words that living records contain and that are one letter too many, one
/// missing, one wrong or two swapped away; those of most records first. Where there
/// are none, a long word may be two such slips away.
pub(super) fn near(
    searcher: &Searcher,
    fields: &IndexFields,
    word: &str,
) -> Result<Vec<String>, IndexError> {
    let near = within(searcher, fields, word, 1)?;
    if near.is_empty() && word.chars().count() >= SHORTEST_OF_TWO_SLIPS {
        return within(searcher, fields, word, 2);
    }
    Ok(near)
}

fn within(
    searcher: &Searcher,
    fields: &IndexFields,
    word: &str,
    slips: u8,
) -> Result<Vec<String>, IndexError> {
    let mut found: HashMap<String, u64> = HashMap::new();
    reading(|| {
        let automaton =
            FuzzyTermQuery::new(IndexFields::term(fields.plain, word), slips, true).automaton()?;
        for reader in searcher.segment_readers() {
            let index = reader.inverted_index(fields.plain)?;
            let mut terms = index.terms().search(&automaton).into_stream()?;
            while let Some((term, info)) = terms.next() {
                if term != word.as_bytes() {
                    count(reader, &index, term, info, &mut found)?;
                }
            }
        }
        Ok(())
    })?;
    Ok(by_frequency(found))
}

/// Counts the living records of a term, if it is a word; one that only deleted
/// records contain is still in the dictionary.
fn count(
    reader: &SegmentReader,
    index: &InvertedIndexReader,
    term: &[u8],
    info: &TermInfo,
    found: &mut HashMap<String, u64>,
) -> tantivy::Result<()> {
    let word = std::str::from_utf8(term).unwrap_or_default();
    if word.is_empty() || !word.chars().all(char::is_alphabetic) {
        return Ok(());
    }
    let mut docs = index.read_postings_from_terminfo(info, IndexRecordOption::Basic)?;
    let mut doc = docs.doc();
    let mut living = 0;
    while doc != TERMINATED {
        living += u64::from(!reader.is_deleted(doc));
        doc = docs.advance();
    }
    if living > 0 {
        *found.entry(word.to_owned()).or_default() += living;
    }
    Ok(())
}

/// The words of most records first.
fn by_frequency(found: HashMap<String, u64>) -> Vec<String> {
    let mut found: Vec<_> = found.into_iter().collect();
    found.sort_by(|(a, more), (b, less)| less.cmp(more).then_with(|| a.cmp(b)));
    found.into_iter().map(|(word, _)| word).collect()
}
