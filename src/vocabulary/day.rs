//! A date in full, as entries write it.
//!
//! Days as people say them are read in `day_reading`.

use jiff::civil::Date;

/// Reads an RFC 3339 full-date (`2026-03-14`) and nothing else.
#[must_use]
pub fn read_date(text: &str) -> Option<Date> {
    let text = text.trim();
    let shape = text.len() == 10
        && text.bytes().enumerate().all(|(at, byte)| match at {
            4 | 7 => byte == b'-',
            _ => byte.is_ascii_digit(),
        });
    shape.then(|| text.parse().ok()).flatten()
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn only_full_dates_are_dates() {
        assert_eq!(read_date("2026-03-14"), Some(date(2026, 3, 14)));
        for wrong in ["2026-02-30", "14.3.2026", "2026-3-14", "20260314", ""] {
            assert_eq!(read_date(wrong), None, "{wrong}");
        }
    }
}
