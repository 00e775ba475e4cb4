//! The places of a plan: which of them go back, and when they came off.
//!
//! What orders them is not known here.

use std::collections::HashMap;

use jiff::civil::Date;

use crate::ledger::{
    Fitted, Ledger, MOST_LEVELS, PlaceKey, PlaceState, RecordTime, SessionWord, TimelineStep,
    assembly, fit_reference,
};
use crate::reports::parts::bag_labels;
use crate::vocabulary::position::Position;
use crate::vocabulary::reference::Reference;
use crate::vocabulary::status::Status;

/// Where a place stands, as far as putting it back goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RefitStanding {
    /// On the vehicle.
    On,
    /// On the vehicle, with something disconnected.
    Undone,
    /// Off and at hand.
    Here,
    /// Off and at hand, in pieces.
    Apart,
    /// Away at someone's.
    Away,
    /// Its unit will not return and none has taken its place.
    Gone,
    /// Not on the vehicle, and not to go back.
    Stays,
}

impl RefitStanding {
    /// Whether the place is off, or undone, and is to be on again.
    #[must_use]
    pub const fn returns(self) -> bool {
        match self {
            RefitStanding::Undone
            | RefitStanding::Here
            | RefitStanding::Apart
            | RefitStanding::Away
            | RefitStanding::Gone => true,
            RefitStanding::On | RefitStanding::Stays => false,
        }
    }

    /// Whether the part sits in its place.
    #[must_use]
    pub const fn is_in_place(self) -> bool {
        match self {
            RefitStanding::On | RefitStanding::Undone => true,
            RefitStanding::Here
            | RefitStanding::Apart
            | RefitStanding::Away
            | RefitStanding::Gone
            | RefitStanding::Stays => false,
        }
    }
}

/// The places that records speak of, by number.
#[derive(Debug)]
pub struct RefitPlaces<'l> {
    ledger: &'l Ledger,
    vehicle: String,
    /// Their keys, in order.
    pub keys: Vec<&'l PlaceKey>,
    /// What is known of each.
    pub states: Vec<&'l PlaceState>,
    /// Where each stands; a silent piece stands where its assembly does.
    pub standings: Vec<RefitStanding>,
    /// The assembly each follows because nothing was said of itself.
    pub with: Vec<Option<usize>>,
    /// The assembly of which each last said that it is a piece.
    assemblies: Vec<Option<usize>>,
    numbers: HashMap<&'l PlaceKey, usize>,
}

impl<'l> RefitPlaces<'l> {
    /// The places of a vehicle.
    #[must_use]
    pub fn new(ledger: &'l Ledger, vehicle: &str) -> RefitPlaces<'l> {
        let (keys, states): (Vec<_>, Vec<_>) = ledger
            .recorded()
            .filter(|(key, _)| key.vehicle == vehicle)
            .unzip();
        let numbers = keys
            .iter()
            .enumerate()
            .map(|(at, key)| (*key, at))
            .collect();
        let mut places = RefitPlaces {
            ledger,
            vehicle: vehicle.to_owned(),
            standings: states.iter().map(|state| own_standing(state)).collect(),
            with: vec![None; keys.len()],
            assemblies: vec![None; keys.len()],
            keys,
            states,
            numbers,
        };
        places.follow_assemblies();
        places
    }

    /// The number of a place.
    #[must_use]
    pub fn number(&self, key: &PlaceKey) -> Option<usize> {
        self.numbers.get(key).copied()
    }

    /// The known places that a reference in the records of `beside` means; none
    /// for a small part that no record describes.
    #[must_use]
    pub fn meant(&self, beside: usize, reference: &Reference) -> Vec<usize> {
        self.meant_by(&self.states[beside].at, reference)
    }

    /// The same for a text about what is at `beside`.
    #[must_use]
    pub fn meant_by(&self, beside: &Position, reference: &Reference) -> Vec<usize> {
        match fit_reference(self.ledger, &self.vehicle, beside, reference) {
            Fitted::Places(keys) => keys.iter().filter_map(|key| self.number(key)).collect(),
            Fitted::Implied => Vec::new(),
        }
    }

    /// What sessions with the vehicle teach, apart from their records.
    pub fn session_words(&self) -> impl Iterator<Item = &'l SessionWord> {
        let all = self.ledger.session_words.iter();
        all.filter(|word| word.vehicle == self.vehicle)
    }

    /// The bags in which a place's hardware is, as labelled.
    #[must_use]
    pub fn bags(&self, place: usize) -> Vec<String> {
        bag_labels(self.states[place], self.ledger)
    }

    /// The other names of a place's part.
    #[must_use]
    pub fn others(&self, place: usize) -> &'l [String] {
        let key = self.keys[place];
        self.ledger.aliases.others(&key.vehicle, &key.name)
    }

    /// When the place came off last; the first record of it where it never did.
    #[must_use]
    pub fn off(&self, place: usize) -> Option<RecordTime> {
        let leader = self.leader(place);
        let timeline = &self.states[leader].timeline;
        let left = last_leaving(timeline).or_else(|| timeline.first())?;
        let own = self.states[place].timeline.first()?;
        // Pieces that came off with their assembly keep the order in which they
        // were written about.
        let said = if leader == place { left } else { own };
        Some(RecordTime {
            line: said.when.line,
            ..left.when.clone()
        })
    }

    /// Whether a place was off its vehicle when another came off. What is only
    /// undone still sits there.
    #[must_use]
    pub fn was_off_before(&self, place: usize, other: usize) -> bool {
        let Some(at) = self.off(other) else {
            return false;
        };
        let timeline = &self.states[self.leader(place)].timeline;
        let before = timeline.iter().take_while(|moment| moment.when < at);
        let is_off = |moment: &TimelineStep| !moment.status.is_some_and(Status::is_on);
        before.last().is_some_and(is_off)
    }

    /// Whether no record of its own ever took a place off; what was scrapped or
    /// replaced may have stayed where it was until then.
    #[must_use]
    pub fn never_came_off(&self, place: usize) -> bool {
        let timeline = &self.states[place].timeline;
        timeline.iter().all(|moment| {
            let came_off = |status: Status| !status.is_on() && !status.is_gone();
            !moment.status.is_some_and(came_off)
        })
    }

    /// The record by which a place was still on at the end of a day: the one that took
    /// it off later, or the one that had put it on. `None` where records leave that
    /// open, or something on it was disconnected.
    #[must_use]
    pub fn was_on_after(&self, place: usize, day: Date) -> Option<&'l TimelineStep> {
        let state = self.states[place];
        let later = state
            .timeline
            .partition_point(|moment| moment.when.date <= day);
        let (until, later) = state.timeline.split_at(later);
        let last = until.last();
        if last.is_some_and(|last| !is_on(last)) {
            return None;
        }
        let put_on = state.went_on.iter().rev().find(|when| when.date <= day);
        let put_on = put_on.and_then(|when| until.iter().find(|moment| moment.when == *when));
        let is_off = |moment: &&TimelineStep| moment.status.is_some_and(|status| !status.is_on());
        let first = later.iter().find(|moment| moment.status.is_some());
        put_on.or(first.filter(is_off))
    }

    /// The system of a place: its own if a record says one, else that of the nearest
    /// assembly it is of that has one, else the usual one of its name.
    #[must_use]
    pub fn system(&self, place: usize) -> Option<&'l str> {
        self.system_of(place)?.system.as_deref()
    }

    /// The system of a place for a person, marked where nobody said it.
    #[must_use]
    pub fn system_words(&self, place: usize) -> Option<String> {
        self.system_of(place)?.system_words()
    }

    /// The place that says the system of a place.
    fn system_of(&self, place: usize) -> Option<&'l PlaceState> {
        let mut of = Some(place);
        let mut usual = None;
        for _ in 0..=MOST_LEVELS {
            let Some(at) = of else { break };
            let state = self.states[at];
            if state.system_is_assumed() {
                usual = usual.or(Some(state));
            } else if state.system.is_some() {
                return Some(state);
            }
            of = self.assembly(at);
        }
        usual
    }

    /// Whether nobody said the system of a place.
    #[must_use]
    pub fn system_is_assumed(&self, place: usize) -> bool {
        self.system_of(place)
            .is_some_and(|state| state.system_is_assumed())
    }

    /// The outermost assembly that a silent piece follows; else itself.
    #[must_use]
    pub fn leader(&self, place: usize) -> usize {
        let mut leader = place;
        for _ in 0..MOST_LEVELS {
            match self.with[leader] {
                Some(above) if above != place => leader = above,
                Some(_) | None => break,
            }
        }
        leader
    }

    /// Silent pieces stand where the assembly stands that they are of.
    fn follow_assemblies(&mut self) {
        for place in 0..self.keys.len() {
            let state = self.states[place];
            let whole = assembly(state, self.ledger);
            self.assemblies[place] = whole.and_then(|whole| self.number(&whole.key));
            if state.is_silent() {
                self.with[place] = self.assemblies[place];
            }
        }
        let own = self.standings.clone();
        for place in 0..self.keys.len() {
            let leader = self.leader(place);
            if leader != place {
                self.standings[place] = match own[leader] {
                    // A piece goes with the unit it was in.
                    RefitStanding::Gone => RefitStanding::Stays,
                    // What is undone on an assembly is not undone on its pieces.
                    RefitStanding::Undone => own[place],
                    RefitStanding::Apart => RefitStanding::Here,
                    standing @ (RefitStanding::On
                    | RefitStanding::Here
                    | RefitStanding::Away
                    | RefitStanding::Stays) => standing,
                };
            }
        }
    }

    /// The assembly that a place last said it is a piece of.
    #[must_use]
    pub fn assembly(&self, place: usize) -> Option<usize> {
        self.assemblies[place]
    }
}

/// Where a place stands by its own records.
fn own_standing(state: &PlaceState) -> RefitStanding {
    let unit = state.unit();
    if unit.moved_to.is_some() {
        return RefitStanding::Stays;
    }
    let Some(status) = unit.status else {
        return RefitStanding::Here;
    };
    match status {
        Status::Fitted | Status::Loose => {
            if state.connections.iter().any(|link| link.open) {
                RefitStanding::Undone
            } else {
                RefitStanding::On
            }
        }
        Status::Undone => RefitStanding::Undone,
        Status::Removed | Status::Ready => RefitStanding::Here,
        Status::Apart => RefitStanding::Apart,
        Status::Out => RefitStanding::Away,
        Status::LeftOff => RefitStanding::Stays,
        Status::Replaced | Status::Scrapped | Status::Sold | Status::Missing => RefitStanding::Gone,
    }
}

/// Whether a part was in its place after a moment, with nothing undone.
fn is_on(moment: &TimelineStep) -> bool {
    moment
        .status
        .is_some_and(|status| status.is_on() && status != Status::Undone)
}

/// How often the part had come off or gone back by each moment: 1 when it was
/// off for the first time, 2 when it was back, 3 when it was off again.
#[must_use]
pub fn turns(timeline: &[TimelineStep]) -> Vec<usize> {
    let mut on = true;
    let mut turns = 0;
    timeline
        .iter()
        .map(|moment| {
            let now = is_on(moment);
            turns += usize::from(on != now);
            on = now;
            turns
        })
        .collect()
}

/// The moment in which the part left its place for the last time.
fn last_leaving(timeline: &[TimelineStep]) -> Option<&TimelineStep> {
    let turns = turns(timeline);
    let last = turns.iter().copied().filter(|turn| turn % 2 == 1).max()?;
    let at = turns.iter().position(|turn| *turn == last)?;
    timeline.get(at)
}
