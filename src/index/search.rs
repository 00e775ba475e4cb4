//! Answers a question: all words first, then with slips set right, then any of
//! the words, always saying which it was.
//!
//! Does not look at the disk: the text of a passage is asked of the caller.

use tantivy::collector::Count;
use tantivy::query::{BooleanQuery, ConstScoreQuery, Occur, RangeQuery, TermQuery};
use tantivy::schema::IndexRecordOption;
use tantivy::{DocAddress, Searcher, Term};

use super::answer::{Correction, Hit, MatchMode, Query, SearchAnswer};
use super::error::{IndexError, reading};
use super::query::{QueryTerm, QueryWord, parse};
use super::schema::{self, DocumentMark, IndexFields, KeptRecord, day};
use super::terms::{RequiredTerm, itself, units};
use super::{Index, excerpt, places, ranking, slips};
use crate::vocabulary::words::fold;

/// Maximum number of words one slip away that are tried.
const MOST_CANDIDATES: usize = 8;

/// A part of the engine's query, and whether it must hold.
type Clause = (Occur, Box<dyn tantivy::query::Query>);

/// How many were found, and the best of them.
type RankedDocs = (usize, Vec<(f32, DocAddress)>);

impl Index {
    /// Answers a question with at most `limit` hits. `read_passage` gives the
    /// text of a file as it was when the index was refreshed.
    ///
    /// # Errors
    /// [`IndexError::Damaged`]: after [`distrust`](Self::distrust) and a
    /// refresh it can be asked again.
    pub fn search(
        &self,
        query: &Query,
        limit: usize,
        read_passage: &dyn Fn(&str) -> Option<String>,
    ) -> Result<SearchAnswer, IndexError> {
        let search = SearchRun {
            searcher: self.reader.searcher(),
            fields: self.fields,
            query,
            limit,
        };
        let asked = parse(&query.text);
        let (answer, units, found) = if asked.is_empty() {
            search.without_words()?
        } else {
            search.with_words(asked)?
        };
        let mut hits = Vec::new();
        for (score, address) in found {
            hits.push(search.hit(score, address, &units, read_passage)?);
        }
        Ok(SearchAnswer { hits, ..answer })
    }
}

/// One question to one state of the index.
struct SearchRun<'q> {
    searcher: Searcher,
    fields: IndexFields,
    query: &'q Query,
    limit: usize,
}

/// An answer without its hits yet, what was looked for, and what was found.
type Outcome = (SearchAnswer, Vec<RequiredTerm>, Vec<(f32, DocAddress)>);

impl SearchRun<'_> {
    /// All records that fit, for an empty question; none for one of mere signs.
    fn without_words(&self) -> Result<Outcome, IndexError> {
        let (total, found) = if self.query.text.trim().is_empty() {
            self.find(&[], MatchMode::AllWords)?
        } else {
            (0, Vec::new())
        };
        Ok(outcome(
            Vec::new(),
            MatchMode::AllWords,
            Vec::new(),
            (total, found),
        ))
    }

    fn with_words(&self, mut asked: Vec<QueryTerm>) -> Result<Outcome, IndexError> {
        let bags = units(&asked, |label| self.is_bag(label));
        let found = self.find(&bags, MatchMode::AllWords)?;
        if found.0 > 0 {
            return Ok(outcome(bags, MatchMode::AllWords, Vec::new(), found));
        }
        let corrected = self.correct(&mut asked)?;
        let with_bags = units(&asked, |label| self.is_bag(label));
        for units in [&with_bags, &units(&asked, |_| false)] {
            let found = self.find(units, MatchMode::AllWords)?;
            if found.0 > 0 {
                return Ok(outcome(
                    units.clone(),
                    MatchMode::AllWords,
                    corrected,
                    found,
                ));
            }
        }
        // A bag that exists is meant even if the rest is nowhere.
        let found = self.find(&with_bags, MatchMode::AnyWord)?;
        let how = if asked.len() > 1 {
            MatchMode::AnyWord
        } else {
            MatchMode::AllWords
        };
        Ok(outcome(with_bags, how, corrected, found))
    }

    /// Sets right, one by one, the words that are nowhere and are one slip from
    /// one that is; of several, the most frequent with which something is found.
    fn correct(&self, asked: &mut [QueryTerm]) -> Result<Vec<Correction>, IndexError> {
        let mut unknown = Vec::new();
        for unit in units(asked, |_| false) {
            if self.count(unit.query(&self.fields))? > 0 {
                continue;
            }
            for at in unit.of {
                if let QueryTerm::Word(word) = &asked[at]
                    && word.may_be_a_slip()
                    && self.count(itself(word).query(&self.fields))? == 0
                {
                    let mut near = slips::begun_by(&self.searcher, &self.fields, &word.shown)?;
                    near.extend(slips::near(&self.searcher, &self.fields, &word.shown)?);
                    near.truncate(MOST_CANDIDATES);
                    unknown.push((at, word.shown.clone(), near));
                }
            }
        }
        let mut corrected = Vec::new();
        for (turn, (at, from, near)) in unknown.iter().enumerate() {
            let Some(first) = near.first() else { continue };
            let later: Vec<_> = unknown[turn + 1..].iter().map(|(at, ..)| *at).collect();
            let mut best = first;
            if near.len() > 1 {
                for to in near {
                    let tried: Vec<_> = asked
                        .iter()
                        .enumerate()
                        .filter(|(other, _)| !later.contains(other))
                        .map(|(other, word)| match other == *at {
                            true => QueryTerm::Word(QueryWord::plain(to)),
                            false => word.clone(),
                        })
                        .collect();
                    if self.find(&units(&tried, |_| false), MatchMode::AllWords)?.0 > 0 {
                        best = to;
                        break;
                    }
                }
            }
            asked[*at] = QueryTerm::Word(QueryWord::plain(best));
            corrected.push(Correction {
                from: from.clone(),
                to: best.clone(),
            });
        }
        Ok(corrected)
    }

    /// Whether a living record has a bag of this folded label.
    fn is_bag(&self, label: &str) -> bool {
        let term = self.fields.mark(DocumentMark::Bag, label);
        let query = Box::new(TermQuery::new(term, IndexRecordOption::Basic));
        self.count(query).is_ok_and(|count| count > 0)
    }

    fn count(&self, query: Box<dyn tantivy::query::Query>) -> Result<usize, IndexError> {
        reading(|| self.searcher.search(&query, &Count))
    }

    fn find(&self, units: &[RequiredTerm], how: MatchMode) -> Result<RankedDocs, IndexError> {
        let mut clauses = self.filters()?;
        match how {
            MatchMode::AllWords => {
                let all = units.iter().map(|unit| unit.query(&self.fields));
                clauses.extend(all.map(|query| (Occur::Must, query)));
            }
            MatchMode::AnyWord => {
                let any = units.iter().map(|unit| unit.loose_query(&self.fields));
                let any = any.map(|query| (Occur::Should, query)).collect();
                clauses.push((Occur::Must, Box::new(BooleanQuery::new(any))));
            }
        }
        if units.is_empty() {
            clauses.push(must(self.fields.records_term()));
        }
        let query = BooleanQuery::new(clauses);
        let statistics = ranking::Statistics::of(&self.searcher, &self.fields, units)?;
        // The collector sets aside memory for as many hits as it may return.
        let limit = self.limit.clamp(1, 1 + self.searcher.num_docs() as usize);
        let (total, best) = reading(|| {
            let collector = (Count, ranking::best(limit));
            let searcher = &self.searcher;
            searcher.search_with_statistics_provider(&query, &collector, &statistics)
        })?;
        let found = best.into_iter().map(|(key, address)| (key.0, address));
        Ok((total, found.take(self.limit).collect()))
    }

    /// What must be so besides the words; it adds nothing to the score.
    fn filters(&self) -> Result<Vec<Clause>, IndexError> {
        let Query {
            text: _,
            vehicle,
            system,
            part,
            at,
            status,
            since,
            until,
        } = self.query;
        let mut filters = Vec::new();
        for (mark, value) in [
            (DocumentMark::Vehicle, vehicle),
            (DocumentMark::System, system),
            (DocumentMark::Part, part),
            (DocumentMark::At, at),
            (DocumentMark::Status, status),
        ] {
            if let Some(value) = value {
                filters.push(must(self.fields.mark(mark, &fold(value))));
            }
        }
        if since.is_some() || until.is_some() {
            let bound = |date: &Option<String>, otherwise| {
                let day = date.as_deref().map_or(Some(otherwise), day);
                let day = Term::from_field_u64(self.fields.date, day.unwrap_or(otherwise));
                std::ops::Bound::Included(day)
            };
            // A record without a date lies at 0, before all days.
            let range = RangeQuery::new(bound(since, 1), bound(until, u64::MAX));
            filters.push((
                Occur::Must,
                Box::new(ConstScoreQuery::new(Box::new(range), 0.0)),
            ));
        }
        Ok(filters)
    }

    fn hit(
        &self,
        score: f32,
        address: DocAddress,
        units: &[RequiredTerm],
        read_passage: &dyn Fn(&str) -> Option<String>,
    ) -> Result<Hit, IndexError> {
        let kept = places::kept(&self.searcher, &self.fields, address)?;
        let record: KeptRecord = schema::read(&kept)?;
        let mut places = Vec::new();
        for place in record.places {
            let state = places::place(&self.searcher, &self.fields, &place)?;
            places.push((place, state));
        }
        let text = read_passage(&record.entry).unwrap_or_default();
        let excerpt = excerpt::of_file(&text, record.span, units);
        Ok(Hit {
            entry: record.entry,
            line: record.line,
            title: record.title,
            date: record.date,
            vehicle: record.vehicle,
            system: record.system,
            part: record.part,
            at: record.at,
            status: record.status,
            bags: record.bags,
            footage: record.footage,
            places,
            score,
            passage: excerpt.text,
            passage_line: excerpt.line,
            marks: excerpt.marks,
        })
    }
}

fn must(term: Term) -> Clause {
    let query = Box::new(TermQuery::new(term, IndexRecordOption::Basic));
    (Occur::Must, Box::new(ConstScoreQuery::new(query, 0.0)))
}

fn outcome(
    units: Vec<RequiredTerm>,
    how: MatchMode,
    corrected: Vec<Correction>,
    (total, found): RankedDocs,
) -> Outcome {
    let between = match how {
        MatchMode::AllWords => " ",
        MatchMode::AnyWord => " or ",
    };
    let shown: Vec<_> = units.iter().flat_map(|unit| unit.shown.clone()).collect();
    let answer = SearchAnswer {
        searched: shown.join(between),
        how,
        corrected,
        total,
        hits: Vec::new(),
    };
    (answer, units, found)
}
