//! What each word of a question may be found as: itself, in pieces, by another
//! shop's word for it, or as a bag; and the engine's query for that.
//!
//! Does not search, and does not know what was found.

use std::ops::Range;

use tantivy::Term;
use tantivy::query::{
    BooleanQuery, BoostQuery, ConstScoreQuery, DisjunctionMaxQuery, Occur, PhraseQuery, Query,
    TermQuery,
};
use tantivy::schema::{Field, IndexRecordOption};

use super::query::{QueryTerm, QueryWord};
use super::schema::{DocumentMark, IndexFields};
use crate::handbook::shop_words::{self, QuestionForm, ShopWordMatch};
use crate::vocabulary::words::{fold, stem};

/// How much a word in the name of the part adds to the same word in the text.
const HEADING: f32 = 0.4;
/// How much two words side by side, as they were asked for, add to the two apart:
/// where a record has all the words, and where it has some.
pub(super) const ADJACENT: f32 = 1.5;
pub(super) const LOOSELY_ADJACENT: f32 = 0.3;
/// How much another shop's word counts against the word itself.
const SYNONYM: f32 = 0.6;
/// A label of more words than this is not looked for after `bag`.
const LONGEST_LABEL: usize = 4;

/// Something to be found in a record.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum TermMatch {
    /// These stems in a row, in the text or the part's name.
    Stems(Vec<String>),
    /// These words in a row, exactly.
    Exactly(Vec<String>),
    /// Any of them; the best counts.
    Any(Vec<TermMatch>),
    /// All of them, anywhere.
    All(Vec<TermMatch>),
    /// What this bag holds; folded.
    Bag(String),
}

/// One required thing: usually a word, sometimes several that mean one.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct RequiredTerm {
    /// Its words, as they are told to the reader.
    pub shown: Vec<String>,
    /// Which things asked for it stands for.
    pub of: Range<usize>,
    /// The thing itself.
    pub itself: TermMatch,
    /// What others call it: stems in a row.
    pub instead: Vec<Vec<String>>,
    /// How much those count against the thing itself.
    pub instead_weight: f32,
    /// Everyday words for it, not yet among those.
    pub everyday: Vec<Vec<String>>,
}

/// Makes units of what was asked. `is_bag` says whether a folded label is in
/// use; words after `bag` are plain words when it is not.
pub(super) fn units(
    asked: &[QueryTerm],
    form: QuestionForm,
    is_bag: impl Fn(&str) -> bool,
) -> Vec<RequiredTerm> {
    let mut units = Vec::new();
    let mut at = 0;
    while at < asked.len() {
        let unit = bag(asked, at, &is_bag)
            .or_else(|| called_otherwise(asked, at, form))
            .unwrap_or_else(|| RequiredTerm {
                shown: vec![shown(&asked[at])],
                of: at..at + 1,
                itself: wanted(&asked[at]),
                instead: Vec::new(),
                instead_weight: SYNONYM,
                everyday: Vec::new(),
            });
        at = unit.of.end;
        units.push(unit);
    }
    units
}

/// Queries for each two words that stand side by side in the text as they were asked
/// for ("spindle nut").
pub(super) fn adjacent<'u>(
    units: &'u [RequiredTerm],
    fields: &'u IndexFields,
    weight: f32,
) -> impl Iterator<Item = Box<dyn Query>> + 'u {
    units.windows(2).filter_map(move |pair| {
        let (TermMatch::Stems(first), TermMatch::Stems(second)) =
            (&pair[0].itself, &pair[1].itself)
        else {
            return None;
        };
        let row = row(fields.text, &[first.as_slice(), second].concat());
        Some(Box::new(BoostQuery::new(row, weight)) as Box<dyn Query>)
    })
}

/// `bag 31`, the longest label that is in use.
fn bag(asked: &[QueryTerm], at: usize, is_bag: impl Fn(&str) -> bool) -> Option<RequiredTerm> {
    if !matches!(&asked[at], QueryTerm::Word(word) if stem(&word.shown) == "bag") {
        return None;
    }
    let most = LONGEST_LABEL.min(asked.len() - at - 1);
    (1..=most).rev().find_map(|count| {
        let of = at..at + 1 + count;
        let words: Vec<_> = asked[at + 1..of.end].iter().map(label).collect();
        let label = fold(&words.join(" "));
        is_bag(&label).then(|| RequiredTerm {
            shown: vec![format!("bag {label}")],
            of,
            itself: TermMatch::Bag(label),
            instead: Vec::new(),
            instead_weight: SYNONYM,
            everyday: Vec::new(),
        })
    })
}

/// What the handbook knows the words at the beginning by, and how many things asked
/// for that is.
fn known_name(asked: &[QueryTerm], form: QuestionForm) -> Option<(ShopWordMatch, usize)> {
    let mut stems = Vec::new();
    // How many stems there are up to each thing asked.
    let mut ends = Vec::new();
    for asked in asked {
        if matches!(asked, QueryTerm::Phrase { .. }) {
            break;
        }
        stems.extend(stems_of(asked));
        ends.push(stems.len());
    }
    let known = shop_words::synonyms(&stems, form)?;
    let count = ends.iter().position(|&end| end == known.length)? + 1;
    Some((known, count))
}

/// How many of the words at the beginning are one name that the handbook knows.
pub(super) fn words_of_name(asked: &[QueryTerm], form: QuestionForm) -> Option<usize> {
    known_name(asked, form).map(|(_, count)| count)
}

/// The words from `at` on that the handbook knows by other names, if any.
fn called_otherwise(asked: &[QueryTerm], at: usize, form: QuestionForm) -> Option<RequiredTerm> {
    let (known, count) = known_name(&asked[at..], form)?;
    let of = at..at + count;
    let itself = match &asked[of.clone()] {
        [only] => wanted(only),
        several if known.is_phrase => TermMatch::Stems(several.iter().flat_map(stems_of).collect()),
        several => TermMatch::All(several.iter().map(wanted).collect()),
    };
    Some(RequiredTerm {
        shown: asked[of.clone()].iter().map(shown).collect(),
        of,
        itself,
        instead: known.others,
        instead_weight: SYNONYM,
        everyday: known.everyday,
    })
}

/// The stems of a word's pieces, or of a phrase's words.
fn stems_of(asked: &QueryTerm) -> Vec<String> {
    let (QueryTerm::Word(QueryWord { pieces: words, .. }) | QueryTerm::Phrase { words, .. }) =
        asked;
    words.iter().map(|word| stem(word)).collect()
}

fn wanted(asked: &QueryTerm) -> TermMatch {
    match asked {
        QueryTerm::Word(word) => itself(word),
        QueryTerm::Phrase { words, .. } => TermMatch::Exactly(words.clone()),
    }
}

/// The word as a whole or its pieces in a row.
pub(super) fn itself(word: &QueryWord) -> TermMatch {
    let pieces = TermMatch::Stems(word.pieces.iter().map(|piece| stem(piece)).collect());
    if word.wholes.is_empty() {
        return pieces;
    }
    let wholes = word
        .wholes
        .iter()
        .map(|whole| TermMatch::Stems(vec![stem(whole)]));
    TermMatch::Any(wholes.chain([pieces]).collect())
}

fn shown(asked: &QueryTerm) -> String {
    match asked {
        QueryTerm::Word(word) => word.shown.clone(),
        QueryTerm::Phrase { shown, .. } => format!("\"{shown}\""),
    }
}

fn label(asked: &QueryTerm) -> &str {
    match asked {
        QueryTerm::Word(QueryWord { shown, .. }) | QueryTerm::Phrase { shown, .. } => shown,
    }
}

impl RequiredTerm {
    /// The engine's query: the best of the thing itself and its other names.
    pub(super) fn query(&self, fields: &IndexFields) -> Box<dyn Query> {
        self.best_of(self.itself.query(fields), fields)
    }

    /// The same, when any word of several will do.
    pub(super) fn loose_query(&self, fields: &IndexFields) -> Box<dyn Query> {
        let TermMatch::All(several) = &self.itself else {
            return self.query(fields);
        };
        let any = several.iter().map(|one| (Occur::Should, one.query(fields)));
        self.best_of(Box::new(BooleanQuery::new(any.collect())), fields)
    }

    fn best_of(&self, itself: Box<dyn Query>, fields: &IndexFields) -> Box<dyn Query> {
        if self.instead.is_empty() {
            return itself;
        }
        let mut best = vec![itself];
        for stems in &self.instead {
            // A phrase scores the sum of its words, and is still one thing.
            let weight = self.instead_weight / stems.len() as f32;
            let query = in_a_row(stems, fields);
            best.push(Box::new(BoostQuery::new(query, weight)));
        }
        Box::new(DisjunctionMaxQuery::new(best))
    }

    /// The single stems that stand for another, with the stems of that other:
    /// the rarer word must not win because it is rare.
    pub(super) fn stand_ins(&self) -> impl Iterator<Item = (&str, &[String])> {
        let own = match &self.itself {
            TermMatch::Stems(stems) => stems.as_slice(),
            TermMatch::Exactly(_) | TermMatch::Any(_) | TermMatch::All(_) | TermMatch::Bag(_) => {
                &[]
            }
        };
        self.instead
            .iter()
            .filter_map(move |stems| match stems.as_slice() {
                [only] => Some((only.as_str(), own)),
                _ => None,
            })
    }
}

impl TermMatch {
    /// The engine's query.
    pub(super) fn query(&self, fields: &IndexFields) -> Box<dyn Query> {
        let each = |all: &[Self]| -> Vec<_> { all.iter().map(|one| one.query(fields)).collect() };
        match self {
            Self::Stems(stems) => in_a_row(stems, fields),
            Self::Exactly(words) => row(fields.plain, words),
            Self::Any(any) => Box::new(DisjunctionMaxQuery::new(each(any))),
            Self::All(all) => {
                let all = each(all).into_iter().map(|query| (Occur::Must, query));
                Box::new(BooleanQuery::new(all.collect()))
            }
            Self::Bag(label) => {
                let term = TermQuery::new(
                    fields.mark(DocumentMark::Bag, label),
                    IndexRecordOption::Basic,
                );
                Box::new(ConstScoreQuery::new(Box::new(term), 1.0))
            }
        }
    }
}

/// Stems in a row, in the text and, for a little more, in the part's name.
fn in_a_row(stems: &[String], fields: &IndexFields) -> Box<dyn Query> {
    let heading = BoostQuery::new(row(fields.heading, stems), HEADING);
    Box::new(BooleanQuery::new(vec![
        (Occur::Should, row(fields.text, stems)),
        (Occur::Should, Box::new(heading)),
    ]))
}

fn row(field: Field, words: &[String]) -> Box<dyn Query> {
    let mut terms: Vec<Term> = words
        .iter()
        .map(|word| IndexFields::term(field, word))
        .collect();
    if terms.len() == 1 {
        return Box::new(TermQuery::new(
            terms.swap_remove(0),
            IndexRecordOption::WithFreqs,
        ));
    }
    Box::new(PhraseQuery::new(terms))
}
