//! What every bag comes to: whatever is written, nothing is lost, nothing is
//! counted twice, and the answer is the same on every run.

use matchmark::entry::{Entry, read_file};
use matchmark::ledger::{BagLedger, Filling, Ledger, Lot, PlaceKey};
use matchmark::problem::Spot;
use matchmark::reports::bags::{Bag, PartSelection, bags};
use proptest::prelude::*;

use super::context;
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

/// What the records that were counted against a lot say: left over, missing.
fn said(ledger: &Ledger, lot: &Lot) -> (u64, u64) {
    let of_lot = |(place, spot): &(PlaceKey, Spot)| {
        let counted = ledger.places[place].counted.iter();
        let here = counted.filter(|counted| counted.spot == *spot);
        here.map(|counted| (counted.left, u64::from(counted.hardware.count())))
            .collect::<Vec<_>>()
    };
    let all: Vec<(bool, u64)> = lot.counts.iter().flat_map(of_lot).collect();
    let sum = |left: bool| {
        all.iter()
            .filter(|one| one.0 == left)
            .map(|one| one.1)
            .sum()
    };
    (sum(true), sum(false))
}

/// A lot against what the records say, rather than against itself.
fn balanced(ledger: &Ledger, lot: &Lot) -> Result<(), TestCaseError> {
    let (put_in, short) = (u64::from(lot.put_in()), u64::from(lot.short()));
    let (used, left) = (u64::from(lot.used()), u64::from(lot.left()));
    let (over, missing) = said(ledger, lot);
    if lot.used.is_none() {
        prop_assert_eq!((used, left, short), (0, put_in, 0), "{:?}", lot);
        return Ok(());
    }
    prop_assert_eq!(short, missing, "{:?}", lot);
    prop_assert!(left <= over.min(put_in), "{over} left over: {lot:?}");
    prop_assert_eq!(used, put_in - left + missing, "{:?}", lot);
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
    let asked = PartSelection {
        with_entries: true,
        wanted: &|_| true,
        whole_vehicle: &|_| true,
    };
    let told = bags(&ledger, &asked).bags;
    (ledger, told)
}

/// A section as long as a book, in parts and in kinds. What takes four times as
/// long for twice as much does not end in time.
#[test]
fn a_bag_of_thousands_is_reckoned_in_time() {
    let count = 3_000;
    let mut text = "---\ndate: 2026-03-14\nvehicle: wren\n---\n\n# A bag\n\n- removed: ".to_owned();
    let parts: Vec<String> = (0..count).map(|part| format!("part {part}")).collect();
    text.push_str(
        &parts
            .chunks(500)
            .map(|some| some.join("; "))
            .collect::<Vec<_>>()
            .join("\n- removed: "),
    );
    text.push_str("\n\n## Bag 12\n\n");
    for some in parts.chunks(500) {
        text.push_str(&format!("- holds: {}\n", some.join("; ")));
    }
    for kind in 0..count {
        text.push_str(&format!("- hardware: 2 bolt M8 x {kind}\n"));
    }
    let (send, receive) = std::sync::mpsc::channel();
    std::thread::spawn(move || {
        let entry = read_file("entries/2026/2026-03-14-bag.md", &text, &context()).0;
        let (_, bags) = told(&[entry]);
        let _ = send.send((bags[0].parts.len(), bags[0].pieces.len()));
    });
    let answer = receive.recv_timeout(std::time::Duration::from_secs(60));
    assert_eq!(answer, Ok((count, count)), "not in time");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn of_every_bag_and_kind_in_and_short_is_used_and_left(entries in entries()) {
        let (ledger, told) = told(&entries);
        let reckoned = BagLedger::reckon(&ledger);
        let mut put_in = 0;
        let fillings = reckoned.fillings.iter().flat_map(|filling| &filling.lots);
        for lot in fillings.chain(&reckoned.loose) {
            balanced(&ledger, lot)?;
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
        let reckoned = BagLedger::reckon(&Ledger::fold(&entries));
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
