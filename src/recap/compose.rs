//! Chosen moments in the order in which they are told: an opening, what this is
//! about, chapters of the work, lessons, cautions, numbers, what comes next, and the
//! latest turn of the work.
//!
//! The sentences stay as they were written. What is chosen is decided in `choose`;
//! figures come from `frame`.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;

use super::choose::MomentSelection;
use super::draft::{
    Chapter, ChapterRole, DraftParagraph, EpisodeDraft, Line, Photo, StatementOrigin,
};
use super::frame::Frame;
use super::material::{Material, RecapSource};
use super::moments::{Moment, Sentence, Voice};
use super::people::{Introduction, appearing, says};
use super::ranking::Ranking;
use crate::entry::{Entry, Fact};
use crate::reports::cautions::Raised;
use crate::vocabulary::spoken::{capitalised, full_stop, later, months, said_part};
use crate::vocabulary::words::fold;

/// All that a draft is made of, but for the choice.
pub struct ComposeContext<'d> {
    /// What there is.
    pub material: &'d Material,
    /// What it promises.
    pub ranking: &'d Ranking,
    /// For each moment those it needs.
    pub needs: &'d [Vec<usize>],
    /// The entries by their path.
    pub entries: &'d BTreeMap<&'d str, &'d Entry>,
    /// The hazards of the sources that were asked for.
    pub hazards: RefCell<BTreeMap<usize, Vec<Raised>>>,
    /// Figures and what comes next.
    pub frame: Frame,
    /// Where those who helped are brought in.
    pub people: &'d BTreeMap<&'d str, Introduction>,
    /// Whether the person put the moments in order: then nothing is moved.
    pub is_ordered: bool,
    /// Minimum length of a chapter, in words.
    pub least: usize,
}

/// Writes the draft of these moments.
#[must_use]
pub fn compose(desk: &ComposeContext<'_>, chosen: &MomentSelection) -> EpisodeDraft {
    let ComposeContext {
        material, frame, ..
    } = desk;
    let all: BTreeSet<usize> = chosen.moments.iter().copied().collect();
    let is_lesson = |moment: &usize| desk.moment(*moment).voice == Voice::Lesson;
    let opening = desk.opening(&chosen.moments);
    let closing = desk.closing(&chosen.moments, opening);
    let work: Vec<usize> = chosen
        .moments
        .iter()
        .copied()
        .filter(|one| !is_lesson(one) && Some(*one) != opening && Some(*one) != closing)
        .collect();
    let lessons: Vec<usize> = chosen.moments.iter().copied().filter(is_lesson).collect();
    let one = |moment: Option<usize>| moment.into_iter().collect::<Vec<usize>>();

    let is_apart = |moment: &usize| {
        let entry = |one: usize| &desk.source(one).when.entry;
        !work.iter().any(|other| entry(*other) == entry(*moment))
    };
    let came_off = |moment: Option<usize>| {
        let apart = moment.filter(is_apart)?;
        desk.came_off(&[apart])
    };
    let mut first = desk.chapter(
        ChapterRole::Opening,
        ChapterRole::Opening.title(),
        &one(opening),
        chosen.cut,
    );
    first.paragraphs.extend(came_off(opening));
    let mut chapters = vec![first];
    let mut about = frame.chapter(ChapterRole::About, &frame.about);
    about.paragraphs.extend(desk.cast(&all));
    chapters.push(about);
    chapters.extend(desk.work(&work, chosen.cut));
    chapters.push(desk.lessons(&lessons));
    chapters.push(desk.cautions(&all));
    chapters.push(frame.chapter(ChapterRole::Numbers, &frame.numbers));
    let mut next = frame.chapter(ChapterRole::Next, &frame.next);
    let last = desk.chapter(ChapterRole::Next, "", &one(closing), chosen.cut);
    next.paragraphs.extend(last.paragraphs);
    next.paragraphs.extend(came_off(closing));
    next.photos = last.photos;
    chapters.push(next);
    chapters.retain(|chapter| !chapter.paragraphs.is_empty());
    let mut shown: BTreeSet<String> = BTreeSet::new();
    for chapter in &mut chapters {
        let photos = &mut chapter.photos;
        photos.retain(|photo| shown.insert(photo.path.clone()));
    }

    let sources: BTreeSet<usize> = all.iter().map(|one| desk.moment(*one).source).collect();
    let first = opening.or_else(|| work.first().copied());
    let title = first.and_then(|moment| desk.source(moment).title.clone());
    let told = || sources.iter().map(|source| &material.sources[*source]);
    EpisodeDraft {
        title: title.unwrap_or_else(|| match frame.days {
            Some(days) => format!("{}, {}", frame.vehicle_name, months(days)),
            None => frame.vehicle_name.clone(),
        }),
        vehicle: frame.vehicle.clone(),
        vehicle_name: frame.vehicle_name.clone(),
        days: frame.days,
        chapters,
        told: told().map(RecapSource::record_name).collect(),
        parts: parts(told()),
        people: appearing(material, &all),
        notes: BTreeMap::new(),
        pace: frame.pace,
    }
}

impl ComposeContext<'_> {
    pub(super) fn moment(&self, moment: usize) -> &Moment {
        &self.material.moments[moment]
    }

    pub(super) fn source(&self, moment: usize) -> &RecapSource {
        &self.material.sources[self.moment(moment).source]
    }

    /// What opens the draft: the most promising paragraph that begins what its record
    /// says and needs no other.
    fn opening(&self, told: &[usize]) -> Option<usize> {
        let is_fit = |moment: &&usize| {
            let own = self.moment(**moment);
            own.voice == Voice::Prose && own.opens && self.needs[**moment].is_empty()
        };
        let fit = told.iter().filter(is_fit).copied();
        fit.min_by_key(|moment| self.ranking.rank[*moment])
            .filter(|_| !self.is_ordered)
    }

    /// The latest turn of the work, which ends the draft: the last paragraph told.
    fn closing(&self, told: &[usize], opening: Option<usize>) -> Option<usize> {
        let mut prose = told
            .iter()
            .copied()
            .filter(|one| self.moment(*one).voice == Voice::Prose && Some(*one) != opening);
        let last = prose.next_back();
        // A draft of two paragraphs has no end beside them.
        prose.next().and(last)
    }

    /// Who is in what is told, by the sentences that bring them in, unless those are
    /// told themselves.
    fn cast(&self, told: &BTreeSet<usize>) -> Option<DraftParagraph> {
        let mut lines: Vec<(Introduction, Line)> = Vec::new();
        for (name, brought_in) in self.people {
            let Introduction { moment, sentence } = *brought_in;
            let mut later = told.iter().filter(|told| **told > moment);
            let names = |one: &Sentence| says(one, name);
            let is_named = later.any(|told| self.moment(*told).sentences.iter().any(names));
            if is_named && !told.contains(&moment) {
                let line = self.lines(moment, None).swap_remove(sentence);
                let why = "brings in someone who is named".to_owned();
                lines.push((*brought_in, Line { why, ..line }));
            }
        }
        lines.sort_by_key(|(brought_in, _)| (brought_in.moment, brought_in.sentence));
        lines.dedup_by_key(|(brought_in, _)| *brought_in);
        (!lines.is_empty()).then(|| DraftParagraph {
            lead: Some("Who is in it".to_owned()),
            lines: lines.into_iter().map(|(_, line)| line).collect(),
            is_item: false,
        })
    }

    /// Chapters of the work: an entry each, short ones together, under the title of
    /// the one that says most.
    fn work(&self, moments: &[usize], cut: Option<(usize, usize)>) -> Vec<Chapter> {
        let entry = |moment: usize| self.source(moment).when.entry.as_str();
        let runs = moments.chunk_by(|one, other| entry(*one) == entry(*other));
        let words =
            |run: &[usize]| -> usize { run.iter().map(|one| self.moment(*one).words).sum() };
        let mut kept: Vec<Vec<&[usize]>> = Vec::new();
        for run in runs {
            let is_short = |group: &Vec<&[usize]>| {
                group.iter().map(|run| words(run)).sum::<usize>() < self.least
            };
            match kept.last_mut() {
                Some(last) if is_short(last) => last.push(run),
                Some(_) | None => kept.push(vec![run]),
            }
        }
        let mut chapters: Vec<Chapter> = Vec::new();
        for group in kept {
            // The first of two that say as much.
            let most = group.iter().rev().max_by_key(|run| words(run));
            let title = most.map(|run| self.title(run)).unwrap_or_default();
            let members = group.concat();
            let mut chapter = self.chapter(ChapterRole::Work, &title, &members, cut);
            for run in &group {
                chapter.paragraphs.extend(self.came_off(run));
            }
            if chapters.iter().any(|other| other.title == chapter.title) {
                let day = self.source(members[0]).when.date;
                chapter.title = format!("{title}, {}", crate::vocabulary::spoken::in_full(day));
            }
            chapters.push(chapter);
        }
        chapters
    }

    /// What happens in these moments of one entry: its title, or what became of the
    /// part, or the first words.
    fn title(&self, moments: &[usize]) -> String {
        let first = self.source(moments[0]);
        if let Some(title) = &first.title {
            return title.clone();
        }
        if !first.is_session() {
            let part = about(first);
            let status = first.facts.iter().find_map(|fact| {
                if let Fact::Status(status) = fact {
                    Some(status.word())
                } else {
                    None
                }
            });
            return status.map_or(part.clone(), |status| format!("{part}, {status}"));
        }
        let words = self.moment(moments[0]).text();
        let words: Vec<&str> = words.split_whitespace().take(TITLE).collect();
        let words = words.join(" ");
        words.trim_end_matches(['.', ',', ';', ':']).to_owned()
    }

    /// The parts that came off on the evening of these moments and of which nothing
    /// else is told, in one sentence.
    fn came_off(&self, moments: &[usize]) -> Option<DraftParagraph> {
        let session = self.source(moments[0]);
        let told: BTreeSet<usize> = moments.iter().map(|one| self.moment(*one).source).collect();
        let off: Vec<&RecapSource> = self
            .material
            .of_entry(&session.when.entry)
            .filter(|index| !told.contains(index))
            .map(|index| &self.material.sources[index])
            .filter(|source| source.came_off)
            .collect();
        if off.len() < MANY {
            return None;
        }
        let names: Vec<String> = off
            .iter()
            .map(|source| said_part(&source.name, &source.at))
            .collect();
        let text = if names.len() > MANY + 1 {
            let more = names.len() - MANY;
            format!(
                "{} parts came off: {} and {more} more.",
                off.len(),
                names[..MANY].join(", ")
            )
        } else {
            format!(
                "{} parts came off: {}.",
                off.len(),
                crate::vocabulary::spoken::listed(&names)
            )
        };
        let first = off
            .iter()
            .map(|source| source.when.line)
            .min()
            .unwrap_or_default();
        Some(DraftParagraph {
            lead: None,
            lines: vec![Line {
                before: String::new(),
                text,
                after: "",
                origin: StatementOrigin::Counted {
                    entry: session.when.entry.clone(),
                    line: first,
                    date: session.when.date,
                },
                why: "counted in the records of this entry".to_owned(),
            }],
            is_item: false,
        })
    }

    /// A chapter of moments in this order.
    fn chapter(
        &self,
        part: ChapterRole,
        title: &str,
        moments: &[usize],
        cut: Option<(usize, usize)>,
    ) -> Chapter {
        let mut paragraphs: Vec<DraftParagraph> = Vec::new();
        let mut before: Option<usize> = None;
        let mut day: Option<Date> = None;
        let mut heard: BTreeSet<String> = BTreeSet::new();
        for index in moments {
            let (moment, source) = (self.moment(*index), self.source(*index));
            let mut lines = self.lines(*index, cut);
            // Twelve teeth replaced are told as one.
            lines.retain(|line| {
                moment.voice == Voice::Prose && moment.words >= NOTE
                    || heard.insert(fold(&line.text))
            });
            if lines.is_empty() {
                continue;
            }
            let same = before.is_some_and(|last| self.moment(last).source == moment.source);
            let goes_on = before.is_some_and(|last| {
                let other = self.moment(last);
                let is_note = |one: &Moment| one.words < NOTE;
                same && (before == index.checked_sub(1) && moment.goes_on
                    || other.voice != Voice::Prose)
                    || self.source(last).when.date == source.when.date
                        && self.source(last).is_session()
                        && source.is_session()
                        && is_note(moment)
                        && is_note(other)
            });
            match paragraphs.last_mut().filter(|_| goes_on) {
                Some(last) => last.lines.extend(lines),
                None => paragraphs.push(DraftParagraph {
                    lead: if same { None } else { lead(source, day) },
                    lines,
                    is_item: false,
                }),
            }
            before = Some(*index);
            day = Some(source.when.date);
        }
        let sources: BTreeSet<usize> = moments.iter().map(|one| self.moment(*one).source).collect();
        Chapter {
            part,
            title: title.to_owned(),
            paragraphs,
            written: Vec::new(),
            photos: sources
                .iter()
                .flat_map(|source| photos(&self.material.sources[*source]))
                .collect(),
        }
    }

    /// The sentences of a moment, or its first ones.
    pub(super) fn lines(&self, index: usize, cut: Option<(usize, usize)>) -> Vec<Line> {
        let moment = self.moment(index);
        let source = self.source(index);
        let before = match moment.voice {
            Voice::Prose | Voice::Lesson | Voice::Caution => "",
            Voice::Question => "To find out: ",
            Voice::Answer => "Found out: ",
            Voice::Found => "As found: ",
        };
        let count = cut
            .filter(|(own, _)| *own == index)
            .map_or(usize::MAX, |(_, count)| count);
        let why = match self.ranking.rank[index] {
            0 => String::new(),
            _ => self.ranking.why(index, moment.worth),
        };
        let sentences = moment.sentences.iter().take(count);
        sentences
            .map(|sentence| Line {
                before: before.to_owned(),
                text: sentence.text.clone(),
                after: full_stop(&sentence.text),
                origin: StatementOrigin::Entry {
                    entry: source.when.entry.clone(),
                    line: sentence.line,
                    date: source.when.date,
                },
                why: why.clone(),
            })
            .collect()
    }

    fn lessons(&self, moments: &[usize]) -> Chapter {
        let mut chapter = self.frame.chapter(ChapterRole::Lessons, &[]);
        let items = moments.iter().map(|index| DraftParagraph {
            lead: Some(about(self.source(*index))),
            lines: self.lines(*index, None),
            is_item: true,
        });
        chapter.paragraphs = items.collect();
        chapter
    }
}

/// A note is shorter than this; several of a day are said in one breath.
const NOTE: usize = 20;

/// From so many parts on, what came off is a stripping; as many are named.
const MANY: usize = 3;

/// Words of a chapter's title where the entry has none.
const TITLE: usize = 6;

/// The parts of these sources, each once.
pub(super) fn parts<'s>(sources: impl Iterator<Item = &'s RecapSource>) -> Vec<String> {
    let mut seen = BTreeSet::new();
    sources
        .filter(|source| !source.is_session())
        .map(about)
        .filter(|part| seen.insert(part.clone()))
        .collect()
}

/// What a source is about, in a few words.
pub(super) fn about(source: &RecapSource) -> String {
    if source.is_session() {
        source
            .title
            .clone()
            .unwrap_or_else(|| "The session".to_owned())
    } else {
        capitalised(&said_part(&source.name, &source.at))
    }
}

/// "April 2025, the left front hub"; `None` where nothing new is to be said.
fn lead(source: &RecapSource, before: Option<Date>) -> Option<String> {
    let when = later(before, source.when.date);
    let what = (!source.is_session()).then(|| said_part(&source.name, &source.at));
    match (when, what) {
        (Some(when), Some(what)) => Some(format!("{when}, {what}")),
        (Some(one), None) => Some(one),
        (None, Some(what)) => Some(capitalised(&what)),
        (None, None) => None,
    }
}

pub(super) fn photos(source: &RecapSource) -> impl Iterator<Item = Photo> {
    source.facts.iter().filter_map(|fact| {
        let Fact::Photo(picture) = fact else {
            return None;
        };
        Some(Photo {
            path: picture.path.clone(),
            caption: picture.caption.clone().unwrap_or_else(|| {
                format!(
                    "{}, {}",
                    about(source),
                    crate::vocabulary::spoken::in_full(source.when.date)
                )
            }),
        })
    })
}
