//! The keys of facts: one row a key, and which key a misspelt word was meant to be.
//!
//! How a value is read is decided in `understand`, what it does to a part in the
//! ledger's fold.

use serde::{Deserialize, Serialize};

use super::fact::Fact;
use crate::vocabulary::hardware::Hardware;
use crate::vocabulary::named_picture::NamedPicture;
use crate::vocabulary::reference::Reference;
use crate::vocabulary::words::{fold, one_slip};

macro_rules! keys {
    ($($variant:ident $word:literal $row:expr,)*) => {
        /// A key that facts and front matter may have.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
        pub enum Key {
            $(
                #[doc = concat!("`", $word, "`")]
                $variant,
            )*
        }

        impl Key {
            /// All keys, in the order in which a person would write them.
            pub const ALL: &[Key] = &[$(Key::$variant),*];

            /// The word for it, as it is written in an entry and in JSON.
            #[must_use]
            pub const fn word(self) -> &'static str {
                match self {
                    $(Key::$variant => $word,)*
                }
            }

            const fn row(self) -> KeyRule {
                match self {
                    $(Key::$variant => $row,)*
                }
            }
        }
    };
}

// A new key is a row here, a variant of `Fact` and an arm of the ledger's fold;
// DEVELOPERS.md lists the files.
keys! {
    Date "date" of_session(one(), Reads::Apart),
    Time "time" of_entry(one(), Reads::Apart),
    Vehicle "vehicle" of_session(one(), Reads::Apart),
    Title "title" of_entry(one(), Reads::Apart),
    Helpers "helpers" of_entry(several(), Reads::Apart),
    Hours "hours" of_session(one(), Reads::Hours).even_of_one_part(),
    Footage "footage" of_session(several(), Reads::Clip).even_of_one_part().for_sections().free_text(),
    Part "part" of_entry(several(), Reads::Apart),
    At "at" of_part(several(), Reads::Apart),
    System "system" of_session(one(), Reads::System),
    Also "also" of_part(several(), Reads::Text(Fact::Also)),
    Number "number" of_part(several(), Reads::Text(Fact::Number)).kept_with_doubt(),
    Of "of" of_part(several(), Reads::Part(Fact::Of)).comes_off(),
    Status "status" of_session(several(), Reads::Status).for_sections().taught(8),
    Surface "surface" of_part(several(), Reads::Surface).about_a_surface(),
    HoldsUp "holds up" of_part(several(), Reads::Part(Fact::HoldsUp)).about_a_surface(),
    After "after" of_part(several(), Reads::Part(Fact::After)).comes_off().taught(1),
    OffAfter "off after" of_part(several(), Reads::Part(Fact::OffAfter)).comes_off(),
    RefitAfter "refit after" of_part(several(), Reads::Part(Fact::RefitAfter)),
    Undone "undone" of_part(several(), Reads::Connection).comes_off(),
    Hands "hands" of_part(one(), Reads::People),
    Hardware "hardware" of_part(several(), Reads::Pieces(Fact::Hardware)).comes_off().taught(2),
    SentTo "sent to" of_part(several(), Reads::Sent),
    Leftover "leftover" of_part(several(), Reads::Pieces(Fact::Leftover)),
    Short "short" of_part(several(), Reads::Pieces(Fact::Short)),
    Bag "bag" of_session(several(), Reads::Bag).for_sections().comes_off().taught(3),
    Holds "holds" of_part(several(), Reads::Part(Fact::Holds)),
    Stored "stored" of_session(sentence(), Reads::Text(Fact::Stored)).for_sections().comes_off().taught(4),
    Found "found" of_part(sentence(), Reads::Text(Fact::Found)).kept_with_doubt().taught(5),
    Needs "needs" of_part(several(), Reads::Need).kept_with_doubt().taught(6),
    Done "done" of_part(several(), Reads::Text(Fact::Done)).kept_with_doubt().taught(7),
    ReplacedBy "replaced by" of_part(sentence(), Reads::Apart).taught(12),
    Question "question" of_part(sentence(), Reads::Text(Fact::Question)).free_text(),
    Answer "answer" of_part(sentence(), Reads::Text(Fact::Answer)).free_text(),
    Cost "cost" of_session(sentence(), Reads::Cost).taught(9),
    Torque "torque" of_part(sentence(), Reads::Torque),
    Manual "manual" of_part(sentence(), Reads::Text(Fact::Manual)).free_text(),
    Tool "tool" of_session(several(), Reads::Tool).free_text(),
    Photo "photo" of_session(several(), Reads::Text(|path| Fact::Photo(NamedPicture::at(path)))).free_text(),
    Lesson "lesson" of_session(sentence(), Reads::Text(Fact::Lesson)).free_text().taught(10),
    Caution "caution" of_session(sentence(), Reads::Text(Fact::Caution)).free_text().taught(11),
    Tell "tell" of_session(one(), Reads::Telling).even_of_one_part().free_text(),
    Ask "ask" of_session(several(), Reads::Text(Fact::Ask)).even_of_one_part().free_text(),
}

/// How a value is read. A key with a kind of value that is here already needs no
/// further reader.
#[derive(Clone, Copy)]
pub(super) enum Reads {
    /// Words that are kept as they are.
    Text(fn(String) -> Fact),
    /// Whether it is to be told.
    Telling,
    /// The name of another part.
    Part(fn(Reference) -> Fact),
    /// Nuts, bolts, clips.
    Pieces(fn(Hardware) -> Fact),
    /// Where a part stands.
    Status,
    /// How a surface is.
    Surface,
    /// What was opened, and to where.
    Connection,
    /// How many people.
    People,
    /// To whom, and until when.
    Sent,
    /// The label of a bag.
    Bag,
    /// Work, and until when.
    Need,
    /// Money and what for.
    Cost,
    /// A time span.
    Hours,
    /// A figure, its unit and source.
    Torque,
    /// A tool, and when it goes back.
    Tool,
    /// A clip of film and times in it.
    Clip,
    /// A system of the journal.
    System,
    /// Read with the entry or record that it belongs to, not as a value.
    Apart,
}

/// How many values a key has.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Values {
    /// A semicolon parts several.
    Several,
    /// A value is one sentence or figure, whatever stands in it; it may be repeated.
    Sentence,
    /// There is one, and a second contradicts it.
    One,
}

/// To what a key belongs.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Belongs {
    /// To the entry as a whole, never to one of its sections.
    Entry,
    /// To a section, or to the session where the front matter says it.
    Session,
    /// To a part; the front matter says it only beside `part:`.
    Part,
}

/// All there is to know about a key besides its word.
#[derive(Clone, Copy)]
struct KeyRule {
    values: Values,
    belongs: Belongs,
    reads: Reads,
    even_of_one_part: bool,
    for_sections: bool,
    comes_off: bool,
    about_a_surface: bool,
    open: OpenValue,
    taught: Option<u8>,
}

/// What is made of a value that its own words leave open: "maybe", "12?", "ditto".
#[derive(Clone, Copy, PartialEq, Eq)]
enum OpenValue {
    /// It is asked about.
    Asked,
    /// Doubt is part of what was seen; only what points elsewhere is asked about.
    KeptWithDoubt,
    /// A text in its own right, which may say anything.
    Text,
}

const fn several() -> Values {
    Values::Several
}

const fn sentence() -> Values {
    Values::Sentence
}

const fn one() -> Values {
    Values::One
}

const fn of_entry(values: Values, reads: Reads) -> KeyRule {
    row(Belongs::Entry, values, reads)
}

const fn of_session(values: Values, reads: Reads) -> KeyRule {
    row(Belongs::Session, values, reads)
}

const fn of_part(values: Values, reads: Reads) -> KeyRule {
    row(Belongs::Part, values, reads)
}

const fn row(belongs: Belongs, values: Values, reads: Reads) -> KeyRule {
    KeyRule {
        values,
        belongs,
        reads,
        even_of_one_part: false,
        for_sections: false,
        comes_off: false,
        about_a_surface: false,
        open: OpenValue::Asked,
        taught: None,
    }
}

impl KeyRule {
    /// In the front matter it is of the session also where the entry is about one part.
    const fn even_of_one_part(mut self) -> KeyRule {
        self.even_of_one_part = true;
        self
    }

    /// Sections take it from the front matter.
    const fn for_sections(mut self) -> KeyRule {
        self.for_sections = true;
        self
    }

    /// A sign that the part came off: the record takes over an evening's status.
    const fn comes_off(mut self) -> KeyRule {
        self.comes_off = true;
        self
    }

    /// A word about a surface, which takes over neither status nor shelf.
    const fn about_a_surface(mut self) -> KeyRule {
        self.about_a_surface = true;
        self
    }

    /// Doubt in a value is part of what was seen: "rusty?".
    const fn kept_with_doubt(mut self) -> KeyRule {
        self.open = OpenValue::KeptWithDoubt;
        self
    }

    /// A text in its own right, which may doubt and point to anything.
    const fn free_text(mut self) -> KeyRule {
        self.open = OpenValue::Text;
        self
    }

    /// One of the twelve that are taught first, and as which of them.
    const fn taught(mut self, place: u8) -> KeyRule {
        self.taught = Some(place);
        self
    }
}

impl Key {
    /// The twelve that are taught first.
    #[must_use]
    pub fn taught() -> Vec<Key> {
        let mut taught: Vec<Key> = Key::ALL.to_vec();
        taught.retain(|key| key.row().taught.is_some());
        taught.sort_by_key(|key| key.row().taught);
        taught
    }

    /// The key with exactly this word, without regard to case.
    #[must_use]
    pub fn read(word: &str) -> Option<Key> {
        // Nearly all words that are asked about are plain, and most are no key.
        let is_plain = |b: u8| b.is_ascii_graphic();
        if word.bytes().all(is_plain) {
            let mut keys = Key::ALL.iter().copied();
            return keys.find(|key| key.word().eq_ignore_ascii_case(word));
        }
        let word = fold(word);
        Key::ALL.iter().copied().find(|key| key.word() == word)
    }

    /// The key one slip away from this word, if the key has five letters or
    /// more: short words are too close to each other to guess.
    #[must_use]
    pub fn near(word: &str) -> Option<Key> {
        let word = fold(word);
        Key::ALL
            .iter()
            .copied()
            .find(|key| key.word().len() >= 5 && one_slip(&word, key.word()))
    }

    /// The key most like this word, for a hint only.
    #[must_use]
    pub fn likest(word: &str) -> Option<Key> {
        let word = fold(word);
        // A word that is much longer than all keys is like none of them, and
        // comparing it letter by letter would take long.
        let length = word.chars().count();
        Key::ALL
            .iter()
            .copied()
            .filter(|key| key.word().len().abs_diff(length) <= 2)
            .map(|key| (strsim::osa_distance(&word, key.word()), key))
            .min_by_key(|(distance, _)| *distance)
            .filter(|(distance, key)| *distance <= 2 && *distance < key.word().len() - 1)
            .map(|(_, key)| key)
    }

    /// How a value under it is read.
    pub(super) const fn reads(self) -> Reads {
        self.row().reads
    }

    /// Whether a semicolon parts several values. Where it does not, the value
    /// is one sentence or one figure.
    #[must_use]
    pub const fn takes_several(self) -> bool {
        matches!(self.row().values, Values::Several)
    }

    /// Whether a record has one of it: a second value contradicts the first.
    pub(super) const fn is_single(self) -> bool {
        matches!(self.row().values, Values::One)
    }

    /// Whether only an entry as a whole can say it, never one of its sections.
    #[must_use]
    pub const fn is_of_entry_alone(self) -> bool {
        matches!(self.row().belongs, Belongs::Entry)
    }

    /// Whether the front matter may say it although no part is named there:
    /// what belongs to the whole session, and what the sections take from it.
    #[must_use]
    pub const fn is_of_session(self) -> bool {
        !matches!(self.row().belongs, Belongs::Part)
    }

    /// Whether the front matter says it of the session even where it names a part.
    pub(super) const fn is_of_session_even_of_one_part(self) -> bool {
        self.row().even_of_one_part
    }

    /// Whether sections take it from the front matter.
    pub(super) const fn is_for_sections(self) -> bool {
        self.row().for_sections
    }

    /// Whether it is a sign that the part came off.
    pub(super) const fn comes_off(self) -> bool {
        self.row().comes_off
    }

    /// Whether a value is asked about that its own words leave open.
    pub(super) const fn asks_about_doubt(self) -> bool {
        matches!(self.row().open, OpenValue::Asked)
    }

    /// Whether a value is asked about that only points to another part: "ditto".
    pub(super) const fn asks_about_elsewhere(self) -> bool {
        !matches!(self.row().open, OpenValue::Text)
    }

    /// Whether it is a word about a surface.
    pub(super) const fn is_about_a_surface(self) -> bool {
        self.row().about_a_surface
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_read_back_whatever_the_case() {
        for key in Key::ALL {
            assert_eq!(Key::read(&key.word().to_uppercase()), Some(*key));
        }
        assert_eq!(Key::read("Replaced  By"), Some(Key::ReplacedBy));
    }

    #[test]
    fn twelve_are_taught_in_their_order() {
        let taught = Key::taught();
        let places: Vec<u8> = taught.iter().filter_map(|key| key.row().taught).collect();
        assert_eq!(places, (1..=12).collect::<Vec<u8>>());
        assert_eq!((taught[0], taught[11]), (Key::After, Key::ReplacedBy));
    }

    #[test]
    fn slips_are_guessed_for_long_keys_only() {
        assert_eq!(Key::near("hardwar"), Some(Key::Hardware));
        assert_eq!(Key::near("stauts"), Some(Key::Status));
        assert_eq!(Key::near("bga"), None);
        assert_eq!(Key::near("buy"), None);
        assert_eq!(Key::likest("bga"), Some(Key::Bag));
        assert_eq!(Key::likest("upholstery"), None);
    }
}
