//! Captions and timed notes read into cues: WebVTT, SRT, SBV, and plain text with times
//! at the beginnings of lines.
//!
//! Words are not looked at here; what stands in a file beside its cues (notes,
//! styles, numbers) is passed over.

use std::fmt;

use crate::import::encoding::EncodedText;

/// What was said from one time to another.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cue {
    /// When it begins, in milliseconds.
    pub start: u32,
    /// When it ends, in milliseconds; never before its start.
    pub end: u32,
    /// Its words in one line, without markup.
    pub text: String,
}

/// Why a text gives no cues.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoCues {
    /// There is nothing in it.
    Empty,
    /// No line of it has a time.
    NoTimes,
    /// It has times and no words.
    NoWords,
    /// It is longer than any narration.
    TooLong,
}

impl fmt::Display for NoCues {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            NoCues::Empty => "there is nothing in it",
            NoCues::NoTimes => "no line of it has a time",
            NoCues::NoWords => "it has times and no words",
            NoCues::TooLong => "it is longer than a day of talk",
        })
    }
}

/// The longest text that is read, in bytes: a day of fast talk with its times.
pub const LONGEST: usize = 8 << 20;

/// The bytes of captions as text: UTF-8, UTF-16 or code page 1252; what is damaged is shown.
#[must_use]
pub fn caption_text(bytes: &[u8]) -> String {
    let encoded = EncodedText::read(bytes).ok();
    encoded
        .and_then(|encoded| encoded.text(&encoded.bytes))
        .unwrap_or_else(|| String::from_utf8_lossy(bytes).into_owned())
}

/// Reads the cues of a text, in the order of their times.
///
/// # Errors
/// When it has none. Single lines that cannot be understood are passed over.
pub fn read_cues(text: &str) -> Result<Vec<Cue>, NoCues> {
    let text = text.trim_start_matches('\u{feff}');
    if text.trim().is_empty() {
        return Err(NoCues::Empty);
    }
    if text.len() > LONGEST {
        return Err(NoCues::TooLong);
    }
    let text = text.replace("\r\n", "\n").replace('\r', "\n");
    let lines: Vec<&str> = text.lines().collect();
    let timed = lines
        .iter()
        .any(|line| line.contains("-->") || two_times(line).is_some());
    let mut cues = match timed {
        true => caption_cues(&lines),
        false => dictated_cues(&lines),
    };
    if cues.is_empty() {
        return Err(match timed {
            true => NoCues::NoWords,
            false => NoCues::NoTimes,
        });
    }
    cues.sort_by_key(|cue| cue.start);
    without_repeats(&mut cues);
    if cues.iter().all(|cue| cue.text.is_empty()) {
        return Err(NoCues::NoWords);
    }
    Ok(cues)
}

/// The cues of WebVTT and SRT: a line of two times, and text up to an empty line.
fn caption_cues(lines: &[&str]) -> Vec<Cue> {
    let mut cues = Vec::new();
    let mut at = 0;
    while at < lines.len() {
        let line = lines[at];
        at += 1;
        let Some((start, end)) = two_times(line) else {
            continue;
        };
        let mut said: Vec<String> = Vec::new();
        while let Some(next) = lines.get(at) {
            if next.trim().is_empty() || two_times(next).is_some() {
                break;
            }
            // A number alone before a time is the next cue's, its empty line lost.
            let is_number = next.trim().bytes().all(|byte| byte.is_ascii_digit());
            if is_number
                && lines
                    .get(at + 1)
                    .is_some_and(|line| two_times(line).is_some())
            {
                break;
            }
            let words = without_markup(next);
            if !words.is_empty() {
                said.push(words);
            }
            at += 1;
        }
        cues.push(Cue {
            start,
            end: end.max(start),
            text: said.join("\n"),
        });
    }
    cues
}

/// The cues of plain text: each line that begins with a time begins one, which lasts
/// until the next.
fn dictated_cues(lines: &[&str]) -> Vec<Cue> {
    let mut cues: Vec<Cue> = Vec::new();
    for line in lines {
        let own = line.trim();
        let (stamp, rest) = leading_stamp(own);
        match (time(stamp), cues.last_mut()) {
            (Some(start), _) => cues.push(Cue {
                start,
                end: start,
                text: without_markup(rest),
            }),
            (None, Some(cue)) if !own.is_empty() => {
                cue.text.push('\n');
                cue.text.push_str(&without_markup(own));
            }
            (None, _) => {}
        }
    }
    for at in 0..cues.len() {
        let next = cues
            .get(at + 1)
            .map_or(cues[at].start + 5000, |next| next.start);
        cues[at].end = next.max(cues[at].start);
    }
    cues
}

/// The time that a line begins with, in brackets or not, and what follows it.
fn leading_stamp(line: &str) -> (&str, &str) {
    let open = line.trim_start_matches(['[', '(', '-', '*', ' ']);
    let end = open
        .find(|c: char| !c.is_ascii_digit() && !matches!(c, ':' | '.' | ','))
        .unwrap_or(open.len());
    let (stamp, rest) = open.split_at(end);
    let rest = rest.trim_start_matches([']', ')', '-', '–', ' ', '\t']);
    (stamp.trim_end_matches([':', '.', ',']), rest)
}

/// The two times of a cue: `0:01.000 --> 0:02.500`, or `0:00:01.000,0:00:02.500` alone on
/// its line, as SBV has them. An end that cannot be read is where the cue begins.
fn two_times(line: &str) -> Option<(u32, u32)> {
    let Some((start, rest)) = line.split_once("-->") else {
        let (start, end) = line.trim().split_once(',')?;
        let is_in_full = |stamp: &str| stamp.contains('.') && stamp.matches(':').count() == 2;
        return (is_in_full(start) && is_in_full(end)).then_some((time(start)?, time(end)?));
    };
    let start = time(start.trim())?;
    let end = rest.split_whitespace().next().and_then(time);
    Some((start, end.unwrap_or(start)))
}

/// The numbers of lines that have the arrow of a cue and no time to begin at: the words
/// below them belong to no cue.
#[must_use]
pub fn lines_without_time(text: &str) -> Vec<usize> {
    let lines = text.lines().zip(1..);
    let is_lost = |line: &str| line.contains("-->") && two_times(line).is_none();
    lines
        .filter(|(line, _)| is_lost(line))
        .map(|(_, number)| number)
        .collect()
}

/// `HH:MM:SS.mmm`, `MM:SS,mmm`, `MM:SS`, in milliseconds. Hours may have any length.
fn time(stamp: &str) -> Option<u32> {
    if !stamp.contains(':') {
        return None;
    }
    let mut whole = 0_u32;
    let mut pieces = stamp.split(':').peekable();
    let mut count = 0;
    while let Some(piece) = pieces.next() {
        count += 1;
        let last = pieces.peek().is_none();
        let (digits, thousandths) = match piece.split_once(['.', ',']) {
            Some((digits, part)) if last => (digits, thousandths(part)?),
            Some(_) => return None,
            None => (piece, 0),
        };
        let number: u32 = digits.parse().ok()?;
        if count > 1 && number > 59 {
            return None;
        }
        whole = whole.checked_mul(60)?.checked_add(number)?;
        if last {
            return (2..=3)
                .contains(&count)
                .then(|| whole.checked_mul(1000)?.checked_add(thousandths))?;
        }
    }
    None
}

fn thousandths(part: &str) -> Option<u32> {
    if part.is_empty() || !part.bytes().all(|byte| byte.is_ascii_digit()) {
        return None;
    }
    let three: String = part.chars().chain("00".chars()).take(3).collect();
    three.parse().ok()
}

/// A line without tags, entities, signs of music and who speaks.
fn without_markup(line: &str) -> String {
    let mut plain = String::with_capacity(line.len());
    let mut in_tag = false;
    for c in line.chars() {
        match c {
            '<' => in_tag = true,
            '>' if in_tag => in_tag = false,
            '♪' | '♫' => {}
            c if !in_tag => plain.push(c),
            _ => {}
        }
    }
    // A tag that never ends was no tag.
    if in_tag {
        line.clone_into(&mut plain);
    }
    for (entity, sign) in [
        ("&lt;", "<"),
        ("&gt;", ">"),
        ("&nbsp;", " "),
        ("&lrm;", ""),
        ("&rlm;", ""),
        ("&quot;", "\""),
        ("&#39;", "'"),
        ("&amp;", "&"),
    ] {
        plain = plain.replace(entity, sign);
    }
    let own = plain.trim().trim_start_matches(">>").trim_start();
    own.strip_prefix("- ").unwrap_or(own).to_owned()
}

/// Rolling captions show the last line of the cue before once more: it is taken out.
fn without_repeats(cues: &mut [Cue]) {
    let mut before = String::new();
    for cue in cues {
        let lines: Vec<&str> = cue.text.lines().collect();
        let last = lines.last().map(|line| (*line).to_owned());
        let is_repeat = |line: &str| line == before && line.split_whitespace().count() > 2;
        let kept: Vec<&str> = match lines.first() {
            Some(first) if is_repeat(first) => lines[1..].to_vec(),
            Some(_) | None => lines,
        };
        cue.text = kept.join(" ");
        if let Some(last) = last.filter(|last| !last.trim().is_empty()) {
            before = last;
        }
    }
}

/// The time of a cue as captions write it: `00:01:02.003`.
#[must_use]
pub fn stamp(milliseconds: u32) -> String {
    let seconds = milliseconds / 1000;
    format!(
        "{:02}:{:02}:{:02}.{:03}",
        seconds / 3600,
        seconds / 60 % 60,
        seconds % 60,
        milliseconds % 1000
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(text: &str) -> Vec<(u32, String)> {
        let cues = read_cues(text).unwrap_or_default();
        cues.into_iter().map(|cue| (cue.start, cue.text)).collect()
    }

    #[test]
    fn captions_of_each_kind_are_read() {
        let cases: [(&str, &[(u32, &str)]); 8] = [
            (
                "WEBVTT\n\n00:01.500 --> 00:03.000 align:start\n<v Ada>the <i>hood</i>\nis off\n",
                &[(1500, "the hood is off")],
            ),
            (
                "1\r\n00:00:01,500 --> 00:00:03,000\r\none &amp; two\r\n\r\n2\r\n00:00:04,000 --> 00:00:05,000\r\nthree\r\n",
                &[(1500, "one & two"), (4000, "three")],
            ),
            // The empty line between two cues is lost.
            (
                "1\n00:00:01,000 --> 00:00:03,000\none\n2\n00:00:04,000 --> 00:00:05,000\ntwo\n",
                &[(1000, "one"), (4000, "two")],
            ),
            (
                "0:05 first\n1:02:03 second\nand more\n",
                &[(5000, "first"), (3_723_000, "second and more")],
            ),
            ("[00:07] in brackets", &[(7000, "in brackets")]),
            // Out of order, and an end before its start.
            (
                "00:09.000 --> 00:01.000\nlate\n\n00:02.000 --> 00:03.000\nearly\n",
                &[(2000, "early"), (9000, "late")],
            ),
            // Rolling captions.
            (
                "00:01.000 --> 00:02.000\nthe hood is off\n\n00:02.000 --> 00:03.000\nthe hood is off\nand the grille\n",
                &[(1000, "the hood is off"), (2000, "and the grille")],
            ),
            (
                "\u{feff}00:01.000 --> 00:02.000\n>> he < she\n",
                &[(1000, "he < she")],
            ),
        ];
        for (text, expected) in cases {
            let expected: Vec<(u32, String)> = expected
                .iter()
                .map(|(at, said)| (*at, (*said).to_owned()))
                .collect();
            assert_eq!(said(text), expected, "{text}");
        }
    }

    #[test]
    fn what_holds_no_cues_says_why() {
        for (text, why) in [
            ("", NoCues::Empty),
            (" \n\n", NoCues::Empty),
            ("just words\nand more\n", NoCues::NoTimes),
            ("WEBVTT\n\n00:01.000 --> 00:02.000\n\n", NoCues::NoWords),
            ("a --> b\nwords\n", NoCues::NoWords),
            ("99:99 --> 5\nwords", NoCues::NoWords),
        ] {
            assert_eq!(read_cues(text), Err(why), "{text}");
        }
        assert_eq!(read_cues(&"a".repeat(LONGEST + 1)), Err(NoCues::TooLong));
    }

    #[test]
    fn a_stamp_is_read_back() {
        assert_eq!(stamp(3_723_004), "01:02:03.004");
        assert_eq!(time("01:02:03.004"), Some(3_723_004));
        assert_eq!(time("4294967295:00"), None);
    }
}
