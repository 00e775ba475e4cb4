//! The ledger: records folded into the state of every place.
//!
//! The fold of a place sees that place's own records and nothing else, so it
//! can be kept, refolded alone, or made again from any set of entries. Where
//! the entries come from, it does not know; what places mean for each other is
//! for `reports` to say, and for [`disagreements`] where records contradict.

mod aliases;
mod bags;
mod disagreements;
mod event;
mod fitting;
mod fold;
mod hardware;
mod lean;
mod near_names;
mod needs;
mod packed;
mod place;
mod replacing;
mod session;
mod standing;
mod state;
mod states;

use std::collections::BTreeMap;

use jiff::civil::Date;

pub use aliases::{Aliases, Join, key};
pub use bags::{
    BagLedger, BagSection, Filling, Held, Holder, Lot, alike, by_label, held_places, holders,
};
pub use disagreements::{names, near_names};
pub use event::{PlaceEvent, PlaceEventKind, PlaceRecord, bag_sections, events, shares, when};
pub use fitting::{Fitted, MOST_LEVELS, assembly, fit_reference, follows};
pub use lean::PlaceHardware;
pub use needs::best_match;
pub use packed::WaitingEvents;
pub use place::{PlaceKey, RecordTime, file_number};
pub use replacing::said_inside;
pub use session::{SessionWord, session_words};
pub use state::{
    Bagged, Counted, Dated, InSection, Link, NeedState, Pieces, PlaceState, QuestionState,
    Relation, Spent, TimelineStep, Unit,
};
pub use states::States;

use crate::entry::Entry;
use crate::problem::Problem;

/// All places of a journal.
#[derive(Clone, Debug, Default)]
pub struct Ledger {
    /// Their states.
    pub places: BTreeMap<PlaceKey, PlaceState>,
    /// Which names are one.
    pub aliases: Aliases,
    /// The sections about whole bags, in the order of their moments.
    pub bag_sections: Vec<BagSection>,
    /// What sessions as a whole teach, in the order of their moments.
    pub session_words: Vec<SessionWord>,
}

impl Ledger {
    /// Folds these entries. Their order does not matter: records have theirs.
    #[must_use]
    pub fn fold(entries: &[Entry]) -> Ledger {
        Ledger::fold_until(entries, None)
    }

    /// Folds these entries up to the end of a day: as the vehicles stood then.
    #[must_use]
    pub fn fold_until(entries: &[Entry], last: Option<Date>) -> Ledger {
        let mut ledger = Ledger {
            places: BTreeMap::new(),
            aliases: Aliases::collect(entries),
            ..Ledger::default()
        };
        ledger.apply(entries.iter(), last);
        ledger
    }

    /// Puts a ledger together from places that were folded before, and from what
    /// their entries say besides.
    #[must_use]
    pub fn of(
        places: BTreeMap<PlaceKey, PlaceState>,
        aliases: Aliases,
        bag_sections: Vec<BagSection>,
        session_words: Vec<SessionWord>,
    ) -> Ledger {
        let mut ledger = Ledger {
            places,
            aliases,
            bag_sections,
            session_words,
        };
        ledger.sort();
        ledger
    }

    fn sort(&mut self) {
        self.session_words.sort_by(|a, b| a.when.cmp(&b.when));
        self.bag_sections.sort_by(|a, b| a.when.cmp(&b.when));
    }

    /// Folds more entries onto what is there: the same as folding all at once,
    /// as long as none of them is earlier and the joined names are the same.
    pub fn extend<'e>(&mut self, entries: impl Iterator<Item = &'e Entry>) {
        self.apply(entries, None);
    }

    fn apply<'e>(&mut self, entries: impl Iterator<Item = &'e Entry>, last: Option<Date>) {
        let is_past = |when: &RecordTime| last.is_none_or(|last| when.date <= last);
        let mut all: Vec<PlaceEvent> = Vec::new();
        for entry in entries {
            let events = events(entry, &self.aliases);
            all.extend(events.into_iter().filter(|event| is_past(&event.when)));
            let sections = event::bag_sections(entry).filter(|section| is_past(&section.when));
            self.bag_sections.extend(sections);
            let words = session::session_words(entry, &self.aliases).into_iter();
            self.session_words
                .extend(words.filter(|word| is_past(&word.when)));
        }
        self.sort();
        PlaceEvent::in_order(&mut all);
        for event in &all {
            self.places
                .entry(event.place.clone())
                .or_insert_with(|| PlaceState::new(&event.place))
                .apply(event);
        }
    }

    /// The places that a record speaks of.
    pub fn recorded(&self) -> impl Iterator<Item = (&PlaceKey, &PlaceState)> {
        self.places.iter().filter(|(_, state)| state.recorded)
    }

    /// What the records contradict, place by place and between places, for
    /// entries that are read with `context`.
    #[must_use]
    pub fn problems(&self, entries: &[Entry]) -> Vec<Problem> {
        let mut problems: Vec<Problem> = self
            .places
            .values()
            .flat_map(|state| state.problems.iter().cloned())
            .collect();
        problems.extend(disagreements::problems(self, entries));
        problems
    }
}

/// The state of one place, folded from the entries that speak of it; `None`
/// if none does.
#[must_use]
pub fn fold_place(place: &PlaceKey, entries: &[Entry], aliases: &Aliases) -> Option<PlaceState> {
    let mut own: Vec<PlaceEvent> = entries
        .iter()
        .flat_map(|entry| events(entry, aliases))
        .filter(|event| event.place == *place)
        .collect();
    if own.is_empty() {
        return None;
    }
    PlaceEvent::in_order(&mut own);
    let mut state = PlaceState::new(place);
    for event in &own {
        state.apply(event);
    }
    Some(state)
}
