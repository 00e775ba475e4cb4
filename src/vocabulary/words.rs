//! Words as people type them, folded so that they can be compared.
//!
//! What a token of the search index is, is not decided here but in `index`.

use std::sync::OnceLock;

use frostem::{Algorithm, Stemmer};
use unicode_normalization::UnicodeNormalization;
use unicode_normalization::char::is_combining_mark;

/// The text in one shape: lower case, no accents, plain quotes and dashes,
/// fractions spelled with digits (`½` → `1/2`), `×` as `x`, every run of white
/// space as one blank, nothing at the ends.
#[must_use]
pub fn fold(text: &str) -> String {
    if text.is_ascii() {
        return fold_ascii(text);
    }
    let mut folded = String::with_capacity(text.len());
    for c in straighten(text).nfkd() {
        if is_combining_mark(c) {
            continue;
        }
        if c.is_whitespace() {
            if !folded.is_empty() && !folded.ends_with(' ') {
                folded.push(' ');
            }
            continue;
        }
        folded.extend(c.to_lowercase());
    }
    folded.truncate(folded.trim_end().len());
    folded
}

/// [`fold`] for what nearly all texts are: nothing to take apart.
fn fold_ascii(text: &str) -> String {
    let mut folded = String::with_capacity(text.len());
    for word in text.split_ascii_whitespace() {
        // The one white space that `split_ascii_whitespace` leaves in.
        for piece in word.split('\u{b}').filter(|piece| !piece.is_empty()) {
            if !folded.is_empty() {
                folded.push(' ');
            }
            folded.push_str(piece);
        }
    }
    folded.make_ascii_lowercase();
    folded
}

/// [`fold`], saying for each byte of the result which character of the text it
/// came from, so that a word found in the folded text can be shown in the
/// original. White space is not joined here: each one is a blank.
#[must_use]
pub fn fold_traced(text: &str) -> (String, Vec<usize>) {
    let mut folded = String::with_capacity(text.len());
    let mut origins = Vec::with_capacity(text.len());
    let mut before = ' ';
    for (at, c) in text.chars().enumerate() {
        if c.is_ascii() && !c.is_whitespace() {
            folded.push(c.to_ascii_lowercase());
            before = c;
        } else {
            if fraction(c).is_some() && before.is_ascii_digit() {
                folded.push('-');
            }
            for plain in straighten(c.encode_utf8(&mut [0; 4])).chars() {
                before = plain;
                for part in std::iter::once(plain).nfkd() {
                    if part.is_whitespace() {
                        folded.push(' ');
                    } else if !is_combining_mark(part) {
                        folded.extend(part.to_lowercase());
                    }
                }
            }
        }
        origins.resize(folded.len(), at);
    }
    (folded, origins)
}

/// The text with typographic signs replaced by those of a plain keyboard:
/// quotes, dashes, `×`, `⁄` and the ready-made fractions. Case, accents and
/// white space stay.
#[must_use]
pub fn straighten(text: &str) -> String {
    if text.is_ascii() {
        return text.to_owned();
    }
    let mut plain = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\u{2018}' | '\u{2019}' | '\u{201A}' | '\u{2032}' => plain.push('\''),
            '\u{201C}' | '\u{201D}' | '\u{201E}' | '\u{2033}' => plain.push('"'),
            '\u{2010}'..='\u{2015}' | '\u{2212}' => plain.push('-'),
            '×' | '✕' => plain.push('x'),
            '\u{2044}' | '\u{2215}' => plain.push('/'),
            '\u{a0}' | '\u{202f}' => plain.push(' '),
            // Full-width signs of East Asian keyboards.
            '\u{ff01}'..='\u{ff5e}' => {
                plain.extend(char::from_u32(u32::from(c) - 0xfee0));
            }
            _ => match fraction(c) {
                Some(digits) => {
                    if plain.ends_with(|before: char| before.is_ascii_digit()) {
                        plain.push('-');
                    }
                    plain.push_str(digits);
                }
                None => plain.push(c),
            },
        }
    }
    plain
}

/// The ready-made fractions that occur in inch sizes and hours.
fn fraction(c: char) -> Option<&'static str> {
    Some(match c {
        '½' => "1/2",
        '¼' => "1/4",
        '¾' => "3/4",
        '⅛' => "1/8",
        '⅜' => "3/8",
        '⅝' => "5/8",
        '⅞' => "7/8",
        '⅓' => "1/3",
        '⅔' => "2/3",
        _ => return None,
    })
}

/// The stem of one folded word by the Snowball algorithm for English. A word
/// with anything but letters in it (a size, a part number) is its own stem.
#[must_use]
pub fn stem(word: &str) -> String {
    static ENGLISH: OnceLock<Stemmer> = OnceLock::new();
    if !word.chars().all(char::is_alphabetic) {
        return word.to_owned();
    }
    ENGLISH
        .get_or_init(|| Stemmer::new(Algorithm::English))
        .stem(word)
        .to_string()
}

/// The folded words of a text, cut at everything that is neither a letter nor
/// a digit.
pub fn words(text: &str) -> impl Iterator<Item = String> {
    fold(text)
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_owned)
        .collect::<Vec<_>>()
        .into_iter()
}

/// The stems of the words that carry a text's meaning: stop words out, each
/// stem once, in alphabetical order.
#[must_use]
pub fn telling_stems(text: &str) -> Vec<String> {
    let mut stems: Vec<String> = words(text)
        .filter(|word| !is_stop_word(word))
        .map(|word| stem(&word))
        .collect();
    stems.sort();
    stems.dedup();
    stems
}

/// The words that only join others, folded and sorted.
#[must_use]
pub fn stop_words() -> &'static [&'static str] {
    &STOP_WORDS
}

/// Whether a folded word only joins others.
#[must_use]
pub fn is_stop_word(word: &str) -> bool {
    STOP_WORDS.binary_search(&word).is_ok()
}

/// Sorted, so that it can be searched by halves.
const STOP_WORDS: [&str; 75] = [
    "a", "about", "after", "again", "all", "also", "an", "and", "any", "are", "as", "at", "be",
    "been", "before", "but", "by", "can", "did", "do", "does", "for", "from", "get", "had", "has",
    "have", "he", "her", "his", "how", "i", "if", "in", "into", "is", "it", "its", "just", "me",
    "my", "no", "not", "of", "on", "one", "or", "our", "she", "so", "some", "than", "that", "the",
    "their", "them", "then", "there", "they", "this", "to", "too", "up", "us", "was", "we", "were",
    "what", "when", "where", "which", "who", "why", "with", "you",
];

/// Whether two words are one slip of the finger apart: one letter too many,
/// one missing, one wrong, or two neighbours swapped. Equal words are not.
#[must_use]
pub fn one_slip(a: &str, b: &str) -> bool {
    // One letter more or less is one byte in English, up to four elsewhere.
    let most = if a.is_ascii() && b.is_ascii() { 1 } else { 4 };
    if a.len().abs_diff(b.len()) > most {
        return false;
    }
    // Compared from both ends, so that a name as long as a book costs no more
    // than reading it.
    let start = common(a.chars(), b.chars());
    let rest = |text: &str| text.chars().skip(start).collect::<Vec<char>>();
    let (a, b) = (rest(a), rest(b));
    let end = common(a.iter().rev(), b.iter().rev());
    match (&a[..a.len() - end], &b[..b.len() - end]) {
        ([_], []) | ([], [_]) | ([_], [_]) => true,
        ([a1, a2], [b1, b2]) => a1 == b2 && a2 == b1,
        (_, _) => false,
    }
}

/// How many items are the same, from the first on.
fn common<T: PartialEq>(a: impl Iterator<Item = T>, b: impl Iterator<Item = T>) -> usize {
    a.zip(b).take_while(|(a, b)| a == b).count()
}

/// Text that a terminal can show and never obeys: in one line, without control
/// characters and without marks that turn the direction of writing.
#[must_use]
pub fn shown(text: &str) -> String {
    text.chars()
        .map(|c| if c == '\n' || c == '\t' { ' ' } else { c })
        .filter(|c| !is_obeyed(*c))
        .collect()
}

/// Whether a terminal would obey this character instead of showing it.
#[must_use]
pub fn is_obeyed(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn folding_reads_phone_keyboards_as_meant() {
        assert_eq!(fold("  Wheel\tCYLINDER "), "wheel cylinder");
        assert_eq!(fold("driver’s side"), "driver's side");
        assert_eq!(fold("⅜–16 × 1½"), "3/8-16 x 1-1/2");
        assert_eq!(fold("M10×1.25"), "m10x1.25");
        assert_eq!(fold("Kühler"), "kuhler");
    }

    proptest::proptest! {
        #[test]
        fn a_slip_is_a_distance_of_one(a in "[abcé]{0,7}", b in "[abcé]{0,7}") {
            proptest::prop_assert_eq!(one_slip(&a, &b), strsim::osa_distance(&a, &b) == 1);
        }

        #[test]
        fn tracing_folds_like_folding(text in "\\PC{0,12}[ \\t]{0,2}[a-z0-9½⅜⁄×’é²ﬁ]{0,12}") {
            let (traced, origins) = fold_traced(&text);
            let joined = traced.split_whitespace().collect::<Vec<_>>().join(" ");
            proptest::prop_assert_eq!(joined, fold(&text));
            proptest::prop_assert_eq!(origins.len(), traced.len());
            proptest::prop_assert!(origins.is_sorted());
        }
    }

    proptest::proptest! {
        #[test]
        fn a_stem_begins_as_its_word_does(word in "\\PC{1,3}(y|ies|ing|ly|ed|s)?|[a-zé]{1,9}") {
            let word = fold(&word);
            proptest::prop_assert_eq!(stem(&word).chars().next(), word.chars().next());
        }
    }

    #[test]
    fn stop_words_are_sorted() {
        assert!(STOP_WORDS.is_sorted());
        assert!(is_stop_word("the") && !is_stop_word("nut"));
    }

    #[test]
    fn sizes_are_their_own_stem() {
        assert_eq!(stem("bushings"), "bush");
        assert_eq!(stem("7/16-20"), "7/16-20");
    }

    #[test]
    fn a_slip_is_one_edit() {
        assert!(one_slip("spindel", "spindle"));
        assert!(one_slip("hardwear", "hardwar"));
        assert!(!one_slip("spindle", "spindle"));
        assert!(!one_slip("nut", "bolt"));
    }

    #[test]
    fn telling_stems_leave_joining_words_out() {
        assert_eq!(
            telling_stems("have it boiled out and sealed"),
            ["boil", "out", "seal"]
        );
    }
}
