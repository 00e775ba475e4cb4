//! Words that are left in a name and that no name of a part holds: counts, denials, words
//! that lead to something else.
//!
//! They are asked about; which words are places is decided in `phrase`.

use crate::vocabulary::name::Name;
use crate::vocabulary::words::fold;

/// A count beside a plural or beside a sign of times, "two front wheel bearings",
/// "headlamp x2", "headlamp pair", says that there are several places, and not which.
pub(super) fn counted(name: &str) -> Option<String> {
    const COUNTS: [&str; 11] = [
        "two", "three", "four", "five", "six", "eight", "2", "3", "4", "6", "8",
    ];
    let folded = fold(name);
    let words: Vec<&str> = folded
        .split([' ', ',', '(', ')'])
        .filter(|word| !word.is_empty())
        .collect();
    let [first, .., last] = words.as_slice() else {
        return None;
    };
    let plural = |word: &str| Name::new(word).key().len() < word.len();
    let times = |word: &&&str| {
        let figure = word.trim_start_matches('x').trim_end_matches('x');
        figure.len() + 1 == word.len() && matches!(figure, "2" | "3" | "4" | "6" | "8")
    };
    if COUNTS.contains(first) && (plural(last) || words[1] == "x") {
        return Some((*first).to_owned());
    }
    if *last == "pair" {
        return Some((*last).to_owned());
    }
    let bracketed =
        folded.ends_with(')') && COUNTS.contains(last) && plural(words[words.len() - 2]);
    if bracketed {
        return Some((*last).to_owned());
    }
    words.iter().find(times).map(|word| (*word).to_owned())
}

/// A word that no name of a part holds where it stands: one that denies, or that leads to
/// something else and stands at the end.
pub(super) fn loose_word(name: &str, has_place: bool) -> Option<&str> {
    const DENYING: [&str; 6] = ["not", "except", "instead", "without", "isn't", "other"];
    const LEADING: [&str; 12] = [
        "from", "of", "on", "at", "in", "the", "for", "to", "with", "by", "side", "near",
    ];
    let word = |word: &&str| DENYING.contains(&fold(word.trim_matches([',', '(', ')'])).as_str());
    let last = name.split_whitespace().next_back().unwrap_or_default();
    // "Bracket on the of engine": a place was taken out of the middle.
    let torn = || {
        let folded = fold(name);
        ["the of", "of of", "on of", "the on"]
            .iter()
            .any(|pair| format!(" {folded} ").contains(&format!(" {pair} ")))
    };
    // "Rear axle half shaft": of the rear one, or a rear one?
    let first = name.split_whitespace().next().unwrap_or_default();
    // "Driver airbag": of the driver's side, or by its name?
    let second = name.split_whitespace().nth(1).unwrap_or_default();
    let who = fold(first);
    let who = who.trim_end_matches("'s").trim_end_matches('s');
    if matches!(who, "driver" | "passenger")
        && !second.is_empty()
        && fold(second).trim_end_matches('s') != "seat"
    {
        return Some(first);
    }
    // "Of the two coils", "hose left->right"
    let torn_off = LEADING[..9].contains(&fold(first).as_str()) && !second.is_empty();
    if torn_off || name.contains("->") || name.contains('→') {
        return Some(first);
    }
    if has_place && fold(first) == "axle" && first != name {
        return Some(first);
    }
    name.split_whitespace()
        .find(word)
        .or_else(|| (LEADING.contains(&fold(last).as_str()) && last != name).then_some(last))
        .or_else(|| torn().then_some(name))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_no_name_holds() {
        for (name, has_place) in [
            ("not, the right headlamp", true),
            ("bracket from", true),
            ("bracket on the of engine", true),
            ("axle half shaft", true),
            ("passenger airbag", false),
            ("of the two coils", true),
            ("hose left->right", false),
            ("headlamp - other side", false),
        ] {
            assert!(loose_word(name, has_place).is_some(), "{name}");
        }
        for name in [
            "driver's seat",
            "passenger seats",
            "axle",
            "hose from pump to radiator",
            "hub",
            "on",
            "throttle return spring",
        ] {
            assert_eq!(loose_word(name, true), None, "{name}");
        }
        for name in [
            "headlamps x2",
            "headlamp pair",
            "2 x headlamp",
            "Wheels (4)",
            "two bearings",
        ] {
            assert!(counted(name).is_some(), "{name}");
        }
        for name in [
            "piston 3",
            "cyl 2 plug",
            "axle",
            "2nd gear",
            "No 2 cylinder",
        ] {
            assert_eq!(counted(name), None, "{name}");
        }
    }
}
