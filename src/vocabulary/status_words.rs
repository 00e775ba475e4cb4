//! The sentences by which people say where a part stands.
//!
//! The phrases stand in `status_words.txt`. What has two readings is not settled
//! here: both come back.

use std::collections::HashMap;
use std::sync::OnceLock;

use super::status::{Status, StatusWord, read_status, read_surface};
use super::words::words;

/// What was said in the place of a status.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum StatusReading {
    /// One reading.
    Clear(StatusWord),
    /// Several readings, in words.
    Doubtful(String),
    /// Nothing that says where a part stands.
    Unread,
}

/// A phrase with what it means.
struct StatusPhrase {
    words: Vec<&'static str>,
    means: Meaning,
    /// Whether only harmless words may stand beside it.
    alone: bool,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Meaning {
    Status(Status),
    /// More than one reading, whatever else is said.
    Unclear(&'static str),
    /// More than one reading, unless something else says which.
    Open(&'static str),
}

struct StatusTable {
    /// By their first word, of each the longest first.
    phrases: HashMap<&'static str, Vec<StatusPhrase>>,
    harmless: Vec<&'static str>,
}

/// Reads what was said about where a part stands, in a word or in a sentence.
#[must_use]
pub fn read_said(text: &str) -> StatusReading {
    if let Some(word) = read_status(text) {
        return StatusReading::Clear(word);
    }
    let without_marks = without_marks(text);
    // A mark stands where two pieces meet, so that no phrase reaches over it.
    let said: Vec<String> = without_marks
        .split([',', ';', '.', ':', '(', ')', '/'])
        .flat_map(|piece| words(piece).chain([PIECE_END.to_owned()]))
        .collect();
    let (found, left) = found(&said);
    let table = table();
    let only_harmless = left
        .iter()
        .filter(|word| *word != PIECE_END)
        .all(|word| table.harmless.contains(&word.as_str()));
    // "its off, thank goodness": what the first piece says whole is no part of a story.
    let first_end = said.iter().position(|word| word == PIECE_END);
    let (first, beside) = self::found(&said[..first_end.unwrap_or(said.len())]);
    let first_is_whole = first.len() == 1
        && first_end.is_some_and(|end| end <= LONGEST_FIRST)
        && beside
            .iter()
            .all(|word| table.harmless.contains(&word.as_str()));
    let mut standing: Option<Status> = None;
    let mut open = None;
    for phrase in &found {
        match phrase.means {
            Meaning::Unclear(readings) => return StatusReading::Doubtful(readings.to_owned()),
            Meaning::Open(readings) => open = Some(readings),
            Meaning::Status(_)
                if phrase.alone
                    && !only_harmless
                    && !(first_is_whole && first[0].words == phrase.words) => {}
            Meaning::Status(status) => match agreed(standing, status) {
                Ok(agreed) => standing = Some(agreed),
                Err(before) => {
                    return StatusReading::Doubtful(format!(
                        "{}, or {}",
                        before.word(),
                        status.word()
                    ));
                }
            },
        }
    }
    let denied = left.iter().any(|word| {
        matches!(
            word.as_str(),
            "not" | "never" | "wont" | "isnt" | "unless" | "if"
        )
    });
    match standing {
        Some(status) if denied || text.trim_end().ends_with('?') => {
            StatusReading::Doubtful(format!("{}, or not", status.word()))
        }
        Some(status) => StatusReading::Clear(StatusWord::Standing(status)),
        None => match open {
            Some(readings) => StatusReading::Doubtful(readings.to_owned()),
            None => work(text, &said),
        },
    }
}

/// Reads a text that says where a part stands and nothing else; what says more
/// is unread.
#[must_use]
pub fn read_bare(text: &str) -> StatusReading {
    let said: Vec<String> = words(&without_marks(text)).collect();
    let (_, left) = found(&said);
    // With a person or a thing that does something it is a sentence of a story.
    const SUBJECTS: [&str; 8] = ["it", "i", "we", "they", "this", "that", "he", "she"];
    let harmless = |word: &String| {
        table().harmless.contains(&word.as_str()) && !SUBJECTS.contains(&word.as_str())
    };
    match read_status(text).is_some() || left.iter().all(harmless) {
        true => read_said(text),
        false => StatusReading::Unread,
    }
}

/// The text with "can't" and "de-mounted" as one word each.
fn without_marks(text: &str) -> String {
    let plain = text.replace(['\'', '’'], "");
    ["de-", "dis-", "re-", "un-"]
        .iter()
        .fold(plain, |text, prefix| {
            text.replace(prefix, prefix.trim_end_matches('-'))
        })
}

/// More words than a first piece has that only says where a part stands.
const LONGEST_FIRST: usize = 4;

/// Stands between the words of two pieces; nobody types it.
const PIECE_END: &str = ",";

/// Work done, or a surface, said in more than a word.
fn work(text: &str, said: &[String]) -> StatusReading {
    let Some(first) = said.first() else {
        return StatusReading::Unread;
    };
    if let Some(surface) = read_surface(first) {
        return StatusReading::Clear(StatusWord::Surface(surface));
    }
    match read_status(first) {
        Some(StatusWord::Work(_)) => StatusReading::Clear(StatusWord::Work(text.trim().to_owned())),
        Some(StatusWord::Standing(_) | StatusWord::Surface(_)) | None => StatusReading::Unread,
    }
}

/// One standing for two that were said at once: the closer one where both can
/// hold, the two of them where they contradict.
fn agreed(before: Option<Status>, status: Status) -> Result<Status, Status> {
    let Some(before) = before else {
        return Ok(status);
    };
    let closer = |general: Status, close: Status| match general {
        Status::Fitted => close == Status::Loose,
        Status::Undone => close == Status::Loose,
        Status::Removed => !close.is_on(),
        Status::Apart => matches!(close, Status::Out | Status::Ready) || close.is_gone(),
        Status::Replaced => matches!(close, Status::Scrapped | Status::Sold),
        Status::Loose
        | Status::Out
        | Status::Ready
        | Status::LeftOff
        | Status::Scrapped
        | Status::Sold
        | Status::Missing => false,
    };
    if before == status || closer(status, before) {
        Ok(before)
    } else if closer(before, status) {
        Ok(status)
    } else {
        Err(before)
    }
}

/// The phrases in these words, the longest first at each place, and the words
/// that belong to none.
fn found(said: &[String]) -> (Vec<&'static StatusPhrase>, Vec<String>) {
    let mut found = Vec::new();
    let mut left = Vec::new();
    let mut at = 0;
    while at < said.len() {
        let begins = |phrase: &&StatusPhrase| {
            said.len() - at >= phrase.words.len()
                && phrase.words.iter().zip(&said[at..]).all(|(a, b)| a == b)
        };
        let mut phrases = table().phrases.get(said[at].as_str()).into_iter().flatten();
        match phrases.find(begins) {
            Some(phrase) => {
                at += phrase.words.len();
                found.push(phrase);
            }
            None => {
                left.push(said[at].clone());
                at += 1;
            }
        }
    }
    (found, left)
}

fn table() -> &'static StatusTable {
    static TABLE: OnceLock<StatusTable> = OnceLock::new();
    TABLE.get_or_init(|| read_table(include_str!("status_words.txt")))
}

fn read_table(text: &'static str) -> StatusTable {
    let mut table = StatusTable {
        phrases: HashMap::new(),
        harmless: Vec::new(),
    };
    let mut means = None;
    for line in text.lines() {
        if line.starts_with(['#', '/']) || line.is_empty() {
            continue;
        }
        let phrases = match line.split_once(':') {
            Some((head, phrases)) => {
                means = match (head.strip_prefix("? "), head.strip_prefix("~ ")) {
                    (Some(readings), _) => Some(Meaning::Unclear(readings)),
                    (None, Some(readings)) => Some(Meaning::Open(readings)),
                    (None, None) => Status::ALL
                        .into_iter()
                        .find(|status| status.word() == head)
                        .map(Meaning::Status),
                };
                phrases
            }
            None => line,
        };
        for phrase in phrases
            .split(',')
            .map(str::trim)
            .filter(|one| !one.is_empty())
        {
            let Some(means) = means else {
                table.harmless.push(phrase);
                continue;
            };
            let words: Vec<&str> = phrase.trim_start_matches('=').split(' ').collect();
            table
                .phrases
                .entry(words[0])
                .or_default()
                .push(StatusPhrase {
                    words,
                    means,
                    alone: phrase.starts_with('='),
                });
        }
    }
    for phrases in table.phrases.values_mut() {
        phrases.sort_by_key(|phrase| std::cmp::Reverse(phrase.words.len()));
    }
    table
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sentences_say_where_a_part_stands() {
        for (text, status) in [
            ("off the car", Status::Removed),
            ("on but not done up", Status::Loose),
            ("went walkabout", Status::Missing),
            ("came off ok", Status::Removed),
            ("back on, torqued up", Status::Fitted),
            ("on, hand tight only", Status::Loose),
            ("unplugged, still in place", Status::Undone),
            ("in bits on the bench at last", Status::Apart),
            ("away at the chrome platers", Status::Out),
            ("sent to Ruby for plating", Status::Out),
            ("cleaned up and ready", Status::Ready),
            ("removed and sold", Status::Sold),
            ("de-mounted", Status::Removed),
            ("off. In pieces.", Status::Apart),
            ("can't find it anywhere", Status::Missing),
            ("chucked in the skip", Status::Scrapped),
            ("swapped for a new one", Status::Replaced),
            ("not going back on", Status::LeftOff),
        ] {
            assert_eq!(
                read_said(text),
                StatusReading::Clear(StatusWord::Standing(status)),
                "{text}"
            );
        }
        assert_eq!(
            read_said("blasted and primed"),
            StatusReading::Clear(StatusWord::Work("blasted and primed".into()))
        );
    }

    #[test]
    fn two_readings_come_back_as_two() {
        for text in [
            "half off",
            "on the shelf",
            "stripped",
            "junk",
            "mocked up",
            "back from the machine shop",
            "not fitted yet",
            "removed and refitted",
            "removed?",
            "not removed",
            "ready for paint",
            "new one fitted",
        ] {
            assert!(
                matches!(read_said(text), StatusReading::Doubtful(_)),
                "{text}: {:?}",
                read_said(text)
            );
        }
    }

    #[test]
    fn other_words_are_no_status() {
        for text in [
            "wobbly",
            "on a wing and a prayer",
            "off white",
            "see Bert",
            "",
        ] {
            assert_eq!(read_said(text), StatusReading::Unread, "{text}");
        }
    }

    #[test]
    fn every_line_of_the_table_means_something() {
        for line in include_str!("status_words.txt").lines() {
            if let Some((head, _)) = line.split_once(':')
                && !line.starts_with(['#', '/', ' '])
            {
                let known = head == "harmless"
                    || head.starts_with("? ")
                    || head.starts_with("~ ")
                    || Status::ALL.iter().any(|status| status.word() == head);
                assert!(known, "{head}");
            }
        }
    }
}
