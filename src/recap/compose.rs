//! Chosen moments in the order in which they are told: an opening, the aim,
//! chapters by system, lessons, numbers, cautions, what comes next.
//!
//! The sentences stay as they were written. What is chosen is decided in
//! `choose`; figures come from `frame`.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;

use super::causes::Cause;
use super::draft::{Chapter, Draft, Line, Origin, Paragraph, Part, Photo};
use super::frame::Frame;
use super::groups::{Group, months};
use super::material::{Material, Source};
use super::moments::{Moment, Sentence, Voice};
use super::people::{Introduction, says};
use super::speech::{capitalised, full_stop, later, said_part};
use super::starts::Starts;
use super::titles::pays;
use super::weigh::Worth;
use crate::entry::Fact;
use crate::reports::cautions::Raised;
use crate::vocabulary::words::fold;

/// All that a draft is made of, but for the choice.
pub struct Desk<'d> {
    /// What there is.
    pub material: &'d Material,
    /// What it is worth.
    pub worths: &'d [Worth],
    /// The hazards that each source raises.
    pub hazards: &'d BTreeMap<usize, Vec<Raised>>,
    /// What each lesson was learned from.
    pub causes: &'d BTreeMap<usize, Cause>,
    /// Where each moment begins to make sense.
    pub starts: &'d Starts,
    /// Figures and what comes next.
    pub frame: Frame,
    /// Where those who helped are brought in.
    pub people: &'d BTreeMap<&'d str, Introduction>,
    /// The moment that opens the draft.
    pub opening: Option<usize>,
    /// The moment that says what was set out to do.
    pub aim: Option<usize>,
    /// The moments that have the last word.
    pub closing: Vec<usize>,
}

/// Writes the draft of these moments.
#[must_use]
pub fn compose(desk: &Desk<'_>, chosen: &BTreeSet<usize>) -> Draft {
    let Desk {
        material, frame, ..
    } = desk;
    let mut opening = desk.opened();
    let mut aims = desk.glimpse(desk.aim);
    aims.retain(|moment| !opening.contains(moment));
    let all = desk.with_ends(chosen);
    opening.extend(desk.goes_on(&opening, &all));
    let closing = desk.closed(&all);
    let is_lesson = |moment: &usize| material.moments[*moment].voice == Voice::Lesson;
    let work: Vec<usize> = all
        .iter()
        .copied()
        .filter(|moment| {
            let apart = [&*opening, &*aims, closing];
            !apart.iter().any(|one| one.contains(moment)) && !is_lesson(moment)
        })
        .collect();
    let lessons: Vec<usize> = all.iter().copied().filter(is_lesson).collect();
    let sources: BTreeSet<usize> = all
        .iter()
        .map(|moment| material.moments[*moment].source)
        .collect();

    let mut chapters = Vec::new();
    chapters.push(desk.chapter(Part::Opening, Part::Opening.title(), &opening, true));
    let title = if aims.is_empty() {
        "What this is about"
    } else {
        "The plan"
    };
    let mut aim = desk.chapter(Part::Aim, title, &aims, true);
    aim.paragraphs.splice(0..0, frame.about.clone());
    aim.paragraphs.extend(desk.cast(&all));
    chapters.push(aim);
    chapters.extend(desk.work(&work));
    chapters.push(desk.lessons(&lessons, &all));
    chapters.push(frame.chapter(Part::Numbers, &frame.numbers));
    chapters.push(desk.cautions(&all));
    let mut next = frame.chapter(Part::Next, &frame.next);
    let last = desk.chapter(Part::Next, "", closing, true);
    next.paragraphs.extend(last.paragraphs);
    next.photos = last.photos;
    chapters.push(next);
    chapters.retain(|chapter| !chapter.paragraphs.is_empty());
    let mut shown: BTreeSet<String> = BTreeSet::new();
    for chapter in &mut chapters {
        chapter
            .photos
            .retain(|photo| shown.insert(photo.path.clone()));
    }

    let title = desk
        .opening
        .and_then(|moment| {
            let own = opening.iter().map(|moment| desk.told(*moment));
            let title = desk.source(moment).title.clone()?;
            pays(&title, own).then_some(title)
        })
        .unwrap_or_else(|| match frame.days {
            Some(days) => format!("{}, {}", frame.vehicle_name, months(days)),
            None => frame.vehicle_name.clone(),
        });
    Draft {
        title,
        vehicle: frame.vehicle.clone(),
        vehicle_name: frame.vehicle_name.clone(),
        days: frame.days,
        chapters,
        told: sources
            .iter()
            .map(|source| material.sources[*source].record_name())
            .collect(),
        parts: parts(sources.iter().map(|source| &material.sources[*source])),
        notes: BTreeMap::new(),
        pace: frame.pace,
    }
}

impl Desk<'_> {
    pub(super) fn moment(&self, moment: usize) -> &Moment {
        &self.material.moments[moment]
    }

    pub(super) fn told(&self, moment: usize) -> (&Source, &Moment) {
        (self.source(moment), self.moment(moment))
    }

    pub(super) fn source(&self, moment: usize) -> &Source {
        &self.material.sources[self.moment(moment).source]
    }

    /// A moment with those before it without which it makes no sense.
    fn glimpse(&self, moment: Option<usize>) -> Vec<usize> {
        moment.map_or_else(Vec::new, |moment| {
            (self.starts.glimpse[moment]..=moment).collect()
        })
    }

    /// What opens the draft. "The smell stayed for two days": of what, the sentence
    /// before it says, if it is a short one.
    fn opened(&self) -> Vec<usize> {
        let mut moments = self.glimpse(self.opening);
        let first = moments.first().copied();
        let before = first.and_then(|first| {
            let own = self.moment(first);
            let is_known = |text: &str| fold(text).starts_with("the ");
            let before = first.checked_sub(1).filter(|before| {
                let other = self.moment(*before);
                other.source == own.source
                    && other.passage == own.passage
                    && other.voice == own.voice
                    && other.words() <= SHORT
            });
            before.filter(|_| own.sentences.first().is_some_and(|one| is_known(&one.text)))
        });
        moments.splice(0..0, before);
        moments
    }

    /// Who is in what is told, by the sentences that bring them in, unless those are
    /// told themselves.
    fn cast(&self, told: &BTreeSet<usize>) -> Option<Paragraph> {
        let mut lines: Vec<(Introduction, Line)> = Vec::new();
        for (name, brought_in) in self.people {
            let Introduction { moment, sentence } = *brought_in;
            let mut later = told.iter().filter(|told| **told > moment);
            let names = |one: &Sentence| says(one, name);
            let is_named = later.any(|told| self.moment(*told).sentences.iter().any(names));
            if is_named && !told.contains(&moment) {
                let line = self.lines(moment).swap_remove(sentence);
                let why = "brings in someone who is named".to_owned();
                lines.push((*brought_in, Line { why, ..line }));
            }
        }
        lines.sort_by_key(|(brought_in, _)| (brought_in.moment, brought_in.sentence));
        lines.dedup_by_key(|(brought_in, _)| *brought_in);
        (!lines.is_empty()).then(|| Paragraph {
            lead: Some("Who is in it".to_owned()),
            lines: lines.into_iter().map(|(_, line)| line).collect(),
            is_item: false,
        })
    }

    /// What has the last word, unless more of that evening is told: then it stays where
    /// it was written, before its parts only the last paragraph does not.
    fn closed(&self, told: &BTreeSet<usize>) -> &[usize] {
        let Some(last) = self.closing.last() else {
            return &[];
        };
        let source = self.source(*last);
        let others = || told.iter().filter(|other| !self.closing.contains(other));
        let is_same = |other: &usize| self.moment(*other).source == self.moment(*last).source;
        let is_beside = |other: &usize| self.source(*other).when.entry == source.when.entry;
        if others().any(is_same) {
            &[]
        } else if others().any(is_beside) {
            &self.closing[self.closing.len() - 1..]
        } else {
            &self.closing
        }
    }

    /// What is told right behind the opening, of the same evening: it belongs to it.
    fn goes_on(&self, opening: &[usize], told: &BTreeSet<usize>) -> Vec<usize> {
        let Some(last) = opening.last() else {
            return Vec::new();
        };
        let passage = self.moment(*last).passage;
        let follow = (last + 1..self.material.moments.len()).take_while(|next| {
            let own = self.moment(*next);
            told.contains(next) && own.passage == passage && own.voice == Voice::Prose
        });
        follow.collect()
    }

    /// What was chosen, with what every draft begins and ends with.
    #[must_use]
    pub fn with_ends(&self, chosen: &BTreeSet<usize>) -> BTreeSet<usize> {
        let mut all = chosen.clone();
        all.extend(self.opened());
        all.extend(self.glimpse(self.aim));
        all.extend(&self.closing);
        all
    }

    /// A chapter of moments in the order of the work.
    pub(super) fn chapter(
        &self,
        part: Part,
        title: &str,
        moments: &[usize],
        with_leads: bool,
    ) -> Chapter {
        let mut paragraphs: Vec<Paragraph> = Vec::new();
        let mut before: Option<usize> = None;
        let mut day: Option<Date> = None;
        let mut heard: BTreeSet<String> = BTreeSet::new();
        for index in moments {
            let moment = self.moment(*index);
            let source = self.source(*index);
            let same = before.is_some_and(|last| self.moment(last).source == moment.source);
            let is_note = is_note(source, moment);
            let mut lines = self.lines(*index);
            // Twelve teeth replaced are told as one.
            lines.retain(|line| !is_note || heard.insert(fold(&line.text)));
            if lines.is_empty() {
                continue;
            }
            let joins = same
                && (before == index.checked_sub(1) && !moment.fresh
                    || moment.voice != Voice::Prose
                    || before.is_some_and(|last| self.moment(last).voice != Voice::Prose));
            // Notes of a few words, day after day, are said in one breath.
            let after_note = before.is_some_and(|last| {
                let other = self.source(last);
                is_note
                    && self::is_note(other, self.moment(last))
                    && Group::of(other) == Group::of(source)
            });
            match paragraphs.last_mut().filter(|_| joins || after_note) {
                Some(last) => last.lines.extend(lines),
                None => {
                    let lead = if with_leads && !same {
                        lead(source, day)
                    } else {
                        None
                    };
                    paragraphs.push(Paragraph {
                        lead,
                        lines,
                        is_item: false,
                    });
                }
            }
            before = Some(*index);
            day = Some(source.when.date);
        }
        let sources: BTreeSet<usize> = moments
            .iter()
            .map(|index| self.moment(*index).source)
            .collect();
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

    pub(super) fn lines(&self, index: usize) -> Vec<Line> {
        let moment = self.moment(index);
        let before = match moment.voice {
            Voice::Prose | Voice::Lesson | Voice::Caution => "",
            Voice::Found => "As found: ",
            Voice::Done => "Done: ",
            Voice::Answer => "Found out: ",
        };
        moment
            .sentences
            .iter()
            .map(|sentence| {
                let why = self.worths[index].why();
                line(self.source(index), sentence, before, why)
            })
            .collect()
    }

    /// Lessons, each behind the setback it was learned from, unless that is told
    /// elsewhere.
    fn lessons(&self, moments: &[usize], told: &BTreeSet<usize>) -> Chapter {
        let items = moments.iter().map(|index| {
            let cause = self.causes.get(index);
            let mut lines = match cause.and_then(|cause| cause.quoted(self.material)) {
                Some((moment, sentences)) if !told.contains(&moment) => {
                    let mut lines = self.lines(moment);
                    lines.truncate(sentences.end() + 1);
                    lines
                }
                Some(_) | None => Vec::new(),
            };
            for line in &mut lines {
                "the setback a lesson comes from".clone_into(&mut line.why);
            }
            let is_alone = lines.is_empty();
            lines.extend(self.lines(*index));
            if let Some(lesson) = lines.last_mut().filter(|_| !is_alone) {
                "The lesson: ".clone_into(&mut lesson.before);
            }
            Paragraph {
                lead: Some(about(self.source(*index))),
                lines,
                is_item: true,
            }
        });
        Chapter {
            part: Part::Lessons,
            title: Part::Lessons.title().to_owned(),
            paragraphs: items.collect(),
            written: Vec::new(),
            photos: Vec::new(),
        }
    }
}

fn line(source: &Source, sentence: &Sentence, before: &str, why: String) -> Line {
    Line {
        before: before.to_owned(),
        text: sentence.text.clone(),
        after: full_stop(&sentence.text),
        origin: Origin::Entry {
            entry: source.when.entry.clone(),
            line: sentence.line,
            date: source.when.date,
        },
        why,
    }
}

/// Whether this is a note of a few words in an entry without a title that says
/// anything: the heading of its month is enough.
fn is_note(source: &Source, moment: &Moment) -> bool {
    source.is_session()
        && source.title.is_none()
        && source.system.is_none()
        && moment.words() < NOTE
}

/// So many words before an opening hold nobody up.
const SHORT: usize = 40;

/// A note is shorter than this.
const NOTE: usize = 20;

/// The parts of these sources, each once.
pub(super) fn parts<'s>(sources: impl Iterator<Item = &'s Source>) -> Vec<String> {
    let mut seen = BTreeSet::new();
    sources
        .filter(|source| !source.is_session())
        .map(about)
        .filter(|part| seen.insert(part.clone()))
        .collect()
}

/// What a source is about, in a few words.
pub(super) fn about(source: &Source) -> String {
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
fn lead(source: &Source, before: Option<Date>) -> Option<String> {
    let when = later(before, source.when.date);
    let what = (!source.is_session()).then(|| said_part(&source.name, &source.at));
    match (when, what) {
        (Some(when), Some(what)) => Some(format!("{when}, {what}")),
        (Some(one), None) => Some(one),
        (None, Some(what)) => Some(capitalised(&what)),
        (None, None) => None,
    }
}

pub(super) fn photos(source: &Source) -> impl Iterator<Item = Photo> {
    source.facts.iter().filter_map(|fact| {
        let Fact::Photo(path) = fact else { return None };
        Some(Photo {
            path: path.clone(),
            caption: format!(
                "{}, {}",
                about(source),
                super::speech::in_full(source.when.date)
            ),
        })
    })
}
