//! Digits with marks as an amount in minor units: `1,234.50`, `1.234,50`,
//! `1'234`, `12,5`.
//!
//! Knows no currency but how many decimals it has, and no words.

/// An amount as it was written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum WrittenAmount {
    /// In minor units, and whether a comma was the decimal mark.
    Exactly(i64, bool),
    /// Both readings of the one mark before three digits: with decimals, and
    /// as a thousand.
    Either(String, String),
    /// More decimals than the currency has.
    TooFine,
    /// Marks that cannot all mean something.
    Unreadable,
}

/// Reads digits with marks in a currency with `decimals` decimal places. A comma groups
/// before three digits, and not after a lone 0; a point before three digits
/// can be either.
#[must_use]
pub fn written_amount(written: &str, decimals: usize) -> WrittenAmount {
    let last = written.rfind(['.', ',']);
    let mark = last.map(|at| (at, written.as_bytes()[at]));
    let Some((at, mark)) = mark else {
        return whole_and_part(written, "", false, decimals);
    };
    let (whole, part) = (&written[..at], &written[at + 1..]);
    let other = if mark == b'.' { ',' } else { '.' };
    let same = whole.contains(char::from(mark));
    let mixed = whole.contains([other, '\'']);
    if part.is_empty() {
        return WrittenAmount::Unreadable;
    }
    if same && !mixed && part.len() == 3 {
        return whole_and_part(written, "", false, decimals);
    }
    if same && (mark == b'.' || mixed || !is_grouped(whole, ',')) {
        return WrittenAmount::Unreadable;
    }
    let lone = !mixed && part.len() == 3 && whole != "0" && !whole.is_empty();
    if lone && mark == b',' {
        return whole_and_part(written, "", false, decimals);
    }
    if lone && decimals < 3 {
        let long = part.trim_end_matches('0');
        let read = format!("{whole}.{}", if long.len() < 2 { &part[..2] } else { long });
        return WrittenAmount::Either(read, format!("{whole}{part}"));
    }
    whole_and_part(whole, part, mark == b',', decimals)
}

fn is_grouped(text: &str, mark: char) -> bool {
    let mut groups = text.split(mark);
    let first = groups.next().unwrap_or_default();
    (1..=3).contains(&first.len()) && groups.all(|group| group.len() == 3)
}

fn whole_and_part(whole: &str, part: &str, comma: bool, decimals: usize) -> WrittenAmount {
    let marks: Vec<char> = ['.', ',', '\'']
        .into_iter()
        .filter(|mark| whole.contains(*mark))
        .collect();
    let sound = match marks.as_slice() {
        [] => true,
        [mark] => is_grouped(whole, *mark),
        _ => false,
    };
    let digits: String = whole.chars().filter(char::is_ascii_digit).collect();
    if !sound || digits.is_empty() && part.is_empty() || !part.bytes().all(|b| b.is_ascii_digit()) {
        return WrittenAmount::Unreadable;
    }
    let kept = part.trim_end_matches('0');
    if kept.len() > decimals {
        return WrittenAmount::TooFine;
    }
    let text = format!("0{digits}{kept:0<decimals$}");
    match text.parse() {
        Ok(minor) => WrittenAmount::Exactly(minor, comma),
        Err(_) => WrittenAmount::Unreadable,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn amounts_in_every_writing() {
        for (text, minor, comma) in [
            ("84.50", 8450, false),
            ("84.5", 8450, false),
            ("1,234", 123_400, false),
            ("1,234.56", 123_456, false),
            ("1,234,56", 123_456, true),
            ("1.234,56", 123_456, true),
            ("1.234.567", 123_456_700, false),
            ("1'234.50", 123_450, false),
            ("12,50", 1250, true),
            (".50", 50, false),
            ("0,50", 50, true),
        ] {
            assert_eq!(
                written_amount(text, 2),
                WrittenAmount::Exactly(minor, comma),
                "{text}"
            );
        }
        assert_eq!(
            written_amount("1.250", 2),
            WrittenAmount::Either("1.25".to_owned(), "1250".to_owned())
        );
        assert_eq!(
            written_amount("1.250", 3),
            WrittenAmount::Exactly(1250, false)
        );
        assert_eq!(written_amount("0,005", 2), WrittenAmount::TooFine);
        for text in [
            "84,500.5.1",
            "12,50,30",
            "12.50.30",
            "12.",
            "1'23",
            "99999999999999999999",
        ] {
            assert_eq!(written_amount(text, 2), WrittenAmount::Unreadable, "{text}");
        }
    }

    proptest::proptest! {
        #[test]
        fn any_marks_can_be_read(text in "[0-9.,']{0,24}", decimals in 0_usize..4) {
            let _ = written_amount(&text, decimals);
        }
    }
}
