//! Chosen moments in the order in which they are told: an opening, what this is
//! about, chapters of the work, lessons, cautions, numbers, what comes next, and the
//! latest turn of the work.
//!
//! The sentences stay as they were written. What is chosen is decided in `choose`;
//! figures come from `frame`.

use std::cell::OnceCell;
use std::collections::{BTreeMap, BTreeSet};

use super::chapters::Chapters;
use super::draft::{
    Chapter, ChapterRole, DraftParagraph, EpisodeDraft, Line, Photo, StatementOrigin,
};
use super::frame::Frame;
use super::material::Material;
use super::moments::{Moment, Sentence, Voice};
use super::people::{appearing, says};
use super::ranking::Ranking;
use super::request::Request;
use super::source::RecapSource;
use crate::entry::Fact;
use crate::reports::cautions::Raised;
use crate::vocabulary::spoken::{in_full, months};

/// All that a draft is made of, but for the choice.
pub struct ComposeContext<'d> {
    /// What was asked.
    pub request: &'d Request<'d>,
    /// What there is.
    pub material: &'d Material<'d>,
    /// What it promises.
    pub ranking: &'d Ranking,
    /// For each moment those it needs.
    pub needs: &'d [Vec<usize>],
    /// The hazards of each source that was asked for.
    pub hazards: Vec<OnceCell<Vec<Raised>>>,
    /// Figures and what comes next.
    pub frame: Frame,
    /// Where those who helped are brought in: the moment, and which of its sentences.
    pub people: &'d BTreeMap<&'d str, (usize, usize)>,
    /// Whether the person put the moments in order: then nothing is moved.
    pub is_ordered: bool,
    /// Minimum length of a chapter, in words.
    pub least: usize,
}

/// Writes the draft of these moments.
#[must_use]
pub fn compose(base: &ComposeContext<'_>, chosen: &[usize]) -> EpisodeDraft {
    let is_lesson = |moment: &usize| base.moment(*moment).voice == Voice::Lesson;
    let (lessons, told): (Vec<usize>, Vec<usize>) = chosen.iter().copied().partition(is_lesson);
    let opening = base.opening(&told);
    let closing = base.closing(&told, opening);
    let is_work = |moment: &usize| Some(*moment) != opening && Some(*moment) != closing;
    let work: Vec<usize> = told.into_iter().filter(is_work).collect();
    let all: BTreeSet<usize> = chosen.iter().copied().collect();
    let sources: BTreeSet<usize> = all.iter().map(|one| base.moment(*one).source).collect();

    let mut making = Chapters::new(base, &sources);
    let of_work = making.work(&work);
    let first = making.chapter(ChapterRole::Opening, opening.as_slice());
    let mut next = making.chapter(ChapterRole::Next, closing.as_slice());
    next.paragraphs
        .splice(0..0, base.frame.next.iter().cloned());
    let about = std::iter::once(base.frame.about.clone()).chain(base.cast(&all));
    let items = lessons.iter().map(|index| {
        let lead = base.material.source(*index).about();
        DraftParagraph::item(Some(lead), base.lines(*index))
    });
    let mut chapters = vec![first, Chapter::new(ChapterRole::About, about.collect())];
    chapters.extend(of_work);
    chapters.extend([
        Chapter::new(ChapterRole::Lessons, items.collect()),
        Chapter::new(ChapterRole::Cautions, base.cautions(&all)),
        Chapter::new(ChapterRole::Numbers, base.frame.numbers.clone()),
        next,
    ]);
    chapters.retain(|chapter| !chapter.paragraphs.is_empty());
    let mut shown: BTreeSet<String> = BTreeSet::new();
    for chapter in &mut chapters {
        chapter
            .photos
            .retain(|photo| shown.insert(photo.path.clone()));
    }

    let request = base.request;
    let first = opening.or_else(|| work.first().copied());
    let title = first.and_then(|moment| base.material.source(moment).title);
    let title = title.map_or_else(
        || format!("{}, {}", request.vehicle_name, months(request.scope.days)),
        str::to_owned,
    );
    let told = || sources.iter().map(|source| &base.material.sources[*source]);
    EpisodeDraft {
        title,
        vehicle: request.scope.vehicle.to_owned(),
        vehicle_name: request.vehicle_name.to_owned(),
        days: Some(request.scope.days),
        chapters,
        told: told().map(RecapSource::record_name).collect(),
        parts: parts(told()),
        people: appearing(base.material, &all),
        pace: request.pace,
        ..EpisodeDraft::default()
    }
}

impl ComposeContext<'_> {
    pub(super) fn moment(&self, moment: usize) -> &Moment {
        &self.material.moments[moment]
    }

    /// What opens the draft: the most promising paragraph that begins what its record
    /// says and needs no other.
    fn opening(&self, told: &[usize]) -> Option<usize> {
        let fit = told.iter().copied().filter(|moment| {
            let own = self.moment(*moment);
            own.voice == Voice::Prose && own.opens && self.needs[*moment].is_empty()
        });
        fit.min_by_key(|moment| self.ranking.rank[*moment])
            .filter(|_| !self.is_ordered)
    }

    /// The latest turn of the work, which ends the draft: the last paragraph told.
    fn closing(&self, told: &[usize], opening: Option<usize>) -> Option<usize> {
        let is_prose = |one: &usize| self.moment(*one).voice == Voice::Prose;
        let told = told.iter().copied();
        let mut prose = told.filter(|one| is_prose(one) && Some(*one) != opening);
        let last = prose.next_back();
        // A draft of two paragraphs has no end beside them.
        prose.next().and(last)
    }

    /// Who is in what is told, by the sentences that bring them in, unless those are
    /// told themselves.
    fn cast(&self, told: &BTreeSet<usize>) -> Option<DraftParagraph> {
        let mut needed: BTreeSet<(usize, usize)> = BTreeSet::new();
        for (name, (moment, sentence)) in self.people {
            let mut later = told
                .range(moment..)
                .flat_map(|told| &self.moment(*told).sentences);
            if !told.contains(moment) && later.any(|one: &Sentence| says(one, name)) {
                needed.insert((*moment, *sentence));
            }
        }
        let lines = needed.into_iter().map(|(moment, sentence)| Line {
            why: "brings in someone who is named".to_owned(),
            ..self.lines(moment).swap_remove(sentence)
        });
        let lines: Vec<Line> = lines.collect();
        (!lines.is_empty()).then(|| DraftParagraph {
            lead: Some("Who is in it".to_owned()),
            lines,
            is_item: false,
        })
    }

    /// The sentences of a moment.
    pub(super) fn lines(&self, index: usize) -> Vec<Line> {
        let (moment, source) = (self.moment(index), self.material.source(index));
        let before = match moment.voice {
            Voice::Prose | Voice::Lesson | Voice::Caution => "",
            Voice::Question => "To find out: ",
            Voice::Answer => "Found out: ",
            Voice::Found => "As found: ",
        };
        let why = self.ranking.why(index, moment.worth);
        let lines = moment.sentences.iter().map(|sentence| {
            let origin = StatementOrigin::Entry {
                entry: source.when.entry.clone(),
                line: sentence.line,
                date: source.when.date,
            };
            Line {
                before,
                ..Line::new(&sentence.text, origin, why.as_str())
            }
        });
        lines.collect()
    }
}

/// The parts of these sources, each once.
pub(super) fn parts<'s>(sources: impl Iterator<Item = &'s RecapSource<'s>>) -> Vec<String> {
    let parts = sources.filter(|source| !source.is_session());
    let mut seen = BTreeSet::new();
    let parts = parts.map(RecapSource::about);
    parts.filter(|part| seen.insert(part.clone())).collect()
}

pub(super) fn photos(source: &RecapSource<'_>) -> impl Iterator<Item = Photo> {
    source.facts().filter_map(|fact| {
        let Fact::Photo(picture) = fact else {
            return None;
        };
        let usual = || format!("{}, {}", source.about(), in_full(source.when.date));
        Some(Photo {
            path: picture.path.clone(),
            caption: picture.caption.clone().unwrap_or_else(usual),
        })
    })
}
