//! Words of a kind: fasteners one slip away, and words that no kind is made of.
//!
//! What a kind is called is open; only what it cannot be called is listed.

use crate::vocabulary::hardware_words::is_kind;

/// The text with the letters of fasteners in their order: "blots" are bolts.
pub(super) fn without_slips(text: &str) -> String {
    let words = text.split(' ').map(|word| {
        let bare = word.trim_matches(|c: char| !c.is_alphanumeric());
        match meant(bare) {
            Some(kind) => word.replacen(bare, &kind, 1),
            None => word.to_owned(),
        }
    });
    words.collect::<Vec<_>>().join(" ")
}

/// The fastener that was meant by a word with two letters swapped, one missing or one
/// too many. A wrong letter makes too many words of their own.
fn meant(word: &str) -> Option<String> {
    const FASTENERS: [&str; 14] = [
        "bolt", "screw", "washer", "stud", "clip", "nut", "rivet", "circlip", "gasket", "grommet",
        "bracket", "spacer", "setscrew", "spring",
    ];
    const OTHER: [&str; 6] = ["suds", "sprig", "sprigs", "bots", "boot", "boots"];
    let small = word.to_lowercase();
    let letters = small.bytes().all(|b| b.is_ascii_lowercase());
    if !letters
        || !(4..=10).contains(&small.len())
        || is_kind(&small)
        || OTHER.contains(&small.as_str())
    {
        return None;
    }
    let forms = FASTENERS
        .iter()
        .flat_map(|kind| [(*kind).to_owned(), format!("{kind}s")]);
    let swapped = |kind: &str| {
        let sorted = |text: &str| {
            let mut letters = text.as_bytes().to_vec();
            letters.sort_unstable();
            letters
        };
        kind.len() == small.len() && sorted(kind) == sorted(&small)
    };
    // A letter more or less: in long words only.
    let short = |kind: &str| {
        kind.len().abs_diff(small.len()) == 1
            && kind.trim_end_matches('s').len() >= 5
            && strsim::osa_distance(kind, &small) == 1
    };
    forms
        .into_iter()
        .filter(|kind| kind.len() > 3 && kind[..1] == small[..1])
        .find(|kind| swapped(kind) && strsim::osa_distance(kind, &small) <= 2 || short(kind))
}

/// Whether no kind is called with a word: it counts, measures, joins, denies or tells.
pub(super) fn is_foreign(word: &str) -> bool {
    const FOREIGN: [&str; 67] = [
        "x",
        "w/o",
        "all",
        "none",
        "each",
        "total",
        "altogether",
        "rest",
        "remaining",
        "others",
        "another",
        // measures
        "dia",
        "diam",
        "diameter",
        "lg",
        "tpi",
        "inch",
        "inches",
        "mm",
        "cm",
        "af",
        "gauge",
        // what joins and denies
        "or",
        "not",
        "no",
        "without",
        "except",
        "instead",
        "but",
        "with",
        "plus",
        "and",
        "c/w",
        "incl",
        "as",
        "that",
        "which",
        "who",
        // what is told
        "is",
        "are",
        "was",
        "were",
        "be",
        "had",
        "got",
        "get",
        "buy",
        "order",
        "throw",
        "use",
        "keep",
        "see",
        "check",
        "need",
        "needs",
        "want",
        "wants",
        "should",
        "must",
        "will",
        "please",
        "now",
        "yet",
        "later",
        "same",
        "ditto",
        "says",
    ];
    FOREIGN.contains(&word)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fasteners_with_a_slip() {
        for (typed, meant) in [
            ("4 blots M8", "4 bolts M8"),
            ("3 wahsers", "3 washers"),
            ("6 scews bag 2", "6 screws bag 2"),
            ("2 nust", "2 nuts"),
            ("4 srews", "4 screws"),
            ("1 circlp", "1 circlip"),
        ] {
            assert_eq!(without_slips(typed), meant);
        }
        for text in [
            "2 crews",
            "4 pins",
            "boots",
            "the noise",
            "brass",
            "3 bots",
            "4 studs",
            "cups",
            "1 string",
        ] {
            assert_eq!(without_slips(text), text);
        }
    }

    #[test]
    fn what_no_kind_is_called() {
        for word in ["each", "dia", "not", "with"] {
            assert!(is_foreign(word), "{word}");
        }
        for word in ["brass", "long", "hex", "coach", "self", "one-way"] {
            assert!(!is_foreign(word), "{word}");
        }
    }
}
