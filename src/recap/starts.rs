//! Where a moment has to begin to make sense, and where to end: with what it is told,
//! or not at all.

use super::material::Material;
use super::moments::{Moment, Voice};
use super::presumed::Presumed;
use super::signs::Sign;
use super::weigh::Worth;
use crate::vocabulary::words::words;

/// Where each moment has to begin to make sense, and where to end.
pub struct Starts {
    /// The first of those without which it cannot be understood.
    pub glimpse: Vec<usize>,
    /// The beginning of the story that it goes on with.
    pub story: Vec<usize>,
    /// The end of that story, where it is near and the moment leaves it open.
    pub end: Vec<usize>,
    /// Whether it says that it turns to something else.
    pub is_turn: Vec<bool>,
    /// How its trouble ended, where that is told in a few words further down.
    pub resolved: Vec<Option<usize>>,
    /// What it takes for known.
    pub presumed: Vec<Presumed>,
}

/// How trouble ended is told in fewer words than this, or is a story of its own.
const NEAR: usize = 60;

/// So much of a paragraph in which trouble begins is told to its end.
const PARAGRAPH: usize = 100;

/// A first paragraph of no more words is told with the second.
const FEW: usize = 25;

/// What became of a find, and whose it was, is worth a minute.
const NEAR_FIND: usize = 150;

impl Starts {
    /// Looks at every moment once. A story whose first moment only announces it,
    /// or cannot be understood, begins behind that.
    #[must_use]
    pub fn of(material: &Material, worths: &[Worth], presumed: Vec<Presumed>) -> Starts {
        let (mut glimpse, mut story) = (Vec::new(), Vec::new());
        for (index, moment) in material.moments.iter().enumerate() {
            let before = index
                .checked_sub(1)
                .filter(|before| material.moments[*before].source == moment.source);
            let start = |starts: &[usize], wants: bool| {
                before
                    .filter(|_| wants)
                    .map_or(index, |before| starts[before])
            };
            // What only announces helps nobody to understand what follows; a few words
            // at the very beginning say what it is about.
            let helps = before.is_some_and(|before| !worths[before].is_for_readers());
            let is_second = before.is_some_and(|before| {
                let first = &material.moments[before];
                let begins = !first.leans && !first.goes_on && first.fresh;
                begins && first.voice == Voice::Prose && first.words() <= FEW
            });
            let leans = moment.leans && helps;
            let is_begun = moment.goes_on && moment.fresh && is_second && helps;
            let near = start(&glimpse, leans || is_begun);
            let is_better = moment.fresh
                && !leans
                && before.is_some_and(|before| {
                    story[before] == before && worths[before].is_poor_beginning()
                });
            let goes_on = leans || moment.goes_on && !is_better;
            let far = start(&story, goes_on);
            glimpse.push(near);
            story.push(far);
        }
        let all = 0..material.moments.len();
        let mut end: Vec<usize> = all.clone().collect();
        for index in all.clone().rev() {
            end[index] = self::end(material, worths, index, &end);
        }
        let is_open =
            |index: usize| end[index] == index && worths[index].signs.contains(&Sign::Setback);
        let resolved = all
            .map(|index| resolved(material, worths, index).filter(|_| is_open(index)))
            .collect();
        Starts {
            glimpse,
            story,
            end,
            is_turn: material.moments.iter().map(turns).collect(),
            resolved,
            presumed,
        }
    }

    /// All that a moment is told with, from the beginning of its story: what it takes
    /// for known and `may` still be told, and its own. What became of a find, where an
    /// evening turns to that, goes on with the story of the find and not with its own.
    #[must_use]
    pub fn whole(&self, moment: usize, may: impl Fn(usize) -> bool) -> Vec<(usize, usize)> {
        let mut told: Vec<(usize, usize)> = Vec::new();
        let mut open = vec![moment];
        while let Some(one) = open.pop() {
            let start = match self.is_turn[one] && !self.presumed[one].finds.is_empty() {
                true => self.glimpse[one],
                false => self.story[one],
            };
            let span = (start, self.end[one]);
            if (one == moment || may(one)) && !told.contains(&span) {
                told.push(span);
                told.extend(self.resolved[one].map(|end| (end, end)));
                // A find may itself take another for known, or answer a question.
                for within in &self.presumed[start..=self.end[one]] {
                    open.extend(within.question.iter().chain(&within.finds));
                }
            }
        }
        told
    }
}

/// The last moment of a story that is left open here: what went wrong in it, or was
/// found, is told, and how that ended follows in a few words; or what an evening is
/// remembered for is still to come. `later` has the ends of all moments behind it.
fn end(material: &Material, worths: &[Worth], index: usize, later: &[usize]) -> usize {
    let own = &material.moments[index];
    let has = |index: usize, sign| worths[index].signs.contains(&sign);
    let is_find = |index: usize| has(index, Sign::RichFind) || has(index, Sign::Sequel);
    let is_session = material.sources[own.source].is_session();
    let near = if has(index, Sign::RichFind) {
        NEAR_FIND
    } else if has(index, Sign::Setback) || has(index, Sign::Sequel) {
        NEAR
    } else {
        0
    };
    let far = if is_session { NEAR_FIND } else { near };
    let (mut last, mut find, mut words) = (index, index, 0);
    let mut paragraph = near > 0;
    for (next, moment) in material.moments.iter().enumerate().skip(index + 1) {
        let is_same = moment.passage == own.passage && moment.voice == Voice::Prose;
        // What is said of a part goes on to something else with the paragraph.
        if own.voice != Voice::Prose || !is_same || moment.fresh && !is_session {
            break;
        }
        words += moment.words();
        // Whoever looks no further than that needs no time for a long text.
        if words > far || worths[next].is_for_readers() {
            return find;
        }
        last = next;
        paragraph &= !moment.fresh;
        // Nobody stops in the middle of a paragraph before the worst of it.
        if is_find(next) {
            find = later[next];
        } else if paragraph && words <= PARAGRAPH {
            find = next;
        }
    }
    if words > near { find } else { last.max(find) }
}

/// Whether a moment begins by turning to something else: "Now the wire", "I also looked".
fn turns(moment: &Moment) -> bool {
    let first = moment.sentences.first();
    let first = first.into_iter().flat_map(|one| words(&one.text)).take(3);
    moment.fresh
        && first
            .enumerate()
            .any(|(at, word)| word == "also" || at == 0 && word == "now")
}

/// With these words people begin to tell how trouble ended.
const SO: [&str; 3] = ["eventually", "finally", "so"];

/// In so few words it is an end, and in so many further down it is another story.
const SHORT_END: usize = 45;
const FAR: usize = 300;

/// The short paragraph that tells how the trouble of an evening ended, behind others.
fn resolved(material: &Material, worths: &[Worth], index: usize) -> Option<usize> {
    let own = &material.moments[index];
    if own.voice != Voice::Prose || !material.sources[own.source].is_session() {
        return None;
    }
    let mut so_far = 0;
    let later = material.moments.iter().enumerate().skip(index + 1);
    later
        .take_while(|(_, other)| {
            so_far += other.words();
            other.passage == own.passage && so_far <= FAR
        })
        .find(|(at, other)| {
            let first = other.sentences.first();
            let first = first.and_then(|one| words(&one.text).next());
            let is_end = first.is_some_and(|word| SO.contains(&word.as_str()));
            let fits = other.words() <= SHORT_END && !worths[*at].is_for_readers();
            is_end && fits && material.is_paragraph(*at)
        })
        .map(|(at, _)| at)
}
