//! From what is said about a part to the hazards it raises, each with the word
//! that shows why.
//!
//! Knows words and facts, no files. Which words raise what stands in `rules`.

use std::ops::Range;

use super::hazard::Hazard;
use super::likelihood::Likelihood;
use super::pattern::{PhrasesFound, TextWord, sentences};
use super::rules::{CautionTrigger, NameRule, PhraseGroup, WordRule, rules};
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
    let named = rules().lists.found(&part);
    let mut hits: Vec<RecognisedHazard> = Vec::new();
    // What no rule knows, but the words make likely.
    let mut likely: Vec<RecognisedHazard> = Vec::new();
    for (number, said) in texts.iter().enumerate() {
        if !speaks_of_work(said.key) {
            continue;
        }
        for mut words in sentences(said.text) {
            let likelihood = Likelihood::of(&words);
            let of_part = Likelihood::of(&[part.as_slice(), &words].concat());
            let mut found = rules().lists.found(&words);
            let others = found.of(rules().other_meanings);
            if !others.is_empty() {
                others
                    .iter()
                    .for_each(|at| words[at.clone()].iter_mut().for_each(TextWord::blank));
                found = rules().lists.found(&words);
            }
            if is_elsewhere(&words, &found) || said.key == "needs" && is_done_elsewhere(&words) {
                continue;
            }
            let hit = |hazard, bytes| RecognisedHazard {
                hazard,
                said: Some(number),
                bytes,
            };
            for rule in &rules().words {
                // A rule of one list names the hazard itself, and is always believed.
                if let Some(bytes) = rule.find(&words, &found, &named)
                    && (rule.all.len() == 1 || !of_part.denies(rule.hazard))
                {
                    hits.push(hit(rule.hazard, bytes));
                }
            }
            let unknown = likelihood.likely().filter(|(_, at)| !is_denied(&words, at));
            likely.extend(unknown.map(|(hazard, at)| hit(hazard, bytes_of(&words, at))));
        }
    }
    for rule in &rules().names {
        if let Some(bytes) = rule.find(about, &part, &named, texts) {
            hits.push(RecognisedHazard {
                hazard: rule.hazard,
                said: None,
                bytes,
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
    // What a text says explains more than the name of a part, a rule more than likelihood.
    hits.sort_by_key(|hit| (hit.hazard, hit.said.is_none(), hit.said, hit.bytes.start));
    hits.append(&mut likely);
    hits.sort_by_key(|hit| hit.hazard);
    hits.dedup_by_key(|hit| hit.hazard);
    hits
}

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

/// Whether the sentence tells of no work on this vehicle.
fn is_elsewhere(words: &[TextWord], found: &PhrasesFound) -> bool {
    let mut known = rules().elsewhere.iter();
    known.any(|(group, unless)| group.places(words, found).next().is_some() && !found.has(*unless))
}

/// The most words between the two phrases of a near pair.
const NEAR: usize = 3;

impl PhraseGroup {
    /// The places of its phrases, of a near pair those of the first.
    fn places<'a>(
        self,
        words: &'a [TextWord],
        found: &'a PhrasesFound,
    ) -> impl Iterator<Item = &'a Range<usize>> {
        let (first, second) = match self {
            PhraseGroup::Any(list) => (list, None),
            PhraseGroup::Near(first, second) => (first, Some(second)),
        };
        found.of(first).iter().filter(move |at| {
            second.is_none_or(|second| {
                let mut behind = found.of(second).iter();
                behind.any(|next| is_close_behind(words, at, next))
            })
        })
    }
}

/// Whether `next` stands a few words behind `at`, with no comma between them.
fn is_close_behind(words: &[TextWord], at: &Range<usize>, next: &Range<usize>) -> bool {
    let between = at.end..next.start + 1;
    !between.is_empty()
        && between.len() <= NEAR + 1
        && words[between].iter().all(|word| !word.apart)
}

/// "have it turned": somebody else's work.
fn is_done_elsewhere(words: &[TextWord]) -> bool {
    words.first().is_some_and(|word| word.folded == "have")
}

impl WordRule {
    /// The bytes of the first words of a sentence that the rule is about. The
    /// name of the part may stand for some of them, never for all.
    fn find(
        &self,
        words: &[TextWord],
        found: &PhrasesFound,
        named: &PhrasesFound,
    ) -> Option<Range<usize>> {
        if found.has(self.unless) || named.has(self.unless) {
            return None;
        }
        let mut shown: Option<Range<usize>> = None;
        for (number, group) in self.all.iter().enumerate() {
            let mut here = group.places(words, found);
            let here = here.find(|at| number > 0 || !is_denied(words, at));
            match here {
                Some(at) => {
                    shown.get_or_insert_with(|| bytes_of(words, at));
                }
                // The name of a part says nothing of what stands close by.
                None if matches!(group, PhraseGroup::Any(list) if named.has(*list)) => {}
                None => return None,
            }
        }
        shown
    }
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

impl NameRule {
    fn find(
        &self,
        about: &PartContext<'_>,
        part: &[TextWord],
        named: &PhrasesFound,
        texts: &[CautionText<'_>],
    ) -> Option<Range<usize>> {
        if named.has(self.unless) {
            return None;
        }
        let at = named.of(self.names).first()?;
        if !self.when.holds(about, texts) {
            return None;
        }
        Some(part[at.start].bytes.start..part[at.end - 1].bytes.end)
    }
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
    use super::super::pattern::PhraseList;
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

    /// Whether a rule finds its words in a text of one sentence.
    fn is_by_rule(text: &str) -> bool {
        let words = sentences(text).concat();
        let found = rules().lists.found(&words);
        let nameless = PhrasesFound::default();
        let mut all = rules().words.iter();
        all.any(|rule| rule.find(&words, &found, &nameless).is_some())
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
                "Blew",
            ),
            ("Used the AIRLINE on it", Hazard::CompressedAir, "AIRLINE"),
            ("The A/C is not cold", Hazard::Refrigerant, "A/C"),
            ("Needed a jump start again", Hazard::Battery, "jump start"),
            ("Welded the gas tank", Hazard::Fuel, "Welded"),
            ("Petrol leaks from the union", Hazard::Fuel, "Petrol"),
            ("Gasoline leaks from the union", Hazard::Fuel, "Gasoline"),
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
        for text in ["Asbestos, no doubt about it.", "Cork no, but asbestos."] {
            assert_eq!(prose(text).len(), 1, "{text}");
        }
    }

    #[test]
    fn what_is_sold_read_or_done_by_others_raises_nothing() {
        for text in [
            "Sold the axle stands and the air line.",
            "Read about torsion bars under load.",
            "The two pack primer is sprayed in his own booth.",
            "Ordered a set of axle stands.",
            "The previous owner had the fuel tank welded.",
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
    fn what_no_rule_knows_is_raised_where_its_words_are_likely() {
        let text = "Warmed her up in the garage before the oil change.";
        assert!(!is_by_rule(text));
        assert_eq!(prose(text), [(Hazard::CarbonMonoxide, "Warmed".to_owned())]);
    }

    #[test]
    fn a_near_pair_stands_in_its_order_close_by_and_in_one_clause() {
        for (text, raised) in [
            ("Gearbox is finally back in today.", true),
            ("Back in the shed for the gearbox papers.", false),
            (
                "The gearbox and its long list of faults went back in the book.",
                false,
            ),
            ("Thought of the gearbox, back in an hour.", false),
        ] {
            assert_eq!(is_by_rule(text), raised, "{text}");
        }
        // The name of the part stands for no half of a pair.
        let gearbox = PartContext {
            part: Some("Gearbox"),
            ..PartContext::default()
        };
        assert_eq!(shown(&gearbox, "found", "two bolts back in"), []);
    }

    #[test]
    fn what_others_did_or_what_is_long_over_raises_nothing() {
        for text in [
            "The tyre place did the split rims.",
            "Local garage regassed the aircon.",
            "In 1988 it stood on axle stands.",
            "Dad used to burn the lead paint off.",
            "Maybe one day it goes up on axle stands.",
        ] {
            assert_eq!(prose(text), [], "{text}");
        }
        assert_eq!(prose("Garage stinks of petrol.").len(), 1);
        // What follows from it is done here.
        let own = "Last owner did it badly, so I burned the lead paint off.";
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
    fn every_rule_can_be_met() {
        for rule in &rules().words {
            let first = |list: PhraseList| rules().lists.first(list).map(ToString::to_string);
            let lists = rule.all.iter().flat_map(|group| group.lists());
            let words: Vec<String> = lists.filter_map(first).collect();
            let text = words.join(" ");
            let words = sentences(&text).concat();
            let found = rules().lists.found(&words);
            let nameless = PhrasesFound::default();
            assert!(rule.find(&words, &found, &nameless).is_some(), "{text}");
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
