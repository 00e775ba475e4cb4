//! What holds for every journal: random ones, written as a person would and read
//! by the real reader.

use std::collections::{BTreeMap, BTreeSet};

use matchmark::entry::{Entry, read_file};
use matchmark::ledger::Ledger;
use matchmark::reports::refit::{RefitPlan, RefitStanding, plan};
use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::select;

use crate::formats::context;

const PARTS: [&str; 14] = [
    "horn",
    "fuel tank",
    "filler neck",
    "brake drum, left front",
    "brake drum, right front",
    "wheel, left front",
    "wheel, right front",
    "wheel cylinder, left front",
    "starter motor",
    "battery",
    "bonnet",
    "bonnet hinge, left",
    "floor, rear",
    "pedal box",
];

fn part() -> impl Strategy<Value = &'static str> {
    select(&PARTS[..])
}

/// One line of facts.
fn fact() -> impl Strategy<Value = String> {
    let plain = select(vec![
        "status: removed",
        "status: removed",
        "status: removed",
        "status: fitted",
        "status: loose",
        "status: apart",
        "status: ready",
        "status: scrapped",
        "status: left off",
        "status: undone",
        "sent to: plater, back by 2026-05-01",
        "surface: bare",
        "surface: painted",
        "system: body",
        "system: fuel",
        "needs: paint it black",
        "needs: buy new seals",
        "done: painted black",
        "replaced by: reproduction",
        "replaced by: used\n  - old: scrapped",
        "holds up: fuel",
        "hands: 2",
        "stored: rack 2",
        "hardware: 4 strap bolt 3/8-24, bag 31; 2 felt pad, new",
        "undone: earth wire, to battery",
    ]);
    let of_other = (
        select(vec![
            "after",
            "after",
            "after",
            "refit after",
            "off after",
            "of",
            "holds up",
        ]),
        part(),
    )
        .prop_map(|(key, part)| format!("{key}: {part}"));
    prop_oneof![1 => plain.prop_map(str::to_owned), 1 => of_other]
}

/// The entries of some days, each with its records.
fn journal() -> impl Strategy<Value = Vec<String>> {
    let section = (part(), vec(fact(), 1..6))
        .prop_map(|(part, facts)| format!("## {part}\n\n- {}\n\n", facts.join("\n- ")));
    let front = select(vec!["", "status: removed\n", "system: brakes\n"]);
    let entry = (front, vec(section, 1..5));
    vec(entry, 1..8).prop_map(|entries| {
        let texts = entries.iter().enumerate().map(|(day, (front, sections))| {
            format!(
                "---\ndate: 2026-03-{:02}\nvehicle: wren\n{front}---\n\n# A day\n\n{}",
                day + 1,
                sections.concat()
            )
        });
        texts.collect()
    })
}

fn read(texts: &[String]) -> Vec<Entry> {
    texts
        .iter()
        .enumerate()
        .map(|(number, text)| {
            read_file(
                &format!("entries/2026/2026-03-x-{number}.md"),
                text,
                &context(),
            )
            .0
        })
        .collect()
}

fn plan_of(ledger: &Ledger) -> RefitPlan<'_> {
    plan(ledger, "wren", &context().systems)
}

/// The places that can go on tonight, by their names.
fn tonight(plan: &RefitPlan<'_>) -> BTreeSet<String> {
    plan.now(false)
        .tonight
        .iter()
        .map(|step| plan.places.states[plan.steps[*step]].label())
        .collect()
}

/// The places behind each by the known order, with whatever is passed on the
/// way.
fn behind(plan: &RefitPlan<'_>, start: usize) -> BTreeSet<usize> {
    let mut seen = BTreeSet::new();
    let mut open = vec![start];
    while let Some(place) = open.pop() {
        for known in plan.order.known.iter().filter(|known| known.first == place) {
            if seen.insert(known.then) {
                open.push(known.then);
            }
        }
    }
    seen
}

fn holds_everything_once_and_in_order(texts: &[String]) -> Result<(), TestCaseError> {
    let ledger = Ledger::fold(&read(texts));
    let plan = plan_of(&ledger);
    // Once: in the steps, among what cannot be put back, or in a loop.
    let mut times: BTreeMap<usize, usize> = BTreeMap::new();
    let on_loops: BTreeSet<usize> = plan
        .knots
        .loops
        .iter()
        .flatten()
        .map(|edge| plan.order.known[*edge].first)
        .filter(|place| plan.returns[*place])
        .collect();
    for place in plan
        .steps
        .iter()
        .copied()
        .chain(plan.blocked())
        .chain(on_loops.clone())
    {
        *times.entry(place).or_default() += 1;
    }
    for place in 0..plan.places.keys.len() {
        let wanted = usize::from(plan.places.standings[place].returns());
        prop_assert_eq!(
            times.get(&place).copied().unwrap_or_default(),
            wanted,
            "{}",
            plan.places.states[place].label()
        );
    }
    // In order, by way of what does not go back as well.
    let reaches: Vec<BTreeSet<usize>> = (0..plan.places.keys.len())
        .map(|place| behind(&plan, place))
        .collect();
    let knotted = |place: usize| {
        reaches[place].iter().any(|other| {
            *other != place && plan.returns[*other] && reaches[*other].contains(&place)
        })
    };
    for (at, step) in plan.steps.iter().enumerate() {
        for earlier in &plan.steps[..at] {
            // Inside a knot only what is said of the two themselves holds.
            let said = if knotted(*step) || knotted(*earlier) {
                plan.order
                    .known
                    .iter()
                    .any(|known| (known.first, known.then) == (*step, *earlier))
            } else {
                reaches[*step].contains(earlier)
            };
            prop_assert!(
                !said,
                "{} stands before {}",
                plan.places.states[*earlier].label(),
                plan.places.states[*step].label()
            );
        }
    }
    // And the same again, whatever order the entries are read in.
    let mut turned = read(texts);
    turned.reverse();
    let again = Ledger::fold(&turned);
    prop_assert_eq!(&plan.steps, &plan_of(&again).steps);
    prop_assert_eq!(&plan.knots.loops, &plan_of(&again).knots.loops);
    Ok(())
}

fn offers_only_what_can_go_on(texts: &[String]) -> Result<(), TestCaseError> {
    let ledger = Ledger::fold(&read(texts));
    let plan = plan_of(&ledger);
    let now = plan.now(false);
    for step in now.tonight.iter().chain(&now.perhaps) {
        let place = plan.steps[*step];
        let name = plan.places.states[place].label();
        let standing = plan.places.standings[place];
        prop_assert!(
            matches!(standing, RefitStanding::Here | RefitStanding::Undone),
            "{name}"
        );
        for other in 0..plan.places.keys.len() {
            if other != place
                && behind(&plan, other).contains(&place)
                && !behind(&plan, place).contains(&other)
            {
                prop_assert!(
                    !plan.is_off(other),
                    "{name} is offered before {}",
                    plan.places.states[other].label()
                );
            }
        }
        for other in behind(&plan, place) {
            prop_assert!(
                plan.places.standings[other] != RefitStanding::On,
                "{name} goes under what is on"
            );
        }
        for hold in &plan.order.holds {
            prop_assert!(hold.place != place, "{name} is held up");
        }
        if let Some(carrier) = plan.carrier(place) {
            prop_assert!(
                false,
                "{name} goes into {}",
                plan.places.states[carrier].label()
            );
        }
    }
    // Nothing earlier in the plan is off in the same system or corner.
    for step in &now.tonight {
        let place = plan.steps[*step];
        for earlier in &plan.steps[..*step] {
            let (one, other) = (plan.places.states[place], plan.places.states[*earlier]);
            let same_system = plan.places.system(place) == plan.places.system(*earlier);
            let same_corner = !one.at.corner().is_empty() && one.at.corner() == other.at.corner();
            let piece = plan.carrier(*earlier).is_some();
            prop_assert!(
                piece || !plan.is_off(*earlier) || !(same_system || same_corner),
                "{} before {}",
                one.label(),
                other.label()
            );
        }
    }
    Ok(())
}

fn counts_right_what_waits(texts: &[String]) -> Result<(), TestCaseError> {
    let ledger = Ledger::fold(&read(texts));
    let plan = plan_of(&ledger);
    if !plan.knots.loops.is_empty() {
        return Ok(());
    }
    let all: Vec<usize> = (0..plan.places.keys.len()).collect();
    for (place, waiting) in all.iter().zip(plan.waiting(&all)) {
        let held = plan
            .order
            .holds
            .iter()
            .filter(|hold| hold.area == *place)
            .map(|hold| hold.place);
        let mut behind_it = behind(&plan, *place);
        for held in held {
            behind_it.insert(held);
            behind_it.extend(behind(&plan, held));
        }
        behind_it.retain(|other| other != place && plan.returns[*other]);
        prop_assert_eq!(waiting.all, behind_it.len());
        prop_assert!(waiting.direct <= waiting.all);
        prop_assert_eq!(waiting.direct == 0, waiting.all == 0);
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn a_plan_holds_everything_once_and_in_order(texts in journal()) {
        holds_everything_once_and_in_order(&texts)?;
    }

    /// What is offered for tonight is at hand, has nothing open, and nothing it
    /// hangs on is off; what is already on need not come off for it.
    #[test]
    fn tonight_offers_nothing_that_cannot_go_on(texts in journal()) {
        offers_only_what_can_go_on(&texts)?;
    }

    /// Closing a need never makes fewer parts fit tonight.
    #[test]
    fn work_done_takes_nothing_away(texts in journal(), which in any::<prop::sample::Index>()) {
        let ledger = Ledger::fold(&read(&texts));
        let before = tonight(&plan_of(&ledger));
        let open: Vec<String> = ledger
            .recorded()
            .filter(|(_, state)| state.open_needs().next().is_some())
            .map(|(_, state)| state.label())
            .collect();
        if open.is_empty() {
            return Ok(());
        }
        let mut more = texts.clone();
        more.push(format!(
            "---\ndate: 2026-03-20\nvehicle: wren\n---\n\n# Work\n\n## {}\n\n- done: all\n",
            which.get(&open)
        ));
        let ledger = Ledger::fold(&read(&more));
        let after = tonight(&plan_of(&ledger));
        prop_assert!(before.is_subset(&after), "{before:?} {after:?}");
    }

    /// Counting behind many places at once comes to what walking comes to.
    #[test]
    fn what_waits_is_counted_right(texts in journal()) {
        counts_right_what_waits(&texts)?;
    }
}

/// Found at random once: loops by way of what does not go back.
#[test]
fn plans_that_once_were_wrong_are_right() {
    let journals: [&[&str]; 3] = [
        &[
            "---\ndate: 2026-03-01\nvehicle: wren\nsystem: brakes\n---\n\n# A day\n\n## brake drum, right front\n\n- status: undone\n\n## wheel, left front\n\n- refit after: horn\n- after: filler neck\n\n## horn\n\n- after: brake drum, right front\n\n",
            "---\ndate: 2026-03-02\nvehicle: wren\n---\n\n# A day\n\n## filler neck\n\n- status: removed\n- after: horn\n\n## horn\n\n- status: removed\n\n",
            "---\ndate: 2026-03-03\nvehicle: wren\n---\n\n# A day\n\n## fuel tank\n\n- of: filler neck\n\n",
        ],
        &[
            "---\ndate: 2026-03-01\nvehicle: wren\n---\n\n# A day\n\n## fuel tank\n\n- status: ready\n\n## wheel, left front\n\n- refit after: fuel tank\n\n## wheel, left front\n\n- after: pedal box\n- status: removed\n\n",
            "---\ndate: 2026-03-02\nvehicle: wren\n---\n\n# A day\n\n## pedal box\n\n- replaced by: reproduction\n\n## bonnet\n\n- after: wheel, left front\n\n",
            "---\ndate: 2026-03-03\nvehicle: wren\n---\n\n# A day\n\n## bonnet\n\n- status: fitted\n- after: pedal box\n\n",
        ],
        // One knot that leads into another.
        &[
            "---\ndate: 2026-03-01\nvehicle: wren\nsystem: brakes\n---\n\n# A day\n\n## pedal box\n\n- status: removed\n\n## wheel, left front\n\n- status: apart\n- refit after: filler neck\n\n## bonnet hinge, left\n\n- status: removed\n\n",
            "---\ndate: 2026-03-02\nvehicle: wren\n---\n\n# A day\n\n## starter motor\n\n- status: removed\n\n",
            "---\ndate: 2026-03-03\nvehicle: wren\n---\n\n# A day\n\n## fuel tank\n\n- after: pedal box\n- status: apart\n\n",
            "---\ndate: 2026-03-04\nvehicle: wren\n---\n\n# A day\n\n## horn\n\n- after: pedal box\n- replaced by: reproduction\n\n## fuel tank\n\n- after: wheel, left front\n\n",
            "---\ndate: 2026-03-05\nvehicle: wren\n---\n\n# A day\n\n## filler neck\n\n- refit after: wheel, left front\n- stored: rack 2\n- after: bonnet hinge, left\n\n## brake drum, left front\n\n- after: fuel tank\n- refit after: pedal box\n\n",
        ],
    ];
    for texts in journals {
        let texts: Vec<String> = texts.iter().map(|text| (*text).to_owned()).collect();
        for check in [
            holds_everything_once_and_in_order,
            offers_only_what_can_go_on,
            counts_right_what_waits,
        ] {
            check(&texts).unwrap_or_else(|error| panic!("{error}: {texts:?}"));
        }
    }
}
