//! From what is said about a part to the hazards it raises, each with the word
//! that shows why.
//!
//! Knows words and facts, no files. What words weigh stands in `weights.txt`, which parts
//! raise something in `part_names`.

use std::ops::Range;

use super::hazard::Hazard;
use super::likelihood::Likelihood;
use super::part_names::{CautionTrigger, RULES};
use super::sentences::{TextWord, sentences};
use crate::vocabulary::status::{Status, Surface};

/// What is known of the part that a text speaks of.
#[derive(Clone, Copy, Debug, Default)]
pub struct PartContext<'a> {
    /// Its system.
    pub system: Option<&'a str>,
    /// Its name.
    pub part: Option<&'a str>,
    /// Where it stands after this; `None` where the text does not say.
    pub status: Option<Status>,
    /// Its surface, where the text states one.
    pub surface: Option<Surface>,
}

/// One text: a fact's value or prose.
#[derive(Clone, Copy, Debug)]
pub struct CautionText<'a> {
    /// The key it stands under, as a word; empty for prose.
    pub key: &'a str,
    /// The text.
    pub text: &'a str,
}

/// A hazard that was recognised.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RecognisedHazard {
    /// Which.
    pub hazard: Hazard,
    /// Which of the texts shows it, counted from 0; `None` for the part's name.
    pub said: Option<usize>,
    /// The bytes of the words that show it, in that text or name.
    pub bytes: Range<usize>,
}

/// The hazards that these texts raise, each once, in the order of [`Hazard`].
#[must_use]
pub fn recognise(about: &PartContext<'_>, texts: &[CautionText<'_>]) -> Vec<RecognisedHazard> {
    let part = about.part.map(|name| sentences(name).concat());
    let part = part.unwrap_or_default();
    let mut hits: Vec<RecognisedHazard> = Vec::new();
    for (number, said) in texts.iter().enumerate() {
        if !speaks_of_work(said.key) {
            continue;
        }
        for words in sentences(said.text) {
            if said.key == "needs" && is_done_elsewhere(&words) {
                continue;
            }
            let hit = |hazard, bytes| RecognisedHazard {
                hazard,
                said: Some(number),
                bytes,
            };
            for (at, word) in words.iter().enumerate() {
                let named = NAMED.iter().filter(|(stem, _)| *stem == word.stem);
                let here = at..at + 1;
                let named = named.filter(|_| !is_denied(&words, &here));
                hits.extend(named.map(|(_, hazard)| hit(*hazard, word.bytes.clone())));
            }
            let likelihood = Likelihood::of(&words, &part);
            let told = likelihood.likely().filter(|(_, at)| !is_denied(&words, at));
            hits.extend(told.map(|(hazard, at)| hit(hazard, bytes_of(&words, at))));
        }
    }
    for rule in &RULES {
        if let Some(at) = rule.find(&part).filter(|_| rule.when.holds(about, texts)) {
            hits.push(RecognisedHazard {
                hazard: rule.hazard,
                said: None,
                bytes: bytes_of(&part, &at),
            });
        }
    }
    if about.surface == Some(Surface::Bare) {
        let said = texts.iter().position(|said| said.key == "surface");
        let whole = said.map_or(about.part.unwrap_or_default(), |said| texts[said].text);
        hits.push(RecognisedHazard {
            hazard: Hazard::Lead,
            said,
            bytes: 0..whole.len(),
        });
    }
    // What a text says explains more than the name of a part.
    hits.sort_by_key(|hit| (hit.hazard, hit.said.is_none(), hit.said, hit.bytes.start));
    hits.dedup_by_key(|hit| hit.hazard);
    hits
}

/// Stems of words that nobody writes but for the hazard.
const NAMED: [(&str, Hazard); 4] = [
    ("asbesto", Hazard::Asbestos),
    ("isocyan", Hazard::Isocyanates),
    ("monoxid", Hazard::CarbonMonoxide),
    ("silica", Hazard::Silica),
];

/// The bytes of some words of a sentence.
fn bytes_of(words: &[TextWord], at: &Range<usize>) -> Range<usize> {
    words[at.start].bytes.start..words[at.end - 1].bytes.end
}

/// Whether words under this key tell of work or condition. Names of other
/// parts, shelves, bags, numbers and figures do not.
fn speaks_of_work(key: &str) -> bool {
    [
        "", "found", "needs", "done", "caution", "lesson", "question", "answer", "tool", "title",
    ]
    .contains(&key)
}

/// "have it turned": somebody else's work.
fn is_done_elsewhere(words: &[TextWord]) -> bool {
    words.first().is_some_and(|word| word.folded == "have")
}

/// "no asbestos", "never ran it", "asbestos-free".
fn is_denied(words: &[TextWord], at: &Range<usize>) -> bool {
    // "Oil no, but asbestos": a comma ends what is denied.
    let since = (0..=at.start).rev().find(|word| words[*word].apart);
    let from = at.start.saturating_sub(3).max(since.unwrap_or_default());
    let before = &words[from..at.start];
    let denies = |word: &TextWord| {
        ["no", "not", "never", "without", "non", "nobody", "none"].contains(&word.folded.as_str())
            || word.folded.ends_with("n't")
    };
    let free_of = before
        .windows(2)
        .any(|pair| pair[0].folded == "free" && pair[1].folded == "of");
    let free = words.get(at.end).is_some_and(|word| word.folded == "free");
    before.iter().any(denies) || free_of || free
}

impl CautionTrigger {
    fn holds(self, about: &PartContext<'_>, texts: &[CautionText<'_>]) -> bool {
        let status = |among: &[Status]| about.status.is_some_and(|status| among.contains(&status));
        let suspension = || {
            about.system.is_some_and(|system| {
                sentences(system)
                    .concat()
                    .iter()
                    .any(|word| word.folded == "suspension")
            })
        };
        match self {
            CautionTrigger::Named => {
                texts.iter().any(|said| said.key != "replaced by") || about.status.is_some()
            }
            CautionTrigger::ComesOff => status(&COMES_OFF),
            CautionTrigger::Moves => status(&MOVES),
            CautionTrigger::MovesInSuspension => status(&MOVES) && suspension(),
        }
    }
}

/// Somebody had it in the hands to take it off.
const COMES_OFF: [Status; 4] = [
    Status::Undone,
    Status::Removed,
    Status::Apart,
    Status::Scrapped,
];

/// Somebody had it in the hands at the vehicle.
const MOVES: [Status; 6] = [
    Status::Fitted,
    Status::Loose,
    Status::Undone,
    Status::Removed,
    Status::Apart,
    Status::Scrapped,
];

#[cfg(test)]
mod tests {
    use super::*;

    /// The hazards of a text, each with the words that show it.
    fn shown(about: &PartContext<'_>, key: &str, text: &str) -> Vec<(Hazard, String)> {
        recognise(about, &[CautionText { key, text }])
            .into_iter()
            .map(|hit| {
                let from = match hit.said {
                    Some(_) => text,
                    None => about.part.unwrap_or_default(),
                };
                (hit.hazard, from[hit.bytes].to_owned())
            })
            .collect()
    }

    fn prose(text: &str) -> Vec<(Hazard, String)> {
        shown(&PartContext::default(), "", text)
    }

    #[test]
    fn the_words_that_raise_a_hazard_are_named() {
        let of = |hazard, word: &str| vec![(hazard, word.to_owned())];
        for (text, hazard, word) in [
            (
                "Ça va: it is up on axle stands.",
                Hazard::Raised,
                "axle stands",
            ),
            (
                "Blew it out with the air line",
                Hazard::CompressedAir,
                "air line",
            ),
            ("Used the AIRLINE on it", Hazard::CompressedAir, "AIRLINE"),
            ("The A/C is not cold", Hazard::Refrigerant, "not cold"),
            ("Needed a jump start again", Hazard::Battery, "jump start"),
            ("Welded the gas tank", Hazard::Fuel, "gas tank"),
            ("Petrol leaks from the union", Hazard::Fuel, "Petrol"),
            ("Spilt gasoline on the bench", Hazard::Fuel, "gasoline"),
        ] {
            assert_eq!(prose(text), of(hazard, word), "{text}");
        }
    }

    #[test]
    fn what_is_denied_raises_nothing() {
        for text in [
            "No asbestos in these.",
            "Asbestos-free linings.",
            "They are free of asbestos.",
            "It never had airbags.",
            "We didn't use the air line.",
        ] {
            assert_eq!(prose(text), [], "{text}");
        }
        for text in [
            "Brushed the old asbestos out, and no mask.",
            "It is not cork, and the asbestos dust went everywhere.",
        ] {
            assert_eq!(prose(text).len(), 1, "{text}");
        }
    }

    #[test]
    fn what_is_sold_read_or_done_by_others_raises_nothing() {
        for text in [
            "Sold the axle stands and the air line.",
            "Ordered a set of axle stands.",
            "Spring cleaning: ran out of petrol money, split the bill.",
        ] {
            assert_eq!(prose(text), [], "{text}");
        }
        assert_eq!(
            prose("Bought axle stands, and up she went on them.").len(),
            1
        );
    }

    #[test]
    fn what_others_did_or_what_is_long_over_raises_nothing() {
        for text in [
            "The tyre place did the split rims.",
            "Local garage regassed the aircon.",
            "Dad used to burn the lead paint off.",
        ] {
            assert_eq!(prose(text), [], "{text}");
        }
        assert_eq!(prose("Garage stinks of petrol.").len(), 1);
        // What follows from it is done here.
        let own = "The painter never came, so I burned the lead paint off.";
        assert_eq!(prose(own).len(), 1);
    }

    #[test]
    fn a_part_raises_what_its_facts_say() {
        let drum = PartContext {
            part: Some("Brake drum"),
            status: Some(Status::Removed),
            ..PartContext::default()
        };
        assert_eq!(
            shown(&drum, "stored", "rack 2"),
            [(Hazard::Asbestos, "Brake drum".to_owned())]
        );
        let fitted = PartContext {
            status: Some(Status::Fitted),
            ..drum
        };
        assert_eq!(shown(&fitted, "stored", "rack 2"), []);
        let floor = PartContext {
            part: Some("Floor"),
            surface: Some(Surface::Bare),
            ..PartContext::default()
        };
        assert_eq!(
            shown(&floor, "surface", "bare metal"),
            [(Hazard::Lead, "bare metal".to_owned())]
        );
    }

    #[test]
    fn the_name_of_the_part_completes_a_sentence() {
        let sender = PartContext {
            part: Some("Fuel sender"),
            ..PartContext::default()
        };
        let found = shown(&sender, "needs", "solder on a new float");
        assert_eq!(found, [(Hazard::Fuel, "solder".to_owned())]);
        assert_eq!(prose("solder on a new float"), []);
    }

    #[test]
    fn keys_that_name_other_things_are_not_read() {
        for key in [
            "after", "hardware", "stored", "bag", "number", "photo", "of",
        ] {
            assert_eq!(
                shown(&PartContext::default(), key, "axle stands"),
                [],
                "{key}"
            );
        }
        assert_eq!(
            shown(&PartContext::default(), "needs", "have the filler sanded"),
            []
        );
    }

    #[test]
    fn a_part_of_another_name_raises_nothing() {
        for (name, raised) in [("Brake lining, left", true), ("Brake line, left", false)] {
            let part = PartContext {
                part: Some(name),
                status: Some(Status::Removed),
                ..PartContext::default()
            };
            let found = shown(&part, "stored", "rack 2");
            assert_eq!(
                found.iter().any(|(hazard, _)| *hazard == Hazard::Asbestos),
                raised,
                "{name}"
            );
        }
    }

    proptest::proptest! {
        #[test]
        fn any_text_can_be_read(
            text in "(\\PC|[ .;\n'’-]|air line|A/C leaks|asbestos|petrol can|jacked){0,40}",
            part in "\\PC{0,12}|brake drum|wheel",
        ) {
            let about = PartContext {
                part: Some(&part),
                status: Some(Status::Removed),
                ..PartContext::default()
            };
            for hit in recognise(&about, &[CautionText { key: "", text: &text }]) {
                let from = if hit.said.is_some() { &text } else { &part };
                proptest::prop_assert!(from.get(hit.bytes).is_some_and(|word| !word.is_empty()));
            }
        }
    }
}
