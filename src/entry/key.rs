//! The keys of facts, and which key a misspelt word was meant to be.
//!
//! What a value means is decided in `understand`, not here.

use serde::{Deserialize, Serialize};

use crate::vocabulary::words::{fold, one_slip};

macro_rules! keys {
    ($($variant:ident $word:literal,)*) => {
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

            /// The word for it, as it is written in an entry.
            #[must_use]
            pub const fn word(self) -> &'static str {
                match self {
                    $(Key::$variant => $word,)*
                }
            }
        }
    };
}

keys! {
    Date "date",
    Time "time",
    Vehicle "vehicle",
    Title "title",
    Helpers "helpers",
    Hours "hours",
    Footage "footage",
    Part "part",
    At "at",
    System "system",
    Also "also",
    Number "number",
    Of "of",
    Status "status",
    Surface "surface",
    HoldsUp "holds up",
    After "after",
    OffAfter "off after",
    RefitAfter "refit after",
    Undone "undone",
    Hands "hands",
    Hardware "hardware",
    SentTo "sent to",
    Leftover "leftover",
    Short "short",
    Bag "bag",
    Holds "holds",
    Stored "stored",
    Found "found",
    Needs "needs",
    Done "done",
    ReplacedBy "replaced by",
    Question "question",
    Answer "answer",
    Cost "cost",
    Torque "torque",
    Manual "manual",
    Tool "tool",
    Photo "photo",
    Lesson "lesson",
    Caution "caution",
    Tell "tell",
    Ask "ask",
}

impl Key {
    /// The twelve that are taught first.
    pub const TAUGHT: [Key; 12] = [
        Key::After,
        Key::Hardware,
        Key::Bag,
        Key::Stored,
        Key::Found,
        Key::Needs,
        Key::Done,
        Key::Status,
        Key::Cost,
        Key::Lesson,
        Key::Caution,
        Key::ReplacedBy,
    ];

    /// The key with exactly this word, without regard to case.
    #[must_use]
    pub fn read(word: &str) -> Option<Key> {
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

    /// Whether a semicolon parts several values. Where it does not, the value
    /// is one sentence or one figure.
    #[must_use]
    pub const fn takes_several(self) -> bool {
        match self {
            Key::Title
            | Key::Found
            | Key::Lesson
            | Key::Caution
            | Key::Question
            | Key::Answer
            | Key::Stored
            | Key::Cost
            | Key::Torque
            | Key::Manual
            | Key::Date
            | Key::Time
            | Key::Vehicle
            | Key::Hours
            | Key::System
            | Key::Hands
            | Key::ReplacedBy
            | Key::Tell => false,
            Key::Helpers
            | Key::Footage
            | Key::Part
            | Key::At
            | Key::Also
            | Key::Number
            | Key::Of
            | Key::Status
            | Key::Surface
            | Key::HoldsUp
            | Key::After
            | Key::OffAfter
            | Key::RefitAfter
            | Key::Undone
            | Key::Hardware
            | Key::SentTo
            | Key::Leftover
            | Key::Short
            | Key::Bag
            | Key::Holds
            | Key::Needs
            | Key::Done
            | Key::Tool
            | Key::Photo
            | Key::Ask => true,
        }
    }

    /// Whether only an entry as a whole can say it, never one of its sections.
    #[must_use]
    pub const fn is_of_entry_alone(self) -> bool {
        matches!(self, Key::Time | Key::Title | Key::Helpers | Key::Part)
    }

    /// Whether the front matter may say it although no part is named there:
    /// what belongs to the whole session, and what the sections take from it.
    #[must_use]
    pub const fn is_of_session(self) -> bool {
        match self {
            Key::Date
            | Key::Time
            | Key::Vehicle
            | Key::Title
            | Key::Helpers
            | Key::Hours
            | Key::Footage
            | Key::Part
            | Key::System
            | Key::Status
            | Key::Bag
            | Key::Stored
            | Key::Cost
            | Key::Lesson
            | Key::Caution
            | Key::Tool
            | Key::Photo
            | Key::Tell
            | Key::Ask => true,
            Key::At
            | Key::Also
            | Key::Number
            | Key::Of
            | Key::Surface
            | Key::HoldsUp
            | Key::After
            | Key::OffAfter
            | Key::RefitAfter
            | Key::Undone
            | Key::Hands
            | Key::Hardware
            | Key::SentTo
            | Key::Leftover
            | Key::Short
            | Key::Holds
            | Key::Found
            | Key::Needs
            | Key::Done
            | Key::ReplacedBy
            | Key::Question
            | Key::Answer
            | Key::Torque
            | Key::Manual => false,
        }
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
    fn slips_are_guessed_for_long_keys_only() {
        assert_eq!(Key::near("hardwar"), Some(Key::Hardware));
        assert_eq!(Key::near("stauts"), Some(Key::Status));
        assert_eq!(Key::near("bga"), None);
        assert_eq!(Key::near("buy"), None);
        assert_eq!(Key::likest("bga"), Some(Key::Bag));
        assert_eq!(Key::likest("upholstery"), None);
    }
}
