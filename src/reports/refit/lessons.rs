//! Lessons and cautions: those of a part, and those of others that name it.

use std::collections::{BTreeSet, HashMap, HashSet};

use super::RefitPlan;
use crate::ledger::Dated;
use crate::vocabulary::name::Name;
use crate::vocabulary::position::{Driven, Position};
use crate::vocabulary::reference::Reference;
use crate::vocabulary::words::{stem, words};

/// Something told about a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PartRemark<'l> {
    /// The text with its record.
    pub said: &'l Dated<String>,
    /// The place in whose record it stands; `None` for what is said of a session
    /// as a whole.
    pub of: Option<usize>,
}

/// What is told about each place.
pub type Tellings<'l> = HashMap<usize, Vec<PartRemark<'l>>>;

impl<'l> RefitPlan<'l> {
    /// The lessons for each place that goes back.
    #[must_use]
    pub fn lessons(&self) -> Tellings<'l> {
        self.told(false, &|place| &self.places.states[place].lessons)
    }

    /// The cautions for each place that goes back.
    #[must_use]
    pub fn cautions(&self) -> Tellings<'l> {
        self.told(true, &|place| &self.places.states[place].cautions)
    }

    fn told(&self, cautions: bool, list: &dyn Fn(usize) -> &'l [Dated<String>]) -> Tellings<'l> {
        let names = NamedParts::of(self);
        let mut told: Tellings<'l> = HashMap::new();
        for of in 0..self.places.keys.len() {
            for said in list(of) {
                let mut of_it = names.in_text(self, &self.places.states[of].at, &said.value);
                of_it.insert(of);
                for place in of_it.into_iter().filter(|place| self.returns[*place]) {
                    let of = Some(of);
                    told.entry(place).or_default().push(PartRemark { said, of });
                }
            }
        }
        let words = self.places.session_words();
        for word in words.filter(|word| word.caution == cautions) {
            let said = &word.said;
            let mut of_it = names.in_text(self, &Position::default(), &said.value);
            of_it.extend(word.about.iter().filter_map(|key| self.places.number(key)));
            for place in of_it.into_iter().filter(|place| self.returns[*place]) {
                told.entry(place)
                    .or_default()
                    .push(PartRemark { said, of: None });
            }
        }
        for (place, list) in &mut told {
            // The same words for left and right are told once; a part's own come
            // first.
            list.sort_by_key(|told| (told.of != Some(*place), told.said.date, &told.said.spot));
            let mut seen = HashSet::new();
            list.retain(|told| seen.insert(told.said.value.as_str()));
        }
        told
    }
}

/// The names of all parts that anyone spoke of, by the stems of their words: a
/// brake drum is no drum, whether or not it goes back.
struct NamedParts {
    by_stems: HashMap<String, Name>,
    /// How many words the longest name has.
    longest: usize,
}

impl NamedParts {
    fn of(plan: &RefitPlan<'_>) -> NamedParts {
        let mut parts = NamedParts {
            by_stems: HashMap::new(),
            longest: 0,
        };
        for (place, state) in plan.places.states.iter().enumerate() {
            let others = plan.places.others(place).iter().map(String::as_str);
            let in_passing = state.relations.iter();
            let in_passing = in_passing.map(|said| said.part.name.written());
            for name in others.chain(in_passing).chain([state.name.as_str()]) {
                let stems: Vec<String> = words(name).map(|word| stem(&word)).collect();
                parts.longest = parts.longest.max(stems.len());
                parts.by_stems.insert(stems.join(" "), Name::new(name));
            }
        }
        // Nobody says a name of more words in a lesson.
        parts.longest = parts.longest.min(LONGEST_NAME);
        parts
    }

    /// The longest name that begins at one of these stems, with its length: a
    /// wheel cylinder is no wheel.
    fn at(&self, stems: &[String]) -> Option<(usize, &Name)> {
        let longest = self.longest.min(stems.len());
        (1..=longest).rev().find_map(|count| {
            let name = self.by_stems.get(&stems[..count].join(" "))?;
            Some((count, name))
        })
    }

    /// The places that are named in a text about what is at `beside`.
    fn in_text(&self, plan: &RefitPlan<'_>, beside: &Position, text: &str) -> BTreeSet<usize> {
        let said: Vec<String> = words(text).collect();
        let stems: Vec<String> = said.iter().map(|word| stem(word)).collect();
        let mut found = BTreeSet::new();
        let mut at = 0;
        while at < stems.len() {
            let Some((count, name)) = self.at(&stems[at..]) else {
                at += 1;
                continue;
            };
            let end = at + count;
            let reference = Reference {
                name: name.clone(),
                at: position(&said[end..], true)
                    .or_else(|| position(&said[..at], false))
                    .unwrap_or_default(),
                vehicle: None,
            };
            found.extend(plan.places.meant_by(beside, &reference));
            at = end;
        }
        found
    }
}

/// How many words of a name are looked for in a text.
const LONGEST_NAME: usize = 8;

/// The position that the words right behind a name say, or those right before.
fn position(around: &[String], behind: bool) -> Option<Position> {
    [2, 1].into_iter().find_map(|count| {
        let words = if behind {
            around.get(..count)
        } else {
            around
                .len()
                .checked_sub(count)
                .and_then(|from| around.get(from..))
        };
        Position::of_words(&words?.join(" "), Driven::Unsaid)
    })
}
