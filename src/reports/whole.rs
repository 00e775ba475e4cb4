//! What a heading speaks of that is no part's name: a system or a vehicle as a
//! whole.
//!
//! To the ledger it is a place like any other; only who asks about systems and
//! vehicles has to tell them apart.

use crate::entry::Context;
use crate::ledger::PlaceState;

/// What a record is about.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum RecordSubject {
    /// A part.
    Part,
    /// A system as a whole, as the journal writes it.
    System(String),
    /// Its vehicle as a whole.
    Vehicle,
}

/// What the records of a place are about.
#[must_use]
pub fn about(state: &PlaceState, context: &Context) -> RecordSubject {
    if !state.at.is_empty() {
        return RecordSubject::Part;
    }
    if let Some(system) = context.system(&state.name) {
        return RecordSubject::System(system.to_owned());
    }
    let own = context.vehicle(&state.name);
    match own.is_some_and(|vehicle| vehicle.slug == state.vehicle) {
        true => RecordSubject::Vehicle,
        false => RecordSubject::Part,
    }
}

/// The system that a place counts for: its own, or the one it is.
#[must_use]
pub fn system_of(state: &PlaceState, context: &Context) -> Option<String> {
    match about(state, context) {
        RecordSubject::System(system) => Some(system),
        RecordSubject::Part | RecordSubject::Vehicle => state.system.clone(),
    }
}

/// Whether nobody said the system that a place counts for.
#[must_use]
pub fn assumed(state: &PlaceState, context: &Context) -> bool {
    about(state, context) == RecordSubject::Part && state.system_is_assumed()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::entry::{Vehicle, read_file};
    use crate::ledger::Ledger;
    use crate::vocabulary::money::Currency;
    use crate::vocabulary::position::Driven;

    #[test]
    fn systems_and_vehicles_are_no_parts() {
        let vehicle = |slug: &str, name: &str| Vehicle {
            slug: slug.into(),
            name: name.into(),
            driven: Driven::Unsaid,
        };
        let context = Context {
            systems: vec!["brakes".into()],
            vehicles: vec![
                vehicle("wren", "Brindle Wren"),
                vehicle("pavetta", "Pavetta"),
            ],
            currency: Currency::EUR,
        };
        let text = "---\ndate: 2026-03-14\nvehicle: wren\n---\n\n# An evening\n\n\
                    ## BRAKES\n\n- needs: bleed\n\n## Brindle Wren\n\n- needs: wash it\n\n\
                    ## Pavetta\n\n- needs: a stand\n\n## Brake, left\n\n- needs: shoes\n";
        let ledger = Ledger::fold(&[read_file("entries/x.md", text, &context).0]);
        let all: Vec<(String, RecordSubject)> = ledger
            .recorded()
            .map(|(_, state)| (state.label(), about(state, &context)))
            .collect();
        let is = |name: &str, wanted: RecordSubject| {
            assert!(all.contains(&(name.to_owned(), wanted)), "{name}: {all:?}");
        };
        is("BRAKES", RecordSubject::System("brakes".into()));
        is("Brindle Wren", RecordSubject::Vehicle);
        // Another vehicle's name on this one is a part that happens to be called so.
        is("Pavetta", RecordSubject::Part);
        is("Brake, left", RecordSubject::Part);
    }
}
