//! Everything of a vehicle that could be told: its records with their prose
//! and the facts that are sentences, cut into moments.
//!
//! A moment is a few sentences that make sense on their own, or only after the
//! one before. How much any of it is worth is said in `weigh`.

use std::collections::BTreeMap;

use jiff::civil::Date;

use super::leaning::{begin_alike, is_label, leans};
use super::sentences::{sentences, spoken_words};
use super::speech::full_stop;
use crate::entry::{Context, Entry, Fact, Passage, Record, Stated, paragraphs};
use crate::ledger::{Ledger, When, file_number, key};
use crate::reports::whole;
use crate::vocabulary::hours::Minutes;
use crate::vocabulary::position::{Position, places};
use crate::vocabulary::record_name::SESSION;

/// What one entry says about one part, or apart from its parts.
#[derive(Clone, Debug)]
pub struct Source {
    /// When, and where it stands.
    pub when: When,
    /// The entry's title.
    pub title: Option<String>,
    /// The part as an episode names it, or [`SESSION`].
    pub label: String,
    /// The part's name, empty for the entry's own words.
    pub name: String,
    /// Its places.
    pub at: Vec<Position>,
    /// Its system: what the ledger knows, or that of most of its entry.
    pub system: Option<String>,
    /// The facts of the record, or of the entry as a whole.
    pub facts: Vec<Fact>,
    /// The hours of its entry.
    pub minutes: Minutes,
    /// Who helped.
    pub helpers: Vec<String>,
}

impl Source {
    /// Whether these are the entry's own words.
    #[must_use]
    pub fn is_session(&self) -> bool {
        self.label == SESSION
    }
}

/// In whose words a moment is, and what it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Voice {
    /// Prose.
    Prose,
    /// A condition as found.
    Found,
    /// Work done.
    Done,
    /// Something found out.
    Answer,
    /// What to do differently.
    Lesson,
    /// What can hurt someone.
    Caution,
}

/// One sentence, or one fact that is a sentence.
#[derive(Clone, Debug)]
pub struct Sentence {
    /// As the person wrote it, without Markdown's marks, in one line.
    pub text: String,
    /// Its line in the entry.
    pub line: u32,
}

/// A few sentences that stand together.
#[derive(Clone, Debug)]
pub struct Moment {
    /// Where it comes from: an index into [`Material::sources`].
    pub source: usize,
    /// Its kind.
    pub voice: Voice,
    /// The sentences.
    pub sentences: Vec<Sentence>,
    /// Whether it makes no sense without the moment before it.
    pub leans: bool,
    /// Whether it goes on with a story, which begins at its beginning.
    pub goes_on: bool,
    /// Whether it begins a paragraph.
    pub fresh: bool,
    /// Which passage of the texts it is from: they are counted through.
    pub passage: usize,
}

impl Moment {
    /// How many words it takes to say.
    #[must_use]
    pub fn words(&self) -> usize {
        self.sentences
            .iter()
            .map(|one| spoken_words(&one.text))
            .sum()
    }
}

/// What there is of one vehicle.
#[derive(Clone, Debug, Default)]
pub struct Material {
    /// Records and entries, in the order of the work.
    pub sources: Vec<Source>,
    /// Moments, in the order of the work and of the text.
    pub moments: Vec<Moment>,
    /// How many passages there are so far.
    pub(super) passages: usize,
}

/// A title that so many entries have says nothing of any.
const COMMON: usize = 3;

/// Collects all that these entries say of a vehicle. What has no day counts
/// for nothing, here as everywhere.
#[must_use]
pub fn material(vehicle: &str, entries: &[Entry], ledger: &Ledger, context: &Context) -> Material {
    let mut ordered: Vec<(When, &Entry)> = entries
        .iter()
        .filter_map(|entry| Some((when(entry, entry.date?, 0), entry)))
        .collect();
    ordered.sort_by(|a, b| a.0.cmp(&b.0));
    let mut titles: BTreeMap<&str, usize> = BTreeMap::new();
    for title in entries.iter().filter_map(|entry| entry.title.as_deref()) {
        *titles.entry(title).or_default() += 1;
    }
    let mut material = Material::default();
    for (when, entry) in ordered {
        let title = entry.title.clone();
        let own = title.filter(|title| {
            titles
                .get(title.as_str())
                .is_some_and(|count| *count < COMMON)
        });
        material.add_entry(vehicle, &when, own, entry, (ledger, context));
    }
    material
}

fn when(entry: &Entry, date: Date, line: u32) -> When {
    When {
        date,
        time: entry.time,
        number: file_number(&entry.path),
        entry: entry.path.clone(),
        line,
    }
}

impl Material {
    fn add_entry(
        &mut self,
        vehicle: &str,
        when: &When,
        title: Option<String>,
        entry: &Entry,
        known: (&Ledger, &Context),
    ) {
        let own: Vec<&Record> = entry
            .records
            .iter()
            .filter(|record| record.vehicle.as_deref() == Some(vehicle))
            .collect();
        let systems: Vec<Option<String>> = own
            .iter()
            .map(|record| system_of(record, vehicle, known))
            .collect();
        let session = Source {
            when: when.clone(),
            title,
            label: SESSION.to_owned(),
            name: String::new(),
            at: Vec::new(),
            system: main_system(&systems),
            facts: entry
                .facts
                .iter()
                .map(|stated| stated.fact.clone())
                .collect(),
            minutes: minutes_of(entry),
            helpers: entry.helpers.clone(),
        };
        if entry.vehicle.as_deref() == Some(vehicle) {
            self.add_facts(entry.facts.iter());
            self.add_source(session.clone(), entry, &entry.prose);
        }
        for (record, system) in own.into_iter().zip(systems) {
            // The parts of a short form share their passage; the first has it.
            let passages: &[Passage] = match record.short {
                Some((part, _)) if part > 0 => &[],
                Some(_) | None => std::slice::from_ref(&record.passage),
            };
            let source = Source {
                when: When {
                    date: record.date.unwrap_or(when.date),
                    line: record.spot.line,
                    ..when.clone()
                },
                label: record.label(),
                name: record.name.written().to_owned(),
                at: record.at.clone(),
                system,
                facts: record
                    .facts
                    .iter()
                    .map(|stated| stated.fact.clone())
                    .collect(),
                ..session.clone()
            };
            self.add_record(source, entry, record, passages);
        }
    }

    fn add_record(&mut self, source: Source, entry: &Entry, record: &Record, passages: &[Passage]) {
        let own = record.facts.iter().filter(|stated| !stated.inherited);
        self.add_facts(own);
        self.add_source(source, entry, passages);
    }

    /// The facts that are sentences, of the source that comes next. What was
    /// found comes last: prose often speaks of it.
    fn add_facts<'e>(&mut self, facts: impl Iterator<Item = &'e Stated>) {
        let source = self.sources.len();
        let mut moments: Vec<Moment> = facts
            .filter_map(|stated| {
                let (voice, text) = sentence_of(&stated.fact)?;
                Some(Moment {
                    source,
                    voice,
                    sentences: vec![Sentence {
                        text: text.split_whitespace().collect::<Vec<_>>().join(" "),
                        line: stated.spot.line,
                    }],
                    leans: false,
                    goes_on: false,
                    fresh: true,
                    passage: self.passages,
                })
            })
            .collect();
        moments.sort_by_key(|moment| moment.voice == Voice::Found);
        self.moments.extend(moments);
    }

    fn add_source(&mut self, source: Source, entry: &Entry, passages: &[Passage]) {
        let at = self.sources.len();
        self.sources.push(source);
        for passage in passages {
            let range =
                passage.prose.clamp(passage.bytes.start, passage.bytes.end)..passage.bytes.end;
            let first = self.moments.len();
            self.passages += 1;
            for paragraph in paragraphs(&entry.text, range) {
                let lines = sentences(&paragraph.text)
                    .into_iter()
                    .map(|(start, text)| Sentence {
                        text: text.split_whitespace().collect::<Vec<_>>().join(" "),
                        line: line_at(&entry.text, paragraph.origin(start)),
                    });
                self.add_paragraph(at, first, lines.collect());
            }
            let after_found = first.checked_sub(1).is_some_and(|before| {
                let before = &self.moments[before];
                before.source == at && before.voice == Voice::Found
            });
            if let Some(moment) = self.moments.get_mut(first).filter(|_| !after_found) {
                moment.leans = false;
            }
        }
    }

    /// Cuts a paragraph into moments; those of its passage begin at `first`.
    fn add_paragraph(&mut self, source: usize, first: usize, lines: Vec<Sentence>) {
        if lines.iter().all(|line| is_label(&line.text)) {
            return;
        }
        // A paragraph of a few words is the end of the one above it.
        let is_end = self.moments.len() > first
            && lines
                .iter()
                .map(|one| spoken_words(&one.text))
                .sum::<usize>()
                < ENDING
            && lines.iter().all(|one| full_stop(&one.text).is_empty());
        // A short paragraph is told whole or not at all.
        let all: usize = lines.iter().map(|one| spoken_words(&one.text)).sum();
        let enough = if all <= TOO_MUCH { TOO_MUCH } else { ENOUGH };
        let mut fresh = !is_end;
        // A record speaks of its part, wherever one comes in; what an entry tells
        // apart from its parts is a story, which begins at its beginning.
        let is_later = self.sources[source].is_session() && self.moments.len() > first;
        for sentence in lines {
            let goes_on = self.moments.last().filter(|_| !fresh).is_some_and(|last| {
                last.sentences
                    .last()
                    .is_some_and(|last| begin_alike(&last.text, &sentence.text))
            });
            let leans = goes_on || leans(&sentence.text);
            if let Some(last) = self.moments.last_mut().filter(|_| !fresh)
                && (leans || is_end || last.words() < enough)
                && last.words() < TOO_MUCH
            {
                last.sentences.push(sentence);
                continue;
            }
            self.moments.push(Moment {
                source,
                voice: Voice::Prose,
                sentences: vec![sentence],
                // The middle of a paragraph wants its beginning.
                leans: leans || !fresh,
                goes_on: is_later,
                fresh,
                passage: self.passages,
            });
            fresh = false;
        }
    }
}

/// A moment shorter than this many words takes the next sentence as well.
const ENOUGH: usize = 45;

/// A paragraph shorter than this is no moment of its own.
const ENDING: usize = 12;

/// A moment longer than this takes no further sentence.
const TOO_MUCH: usize = 100;

/// The words of a fact that is a sentence.
fn sentence_of(fact: &Fact) -> Option<(Voice, &str)> {
    if let Fact::Found(text) = fact {
        Some((Voice::Found, text))
    } else if let Fact::Done(text) = fact {
        Some((Voice::Done, text))
    } else if let Fact::Answer(text) = fact {
        Some((Voice::Answer, text))
    } else if let Fact::Lesson(text) = fact {
        Some((Voice::Lesson, text))
    } else if let Fact::Caution(text) = fact {
        Some((Voice::Caution, text))
    } else {
        None
    }
}

/// The system of a record's part, as the whole journal knows it.
fn system_of(
    record: &Record,
    vehicle: &str,
    (ledger, context): (&Ledger, &Context),
) -> Option<String> {
    let places = places(&record.at);
    places
        .iter()
        .find_map(|at| {
            let place = key(vehicle, &record.name, at, &ledger.aliases);
            whole::system_of(ledger.places.get(&place)?, context)
        })
        .or_else(|| record.system.as_ref().map(|(system, _)| system.clone()))
}

/// The system of more than half of the records, if there is one.
fn main_system(systems: &[Option<String>]) -> Option<String> {
    let mut counts: BTreeMap<&str, usize> = BTreeMap::new();
    for system in systems.iter().flatten() {
        *counts.entry(system).or_default() += 1;
    }
    counts
        .into_iter()
        .find(|(_, count)| count * 2 > systems.len())
        .map(|(system, _)| system.to_owned())
}

fn minutes_of(entry: &Entry) -> Minutes {
    entry.facts.iter().fold(Minutes::default(), |sum, stated| {
        if let Fact::Hours(minutes) = stated.fact {
            sum.plus(minutes)
        } else {
            sum
        }
    })
}

fn line_at(text: &str, byte: usize) -> u32 {
    let before = text.as_bytes().get(..byte).unwrap_or_default();
    let lines = before.iter().filter(|byte| **byte == b'\n').count();
    u32::try_from(lines + 1).unwrap_or(u32::MAX)
}
