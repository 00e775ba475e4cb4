//! The sentences by which people say where a part stands.
//!
//! The phrases stand in `status_words.txt`. What has two readings is not settled
//! here: both come back.

use std::collections::{HashMap, HashSet};
use std::sync::OnceLock;

use super::away_words::is_away;
use super::calendar_words::{DAYS, MONTHS, is_part_of_day};
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
    /// Nothing of where the part stands.
    Nothing,
    /// More than one reading, whatever else is said.
    Unclear(&'static str),
    /// More than one reading, unless something else says which.
    Open(&'static str),
}

struct StatusTable {
    /// By their first word, of each the longest first.
    phrases: HashMap<&'static str, Vec<StatusPhrase>>,
    harmless: HashSet<&'static str>,
    /// The words of all phrases and the harmless ones.
    known: HashSet<&'static str>,
}

/// Reads what was said about where a part stands, in a word or in a sentence.
#[must_use]
pub fn read_said(text: &str) -> StatusReading {
    if let Some(word) = read_status(text) {
        return StatusReading::Clear(word);
    }
    if is_away(text) && !text.contains('?') {
        return StatusReading::Clear(StatusWord::Standing(Status::Out));
    }
    let without_marks = without_marks(text);
    // A mark stands where two pieces meet, so that no phrase reaches over it.
    let said: Vec<String> = without_marks
        .split([',', ';', '.', ':', '(', ')', '/'])
        .flat_map(|piece| with_off(words(piece).collect()).into_iter())
        .collect();
    let (found, left) = found(&said);
    let table = table();
    let only_harmless = left
        .iter()
        .filter(|word| *word != PIECE_END)
        .all(|word| table.harmless.contains(word.as_str()));
    // "its off, thank goodness": what the first piece says whole is no part of a story.
    let first_end = said.iter().position(|word| word == PIECE_END);
    let (first, beside) = self::found(&said[..first_end.unwrap_or(said.len())]);
    let first_is_whole = first.len() == 1
        && first_end.is_some_and(|end| end <= LONGEST_FIRST)
        && beside
            .iter()
            .all(|word| table.harmless.contains(word.as_str()));
    if let Some(status) = still_to_come(&said) {
        return StatusReading::Doubtful(format!("{}, or still to come", status.word()));
    }
    let either = left.iter().any(|word| word == "or");
    let mut several = 0;
    let mut standing: Option<Status> = None;
    let mut open = None;
    for phrase in &found {
        match phrase.means {
            Meaning::Unclear(readings) => return StatusReading::Doubtful(readings.to_owned()),
            Meaning::Open(readings) => open = Some(readings),
            Meaning::Nothing => {}
            Meaning::Status(_)
                if phrase.alone
                    && !only_harmless
                    && !(first_is_whole && first[0].words == phrase.words) => {}
            Meaning::Status(status) if either && several > 0 && standing != Some(status) => {
                let before = standing.map_or("", Status::word);
                return StatusReading::Doubtful(format!("{before}, or {}", status.word()));
            }
            Meaning::Status(status) => match agreed(standing, status) {
                Ok(agreed) => {
                    standing = Some(agreed);
                    several += 1;
                }
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
    // "still on, wont budge": what a later piece denies is something else, if it says
    // nothing of where the part stands.
    let own = match first_end {
        Some(end) if first_is_whole && self::found(&said[end..]).0.is_empty() => &beside,
        Some(_) | None => &left,
    };
    let denied = own.iter().any(|word| {
        matches!(
            word.as_str(),
            "not" | "never" | "wont" | "isnt" | "unless" | "if"
        )
    });
    const PARTLY: [&str; 8] = [
        "half",
        "some",
        "most",
        "mostly",
        "except",
        "partially",
        "side",
        "other",
    ];
    let partly = left.iter().any(|word| PARTLY.contains(&word.as_str()));
    match standing {
        Some(status) if partly && !first_is_whole => {
            StatusReading::Doubtful(format!("{}, or only part of it", status.word()))
        }
        Some(status) if denied || text.trim_end().ends_with('?') => {
            StatusReading::Doubtful(format!("{}, or not", status.word()))
        }
        Some(status) => StatusReading::Clear(StatusWord::Standing(status)),
        None => match open {
            Some(readings) => StatusReading::Doubtful(readings.to_owned()),
            None => match work(text, &said) {
                StatusReading::Unread => read_opening(text),
                read @ (StatusReading::Clear(_) | StatusReading::Doubtful(_)) => read,
            },
        },
    }
}

/// The status that a piece of the text only announces: "to be removed", "will refit".
fn still_to_come(said: &[String]) -> Option<Status> {
    said.split(|word| word == PIECE_END).find_map(|piece| {
        let (found, left) = found(piece);
        let announced = found.first()?;
        // "Sent off to be plated" has been sent.
        let start = piece.iter().position(|word| word == announced.words[0])?;
        let (before, _) = piece.split_at(start);
        let unread = |word: &String| left.contains(word);
        before
            .windows(2)
            .find(|pair| *pair == ["to", "be"])
            .or_else(|| {
                before
                    .iter()
                    .position(|word| {
                        let word = word.as_str();
                        matches!(
                            word,
                            "will" | "shall" | "should" | "wants" | "needs" | "need" | "must"
                        )
                    })
                    .map(|at| &before[at..])
            })
            .filter(|coming| coming.iter().any(unread))?;
        match announced.means {
            Meaning::Status(status) => Some(status),
            Meaning::Unclear(_) | Meaning::Open(_) | Meaning::Nothing => None,
        }
    })
}

/// Reads a text that says where a part stands and nothing else; what says more
/// is unread.
#[must_use]
pub fn read_bare(text: &str) -> StatusReading {
    if !may_be_bare(text) {
        return StatusReading::Unread;
    }
    let said = with_off(words(&without_marks(text)).collect());
    let (_, left) = found(&said);
    // With a person or a thing that does something it is a sentence of a story.
    const SUBJECTS: [&str; 8] = ["it", "i", "we", "they", "this", "that", "he", "she"];
    let harmless = |word: &String| {
        let word = word.as_str();
        word == PIECE_END || table().harmless.contains(word) && !SUBJECTS.contains(&word)
    };
    match read_status(text).is_some() || left.iter().all(harmless) {
        true => read_said(text),
        false => StatusReading::Unread,
    }
}

/// Whether all words could belong to a text that says where a part stands and nothing else:
/// one that holds others is found without taking it apart.
fn may_be_bare(text: &str) -> bool {
    // Apostrophes and hyphens join words, and other alphabets are folded first.
    if !text.is_ascii() || text.contains(['\'', '-']) {
        return true;
    }
    let mut small = [0; LONGEST_KNOWN];
    let mut is_known = |word: &str| {
        let Some(small) = small.get_mut(..word.len()) else {
            return false;
        };
        small.copy_from_slice(word.as_bytes());
        small.make_ascii_lowercase();
        // "Of" with nothing behind it is "off".
        std::str::from_utf8(small).is_ok_and(|word| word == "of" || table().known.contains(word))
    };
    let mut words = text.split(|c: char| !c.is_ascii_alphanumeric());
    words.all(|word| word.is_empty() || is_known(word)) || read_status(text).is_some()
}

/// Bytes of the longest word in the table.
const LONGEST_KNOWN: usize = 24;

/// Reads where a part stands in the words that open a short sentence, behind which only
/// a day, a reason or what went along is told: "off 20/11", "sold it", "Off it came",
/// "taken off with the grille", "out to the platers".
#[must_use]
pub fn read_opening(text: &str) -> StatusReading {
    if is_away(text) && !text.contains('?') {
        return StatusReading::Clear(StatusWord::Standing(Status::Out));
    }
    let plain = without_marks(text);
    let first = plain.split([',', ';']).next().unwrap_or_default();
    let first = first.split(". ").next().unwrap_or_default();
    let said: Vec<String> = words(first).collect();
    const LEADS: [&str; 10] = [
        "still", "now", "finally", "just", "its", "it", "went", "all", "is", "they",
    ];
    let leads = |word: &&String| LEADS.contains(&word.as_str());
    let at = said.iter().take_while(leads).count();
    let Some(phrase) = (at < said.len())
        .then(|| phrases_at(&said, at).next())
        .flatten()
    else {
        return StatusReading::Unread;
    };
    let Meaning::Status(status) = phrase.means else {
        return StatusReading::Unread;
    };
    let rest = &said[at + phrase.words.len()..];
    let told = match rest {
        [it, moved]
            if matches!(it.as_str(), "it" | "they")
                && matches!(moved.as_str(), "came" | "went" | "comes" | "goes") =>
        {
            true
        }
        _ => {
            let rest = match rest {
                [it, rest @ ..] if matches!(it.as_str(), "it" | "them") => rest,
                _ => rest,
            };
            let to = matches!(phrase.words.last(), Some(&("to" | "at" | "for")));
            let when = rest.iter().take_while(|word| tells_when(word)).count();
            match &rest[when..] {
                _ if rest.len() == 2 && rest[0] == "on" && rest[1] == "purpose" => true,
                [with, more @ ..] if matches!(with.as_str(), "with" | "using" | "w") => {
                    (1..=5).contains(&more.len()) && !more.iter().any(|word| denies(word))
                }
                // "missing when we got it", "off to get at the pump"
                [why, more @ ..]
                    if matches!(
                        why.as_str(),
                        "when" | "since" | "while" | "because" | "cause" | "whilst"
                    ) || why == "to" && more.first().is_some_and(|word| word == "get") =>
                {
                    !more.iter().any(|word| denies(word))
                }
                [no, trouble] if no == "no" => {
                    matches!(
                        trouble.as_str(),
                        "bother"
                            | "problem"
                            | "problems"
                            | "trouble"
                            | "drama"
                            | "hassle"
                            | "issues"
                            | "fuss"
                            | "worries"
                    )
                }
                [the, shop] if to => matches!(the.as_str(), "the" | "a" | "my") && shop.len() > 2,
                _ => rest.iter().all(|word| tells_when(word)),
            }
        }
    };
    match told {
        true => StatusReading::Clear(StatusWord::Standing(status)),
        false => StatusReading::Unread,
    }
}

/// Whether a word takes back what was said before it.
fn denies(word: &str) -> bool {
    matches!(
        word,
        "not" | "no" | "but" | "except" | "without" | "still" | "missing" | "if" | "unless"
    )
}

/// Whether a word says when, or only how sure it is: "20/11", "nov", "this", "anywhere".
fn tells_when(word: &str) -> bool {
    const WHEN: [&str; 15] = [
        "this",
        "am",
        "pm",
        "morning",
        "afternoon",
        "evening",
        "night",
        "tonight",
        "last",
        "on",
        "week",
        "anywhere",
        "again",
        "already",
        "today",
    ];
    WHEN.contains(&word)
        || is_part_of_day(word)
        || word == "yesterday"
        || word.bytes().all(|b| b.is_ascii_digit())
        || is_month_or_day(word)
}

fn is_month_or_day(word: &str) -> bool {
    let days = DAYS.iter().filter_map(|(_, names)| names.first());
    let mut names = MONTHS.iter().chain(days);
    word.len() >= 3 && names.any(|name| *name == word || word.len() <= 5 && name.starts_with(word))
}

/// Whether the first sentence of a text may say where the part stands, wherever in it.
#[must_use]
pub fn mentions_standing(text: &str) -> bool {
    let plain = without_marks(text);
    let first = plain.split(". ").next().unwrap_or_default();
    let said: Vec<String> = first
        .split([',', ';', '(', ')'])
        .flat_map(|piece| with_off(words(piece).collect()))
        .collect();
    let opens = read_opening(text) != StatusReading::Unread;
    let whole = |phrase: &&StatusPhrase| {
        !phrase.alone && matches!(phrase.means, Meaning::Status(status) if !status.is_on())
    };
    opens || found(&said).0.iter().any(whole)
}

/// The pieces of a text that say nothing of where a part stands, beside one that does;
/// in brackets too. Words that change nothing are none.
#[must_use]
pub fn unread_pieces(text: &str) -> Vec<String> {
    let pieces: Vec<&str> = text
        .split([',', ';', '(', ')'])
        .flat_map(|piece| piece.split(". "))
        .map(str::trim)
        .collect();
    let read = |piece: &str| {
        let said = with_off(words(&without_marks(piece)).collect());
        let (found, left) = found(&said);
        let harmless =
            |word: &String| word == PIECE_END || table().harmless.contains(word.as_str());
        let said = found.iter().any(|phrase| !phrase.alone);
        said || read_status(piece).is_some() || left.iter().all(harmless)
    };
    let mut unread: Vec<String> = Vec::new();
    for piece in &pieces {
        if !read(piece) {
            unread.push((*piece).to_owned());
        }
    }
    unread.retain(|_| pieces.len() > 1);
    unread
}

/// The word for a standing that one word of a text is one slip away from: "instaled",
/// "dismanteled"; short words have too many neighbours.
#[must_use]
pub fn near_said(text: &str) -> Option<(&'static str, Status)> {
    let word = super::words::fold(text);
    if word.len() < 6 || word.contains(' ') {
        return None;
    }
    let mut near = table().phrases.values().flatten().filter_map(|phrase| {
        let [known] = phrase.words.as_slice() else {
            return None;
        };
        match phrase.means {
            Meaning::Status(status) if known.len() >= 6 && super::words::one_slip(&word, known) => {
                Some((*known, status))
            }
            Meaning::Status(_) | Meaning::Nothing | Meaning::Unclear(_) | Meaning::Open(_) => None,
        }
    });
    let first = near.next()?;
    near.all(|other| other.1 == first.1).then_some(first)
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

/// The words of a piece and its end; an "of" with nothing behind it is "off", one f short.
fn with_off(mut piece: Vec<String>) -> Vec<String> {
    if let Some(last) = piece.last_mut().filter(|last| *last == "of") {
        last.push('f');
    }
    // "put it back on": the phrase is "put back on".
    let parted = (1..piece.len().saturating_sub(1)).find(|at| {
        let it = matches!(piece[*at].as_str(), "it" | "them" | "this" | "that");
        let phrases = table().phrases.get(piece[*at - 1].as_str());
        let mut begins = phrases.into_iter().flatten();
        it && begins.any(|phrase| phrase.words.get(1) == Some(&piece[*at + 1].as_str()))
    });
    if let Some(at) = parted {
        piece.remove(at);
    }
    piece.push(PIECE_END.to_owned());
    piece
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

/// The phrases in these words, and the words that belong to none. At each place the
/// longest phrase counts that no longer one cuts into: "gone | to the dump".
fn found(said: &[String]) -> (Vec<&'static StatusPhrase>, Vec<String>) {
    let mut found = Vec::new();
    let mut left = Vec::new();
    let mut at = 0;
    while at < said.len() {
        let is_whole = |phrase: &&StatusPhrase| {
            let count = phrase.words.len();
            (at + 1..at + count).all(|inside| {
                phrases_at(said, inside)
                    .next()
                    .is_none_or(|other| other.words.len() <= count)
            })
        };
        match phrases_at(said, at).find(is_whole) {
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

/// The phrases that begin at this word, the longest first.
fn phrases_at(said: &[String], at: usize) -> impl Iterator<Item = &'static StatusPhrase> {
    let begin = table().phrases.get(said[at].as_str());
    begin.into_iter().flatten().filter(move |phrase| {
        said.len() - at >= phrase.words.len()
            && phrase.words.iter().zip(&said[at..]).all(|(a, b)| a == b)
    })
}

fn table() -> &'static StatusTable {
    static TABLE: OnceLock<StatusTable> = OnceLock::new();
    TABLE.get_or_init(|| read_table(include_str!("status_words.txt")))
}

fn read_table(text: &'static str) -> StatusTable {
    let mut table = StatusTable {
        phrases: HashMap::new(),
        harmless: HashSet::new(),
        known: HashSet::new(),
    };
    let mut means = None;
    for line in text.lines() {
        if line.starts_with(['#', '/']) || line.is_empty() {
            continue;
        }
        let phrases = match line.split_once(':') {
            Some((head, phrases)) => {
                means = match (head.strip_prefix("? "), head.strip_prefix("~ ")) {
                    (None, None) if head == "nothing" => Some(Meaning::Nothing),
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
                table.harmless.insert(phrase);
                continue;
            };
            let words: Vec<&str> = phrase.trim_start_matches('=').split(' ').collect();
            // "At the platers" is "at platers" to some, "out of the way" "out of way".
            let bare: Vec<&str> = words
                .iter()
                .copied()
                .filter(|word| *word != "the")
                .collect();
            let bare = (bare.len() < words.len() && bare.len() > 1).then_some(bare);
            for words in [Some(words), bare].into_iter().flatten() {
                let of_word = table.phrases.entry(words[0]).or_default();
                of_word.push(StatusPhrase {
                    words,
                    means,
                    alone: phrase.starts_with('='),
                });
            }
        }
    }
    let of_phrases = table.phrases.values().flatten();
    let of_phrases = of_phrases.flat_map(|phrase| phrase.words.iter().copied());
    table.known = of_phrases.chain(table.harmless.iter().copied()).collect();
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
            ("gone to the dump", Status::Scrapped),
            ("off to the tip", Status::Scrapped),
            ("gone to the plater", Status::Out),
            ("taken of", Status::Removed),
            ("taken of, bag 3", Status::Removed),
            ("mounted, only with hand tighten", Status::Loose),
            ("assembled, screws by hand", Status::Loose),
            ("hanging by its wires", Status::Undone),
            ("left alone", Status::Fitted),
            ("to be torqued", Status::Loose),
            ("put it back on", Status::Fitted),
            ("pulled it off, seized", Status::Removed),
            ("sent off to be plated", Status::Out),
            ("at chromers till friday", Status::Out),
            ("wont go back on", Status::LeftOff),
            ("still on, wont budge", Status::Fitted),
            ("off, and never touched the paint", Status::Removed),
            ("gone to the machine shop", Status::Out),
            ("pulled out", Status::Removed),
            ("binned, new one on order", Status::Scrapped),
            ("swung out of way", Status::Undone),
            ("disconnected but left in place", Status::Undone),
            ("removed, wrapped in newspaper", Status::Removed),
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
    fn a_short_sentence_opens_with_a_status() {
        for (text, status) in [
            ("Taken off with the grille.", Status::Removed),
            ("Removed it this am. Cold.", Status::Removed),
            ("off 20/11", Status::Removed),
            ("Off it came", Status::Removed),
            ("On it went", Status::Fitted),
            ("out to the platers, back by 12 dec", Status::Out),
            ("fitted again 22 nov, works!", Status::Fitted),
            ("sold it", Status::Sold),
            ("sold it on saturday", Status::Sold),
            ("left off on purpose, fitting air horns", Status::LeftOff),
            (
                "back on this aft with the new gasket, no leaks",
                Status::Fitted,
            ),
            ("refitted today using a new seal", Status::Fitted),
            ("went back on no bother", Status::Fitted),
            ("can not find it anywhere", Status::Missing),
        ] {
            assert_eq!(
                read_opening(text),
                StatusReading::Clear(StatusWord::Standing(status)),
                "{text}"
            );
        }
        for text in [
            "off white",
            "off to bed with a cold",
            "Off we went",
            "On a wing",
            "removed nobody knows what",
            "",
        ] {
            assert_eq!(read_opening(text), StatusReading::Unread, "{text}");
        }
        assert!(mentions_standing("The old one was taken off in the spring"));
        assert!(!mentions_standing("A pig to get at"));
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
            "to be removed",
            "will be removed tomorrow",
            "should be removed",
            "needs to come off",
            "removed or scrapped",
            "scrapped or sold",
            "unbolted, still in place",
            "gone",
            "removed half of it",
            "unbolted but still there",
            "it is out",
        ] {
            assert!(
                matches!(read_said(text), StatusReading::Doubtful(_)),
                "{text}: {:?}",
                read_said(text)
            );
        }
    }

    #[test]
    fn what_stands_beside_a_status_is_found() {
        for (text, unread) in [
            ("removed, gasket ruined", vec!["gasket ruined"]),
            ("removed (bag 12)", vec!["bag 12"]),
            ("off, hand tight only", vec![]),
            (
                "off, thank goodness; rusty",
                vec!["thank goodness", "rusty"],
            ),
            ("removed", vec![]),
            ("wobbly", vec![]),
        ] {
            assert_eq!(unread_pieces(text), unread, "{text}");
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
    fn no_known_word_is_longer_than_what_is_looked_at() {
        for word in &table().known {
            assert!(word.len() <= LONGEST_KNOWN && word.is_ascii(), "{word}");
        }
    }

    #[test]
    fn every_line_of_the_table_means_something() {
        for line in include_str!("status_words.txt").lines() {
            if let Some((head, _)) = line.split_once(':')
                && !line.starts_with(['#', '/', ' '])
            {
                let known = head == "harmless"
                    || head == "nothing"
                    || head.starts_with("? ")
                    || head.starts_with("~ ")
                    || Status::ALL.iter().any(|status| status.word() == head);
                assert!(known, "{head}");
            }
        }
    }
}
