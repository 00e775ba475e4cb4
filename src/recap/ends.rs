//! With what a draft begins and ends: moments that stand by themselves.

use super::evidence::names_someone;
use super::material::Material;
use super::moments::Voice;
use super::pointing::speaks_of_others;
use super::signs::Sign;
use super::starts::Starts;
use super::weigh::Worth;

/// An opening shorter than this is over before anyone listens.
const LEAST: usize = 18;

/// The last word is a paragraph of no more than this.
pub const LAST_WORD: usize = 60;

/// The signs of a story.
const STORIES: [Sign; 4] = [Sign::Setback, Sign::Find, Sign::RichFind, Sign::Sequel];

/// The moments that can open a draft, the strongest first, as they are in `order`.
#[must_use]
pub fn openings(
    material: &Material,
    worths: &[Worth],
    starts: &Starts,
    order: &[usize],
) -> Vec<usize> {
    let can_begin = |moment: &usize| {
        let own = &material.moments[*moment];
        let begins = own.fresh
            && !own.leans
            && !worths[*moment].is_poor_beginning()
            && starts.presumed[*moment].finds.is_empty()
            // An answer at the very beginning spoils its question.
            && starts.presumed[*moment].question.is_none();
        own.voice == Voice::Prose && begins && own.words() >= LEAST
    };
    order.iter().copied().filter(can_begin).collect()
}

/// The same, but first those that speak of nobody whom listeners do not know.
#[must_use]
pub fn known_first(material: &Material, openings: &[usize]) -> Vec<usize> {
    let is_known = |moment: &usize| {
        let own = &material.moments[*moment];
        let of_others = own.sentences.iter().any(|one| speaks_of_others(&one.text));
        !of_others || names_someone(own, &material.sources[own.source])
    };
    let (known, unknown): (Vec<usize>, Vec<usize>) = openings.iter().copied().partition(is_known);
    known.into_iter().chain(unknown).collect()
}

/// The last word: of what the latest evening tells apart from its parts, the strongest
/// paragraph that could also begin, and of those before it, from the first on, as many as
/// `room` has words for; `openings` has the strongest first. What went wrong or was found
/// is a story, and told in its place. None where that evening is `begun` with.
#[must_use]
pub fn closing(
    material: &Material,
    worths: &[Worth],
    (openings, begun): (&[usize], &[usize]),
    may: &[bool],
    room: usize,
) -> Vec<usize> {
    let entry = |moment: usize| {
        let source = &material.sources[material.moments[moment].source];
        source.when.entry.as_str()
    };
    let sources = material.sources.iter().zip(may);
    let latest = sources.rev().find(|(_, may)| **may);
    let latest = latest.map_or("", |(source, _)| source.when.entry.as_str());
    if begun.iter().any(|moment| entry(*moment) == latest) {
        return Vec::new();
    }
    let is_fit = |moment: &usize| {
        let own = &material.moments[*moment];
        let has = |sign| worths[*moment].signs.contains(sign);
        entry(*moment) == latest
            && material.sources[own.source].is_session()
            && material.is_paragraph(*moment)
            && own.words() <= LAST_WORD
            && !STORIES.iter().any(has)
    };
    let Some(last) = openings.iter().copied().find(is_fit) else {
        return Vec::new();
    };
    let passage = material.moments[last].passage;
    let before = material.moments[..last].iter().enumerate();
    let before = before.filter(|(_, own)| own.passage == passage && own.voice == Voice::Prose);
    let mut words = material.moments[last].words();
    let mut told: Vec<usize> = before
        .take_while(|(_, own)| {
            words += own.words();
            words <= room
        })
        .map(|(index, _)| index)
        .filter(|index| !worths[*index].is_for_readers())
        .collect();
    told.push(last);
    told
}
