//! Chapters of moments: an entry each, short ones together.

use std::collections::BTreeSet;

use jiff::civil::Date;

use super::compose::{ComposeContext, photos};
use super::draft::{Chapter, ChapterRole, DraftParagraph, Line, StatementOrigin};
use super::moments::{Moment, Voice};
use super::source::RecapSource;
use crate::vocabulary::spoken::{capitalised, in_full, later, listed, said_part};
use crate::vocabulary::words::fold;

/// The chapters of a draft while they are made.
pub struct Chapters<'d> {
    base: &'d ComposeContext<'d>,
    /// The sources of all that is told.
    told: &'d BTreeSet<usize>,
    /// The entries of which was said what came off.
    counted: BTreeSet<&'d str>,
}

impl<'d> Chapters<'d> {
    pub fn new(base: &'d ComposeContext<'d>, told: &'d BTreeSet<usize>) -> Chapters<'d> {
        Chapters {
            base,
            told,
            counted: BTreeSet::new(),
        }
    }

    fn source(&self, moment: usize) -> &'d RecapSource<'d> {
        self.base.material.source(moment)
    }

    fn words(&self, moments: &[usize]) -> usize {
        let words = moments.iter().map(|one| self.base.moment(*one).words);
        words.sum()
    }

    /// The chapters of the work, under the title of the entry that says most.
    pub fn work(&mut self, moments: &[usize]) -> Vec<Chapter> {
        let entry = |moment: usize| &self.source(moment).when.entry;
        let mut groups: Vec<Vec<&[usize]>> = Vec::new();
        for run in moments.chunk_by(|one, other| entry(*one) == entry(*other)) {
            let is_short =
                |group: &&mut Vec<&[usize]>| self.words(&group.concat()) < self.base.least;
            match groups.last_mut().filter(is_short) {
                Some(last) => last.push(run),
                None => groups.push(vec![run]),
            }
        }
        let mut chapters: Vec<Chapter> = Vec::new();
        for group in groups {
            let moments = group.concat();
            let mut chapter = self.chapter(ChapterRole::Work, &moments);
            // The first of two that say as much.
            let most = group.iter().rev().max_by_key(|run| self.words(run));
            chapter.title = most.map(|run| self.title(run[0])).unwrap_or_default();
            if chapters.iter().any(|other| other.title == chapter.title) {
                let day = self.source(moments[0]).when.date;
                chapter.title = format!("{}, {}", chapter.title, in_full(day));
            }
            chapters.push(chapter);
        }
        chapters
    }

    /// What happens in the moments of one entry that begin with this one: its title, or
    /// what became of the part, or the first words.
    fn title(&self, first: usize) -> String {
        let source = self.source(first);
        if let Some(title) = source.title {
            return title.to_owned();
        }
        let Some(record) = source.record else {
            let text = self.base.moment(first).text();
            let words: Vec<&str> = text.split_whitespace().take(TITLE).collect();
            let words = words.join(" ");
            return words.trim_end_matches(['.', ',', ';', ':']).to_owned();
        };
        let status = record
            .status()
            .map(|(status, _)| format!(", {}", status.word()));
        source.about() + &status.unwrap_or_default()
    }

    /// A chapter of moments in this order, then what else came off on their evenings.
    pub fn chapter(&mut self, part: ChapterRole, moments: &[usize]) -> Chapter {
        let mut paragraphs: Vec<DraftParagraph> = Vec::new();
        let mut before: Option<usize> = None;
        let mut heard: BTreeSet<String> = BTreeSet::new();
        for index in moments {
            let (moment, source) = (self.base.moment(*index), self.source(*index));
            let mut lines = self.base.lines(*index);
            // Twelve teeth replaced are told as one.
            let is_long = moment.voice == Voice::Prose && !is_note(moment);
            lines.retain(|line| is_long || heard.insert(fold(&line.text)));
            if lines.is_empty() {
                continue;
            }
            let is_same = before.is_some_and(|last| self.base.moment(last).source == moment.source);
            let goes_on = before.is_some_and(|last| self.goes_on(last, *index));
            match paragraphs.last_mut().filter(|_| goes_on) {
                Some(last) => last.lines.extend(lines),
                None => {
                    let day = before.map(|last| self.source(last).when.date);
                    paragraphs.push(DraftParagraph {
                        lead: lead(source, day).filter(|_| !is_same),
                        lines,
                        is_item: false,
                    });
                }
            }
            before = Some(*index);
        }
        for moment in moments {
            paragraphs.extend(self.came_off(*moment));
        }
        let sources = moments.iter().map(|one| self.base.moment(*one).source);
        let sources: BTreeSet<usize> = sources.collect();
        let sources = sources
            .iter()
            .map(|source| &self.base.material.sources[*source]);
        Chapter {
            photos: sources.flat_map(photos).collect(),
            ..Chapter::new(part, paragraphs)
        }
    }

    /// Whether a moment stands in one paragraph with the one before it: of the same
    /// source, or both are notes of one day.
    fn goes_on(&self, before: usize, index: usize) -> bool {
        let (moment, other) = (self.base.moment(index), self.base.moment(before));
        let (source, last) = (self.source(index), self.source(before));
        if moment.source == other.source
            && (before + 1 == index && moment.goes_on || other.voice != Voice::Prose)
        {
            return true;
        }
        let is_note = |moment, source: &RecapSource<'_>| is_note(moment) && source.is_session();
        last.when.date == source.when.date && is_note(moment, source) && is_note(other, last)
    }

    /// The parts that came off on the evening of a moment and of which nothing else is
    /// told, in one sentence; once for each entry.
    fn came_off(&mut self, moment: usize) -> Option<DraftParagraph> {
        let when = &self.source(moment).when;
        if !self.counted.insert(&when.entry) {
            return None;
        }
        let material = self.base.material;
        let untold = material
            .of_entry(&when.entry)
            .filter(|index| !self.told.contains(index));
        let untold = untold.map(|index| &material.sources[index]);
        let off: Vec<&RecapSource> = untold.filter(|source| source.came_off()).collect();
        let names = off
            .iter()
            .map(|source| said_part(source.name(), source.at()));
        let mut names: Vec<String> = names.collect();
        if names.len() > MANY + 1 {
            names.splice(MANY.., [format!("{} more", off.len() - MANY)]);
        }
        let text = format!("{} parts came off: {}.", off.len(), listed(&names));
        let origin = StatementOrigin::Counted {
            entry: when.entry.clone(),
            line: off.iter().map(|source| source.when.line).min()?,
            date: when.date,
        };
        let why = "counted in the records of this entry";
        (off.len() >= MANY).then(|| DraftParagraph::of(Line::new(&text, origin, why)))
    }
}

/// Whether a moment is short: several of a day are said in one breath.
fn is_note(moment: &Moment) -> bool {
    moment.words < NOTE
}

/// A note has fewer words than this.
const NOTE: usize = 20;

/// Fewest parts that are told as a stripping, and how many of them are named.
const MANY: usize = 3;

/// Words of a chapter's title where the entry has none.
const TITLE: usize = 6;

/// "April 2025, the left front hub"; `None` where nothing new is to be said.
fn lead(source: &RecapSource<'_>, before: Option<Date>) -> Option<String> {
    let when = later(before, source.when.date);
    let what = (!source.is_session()).then(|| said_part(source.name(), source.at()));
    match (when, what) {
        (Some(when), Some(what)) => Some(format!("{when}, {what}")),
        (when, what) => when.or(what.map(|what| capitalised(&what))),
    }
}
