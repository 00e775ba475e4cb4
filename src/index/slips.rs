//! Words of the dictionary that are one slip of the finger from a given one.
//!
//! Over words as they are written: a slip in a stem is often none in the word,
//! and the other way round.

use std::collections::HashMap;

use tantivy::query::FuzzyTermQuery;
use tantivy::schema::IndexRecordOption;
use tantivy::{DocSet, Searcher, TERMINATED};

use super::error::{IndexError, reading};
use super::schema::Fields;

/// Words that living records contain and that are one letter too many, one
/// missing, one wrong or two swapped away; those of most records first.
pub(super) fn near(
    searcher: &Searcher,
    fields: &Fields,
    word: &str,
) -> Result<Vec<String>, IndexError> {
    let mut found: HashMap<String, u64> = HashMap::new();
    reading(|| {
        let automaton =
            FuzzyTermQuery::new(Fields::term(fields.plain, word), 1, true).automaton()?;
        for reader in searcher.segment_readers() {
            let index = reader.inverted_index(fields.plain)?;
            let mut terms = index.terms().search(&automaton).into_stream()?;
            while let Some((term, info)) = terms.next() {
                let Ok(term) = std::str::from_utf8(term) else {
                    continue;
                };
                if term == word || !term.chars().all(char::is_alphabetic) {
                    continue;
                }
                // A word that only deleted records contain is still listed.
                let mut docs = index.read_postings_from_terminfo(info, IndexRecordOption::Basic)?;
                let mut doc = docs.doc();
                let mut living = 0;
                while doc != TERMINATED {
                    living += u64::from(!reader.is_deleted(doc));
                    doc = docs.advance();
                }
                if living > 0 {
                    *found.entry(term.to_owned()).or_default() += living;
                }
            }
        }
        Ok(())
    })?;
    let mut found: Vec<_> = found.into_iter().collect();
    found.sort_by(|(a, more), (b, less)| less.cmp(more).then_with(|| a.cmp(b)));
    Ok(found.into_iter().map(|(word, _)| word).collect())
}
