//! The words of cues in one stream, and the stream parted into clauses; captions
//! without any punctuation too.
//!
//! What the words mean is for others.

use std::ops::Range;

use super::cues::Cue;
use crate::vocabulary::words::fold;

/// What stands behind a word.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stop {
    /// Nothing.
    None,
    /// A comma, a dash, dots.
    Comma,
    /// The end of a sentence, or a noise.
    End,
}

/// A word that was said.
#[derive(Clone, Debug)]
pub struct Spoken {
    /// How it compares: folded, "drum's" in two.
    pub key: String,
    /// How it was written, with its signs; empty for the second piece of one.
    pub said: String,
    /// When its cue begins, in milliseconds.
    pub at: u32,
    /// What stands behind it.
    pub stop: Stop,
}

/// A run of words with one thing to say.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SpokenClause {
    /// Its words.
    pub words: Range<usize>,
    /// The number of its sentence; without punctuation, of its stretch of talk.
    pub sentence: usize,
}

/// The words of all cues. Noises in brackets end a sentence and are no words.
#[must_use]
pub fn words(cues: &[Cue]) -> Vec<Spoken> {
    let mut all: Vec<Spoken> = Vec::new();
    let mut noise: Option<char> = None;
    for cue in cues {
        for token in cue.text.split_whitespace() {
            if let Some(close) = noise {
                if token.contains(close) {
                    noise = None;
                }
                continue;
            }
            if let Some(close) = opens_noise(token) {
                if let Some(last) = all.last_mut() {
                    last.stop = Stop::End;
                }
                noise = (!token.contains(close)).then_some(close);
                continue;
            }
            push_token(&mut all, token, cue.start);
        }
        // A noise that is never closed ends with its cue.
        noise = None;
    }
    all
}

fn opens_noise(token: &str) -> Option<char> {
    match token.trim_start_matches(['"', '\'']).chars().next()? {
        '[' => Some(']'),
        '(' => Some(')'),
        '*' if token.len() > 2 && token.trim_end_matches(['.', ',']).ends_with('*') => Some('*'),
        _ => None,
    }
}

/// Words with which no sentence ends.
const NEVER_LAST: [&str; 13] = [
    "the", "a", "an", "my", "your", "our", "their", "and", "or", "but", "as", "than", "every",
];

fn push_token(all: &mut Vec<Spoken>, token: &str, at: u32) {
    let stop = if token.ends_with("...") || token.ends_with('…') {
        Stop::Comma
    } else if token.ends_with(['.', '?', '!', ':', ';']) || token.ends_with(".\"") {
        Stop::End
    } else if token.ends_with([',', '-', '–', '—']) {
        Stop::Comma
    } else {
        Stop::None
    };
    let folded = fold(token);
    // "The strap bolt and the. Clamp": a machine's full stop where nobody stops.
    let plain = folded.trim_end_matches('.');
    let stop = match stop {
        Stop::End if folded.ends_with('.') && NEVER_LAST.contains(&plain) => Stop::None,
        Stop::None | Stop::Comma | Stop::End => stop,
    };
    let mut pieces: Vec<String> = Vec::new();
    for piece in folded.split(['-', '–', '—']) {
        let plain: String = piece
            .chars()
            .filter(|c| c.is_alphanumeric() || matches!(c, '\'' | '/' | '.'))
            .collect();
        let plain = plain.trim_matches(['\'', '.', '/']);
        if !plain.is_empty() {
            split_contraction(plain, &mut pieces);
        }
    }
    if pieces.is_empty() {
        if let Some(last) = all.last_mut() {
            last.said.push(' ');
            last.said.push_str(token);
            if stop != Stop::None {
                last.stop = stop;
            }
        }
        return;
    }
    let last = pieces.len() - 1;
    for (number, key) in pieces.into_iter().enumerate() {
        all.push(Spoken {
            key,
            said: if number == 0 {
                token.to_owned()
            } else {
                String::new()
            },
            at,
            stop: if number == last { stop } else { Stop::None },
        });
    }
}

/// Contractions that are written without their sign.
const BARE: [(&str, &str, &str); 24] = [
    ("thats", "that", "'s"),
    ("its", "it", "'s"),
    ("theres", "there", "'s"),
    ("heres", "here", "'s"),
    ("whats", "what", "'s"),
    ("hes", "he", "'s"),
    ("shes", "she", "'s"),
    ("lets", "let", "'s"),
    ("theyre", "they", "'re"),
    ("youre", "you", "'re"),
    ("ive", "i", "'ve"),
    ("youve", "you", "'ve"),
    ("weve", "we", "'ve"),
    ("im", "i", "'m"),
    ("itll", "it", "'ll"),
    ("thatll", "that", "'ll"),
    ("youll", "you", "'ll"),
    ("dont", "do", "not"),
    ("doesnt", "does", "not"),
    ("didnt", "did", "not"),
    ("isnt", "is", "not"),
    ("wasnt", "was", "not"),
    ("wont", "will", "not"),
    ("cant", "can", "not"),
];

fn split_contraction(word: &str, pieces: &mut Vec<String>) {
    let mut push = |head: &str, tail: &str| {
        pieces.push(head.to_owned());
        pieces.push(tail.to_owned());
    };
    if let Some((_, head, tail)) = BARE.iter().find(|(bare, _, _)| *bare == word) {
        return push(head, tail);
    }
    if let Some(head) = word.strip_suffix("n't") {
        let head = match head {
            "wo" => "will",
            "ca" => "can",
            "ai" => "is",
            other => other,
        };
        return push(head, "not");
    }
    if word == "cannot" {
        return push("can", "not");
    }
    match word {
        "gonna" => return push("going", "to"),
        "gotta" => return push("got", "to"),
        "wanna" => return push("want", "to"),
        "em" | "'em" => {
            pieces.push("them".to_owned());
            return;
        }
        _ => {}
    }
    if let Some((head, tail)) = word.split_once('\'')
        && !head.is_empty()
        && matches!(tail, "s" | "re" | "ll" | "ve" | "m" | "d")
    {
        return push(head, &format!("'{tail}"));
    }
    pieces.push(word.replace('\'', ""));
}

/// Words that begin a clause where no sign does.
const BEGINS: [&str; 12] = [
    "so", "but", "because", "cause", "cos", "then", "okay", "ok", "now", "anyway", "which", "right",
];

/// "top hose off | bottom hose": something is done, and the next word is another thing.
fn is_over(word: &str, next: &str) -> bool {
    matches!(word, "off" | "out" | "undone" | "disconnected" | "drained")
        && !matches!(
            next,
            "of" | "side"
                | "the"
                | "my"
                | "a"
                | "an"
                | "that"
                | "this"
                | "to"
                | "from"
                | "on"
                | "in"
                | "with"
                | "it"
                | "and"
                | "at"
                | "there"
                | "by"
                | "as"
                | "his"
                | "he"
                | "she"
                | "they"
                | "those"
                | "these"
                | "they're"
                | "your"
                | "for"
                | "just"
                | "here"
                | "now"
                | "too"
                | "together"
                | "come"
                | "comes"
                | "came"
                | "goes"
                | "went"
                | "clean"
                | "well"
                | "again"
        )
}

/// Words that go on with what stands behind them: "when it's", "the one that I".
const LEADS_ON: [&str; 57] = [
    "and", "but", "so", "or", "if", "when", "while", "where", "what", "which", "who", "how", "why",
    "that", "than", "because", "cause", "cos", "until", "till", "before", "after", "once", "as",
    "like", "think", "thought", "know", "say", "said", "says", "guess", "hope", "the", "a", "is",
    "was", "do", "did", "can", "could", "will", "would", "shall", "should", "now", "then", "oh",
    "yes", "yeah", "no", "not", "well", "of", "for", "with", "to",
];

fn leads_on(word: &str) -> bool {
    LEADS_ON.contains(&word)
}

/// So many words before and behind show whether there is punctuation.
const AROUND: usize = 60;

/// Parts the stream into clauses: at the ends of sentences and before words that begin
/// a clause. Captions that hardly have ends get them where the talk begins anew.
#[must_use]
pub fn clauses(words: &[Spoken]) -> Vec<SpokenClause> {
    let mut ends_before = vec![0_usize];
    for word in words {
        let before = ends_before.last().copied().unwrap_or(0);
        ends_before.push(before + usize::from(word.stop == Stop::End));
    }
    // Punctuation may come and go: what counts is the talk around.
    let is_punctuated_at = |at: usize| {
        let (from, to) = (at.saturating_sub(AROUND), (at + AROUND).min(words.len()));
        (ends_before[to] - ends_before[from]) * 30 >= to - from
    };
    let mut clauses = Vec::new();
    let mut start = 0;
    let mut sentence = 0;
    let mut in_sentence = 0;
    let key = |at: usize| words.get(at).map_or("", |word| word.key.as_str());
    for at in 0..words.len() {
        let is_punctuated = is_punctuated_at(at);
        let after_off = !is_punctuated && is_over(key(at), key(at + 1));
        let ends = words[at].stop == Stop::End;
        let next = at + 1;
        let length = next - start;
        let begins = next < words.len()
            && match key(next) {
                // "the right side", "just so", "right now"
                "right" => {
                    !is_punctuated
                        && !matches!(
                            key(at),
                            "the"
                                | "on"
                                | "that"
                                | "this"
                                | "all"
                                | "just"
                                | "it"
                                | "a"
                                | "s"
                                | "'s"
                        )
                        && !matches!(
                            key(next + 1),
                            "side"
                                | "hand"
                                | "one"
                                | "off"
                                | "out"
                                | "in"
                                | "up"
                                | "down"
                                | "through"
                                | "across"
                                | "round"
                                | "along"
                                | "at"
                                | "front"
                                | "rear"
                                | "back"
                        )
                }
                "now" => {
                    length > 1
                        && key(at) != "right"
                        && matches!(
                            key(next + 1),
                            "the"
                                | "you"
                                | "i"
                                | "it"
                                | "that"
                                | "this"
                                | "we"
                                | "there"
                                | "these"
                                | "in"
                                | "they"
                                | "here"
                                | "for"
                                | "a"
                                | "what"
                        )
                }
                "and" => length > 2 || words[at].stop == Stop::Comma,
                "then" => length > 2 && key(at) != "and",
                "so" | "but" | "because" | "cause" | "cos" | "which" => length > 1,
                "i" => {
                    length > 1
                        && (key(next + 1) == "mean"
                            || !is_punctuated && length > 5 && !leads_on(key(at)))
                }
                "that" | "there" | "here" | "it" | "he" | "she" | "they" => {
                    !is_punctuated
                        && length > 2
                        && matches!(key(next + 1), "'s" | "'re" | "'ll")
                        && !leads_on(key(at))
                }
                word => BEGINS.contains(&word) && length > 1,
            };
        let begins = begins || after_off && length > 1 && next < words.len();
        if !(ends || begins || next == words.len()) {
            continue;
        }
        clauses.push(SpokenClause {
            words: start..next,
            sentence,
        });
        in_sentence += length;
        start = next;
        let anew = !is_punctuated
            && begins
            && in_sentence >= 8
            && matches!(
                key(next),
                "so" | "right" | "okay" | "ok" | "now" | "anyway" | "and"
            );
        if ends || anew {
            sentence += 1;
            in_sentence = 0;
        }
    }
    clauses
}

/// The words of a stretch as they were written.
#[must_use]
pub fn said(words: &[Spoken], range: Range<usize>) -> String {
    let said: Vec<&str> = words[range]
        .iter()
        .map(|word| word.said.as_str())
        .filter(|said| !said.is_empty())
        .collect();
    said.join(" ")
}

#[cfg(test)]
mod tests {
    use super::super::cues::Cue;
    use super::*;

    fn parted(text: &str) -> Vec<String> {
        let cue = Cue {
            start: 0,
            end: 0,
            text: text.to_owned(),
        };
        let words = words(&[cue]);
        let clauses = clauses(&words);
        clauses
            .into_iter()
            .map(|clause| said(&words, clause.words))
            .collect()
    }

    #[test]
    fn talk_is_parted_with_and_without_punctuation() {
        for (text, expected) in [
            (
                "The hood's off. So now the grille, and that's off too!",
                &[
                    "The hood's off.",
                    "So now the grille,",
                    "and that's off too!",
                ][..],
            ),
            (
                "the hood is off so now the grille and that comes off because it can",
                &[
                    "the hood is off",
                    "so now the grille",
                    "and that comes off",
                    "because it can",
                ][..],
            ),
            ("one [hammering away] two", &["one", "two"][..]),
            ("on the right side it is", &["on the right side it is"][..]),
        ] {
            assert_eq!(parted(text), expected, "{text}");
        }
    }

    #[test]
    fn contractions_are_two_words() {
        for (text, expected) in [
            ("drum's", &["drum", "'s"][..]),
            ("didn't", &["did", "not"][..]),
            ("thats", &["that", "'s"][..]),
            ("gonna", &["going", "to"][..]),
            ("U-bolts", &["u", "bolts"][..]),
            ("9/16", &["9/16"][..]),
        ] {
            let mut all = Vec::new();
            push_token(&mut all, text, 0);
            let keys: Vec<&str> = all.iter().map(|word| word.key.as_str()).collect();
            assert_eq!(keys, expected, "{text}");
        }
    }
}
