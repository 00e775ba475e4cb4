//! Where a general torque is never offered: what a life hangs on, the driveline
//! and the inside of an engine.
//!
//! Recognised by the words of `restricted.txt`, on the careful side: what might be
//! one of these is taken for it. No figure stands here.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Mutex, OnceLock, PoisonError};

use crate::vocabulary::words::{one_slip, stem, words};

/// A field in which only the service manual's figure counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Field {
    /// Brakes.
    Brakes,
    /// Steering.
    Steering,
    /// Suspension and axles.
    Suspension,
    /// Wheels and hubs.
    Wheels,
    /// Belts, seats, their anchors.
    Restraints,
    /// What pulls or is pulled: hitches, drawbars, lifting points.
    Towing,
    /// Roll bars and safety frames.
    RollOver,
    /// Clutch, gearbox, shafts, differential, chain.
    Driveline,
    /// The inside of the engine.
    Engine,
}

impl Field {
    /// All of them.
    pub const ALL: [Field; 9] = [
        Field::Brakes,
        Field::Steering,
        Field::Suspension,
        Field::Wheels,
        Field::Restraints,
        Field::Towing,
        Field::RollOver,
        Field::Driveline,
        Field::Engine,
    ];

    /// What it is called, in messages and in the table.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Field::Brakes => "brakes",
            Field::Steering => "steering",
            Field::Suspension => "suspension",
            Field::Wheels => "wheels",
            Field::Restraints => "restraints",
            Field::Towing => "towing",
            Field::RollOver => "roll-over protection",
            Field::Driveline => "driveline",
            Field::Engine => "the inside of the engine",
        }
    }
}

/// A phrase of the table.
struct RestrictedPhrase {
    /// As it stands there.
    words: &'static str,
    /// The stems of its words joined, and stemmed as one word: `towbal`.
    joined: String,
    /// Whether any word that ends so will do.
    is_ending: bool,
}

/// The table, read once.
#[derive(Default)]
struct RestrictedTable {
    fields: Vec<(Field, RestrictedPhrase)>,
    harmless: Vec<RestrictedPhrase>,
    no_load: Vec<RestrictedPhrase>,
    outside: Vec<RestrictedPhrase>,
    /// The words for the engine as a whole.
    engine: Vec<RestrictedPhrase>,
    /// All words of the fields: what a slip may have been meant for.
    meant: BTreeSet<String>,
    /// The stems of words that are no slip of one of them, theirs included.
    spelled: BTreeSet<String>,
}

impl RestrictedTable {
    /// Whether a word is spelled as one of the table.
    fn is_spelled(&self, word: &str) -> bool {
        self.spelled.contains(&stem(word))
    }
}

/// The field that a part's name, or the name of its system, belongs to, with
/// the words that say so.
#[must_use]
pub fn field(part: &str, system: &str) -> Option<(Field, &'static str)> {
    // A plan asks of thousands of places that have a few hundred names between them.
    static KNOWN: Mutex<KnownFields> = Mutex::new(KnownFields::new());
    let asked = (part.to_owned(), system.to_owned());
    let known = || KNOWN.lock().unwrap_or_else(PoisonError::into_inner);
    if let Some(found) = known().get(&asked) {
        return *found;
    }
    let found = looked_up(part, system);
    let mut known = known();
    if known.len() > MOST_KNOWN {
        known.clear();
    }
    known.insert(asked, found);
    found
}

/// What was found for a part's name and its system.
type KnownFields = BTreeMap<(String, String), Option<(Field, &'static str)>>;

/// More names than a journal has; a service that runs for days must not grow.
const MOST_KNOWN: usize = 20_000;

fn looked_up(part: &str, system: &str) -> Option<(Field, &'static str)> {
    let table = table();
    let part_stems = if holds_nothing(part) {
        Vec::new()
    } else {
        without_harmless(stems(part))
    };
    let system_stems = stems(system);
    let slipped = || {
        let meant = (!part_stems.is_empty()).then(|| with_one_slip_mended(part));
        meant.into_iter().flatten().find_map(|stems| named(&stems))
    };
    let found = named(&part_stems).or_else(|| named(&system_stems));
    if let Some(found) = found.or_else(slipped) {
        return Some(found);
    }
    let engine = |stems: &[String]| table.engine.iter().any(|word| word.is_in(stems));
    let outside = table.outside.iter().any(|word| word.is_in(&part_stems));
    let inside = engine(&part_stems) || engine(&system_stems);
    (inside && !outside).then_some((Field::Engine, "engine"))
}

/// The first field that these words name, with the words that say so.
fn named(stems: &[String]) -> Option<(Field, &'static str)> {
    let fields = &table().fields;
    let (field, known) = fields.iter().find(|(_, known)| known.is_in(stems))?;
    Some((*field, known.words))
}

/// The stems of a part's words again, with one word read as the word of a field that it
/// is one slip away from: "calpier" as "caliper".
fn with_one_slip_mended(part: &str) -> Vec<Vec<String>> {
    let table = table();
    let written: Vec<String> = words(part).collect();
    let mut all = Vec::new();
    for (at, word) in written.iter().enumerate() {
        if table.is_spelled(word) {
            continue;
        }
        for meant in table.meant.iter().filter(|meant| may_mean(word, meant)) {
            let mut mended: Vec<String> = written.iter().map(|word| stem(word)).collect();
            mended[at] = stem(meant);
            all.push(without_harmless(mended));
        }
    }
    all
}

/// Whether a word is another one with a slip, its first letter right. In a short word
/// two letters have changed places, one is missing or one stands twice: with one letter
/// wrong it is as likely a third word.
fn may_mean(word: &str, meant: &str) -> bool {
    let one = word.strip_suffix('s').unwrap_or(word);
    if word.len() < 4 || word.chars().next() != meant.chars().next() {
        return false;
    }
    [word, one].into_iter().any(|word| {
        let has_swapped = || {
            let sorted = |text: &str| {
                let mut letters: Vec<char> = text.chars().collect();
                letters.sort_unstable();
                letters
            };
            word.len() == meant.len() && sorted(word) == sorted(meant)
        };
        let is_long = word.len() > 4 || meant.len() > word.len();
        one_slip(word, meant) && meant.len() > 3 && (is_long || has_swapped())
            || meant.len() == 3 && has_letter_twice(word, meant)
    })
}

/// Whether a word is another one with one of its letters doubled: "rodd" for "rod".
fn has_letter_twice(word: &str, meant: &str) -> bool {
    let mut single = String::new();
    let mut doubled = 0;
    for letter in word.chars() {
        if single.ends_with(letter) {
            doubled += 1;
        } else {
            single.push(letter);
        }
    }
    doubled == 1 && single == meant
}

/// Whether the part is a lamp, a badge, a trim: what it is called at its end,
/// before the first comma ("brake fluid sticker, lid").
fn holds_nothing(part: &str) -> bool {
    let name = part.split([',', ';', '(']).next().unwrap_or_default();
    let Some(last) = words(name).last() else {
        return false;
    };
    // The word itself: `mat` is no `mating`.
    let one = last.strip_suffix('s').unwrap_or(&last);
    let is_last = |word: &RestrictedPhrase| word.words == last || word.words == one;
    table().no_load.iter().any(is_last)
}

fn table() -> &'static RestrictedTable {
    static TABLE: OnceLock<RestrictedTable> = OnceLock::new();
    TABLE.get_or_init(|| {
        let (table, faults) = read(include_str!("restricted.txt"));
        debug_assert!(faults.is_empty(), "{faults:?}");
        table
    })
}

/// Reads a table; the second list holds headings that it does not know.
fn read(text: &'static str) -> (RestrictedTable, Vec<&'static str>) {
    let mut table = RestrictedTable {
        engine: ["engine", "power unit"].map(RestrictedPhrase::new).into(),
        ..RestrictedTable::default()
    };
    let mut faults = Vec::new();
    let mut heading = "";
    for line in text.lines() {
        if line.is_empty() || line.starts_with("//") {
            continue;
        }
        if let Some(name) = line
            .strip_prefix('[')
            .and_then(|rest| rest.strip_suffix(']'))
        {
            heading = name;
            continue;
        }
        let known = line.split(", ").map(RestrictedPhrase::new);
        let field = Field::ALL.into_iter().find(|field| field.word() == heading);
        table.spelled.extend(stems(line));
        match (field, heading) {
            (Some(field), _) => {
                table.fields.extend(known.map(|known| (field, known)));
                table.meant.extend(words(line));
            }
            (None, "harmless") => table.harmless.extend(known),
            (None, "no load") => table.no_load.extend(known),
            (None, "outside") => table.outside.extend(known),
            (None, "no slip") => {}
            (None, _) => faults.push(line),
        }
    }
    (table, faults)
}

impl RestrictedPhrase {
    fn new(written: &'static str) -> RestrictedPhrase {
        let words = written.strip_prefix('*').unwrap_or(written);
        RestrictedPhrase {
            words,
            joined: stem(&stems(words).concat()),
            is_ending: words != written,
        }
    }

    fn is_in(&self, text: &[String]) -> bool {
        if self.is_ending {
            return text.iter().any(|word| word.ends_with(&self.joined));
        }
        self.find(text).is_some()
    }

    /// Where it stands, and in how many words: "tow ball" also as "towball".
    fn find(&self, text: &[String]) -> Option<(usize, usize)> {
        (0..text.len()).find_map(|at| {
            // Stems are cut at the end, never at the beginning.
            if text[at].chars().next() != self.joined.chars().next() {
                return None;
            }
            let mut joined = String::new();
            for (count, word) in text[at..].iter().enumerate() {
                // A gap that was left by something harmless.
                if word.is_empty() {
                    return None;
                }
                joined.push_str(word);
                if stem(&joined) == self.joined {
                    return Some((at, count + 1));
                }
                if joined.len() > self.joined.len() + 3 {
                    return None;
                }
            }
            None
        })
    }
}

fn stems(text: &str) -> Vec<String> {
    words(text).map(|word| stem(&word)).collect()
}

fn without_harmless(mut text: Vec<String>) -> Vec<String> {
    for known in &table().harmless {
        while let Some((at, count)) = known.find(&text) {
            // A gap, so that what stood on both sides does not come together.
            text.splice(at..at + count, [String::new()]);
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(part: &str, system: &str) -> Option<Field> {
        field(part, system).map(|(field, _)| field)
    }

    #[test]
    fn what_a_life_hangs_on_is_recognised() {
        for (part, system, expected) in [
            ("wheel nut", "", Field::Wheels),
            ("Wheel Nuts", "", Field::Wheels),
            ("brake drum, left front", "", Field::Brakes),
            ("", "brakes", Field::Brakes),
            ("drag link", "", Field::Steering),
            ("king-pin", "", Field::Steering),
            ("U-bolt", "", Field::Suspension),
            ("shackle", "rear suspension", Field::Suspension),
            ("plate", "front suspension", Field::Suspension),
            ("spindle nut", "", Field::Wheels),
            ("seat belt anchor", "body", Field::Restraints),
            ("cylinder head", "engine", Field::Engine),
            ("big end cap", "", Field::Engine),
            ("some nut", "engine", Field::Engine),
            ("", "engine", Field::Engine),
        ] {
            assert_eq!(of(part, system), Some(expected), "{part} / {system}");
        }
    }

    #[test]
    fn names_gathered_without_sight_of_the_table() {
        let rows = |text: &'static str| {
            let rows = text.lines().filter(|line| !line.starts_with('#'));
            rows.filter_map(|line| line.split_once(" | "))
        };
        let refused = include_str!("../../tests/data/torque-refused.txt");
        let given = include_str!("../../tests/data/torque-given.txt");
        let wrong: Vec<(&str, &str)> = rows(refused)
            .filter(|(part, system)| of(part, system).is_none())
            .chain(rows(given).filter(|(part, system)| of(part, system).is_some()))
            .collect();
        assert_eq!(wrong, []);
        assert!(rows(refused).count() >= 400 && rows(given).count() >= 130);
    }

    #[test]
    fn one_word_or_two_in_any_form() {
        for (part, expected) in [
            ("towball", Field::Towing),
            ("tow-ball", Field::Towing),
            ("Half-shafts", Field::Driveline),
            ("layshaft", Field::Driveline),
            ("footbrake rod", Field::Brakes),
            ("flywheel", Field::Engine),
            ("roll bar foot bolt", Field::RollOver),
        ] {
            assert_eq!(of(part, ""), Some(expected), "{part}");
        }
    }

    #[test]
    fn a_slip_of_a_letter_is_read_as_what_may_be_meant() {
        for (part, expected) in [
            ("calpier bolts", Some(Field::Brakes)),
            ("rear drumm screw", Some(Field::Brakes)),
            ("weel bolts", Some(Field::Wheels)),
            ("axel nuts", Some(Field::Suspension)),
            ("wishbne", Some(Field::Suspension)),
            ("tie rodd", Some(Field::Steering)),
            ("hubb nut", Some(Field::Wheels)),
            // Words of their own.
            ("shift knob plate", None),
            ("brace", None),
            ("roof bow, inner", None),
            ("filler cap", None),
            ("seal, door", None),
            // Neither the first letter nor two slips.
            ("locker lid", None),
            ("calpir lid", None),
        ] {
            assert_eq!(of(part, ""), expected, "{part}");
        }
    }

    #[test]
    fn a_part_that_holds_nothing_stands_at_the_end() {
        for (part, field) in [
            ("brake fluid sticker, lid", None),
            ("steering wheel badges", None),
            ("steering rack gaiter", None),
            ("badge bolt, wheel", Some(Field::Wheels)),
            ("mating bolt of the gearbox", Some(Field::Driveline)),
        ] {
            assert_eq!(of(part, ""), field, "{part}");
        }
    }

    #[test]
    fn the_whole_table_is_read() {
        let (table, faults) = read(include_str!("restricted.txt"));
        assert_eq!(faults, Vec::<&str>::new());
        for field in Field::ALL {
            assert!(table.fields.iter().any(|(known, _)| *known == field));
        }
        assert_eq!(read("[spaceships]\nfin").1, ["fin"]);
    }

    #[test]
    fn what_may_be_tightened_by_a_general_figure() {
        for (part, system) in [
            ("bumper", "body"),
            ("wing, left front", "body"),
            ("wheel arch, left", "body"),
            ("battery tray", "electrics"),
            ("engine mount", "engine"),
            ("dynamo", "engine"),
            ("fuel tank", "fuel"),
            ("", "body"),
            ("", ""),
        ] {
            assert_eq!(of(part, system), None, "{part} / {system}");
        }
    }
}
