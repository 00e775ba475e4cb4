//! What every bag comes to: whatever is written, nothing is lost, nothing is
//! counted twice, and the answer is the same on every run.

use matchmark::entry::Entry;
use matchmark::ledger::{Bags, Filling, Ledger, Lot};
use matchmark::reports::bags::{Asked, Bag, bags};
use proptest::prelude::*;

use super::ledger::entries;

/// Everything that was written down as having come off, in pieces: with a part,
/// or in a section about a bag.
fn came_off(ledger: &Ledger) -> u64 {
    let own = ledger
        .recorded()
        .flat_map(|(_, state)| &state.hardware)
        .filter(|pieces| !pieces.hardware.to_buy())
        .map(|pieces| u64::from(pieces.hardware.count()));
    let sections = ledger
        .bag_sections
        .iter()
        .flat_map(|section| &section.hardware)
        .filter(|(hardware, _)| !hardware.to_buy())
        .map(|(hardware, _)| u64::from(hardware.count()));
    own.chain(sections).sum()
}

fn balanced(lot: &Lot) -> Result<(), TestCaseError> {
    let (put_in, short) = (u64::from(lot.put_in()), u64::from(lot.short()));
    let (used, left) = (u64::from(lot.used()), u64::from(lot.left()));
    prop_assert_eq!(put_in + short, used + left, "{:?}", lot);
    prop_assert!(left <= put_in, "{lot:?}");
    prop_assert!(lot.used.is_some() || used == 0, "{lot:?}");
    Ok(())
}

fn adds_up(bag: &Bag) -> Result<(), TestCaseError> {
    for piece in &bag.pieces {
        prop_assert_eq!(
            piece.put_in + piece.short,
            piece.used + piece.left,
            "{:?}",
            bag
        );
    }
    Ok(())
}

fn told(entries: &[Entry]) -> (Ledger, Vec<Bag>) {
    let ledger = Ledger::fold(entries);
    let asked = Asked {
        wanted: &|_| true,
        whole_vehicle: &|_| true,
    };
    let told = bags(&ledger, &asked).bags;
    (ledger, told)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn of_every_bag_and_kind_in_and_short_is_used_and_left(entries in entries()) {
        let (ledger, told) = told(&entries);
        let reckoned = Bags::reckon(&ledger);
        let mut put_in = 0;
        let fillings = reckoned.fillings.iter().flat_map(|filling| &filling.lots);
        for lot in fillings.chain(&reckoned.loose) {
            balanced(lot)?;
            put_in += u64::from(lot.put_in());
        }
        prop_assert_eq!(put_in + reckoned.counted_again, came_off(&ledger));
        for bag in &told {
            adds_up(bag)?;
            for earlier in &bag.earlier {
                adds_up(earlier)?;
            }
        }
        let shown: usize = told.iter().map(|bag| 1 + bag.earlier.len()).sum();
        prop_assert_eq!(shown, reckoned.fillings.len());
    }

    #[test]
    fn a_bag_is_filled_again_only_when_it_is_empty(entries in entries()) {
        let reckoned = Bags::reckon(&Ledger::fold(&entries));
        for pair in reckoned.fillings.windows(2) {
            let [one, next]: &[Filling; 2] = pair.try_into().expect("two");
            if one.bag == next.bag {
                prop_assert_eq!(one.number + 1, next.number);
                prop_assert!(one.emptied().expect("empty") < next.begun().expect("begun"));
            } else {
                prop_assert_eq!(next.number, 1);
            }
        }
    }

    #[test]
    fn the_answer_is_the_same_on_every_run(entries in entries(), turn in 0_usize..9) {
        let (_, once) = told(&entries);
        let mut turned = entries.clone();
        turned.reverse();
        turned.rotate_left(turn.min(entries.len()));
        let (_, again) = told(&turned);
        prop_assert_eq!(once, again);
    }
}
