//! A paragraph cut into its sentences.
//!
//! Nothing is lost: the sentences with one blank between them are the
//! paragraph. What a sentence is worth is not known here.

/// Words that end with a full stop in the middle of a sentence, folded.
const SHORTENED: [&str; 19] = [
    "approx", "ca", "cf", "co", "dept", "dia", "dr", "fig", "inc", "incl", "jr", "ltd", "mr",
    "mrs", "ms", "prof", "sr", "st", "vs",
];

/// The sentences of a paragraph, with the byte at which each begins.
#[must_use]
pub fn sentences(paragraph: &str) -> Vec<(usize, &str)> {
    let mut found = Vec::new();
    let mut start = skip_blanks(paragraph, 0);
    let mut at = start;
    while let Some(c) = paragraph[at..].chars().next() {
        at += c.len_utf8();
        if !ends_sentence(c) {
            continue;
        }
        at += run(&paragraph[at..], ends_sentence);
        let stop = at;
        at += run(&paragraph[at..], closes);
        let next = skip_blanks(paragraph, at);
        let apart = next > at || is_full_width(c);
        if next == paragraph.len() || (apart && begins(paragraph, start, stop, next)) {
            found.push((start, paragraph[start..at].trim_end()));
            start = next;
            at = next;
        }
    }
    let rest = paragraph[start..].trim_end();
    if !rest.is_empty() {
        found.push((start, rest));
    }
    found
}

/// Whether a sentence begins at `next`, when the one before it has begun at
/// `start` and seems to stop before `stop`.
fn begins(text: &str, start: usize, stop: usize, next: usize) -> bool {
    let first = text[next..].chars().find(|c| !opens(*c));
    // "a.m. on Sunday", "... and then": no sentence begins in small letters.
    if first.is_none_or(char::is_lowercase) {
        return false;
    }
    let before = &text[start..stop];
    let Some(word) = before.strip_suffix('.') else {
        return true;
    };
    let word = word.rsplit(char::is_whitespace).next().unwrap_or_default();
    let word = word.trim_start_matches(opens);
    let is_initial = word.chars().count() == 1
        && word != "I"
        && word.chars().all(|letter| letter.is_alphabetic());
    let is_letters = word.contains('.')
        && word
            .split('.')
            .all(|piece| piece.chars().count() == 1 && piece.chars().all(char::is_alphabetic));
    let shortened = SHORTENED.contains(&word.to_lowercase().as_str())
        || word.eq_ignore_ascii_case("no") && first.is_some_and(|c| c.is_ascii_digit());
    !(is_initial || is_letters || shortened)
}

fn ends_sentence(c: char) -> bool {
    matches!(c, '.' | '!' | '?' | '…') || is_full_width(c)
}

/// Signs of scripts that put no blank between sentences.
fn is_full_width(c: char) -> bool {
    matches!(c, '。' | '！' | '？')
}

fn closes(c: char) -> bool {
    matches!(c, '"' | '\'' | '”' | '’' | '»' | '“' | ')' | ']' | '」')
}

fn opens(c: char) -> bool {
    matches!(
        c,
        '"' | '\'' | '“' | '‘' | '„' | '«' | '»' | '(' | '[' | '`' | '*' | '_' | '「'
    )
}

fn run(text: &str, belongs: fn(char) -> bool) -> usize {
    text.find(|c| !belongs(c)).unwrap_or(text.len())
}

fn skip_blanks(text: &str, at: usize) -> usize {
    at + run(&text[at..], char::is_whitespace)
}

/// How many words someone says to read this aloud.
#[must_use]
pub fn spoken_words(text: &str) -> usize {
    text.split_whitespace()
        .filter(|word| word.chars().any(char::is_alphanumeric))
        .count()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cut(text: &str) -> Vec<&str> {
        sentences(text).into_iter().map(|(_, text)| text).collect()
    }

    #[test]
    fn a_sentence_ends_where_a_reader_stops() {
        for (text, count) in [
            ("He said \"guaranteed to fit\". I noticed later.", 2),
            (
                "He looked into it and said \"Is that on?\", and I said no.",
                1,
            ),
            ("\"Two pan and a batch, that's us.\" Then she sat down.", 2),
            ("It was 2 a.m. Sunday in the U.S. Gulf. It rained.", 2),
            ("The initials R.T. Works or rewinder, who can say.", 1),
            ("No. 5 is gone. No. There is no other.", 3),
            ("M10x1.5, 3/8-16 and 4.89 in one line", 1),
            ("It went on ... and on. Really?! Yes…", 3),
            ("bucket teeth changed", 1),
            ("Than I. Then he.", 2),
            ("ねじが固い。外した。", 2),
            ("", 0),
            ("  ...  ", 1),
        ] {
            assert_eq!(cut(text).len(), count, "{text}: {:?}", cut(text));
        }
    }

    proptest::proptest! {
        #[test]
        fn nothing_is_lost(text in "[a-cA-C0-9 .!?…\"'()é。\u{a0}]{0,60}") {
            let bare = |text: &str| text.split_whitespace().collect::<String>();
            let pieces = sentences(&text);
            let joined: String = pieces.iter().map(|(_, piece)| bare(piece)).collect();
            proptest::prop_assert_eq!(joined, bare(&text));
            for (start, piece) in pieces {
                proptest::prop_assert!(text[start..].starts_with(piece));
            }
        }
    }

    #[test]
    fn signs_alone_are_not_spoken() {
        assert_eq!(spoken_words("One - two, 3/8-16 & four ..."), 4);
    }
}
