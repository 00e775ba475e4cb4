//! The order of hits: BM25 over the records, equal ones newest first.
//!
//! Does not decide what matches.

use std::cmp::Ordering;
use std::collections::HashMap;

use tantivy::collector::sort_key::{Comparator, SortByStaticFastValue, SortByString};
use tantivy::collector::{Collector, SegmentSortKeyComputer, SortKeyComputer, TopDocs};
use tantivy::query::Bm25StatisticsProvider;
use tantivy::schema::Field;
use tantivy::{DocAddress, DocId, Order, Score, Searcher, SegmentReader, Term};

use super::error::{IndexError, reading};
use super::places;
use super::schema::{DATE, ENTRY, IndexFields, LINE};
use super::terms::RequiredTerm;

/// How common words are, counted over the records alone: places and files lie
/// in the same index, but no text is rarer for there being many places. Only living
/// records count, or answers would hang on what was deleted and when.
pub(super) struct Statistics<'a> {
    searcher: &'a Searcher,
    records: u64,
    /// How many words a field has in all.
    words: HashMap<Field, u64>,
    /// Words that are counted as more common than they are.
    raised: HashMap<Term, u64>,
}

impl<'a> Statistics<'a> {
    pub(super) fn of(
        searcher: &'a Searcher,
        fields: &IndexFields,
        units: &[RequiredTerm],
    ) -> Result<Self, IndexError> {
        let count = |term: &Term| reading(|| places::living(searcher, term));
        let mut raised = HashMap::new();
        for (stem, own) in units.iter().flat_map(RequiredTerm::stand_ins) {
            for field in [fields.text, fields.heading] {
                let mut common = 0;
                for own in own {
                    common = common.max(count(&IndexFields::term(field, own))?);
                }
                raised.insert(IndexFields::term(field, stem), common);
            }
        }
        let mut words = HashMap::new();
        for field in [fields.text, fields.heading, fields.plain] {
            words.insert(field, reading(|| places::words_in(searcher, field))?);
        }
        Ok(Self {
            searcher,
            records: count(&fields.records_term())?,
            words,
            raised,
        })
    }
}

impl Bm25StatisticsProvider for Statistics<'_> {
    fn total_num_tokens(&self, field: Field) -> tantivy::Result<u64> {
        match self.words.get(&field) {
            Some(words) => Ok(*words),
            None => self.searcher.total_num_tokens(field),
        }
    }

    fn total_num_docs(&self) -> tantivy::Result<u64> {
        Ok(self.records)
    }

    fn doc_freq(&self, term: &Term) -> tantivy::Result<u64> {
        let found = places::living(self.searcher, term)?;
        let raised = self.raised.get(term).copied().unwrap_or(0);
        // The engine insists that no word is in more records than there are.
        Ok(found.max(raised).min(self.records))
    }
}

/// Collects the best `limit` hits, in order: by score, then the newest, then by
/// path and line.
pub(super) fn best(limit: usize) -> impl Collector<Fruit = Vec<(RankKey, DocAddress)>> {
    // In pairs: a longer tuple forgets the directions (tantivy 0.27).
    TopDocs::with_limit(limit).order_by((
        ByScore,
        (
            (SortByStaticFastValue::<u64>::for_field(DATE), Order::Desc),
            (
                (SortByString::for_field(ENTRY), Order::Asc),
                (SortByStaticFastValue::<u64>::for_field(LINE), Order::Asc),
            ),
        ),
    ))
}

/// Score, date, path and line.
type RankKey = (Score, (Option<u64>, (Option<String>, Option<u64>)));

struct ByScore;

/// Scores that differ by rounding are equal: the order of addition depends on
/// how the index happens to lie in pieces.
#[derive(Debug, Default)]
struct NearlyEqual;

impl Comparator<Score> for NearlyEqual {
    fn compare(&self, left: &Score, right: &Score) -> Ordering {
        let rounded = |score: &Score| (score.max(0.0).to_bits() + 0x80) >> 8;
        rounded(left).cmp(&rounded(right))
    }
}

impl SortKeyComputer for ByScore {
    type SortKey = Score;
    type Child = Self;
    type Comparator = NearlyEqual;

    fn requires_scoring(&self) -> bool {
        true
    }

    fn segment_sort_key_computer(&self, _: &SegmentReader) -> tantivy::Result<Self> {
        Ok(Self)
    }
}

impl SegmentSortKeyComputer for ByScore {
    type SortKey = Score;
    type SegmentSortKey = Score;
    type SegmentComparator = NearlyEqual;

    fn segment_sort_key(&mut self, _: DocId, score: Score) -> Score {
        score
    }

    fn convert_segment_sort_key(&self, score: Score) -> Score {
        score
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rounding_does_not_order_hits() {
        let nearly = 1.0 + 3.0 * Score::EPSILON;
        assert_eq!(NearlyEqual.compare(&1.0, &nearly), Ordering::Equal);
        assert_eq!(NearlyEqual.compare(&1.0, &0.999), Ordering::Greater);
        assert_eq!(NearlyEqual.compare(&0.0, &0.001), Ordering::Less);
    }
}
