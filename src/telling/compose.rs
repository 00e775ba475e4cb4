//! Chosen moments in the order in which they are told: an opening, the aim,
//! chapters by system, lessons, numbers, cautions, what comes next.
//!
//! The sentences stay as they were written. What is chosen is decided in
//! `choose`; figures come from `frame`.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;

use super::choose::glimpse;
use super::draft::{Chapter, Draft, Line, Origin, Paragraph, Part, Photo};
use super::frame::Frame;
use super::groups::{Group, long_enough};
use super::material::{Material, Source};
use super::moments::{Moment, Sentence, Voice};
use super::speech::{capitalised, full_stop, later, said_part};
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
    /// Figures and what comes next.
    pub frame: &'d Frame,
    /// The moment that opens the draft.
    pub opening: Option<usize>,
    /// The moments that say what was set out to do.
    pub aims: &'d [usize],
}

/// Writes the draft of these moments.
#[must_use]
pub fn compose(desk: &Desk<'_>, chosen: &BTreeSet<usize>) -> Draft {
    let Desk {
        material, frame, ..
    } = desk;
    let opening: Vec<usize> = desk
        .opening
        .map(|moment| glimpse(material, moment))
        .unwrap_or_default();
    let aims: Vec<usize> = desk
        .aims
        .iter()
        .flat_map(|moment| glimpse(material, *moment))
        .filter(|moment| !opening.contains(moment))
        .collect();
    let mut all: BTreeSet<usize> = chosen.clone();
    all.extend(&opening);
    all.extend(&aims);
    let is_lesson = |moment: &usize| material.moments[*moment].voice == Voice::Lesson;
    let work: Vec<usize> = all
        .iter()
        .copied()
        .filter(|moment| !opening.contains(moment) && !aims.contains(moment) && !is_lesson(moment))
        .collect();
    let lessons: Vec<usize> = all.iter().copied().filter(is_lesson).collect();
    let sources: BTreeSet<usize> = all
        .iter()
        .map(|moment| material.moments[*moment].source)
        .collect();

    let mut chapters = Vec::new();
    chapters.push(desk.chapter(Part::Opening, "Opening", &opening, true));
    let title = if aims.is_empty() {
        "What this is about"
    } else {
        "What was set out to do"
    };
    let mut aim = desk.chapter(Part::Aim, title, &aims, true);
    aim.paragraphs.splice(0..0, frame.about.clone());
    chapters.push(aim);
    chapters.extend(desk.work(&work));
    chapters.push(desk.lessons(&lessons));
    chapters.push(frame.chapter(Part::Numbers, "In numbers", &frame.numbers));
    chapters.push(desk.cautions(&sources));
    chapters.push(frame.chapter(Part::Next, "What is next", &frame.next));
    chapters.retain(|chapter| !chapter.paragraphs.is_empty());
    let mut shown: BTreeSet<String> = BTreeSet::new();
    for chapter in &mut chapters {
        chapter
            .photos
            .retain(|photo| shown.insert(photo.path.clone()));
    }

    let title = desk
        .opening
        .and_then(|moment| desk.source(moment).title.clone())
        .unwrap_or_else(|| match frame.days {
            Some((first, last)) => {
                let month = first.first_of_month();
                let days = Group::Month(month, last.first_of_month());
                format!("{}, {}", frame.vehicle_name, days.title())
            }
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
        pace: frame.pace,
    }
}

impl Desk<'_> {
    fn moment(&self, moment: usize) -> &Moment {
        &self.material.moments[moment]
    }

    pub(super) fn source(&self, moment: usize) -> &Source {
        &self.material.sources[self.moment(moment).source]
    }

    /// Chapters by system, each where its first moment stands; what belongs to
    /// no system is under the title of its entry, or where that says nothing,
    /// under the month.
    fn work(&self, moments: &[usize]) -> Vec<Chapter> {
        let mut groups: Vec<(Group, Vec<usize>)> = Vec::new();
        for moment in moments {
            let group = Group::of(self.source(*moment));
            match groups.iter_mut().find(|(known, _)| *known == group) {
                Some((_, members)) => members.push(*moment),
                None => groups.push((group, vec![*moment])),
            }
        }
        let chapters: Vec<(Group, Chapter)> = groups
            .into_iter()
            .map(|(group, members)| {
                let chapter = self.chapter(Part::Work, &group.title(), &members, true);
                (group, chapter)
            })
            .collect();
        let mut chapters = long_enough(chapters, self.frame.pace);
        for chapter in &mut chapters {
            // Nobody says the month twice.
            if let Some(first) = chapter.paragraphs.first_mut()
                && first.lead.as_ref() == Some(&chapter.title)
            {
                first.lead = None;
            }
        }
        chapters
    }

    /// A chapter of moments in the order of the work.
    fn chapter(&self, part: Part, title: &str, moments: &[usize], with_leads: bool) -> Chapter {
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

    fn lessons(&self, moments: &[usize]) -> Chapter {
        let items = moments.iter().map(|index| Paragraph {
            lead: Some(about(self.source(*index))),
            lines: self.lines(*index),
            is_item: true,
        });
        Chapter {
            part: Part::Lessons,
            title: "What went wrong, and what was learned".to_owned(),
            paragraphs: items.collect(),
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

/// A note is shorter than this.
const NOTE: usize = 20;

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
