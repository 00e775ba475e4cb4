//! A bag or a shelf among the words of a line.
//!
//! Whether the label or the place is known is not asked here.

use super::FactPiece;
use super::keyless::is_hardware;
use super::segments::offset;
use crate::entry::key::Key;
use crate::vocabulary::hardware_words::{is_bag, is_bag_kind};
use crate::vocabulary::words::fold;

/// The bag that a line names once, where pieces without one stand behind it.
pub(super) fn only_bag<'t>(pieces: &[FactPiece<'t>]) -> Option<&'t str> {
    let is_bag = |piece: &FactPiece<'_>| piece.key == Key::Bag;
    let at = pieces.iter().position(is_bag)?;
    let (behind, bag) = (&pieces[at + 1..], pieces[at].value);
    let named = behind.iter().any(|piece| {
        is_bag(piece) || piece.key == Key::Hardware && fold(piece.value).split(' ').any(is_bag_word)
    });
    (!named).then_some(bag)
}

/// Whether hardware is said to lie in it: a bag in any word, or a tin.
pub(super) fn is_bag_word(word: &str) -> bool {
    const TINS: [&str; 7] = ["tin", "jar", "tub", "pot", "envelope", "packet", "box"];
    is_bag(word) || word == "bags" || TINS.contains(&word)
}

/// "bag 12", "in bag no. 7", "into tin 4", "bolts are in bag 22": the label.
pub(super) fn bag<'t>(all: &[&str], segment: &'t str) -> Option<&'t str> {
    // "Bag12"
    if let Some(label) = all[0].strip_prefix("bag")
        && label.starts_with(|c: char| c.is_ascii_digit())
        && all.len() == 1
    {
        return segment.trim().get(3..);
    }
    let first = bagged_things(all);
    let into = matches!(all.get(first), Some(&("in" | "into" | "->")));
    // "hardware bag 3" says what; "everything bag 3" nothing yet.
    if first > 0 && !into && !is_thing(all[first - 1]) {
        return None;
    }
    let lead = first + usize::from(into);
    // "zip bag 4"
    let told = all.get(lead + 1).is_some_and(|word| is_bag(word));
    let lead = lead + usize::from(told && is_bag_kind(all.get(lead)?));
    let noun = *all.get(lead)?;
    let is_bag = is_bag(noun) || noun == "bags";
    // A box stands on a shelf, and may be one.
    if !is_bag_word(noun) || noun == "box" || all.len() < lead + 2 {
        return None;
    }
    let end = lead + label_words(&all[lead + 1..])? + 1;
    // "bag 3 loft", "bag 4 empty": what stands behind a number is no part of the label.
    let numbered = all[lead + 1].bytes().all(|b| b.is_ascii_digit());
    if numbered && end > lead + 2 {
        return None;
    }
    let from = word_start(segment, lead + usize::from(is_bag))?;
    let until = word_start(segment, end).unwrap_or(segment.len());
    Some(without_number_word(segment[from..until].trim()))
}

/// How many words lead to the bag: what is in it, and how it came there: "all the bolts
/// are in", "put", "screws went".
fn bagged_things(all: &[&str]) -> usize {
    let leads = |word: &&str| {
        is_thing(word)
            || matches!(
                *word,
                "put"
                    | "went"
                    | "goes"
                    | "go"
                    | "all"
                    | "now"
                    | "the"
                    | "its"
                    | "are"
                    | "is"
                    | "both"
                    | "of"
            )
    };
    all.iter().take(6).take_while(|word| leads(word)).count()
}

/// Whether a word names what is in a bag, without a number of it.
fn is_thing(word: &str) -> bool {
    matches!(
        word,
        "bits" | "hardware" | "fixings" | "fasteners" | "everything" | "rest"
    ) || is_hardware(word)
}

/// How many words the label behind "bag" takes: all of a short one, and what is told behind
/// a number is none of it.
fn label_words(words: &[&str]) -> Option<usize> {
    let number = usize::from(
        words.len() > 1 && matches!(words[0], "no" | "no." | "nr" | "nr." | "number" | "#"),
    );
    let numbered = words
        .get(number)
        .is_some_and(|word| word.bytes().any(|b| b.is_ascii_digit()));
    let told = words.get(number + 1).is_some_and(|word| {
        matches!(
            *word,
            "for" | "with" | "too" | "also" | "together" | "now" | "along"
        )
    });
    match (numbered, told, words.len()) {
        (true, true, _) => Some(number + 1),
        (_, _, 0) => None,
        (_, _, count) => {
            let joins =
                |word: &&str| matches!(*word, "has" | "holds" | "contains" | "=" | "and" | "with");
            (count <= 3 + number && !words.iter().any(joins)).then_some(count)
        }
    }
}

/// A label without the word for a number before its figures: "no. 7", "nr 12".
pub(in crate::entry) fn without_number_word(label: &str) -> &str {
    let label = label.trim().trim_end_matches(['!', '.']);
    ["number", "no.", "nr.", "n°", "nº", "№", "no", "nr", "#"]
        .iter()
        .find_map(|word| {
            let (said, rest) = label.split_at_checked(word.len())?;
            let rest = rest.trim_start();
            let same = said.eq_ignore_ascii_case(word);
            (same && rest.starts_with(|c: char| c.is_ascii_digit())).then_some(rest)
        })
        .unwrap_or(label)
}

/// Where word `number` (from 0) of a text begins.
pub(super) fn word_start(text: &str, number: usize) -> Option<usize> {
    text.split_whitespace()
        .nth(number)
        .map(|word| offset(text, word))
}

/// Whether a few words end with what things are kept on or in: "corn crib floor".
pub(super) fn ends_with_place(segment: &str) -> bool {
    const ENDS: [&str; 16] = [
        "floor", "shelf", "rack", "loft", "shed", "barn", "garage", "cellar", "attic", "room",
        "cupboard", "wall", "drawer", "bench", "corner", "basement",
    ];
    let folded = fold(segment);
    let all: Vec<&str> = folded.split(' ').collect();
    all.len() <= 4
        && all.last().is_some_and(|last| ENDS.contains(last))
        && all
            .iter()
            .all(|word| word.chars().all(char::is_alphabetic) && !is_hardware(word))
}

/// "shelf 3", "on rack 2", "under the bench": where it lies.
pub(super) fn shelf<'t>(all: &[&str], segment: &'t str) -> Option<&'t str> {
    // "put on rack 3", "it's under the bench", "lives in the loft"
    const LEADS: [&str; 27] = [
        "put", "placed", "stored", "lives", "living", "kept", "sits", "sitting", "lies", "lying",
        "now", "went", "goes", "it", "up", "wrapped", "away", "it's", "its", "is", "still",
        "stood", "leaning", "hung", "hanging", "laid", "tucked",
    ];
    const PLACES: [&str; 12] = [
        "on", "in", "at", "under", "behind", "against", "beside", "by", "above", "below", "next",
        "over",
    ];
    // "horn itself sits in the boot", "the rest lives in the shed"
    let stands = |word: &&str| {
        matches!(
            *word,
            "sits" | "lives" | "lies" | "stored" | "kept" | "hangs" | "stands" | "stays"
        )
    };
    let placed = |at: &usize| all.get(at + 1).is_some_and(|word| PLACES.contains(word));
    let subject = all.iter().take(4).position(stands).filter(placed);
    if let Some(at) = subject.filter(|at| *at > 0)
        && let Some(from) = word_start(segment, at + 1)
    {
        return shelf(&all[at + 1..], &segment[from..]);
    }
    let leads = all.iter().take_while(|word| LEADS.contains(word)).count();
    if leads > 0 {
        let led = all.get(leads).is_some_and(|word| PLACES.contains(word));
        let from = word_start(segment, leads).filter(|_| led && leads <= 4)?;
        return shelf(&all[leads..], &segment[from..]);
    }
    const NOUNS: [&str; 62] = [
        "stairs",
        "freezer",
        "fridge",
        "boiler",
        "boot",
        "trunk",
        "wardrobe",
        "room",
        "hall",
        "kitchen",
        "porch",
        "greenhouse",
        "carport",
        "container",
        "trailer",
        "box",
        "tray",
        "tub",
        "bucket",
        "nail",
        "peg",
        "pegboard",
        "beam",
        "joist",
        "joists",
        "ceiling",
        "mezzanine",
        "gantry",
        "toolbox",
        "chest",
        "tarp",
        "sheet",
        "caravan",
        "outhouse",
        "yard",
        "shelf",
        "shelves",
        "rack",
        "loft",
        "attic",
        "bench",
        "workbench",
        "drawer",
        "cupboard",
        "cabinet",
        "crate",
        "cellar",
        "basement",
        "garage",
        "shed",
        "barn",
        "pallet",
        "trolley",
        "locker",
        "hook",
        "store",
        "bay",
        "floor",
        "wall",
        "table",
        "rafters",
        "windowsill",
    ];
    if all.len() > 8
        || all
            .iter()
            .any(|word| matches!(*word, "bag" | "tin" | "jar"))
    {
        return None;
    }
    let noun = |word: &&str| NOUNS.contains(word);
    // "box under bench", "tray B"; "box of bolts" is none.
    let container = |word: &str| {
        matches!(
            word,
            "box"
                | "tray"
                | "tub"
                | "bucket"
                | "chest"
                | "sheet"
                | "nail"
                | "beam"
                | "room"
                | "boot"
                | "trunk"
                | "peg"
        )
    };
    let said_where =
        all.len() == 2 && all[1].len() <= 2 || all.iter().skip(1).any(|word| PLACES.contains(word));
    let led = matches!(
        all[0],
        "on" | "in"
            | "at"
            | "under"
            | "behind"
            | "against"
            | "beside"
            | "by"
            | "top"
            | "upper"
            | "lower"
            | "bottom"
    ) && all.iter().any(noun);
    // "back wall", "second shelf"
    let which = |word: &&str| {
        matches!(
            *word,
            "back"
                | "top"
                | "bottom"
                | "upper"
                | "lower"
                | "middle"
                | "left"
                | "right"
                | "far"
                | "front"
                | "first"
                | "second"
                | "third"
                | "other"
                | "same"
                | "end"
        )
    };
    let named = all.len() == 2 && which(&all[0]) && noun(&all[1]);
    // "shelf 3", "pallet next to engine", but no floor board and no garage door.
    let says_where = |word: &&str| {
        word.len() <= 2
            || word.starts_with(|c: char| c.is_ascii_digit())
            || which(word)
            || PLACES.contains(word)
            || matches!(
                *word,
                "next" | "over" | "near" | "above" | "below" | "inside" | "number"
            )
            || noun(word)
    };
    let first = all.first().is_some_and(noun)
        && all.get(1).is_none_or(says_where)
        && (!container(all[0]) || said_where);
    if !(first || led || named) {
        return None;
    }
    let from = match all[0] {
        "on" | "in" | "at" if all.get(1) != Some(&"the") => word_start(segment, 1)?,
        _ => 0,
    };
    Some(segment[from..].trim())
}
