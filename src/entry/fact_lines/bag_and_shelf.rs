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

/// "bag 12", "in bag no. 7", "into tin 4": the label.
pub(super) fn bag<'t>(all: &[&str], segment: &'t str) -> Option<&'t str> {
    // "Bits in tin 3": nothing is counted, and the bag is said.
    let pieces = matches!(
        all[0],
        "bits" | "hardware" | "fixings" | "fasteners" | "everything" | "rest"
    );
    // "put in bag 3", "went in bag 3"
    let put = matches!(all[0], "put" | "went" | "goes" | "all" | "now");
    // "All nuts in bag 4"
    let all_of = all[0] == "all" && all.get(1).is_some_and(|word| is_hardware(word));
    let first = usize::from(pieces || put) + usize::from(all_of);
    let into = matches!(all.get(first), Some(&("in" | "into")));
    if (pieces || put) && !into && all[0] != "hardware" {
        return None;
    }
    let lead = first + usize::from(into);
    // "zip bag 4"
    let told = all.get(lead + 1).is_some_and(|word| is_bag(word));
    let lead = lead + usize::from(told && is_bag_kind(all.get(lead)?));
    let noun = *all.get(lead)?;
    // A box stands on a shelf, and may be one.
    if !is_bag_word(noun) || noun == "box" || all.len() > lead + 4 || all.len() < lead + 2 {
        return None;
    }
    // "bag 3 loft", "bag 4 empty": what stands behind a number is no part of the label.
    let numbered = all[lead + 1].bytes().all(|b| b.is_ascii_digit());
    if numbered && all.len() > lead + 2 {
        return None;
    }
    let from = word_start(segment, lead + usize::from(is_bag(noun) || noun == "bags"))?;
    Some(without_number_word(&segment[from..]))
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

/// "shelf 3", "on rack 2", "under the bench": where it lies.
pub(super) fn shelf<'t>(all: &[&str], segment: &'t str) -> Option<&'t str> {
    // "put on rack 3", "it's under the bench", "lives in the loft"
    const LEADS: [&str; 24] = [
        "put", "placed", "stored", "lives", "living", "kept", "sits", "sitting", "lies", "lying",
        "now", "went", "goes", "it", "up", "wrapped", "away", "it's", "its", "is", "still",
        "stood", "leaning", "hung",
    ];
    const PLACES: [&str; 8] = [
        "on", "in", "at", "under", "behind", "against", "beside", "by",
    ];
    let leads = all.iter().take_while(|word| LEADS.contains(word)).count();
    if leads > 0 {
        let led = all.get(leads).is_some_and(|word| PLACES.contains(word));
        let from = word_start(segment, leads).filter(|_| led && leads <= 4)?;
        return shelf(&all[leads..], &segment[from..]);
    }
    const NOUNS: [&str; 27] = [
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
    if all.len() > 6
        || all
            .iter()
            .any(|word| matches!(*word, "bag" | "tin" | "jar"))
    {
        return None;
    }
    let noun = |word: &&str| NOUNS.contains(word);
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
    let first = all.first().is_some_and(noun) && all.get(1).is_none_or(says_where);
    if !(first || led || named) {
        return None;
    }
    let from = match all[0] {
        "on" | "in" | "at" if all.get(1) != Some(&"the") => word_start(segment, 1)?,
        _ => 0,
    };
    Some(segment[from..].trim())
}
