//! Whether a sentence points out of what is told: at the telling itself, at the
//! page it was written on, at someone nobody has named.
//!
//! A guess from its words, for English, as in `leaning`: what is guessed wrong
//! loses points, and nothing else.

use crate::vocabulary::words::{fold, is_stop_word, stem, words};

/// What people say they are about to do when they have not begun.
const TELLING: [&str; 12] = [
    "come",
    "describe",
    "explain",
    "get",
    "list",
    "mention",
    "recount",
    "report",
    "say",
    "summarise",
    "summarize",
    "tell",
];

/// Whether a sentence only says that something will be told: "I will tell this
/// in order", "more on that later".
#[must_use]
pub fn announces(sentence: &str) -> bool {
    let words: Vec<String> = words(sentence).collect();
    let tells = |at: usize| {
        words
            .get(at)
            .is_some_and(|word| TELLING.contains(&word.as_str()))
    };
    let begins = |at: usize, with: &[&str]| {
        let own = words.get(at..at + with.len());
        own.is_some_and(|own| own.iter().zip(with).all(|(own, word)| own == word))
    };
    const FUTURE: [&[&str]; 10] = [
        &["i", "will"],
        &["i", "ll"],
        &["i", "shall"],
        &["we", "will"],
        &["we", "ll"],
        &["we", "shall"],
        &["i", "am", "going", "to"],
        &["i", "m", "going", "to"],
        &["let", "me"],
        &["let", "us"],
    ];
    let future = (0..words.len()).any(|at| {
        FUTURE
            .iter()
            .any(|future| begins(at, future) && tells(at + future.len()))
    });
    let more = (0..words.len()).any(|at| {
        (begins(at, &["more", "on"]) || begins(at, &["more", "about"]))
            && words[at..]
                .iter()
                .any(|word| word == "later" || word == "below" || word == "soon")
    });
    future || more
}

/// Words for writing and looking up.
const WRITING: [&str; 14] = [
    "describe", "explain", "list", "mention", "note", "put", "read", "say", "said", "see", "told",
    "write", "written", "wrote",
];

/// What is written, besides the book in someone's hand.
const WRITTEN: [&str; 12] = [
    "article",
    "book",
    "chapter",
    "diary",
    "entry",
    "heading",
    "journal",
    "list",
    "log",
    "page",
    "paragraph",
    "post",
];

/// Whether a sentence points at the written page: "as I wrote above", "if you
/// are reading this", "page 3 of this book".
#[must_use]
pub fn points_at_page(sentence: &str) -> bool {
    let words: Vec<String> = words(sentence).collect();
    let before = |at: usize| {
        at.checked_sub(1)
            .map_or("", |before| words[before].as_str())
    };
    let after = |at: usize| words.get(at + 1).map_or("", String::as_str);
    let writes = words.iter().any(|word| {
        let stem = stem(word);
        WRITING
            .iter()
            .any(|other| word == other || stem == self::stem(other))
    });
    words
        .iter()
        .enumerate()
        .any(|(at, word)| match word.as_str() {
            "overleaf" => true,
            // "From above", "below the floor": places in the shop.
            "above" | "below" => writes && before(at) != "from" && ends_clause(sentence, word),
            "reading" | "read" => after(at) == "this",
            "caution" | "lesson" | "entry" => {
                before(at) == "the" && at > 1 && words[at - 2] == "in"
            }
            "heading" => ["a", "the", "this", "own"].contains(&before(at)),
            "page" if after(at).starts_with(|c: char| c.is_ascii_digit()) => true,
            "this" => {
                let mut next = after(at).to_owned();
                if next.ends_with("ies") {
                    next.truncate(next.len() - 3);
                    next.push('y');
                }
                WRITTEN.contains(&next.as_str())
            }
            _ => false,
        })
}

/// Whether a word stands somewhere before a mark or the end.
fn ends_clause(sentence: &str, word: &str) -> bool {
    let folded = fold(sentence);
    folded.match_indices(word).any(|(at, _)| {
        let rest = folded[at + word.len()..].trim_start();
        !rest.starts_with(char::is_alphanumeric)
    })
}

/// Whether sentences tell the listener what to do: "you" again and again, and nobody
/// who did it.
#[must_use]
pub fn instructs<'t>(sentences: impl Iterator<Item = &'t str>) -> bool {
    let (mut you, mut own) = (0, 0);
    for word in sentences.flat_map(words) {
        match word.as_str() {
            "you" | "your" => you += 1,
            "i" | "me" | "my" | "we" | "us" | "our" => own += 1,
            _ => {}
        }
    }
    you >= 3 && own == 0
}

/// Before a thing that a sentence brings in.
const NEW: [&str; 3] = ["a", "an", "one"];

/// Whether what follows takes up, as "the" at its very beginning, what a sentence
/// only brings in: "with one hole in it", and later "The hole was a nut".
#[must_use]
pub fn is_taken_up(sentence: &str, following: &str) -> bool {
    let mut first = words(following);
    if first.next().as_deref() != Some("the") {
        return false;
    }
    let Some(thing) = first.next().map(|word| stem(&word)) else {
        return false;
    };
    let brought: Vec<String> = words(sentence).collect();
    brought
        .windows(2)
        .any(|pair| NEW.contains(&pair[0].as_str()) && stem(&pair[1]) == thing)
}

/// Words for someone or something named before; the first are for people only.
const STAND_INS: [&str; 16] = [
    "he", "her", "hers", "him", "his", "she", "their", "them", "they", "both", "it", "its",
    "these", "this", "that", "those",
];

/// Whether a sentence speaks of someone by a word that stands for a name.
#[must_use]
pub fn speaks_of_others(sentence: &str) -> bool {
    words(sentence).any(|word| STAND_INS[..ONE_PERSON].contains(&word.as_str()))
}

/// How often a sentence says "he" or "it" instead of a name.
#[must_use]
pub fn stand_ins(sentence: &str) -> usize {
    let all = words(sentence);
    all.filter(|word| PRONOUNS.contains(&word.as_str())).count()
}

/// Those that are never anything else.
const PRONOUNS: [&str; 6] = ["he", "him", "it", "she", "them", "they"];

/// The thing that a sentence points back at, as a stem: "on that broken leaf".
#[must_use]
pub fn points_back_at(sentence: &str) -> Option<String> {
    let said: Vec<&str> = sentence.split_whitespace().collect();
    let at = said.windows(2).position(|pair| {
        let before = fold(pair[0]);
        BEFORE_THINGS.contains(&before.as_str()) && ["that", "those"].contains(&pair[1])
    })?;
    let named = words(&said[at + 2..].join(" "))
        .take_while(|word| !is_stop_word(word))
        .take(2)
        .last()?;
    let is_thing = !named.ends_with("ly") && !TIMES.contains(&named.as_str());
    is_thing.then(|| stem(&named))
}

/// When that was, everybody knows who has heard the month.
const TIMES: [&str; 10] = [
    "afternoon",
    "day",
    "evening",
    "moment",
    "month",
    "morning",
    "night",
    "time",
    "week",
    "year",
];

/// Behind these, "that" is never "which".
const BEFORE_THINGS: [&str; 12] = [
    "at", "behind", "by", "for", "from", "in", "like", "on", "over", "to", "under", "with",
];

/// So many of them are for one person.
const ONE_PERSON: usize = 6;

/// So many of them are for people, or for several things.
const PEOPLE: usize = 10;

/// Before these, "it" means nothing: "it rained".
const WEATHER: [&str; 10] = [
    "blew", "froze", "got", "hailed", "poured", "rained", "seemed", "snowed", "takes", "took",
];

/// A noun is coming.
const BEFORE_NOUNS: [&str; 12] = [
    "a", "an", "another", "any", "each", "every", "my", "no", "our", "some", "the", "your",
];

/// Whether a sentence speaks, before it names anything, of someone or something
/// that was named before it. `of_part` where a part has just been named: then
/// "it" is that part.
#[must_use]
pub fn dangles(sentence: &str, of_part: bool) -> bool {
    let words: Vec<String> = words(sentence).collect();
    let people = if of_part { PEOPLE } else { STAND_INS.len() };
    for (at, word) in words.iter().enumerate().take(NAMED_BY) {
        let next = words.get(at + 1).map_or("", String::as_str);
        if STAND_INS[..people].contains(&word.as_str()) {
            let stands_for_nothing = match word.as_str() {
                "it" => WEATHER.contains(&next) || at > 0 && words[at - 1] == "that",
                // "This morning", "that evening": a noun follows.
                "this" | "that" | "these" | "those" => at > 0 || !is_stop_word(next),
                _ => false,
            };
            if !stands_for_nothing {
                return true;
            }
        }
        let names = BEFORE_NOUNS.contains(&word.as_str())
            || at == 0 && !is_stop_word(word) && word != "you"
            || word.chars().any(|c| c.is_ascii_digit());
        if names {
            return false;
        }
    }
    false
}

/// So many words into a sentence, it has named what it is about.
const NAMED_BY: usize = 6;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_only_announces() {
        for (text, expected) in [
            ("I will tell this in order, because I told it wrong.", true),
            ("Let me explain how the gearbox works.", true),
            ("More on that later.", true),
            ("I told the seller and he laughed.", false),
            ("I will get to the bearing tomorrow", true),
            ("I will order the bearing tomorrow.", false),
            ("There were more on the shelf.", false),
        ] {
            assert_eq!(announces(text), expected, "{text}");
        }
    }

    #[test]
    fn what_points_at_the_page() {
        for (text, expected) in [
            ("As I wrote above, the pump is dead.", true),
            ("The sizes are listed below.", true),
            ("See page 3 for the drawing.", true),
            ("If you are reading this, send help.", true),
            ("I gave it no heading in this book.", true),
            ("I read the manual lying below the sump.", false),
            ("I tried from above, lying on the frame.", false),
            ("Water dripped from the floor above.", false),
            ("I say this in the caution too.", true),
            ("The order book was behind the panel.", false),
        ] {
            assert_eq!(points_at_page(text), expected, "{text}");
        }
    }

    #[test]
    fn what_points_back() {
        for (text, thing) in [
            (
                "The van is leaning on that broken leaf even then.",
                Some("leaf"),
            ),
            ("I went back with those clips.", Some("clip")),
            ("I said that nobody would come.", None),
            ("It was for that.", None),
            ("Behind that, nothing, and by that day I knew.", None),
            ("I paid for that gladly.", None),
        ] {
            assert_eq!(points_back_at(text).as_deref(), thing, "{text}");
        }
    }

    #[test]
    fn what_instructs() {
        for (text, expected) in [
            (
                "You want it well up, and if you do not look you lose your washers.",
                true,
            ),
            (
                "You lift it and you turn it, and I held the lamp for you.",
                false,
            ),
            ("You can see it once you know.", false),
        ] {
            assert_eq!(instructs(std::iter::once(text)), expected, "{text}");
        }
    }

    #[test]
    fn what_is_taken_up_later() {
        let opener = "The best day so far, with one hole in it and a cake.";
        for (text, expected) in [
            ("The hole in the day was a nut.", true),
            ("The cakes were gone by noon.", true),
            ("The day went on.", false),
            ("A hole is a hole.", false),
            ("The", false),
        ] {
            assert_eq!(is_taken_up(opener, text), expected, "{text}");
        }
    }

    #[test]
    fn what_nobody_has_named() {
        for (text, of_part, expected) in [
            ("He came back with the tray.", false, true),
            ("You will have seen it.", false, true),
            ("It slid off the cushion.", false, true),
            ("It slid off the cushion.", true, false),
            ("They had sent me the wrong one.", true, true),
            ("It rained the whole way.", false, false),
            ("Jonas drove because it is his trailer.", false, false),
            ("I told the seller this.", false, false),
            ("This morning the press came.", false, false),
            ("That was all.", false, true),
        ] {
            assert_eq!(dangles(text, of_part), expected, "{text}");
        }
    }
}
