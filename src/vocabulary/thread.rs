//! A thread as it is named: `7/16-20`, `#10-32`, `M8x1.25`, `3/8 BSF`, `2 BA`.
//!
//! One value for all spellings of the same thread. What it can carry is not
//! known here, nor whether a standard knows it.

use std::fmt;

use serde::{Deserialize, Serialize};

use super::fraction::{Fraction, Writing};
use super::thread_series as series;
use super::thread_series::Series;

/// A thread.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Thread {
    /// A numbered inch size, with its threads to the inch where they are said.
    Numbered {
        /// 0 to 12 in the standard.
        number: u32,
        /// Threads to the inch.
        tpi: Option<Fraction>,
    },
    /// An inch size.
    Inch {
        /// Inches.
        diameter: Fraction,
        /// Threads to the inch.
        tpi: Fraction,
    },
    /// A metric size.
    Metric {
        /// Millimetres.
        diameter: Fraction,
        /// Millimetres; the coarse one where none was written.
        pitch: Option<Fraction>,
    },
    /// A British or pipe size, named by its form.
    Formed {
        /// Inches; of pipe, its nominal bore.
        size: Fraction,
        /// Threads to the inch, where they are not those of its series.
        tpi: Option<Fraction>,
        /// The form.
        form: Form,
    },
    /// A size of the British Association, by its number.
    Association(u32),
}

/// Forms that have to be said, because the same figures mean another thread.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Form {
    /// Whitworth.
    Bsw,
    /// British Standard Fine.
    Bsf,
    /// British pipe.
    Bsp,
    /// American taper pipe.
    Npt,
}

impl Form {
    /// Its letters.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Form::Bsw => "BSW",
            Form::Bsf => "BSF",
            Form::Bsp => "BSP",
            Form::Npt => "NPT",
        }
    }

    /// The threads to the inch that its series gives a size.
    #[must_use]
    pub fn tpi(self, size: Fraction) -> Option<Fraction> {
        match self {
            Form::Bsw => series::whitworth(size),
            Form::Bsf => series::british_fine(size),
            Form::Bsp => series::british_pipe(size),
            Form::Npt => series::taper_pipe(size),
        }
    }
}

/// What is said of a thread's family behind its figures.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Family {
    /// UNC, UNF, UNEF, and the letters of before 1949.
    Unified(Series),
    /// Unified, but of no series: UN, UNS, NS.
    Special,
    /// British, or pipe.
    Other(Form),
}

/// A thread read in a text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ReadThread {
    /// Which.
    pub thread: Thread,
    /// The family that was said.
    pub said: Option<Family>,
    /// The byte at which it ends.
    pub end: usize,
}

impl fmt::Display for Thread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Thread::Numbered { number, tpi: None } => write!(f, "#{number}"),
            Thread::Numbered {
                number,
                tpi: Some(tpi),
            } => write!(f, "#{number}-{tpi}"),
            Thread::Inch { diameter, tpi } => {
                let broken = diameter.is_on_a_rule() && diameter.under() > 1;
                let mark = if broken || is_sold(*self) { "" } else { "\"" };
                write!(f, "{diameter}{mark}-{tpi}")
            }
            Thread::Metric { diameter, pitch } => {
                write!(f, "M{}", diameter.decimal())?;
                match pitch {
                    Some(pitch) if series::metric_coarse(*diameter) != Some(*pitch) => {
                        write!(f, "x{}", pitch.decimal())
                    }
                    Some(_) | None => Ok(()),
                }
            }
            Thread::Formed { size, tpi, form } => match tpi {
                Some(tpi) => write!(f, "{size}-{tpi} {}", form.word()),
                None => write!(f, "{size} {}", form.word()),
            },
            Thread::Association(number) => write!(f, "{number} BA"),
        }
    }
}

impl Thread {
    /// Whether lengths beside it are millimetres.
    #[must_use]
    pub const fn is_metric(self) -> bool {
        matches!(self, Thread::Metric { .. })
    }

    /// The series of the unified or metric standard that has it, in words;
    /// `None` for a special one and for what is neither.
    #[must_use]
    pub fn series(self) -> Option<&'static str> {
        match self {
            Thread::Numbered { number, tpi } => Series::ALL
                .into_iter()
                .find(|one| tpi.is_some() && series::numbered(number, *one) == tpi)
                .map(Series::word),
            Thread::Inch { diameter, tpi } => Series::ALL
                .into_iter()
                .find(|one| series::inch(diameter, *one) == Some(tpi))
                .map(Series::word),
            Thread::Metric { diameter, pitch } => {
                if pitch.is_some() && series::metric_coarse(diameter) == pitch {
                    Some("metric coarse")
                } else if series::metric_fine(diameter).any(|fine| Some(fine) == pitch) {
                    Some("metric fine")
                } else {
                    None
                }
            }
            Thread::Formed {
                tpi: None, form, ..
            } => Some(form.word()),
            Thread::Formed { tpi: Some(_), .. } => None,
            Thread::Association(_) => Some("BA"),
        }
    }

    /// The thread that begins at byte `from` of a text in plain signs and small
    /// letters, without what may follow it (a length).
    #[must_use]
    pub fn at(text: &str, from: usize) -> Option<ReadThread> {
        metric(text, from)
            .or_else(|| association(text, from))
            .or_else(|| inch(text, from))
    }
}

/// `m8`, `m8x1.25`, `m10-1.5`: the pitch is what is smaller than a third of
/// the diameter; a larger figure is a length, and left alone.
fn metric(text: &str, from: usize) -> Option<ReadThread> {
    let mut at = eat(text, from, "m")?;
    if text[at..].starts_with(' ') {
        at += 1;
    }
    let (diameter, writing, mut end) = Fraction::at(text, at)?;
    // "M8 3/4": the fraction is of something else.
    let plain = matches!(writing, Writing::Whole | Writing::Decimal);
    if !plain || diameter.over() == 0 || diameter > Fraction::whole(300) {
        return None;
    }
    let mut pitch = None;
    let third = |number: Fraction| number.value() * 3.0 <= diameter.value();
    let gap = times(text, end).or_else(|| eat(text, end, "-"));
    if let Some(gap) = gap
        && let Some((number, Writing::Whole | Writing::Decimal, after)) = Fraction::at(text, gap)
        && number.over() > 0
        && third(number)
    {
        let after = eat(text, blanks(text, after), "mm").unwrap_or(tolerance(text, after));
        let inches = inch_mark(text, after).is_some() || eat(text, after, " in").is_some();
        if ends(text, after) && !inches {
            pitch = Some(number);
            end = after;
        }
    }
    if !ends(text, end) {
        return None;
    }
    let pitch = pitch.or_else(|| series::metric_coarse(diameter));
    Some(ReadThread {
        thread: Thread::Metric { diameter, pitch },
        said: None,
        end,
    })
}

/// Past a class of fit: `-6g` says nothing about what to buy.
fn tolerance(text: &str, from: usize) -> usize {
    let digit = eat(text, from, "-").and_then(|at| Fraction::at(text, at));
    match digit {
        Some((_, Writing::Whole, at))
            if text[at..].starts_with(['e', 'f', 'g', 'h']) && ends(text, at + 1) =>
        {
            at + 1
        }
        Some(_) | None => from,
    }
}

/// `2 ba`.
fn association(text: &str, from: usize) -> Option<ReadThread> {
    let (number, writing, end) = Fraction::at(text, from)?;
    if writing != Writing::Whole || number > Fraction::whole(16) {
        return None;
    }
    let end = eat(text, blanks(text, end), "ba").filter(|end| ends(text, *end))?;
    Some(ReadThread {
        thread: Thread::Association(number.over()),
        said: None,
        end,
    })
}

/// `7/16-20 unf`, `1-8`, `#10-32`, `10-32`, `3/8 unc`, `1/8-27 npt`.
fn inch(text: &str, from: usize) -> Option<ReadThread> {
    let hash = ["#", "no. ", "no."]
        .iter()
        .find_map(|mark| eat(text, from, mark));
    let (size, mut writing, end) = Fraction::at(text, hash.unwrap_or(from))?;
    let marked = inch_mark(text, end);
    let (tpi, end) = match threads(text, marked.unwrap_or(end), writing) {
        Some((tpi, end)) => (Some(tpi), end),
        None => (None, marked.unwrap_or(end)),
    };
    if marked.is_some() && writing == Writing::Whole {
        // Inches, then, and no numbered size.
        writing = Writing::Decimal;
    }
    let (said, end) = match family(text, end) {
        Some((said, end)) => (Some(said), end),
        None => (None, end),
    };
    // "1/4 UNC-20" says it the other way round.
    let (tpi, end) = match (tpi, said) {
        (None, Some(_)) => match threads(text, end, Writing::Whole) {
            Some((tpi, end)) => (Some(tpi), end),
            None => (None, end),
        },
        (tpi, _) => (tpi, end),
    };
    let end = fit(text, end);
    if !ends(text, end) {
        return None;
    }
    let thread = match said {
        Some(Family::Other(form)) => {
            let tpi = tpi.filter(|tpi| form.tpi(size) != Some(*tpi));
            let known = writing == Writing::Broken || form.tpi(size).is_some();
            (hash.is_none() && known).then_some(Thread::Formed { size, tpi, form })?
        }
        Some(Family::Unified(of)) => unified(size, writing, hash.is_some(), tpi, Some(of))?,
        Some(Family::Special) => unified(size, writing, hash.is_some(), Some(tpi?), None)?,
        None => {
            let sure = marked.is_some();
            let thread = unified(size, writing, hash.is_some(), tpi, None)?;
            (sure || likely(thread, writing, hash.is_some())).then_some(thread)?
        }
    };
    Some(ReadThread { thread, said, end })
}

/// The thread of a unified series.
fn unified(
    size: Fraction,
    writing: Writing,
    hash: bool,
    tpi: Option<Fraction>,
    of: Option<Series>,
) -> Option<Thread> {
    let number = (writing == Writing::Whole)
        .then_some(size.over())
        .filter(|number| hash || is_numbered(*number, tpi, of));
    if let Some(number) = number {
        let tpi = tpi.or_else(|| of.and_then(|of| series::numbered(number, of)));
        return (number <= 30 && (tpi.is_some() || hash))
            .then_some(Thread::Numbered { number, tpi });
    }
    if hash || size.over() == 0 || size > Fraction::whole(6) {
        return None;
    }
    let tpi = tpi.or_else(|| of.and_then(|of| series::inch(size, of)))?;
    Some(Thread::Inch {
        diameter: size,
        tpi,
    })
}

/// Whether a whole number is a numbered size rather than inches.
fn is_numbered(number: u32, tpi: Option<Fraction>, of: Option<Series>) -> bool {
    let known = of.is_some_and(|of| series::numbered(number, of).is_some());
    match tpi {
        Some(tpi) => number <= 12 && fits_number(number, tpi),
        None => known && of.is_some_and(|of| series::inch(Fraction::whole(number), of).is_none()),
    }
}

/// Whether so many threads suit a numbered size: in the standard, diameter
/// (0.060 in and 0.013 in a number) times threads lies between 4.4 and 6.9.
fn fits_number(number: u32, tpi: Fraction) -> bool {
    let turns = (0.060 + 0.013 * f64::from(number)) * tpi.value();
    (4.0..=7.0).contains(&turns)
}

/// Whether figures without any mark are a thread, and not a code, a date or a
/// number of something.
fn likely(thread: Thread, writing: Writing, hash: bool) -> bool {
    match thread {
        Thread::Numbered { number, tpi } => {
            hash || tpi.is_some_and(|tpi| tpi.under() == 1 && fits_number(number, tpi))
        }
        Thread::Inch { .. } => match writing {
            Writing::Broken => true,
            Writing::Odd => false,
            Writing::Whole | Writing::Decimal => is_sold(thread),
        },
        Thread::Metric { .. } | Thread::Formed { .. } | Thread::Association(_) => true,
    }
}

/// Whether the bare figures are known for a thread: of a series, or 1-14, which
/// is sold everywhere though it is in none since 1949 (common practice, no
/// source).
fn is_sold(thread: Thread) -> bool {
    let old_fine = Thread::Inch {
        diameter: Fraction::whole(1),
        tpi: Fraction::whole(14),
    };
    thread.series().is_some() || thread == old_fine
}

/// `-20`, with blanks round the dash only behind a fraction.
fn threads(text: &str, from: usize, writing: Writing) -> Option<(Fraction, usize)> {
    let at = if writing == Writing::Broken {
        let dash = eat(text, blanks(text, from), "-")?;
        blanks(text, dash)
    } else {
        eat(text, from, "-")?
    };
    let (tpi, _, end) = Fraction::at(text, at)?;
    if tpi < Fraction::whole(3) || tpi > Fraction::whole(99) {
        return None;
    }
    let counted = ["tpi", "t.p.i."]
        .iter()
        .find_map(|word| eat(text, blanks(text, end), word));
    Some((tpi, counted.unwrap_or(end)))
}

/// The letters of a family, and where they end.
fn family(text: &str, from: usize) -> Option<(Family, usize)> {
    // The longer before the shorter that begins it.
    const FAMILIES: [(&str, Family); 18] = [
        ("unef", Family::Unified(Series::Unef)),
        ("unc", Family::Unified(Series::Unc)),
        ("unf", Family::Unified(Series::Unf)),
        ("uns", Family::Special),
        ("un", Family::Special),
        ("nef", Family::Unified(Series::Unef)),
        ("nc", Family::Unified(Series::Unc)),
        ("nf", Family::Unified(Series::Unf)),
        ("ns", Family::Special),
        ("bsw", Family::Other(Form::Bsw)),
        ("whitworth", Family::Other(Form::Bsw)),
        ("whit", Family::Other(Form::Bsw)),
        ("bsf", Family::Other(Form::Bsf)),
        ("bspp", Family::Other(Form::Bsp)),
        ("bspt", Family::Other(Form::Bsp)),
        ("bsp", Family::Other(Form::Bsp)),
        ("nptf", Family::Other(Form::Npt)),
        ("npt", Family::Other(Form::Npt)),
    ];
    let at = blanks(text, from);
    FAMILIES.iter().find_map(|(letters, family)| {
        let end = eat(text, at, letters)?;
        let over = text[end..].starts_with(|c: char| c.is_alphanumeric()) && !ends(text, end);
        (!over).then_some((*family, end))
    })
}

/// Past a class of fit: `-2a`, ` 2b`.
fn fit(text: &str, from: usize) -> usize {
    let rest = &text[from..];
    let Some(class) = rest.strip_prefix(['-', ' ']).and_then(|rest| rest.get(..2)) else {
        return from;
    };
    let known = ["1a", "1b", "2a", "2b", "3a", "3b"].contains(&class);
    if known && ends(text, from + 3) {
        from + 3
    } else {
        from
    }
}

/// Past an inch mark behind a figure.
pub(super) fn inch_mark(text: &str, from: usize) -> Option<usize> {
    ["\"", "''", " inches", " inch", " in.", "inch", "in."]
        .iter()
        .find_map(|mark| eat(text, from, mark))
}

/// Past the sign between two measures, blanks included.
pub(super) fn times(text: &str, from: usize) -> Option<usize> {
    let at = blanks(text, from);
    let end = eat(text, at, "x").or_else(|| eat(text, at, "*"))?;
    Some(blanks(text, end))
}

pub(super) fn blanks(text: &str, from: usize) -> usize {
    text.len() - text[from..].trim_start_matches([' ', '\t']).len()
}

pub(super) fn eat(text: &str, from: usize, word: &str) -> Option<usize> {
    text.get(from..)?
        .starts_with(word)
        .then_some(from + word.len())
}

/// Whether a size may end at this byte: what follows is a gap, or the sign
/// before a further measure.
pub(super) fn ends(text: &str, at: usize) -> bool {
    let Some(rest) = text.get(at..) else {
        return false;
    };
    let mut chars = rest.chars();
    match chars.next() {
        None => true,
        Some(c) if c.is_whitespace() => true,
        Some(',' | ';' | ')' | '(' | '"') => true,
        Some('.' | ':') => chars.next().is_none_or(char::is_whitespace),
        Some('x' | '*') => chars
            .next()
            .is_some_and(|c| c.is_ascii_digit() || c == '.' || c == ' '),
        Some(_) => false,
    }
}
