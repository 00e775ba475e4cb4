//! A fact without a key, known by its words: a status, hours, money, work, hardware.
//!
//! What has a key is read above.

use super::FactPiece;
use super::bag_and_shelf::{bag, shelf, word_start};
use super::condition::{is_condition, orders_work};
use crate::entry::key::Key;
use crate::entry::key_words;
use crate::vocabulary::hardware::Hardware;
use crate::vocabulary::hardware_line::{HardwareDoubt, read_hardware};
use crate::vocabulary::hardware_words::{is_kind, mark_word};
use crate::vocabulary::hours_reading::{ReadHours, read_hours};
use crate::vocabulary::name::singular;
use crate::vocabulary::reference::without_note;
use crate::vocabulary::status_words::{StatusReading, read_bare};
use crate::vocabulary::words::fold;

/// The facts without keys that a segment consists of: "removed and in bag 3".
pub(super) fn keyless_all(segment: &str) -> Option<Vec<FactPiece<'_>>> {
    // "off (bag 3)"
    if let Some((bare, inner)) = segment
        .strip_suffix(')')
        .and_then(|open| open.split_once(" ("))
        && let (Some(mut all), Some(more)) = (keyless_all(bare), keyless_all(inner))
        && more.iter().all(|piece| piece.key != Key::Status)
    {
        all.extend(more);
        return Some(all);
    }
    if let Some(piece) = keyless(segment).filter(|piece| !segment.contains(" - ") || piece.is_said)
    {
        return Some(vec![piece]);
    }
    let count = segment.split_whitespace().count();
    if count > LONGEST_KEYLESS {
        return None;
    }
    // "off - bag 3 - loft"
    let dash = [" - ", " – ", " — "]
        .into_iter()
        .find(|dash| segment.contains(dash));
    let parted: Vec<&str> = dash.map_or(Vec::new(), |dash| segment.split(dash).collect());
    if parted.len() > 1 {
        let all: Option<Vec<Vec<FactPiece<'_>>>> =
            parted.iter().map(|piece| keyless_all(piece)).collect();
        if let Some(all) = all {
            return Some(all.into_iter().flatten().collect());
        }
    }
    (1..count).find_map(|at| {
        let cut = word_start(segment, at)?;
        let rest = segment[cut..]
            .trim_start_matches("and ")
            .trim_start_matches("& ")
            .trim_start_matches("w/ ")
            .trim_start_matches("with ")
            .trim_start_matches("has ")
            .trim_start_matches("holds ")
            .trim_start_matches("contains ")
            .trim_start_matches("= ")
            .trim_start_matches("its ");
        let first = keyless(segment[..cut].trim()).filter(|first| fold(first.value) != "in")?;
        let found = first.key == Key::Found && work(rest).is_some();
        let whole = matches!(first.key, Key::Status | Key::Bag | Key::Stored) || found;
        let mut all = vec![first];
        all.extend(keyless_all(rest).filter(|_| whole)?);
        Some(all)
    })
}

/// More words than a run of facts without keys has; a sentence has more.
pub(super) const LONGEST_KEYLESS: usize = 12;

/// A fact without a key: a status, a bag, a shelf, pieces, work.
pub(super) fn keyless(segment: &str) -> Option<FactPiece<'_>> {
    let piece = |key: Key, value| Some(FactPiece::of(key, value));
    let folded = fold(segment);
    let all: Vec<&str> = folded.split(' ').collect();
    let [first, rest @ ..] = all.as_slice() else {
        return None;
    };
    if rest.is_empty()
        && *first != "loft"
        && key_words::read(first).is_some()
        && read_bare(segment) == StatusReading::Unread
    {
        return None;
    }
    if let Some(label) = bag(&all, segment) {
        return piece(Key::Bag, label);
    }
    if let Some(value) = people(&all, segment) {
        return piece(Key::Hands, value);
    }
    if let Some(value) = work(segment) {
        let mut found = FactPiece::of(Key::Needs, value);
        found.is_said = first.starts_with("need") || *first == "wants";
        return Some(found);
    }
    if let ("status", Some(at)) = (*first, word_start(segment, 1)) {
        let value = &segment[at..];
        return match read_bare(value) {
            StatusReading::Unread => None,
            StatusReading::Clear(_) | StatusReading::Doubtful(_) => piece(Key::Status, value),
        };
    }
    if let ("stored" | "kept", Some(at)) = (*first, word_start(segment, 1)) {
        let bagged = rest.contains(&"bag");
        return piece(Key::Stored, &segment[at..]).filter(|_| all.len() <= 7 && !bagged);
    }
    if let ("found" | "condition", Some(at)) = (*first, word_start(segment, 1)) {
        // "found cracked needs weld" is two facts.
        let work = rest
            .iter()
            .any(|word| matches!(*word, "needs" | "need" | "wants"));
        return piece(Key::Found, &segment[at..]).filter(|_| !work);
    }
    // "took 2 hours"
    if let ("took", Some(at)) = (*first, word_start(segment, 1))
        && is_time(&segment[at..])
    {
        return piece(Key::Hours, &segment[at..]);
    }
    if let ("hardware", Some(at)) = (*first, word_start(segment, 1))
        && pieces_of_hardware(rest)
    {
        return piece(Key::Hardware, &segment[at..]);
    }
    if let ("torque", Some(at)) = (*first, word_start(segment, 1))
        && segment[at..].starts_with(|c: char| c.is_ascii_digit())
    {
        return piece(Key::Torque, &segment[at..]);
    }
    // "missing 1 screw": the screw is, and not the part.
    if mark_word(first).is_some() && pieces_of_hardware(rest) {
        return piece(Key::Hardware, segment);
    }
    // "its 2 nuts are in bag 8"
    let owned = all
        .iter()
        .take_while(|word| matches!(**word, "its" | "has" | "my" | "plus" | "with" | "both"))
        .count();
    if owned > 0
        && pieces_of_hardware(&all[owned..])
        && let Some(at) = word_start(segment, owned)
    {
        return piece(Key::Hardware, &segment[at..]);
    }
    if pieces_of_hardware(&all) {
        // "one screw short": of those that were there before.
        let short = all.last() == Some(&"short") && !all.contains(&"long");
        let mut found = FactPiece::of(Key::Hardware, segment);
        if short && let Some(at) = segment.to_lowercase().rfind("short") {
            found = FactPiece::of(Key::Short, segment[..at].trim());
            found.is_guess = true;
        }
        return Some(found);
    }
    if is_money(&all) {
        return piece(Key::Cost, segment);
    }
    // "removed (rusty)": what stands in brackets is the status's to ask about.
    let bare = without_note(segment);
    if bare.len() < segment.len()
        && let StatusReading::Clear(_) = read_bare(bare)
    {
        return piece(Key::Status, segment);
    }
    match read_bare(segment) {
        StatusReading::Clear(_) => return piece(Key::Status, segment),
        // "in the loft" alone is where it lies.
        StatusReading::Doubtful(_) if all.len() <= 6 && shelf(&all, segment).is_none() => {
            return piece(Key::Status, segment);
        }
        StatusReading::Doubtful(_) | StatusReading::Unread => {}
    }
    if let Some(value) = shelf(&all, segment) {
        return piece(Key::Stored, value);
    }
    if is_condition(segment) {
        return piece(Key::Found, segment);
    }
    orders_work(segment).then(|| FactPiece::of(Key::Needs, segment))
}

/// "2 people needed", "needs two people": how many have to lift.
fn people<'t>(all: &[&str], segment: &'t str) -> Option<&'t str> {
    let lead = usize::from(matches!(all[0], "needs" | "need" | "takes"));
    let (count, who) = (all.get(lead)?, all.get(lead + 1)?);
    let counts = matches!(*count, "2" | "3" | "4" | "two" | "three" | "four");
    let ends = all[lead + 2..]
        .iter()
        .all(|word| matches!(*word, "needed" | "job" | "lift"));
    let is_people = counts && ends && matches!(*who, "people" | "persons" | "men" | "man");
    word_start(segment, lead)
        .filter(|_| is_people)
        .map(|from| &segment[from..])
}

/// Whether a segment is a time worked, with its unit: "1.5 h", "45 min".
pub(super) fn is_time(segment: &str) -> bool {
    const UNITS: [&str; 9] = [
        "h", "hr", "hrs", "hour", "hours", "min", "mins", "minute", "minutes",
    ];
    let unit = |word: &str| {
        UNITS.contains(&word.trim_start_matches(|c: char| c.is_ascii_digit() || ".,:/".contains(c)))
    };
    segment.starts_with(|c: char| c.is_ascii_digit())
        && fold(segment).split(' ').any(unit)
        && matches!(read_hours(segment), ReadHours::Exactly(_))
}

/// Whether pieces of hardware are said to be on and not tight.
pub(super) fn says_loose(segment: &str) -> bool {
    let folded = fold(segment);
    [
        "not torqued",
        "not yet torqued",
        "not tight",
        "not tightened",
        "not yet tight",
        "hand tight",
        "finger tight",
        "loose",
    ]
    .iter()
    .any(|phrase| folded.contains(phrase))
}

/// An amount with the sign or the name of a currency: "seal £4", "11 quid of pipe".
pub(super) fn is_money(all: &[&str]) -> bool {
    let figure = |word: &str| word.starts_with(|c: char| c.is_ascii_digit());
    // "plater wants £120": nobody has paid it.
    let asked = |word: &&str| {
        matches!(
            *word,
            "wants" | "asks" | "asking" | "asked" | "quote" | "quoted" | "estimate" | "would"
        )
    };
    all.len() <= 8
        && !all.iter().any(asked)
        && all.iter().enumerate().any(|(at, word)| {
            let sign = word.starts_with(['£', '€', '$']) || word.ends_with(['£', '€', '$']);
            let bare = word.trim_matches(['£', '€', '$', ',']);
            let named = matches!(
                *word,
                "euro" | "euros" | "eur" | "quid" | "pounds" | "gbp" | "usd" | "dollars" | "bucks"
            );
            sign && (figure(bare) || all.get(at + 1).is_some_and(|next| figure(next)))
                || named && at > 0 && figure(all[at - 1])
        })
}

/// "needs a new bush", "buy a seal": the work.
pub(super) fn work(segment: &str) -> Option<&str> {
    for start in [
        "needs ",
        "need ",
        "still needs ",
        "to do ",
        "todo ",
        "wants ",
        "has to be ",
        "must be ",
        "to be ",
        "must get ",
        "must have ",
        "could do with ",
        "will need ",
        "needing ",
        "gonna need ",
        "going to need ",
        "requires ",
    ] {
        if segment.len() > start.len()
            && segment.is_char_boundary(start.len())
            && segment[..start.len()].eq_ignore_ascii_case(start)
        {
            let rest = segment[start.len()..].trim();
            // "needs to buy another"
            return Some(rest.strip_prefix("to ").unwrap_or(rest));
        }
    }
    // "timing to do", "two new ones wanted"
    let folded = fold(segment);
    if [" to do", " wanted", " needed", " required"]
        .iter()
        .any(|end| folded.ends_with(end))
        && folded.split(' ').count() <= LONGEST_KEYLESS
    {
        return Some(segment);
    }
    [
        "buy ",
        "order ",
        "get a new ",
        "get new ",
        "get another ",
        "get one",
    ]
    .iter()
    .any(|start| {
        segment.is_char_boundary(start.len().min(segment.len()))
            && segment
                .get(..start.len())
                .is_some_and(|own| own.eq_ignore_ascii_case(start))
    })
    .then_some(segment)
}

/// Whether these words count pieces of hardware: "4 bolts in bag 3".
pub(super) fn pieces_of_hardware(all: &[&str]) -> bool {
    const COUNTS: [&str; 12] = [
        "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
        "twelve",
    ];
    let is_count = |word: &str| {
        let digits = word.trim_matches(['(', ')', 'x']);
        COUNTS.contains(&word) || !digits.is_empty() && digits.bytes().all(|b| b.is_ascii_digit())
    };
    let several = match all {
        ["half", "a", "dozen", ..] => true,
        ["a", group, ..] => matches!(*group, "dozen" | "pair" | "couple"),
        _ => false,
    };
    let counts = several || all.first().is_some_and(|first| is_count(first));
    // "hose clips two", "springs x2": the number behind the kind.
    let behind = all.iter().take(3).position(|word| is_hardware(word));
    let counted = behind
        .and_then(|at| all.get(at + 1))
        .is_some_and(|word| is_count(word));
    counts && all.iter().skip(1).any(|word| is_hardware(word)) || counted
}

/// Whether a line is hardware for the reader of hardware, with a number for one kind at
/// least: "8x #8 x 3/4 self tappers, baggie 1", "nuts 5 x 5/16 bag 19".
pub(super) fn counts_hardware(text: &str) -> bool {
    if text.split(' ').count() > LONGEST_KEYLESS || !text.bytes().any(|b| b.is_ascii_digit()) {
        return false;
    }
    let line = read_hardware(text);
    let is_known = |piece: &Hardware| {
        let fastener = piece.fastener();
        let last = fastener.kind.written().split(' ').next_back();
        piece.note.is_none() && last.is_some_and(|last| is_kind(&last.to_lowercase()))
    };
    line.pieces.iter().any(|piece| piece.quantity.is_some())
        && line.pieces.iter().all(is_known)
        && line.doubts.iter().all(|doubt| {
            matches!(
                doubt,
                HardwareDoubt::CountedAsOne(_) | HardwareDoubt::Uncounted(_)
            )
        })
}

/// Whether a word is a kind of hardware, one or several of it.
pub(super) fn is_hardware(word: &str) -> bool {
    const NOUNS: [&str; 20] = [
        "bolt", "screw", "nut", "washer", "stud", "clip", "pin", "rivet", "setscrew", "capscrew",
        "circlip", "nail", "fastener", "grommet", "spacer", "u-bolt", "spring", "shim", "clamp",
        "dowel",
    ];
    let small = word.to_lowercase();
    let word = small.trim_matches(|c: char| !c.is_alphanumeric());
    NOUNS.contains(&singular(word))
}
