//! The size of a piece of hardware: its thread, its measures, or both.
//!
//! Exact: `1.25` and `1-1/4` are the same. Which sizes exist is not known here.

use std::fmt;

use serde::{Deserialize, Serialize};

use super::fraction::{Fraction, Writing};
use super::thread::Thread;
use super::thread_reading::{ReadThread, blanks, eat, ends, inch_mark, times};

/// What a measure counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum LengthUnit {
    /// Inches.
    Inch,
    /// Millimetres.
    Millimetre,
    /// Not said, and not to be guessed: `5 x 30`.
    Unsaid,
}

/// One measure: a length, a diameter, a width.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct Measure {
    /// How much.
    pub number: Fraction,
    /// Of what.
    pub unit: LengthUnit,
}

/// A size; one of the two is always there.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct Size {
    /// Its thread.
    pub thread: Option<Thread>,
    /// Its measures, in the order written: behind a thread the length first.
    pub measures: Vec<Measure>,
}

/// A size read in a text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReadSize {
    /// Which.
    pub size: Size,
    /// How its thread was written, if it has one.
    pub thread: Option<ReadThread>,
    /// The bytes it was read from, in the text with plain signs.
    pub span: std::ops::Range<usize>,
}

impl ReadSize {
    /// The size in its one form, but with a coarse metric pitch where it was
    /// written.
    #[must_use]
    pub fn as_said(&self) -> String {
        let shown = self.size.to_string();
        match self.thread {
            Some(ReadThread {
                thread:
                    Thread::Metric {
                        diameter,
                        pitch: Some(pitch),
                    },
                pitch_said: true,
                ..
            }) => {
                let bare = format!("M{}", diameter.decimal());
                let rest = shown
                    .strip_prefix(&bare)
                    .filter(|rest| !rest.starts_with('x'));
                rest.map_or(shown.clone(), |rest| {
                    format!("{bare}x{}{rest}", pitch.decimal())
                })
            }
            Some(_) | None => shown,
        }
    }
}

/// The most measures that one size has.
const MOST: usize = 3;

impl Size {
    /// The size in a text with plain signs (see [`super::words::straighten`]):
    /// the first thread, else the first measures that are surely a size.
    #[must_use]
    pub fn find(text: &str) -> Option<ReadSize> {
        let lower = text.to_ascii_lowercase();
        starts(&lower)
            .find_map(|at| threaded(&lower, at))
            .or_else(|| starts(&lower).find_map(|at| plain(&lower, at)))
    }
}

/// The text with points for the decimal commas of metric threads (`M8x1,25`),
/// so that a comma parts words only.
#[must_use]
pub fn with_points(text: &str) -> String {
    let bytes = text.as_bytes();
    // Within a word: whether it begins as a metric thread, and whether its
    // pitch has begun. "M8,4 nut" counts a second item.
    let (mut metric, mut pitch) = (false, false);
    let mut before = ' ';
    let mut plain = String::with_capacity(text.len());
    for (at, c) in text.char_indices() {
        let next = bytes.get(at + 1).is_some_and(u8::is_ascii_digit);
        if before.is_whitespace() {
            metric = matches!(c, 'M' | 'm') && next;
            pitch = false;
        }
        pitch = pitch || matches!(c, 'x' | 'X' | '*');
        let mark = c == ',' && metric && pitch && next && is_pitch(&text[..at]);
        plain.push(if mark { '.' } else { c });
        before = c;
    }
    plain
}

/// Whether the figure at the end is the whole part of a pitch: one digit, as no
/// thread has a coarser one. "M10x60,2 nuts" counts a second item.
fn is_pitch(text: &str) -> bool {
    let digits = text.bytes().rev().take_while(u8::is_ascii_digit).count();
    digits == 1
}

/// Where a size may begin: behind a gap.
fn starts(text: &str) -> impl Iterator<Item = usize> {
    text.char_indices()
        .scan(' ', |before, (at, c)| {
            let gap = before.is_whitespace() || matches!(*before, '(' | ',' | ';');
            *before = c;
            Some((at, c, gap))
        })
        .filter(|(_, c, gap)| *gap && (c.is_ascii_digit() || matches!(c, '#' | 'm' | 'n' | '.')))
        .map(|(at, _, _)| at)
}

/// A thread with the measures behind it.
fn threaded(text: &str, from: usize) -> Option<ReadSize> {
    let read = ReadThread::at(text, from)?;
    let unit = if read.thread.is_metric() {
        LengthUnit::Millimetre
    } else {
        LengthUnit::Inch
    };
    let mut written = Vec::new();
    let mut end = read.end;
    while written.len() < MOST
        && let Some(at) = times(text, end)
        && let Some((one, after)) = measure(text, at)
    {
        written.push(one);
        end = after;
    }
    // "M35" alone is as well the name of something else, and "#2" the second.
    let vague = matches!(
        read.thread,
        Thread::Metric { pitch: None, .. } | Thread::Numbered { tpi: None, .. }
    );
    if vague && written.is_empty() && !is_gauge(text, read) {
        return None;
    }
    let measures = written
        .iter()
        .map(|one| Measure {
            number: one.number,
            unit: one.unit.unwrap_or(match one.writing {
                Writing::Broken | Writing::Odd => LengthUnit::Inch,
                Writing::Whole | Writing::Decimal => unit,
            }),
        })
        .collect();
    Some(ReadSize {
        size: Size {
            thread: Some(read.thread),
            measures,
        },
        thread: Some(read),
        span: from..end,
    })
}

/// Whether a lone number is the gauge of a screw: "#10 machine screw".
fn is_gauge(text: &str, read: ReadThread) -> bool {
    let screw = |word: &str| {
        let word = word.trim_matches(|c: char| !c.is_alphanumeric());
        let word = word.strip_suffix('s').unwrap_or(word);
        word.ends_with("screw") || word.ends_with("tapper")
    };
    matches!(read.thread, Thread::Numbered { tpi: None, .. }) && text.split_whitespace().any(screw)
}

/// Measures without a thread: `1/8 x 1-1/2`, `15 mm`, `7/16`, `5 x 30`.
fn plain(text: &str, from: usize) -> Option<ReadSize> {
    let (first, mut end) = measure(text, from)?;
    let mut written = vec![first];
    while written.len() < MOST
        && let Some(at) = times(text, end)
        && let Some((one, after)) = measure(text, at)
    {
        written.push(one);
        end = after;
    }
    let unsure = |one: &WrittenMeasure| one.writing == Writing::Odd;
    let sure = written.len() > 1
        || written
            .iter()
            .all(|one| one.unit.is_some() || one.writing == Writing::Broken)
        // "0.25": less than one counts nothing, so it measures.
        || text[from..].starts_with("0.");
    if !sure || written.iter().any(unsure) || written.iter().any(|one| one.number.over() == 0) {
        return None;
    }
    let last_said = written.iter().rev().find_map(|one| one.unit);
    let broken = |one: &WrittenMeasure| one.writing == Writing::Broken;
    let all = match last_said {
        Some(unit) => unit,
        None if written.iter().any(broken) => LengthUnit::Inch,
        None => LengthUnit::Unsaid,
    };
    let measures = written
        .iter()
        .map(|one| Measure {
            number: one.number,
            unit: one
                .unit
                .unwrap_or(if broken(one) { LengthUnit::Inch } else { all }),
        })
        .collect();
    Some(ReadSize {
        size: Size {
            thread: None,
            measures,
        },
        thread: None,
        span: from..end,
    })
}

/// A measure as it was written.
struct WrittenMeasure {
    number: Fraction,
    writing: Writing,
    unit: Option<LengthUnit>,
}

fn measure(text: &str, from: usize) -> Option<(WrittenMeasure, usize)> {
    let (number, writing, end) = Fraction::at(text, from)?;
    let (unit, end) = unit(text, end, writing);
    // Nobody divides a millimetre that way.
    let odd =
        unit == Some(LengthUnit::Millimetre) && matches!(writing, Writing::Broken | Writing::Odd);
    (ends(text, end) && !odd).then_some((
        WrittenMeasure {
            number,
            writing,
            unit,
        },
        end,
    ))
}

/// The unit behind a figure. `2 in bracket` counts two things in a bracket:
/// behind a whole number, `in` is a unit only where no further word follows.
fn unit(text: &str, from: usize, writing: Writing) -> (Option<LengthUnit>, usize) {
    if let Some(end) = inch_mark(text, from) {
        return (Some(LengthUnit::Inch), end);
    }
    let at = blanks(text, from);
    if let Some(end) = eat(text, at, "mm").filter(|end| ends(text, *end)) {
        return (Some(LengthUnit::Millimetre), end);
    }
    if let Some(end) = eat(text, at, "in").filter(|end| ends(text, *end)) {
        let rest = text[end..].trim_start();
        let closes = rest.is_empty()
            || rest.starts_with(|c: char| matches!(c, ',' | ';' | ')' | 'x') || c.is_ascii_digit())
            || rest.starts_with("long")
            || rest.starts_with("wide");
        if writing != Writing::Whole || closes {
            return (Some(LengthUnit::Inch), end);
        }
    }
    (None, from)
}

impl Measure {
    fn figure(self) -> String {
        match self.unit {
            LengthUnit::Inch => self.number.to_string(),
            LengthUnit::Millimetre | LengthUnit::Unsaid => self.number.decimal(),
        }
    }

    /// The figure with its unit, unless the figure shows it.
    fn alone(self, figure: &str) -> String {
        match self.unit {
            LengthUnit::Inch => format!("{figure} in"),
            LengthUnit::Millimetre => format!("{figure} mm"),
            LengthUnit::Unsaid => figure.to_owned(),
        }
    }
}

/// The one form in which a size is written: `3/8-16 x 1-1/4`, `M8 x 30`,
/// `1/8 x 1-1/2`, `15 mm`. A coarse metric pitch is left out, as its standard
/// does.
impl fmt::Display for Size {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(thread) = self.thread {
            let usual = if thread.is_metric() {
                LengthUnit::Millimetre
            } else {
                LengthUnit::Inch
            };
            match (thread, self.measures.first()) {
                // A length that could be a pitch: the pitch has to be there.
                (
                    Thread::Metric {
                        diameter,
                        pitch: Some(pitch),
                    },
                    Some(length),
                ) if length.number.value() * 3.0 <= diameter.value() => {
                    write!(f, "M{}x{}", diameter.decimal(), pitch.decimal())?;
                }
                (thread, _) => write!(f, "{thread}")?,
            }
            for one in &self.measures {
                let figure = one.figure();
                let shown =
                    if one.unit == usual && (usual == LengthUnit::Inch || !figure.contains('/')) {
                        figure
                    } else {
                        one.alone(&figure)
                    };
                write!(f, " x {shown}")?;
            }
            return Ok(());
        }
        let alike = self
            .measures
            .windows(2)
            .all(|pair| pair[0].unit == pair[1].unit);
        let figures: Vec<String> = self.measures.iter().map(|one| one.figure()).collect();
        let Some(last) = self.measures.last().filter(|_| alike) else {
            let each = self.measures.iter().zip(&figures);
            let shown: Vec<String> = each.map(|(one, figure)| one.alone(figure)).collect();
            return f.write_str(&shown.join(" x "));
        };
        let joined = figures.join(" x ");
        let evident = last.unit == LengthUnit::Inch && joined.contains('/');
        if evident {
            f.write_str(&joined)
        } else {
            f.write_str(&last.alone(&joined))
        }
    }
}
