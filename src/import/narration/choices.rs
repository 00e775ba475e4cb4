//! Which part "it" may have been: those that a sheet names near a line.
//!
//! What becomes of the one that is chosen is in `sheet_walk`.

use super::sheet::{SheetKind, SheetLine};
use crate::vocabulary::name::Name;

/// A part that the line under the cursor may have been about.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PartChoice {
    /// The part, as the sheet names it.
    pub part: String,
    /// A line that has it; none has it that was only named.
    pub(super) line: Option<usize>,
}

/// How far from a line, in seconds, is looked for what belongs to it.
pub(super) const NEAR: u32 = 45;

/// The most parts that one key chooses among.
const MOST_CHOICES: usize = 9;

/// So many places among them are kept for parts that were named and have no line.
const LEAST_NAMED: usize = 4;

/// The other parts that were spoken of near a line of a sheet, those of its kind first, and
/// behind all that have a line what else was named.
/// `passage` are the lines that count as near where a line has no time.
pub(super) fn part_choices(
    (at, line): (usize, &SheetLine),
    all: &[(usize, SheetLine)],
    passage: &[usize],
    named: Vec<String>,
) -> Vec<PartChoice> {
    let mut near: Vec<(bool, u32, PartChoice)> = Vec::new();
    for (other, there) in all {
        let is_other = *other != at && Name::new(&there.part) != Name::new(&line.part);
        let apart = seconds_apart(line, (*other, there), passage);
        let Some(apart) = apart.filter(|_| is_other) else {
            continue;
        };
        let is_alike = !there.is_ticked && is_of_kind(there.kind, line.kind);
        let choice = PartChoice {
            part: there.part.clone(),
            line: Some(*other),
        };
        near.push((!is_alike, apart, choice));
    }
    near.sort_by_key(|(is_unlike, apart, choice)| (*is_unlike, *apart, choice.line));
    let mut choices: Vec<PartChoice> = Vec::new();
    for (_, _, choice) in near {
        let is_there = |known: &PartChoice| Name::new(&known.part) == Name::new(&choice.part);
        if !choices.iter().any(is_there) {
            choices.push(choice);
        }
    }
    let bare = |part: &str| Name::new(part.split(',').next().unwrap_or_default());
    let mut named: Vec<PartChoice> = named
        .into_iter()
        .map(|part| PartChoice { part, line: None })
        .filter(|choice| bare(&choice.part) != bare(&line.part))
        .collect();
    named.retain(|named| {
        choices
            .iter()
            .all(|choice| bare(&choice.part) != bare(&named.part))
    });
    choices.truncate(MOST_CHOICES - named.len().min(LEAST_NAMED));
    choices.extend(named);
    choices.truncate(MOST_CHOICES);
    choices
}

/// The lines near a line that say the same kind of thing of a part: they and the line are
/// twins once it has that part.
pub(super) fn twins_of<'l>(
    (at, line): (usize, &SheetLine),
    part: &str,
    all: &'l [(usize, SheetLine)],
    passage: &[usize],
) -> Vec<&'l (usize, SheetLine)> {
    let part = Name::new(part);
    let is_twin = |(other, there): &&(usize, SheetLine)| {
        *other != at
            && is_of_kind(there.kind, line.kind)
            && Name::new(&there.part) == part
            && seconds_apart(line, (*other, there), passage).is_some()
    };
    all.iter().filter(is_twin).collect()
}

/// How far another line is from a line, if it is near.
fn seconds_apart(
    line: &SheetLine,
    (other, there): (usize, &SheetLine),
    passage: &[usize],
) -> Option<u32> {
    match (line.at, there.at) {
        (Some(one), Some(two)) => Some(one.abs_diff(two)).filter(|apart| *apart <= NEAR),
        (_, _) => passage.contains(&other).then_some(NEAR),
    }
}

/// Whether two lines say the same kind of thing; undone or removed, it is off.
fn is_of_kind(one: SheetKind, other: SheetKind) -> bool {
    let is_off = |kind: SheetKind| matches!(kind, SheetKind::Of(kind) if kind.is_off());
    one == other || is_off(one) && is_off(other)
}

/// The other lines near a line that have hardware, with their parts: the nearest first, of
/// those at one time the ticked ones.
pub(super) fn hardware_near(
    (at, line): (usize, &SheetLine),
    all: &[(usize, SheetLine)],
) -> Vec<(usize, String)> {
    let mut near: Vec<(u32, bool, usize, String)> = all
        .iter()
        .filter(|(other, there)| {
            *other != at && there.facts.iter().any(|(key, _)| key == "hardware")
        })
        .filter_map(|(other, there)| {
            let apart = line.at?.abs_diff(there.at?);
            (apart <= NEAR).then(|| (apart, !there.is_ticked, *other, there.part.clone()))
        })
        .collect();
    near.sort();
    near.into_iter()
        .map(|(_, _, other, part)| (other, part))
        .collect()
}
