//! Dated needs as a calendar file (RFC 5545): a day each, told apart by what is
//! needed where, so that a calendar knows them again.

use jiff::Timestamp;

use super::export::{Document, Exporter};
use super::needs::{NeedsView, what, where_and_since};
use super::text::shown;
use crate::reports::needs::OpenNeed;

/// Stands in every calendar, so that one is only ever written over one.
const MADE_BY: &str = "PRODID:-//Matchmark//Needs//EN";

/// Octets of a line at most, without its end (RFC 5545, 3.1).
const LONGEST: usize = 75;

/// The form for a calendar.
#[derive(Clone, Debug)]
pub struct Calendar {
    /// The journal's name.
    pub name: String,
    /// When it is made.
    pub now: Timestamp,
}

impl Exporter<NeedsView<'_>> for Calendar {
    fn export(&self, shown: &NeedsView<'_>) -> Document {
        Document::marked(calendar(shown.all, &self.name, self.now), MADE_BY)
    }
}

/// What has a day, with the journal's name and the time of making.
fn calendar(all: &[OpenNeed], name: &str, now: Timestamp) -> String {
    let mut lines = vec![
        "BEGIN:VCALENDAR".to_owned(),
        "VERSION:2.0".to_owned(),
        MADE_BY.to_owned(),
    ];
    let stamp = now.strftime("%Y%m%dT%H%M%SZ").to_string();
    let mut seen: Vec<u64> = Vec::new();
    for open in all {
        let Some(by) = open.by else { continue };
        let mark = mark(open);
        // The same words twice at one place are two events.
        let before = seen.iter().filter(|own| **own == mark).count();
        seen.push(mark);
        let again = if before > 0 {
            format!("-{}", before + 1)
        } else {
            String::new()
        };
        lines.extend([
            "BEGIN:VEVENT".to_owned(),
            format!("UID:{mark:016x}{again}@matchmark"),
            format!("DTSTAMP:{stamp}"),
            format!("DTSTART;VALUE=DATE:{}", by.strftime("%Y%m%d")),
            format!("SUMMARY:{}", escaped(&what(open))),
            format!(
                "DESCRIPTION:{}",
                escaped(&format!("{name}: {}", where_and_since(open)))
            ),
            // It takes up no time of that day.
            "TRANSP:TRANSPARENT".to_owned(),
            "END:VEVENT".to_owned(),
        ]);
    }
    lines.push("END:VCALENDAR".to_owned());
    lines.iter().map(|line| folded(line)).collect()
}

/// A number for what is needed where; the same whenever it is computed, also
/// when the day of it was moved.
fn mark(open: &OpenNeed) -> u64 {
    let place = open.place.as_ref().map(ToString::to_string);
    let texts = [
        open.vehicle.clone().unwrap_or_default(),
        place.unwrap_or_default(),
        open.kind.word().to_owned(),
        open.need.clone(),
    ];
    // FNV-1a, 64 bits, as published by Fowler, Noll and Vo (constants from memory).
    let bytes = texts.iter().flat_map(|text| text.bytes().chain([0x1f]));
    bytes.fold(0xcbf2_9ce4_8422_2325, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
    })
}

/// A text with the characters marked that mean something there (RFC 5545,
/// 3.3.11).
fn escaped(text: &str) -> String {
    let mut out = String::new();
    for c in shown(text).chars() {
        match c {
            '\\' => out.push_str("\\\\"),
            ';' => out.push_str("\\;"),
            ',' => out.push_str("\\,"),
            '\n' => out.push_str("\\n"),
            c => out.push(c),
        }
    }
    out
}

/// A line with its end, parted where it is longer than may be, never within a
/// character.
fn folded(line: &str) -> String {
    let mut out = String::new();
    let mut used = 0;
    for c in line.chars() {
        if used + c.len_utf8() > LONGEST {
            out.push_str("\r\n ");
            used = 1;
        }
        out.push(c);
        used += c.len_utf8();
    }
    out.push_str("\r\n");
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_lines_are_parted_between_characters() {
        let line = format!("SUMMARY:{}", "ä€𝄞".repeat(40));
        let parted = folded(&line);
        for line in parted.split_terminator("\r\n") {
            assert!(line.len() <= LONGEST, "{} octets", line.len());
        }
        assert_eq!(parted.replace("\r\n ", ""), format!("{line}\r\n"));
        assert_eq!(folded(&"x".repeat(75)), format!("{}\r\n", "x".repeat(75)));
    }

    #[test]
    fn signs_that_mean_something_are_marked() {
        assert_eq!(escaped("a;b, c\\d\ne\u{7}"), "a\\;b\\, c\\\\d e");
    }
}
