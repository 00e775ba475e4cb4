//! The words of a refit plan: what a step waits for, what goes with it.

use jiff::civil::Date;

use crate::ledger::Dated;
use crate::presentation::replaced::kind_and_words;
use crate::problem::Spot;
use crate::reports::cautions::{Raised, of_step, once};
use crate::reports::lacking;
use crate::reports::refit::{
    Blocker, Connect, FIGURE_MISSING, OrderConstraint, OrderReason, RefitReport, RefitStanding,
    WHOM_TO_ASK, Wait, hardware, lacks_torque, piece_words,
};
use crate::reports::torque::in_both_systems;
use crate::vocabulary::named_picture::NamedPicture;
use crate::vocabulary::reference::Reference;

/// "entries/2026/2026-03-14-x.md:12".
#[must_use]
pub fn spot_words(spot: &Spot) -> String {
    format!("{}:{}", spot.file, spot.line)
}

/// A place as it is called.
#[must_use]
pub fn label(answer: &RefitReport<'_>, place: usize) -> String {
    answer.plan.places.states[place].label()
}

/// The name of a place in the middle of a sentence, with its step if it has one.
#[must_use]
pub fn named(answer: &RefitReport<'_>, place: usize) -> String {
    let label = lower(&label(answer, place));
    match answer.step_of(place) {
        Some(step) => format!("{label} (step {step})"),
        None => label,
    }
}

/// A name as it stands in the middle of a sentence: small, unless it looks like
/// an abbreviation.
#[must_use]
pub fn lower(text: &str) -> String {
    let mut chars = text.chars();
    let (Some(first), second) = (chars.next(), chars.clone().next()) else {
        return String::new();
    };
    if second.is_some_and(|second| second.is_uppercase() || second.is_ascii_digit()) {
        return text.to_owned();
    }
    first.to_lowercase().chain(chars).collect()
}

/// A day by which something should be, and how it stands with that.
fn by_words(by: Date, today: Date) -> String {
    match (today - by).get_days() {
        late if late > 0 => format!(
            "by {by}, {late} {} ago",
            if late == 1 { "day" } else { "days" }
        ),
        _ => format!("by {by}"),
    }
}

/// What has to happen before a part can go on.
#[must_use]
pub fn wait_words(answer: &RefitReport<'_>, wait: &Wait<'_>, today: Date) -> String {
    match wait {
        Wait::Need(need) => match need.need.by {
            Some(by) => format!("{}, {}", need.need.text, by_words(by, today)),
            None => need.need.text.clone(),
        },
        Wait::Away(Some(sent)) => match sent.back_by {
            Some(by) => format!("away at {}, back {}", sent.to, by_words(by, today)),
            None => format!("away at {}", sent.to),
        },
        Wait::Away(None) => "away".to_owned(),
        Wait::Apart => "put it together: it is apart".to_owned(),
        Wait::Gone(status) => format!("get one: it was {}", status.word()),
        Wait::Area(area) => {
            let state = answer.plan.places.states[*area];
            if state.surface.is_none() && state.holds_up.is_empty() {
                return joint_words(answer, *area, today);
            }
            let mut words = format!("finish {}", lower(&state.label()));
            if let Some(surface) = state.surface.filter(|surface| !surface.is_finished()) {
                words.push_str(&format!(" (it is {})", surface.word()));
            }
            words
        }
        Wait::Assembly(assembly) => {
            format!("no {} to go into yet", lower(&label(answer, *assembly)))
        }
        Wait::Part(part) => format!("first {}", named(answer, *part)),
        Wait::InTheWay(part) => {
            format!(
                "take {} off again: it goes on afterwards",
                lower(&label(answer, *part))
            )
        }
    }
}

/// What is open on a joint that others wait for.
fn joint_words(answer: &RefitReport<'_>, joint: usize, today: Date) -> String {
    let waits = answer.plan.own_waits(joint);
    let open: Vec<String> = waits
        .iter()
        .map(|wait| wait_words(answer, wait, today))
        .collect();
    format!("{}: {}", lower(&label(answer, joint)), open.join("; "))
}

/// Why a place cannot be put back, and what is to be connected to it then.
#[must_use]
pub fn blocked_words(answer: &RefitReport<'_>, place: usize, today: Date) -> String {
    let mut words: Vec<String> = answer
        .plan
        .own_waits(place)
        .iter()
        .map(|wait| wait_words(answer, wait, today))
        .collect();
    if answer.plan.knots.snared[place] {
        words.push("caught up in a contradiction".to_owned());
    }
    let connects = answer.connections.get(&place).into_iter().flatten();
    words
        .extend(connects.map(|connect| format!("then connect {}", connect_words(answer, connect))));
    words.join("; ")
}

/// On what the order of a step rests, in a line.
#[must_use]
pub fn order_words(answer: &RefitReport<'_>, place: usize) -> String {
    let known: Vec<String> = answer
        .plan
        .known_of(place)
        .map(|known| known_words(answer, known, place))
        .collect();
    if known.is_empty() {
        "order assumed: no record says what goes before or after".to_owned()
    } else {
        format!("order known: {}", known.join("; "))
    }
}

/// The shortest sign of what a step waits for.
#[must_use]
pub fn short_wait(answer: &RefitReport<'_>, wait: &Wait<'_>) -> String {
    match wait {
        Wait::Need(need) => need.need.text.clone(),
        Wait::Away(Some(sent)) => format!("away: {}", sent.to),
        Wait::Away(None) => "away".to_owned(),
        Wait::Apart => "in pieces".to_owned(),
        Wait::Gone(status) => status.word().to_owned(),
        Wait::Area(area) => {
            let state = answer.plan.places.states[*area];
            let label = lower(&label(answer, *area));
            if state.surface.is_none() && state.holds_up.is_empty() {
                return format!("work on {label}");
            }
            format!("surface: {label}")
        }
        Wait::Assembly(assembly) => format!("no {} yet", lower(&label(answer, *assembly))),
        Wait::Part(part) => match answer.step_of(*part) {
            Some(step) => format!("after {step}"),
            None => format!("after {}", lower(&label(answer, *part))),
        },
        Wait::InTheWay(part) => format!("in the way: {}", lower(&label(answer, *part))),
    }
}

/// What is open on a place that holds others up.
#[must_use]
pub fn open_words(answer: &RefitReport<'_>, blocker: &Blocker<'_>, today: Date) -> String {
    let mut open: Vec<String> = blocker
        .open
        .iter()
        .map(|wait| wait_words(answer, wait, today))
        .collect();
    match blocker.surface {
        Some(Some(surface)) => open.push(format!("its surface is {}", surface.word())),
        Some(None) => open.push("no record says how far its surface is".to_owned()),
        None => {}
    }
    open.join("; ")
}

/// An order that a record states, seen from one of its two places.
#[must_use]
pub fn known_words(answer: &RefitReport<'_>, known: &OrderConstraint<'_>, place: usize) -> String {
    let (other, side) = if known.then == place {
        (known.first, "after")
    } else {
        (known.then, "before")
    };
    let standing = match answer.plan.places.standings[other] {
        RefitStanding::On => ", which is on",
        RefitStanding::Undone
        | RefitStanding::Here
        | RefitStanding::Apart
        | RefitStanding::Away => "",
        RefitStanding::Gone => ", which is gone",
        RefitStanding::Stays => ", which is left off",
    };
    format!("{side} {}{standing}", named(answer, other))
}

/// Why, in the words of the format.
#[must_use]
pub const fn why_word(why: OrderReason) -> &'static str {
    match why {
        OrderReason::After => "after",
        OrderReason::RefitAfter => "refit after",
        OrderReason::PieceInside | OrderReason::PieceOutside => "of",
    }
}

/// One link of a loop: which goes before which, and which record says so.
#[must_use]
pub fn link_words(answer: &RefitReport<'_>, known: &OrderConstraint<'_>) -> String {
    let said = match known.why {
        OrderReason::After => format!(
            "`after: {}` of {}",
            lower(&label(answer, known.then)),
            lower(&label(answer, known.first))
        ),
        OrderReason::RefitAfter => format!(
            "`refit after: {}` of {}",
            lower(&label(answer, known.first)),
            lower(&label(answer, known.then))
        ),
        OrderReason::PieceInside | OrderReason::PieceOutside => {
            let assembly = if known.of == known.first {
                known.then
            } else {
                known.first
            };
            format!(
                "`of: {}` of {}",
                lower(&label(answer, assembly)),
                lower(&label(answer, known.of))
            )
        }
    };
    format!(
        "{} before {}: {said}, {}",
        lower(&label(answer, known.first)),
        lower(&label(answer, known.then)),
        spot_words(known.spot)
    )
}

/// Which unit goes back, where it is not the first: "unit 2, reproduction".
#[must_use]
pub fn unit_words(answer: &RefitReport<'_>, place: usize) -> Option<String> {
    let unit = answer.plan.places.states[place].unit();
    if unit.number == 1 {
        return None;
    }
    let mut words = vec![format!("unit {}", unit.number)];
    words.extend(kind_and_words(unit.kind, &unit.what));
    words.extend(unit.code.clone());
    Some(words.join(", "))
}

/// The shelf: its own, or that of the assembly it follows.
#[must_use]
pub fn shelf(answer: &RefitReport<'_>, place: usize) -> Option<String> {
    let places = &answer.plan.places;
    let own = &places.states[place].stored;
    own.clone()
        .or_else(|| places.states[places.leader(place)].stored.clone())
}

/// The bags of a place, as labelled.
#[must_use]
pub fn bags(answer: &RefitReport<'_>, place: usize) -> Vec<String> {
    let state = answer.plan.places.states[place];
    let mut bags = answer.plan.places.bags(place);
    for pieces in hardware(state) {
        let label = pieces.bag.as_ref().map(|bag| bag.written().to_owned());
        bags.extend(label.filter(|label| !bags.contains(label)));
    }
    bags
}

/// The pieces that hold a part, as one would count them out.
#[must_use]
pub fn hardware_words(answer: &RefitReport<'_>, place: usize) -> Vec<String> {
    let state = answer.plan.places.states[place];
    let own = hardware(state).into_iter().map(|pieces| {
        let words = piece_words(&pieces.hardware);
        match &pieces.bag {
            Some(bag) => format!("{words}, bag {}", bag.written()),
            None => words,
        }
    });
    // Of a bag that was filled for several parts, all of it is told.
    let whole_bags = state
        .bagged
        .iter()
        .filter(|bagged| bagged.emptied.is_none())
        .filter_map(|bagged| Some((bagged, bagged.section.as_ref()?)))
        .flat_map(|(bagged, section)| {
            let parts: Vec<String> = section.holds.iter().map(Reference::written).collect();
            let of = match parts.len() {
                0 | 1 => String::new(),
                _ => format!(" (for {})", parts.join("; ")),
            };
            let pieces = section.hardware.iter().filter(|pieces| !pieces.to_buy());
            pieces.map(move |pieces| {
                let words = piece_words(pieces);
                format!("{words}, bag {}{of}", bagged.bag.written())
            })
        });
    own.chain(whole_bags).collect()
}

/// The pieces that have to be there new.
#[must_use]
pub fn new_words(answer: &RefitReport<'_>, place: usize) -> Vec<String> {
    let lacking = answer.lacking.get(&place).into_iter().flatten();
    lacking
        .map(|lacking| match lacking.why {
            lacking::PurchaseReason::Marked(_) => piece_words(lacking.hardware),
            lacking::PurchaseReason::Short => {
                format!("{} (missing last time)", piece_words(lacking.hardware))
            }
        })
        .collect()
}

/// A connection: "brake hose to wheel cylinder".
#[must_use]
pub fn connect_words(answer: &RefitReport<'_>, connect: &Connect<'_>) -> String {
    let what = connect.what.written();
    match connect.to {
        Some(to) => format!("{what} to {}", to.written()),
        None => format!("{what} ({})", lower(&label(answer, connect.of))),
    }
}

/// What to fetch, in a few words: bags and shelf.
#[must_use]
pub fn fetch_words(answer: &RefitReport<'_>, place: usize) -> String {
    let bags = bags(answer, place);
    let mut words = Vec::new();
    if !bags.is_empty() {
        let word = if bags.len() == 1 { "bag" } else { "bags" };
        words.push(format!("{word} {}", bags.join(", ")));
    }
    words.extend(shelf(answer, place));
    words.join("; ")
}

/// The handbook's hazards that some steps raise, each once.
#[must_use]
pub fn hazards(answer: &RefitReport<'_>, steps: &[usize]) -> Vec<Raised> {
    let raised = steps.iter().flat_map(|step| {
        let place = answer.plan.steps[*step];
        of_step(answer.plan.places.states[place])
    });
    once(raised.collect())
}

/// The paths of pictures, each once.
#[must_use]
pub fn picture_paths(pictures: &[Dated<NamedPicture>]) -> Vec<&str> {
    let mut seen: Vec<&str> = Vec::new();
    for picture in pictures {
        if !seen.contains(&picture.value.path.as_str()) {
            seen.push(&picture.value.path);
        }
    }
    seen
}

/// What was said, each once.
#[must_use]
pub fn distinct(said: &[Dated<String>]) -> Vec<&str> {
    let mut seen: Vec<&str> = Vec::new();
    for said in said {
        if !seen.contains(&said.value.as_str()) {
            seen.push(&said.value);
        }
    }
    seen
}

/// Which of some steps lack the manual's figure, and whom to ask; `None` if none does.
#[must_use]
pub fn missing_figures(answer: &RefitReport<'_>, steps: &[usize]) -> Option<String> {
    let lacks = |step: &&usize| {
        let place = answer.plan.steps[**step];
        lacks_torque(
            answer.plan.places.states[place],
            answer.plan.places.system(place),
        )
    };
    let mut numbers: Vec<usize> = steps.iter().filter(lacks).map(|step| step + 1).collect();
    numbers.sort_unstable();
    numbers.dedup();
    let words: Vec<String> = numbers.iter().map(ToString::to_string).collect();
    (!words.is_empty()).then(|| {
        format!(
            "torque: {FIGURE_MISSING} for {}: {WHOM_TO_ASK}",
            words.join(", ")
        )
    })
}

/// The recorded torques in both unit systems, each with its source; where one
/// has to be and none is, that it is missing.
#[must_use]
pub fn torque_words(answer: &RefitReport<'_>, place: usize) -> Vec<String> {
    let state = answer.plan.places.states[place];
    let is_missing = lacks_torque(state, answer.plan.places.system(place));
    let missing = is_missing.then(|| format!("{FIGURE_MISSING}: {WHOM_TO_ASK}"));
    let written = distinct(&state.torques).into_iter().map(in_both_systems);
    written.chain(missing).collect()
}
