//! The ledger comes to the same however it is folded: all at once, day after
//! day, in any order of the entries, one place alone, or kept as bytes.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::date;
use matchmark::entry::{Entry, read_file};
use matchmark::ledger::{Ledger, PlaceEvent, PlaceKey, PlaceState, events, fold_place};
use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::select;

use super::context;

const PARTS: [&str; 10] = [
    "horn",
    "Horns",
    "hooter",
    "fuel tank",
    "brake drum, left front",
    "brake drum, right front",
    "brake drum",
    "starter motor",
    "floor",
    "filler neck",
];

fn part() -> impl Strategy<Value = &'static str> {
    select(&PARTS[..])
}

/// One line of facts.
fn fact() -> impl Strategy<Value = String> {
    let plain = vec![
        "status: removed",
        "status: fitted",
        "status: fitted",
        "status: loose",
        "status: apart",
        "status: ready",
        "status: scrapped",
        "status: sold",
        "status: missing",
        "status: left off",
        "status: out",
        "status: blasted",
        "status: primed",
        "surface: bare",
        "hands: 2",
        "at: left front; right front",
        "at: left",
        "hardware: 4 strap bolt 3/8-24, bag 31; 2 felt pad, new",
        "hardware: 3 screw",
        "bag: 7",
        "bag: 31",
        "stored: rack 2",
        "stored: shelf",
        "sent to: plater, back by 2026-05-01",
        "found: rust",
        "needs: turn the drum; buy new seals, by 2026-05-01",
        "needs: paint it black",
        "done: turned",
        "done: painted",
        "done: all",
        "cost: 84.50 hinge",
        "cost: GBP -3 back",
        "hours: 0:45",
        "torque: 75-90 lbf·ft, shop manual 3-12",
        "hardware: 5 clip, bag 7; 2 washer M8; 1 stud, sheared",
        "leftover: 1 strap bolt",
        "leftover: 9 strap bolts 3/8-24, bag 31",
        "leftover: 1 clip",
        "short: 2 screw",
        "short: 1 clip, bag 7",
        "question: which way round?",
        "answer: the other way round",
        "lesson: drain first",
        "caution: petrol vapour",
        "number: BC57-2140-C",
        "system: body",
        "system: fuel",
        "also: hooter",
        "also: bugle",
        "photo: photos/a.jpg",
        "tool: pliers, return by 2026-05-01",
        "manual: 9-14",
        "replaced by: reproduction",
        "replaced by: used\n  - cost: 12\n  - old: scrapped",
        "replaced by: used\n  - from: pavetta, starter motor",
        "replaced by: used\n  - from: pavetta, horn\n  - old: kept",
        "holds up: fuel",
        "undone: earth wire, to horn",
        "weight: heavy",
        "vehicle: pavetta",
    ];
    let of_other = (
        select(vec!["after", "off after", "refit after", "of", "holds"]),
        part(),
    )
        .prop_map(|(key, part)| format!("{key}: {part}"));
    prop_oneof![4 => select(plain).prop_map(str::to_owned), 1 => of_other]
}

fn section() -> impl Strategy<Value = String> {
    let record = (part(), vec(fact(), 1..6)).prop_map(|(part, facts)| {
        format!(
            "## {part}\n\n- {}\n\nA word about it.\n\n",
            facts.join("\n- ")
        )
    });
    let label = select(vec!["7", "31", "coffee tin"]);
    let pieces = select(vec!["6 clip", "3 screw; 2 felt pad, new", "1 cap; 4 clips"]);
    let bag = (label, part(), part(), pieces).prop_map(|(label, one, other, pieces)| {
        format!("## Bag {label}\n\n- holds: {one}; {other}\n- hardware: {pieces}\n\n")
    });
    prop_oneof![5 => record, 1 => bag]
}

/// The text of an entry of a day in March.
pub fn text() -> impl Strategy<Value = (i8, String)> {
    let short = (
        select(vec!["removed", "fitted", "undone", "bare", "missing"]),
        part(),
        part(),
    )
        .prop_map(|(word, one, other)| format!("- {word}: {one}; {other}\n- stored: rack 9\n\n"));
    let front = select(vec![
        "",
        "status: removed\n",
        "system: brakes\n",
        "part: horn\nstatus: apart\nneeds: paint it\n",
        "time: 18:30\n",
        "bag: 12\nstatus: removed\n",
    ]);
    let vehicle = select(vec!["wren", "wren", "wren", "pavetta"]);
    (1_i8..6, vehicle, front, prop::option::of(short), vec(section(), 0..4)).prop_map(
        |(day, vehicle, front, short, sections)| {
            let short = short.unwrap_or_default();
            let text = format!(
                "---\ndate: 2026-03-0{day}\nvehicle: {vehicle}\n{front}---\n\n# An evening\n\n{short}{}",
                sections.concat()
            );
            (day, text)
        },
    )
}

/// Some entries, one file each, several of a day.
pub fn entries() -> impl Strategy<Value = Vec<Entry>> {
    vec(text(), 0..9).prop_map(|texts| {
        texts
            .iter()
            .enumerate()
            .map(|(number, (day, text))| {
                // Files of a day are numbered against their order here.
                let path = format!("entries/2026/2026-03-0{day}-{}-x.md", 20 - number);
                read_file(&path, text, &context()).0
            })
            .collect()
    })
}

fn same(
    one: &BTreeMap<PlaceKey, PlaceState>,
    other: &BTreeMap<PlaceKey, PlaceState>,
) -> Result<(), TestCaseError> {
    let keys: BTreeSet<&PlaceKey> = one.keys().chain(other.keys()).collect();
    for key in keys {
        prop_assert_eq!(one.get(key), other.get(key));
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn folding_day_after_day_is_folding_all(entries in entries(), day in 0_i8..7) {
        let all = Ledger::fold(&entries);
        let last = date(2026, 3, day.max(1));
        let mut ledger = Ledger::fold_until(&entries, Some(last));
        ledger.extend(entries.iter().filter(|entry| entry.date.is_some_and(|date| date > last)));
        same(&ledger.places, &all.places)?;
    }

    #[test]
    fn the_order_of_entries_does_not_matter(entries in entries(), turn in 0_usize..9) {
        let all = Ledger::fold(&entries);
        let mut turned = entries.clone();
        turned.reverse();
        let turn = turn.min(turned.len());
        turned.rotate_left(turn);
        let ledger = Ledger::fold(&turned);
        prop_assert_eq!(&ledger.aliases, &all.aliases);
        same(&ledger.places, &all.places)?;
    }

    #[test]
    fn each_place_alone_is_as_in_the_whole(entries in entries()) {
        let all = Ledger::fold(&entries);
        for (key, state) in &all.places {
            let alone = fold_place(key, &entries, &all.aliases);
            prop_assert_eq!(alone.as_ref(), Some(state));
            let kept = PlaceState::from_bytes(&state.to_bytes());
            prop_assert_eq!(kept.as_ref(), Some(state));
            let again = PlaceKey::from_text(&key.to_string());
            prop_assert_eq!(again.as_ref(), Some(key));
        }
        let unheard = PlaceKey { vehicle: "wren".into(), name: "nothing".into(), at: String::new() };
        prop_assert_eq!(fold_place(&unheard, &entries, &all.aliases), None);
    }

    #[test]
    fn what_happens_is_told_of_a_known_place(entries in entries()) {
        let all = Ledger::fold(&entries);
        for entry in &entries {
            for PlaceEvent { place, when, .. } in events(entry, &all.aliases) {
                prop_assert!(all.places.contains_key(&place));
                prop_assert_eq!(&when.entry, &entry.path);
            }
        }
        for problem in all.problems(&entries) {
            let entry = entries.iter().find(|entry| entry.path == problem.spot.file);
            prop_assert!(entry.is_some(), "{problem:?}");
            let broken = entry.and_then(|entry| super::outside(&problem, &entry.text));
            prop_assert_eq!(broken, None);
        }
    }
}

/// Names are joined for one vehicle; the same names of another stay apart.
#[test]
fn joined_names_are_of_one_vehicle() {
    let entry = |vehicle: &str, part: &str, other: &str| {
        let text = format!(
            "---\ndate: 2026-03-14\nvehicle: {vehicle}\n---\n\n# An evening\n\n## {part}\n\n- also: {other}\n"
        );
        read_file(&format!("entries/{vehicle}.md"), &text, &context()).0
    };
    let aliases = Ledger::fold(&[
        entry("pavetta", "klaxon", "horn"),
        entry("wren", "bugle", "klaxon"),
    ])
    .aliases;
    assert_eq!(aliases.resolve("pavetta", "horn"), "klaxon");
    assert_eq!(aliases.resolve("wren", "klaxon"), "bugle");
    assert_eq!(aliases.resolve("wren", "horn"), "horn");
}
