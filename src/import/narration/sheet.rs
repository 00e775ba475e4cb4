//! The sheet of a narration: passages of about two minutes with their words, and under
//! each the lines that are proposed, as plain text that a person ticks in any editor
//! and that is read back.
//!
//! It is written and read here, so that both stay one form; what is made of the ticked
//! lines is in `draft`. docs/narration.md describes the form.

use std::fmt::Write;

use super::cues::Cue;
use super::heard::{Heard, HeardKind, HeardPieces, Narration, Tier, sides_in_words};
use crate::vocabulary::name::Name;
use crate::vocabulary::tick_box::{boxed, is_tick};
use crate::vocabulary::words::{one_slip, shown};

/// What a line of a sheet says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SheetKind {
    /// Something of a part.
    Of(HeardKind),
    /// One part came off before another.
    Order,
}

impl SheetKind {
    /// The word before the colon.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            SheetKind::Of(kind) => kind.word(),
            SheetKind::Order => "first",
        }
    }

    fn read(word: &str) -> Option<SheetKind> {
        let word = word.trim().to_lowercase();
        let mut kinds = HeardKind::ALL
            .into_iter()
            .map(SheetKind::Of)
            .chain([SheetKind::Order]);
        kinds
            .clone()
            .find(|kind| kind.word() == word)
            .or_else(|| kinds.find(|kind| word.len() >= 5 && one_slip(kind.word(), &word)))
    }
}

/// What stands at the top of a sheet.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SheetHead {
    /// The vehicle.
    pub vehicle: Option<String>,
    /// The day.
    pub date: Option<String>,
    /// The clip whose times the lines have.
    pub clip: Option<String>,
    /// The note whose prose it is, if it was written and not said.
    pub note: Option<String>,
    /// The title of that note.
    pub title: Option<String>,
}

/// A line of a sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SheetLine {
    /// Its number in the sheet, from 1; 0 before it is written.
    pub line: u32,
    /// Whether it is ticked.
    pub is_ticked: bool,
    /// Whether it is marked as inferred.
    pub is_marked: bool,
    /// The second of the clip, if it has one.
    pub at: Option<u32>,
    /// What it says.
    pub kind: SheetKind,
    /// The part with its position, as an entry's heading names it.
    pub part: String,
    /// What stands behind the part: facts with their keys, a text with none.
    pub facts: Vec<(String, String)>,
}

/// A sheet as it was read.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct NarrationSheet {
    /// What stands at its top.
    pub head: SheetHead,
    /// Its lines, ticked or not.
    pub lines: Vec<SheetLine>,
    /// The words, by the seconds at which they begin.
    pub words: Vec<(u32, String)>,
    /// What was not understood, with its line; ticked lines first of all.
    pub said: Vec<String>,
    /// Whether a line that is ticked was not understood.
    pub has_unread_tick: bool,
}

/// The length of a passage, in seconds.
const PASSAGE: u32 = 120;

/// The length of a paragraph of words, in seconds.
const PARAGRAPH: u32 = 12;

/// The sheet of a narration. `offset` is the second of the clip at which it begins;
/// `names` are the parts that the journal has.
#[must_use]
pub fn write_sheet(
    narration: &Narration,
    head: &SheetHead,
    offset: u32,
    names: &[String],
) -> String {
    let paragraphs = paragraphs(&narration.cues, offset);
    let lines = lines(narration, offset, names);
    let ticked = lines.iter().filter(|line| line.is_ticked).count();
    let mut out = format!(
        "# What was said: {ticked} of {} lines ticked. Tick [x] what happened, empty [ ] what did not.\n\
         # `~` is inferred: look at it. Lines may be changed, added, moved and deleted.\n\
         # Then: matchmark adopt --from THIS-FILE\n\
         vehicle: {}\ndate: {}\nclip: {}\n",
        lines.len(),
        shown(head.vehicle.as_deref().unwrap_or_default()),
        shown(head.date.as_deref().unwrap_or_default()),
        shown(head.clip.as_deref().unwrap_or_default()),
    );
    let mut rest = &lines[..];
    let mut paragraph = 0;
    while paragraph < paragraphs.len() {
        let start = paragraphs[paragraph].0;
        let last = paragraphs[paragraph..]
            .iter()
            .take_while(|(from, _, _)| *from < start + PASSAGE)
            .count()
            + paragraph;
        let end = paragraphs[last - 1].1;
        let clip = match &head.clip {
            Some(clip) => format!("{} ", shown(clip)),
            None => String::new(),
        };
        let _ = writeln!(out, "\n# {clip}{}-{}", clock(start), clock(end));
        for (from, _, words) in &paragraphs[paragraph..last] {
            let _ = writeln!(out, "> {} {}", clock(*from), shown(words));
        }
        let next = paragraphs.get(last).map_or(u32::MAX, |(from, _, _)| *from);
        let own = rest
            .iter()
            .take_while(|line| line.at.is_none_or(|at| at < next))
            .count();
        for line in &rest[..own] {
            out.push_str(&line_text(line, clock));
            out.push('\n');
        }
        rest = &rest[own..];
        paragraph = last;
    }
    out
}

/// The words of the cues in paragraphs: when each begins and ends, in seconds.
fn paragraphs(cues: &[Cue], offset: u32) -> Vec<(u32, u32, String)> {
    let mut all: Vec<(u32, u32, String)> = Vec::new();
    let ends = cues
        .iter()
        .filter(|cue| cue.text.contains(['.', '?', '!']))
        .count();
    let is_punctuated = ends * 4 >= cues.len();
    for cue in cues {
        let words = without_noise(&cue.text);
        if words.is_empty() {
            continue;
        }
        let (from, until) = (cue.start / 1000 + offset, cue.end.div_ceil(1000) + offset);
        match all.last_mut() {
            // A paragraph ends with a sentence, if there is one soon enough.
            Some((first, end, text))
                if from < *first + PARAGRAPH
                    || from < *first + 2 * PARAGRAPH
                        && !text.ends_with(['.', '?', '!'])
                        && is_punctuated =>
            {
                text.push(' ');
                text.push_str(&words);
                *end = until.max(*end);
            }
            Some(_) | None => all.push((from, until, words)),
        }
    }
    all
}

/// Words without what stands in brackets as a noise.
fn without_noise(text: &str) -> String {
    let mut words = Vec::new();
    let mut closes: Option<char> = None;
    for word in text.split_whitespace() {
        if let Some(close) = closes {
            if word.contains(close) {
                closes = None;
            }
            continue;
        }
        let close = match word.chars().next() {
            Some('[') => ']',
            Some('(') => ')',
            Some(_) | None => {
                words.push(word);
                continue;
            }
        };
        closes = (!word.contains(close)).then_some(close);
    }
    words.join(" ")
}

/// The lines of a narration in the order of their times.
#[must_use]
pub fn lines(narration: &Narration, offset: u32, names: &[String]) -> Vec<SheetLine> {
    let second = |milliseconds: u32| Some(milliseconds / 1000 + offset);
    let mut lines: Vec<SheetLine> = narration
        .heard
        .iter()
        .map(|heard| line_of(heard, second(heard.start), names))
        .collect();
    for order in &narration.orders {
        lines.push(SheetLine {
            line: 0,
            is_ticked: false,
            is_marked: false,
            at: second(order.start),
            kind: SheetKind::Order,
            part: placed(&order.first, &sides_in_words(&order.first_at)),
            facts: vec![(
                "before".to_owned(),
                placed(&order.part, &sides_in_words(&order.at)),
            )],
        });
    }
    for left in &narration.left_out {
        let at = second(left.start);
        let part = placed(&left.part, &sides_in_words(&left.at));
        let is_same = |line: &&mut SheetLine| {
            let near = line
                .at
                .zip(at)
                .is_some_and(|(one, other)| one.abs_diff(other) <= 3);
            near && line.part == part && line.kind == SheetKind::Of(left.kind)
        };
        if let Some(line) = lines.iter_mut().find(is_same) {
            let has_reason = line.facts.iter().any(|(key, _)| key == "left out");
            if !line.is_ticked && !has_reason {
                line.facts
                    .insert(0, ("left out".to_owned(), left.why.to_owned()));
            }
            continue;
        }
        lines.push(SheetLine {
            line: 0,
            is_ticked: false,
            is_marked: false,
            at,
            kind: SheetKind::Of(left.kind),
            part,
            facts: vec![("left out".to_owned(), left.why.to_owned())],
        });
    }
    lines.sort_by_key(|line| line.at);
    lines
}

fn line_of(heard: &Heard, at: Option<u32>, names: &[String]) -> SheetLine {
    let mut facts = Vec::new();
    let text = match heard.kind {
        HeardKind::Stored => heard.place.clone(),
        HeardKind::Broken | HeardKind::Cut => Some(
            heard
                .words
                .trim_end_matches(['.', ',', '!', '?'])
                .to_owned(),
        ),
        HeardKind::Found
        | HeardKind::Needs
        | HeardKind::Treated
        | HeardKind::Caution
        | HeardKind::Lesson => heard.detail.clone(),
        HeardKind::Removed | HeardKind::Undone | HeardKind::Fitted => None,
    };
    if let Some(text) = text {
        facts.push((String::new(), in_one_piece(&text)));
    }
    if !heard.hardware.is_empty() {
        let pieces: Vec<String> = heard.hardware.iter().map(pieces_in_words).collect();
        facts.push(("hardware".to_owned(), pieces.join("; ")));
    }
    if heard.is_new && !names.is_empty() {
        let near: Vec<&str> = near_names(&heard.part, names);
        let near = match near.is_empty() {
            true => String::new(),
            false => format!("near {}", near.join(", ")),
        };
        facts.push(("new".to_owned(), near));
    }
    SheetLine {
        line: 0,
        is_ticked: heard.tier != Tier::Asked,
        is_marked: heard.tier == Tier::Inferred,
        at,
        kind: SheetKind::Of(heard.kind),
        part: placed(&heard.part, &sides_in_words(&heard.at)),
        facts,
    }
}

/// Names of the journal that share a last word with this one, at most three.
fn near_names<'n>(part: &str, names: &'n [String]) -> Vec<&'n str> {
    let last = |name: &str| {
        Name::new(name.rsplit(' ').next().unwrap_or_default())
            .key()
            .to_owned()
    };
    let own = last(part);
    let mut near: Vec<&str> = names
        .iter()
        .filter(|name| last(name) == own)
        .map(String::as_str)
        .collect();
    near.truncate(3);
    near
}

fn placed(part: &str, at: &str) -> String {
    // A word that the name has is not said twice.
    let rest: Vec<&str> = at
        .split(' ')
        .filter(|word| !word.is_empty() && !says_side(part, word))
        .collect();
    match rest.is_empty() {
        true => shown(part),
        false => format!("{}, {}", shown(part), rest.join(" ")),
    }
}

fn says_side(part: &str, word: &str) -> bool {
    let same: &[&str] = match word {
        "upper" => &["upper", "top"],
        "lower" => &["lower", "bottom"],
        "inner" => &["inner", "inside"],
        "outer" => &["outer", "outside"],
        _ => return false,
    };
    part.split(' ').any(|own| same.contains(&own))
}

/// Text that takes the place of one piece of a line.
fn in_one_piece(text: &str) -> String {
    shown(text)
        .replace('|', "/")
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
}

/// "2 nuts (9/16 head), bag 3".
pub(super) fn pieces_in_words(pieces: &HeardPieces) -> String {
    let plural = match (
        pieces.count,
        pieces.what.ends_with('s') || pieces.what.ends_with("sh"),
    ) {
        (1, _) => "",
        (_, true) => "es",
        (_, false) => "s",
    };
    let mut text = format!("{} {}{plural}", pieces.count, pieces.what);
    if let Some(bag) = &pieces.bag {
        let _ = write!(text, ", bag {bag}");
    }
    if let Some(size) = &pieces.size {
        let _ = write!(text, " ({size} wrench)");
    }
    text
}

/// A line as it is written, its time in the given form.
pub(super) fn line_text(line: &SheetLine, stamp: fn(u32) -> String) -> String {
    let mut out = format!("[{}] ", if line.is_ticked { 'x' } else { ' ' });
    if let Some(at) = line.at {
        let _ = write!(out, "{} ", stamp(at));
    }
    let mark = if line.is_marked { "~ " } else { "" };
    let _ = write!(out, "{mark}{}: {}", line.kind.word(), line.part);
    for (key, value) in &line.facts {
        let _ = match (key.as_str(), value.as_str()) {
            ("", value) => write!(out, " | {value}"),
            ("new", "") => write!(out, " | new"),
            ("new", near) => write!(out, " | new, {near}"),
            (key, value) => write!(out, " | {key}: {value}"),
        };
    }
    out
}

/// Seconds as a sheet writes them: `1:02:03`, `0:02:03`.
pub(super) fn clock(seconds: u32) -> String {
    format!(
        "{}:{:02}:{:02}",
        seconds / 3600,
        seconds / 60 % 60,
        seconds % 60
    )
}

/// Reads a time; `#12`, the number of a paragraph that was written, stands in for one.
pub(super) fn read_clock(text: &str) -> Option<u32> {
    if let Some(number) = text.strip_prefix('#') {
        return number.parse().ok().filter(|_| number.len() <= 6);
    }
    let mut total = 0_u32;
    let mut count = 0;
    for piece in text.split(':') {
        let number: u32 = piece.parse().ok().filter(|_| piece.len() <= 4)?;
        total = total.checked_mul(60)?.checked_add(number)?;
        count += 1;
    }
    (2..=3).contains(&count).then_some(total)
}

/// Facts that a line may have behind its part.
const FACTS: [&str; 6] = ["hardware", "to", "before", "left out", "stored", "bag"];

/// Whether a piece of a line is a fact, and no text.
pub(super) fn is_fact(piece: &str) -> bool {
    let key = piece.split(':').next().unwrap_or_default().trim();
    let is_new = piece == "new" || piece.starts_with("new, ");
    is_new || piece.contains(':') && FACTS.contains(&key.to_lowercase().as_str())
}

/// Reads a sheet that a person, or another program, has edited. Reading never fails:
/// what is not understood is said.
#[must_use]
pub fn read_narration_sheet(text: &str) -> NarrationSheet {
    let mut sheet = NarrationSheet::default();
    for (line, number) in text.trim_start_matches('\u{feff}').lines().zip(1_u32..) {
        let own = line.trim();
        if own.is_empty() || own.starts_with('#') {
            continue;
        }
        if let Some((sign, rest)) = boxed(own) {
            let is_ticked = is_tick(sign);
            if is_ticked.is_none() {
                sheet.said.push(format!(
                    "line {number}: is `[{sign}]` ticked or not? It was taken as not ticked"
                ));
            }
            match read_line(rest, number, is_ticked.unwrap_or(false)) {
                Ok(line) => {
                    sheet.said.extend(unknown_keys(&line));
                    sheet.said.extend(says_nothing(&line));
                    sheet.lines.push(line);
                }
                Err(why) => {
                    sheet.has_unread_tick |= is_ticked == Some(true);
                    sheet
                        .said
                        .push(format!("line {number}: {why}: {}", first_words(rest)));
                }
            }
            continue;
        }
        if let Some(words) = own.strip_prefix('>') {
            let words = words.trim();
            let (stamp, rest) = words.split_once(' ').unwrap_or((words, ""));
            match (read_clock(stamp), sheet.words.last_mut()) {
                (Some(at), _) => sheet.words.push((at, rest.trim().to_owned())),
                // A line that an editor broke goes on.
                (None, Some((_, text))) => {
                    text.push(' ');
                    text.push_str(words);
                }
                (None, None) => sheet.words.push((0, words.to_owned())),
            }
            continue;
        }
        let head = own
            .split_once(':')
            .map(|(key, value)| (key.trim().to_lowercase(), value.trim()));
        let value = |value: &str| Some(value.to_owned()).filter(|value| !value.is_empty());
        match head {
            Some((key, text)) if key == "vehicle" => sheet.head.vehicle = value(text),
            Some((key, text)) if key == "date" || key == "day" => sheet.head.date = value(text),
            Some((key, text)) if key == "clip" => sheet.head.clip = value(text),
            Some((key, text)) if key == "note" => sheet.head.note = value(text),
            Some((key, text)) if key == "title" => sheet.head.title = value(text),
            Some(_) | None => sheet.said.push(format!(
                "line {number}: no box `[x]` or `[ ]` before it, so it counts for nothing: {}",
                first_words(own)
            )),
        }
    }
    sheet
}

/// A ticked line that needs a text and has none.
fn says_nothing(line: &SheetLine) -> Option<String> {
    let needs_text = match line.kind {
        SheetKind::Of(
            HeardKind::Found | HeardKind::Treated | HeardKind::Caution | HeardKind::Lesson,
        ) => true,
        SheetKind::Of(
            HeardKind::Removed
            | HeardKind::Undone
            | HeardKind::Fitted
            | HeardKind::Needs
            | HeardKind::Broken
            | HeardKind::Cut
            | HeardKind::Stored,
        )
        | SheetKind::Order => false,
    };
    let has_text = line.facts.iter().any(|(key, _)| key.is_empty());
    (needs_text && line.is_ticked && !has_text).then(|| {
        format!(
            "line {}: `{}: {}` says nothing: write it behind a `|`",
            line.line,
            line.kind.word(),
            line.part
        )
    })
}

/// What looks like a fact under a key that a line does not have.
fn unknown_keys(line: &SheetLine) -> impl Iterator<Item = String> {
    let texts = line.facts.iter().filter(|(key, _)| key.is_empty());
    let keys = texts.filter_map(|(_, text)| text.split_once(':'));
    let keys = keys.filter(|(key, _)| !key.trim().contains(char::is_whitespace));
    keys.map(|(key, _)| {
        format!(
            "line {}: `{}` is no key of a line; its text was kept as it stands. The keys are {}",
            line.line,
            key.trim(),
            FACTS.join(", ")
        )
    })
}

pub(super) fn read_line(
    text: &str,
    number: u32,
    is_ticked: bool,
) -> Result<SheetLine, &'static str> {
    let mut rest = text.trim();
    let mut at = None;
    let mut is_marked = false;
    while let Some((word, behind)) = rest.split_once(char::is_whitespace) {
        if word == "~" {
            is_marked = true;
        } else if let Some(seconds) = read_clock(word) {
            at = Some(seconds);
        } else {
            break;
        }
        rest = behind.trim_start();
    }
    let (kind, rest) = rest
        .split_once(':')
        .ok_or("no `removed:`, `found:` or the like before the part")?;
    let kind = SheetKind::read(kind).ok_or("what is before the colon is no kind of line")?;
    let mut pieces = rest.split('|').map(str::trim);
    let part = pieces.next().unwrap_or_default().to_owned();
    if part.is_empty() {
        return Err("no part is named");
    }
    let facts: Vec<(String, String)> = pieces
        .filter(|piece| !piece.is_empty())
        .map(|piece| {
            if piece == "new" {
                return ("new".to_owned(), String::new());
            }
            if let Some(near) = piece
                .strip_prefix("new, ")
                .filter(|near| near.starts_with("near "))
            {
                return ("new".to_owned(), near.to_owned());
            }
            match piece.split_once(':') {
                Some((key, value)) if FACTS.contains(&key.trim().to_lowercase().as_str()) => {
                    (key.trim().to_lowercase(), value.trim().to_owned())
                }
                Some(_) | None => (String::new(), piece.to_owned()),
            }
        })
        .collect();
    if kind == SheetKind::Order
        && !facts
            .iter()
            .any(|(key, value)| key == "before" && !value.is_empty())
    {
        return Err("an order needs `| before: PART`");
    }
    Ok(SheetLine {
        line: number,
        is_ticked,
        is_marked,
        at,
        kind,
        part,
        facts,
    })
}

fn first_words(text: &str) -> String {
    let words: Vec<&str> = text.split_whitespace().take(6).collect();
    words.join(" ")
}

#[cfg(test)]
mod tests {
    use super::super::cues::read_cues;
    use super::super::hear::{Told, hear};
    use super::*;
    use crate::vocabulary::position::Driven;

    const TALK: &str = "WEBVTT\n\n00:00:01.000 --> 00:00:04.000\nThe grille's off. [clank] Four screws, bag two.\n\n00:00:05.000 --> 00:00:08.000\nThe radiator's cracked. I need a radiator.\n\n00:03:05.000 --> 00:03:08.000\nI'm leaving the bonnet on.\n";

    fn sheet() -> String {
        let cues = read_cues(TALK).unwrap_or_default();
        let narration = hear(cues, &[], Driven::Left, Told::AtWork);
        let head = SheetHead {
            vehicle: Some("wren".to_owned()),
            date: Some("2026-03-14".to_owned()),
            clip: Some("A010".to_owned()),
            ..SheetHead::default()
        };
        write_sheet(&narration, &head, 60, &[])
    }

    #[test]
    fn a_sheet_is_read_back_as_it_was_written() {
        let text = sheet();
        let read = read_narration_sheet(&text);
        assert_eq!(read.said, Vec::<String>::new(), "{text}");
        assert_eq!(read.head.clip.as_deref(), Some("A010"));
        let again: Vec<String> = read
            .lines
            .iter()
            .map(|line| line_text(line, clock))
            .collect();
        let before: Vec<&str> = text.lines().filter(|line| line.starts_with('[')).collect();
        assert_eq!(again, before);
        assert!(
            text.contains("[x] 0:01:01 ~ removed: grille | hardware: 4 screws, bag 2"),
            "{text}"
        );
        assert!(text.contains("left out: denied"), "{text}");
        assert!(!text.contains("clank"), "{text}");
        assert_eq!(text.matches("\n# A010 ").count(), 2, "{text}");
    }

    #[test]
    fn a_line_is_left_out_for_one_reason() {
        let talk =
            "0:05 The axle stays in the truck. I am not pulling the axle. I won't pull the axle.\n";
        let cues = read_cues(talk).unwrap_or_default();
        let narration = hear(cues, &[], Driven::Left, Told::AtWork);
        let text = write_sheet(&narration, &SheetHead::default(), 0, &[]);
        let line = text.lines().find(|line| line.contains("left out"));
        let line = line.unwrap_or_default();
        assert_eq!(line.matches("left out").count(), 1, "{text}");
    }

    #[test]
    fn a_sheet_that_was_edited_badly_says_what_was_not_understood() {
        let text = "\u{feff}# a\nvehicle: wren\r\n- [X] 1:02 removd: lid\n[x] fly: lid\n[?] removed: cap\nstray words\n[x] removed:\n[x] first: pin\n> words\n> 0:01 more\n[x] removed: horn | 2 screws | hadware: 1 clip\n[x] found: rim\n";
        let sheet = read_narration_sheet(text);
        let parts: Vec<(&str, bool)> = sheet
            .lines
            .iter()
            .map(|line| (line.part.as_str(), line.is_ticked))
            .collect();
        assert_eq!(
            parts,
            [("lid", true), ("cap", false), ("horn", true), ("rim", true)]
        );
        assert_eq!(sheet.lines[0].at, Some(62));
        assert!(sheet.has_unread_tick);
        for part in [
            "line 4",
            "line 5",
            "line 6",
            "line 7",
            "line 8",
            "line 11: `hadware`",
            "line 12: `found: rim`",
        ] {
            assert!(
                sheet.said.iter().any(|said| said.starts_with(part)),
                "{part}: {:?}",
                sheet.said
            );
        }
        assert_eq!(sheet.said.len(), 7, "{:?}", sheet.said);
    }
}
