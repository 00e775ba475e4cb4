//! The signs that a moment's own words give, and those of the record it stands in.
//!
//! What they are worth is said in `signs`.

use std::collections::BTreeSet;

use super::material::{Material, Source};
use super::moments::{Moment, Sentence, Voice};
use super::people::says;
use super::pointing::{announces, dangles, instructs, is_taken_up, points_at_page, points_back_at};
use super::signs::{Lists, ORDERS, SPEAKERS, Sign, is_order, is_replaced, is_setback};
use super::titles::pays;
use crate::vocabulary::words::{telling_stems, words};

/// What a source has named so far, as its moments are gone through one by one.
#[derive(Default)]
pub struct Named {
    source: Option<usize>,
    stems: BTreeSet<String>,
}

impl Named {
    /// Whether the next moment, with the stems of each of its sentences, points back at
    /// a thing that its source has not named before.
    pub fn points_out(&mut self, moment: &Moment, stems: &[Vec<String>], source: &Source) -> bool {
        if self.source.replace(moment.source) != Some(moment.source) {
            self.stems = telling_stems(&source.name).into_iter().collect();
        }
        let mut points_out = false;
        for (sentence, stems) in moment.sentences.iter().zip(stems) {
            let thing = points_back_at(&sentence.text);
            points_out |= thing.is_some_and(|thing| !self.stems.contains(&thing));
            self.stems.extend(stems.iter().cloned());
        }
        points_out
    }
}

/// An opener of fewer words only promises what it brings in.
const OPENER: usize = 25;

/// Whether a moment opens its passage and only brings in what a later one begins with.
pub fn promises(material: &Material, index: usize) -> bool {
    let own = &material.moments[index];
    let Some(last) = own.sentences.last() else {
        return false;
    };
    let before = index.checked_sub(1).map(|before| &material.moments[before]);
    let opens =
        before.is_none_or(|before| before.passage != own.passage || before.voice != Voice::Prose);
    opens
        && own.voice == Voice::Prose
        && own.words() < OPENER
        && material.moments[index + 1..]
            .iter()
            .take_while(|later| later.passage == own.passage)
            .filter(|later| later.fresh && later.voice == Voice::Prose)
            .filter_map(|later| later.sentences.first())
            .any(|later| is_taken_up(&last.text, &later.text))
}

/// What in a moment's words and in its record an audience cares about.
pub fn signs(moment: &Moment, stems: &[Vec<String>], source: &Source, lists: &Lists) -> Vec<Sign> {
    let has = |list: &BTreeSet<String>| stems.iter().flatten().any(|stem| list.contains(stem));
    let facts = |test: fn(&crate::entry::Fact) -> bool| source.facts.iter().any(test);
    let of_record = !source.is_session();
    let mut signs = Vec::new();
    if has(&lists.setback) || of_record && facts(is_setback) {
        signs.push(Sign::Setback);
    }
    if moment.voice == Voice::Prose {
        signs.extend(prose_signs(moment, stems, source, lists));
    }
    if names_someone(moment, source) {
        signs.push(Sign::Company);
    }
    match moment.voice {
        Voice::Lesson => {
            signs.push(Sign::Lesson);
            if is_about_order(moment, source) {
                signs.push(Sign::Order);
            }
        }
        Voice::Answer => signs.push(Sign::Answered),
        Voice::Found | Voice::Done => signs.push(Sign::Bare),
        Voice::Prose | Voice::Caution => {}
    }
    if of_record && facts(is_replaced) {
        signs.push(Sign::Replaced);
    }
    if moment
        .sentences
        .iter()
        .map(|sentence| figures(&sentence.text))
        .sum::<usize>()
        > 2
    {
        signs.push(Sign::Figures);
    }
    if moment.words() < 7 {
        signs.push(Sign::Scrap);
    }
    signs
}

/// What only whole sentences can be signs of.
fn prose_signs(
    moment: &Moment,
    stems: &[Vec<String>],
    source: &Source,
    lists: &Lists,
) -> Vec<Sign> {
    let all: BTreeSet<&String> = stems.iter().flatten().collect();
    let count = |list: &BTreeSet<String>| all.iter().filter(|stem| list.contains(**stem)).count();
    let mut signs = Vec::new();
    if count(&lists.turn) > 0 {
        signs.push(Sign::Turn);
    }
    let finds = count(&lists.find);
    if finds >= 2 {
        signs.push(Sign::Find);
    }
    if finds >= 4 {
        signs.push(Sign::RichFind);
    }
    let speaks = |text: &str| {
        text.contains(['"', '“', '„', '«'])
            || count(&lists.speech) > 0 && words(text).any(|word| SPEAKERS.contains(&word.as_str()))
    };
    if moment
        .sentences
        .iter()
        .any(|sentence| speaks(&sentence.text))
    {
        signs.push(Sign::Speech);
    }
    let own = || std::iter::once((source, moment));
    if source
        .title
        .as_ref()
        .is_some_and(|title| pays(title, own()))
    {
        signs.push(Sign::Titled);
    }
    let says = |test: fn(&str) -> bool| moment.sentences.iter().any(|one| test(&one.text));
    if says(announces) {
        signs.push(Sign::Announces);
    }
    if says(points_at_page) {
        signs.push(Sign::PointsAtPage);
    }
    if instructs(moment.sentences.iter().map(|one| one.text.as_str())) {
        signs.push(Sign::Instructs);
    }
    let first = moment.sentences.first().filter(|_| !moment.leans);
    if first.is_some_and(|first| dangles(&first.text, !source.is_session())) {
        signs.push(Sign::Dangling);
    }
    signs
}

/// Words with a digit in them.
fn figures(text: &str) -> usize {
    words(text)
        .filter(|word| word.contains(|c: char| c.is_ascii_digit()))
        .count()
}

/// Whether a moment names one of those who helped.
pub fn names_someone(moment: &Moment, source: &Source) -> bool {
    let names = |helper: &String| moment.sentences.iter().any(|one| says(one, helper));
    source.helpers.iter().any(names)
}

/// Whether this is a lesson about what goes before what.
pub fn is_about_order(moment: &Moment, source: &Source) -> bool {
    let says = |one: &Sentence| words(&one.text).any(|word| ORDERS.contains(&word.as_str()));
    moment.voice == Voice::Lesson
        && source.facts.iter().any(is_order)
        && moment.sentences.iter().any(says)
}
