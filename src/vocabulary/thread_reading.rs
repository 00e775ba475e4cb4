//! A thread read from a text: where it ends, and what was said of its family.
//!
//! Careful with figures that are no thread: part numbers, dates, counts.

use super::fraction::{Fraction, Writing};
use super::thread::{Thread, ThreadForm, is_sold};
use super::thread_series as series;
use super::thread_series::Series;

/// What is said of a thread's family behind its figures.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Family {
    /// UNC, UNF, UNEF, and the letters of before 1949.
    Unified(Series),
    /// Unified, but of no series: UN, UNS, NS.
    Special,
    /// British, or pipe.
    Other(ThreadForm),
}

/// A thread read in a text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ReadThread {
    /// Which.
    pub thread: Thread,
    /// The family that was said.
    pub said: Option<Family>,
    /// Whether a metric pitch was written.
    pub pitch_said: bool,
    /// The byte at which it ends.
    pub end: usize,
}

impl ReadThread {
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
    let pitch_said = pitch.is_some();
    let pitch = pitch.or_else(|| series::metric_coarse(diameter));
    Some(ReadThread {
        thread: Thread::Metric { diameter, pitch },
        said: None,
        pitch_said,
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
        pitch_said: false,
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
    Some(ReadThread {
        thread,
        said,
        pitch_said: false,
        end,
    })
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
        ("bsw", Family::Other(ThreadForm::Bsw)),
        ("whitworth", Family::Other(ThreadForm::Bsw)),
        ("whit", Family::Other(ThreadForm::Bsw)),
        ("bsf", Family::Other(ThreadForm::Bsf)),
        ("bspp", Family::Other(ThreadForm::Bsp)),
        ("bspt", Family::Other(ThreadForm::Bsp)),
        ("bsp", Family::Other(ThreadForm::Bsp)),
        ("nptf", Family::Other(ThreadForm::Npt)),
        ("npt", Family::Other(ThreadForm::Npt)),
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
