//! Sections as people type them.

use crate::entry::{Context, read};
use crate::vocabulary::money::Currency;

fn context() -> Context {
    Context {
        systems: vec!["brakes".into()],
        vehicles: Vec::new(),
        currency: Currency::EUR,
    }
}

/// The records of a text as `name: key value; key value`, and its warnings.
fn read_below(body: &str) -> (Vec<String>, Vec<String>) {
    let text = format!("---\ndate: 2026-03-14\nvehicle: wren\n---\n\n# An evening\n\n{body}\n");
    let (entry, problems) = read(&text, &context());
    let record = |record: &crate::entry::Record| {
        let facts: Vec<String> = record
            .facts
            .iter()
            .map(|stated| format!("{} {}", stated.key.word(), stated.written))
            .collect();
        format!("{}: {}", record.name.written(), facts.join("; "))
    };
    let grave =
        |problem: &&crate::problem::Problem| problem.severity != crate::problem::Severity::Note;
    (
        entry.records.iter().map(record).collect(),
        problems
            .iter()
            .filter(grave)
            .map(|problem| problem.message.clone())
            .collect(),
    )
}

#[test]
fn facts_under_a_part_however_they_are_typed() {
    for (body, expected) in [
        (
            "## Horn\n\nRemoved today. Bag 5. Put on rack 3.",
            "Horn: status Removed today; bag 5; stored rack 3",
        ),
        (
            "## Horn\n\noff, 2 springs, bag 4",
            "Horn: status off; hardware 2 springs, bag 4",
        ),
        (
            "## Horn\n\nA pig to get at.\n\nstatus: off\nbag: 18",
            "Horn: status off; bag 18",
        ),
        (
            "## Horn\n\nStatsu: removed\nStored rack 4\nFuond: stuck",
            "Horn: status removed; stored rack 4; found stuck",
        ),
        (
            "## Horn\n\n- Removed\n- it was hot that day",
            "Horn: status Removed",
        ),
        (
            "## Horn\n\n- condtion: good\n- Put: bottom shelf",
            "Horn: found good; stored bottom shelf",
        ),
        (
            "## Horn\n\n- off. 4 nuts bag six, the fifth would not",
            "Horn: status off; hardware 4 nuts bag six, the fifth would not",
        ),
        (
            "## Horn\n\n- lives: under the bench\n- off",
            "Horn: stored under the bench; status off",
        ),
        (
            "## Horn\n\n- still on the floor\n- removed",
            "Horn: stored on the floor; status removed",
        ),
        (
            "## Horn\n\nThis one was a pig.\nremoved\nbag 3",
            "Horn: status removed; bag 3",
        ),
        (
            "## Horn\n\nTaken off with the grille.\n\n- found: dusty",
            "Horn: status Taken off with the grille; found dusty",
        ),
        (
            "## Horn\n\nOff it came\nbag 3",
            "Horn: status Off it came; bag 3",
        ),
        (
            "## Horn\n\nRemoved it this am.\n- hardware: 2 nuts M6, bag 3",
            "Horn: status Removed it this am; hardware 2 nuts M6, bag 3",
        ),
        (
            "## Horn\n\nremoved. 4 screws, no bag yet. Cracked at the mount.",
            "Horn: status removed; hardware 4 screws, no bag yet; found Cracked at the mount",
        ),
        (
            "## Horn\n\nhardware 4 bolts M8 bag 3",
            "Horn: hardware 4 bolts M8 bag 3",
        ),
        (
            "## Horn\n\n- off, in bag 2, 1.5 h",
            "Horn: status off; bag 2; hours 1.5 h",
        ),
        (
            "## Horn\n\n- off - bag 3 - loft",
            "Horn: status off; bag 3; stored loft",
        ),
        ("## Horn\n\n- off (bag 3)", "Horn: status off; bag 3"),
        (
            "## Horn\n\n- status: removed bag: 3 stored: loft",
            "Horn: status removed; bag 3; stored loft",
        ),
        (
            "## Horn\n\n- status: off\n- stored: shelf 3, bag 12",
            "Horn: status off; stored shelf 3; bag 12",
        ),
        (
            "## Horn\n\n- status: off\n- stored: on the bench, in the box frame",
            "Horn: status off; stored on the bench, in the box frame",
        ),
        (
            "## Horn\n\n- status: off\n- found: worn, needs a new bush",
            "Horn: status off; found worn; needs a new bush",
        ),
        (
            "## Horn\n\n- on\n- one screw short",
            "Horn: status on; short one screw",
        ),
        (
            "## Horn\n\n- bags: 8 and 9\n- off",
            "Horn: bag 8; bag 9; status off",
        ),
        (
            "## Horn\n\n- off, all nuts in bag 4",
            "Horn: status off; bag 4",
        ),
        (
            "## Horn\n\n- missing 1 screw\n- off",
            "Horn: hardware missing 1 screw; status off",
        ),
    ] {
        let (records, _) = read_below(body);
        let first = records
            .first()
            .map(|found| found.split("; found it was").next().unwrap_or(found));
        assert_eq!(first, Some(expected), "{body}: {records:?}");
    }
}

#[test]
fn stories_stay_stories() {
    for body in [
        "## Lessons\n\n- Buy: beer\n- off to bed",
        "## What I thought\n\n- off to the shop tomorrow for a while\n- bag everything",
        "## Horn\n\nIt had been off once before, long ago, and somebody had put it back with string.",
        "## Horn\n\nThe note on it said so.\n\nOn saturday: rain. On sunday: more.",
        "- on: monday we rested\n- off: nobody came",
    ] {
        let (records, _) = read_below(body);
        assert!(records.is_empty(), "{body}: {records:?}");
    }
}

#[test]
fn what_is_not_read_under_a_part_is_said() {
    for (body, said) in [
        (
            "## Horn\n\n- Removed\n- linings down to the rivets",
            "has no key",
        ),
        (
            "## Horn\n\nwith the other one.\nin bag 4 then",
            "is read as words",
        ),
        (
            "## Horn\n\nThe old one was taken off in spring.\n\n- found: dusty",
            "where does the part stand",
        ),
        (
            "## Horn\n\nThe old one was taken off in spring.",
            "is read as words",
        ),
        ("- off: fan belt, air filter", "was read as 2 parts"),
        (
            "## Bottom one same corner\n\n- off",
            "points to another heading",
        ),
        (
            "## The other one\n\n- status: off",
            "points to another heading",
        ),
        ("## Wiper arm, left?\n\n- status: off", "is it so"),
        (
            "## Inlet and exhaust manifold\n\n- status: off",
            "name of one part",
        ),
        ("## Horn\n\n- off\n- one screw short", "was read as `short`"),
        (
            "## Horn\n\n- off\n- same again but two screws",
            "leaves open",
        ),
    ] {
        let (_, problems) = read_below(body);
        assert!(
            problems.iter().any(|one| one.contains(said)),
            "{body}: {problems:?}"
        );
    }
}

#[test]
fn the_short_form_in_other_words() {
    for (body, expected) in [
        (
            "- off: horn; fan belt",
            vec!["horn: status off", "fan belt: status off"],
        ),
        (
            "- on: grille, horn",
            vec!["grille: status on", "horn: status on"],
        ),
        ("- undid: earth wire", vec!["earth wire: status undid"]),
        ("- taken off: horn", vec!["horn: status taken off"]),
        ("- put back: horn", vec!["horn: status put back"]),
        (
            "- off for good: wiper arms",
            vec!["wiper arms: status off for good"],
        ),
        ("- unplugged: horn", vec!["horn: status unplugged"]),
    ] {
        let (records, problems) = read_below(body);
        let names: Vec<&str> = records
            .iter()
            .filter_map(|one| one.split(':').next())
            .collect();
        let expected: Vec<&str> = expected
            .iter()
            .filter_map(|one| one.split(':').next())
            .collect();
        assert_eq!(names, expected, "{body}: {records:?} {problems:?}");
    }
}
