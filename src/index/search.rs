//! Answers a question: records with all words, if need be with slips set right; where
//! they are fewer than wanted, the best of the rest, apart.
//!
//! Does not look at the disk: the text of a passage is asked of the caller.

use tantivy::collector::Count;
use tantivy::query::{BooleanQuery, ConstScoreQuery, Occur, RangeQuery, TermQuery};
use tantivy::schema::IndexRecordOption;
use tantivy::{DocAddress, Searcher, Term};

use super::answer::{Correction, Hit, Query, SearchAnswer};
use super::error::{IndexError, reading};
use super::query::{ParsedQuery, QueryTerm, QueryWord, parse};
use super::schema::{self, DocumentMark, IndexFields, KeptRecord, day};
use super::terms::{ADJACENT, LOOSELY_ADJACENT, RequiredTerm, adjacent, itself, units};
use super::{Index, excerpt, places, ranking, slips};
use crate::handbook::shop_words::QuestionForm;
use crate::vocabulary::words::fold;

/// Maximum number of words one slip away that are tried.
const MOST_CANDIDATES: usize = 8;

/// A word in more than one of so many records is common.
const COMMON: usize = 20;

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
        let parsed = parse(&query.text);
        let Outcome {
            units,
            optional,
            corrected,
            found: (total, found),
        } = if parsed.required.is_empty() {
            search.without_words()?
        } else {
            search.with_words(parsed)?
        };
        let rest = if found.len() < limit && !units.is_empty() {
            search.find_rest(&units, &optional, &found)?
        } else {
            Vec::new()
        };
        let marked: Vec<_> = units.iter().chain(&optional).cloned().collect();
        let show = |found: Vec<(f32, DocAddress)>| -> Result<Vec<Hit>, IndexError> {
            let hit = |(score, address)| search.hit(score, address, &marked, read_passage);
            found.into_iter().map(hit).collect()
        };
        let shown: Vec<_> = units.iter().flat_map(|unit| unit.shown.clone()).collect();
        Ok(SearchAnswer {
            searched: shown.join(" "),
            narrowed: None,
            corrected,
            total,
            hits: show(found)?,
            also: show(rest)?,
        })
    }
}

/// One question to one state of the index.
struct SearchRun<'q> {
    searcher: Searcher,
    fields: IndexFields,
    query: &'q Query,
    limit: usize,
}

/// What was looked for, and what has all of it.
struct Outcome {
    units: Vec<RequiredTerm>,
    optional: Vec<RequiredTerm>,
    corrected: Vec<Correction>,
    found: RankedDocs,
}

impl SearchRun<'_> {
    /// All records that fit, for an empty question; none for one of mere signs.
    fn without_words(&self) -> Result<Outcome, IndexError> {
        let found = if self.query.text.trim().is_empty() {
            self.find(&[], &[])?
        } else {
            (0, Vec::new())
        };
        Ok(Outcome {
            units: Vec::new(),
            optional: Vec::new(),
            corrected: Vec::new(),
            found,
        })
    }

    fn with_words(&self, parsed: ParsedQuery) -> Result<Outcome, IndexError> {
        let mut asked = parsed.required;
        let form = parsed.form;
        let optional = units(&parsed.optional, form, |_| false);
        let outcome = |units, corrected, found| Outcome {
            units,
            optional: optional.clone(),
            corrected,
            found,
        };
        let mut bags = units(&asked, form, |label| self.is_bag(label));
        if form == QuestionForm::Sentence {
            self.weigh_other_names(&mut bags)?;
        }
        let found = self.find(&bags, &optional)?;
        if found.0 > 0 {
            return Ok(outcome(bags, Vec::new(), found));
        }
        let corrected = self.correct(&mut asked, form)?;
        let mut with_bags = units(&asked, form, |label| self.is_bag(label));
        if form == QuestionForm::Sentence {
            self.weigh_other_names(&mut with_bags)?;
        }
        for units in [&with_bags, &units(&asked, form, |_| false)] {
            let found = self.find(units, &optional)?;
            if found.0 > 0 {
                return Ok(outcome(units.clone(), corrected, found));
            }
        }
        // A bag that exists is meant even if the rest is nowhere.
        Ok(outcome(with_bags, corrected, (0, Vec::new())))
    }

    /// Weighs other names by how common a word itself is: they count in full where it is
    /// nowhere, as then they are all that can be meant. Everyday words are not asked for
    /// where the word itself is common.
    fn weigh_other_names(&self, units: &mut [RequiredTerm]) -> Result<(), IndexError> {
        let records = self.count(must(self.fields.records_term()).1)?;
        for unit in units {
            if unit.instead.is_empty() && unit.everyday.is_empty() {
                continue;
            }
            let own = self.count(unit.itself.query(&self.fields))?;
            if own == 0 {
                unit.instead_weight = 1.0;
            }
            if own * COMMON <= records {
                unit.instead.append(&mut unit.everyday);
            }
        }
        Ok(())
    }

    /// Sets right, one by one, the words that are nowhere and are one slip from
    /// one that is; of several, the most frequent with which something is found. In a
    /// sentence a word that is nowhere is mostly no slip, so it must be found.
    fn correct(
        &self,
        asked: &mut [QueryTerm],
        form: QuestionForm,
    ) -> Result<Vec<Correction>, IndexError> {
        let mut unknown = Vec::new();
        for unit in units(asked, form, |_| false) {
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
            let mut best = (form == QuestionForm::KeyWords).then_some(first);
            if near.len() > 1 || best.is_none() {
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
                    if self.find(&units(&tried, form, |_| false), &[])?.0 > 0 {
                        best = Some(to);
                        break;
                    }
                }
            }
            let Some(best) = best else { continue };
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

    /// The records that have all of `units`; `optional` only order them, as does
    /// what stands side by side as it was asked for.
    fn find(
        &self,
        units: &[RequiredTerm],
        optional: &[RequiredTerm],
    ) -> Result<RankedDocs, IndexError> {
        let mut clauses = self.filters()?;
        let all = units.iter().map(|unit| unit.query(&self.fields));
        clauses.extend(all.map(|query| (Occur::Must, query)));
        let better = optional.iter().map(|unit| unit.query(&self.fields));
        let better = better.chain(adjacent(units, &self.fields, ADJACENT));
        clauses.extend(better.map(|query| (Occur::Should, query)));
        if units.is_empty() {
            clauses.push(must(self.fields.records_term()));
        }
        self.ranked(clauses, units, self.limit)
    }

    /// The best of the records that have some of the words but are not among `all`, which
    /// have all of them: as many as are missing to the limit.
    fn find_rest(
        &self,
        units: &[RequiredTerm],
        optional: &[RequiredTerm],
        all: &[(f32, DocAddress)],
    ) -> Result<Vec<(f32, DocAddress)>, IndexError> {
        let mut clauses = self.filters()?;
        let any = units.iter().map(|unit| unit.loose_query(&self.fields));
        let any = any.map(|query| (Occur::Should, query)).collect();
        clauses.push((Occur::Must, Box::new(BooleanQuery::new(any))));
        let records = self.count(must(self.fields.records_term()).1)?;
        for unit in units {
            clauses.push((Occur::Should, self.presence(unit, records)?));
        }
        let better = optional.iter().map(|unit| unit.query(&self.fields));
        let better = better.chain(adjacent(units, &self.fields, LOOSELY_ADJACENT));
        clauses.extend(better.map(|query| (Occur::Should, query)));
        // Those with all the words are among the best of these too, and few.
        let (_, mut found) = self.ranked(clauses, units, self.limit + all.len())?;
        found.retain(|(_, address)| !all.iter().any(|(_, other)| other == address));
        found.truncate(self.limit - all.len());
        Ok(found)
    }

    /// What a word counts for merely standing in a record, however short the record: its
    /// inverse document frequency, as in BM25+ with a delta of 1 (Lv and Zhai 2011). Else
    /// one rare word in a few outweighs three of those asked for in a longer record.
    fn presence(
        &self,
        unit: &RequiredTerm,
        records: usize,
    ) -> Result<Box<dyn tantivy::query::Query>, IndexError> {
        let with = self.count(unit.loose_query(&self.fields))? as f32;
        let records = records as f32;
        let rarity = (1.0 + (records - with + 0.5) / (with + 0.5)).ln();
        let query = unit.loose_query(&self.fields);
        Ok(Box::new(ConstScoreQuery::new(query, rarity)))
    }

    /// How many records the clauses fit, and the best `limit` of them.
    fn ranked(
        &self,
        clauses: Vec<Clause>,
        units: &[RequiredTerm],
        limit: usize,
    ) -> Result<RankedDocs, IndexError> {
        let query = BooleanQuery::new(clauses);
        let statistics = ranking::Statistics::of(&self.searcher, &self.fields, units)?;
        // The collector sets aside memory for as many hits as it may return.
        let most = limit.clamp(1, 1 + self.searcher.num_docs() as usize);
        let (total, best) = reading(|| {
            let collector = (Count, ranking::best(most));
            let searcher = &self.searcher;
            searcher.search_with_statistics_provider(&query, &collector, &statistics)
        })?;
        let found = best.into_iter().map(|(key, address)| (key.0, address));
        Ok((total, found.take(limit).collect()))
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
            pictures: record.pictures,
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
