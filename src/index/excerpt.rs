//! Cuts from a record the few lines that show most of what was asked, and marks
//! the words in them.
//!
//! Works on the entry's own text, which the index does not store. A text that
//! has changed since is cut as well as it can be; nothing here panics.

use super::matches::{Match, matches};
use super::terms::RequiredTerm;

/// About how many characters an excerpt has.
const LENGTH: usize = 240;

/// What is shown of a record.
#[derive(Debug, Default, PartialEq, Eq)]
pub(super) struct Excerpt {
    pub text: String,
    /// From 1.
    pub line: u32,
    /// From and to, in characters of `text`.
    pub marks: Vec<(usize, usize)>,
}

/// The excerpt of the record that stands at `span` in `file`.
pub(super) fn of_file(file: &str, span: (u32, u32), units: &[RequiredTerm]) -> Excerpt {
    let start = boundary(file, span.0);
    let end = boundary(file, span.1).max(start);
    let chars: Vec<char> = file[start..end].chars().collect();
    let matches = matches(&file[start..end], units);
    let window = window(&chars, &matches);
    let newlines = chars[..window.0].iter().filter(|&&c| c == '\n').count();
    let line = 1 + newlines + file[..start].matches('\n').count();
    let (text, places) = in_one_line(&chars, window);
    let mut marks: Vec<(usize, usize)> = Vec::new();
    for found in matches {
        if found.start < window.0 || found.end > window.1 {
            continue;
        }
        let (from, to) = (places[found.start - window.0], places[found.end - window.0]);
        match marks.last_mut() {
            Some(last) if from < last.1 => last.1 = last.1.max(to),
            _ if from < to => marks.push((from, to)),
            _ => {}
        }
    }
    Excerpt {
        text,
        line: u32::try_from(line).unwrap_or(u32::MAX),
        marks,
    }
}

/// The nearest place before or at `at` where a character begins.
fn boundary(file: &str, at: u32) -> usize {
    let at = file.len().min(at as usize);
    let begins = |at: &usize| file.is_char_boundary(*at);
    (0..=at).rev().find(begins).unwrap_or(0)
}

/// The stretch to show: the one with most of the different things asked for,
/// then with most matches, then the first; whole words, from the beginning of a
/// line where that is near.
fn window(chars: &[char], matches: &[Match]) -> (usize, usize) {
    if chars.len() <= LENGTH {
        return (0, chars.len());
    }
    let best = best_run(matches).unwrap_or(Match {
        start: 0,
        end: 0,
        asked: 0,
    });
    let spare = LENGTH.saturating_sub(best.end - best.start);
    let earliest = best.start.saturating_sub(spare / 2);
    let start = line_start(chars, best.start, best.start.saturating_sub(spare))
        .unwrap_or_else(|| word_start(chars, earliest, best.start));
    let end = (start + LENGTH).max(best.end).min(chars.len());
    (start, word_end(chars, end, best.end))
}

/// From where to where the best run of matches goes.
fn best_run(matches: &[Match]) -> Option<Match> {
    let mut best: Option<((usize, usize), Match)> = None;
    for (at, first) in matches.iter().enumerate() {
        let mut kinds: Vec<usize> = Vec::new();
        let mut run = *first;
        let mut count = 0;
        for found in &matches[at..] {
            if found.start >= first.start + LENGTH {
                break;
            }
            if found.end > first.start + LENGTH {
                continue;
            }
            count += 1;
            if !kinds.contains(&found.asked) {
                kinds.push(found.asked);
            }
            run.end = run.end.max(found.end);
        }
        let worth = (kinds.len(), count);
        if best.is_none_or(|(most, _)| worth > most) {
            best = Some((worth, run));
        }
    }
    // One word longer than an excerpt is shown from its beginning.
    let (_, mut run) = best?;
    run.end = run.end.min(run.start + LENGTH);
    Some(run)
}

/// The last beginning of a line between `earliest` and `at`.
fn line_start(chars: &[char], at: usize, earliest: usize) -> Option<usize> {
    let begins = |&at: &usize| at == 0 || chars[at - 1] == '\n';
    // The first in reach, so that as much as possible stands before the match.
    (earliest..=at).find(begins)
}

fn word_start(chars: &[char], earliest: usize, at: usize) -> usize {
    let begins = |&at: &usize| at == 0 || chars[at - 1].is_whitespace();
    (earliest..at).find(begins).unwrap_or(at)
}

fn word_end(chars: &[char], end: usize, at_least: usize) -> usize {
    if end == chars.len() {
        return end;
    }
    let ends = |&end: &usize| chars[end].is_whitespace();
    (at_least..=end).rev().find(ends).unwrap_or(end)
}

/// The stretch as one line of plain text, and where each of its characters, and
/// its end, went. Items of a list are set apart by a dot, their bullets and the
/// signs of headings go.
fn in_one_line(chars: &[char], (start, end): (usize, usize)) -> (String, Vec<usize>) {
    let mut text = String::new();
    let mut length = 0;
    let mut places = Vec::with_capacity(end - start + 1);
    // What is to be written before the next visible character.
    let mut gap = WordGap::None;
    let mut at = start;
    while at < end {
        if at == 0 || chars[at - 1] == '\n' {
            let signs = line_signs(&chars[at..end]);
            let after_heading = chars[line_before(chars, at)..].starts_with(&['#']);
            if signs > 0 || after_heading {
                gap = WordGap::Item;
            }
            places.resize(places.len() + signs, length);
            at += signs;
            if at >= end {
                break;
            }
        }
        let c = chars[at];
        if c == '\n' {
            // A second end of line is a new paragraph.
            gap = if gap < WordGap::Line {
                WordGap::Line
            } else {
                WordGap::Item
            };
        } else if c.is_whitespace() {
            gap = gap.max(WordGap::Space);
        } else if is_visible(c) {
            if length > 0 {
                text.push_str(gap.text());
                length += gap.text().chars().count();
            }
            gap = WordGap::None;
            places.push(length);
            text.push(c);
            length += 1;
            at += 1;
            continue;
        }
        places.push(length);
        at += 1;
    }
    places.resize(end - start + 1, length);
    (text, places)
}

/// Where the line before the one at `at` begins.
fn line_before(chars: &[char], at: usize) -> usize {
    let before = &chars[..at.saturating_sub(1)];
    before
        .iter()
        .rposition(|&c| c == '\n')
        .map_or(0, |end| end + 1)
}

/// What lies between two words, by weight.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum WordGap {
    None,
    Space,
    Line,
    Item,
}

impl WordGap {
    fn text(self) -> &'static str {
        match self {
            Self::None => "",
            Self::Space | Self::Line => " ",
            Self::Item => " · ",
        }
    }
}

/// How many characters at the start of a line only shape it: `- `, `## `.
fn line_signs(line: &[char]) -> usize {
    let indent = line.iter().take_while(|&&c| c == ' ' || c == '\t').count();
    let sign = &line[indent..];
    let hashes = sign.iter().take_while(|&&c| c == '#').count();
    let signs = match sign.first() {
        Some('-' | '*' | '+' | '•' | '–') => 1,
        _ => hashes,
    };
    let ends = sign
        .get(signs)
        .is_some_and(|c| c.is_whitespace() && *c != '\n');
    if signs > 0 && ends { indent + signs } else { 0 }
}

/// Whether a character may be shown: not those that steer the terminal or turn
/// the direction of writing.
fn is_visible(c: char) -> bool {
    !c.is_control()
        && !matches!(c, '\u{200B}'..='\u{200F}' | '\u{2028}'..='\u{202E}'
            | '\u{2060}'..='\u{206F}' | '\u{FEFF}')
}
