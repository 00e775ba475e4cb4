//! Lengths that people say behind the kind: "3/8 bolts 1 1/4 long", "8mm bolt x 25 long",
//! "3/8 dia, 2.5 inch long".
//!
//! Moves each length to the size it belongs to; which sizes exist is not known here.

use super::hardware_words::{is_kind, is_threaded};

/// The text with every length that is said as one directly behind its thread or diameter.
#[must_use]
pub(super) fn with_lengths(text: &str) -> String {
    let mut words: Vec<String> = text.split_whitespace().map(str::to_owned).collect();
    let mut at = 0;
    while at < words.len() {
        let bare = bare(&words[at]).to_lowercase();
        if matches!(bare.as_str(), "long" | "lg")
            && let Some(length) = Length::before(&words, at)
            && let Some(size) = size_before(&words, length.from)
        {
            at = length.move_to(&mut words, size, at);
        } else if matches!(
            bare.as_str(),
            "long" | "length" | "lenght" | "lengte" | "lang"
        ) && let Some(length) = Length::behind(&words, at)
            && let Some(size) = size_before(&words, at)
        {
            // "M6, long 20 mm"
            let end = length.until;
            at = Length { from: at, ..length }.move_to(&mut words, size, end);
        } else if matches!(bare.as_str(), "dia" | "diam" | "diameter")
            && at > 0
            && is_measure(&words[at - 1])
        {
            // "3/8 dia": a measure in this place is a diameter anyway.
            let tail = tail(&words.remove(at)).to_owned();
            words[at - 1].push_str(&tail);
        } else {
            at += 1;
        }
    }
    words.join(" ")
}

/// A length in words: where it begins, and how it is written behind a sign of times.
struct Length {
    from: usize,
    /// Its last word.
    until: usize,
    written: String,
}

impl Length {
    /// The length in front of the word `long` at `end`.
    fn before(words: &[String], end: usize) -> Option<Length> {
        let small = |at: usize| words[at].to_lowercase();
        let mut from = end.checked_sub(1)?;
        let unit = match small(from).as_str() {
            "inch" | "inches" | "in" | "ins" | "\"" => "\"",
            "mm" => "mm",
            _ => "",
        };
        if !unit.is_empty() {
            from = from.checked_sub(1)?;
        }
        let number = match small(from).as_str() {
            "half" => "1/2".to_owned(),
            _ if is_measure(&words[from]) => words[from].clone(),
            _ => return None,
        };
        let mut written = format!("{number}{unit}");
        // "1 1/4": a whole number and a part of one.
        let whole = from.checked_sub(1).map(&small).unwrap_or_default();
        if number.contains('/')
            && !number.contains('-')
            && whole.len() <= 2
            && whole.bytes().all(|b| b.is_ascii_digit())
            && !whole.is_empty()
            && (unit.is_empty() || whole.len() == 1)
        {
            written = format!("{whole}-{written}");
            from -= 1;
        }
        let times = from
            .checked_sub(1)
            .is_some_and(|at| matches!(small(at).as_str(), "x" | "by" | "*"));
        Some(Length {
            from: from - usize::from(times),
            until: end,
            written,
        })
    }

    /// The length behind the word `long` or `length` at `start`: a measure with its unit, or
    /// a mere number that ends its phrase.
    fn behind(words: &[String], start: usize) -> Option<Length> {
        let joined = usize::from(
            words
                .get(start + 1)
                .is_some_and(|word| matches!(word.as_str(), "=" | ":" | "of" | "is")),
        );
        let at = start + 1 + joined;
        let number = bare(words.get(at)?);
        if !is_measure(number) || number.contains(['x', '*']) {
            return None;
        }
        let next = words.get(at + 1).map(|word| bare(word).to_lowercase());
        let unit = match next.as_deref() {
            Some("mm") => "mm",
            Some("inch" | "inches" | "in" | "\"") => "\"",
            _ => "",
        };
        // "4 long 3 short": a number of others.
        let named = next
            .as_deref()
            .is_some_and(|next| next.starts_with(char::is_alphabetic));
        let length = words[start].to_lowercase().starts_with("le") || number.ends_with("mm");
        if unit.is_empty() && named && !length {
            return None;
        }
        Some(Length {
            from: start,
            until: at + usize::from(!unit.is_empty()),
            written: format!("{number}{unit}"),
        })
    }

    /// Puts the length behind the size that ends before `size`; the words up to `end`
    /// said it. Returns the place to go on from.
    fn move_to(self, words: &mut Vec<String>, size: usize, end: usize) -> usize {
        let tail = tail(&words[end]).to_owned();
        let nominal = words[size - 1].strip_suffix("mm").map(str::to_owned);
        if let Some(nominal) = nominal
            && words[..self.from]
                .iter()
                .any(|word| is_threaded(&word.to_lowercase()))
        {
            words[size - 1] = format!("M{nominal}");
        }
        words.drain(self.from..=end);
        // What parted the length from the words before it parts nothing any more.
        let before = self.from - 1;
        words[before] = bare(&words[before]).to_owned();
        let mut length = self.written;
        if before + 1 == size {
            length.push_str(&tail);
        } else {
            words[before].push_str(&tail);
        }
        words.splice(size..size, ["x".to_owned(), length]);
        self.from + 2
    }
}

/// Where the size ends that a length behind it belongs to: in the same piece, without a
/// length of its own, and with a kind between them or none.
fn size_before(words: &[String], from: usize) -> Option<usize> {
    const FAMILIES: [&str; 11] = [
        "nc",
        "nf",
        "unf",
        "unc",
        "bsf",
        "bsw",
        "whit",
        "whitworth",
        "unef",
        "ba",
        "bspt",
    ];
    let small: Vec<String> = words[..from]
        .iter()
        .map(|word| bare(word).to_lowercase())
        .collect();
    let metric = |word: &str| {
        word.strip_prefix('m')
            .is_some_and(|rest| rest.starts_with(|c: char| c.is_ascii_digit()))
    };
    let at = (0..from).rev().take_while(|at| from - at <= 6).find(|at| {
        let word = small[*at].as_str();
        let gauge = word.starts_with('#')
            || at.checked_sub(1).is_some_and(|before| {
                matches!(small[before].as_str(), "no" | "no." | "number" | "gauge")
            }) && word.len() <= 2
                && is_measure(word);
        let gauge_behind = small
            .get(at + 1)
            .is_some_and(|next| next == "gauge" || next == "ba");
        metric(word)
            || gauge
            || gauge_behind
            || word.contains('/') && is_measure(word)
            || word.ends_with("mm") && is_measure(word) && word.len() <= 4
    })?;
    if small[at].contains(['x', '*']) || small.get(at + 1).is_some_and(|next| next == "x") {
        return None;
    }
    let mut end = at + 1;
    while small
        .get(end)
        .is_some_and(|word| FAMILIES.contains(&word.as_str()))
    {
        end += 1;
    }
    // Another number between them counts or measures something else.
    let between = &small[end..];
    let quiet = between
        .iter()
        .all(|word| word.chars().all(|c| c.is_alphabetic() || c == '-') || is_kind(word));
    let one_piece = words[at..from]
        .iter()
        .filter(|word| word.ends_with([',', ';']))
        .count()
        <= 1;
    (quiet && one_piece).then_some(end)
}

fn is_measure(word: &str) -> bool {
    word.starts_with(|c: char| c.is_ascii_digit() || c == '.')
}

fn bare(word: &str) -> &str {
    word.trim_end_matches([',', ';', ')', ':'])
}

fn tail(word: &str) -> &str {
    &word[bare(word).len()..]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_stand_behind_their_size() {
        for (text, plain) in [
            (
                "3/8 unc bolts 1 1/4 long bag 2",
                "3/8 unc x 1-1/4 bolts bag 2",
            ),
            ("8mm bolt x 25 long, qty 4", "M8 x 25 bolt, qty 4"),
            ("2 Bolts 3/8\" dia, 2.5\" long", "2 Bolts 3/8\" x 2.5\""),
            ("#8 tappers 3/4 long x10", "#8 x 3/4 tappers x10"),
            ("no 8 screws, 1 1/2\" long", "no 8 x 1-1/2\" screws"),
            ("5/16 UNF setscrews 1 inch long", "5/16 UNF x 1\" setscrews"),
            ("M8 bolts, 30 long, bag 2", "M8 x 30 bolts, bag 2"),
            ("2 clevis pins 1/4 dia 3/4 long", "2 clevis pins 1/4 x 3/4"),
            ("3 screw M6, long 20 mm", "3 screw M6 x 20mm"),
            ("2 bolt M10 lenght 35 + 2 nut", "2 bolt M10 x 35 + 2 nut"),
        ] {
            assert_eq!(with_lengths(text), plain, "{text}");
        }
    }

    #[test]
    fn other_long_things_stay() {
        for text in [
            "2 long bolts M8",
            "4 bolts long ones",
            "M8 x 30 bolts 4 long",
            "hose 1/2 a yard long",
            "3 long",
        ] {
            assert_eq!(with_lengths(text), text, "{text}");
        }
    }
}
