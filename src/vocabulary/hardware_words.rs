//! Words of hardware as data: what pieces and containers are called, what marks
//! a piece, what only describes one.
//!
//! How a line is read with them is decided in `hardware_line`. The kinds are
//! common names of the trade (common practice, no source); a kind that is not
//! among them is read as well wherever a number stands before it.

use super::hardware::PurchaseMark;
use super::spoken_number::number_word;
use super::words::is_stop_word;

/// The last word of what small hardware is called, for one piece.
const KINDS: [&str; 66] = [
    "nylock",
    "nyloc",
    "bolt",
    "nut",
    "washer",
    "screw",
    "pin",
    "clip",
    "stud",
    "cotter",
    "spring",
    "circlip",
    "clamp",
    "clevis",
    "shim",
    "spacer",
    "gasket",
    "seal",
    "grommet",
    "bush",
    "bushing",
    "dowel",
    "tapper",
    "setscrew",
    "nail",
    "tack",
    "staple",
    "hook",
    "retainer",
    "fastener",
    "plug",
    "cap",
    "ring",
    "tie",
    "buckle",
    "collar",
    "sleeve",
    "insert",
    "peg",
    "nipple",
    "banjo",
    "union",
    "olive",
    "strap",
    "pad",
    "bearing",
    "ball",
    "roller",
    "fitting",
    "key",
    "rivet",
    "coachbolt",
    "woodscrew",
    "locknut",
    "capscrew",
    "popper",
    "stopper",
    "eyelet",
    "bracket",
    "lug",
    "wingnut",
    "plate",
    "fixing",
    "link",
    "jubilee",
    "packer",
];

/// Whether a word in small letters names a kind of hardware, one or several.
#[must_use]
pub fn is_kind(word: &str) -> bool {
    let word = word.trim_matches(|c: char| !c.is_alphanumeric());
    let word = word.rsplit('-').next().unwrap_or(word);
    let one = singular(word);
    KINDS.contains(&word) || KINDS.contains(&one.as_str())
}

/// A word for one piece: `clips`, `bushes`, but `brass`.
#[must_use]
pub fn singular(word: &str) -> String {
    if let Some(stem) = word.strip_suffix("es").filter(|stem| {
        stem.ends_with("sh") || stem.ends_with("ch") || stem.ends_with('x') || stem.ends_with("ss")
    }) {
        return stem.to_owned();
    }
    if is_plural(word) {
        return word[..word.len() - 1].to_owned();
    }
    word.to_owned()
}

/// Whether a word in small letters means several.
#[must_use]
pub fn is_plural(word: &str) -> bool {
    word.len() > 3
        && word.ends_with('s')
        && !["ss", "us", "is"].iter().any(|end| word.ends_with(end))
}

/// What a label may stand on besides a bag, for one of them.
const CONTAINERS: [&str; 16] = [
    "tin",
    "jar",
    "box",
    "tub",
    "tray",
    "drawer",
    "pot",
    "envelope",
    "pouch",
    "can",
    "container",
    "carton",
    "bottle",
    "cup",
    "tupperware",
    "packet",
];

/// Whether a word in small letters is a container that holds hardware as a bag does.
#[must_use]
pub fn is_container(word: &str) -> bool {
    CONTAINERS.contains(&word)
}

/// Whether a word in small letters names hardware that carries a thread, so that its
/// diameter in millimetres with a length behind it is one.
#[must_use]
pub fn is_threaded(word: &str) -> bool {
    const THREADED: [&str; 5] = ["bolt", "stud", "screw", "setscrew", "capscrew"];
    let word = word.trim_matches(|c: char| !c.is_alphanumeric());
    THREADED.contains(&singular(word).as_str())
}

/// Words for a bag; the label goes without them.
#[must_use]
pub fn is_bag(word: &str) -> bool {
    matches!(
        word,
        "bag"
            | "baggie"
            | "baggy"
            | "bagged"
            | "bagie"
            | "zipbag"
            | "ziplock"
            | "ziploc"
            | "sack"
            | "bg"
            | "polybag"
            | "sachet"
    )
}

/// What stands before "bag" and says only what kind of bag it is.
#[must_use]
pub fn is_bag_kind(word: &str) -> bool {
    const KINDS: [&str; 12] = [
        "zip", "ziplock", "ziploc", "zip-lock", "freezer", "sandwich", "plastic", "poly", "small",
        "big", "large", "grip",
    ];
    KINDS.contains(&word)
}

/// The mark that a word in small letters says.
#[must_use]
pub fn mark_word(word: &str) -> Option<PurchaseMark> {
    Some(match word {
        "new" | "renew" | "replace" | "replaced" | "replacing" | "replacement" | "replacements"
        | "single-use" => PurchaseMark::New,
        "cut" | "sawn" | "sawed" | "hacksawed" | "cutting" | "sawing" => PurchaseMark::Cut,
        "sheared" | "snapped" | "broke" | "broken" | "shorn" | "snap" => PurchaseMark::Sheared,
        "stripped" | "rounded" | "crossthreaded" | "cross-threaded" => PurchaseMark::Stripped,
        "lost" | "missing" | "vanished" | "dropped" => PurchaseMark::Lost,
        _ => return None,
    })
}

/// Words that join in a phrase about a mark and add nothing to it.
#[must_use]
pub fn joins_mark(word: &str) -> bool {
    const JOINING: [&str; 51] = [
        "em",
        "through",
        "drill",
        "throw",
        "away",
        "fresh",
        "bought",
        "buying",
        "ordered",
        "ordering",
        "purchase",
        "purchased",
        "source",
        "want",
        "wants",
        "wanted",
        "use",
        "few",
        "most",
        "half",
        "several",
        "off",
        "out",
        "needed",
        "need",
        "needs",
        "needing",
        "ones",
        "both",
        "each",
        "too",
        "required",
        "require",
        "please",
        "must",
        "should",
        "got",
        "again",
        "came",
        "went",
        "gone",
        "order",
        "buy",
        "get",
        "fit",
        "refit",
        "reassembly",
        "only",
        "thread",
        "threads",
        "head",
    ];
    is_stop_word(word) || JOINING.contains(&word) || number_word(word).is_some() || word == "heads"
}

/// Words that describe a piece and name none: behind a number alone they say
/// something of pieces that were counted already, or count further ones.
#[must_use]
pub fn only_describes(word: &str) -> bool {
    const DESCRIBING: [&str; 36] = [
        "long",
        "longer",
        "longest",
        "short",
        "shorter",
        "shortest",
        "big",
        "bigger",
        "small",
        "smaller",
        "little",
        "large",
        "larger",
        "thick",
        "thicker",
        "thin",
        "thinner",
        "wide",
        "wider",
        "different",
        "odd",
        "bent",
        "rusty",
        "damaged",
        "worn",
        "spare",
        "extra",
        "more",
        "other",
        "good",
        "bad",
        "ok",
        "similar",
        "same",
        "loose",
        "tight",
    ];
    DESCRIBING.contains(&word)
}

/// Words for the side of pieces that were counted already.
#[must_use]
pub fn is_side(word: &str) -> bool {
    matches!(
        word,
        "left"
            | "right"
            | "front"
            | "rear"
            | "upper"
            | "lower"
            | "inner"
            | "outer"
            | "top"
            | "bottom"
            | "lh"
            | "rh"
    )
}

/// Words for the condition of pieces, which say nothing of their kind.
#[must_use]
pub fn is_condition(word: &str) -> bool {
    const CONDITIONS: [&str; 18] = [
        "good", "bad", "ok", "fine", "sound", "worn", "rusty", "rusted", "damaged", "bent",
        "seized", "tight", "loose", "original", "complete", "dirty", "greasy", "reusable",
    ];
    CONDITIONS.contains(&word)
}

/// Words for an uncounted number.
#[must_use]
pub fn is_vague(word: &str) -> bool {
    const VAGUE: [&str; 18] = [
        "some", "few", "several", "handful", "many", "various", "assorted", "misc", "lots", "lot",
        "loads", "load", "bunch", "plenty", "heap", "bits", "couple", "sundry",
    ];
    VAGUE.contains(&word)
}

/// Words before a number that is not meant exactly.
#[must_use]
pub fn is_about(word: &str) -> bool {
    const ABOUT: [&str; 14] = [
        "about",
        "approx",
        "approximately",
        "around",
        "roughly",
        "circa",
        "ca",
        "c",
        "nearly",
        "almost",
        "maybe",
        "say",
        "perhaps",
        "probably",
    ];
    ABOUT.contains(&word.trim_end_matches('.'))
}

/// Words behind a number that say "pieces" and nothing else.
#[must_use]
pub fn is_piece_word(word: &str) -> bool {
    // The last of them as people write them who count in Swedish, Danish, German,
    // Dutch or Polish.
    const WORDS: [&str; 16] = [
        "off", "no", "nos", "nr", "pcs", "pc", "pce", "pces", "piece", "pieces", "ea", "stk", "st",
        "stck", "stuks", "szt",
    ];
    WORDS.contains(&word.trim_end_matches('.'))
}

/// Whether a word begins what is told of a piece behind its name: "2 bolts
/// behind the bracket", "2 bolts taped back".
#[must_use]
pub fn begins_note(word: &str) -> bool {
    const PLACES: [&str; 30] = [
        "put",
        "stayed",
        "stuck",
        "went",
        "fell",
        "flew",
        "came",
        "length",
        "behind",
        "under",
        "near",
        "through",
        "inside",
        "outside",
        "below",
        "above",
        "between",
        "onto",
        "into",
        "within",
        "against",
        "along",
        "beside",
        "beneath",
        "still",
        "underneath",
        "top",
        "bottom",
        "holding",
        "around",
    ];
    let number = number_word(word).is_some();
    let told = word.len() > 4 && (word.ends_with("ed") || word.ends_with("ing")) && !is_kind(word);
    PLACES.contains(&word) || is_stop_word(word) && !number && word != "no" && word != "by" || told
}

/// Words that say that a measure beside them is a tool's and no thread's.
#[must_use]
pub fn is_tool_size(word: &str) -> bool {
    const WORDS: [&str; 16] = [
        "head", "heads", "headed", "spanner", "wrench", "socket", "af", "a/f", "hex", "across",
        "allen", "key", "ring", "ratchet", "driver", "torx",
    ];
    WORDS.contains(&word)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn kinds_for_one_and_for_several() {
        for word in ["bolt", "bolts", "bushes", "u-bolts", "grommet", "washers,"] {
            assert!(is_kind(word), "{word}");
        }
        for word in ["brass", "stainless", "long", "zinc", ""] {
            assert!(!is_kind(word), "{word}");
        }
        assert_eq!(singular("bushes"), "bush");
        assert_eq!(singular("brass"), "brass");
        assert_eq!(singular("bolts"), "bolt");
    }

    #[test]
    fn what_begins_a_note_and_what_does_not() {
        for word in ["from", "behind", "taped", "holding", "is"] {
            assert!(begins_note(word), "{word}");
        }
        for word in ["nut", "bushing", "ring", "one", "no", "brass", "m8"] {
            assert!(!begins_note(word), "{word}");
        }
    }
}
