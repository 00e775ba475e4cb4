//! Vehicles that people who know the trade took apart on paper, without sight of the
//! rules: the pairs that they insist on, and what they would put on tonight. Where the
//! program sees it otherwise, `disagreements.csv` beside the journal says why.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use matchmark::journal::Journal;
use matchmark::ledger::{Ledger, PlaceKey};
use matchmark::reports::parts::{Meant, NameContext};
use matchmark::reports::refit::{PlanNow, RefitPlan, plan};

/// The folders of these journals.
fn folders() -> Vec<PathBuf> {
    let data = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data");
    let mut folders: Vec<PathBuf> = std::fs::read_dir(data)
        .expect("a folder")
        .map(|item| item.expect("an item").path())
        .filter(|path| path.join("pairs.csv").exists())
        .collect();
    folders.sort();
    folders
}

/// The rows of a table.
fn rows<const N: usize>(file: &Path) -> Vec<[String; N]> {
    csv::Reader::from_path(file)
        .expect("a table")
        .deserialize()
        .map(|row| {
            let row: Vec<String> = row.expect("a row");
            row.try_into().expect("as many columns")
        })
        .collect()
}

fn label(part: &str, at: &str) -> String {
    match at {
        "" => part.to_owned(),
        at => format!("{part}, {at}"),
    }
}

/// The place that is called so.
fn place(part: &str, at: &str, ledger: &Ledger, journal: &Journal) -> PlaceKey {
    let names = NameContext {
        aliases: &ledger.aliases,
        context: &journal.context(),
        vehicle: None,
    };
    let meant = names.meant(&label(part, at), &ledger.places);
    let (Meant::One(key) | Meant::Near(key)) = meant else {
        panic!("{part}, {at}: {meant:?}");
    };
    key
}

/// Whether the plan knows that one is done before the other can go on: by its orders,
/// or as it waits for the first one's surface.
fn is_known(plan: &RefitPlan<'_>, first: usize, then: usize) -> bool {
    let orders = plan
        .order
        .known
        .iter()
        .map(|known| (known.first, known.then));
    let holds = plan.order.holds.iter().map(|hold| (hold.area, hold.place));
    let all: Vec<(usize, usize)> = orders.chain(holds).collect();
    let mut seen = BTreeSet::from([first]);
    let mut open = vec![first];
    while let Some(node) = open.pop() {
        for (_, next) in all.iter().filter(|(before, _)| *before == node) {
            if seen.insert(*next) {
                open.push(*next);
            }
        }
    }
    seen.remove(&first);
    seen.contains(&then)
}

/// What the program says of a part tonight.
fn verdict(plan: &RefitPlan<'_>, now: &PlanNow<'_>, place: usize) -> &'static str {
    let has = |steps: &[usize]| steps.iter().any(|step| plan.steps[*step] == place);
    if has(&now.tonight) || has(&now.bench) {
        "yes"
    } else if has(&now.then) || has(&now.perhaps) {
        "perhaps"
    } else {
        "no"
    }
}

#[test]
fn what_a_mechanic_insists_on_holds_on_vehicles_nobody_here_wrote() {
    let folders = folders();
    assert!(!folders.is_empty());
    let mut problems = Vec::new();
    for folder in folders {
        let journal = Journal::open(&folder).expect("a journal");
        let ledger = Ledger::fold(&journal.load().expect("texts").entries);
        let vehicle = journal.vehicles()[0].slug.clone();
        let plan = plan(&ledger, &vehicle, &journal.settings().systems);
        assert!(plan.knots.loops.is_empty(), "a false loop");
        let number = |part: &str, at: &str| {
            let key = place(part, at, &ledger, &journal);
            plan.places.number(&key).expect("a place")
        };
        let mut found: BTreeSet<[String; 4]> = BTreeSet::new();
        for [before, before_at, after, after_at, _] in rows(&folder.join("pairs.csv")) {
            let first = number(&before, &before_at);
            let then = number(&after, &after_at);
            let steps = (plan.step_of(first), plan.step_of(then));
            let wrong = matches!(steps, (Some(first), Some(then)) if first >= then);
            if is_known(&plan, then, first) || (wrong && is_known(&plan, first, then)) {
                problems.push(format!(
                    "{folder:?}: {before} {before_at} before {after}: reversed"
                ));
            }
            if !is_known(&plan, first, then) {
                let then = label(&after, &after_at);
                found.insert([
                    before,
                    before_at,
                    format!("before {then}"),
                    "unknown".into(),
                ]);
            }
        }
        let now = plan.now(false);
        for [part, at, said, _] in rows(&folder.join("tonight.csv")) {
            let ours = verdict(&plan, &now, number(&part, &at));
            if ours != said {
                found.insert([part, at, said, ours.to_owned()]);
            }
        }
        let listed = rows::<5>(&folder.join("disagreements.csv")).into_iter();
        let listed: BTreeSet<[String; 4]> = listed
            .map(|[part, at, said, ours, _]| [part, at, said, ours])
            .collect();
        for missing in found.difference(&listed) {
            problems.push(format!("{folder:?}: not listed: {missing:?}"));
        }
        for settled in listed.difference(&found) {
            problems.push(format!("{folder:?}: listed and so no more: {settled:?}"));
        }
    }
    assert!(problems.is_empty(), "{}", problems.join("\n"));
}
