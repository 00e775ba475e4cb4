//! How a part was found, said without a key: "cracked near the bolt hole", "badly worn",
//! "a bit of play in it".
//!
//! Where a part stands is read before this is asked.

use crate::vocabulary::words::fold;

/// Words of condition with which such a piece begins. Common practice, no source.
const CONDITIONS: &[&str] = &[
    "cracked",
    "worn",
    "rusty",
    "rusted",
    "rotten",
    "bent",
    "seized",
    "pitted",
    "corroded",
    "perished",
    "leaking",
    "leaky",
    "dented",
    "scored",
    "chipped",
    "warped",
    "frayed",
    "torn",
    "faded",
    "grooved",
    "scratched",
    "stiff",
    "sloppy",
    "wobbly",
    "notchy",
    "gummed",
    "clogged",
    "blocked",
    "bulged",
    "chafed",
    "split",
    "burnt",
    "glazed",
    "lipped",
    "oval",
    "twisted",
    "flaking",
    "filthy",
    "greasy",
    "soaked",
    "crusty",
    "brittle",
    "hardened",
    "sagging",
    "stretched",
    "blistered",
    "bubbling",
    "weeping",
    "mangled",
    "distorted",
    "tired",
    "solid",
    "corrosion",
    "cracks",
    "rust",
    "surface",
];
/// Words before them that only say how much.
const MEASURES: &[&str] = &[
    "badly",
    "slightly",
    "very",
    "quite",
    "well",
    "bit",
    "a",
    "little",
    "lightly",
    "heavily",
    "totally",
    "completely",
    "somewhat",
    "really",
    "pretty",
    "both",
    "all",
    "still",
    "light",
    "heavy",
    "some",
    "slight",
    "bad",
    "lots",
    "of",
    "bits",
];

/// Whether a piece of a line only says how the part was found.
#[must_use]
pub(super) fn is_condition(segment: &str) -> bool {
    let folded = fold(segment);
    let all: Vec<&str> = folded
        .split(' ')
        .map(|word| word.trim_matches(|c: char| !c.is_alphanumeric()))
        .collect();
    let lead = all
        .iter()
        .take_while(|word| MEASURES.contains(word))
        .count();
    let told = ["i", "we", "you", "he", "she", "they", "was", "were"];
    all.len() <= 9
        && lead <= 3
        && all.get(lead).is_some_and(|word| CONDITIONS.contains(word))
        && !all.iter().any(|word| told.contains(word))
        && (all.get(lead) != Some(&"surface") || all.get(lead + 1) == Some(&"rust"))
        && (all.get(lead) != Some(&"split")
            || !matches!(all.get(lead + 1), None | Some(&("pin" | "pins"))))
}

/// Verbs of work with which a piece begins that is still to do.
const WORK: &[&str] = &[
    "replace",
    "renew",
    "repair",
    "straighten",
    "degrease",
    "repaint",
    "reseal",
    "rechrome",
    "regrease",
    "rebuild",
    "refurb",
    "derust",
    "reweld",
    "clean",
    "sandblast",
    "weld",
    "regrind",
];

/// Whether a piece of a line orders work: "replace seal before refit", "clean and paint".
#[must_use]
pub(super) fn orders_work(segment: &str) -> bool {
    let folded = fold(segment);
    let all: Vec<&str> = folded.split(' ').collect();
    let told = [
        "was", "were", "is", "looks", "had", "enough", "ok", "already", "done",
    ];
    (2..=8).contains(&all.len())
        && WORK.contains(&all[0])
        && !all.iter().any(|word| told.contains(word))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn conditions_and_work() {
        for text in [
            "cracked near the bolt hole",
            "badly worn",
            "bit rusty",
            "surface rust only",
            "seized solid",
            "worn but usable",
            "a bit bent",
            "split along the seam",
        ] {
            assert!(is_condition(text), "{text}");
        }
        for text in [
            "split pin",
            "we found it cracked when we looked",
            "surface",
            "bracket bent",
            "off",
            "new",
        ] {
            assert!(!is_condition(text), "{text}");
        }
        for text in [
            "replace seal before refit",
            "clean and paint",
            "weld the crack",
        ] {
            assert!(orders_work(text), "{text}");
        }
        for text in ["clean", "clean enough", "paint was original", "weld is ok"] {
            assert!(!orders_work(text), "{text}");
        }
    }
}
