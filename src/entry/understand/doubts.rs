//! What its own words leave open: doubt, values that were taken back, values that stand
//! with another part, and things that are something else than their key says.
//!
//! What a value means is read elsewhere; here is only asked.

use super::super::fact::Fact;
use super::super::item::Item;
use super::super::key::Key;
use super::super::stated::Stated;
use super::replacement::is_nothing;
use super::{FactContext, Value};
use crate::vocabulary::bag_phrase::bag_phrase;
use crate::vocabulary::cost_reading::price_in;
use crate::vocabulary::hedge::{Hedge, hedge, is_elsewhere};
use crate::vocabulary::status::{Status, StatusWord};
use crate::vocabulary::status_words::{StatusReading, read_bare, read_said, unread_pieces};
use crate::vocabulary::words::fold;
use std::ops::Range;

/// Words that say that a part is away, and no more: "at the machine shop".
const FEW_WORDS: usize = 5;

impl FactContext<'_> {
    /// An item that only points to another part, kept as words; `None` for any other.
    pub(super) fn elsewhere(&mut self, key: Key, item: &Item) -> Option<Stated> {
        // "same block as in the other van, different cam" tells what was seen.
        let is_told = !key.asks_about_doubt() && item.value.split_whitespace().count() > 4;
        if !key.asks_about_elsewhere() || is_told || !is_elsewhere(&item.value) {
            return None;
        }
        let text = item.whole();
        self.error(
            item.span.clone(),
            format!("`{text}` does not say what, only where it stands"),
            "write it out here; several places of one part may stand in its heading",
        );
        let value = Value {
            text: text.clone(),
            span: item.span.clone(),
        };
        self.stated(key, &value, Some(Fact::Unknown(text)))
    }

    /// Asks about what the words of an item leave open, if nothing was asked about yet.
    pub(super) fn ask_what_is_open(&mut self, key: Key, item: &Item) {
        // A bag is asked about where its label is read.
        if key.asks_about_doubt() && key != Key::Bag {
            self.ask_about_doubt(&item.value, item.span.clone());
        }
        if key == Key::Status {
            self.ask_about_unread(item);
        }
        if matches!(
            key,
            Key::Hardware | Key::ReplacedBy | Key::Done | Key::SentTo
        ) {
            self.ask_about_price(key, item);
        }
        if matches!(key, Key::Found | Key::ReplacedBy) {
            self.ask_about_number(key, item);
        }
        if key == Key::Stored {
            self.ask_about_shelf(item);
        }
        if key == Key::Needs && says_done(&item.value) {
            self.warning(
                item.span.clone(),
                format!(
                    "`{}`: still to do, or done? It was read as still to do",
                    item.whole()
                ),
                "work that was done stands under `done`",
            );
        }
        if matches!(key, Key::Needs | Key::Number | Key::Stored) && says_unknown(&item.value) {
            self.warning(
                item.span.clone(),
                format!("`{}` says nothing that could count", item.whole()),
                "delete the line, or write it as `question: ...`",
            );
        }
        // "Nothing yet" took no place: that is said where it is read.
        let took_no_place = key == Key::ReplacedBy && is_nothing(&item.value);
        if matches!(key, Key::Done | Key::ReplacedBy | Key::SentTo)
            && is_still_open(&item.value)
            && !took_no_place
        {
            self.warning(
                item.span.clone(),
                format!(
                    "`{}`: has it happened, or is it still to come? It counts as happened",
                    item.whole()
                ),
                "what is still to come stands under `needs`",
            );
        }
    }

    /// Asks about a value that the person doubts or takes back.
    pub fn ask_about_doubt(&mut self, text: &str, span: Range<usize>) {
        let (word, hint) = match hedge(text) {
            Some(Hedge::Doubted(word)) => (
                word,
                "write what is so; what is still open can stand in `question: ...`",
            ),
            Some(Hedge::Corrected(word)) => (word, "write only what is so"),
            Some(Hedge::Elsewhere) | None => return,
        };
        self.warning(
            span,
            format!(
                "`{text}`: is it so, or not? It says `{word}`, and was read as if it were sure"
            ),
            hint,
        );
    }

    /// Asks about words behind a status that say nothing of where the part stands.
    fn ask_about_unread(&mut self, item: &Item) {
        let words = item.value.split_whitespace().count();
        let is_away = matches!(
            read_said(&item.value),
            StatusReading::Clear(StatusWord::Standing(Status::Out))
        );
        let unread = unread_pieces(&item.value);
        if is_away && words > FEW_WORDS && unread.is_empty() {
            self.note(
                item.span.clone(),
                format!(
                    "`{}`: only that it is away counts, not where, nor until when",
                    item.value
                ),
                "write `sent to: plater, back by 2026-05-31`",
            );
        }
        for piece in unread {
            self.warning(
                item.span.clone(),
                format!("`{piece}` behind the status counts for nothing"),
                "write it as a fact of its own: `found: ...`, `needs: ...`, `bag: ...`",
            );
        }
    }

    /// Asks about a shelf that is one of two, one that it is not on, or none.
    fn ask_about_shelf(&mut self, item: &Item) {
        let folded = fold(&item.value);
        let padded = format!(" {folded} ");
        let says = |mark: &&str| padded.contains(*mark);
        // In a longer text "no" may be anybody's word.
        let denied =
            folded.split(' ').count() <= 5 && [" not ", " no ", " no longer "].iter().any(says);
        let open = denied || [" or ", "->", "→", "=>"].iter().any(says);
        let standing = matches!(
            read_bare(&folded),
            StatusReading::Clear(StatusWord::Standing(_))
        ) || matches!(
            folded.as_str(),
            "on the car"
                | "on car"
                | "on the van"
                | "on the bike"
                | "on it"
                | "still on car"
                | "still on the car"
        );
        // "rack 2 bag 4", "loft what: 2 nuts": something else was put behind the place.
        let bagged = bag_phrase(&item.value).is_some_and(|bag| {
            bag.label.is_some() && folded.split(' ').any(|word| word.starts_with("bag"))
        });
        let keyed = item.value.split_whitespace().skip(1).any(|word| {
            word.strip_suffix(':')
                .is_some_and(|word| word.chars().all(char::is_alphabetic) && word.len() > 1)
        });
        if open || standing || bagged || keyed {
            self.warning(
                item.span.clone(),
                format!(
                    "`{}`: where does it lie? It was kept as the shelf's name",
                    item.whole()
                ),
                "write one place; how the part stands goes behind `status:`",
            );
        }
    }

    /// Asks about money that stands under a key which counts none.
    fn ask_about_price(&mut self, key: Key, item: &Item) {
        let inline = fold(&item.value).contains("cost:");
        let nested = inline
            || item
                .children
                .iter()
                .any(|child| child.key.as_deref().is_some_and(|key| fold(key) == "cost"));
        let Some(price) = price_in(&item.value, self.context.currency).filter(|_| !nested) else {
            return;
        };
        self.warning(
            item.span.clone(),
            format!(
                "`{price}` in `{}` looks like a price, and counts as none",
                key.word()
            ),
            &format!("write it as a fact of its own: `cost: {price}`"),
        );
    }

    /// Asks about a part number that stands in the words about its condition.
    fn ask_about_number(&mut self, key: Key, item: &Item) {
        let Some(number) = number_in(&item.value) else {
            return;
        };
        self.warning(
            item.span.clone(),
            format!(
                "`{number}` stands in `{}` and is no number of the part",
                key.word()
            ),
            &format!("write it as a fact of its own: `number: {number}`"),
        );
    }
}

/// Whether words about what happened say that it did not happen yet, or not whole.
fn is_still_open(text: &str) -> bool {
    const FIRST: [&str; 21] = [
        "no",
        "not",
        "nothing",
        "none",
        "nobody",
        "will",
        "half",
        "halfway",
        "nearly",
        "almost",
        "partly",
        "partially",
        "started",
        "to",
        "should",
        "must",
        "needs",
        "ordered",
        "order",
        "buy",
        "yes",
    ];
    const ANYWHERE: [&str; 7] = [
        "on order",
        "to be",
        "not yet",
        "when it comes",
        "ordered",
        " needs ",
        "?",
    ];
    let folded = fold(text);
    let first = folded.split([' ', ',', '.']).next().unwrap_or_default();
    FIRST.contains(&first) || ANYWHERE.iter().any(|phrase| folded.contains(phrase))
}

/// Whether words about work say that it was done.
fn says_done(text: &str) -> bool {
    let folded = fold(text);
    let last = folded.trim_end_matches(|c: char| !c.is_alphanumeric());
    let first = folded.split(|c: char| !c.is_alphanumeric()).next();
    let is_done = |word: &str| matches!(word, "done" | "already" | "finished" | "sorted");
    text.contains(['✔', '✓', '✅', '☑'])
        || first.is_some_and(is_done)
        || last.rsplit([' ', '(', '-']).next().is_some_and(is_done)
}

/// Whether a value says only that nobody knows.
fn says_unknown(text: &str) -> bool {
    let folded = fold(text);
    let bare = folded.trim_matches(|c: char| c.is_ascii_punctuation() || c.is_whitespace());
    matches!(
        bare,
        "" | "tbd"
            | "tbc"
            | "tba"
            | "dunno"
            | "unknown"
            | "not sure"
            | "dont know"
            | "don't know"
            | "no idea"
            | "none"
            | "nowhere"
            | "somewhere"
            | "n/a"
            | "na"
            | "lost"
            | "gone"
    )
}

/// The number behind a word for one: "casting no 1234", "block number 64-11873".
fn number_in(text: &str) -> Option<&str> {
    const WORDS: [&str; 6] = ["number", "no", "no.", "nr", "nr.", "serial"];
    let words: Vec<&str> = text.split_whitespace().collect();
    let long = |word: &str| word.bytes().filter(u8::is_ascii_digit).count() > 2;
    let at = (1..words.len())
        .find(|at| WORDS.contains(&words[at - 1].to_lowercase().as_str()) && long(words[*at]))?;
    Some(words[at].trim_matches(|c: char| !c.is_alphanumeric()))
}

#[cfg(test)]
mod tests {
    use crate::entry::{Context, read};
    use crate::problem::Severity;
    use crate::vocabulary::money::Currency;

    /// What is asked about a fact line of a horn, in words.
    fn asked(line: &str) -> String {
        let context = Context {
            systems: vec!["brakes".into()],
            vehicles: Vec::new(),
            currency: Currency::EUR,
        };
        let text = format!(
            "---\ndate: 2026-03-14\nvehicle: wren\n---\n\n# An evening\n\n## Horn\n\n- {line}\n"
        );
        let (_, problems) = read(&text, &context);
        let grave = problems
            .iter()
            .filter(|problem| problem.severity != Severity::Note);
        let said: Vec<&str> = grave.map(|problem| problem.message.as_str()).collect();
        said.join("; ")
    }

    #[test]
    fn what_is_left_open_is_asked_about() {
        for (line, said) in [
            ("bag: 3 (maybe 8)", "which bag"),
            ("bag: 12 no 14", "which bag"),
            ("bag: 12/13", "which bag"),
            ("bag: 12 (shelf 3)", "counts for nothing"),
            ("hardware: 4 bolts M8, bag 3 I think", "not read in full"),
            ("torque: 25 Nm from memory", "is it so"),
            ("torque: same as left", "only where it stands"),
            ("stored: ditto", "only where it stands"),
            ("stored: loft or garage", "where does it lie"),
            ("stored: loft not garage", "where does it lie"),
            ("stored: scrapped", "where does it lie"),
            ("needs: dunno", "nothing that could count"),
            ("needs: paint (done)", "still to do, or done"),
            ("needs: paint, 2026-05-01", "not as the day it is due"),
            ("done: not yet", "still to come"),
            ("done: to be cleaned", "still to come"),
            ("replaced by: new one 45.00", "looks like a price"),
            ("replaced by: new one ordered", "still to come"),
            ("hardware: 1 gasket, new, 8.40", "looks like a price"),
            ("found: block number 64-11873", "no number of the part"),
            ("status: removed, gasket ruined", "counts for nothing"),
            ("status: removed (bag 12)", "counts for nothing"),
            ("status: out", "taken out"),
            ("sent to: plater, 2 weeks", "without a day"),
            ("tool: puller, back by friday", "without a day"),
            ("after: bumper or grille", "name of one part"),
            ("after: bumper, its bracket", "name of one part"),
            ("hands: 2-3", "no number of people"),
            ("torque: 25/30 Nm", "which of the figures"),
            ("torque: 25 Nm (or 30)", "which of the figures"),
            ("at: other side", "which side"),
        ] {
            let all = asked(line);
            assert!(all.contains(said), "{line}: {all}");
        }
    }

    #[test]
    fn what_is_sure_is_not_asked_about() {
        for line in [
            "bag: 3 (not 8)",
            "bag: 8 and 9",
            "bag: none",
            "after: none",
            "caution: none",
            "hands: two people",
            "hands: 3 at least",
            "stored: under the bench, with tape round it saying NO",
            "found: rusty? hard to see under the grease",
            "found: same pitting as on the other one, only deeper",
            "needs: a new seal, the one we already have is short",
            "needs: maybe paint",
            "done: cleaned, not painted",
            "question: same as left?",
            "lesson: maybe use heat next time",
            "status: out\n- sent to: plater",
            "status: on, hand tight only",
            "replaced by: coil; kind: rebuilt; cost: 60.00; old: kept",
            "replaced by: nothing yet",
            "hardware: 4 bolts M8x1.25, bag 3",
            "tool: kingpin press, hired for the day",
            "after: rack and pinion",
        ] {
            assert_eq!(asked(line), "", "{line}");
        }
    }

    #[test]
    fn parts_that_can_only_be_several_are_several() {
        for line in ["after: bumper, grille", "after: bumper and grille"] {
            assert!(asked(line).contains("was read as 2 parts"), "{line}");
        }
    }
}
