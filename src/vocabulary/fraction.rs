//! Exact numbers of sizes: 7/16, 1-1/4, 0.190, never rounded.
//!
//! Knows no unit, and is no number for sums of money or hours.

use std::cmp::Ordering;
use std::fmt;

use serde::{Deserialize, Serialize};

/// A number that is not negative, in lowest terms.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Fraction {
    over: u32,
    under: u32,
}

/// How a number was written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Writing {
    /// `8`
    Whole,
    /// `1.25`, `.5`
    Decimal,
    /// `7/16`, `1-1/4`, `1 1/4`: halves down to sixty-fourths
    Broken,
    /// `3/12`: a fraction that no rule shows
    Odd,
}

impl Fraction {
    /// `over / under`; `None` for nothing under the line.
    #[must_use]
    pub const fn new(over: u32, under: u32) -> Option<Fraction> {
        if under == 0 {
            return None;
        }
        let common = greatest_common(over, under);
        Some(Fraction {
            over: over / common,
            under: under / common,
        })
    }

    /// A whole number.
    #[must_use]
    pub const fn whole(number: u32) -> Fraction {
        Fraction {
            over: number,
            under: 1,
        }
    }

    /// From thousandths: 1250 is 1.25.
    #[must_use]
    pub const fn thousandths(number: u32) -> Fraction {
        let common = greatest_common(number, 1000);
        Fraction {
            over: number / common,
            under: 1000 / common,
        }
    }

    /// The number above the line.
    #[must_use]
    pub const fn over(self) -> u32 {
        self.over
    }

    /// The number under the line.
    #[must_use]
    pub const fn under(self) -> u32 {
        self.under
    }

    /// Whether the rule of a workshop is divided that way: halves down to
    /// sixty-fourths.
    #[must_use]
    pub const fn is_on_a_rule(self) -> bool {
        self.under.is_power_of_two() && self.under <= 64
    }

    /// The nearest floating number, for physics; never for comparing.
    #[must_use]
    pub fn value(self) -> f64 {
        f64::from(self.over) / f64::from(self.under)
    }

    /// The number at byte `from` of a text in plain signs, how it was written,
    /// and where it ends: the longest that can be read there.
    #[must_use]
    pub fn at(text: &str, from: usize) -> Option<(Fraction, Writing, usize)> {
        let (first, end) = digits(text, from);
        let Some(first) = first else {
            return decimals(text, from, 0);
        };
        if let Some((broken, writing, end)) = broken(text, end, first) {
            return Some((broken, writing, end));
        }
        for gap in ["-", " "] {
            let Some(after) = text.get(end..).and_then(|rest| rest.strip_prefix(gap)) else {
                continue;
            };
            let after = text.len() - after.trim_start_matches(' ').len();
            let (over, at) = digits(text, after);
            // 1-1/4 and 1 1/4 are mixed numbers; 1-5/4 is none.
            if let Some((part, writing, end)) = over.and_then(|over| broken(text, at, over))
                && part.over < part.under
                && let Some(over) = first
                    .checked_mul(part.under)
                    .and_then(|whole| whole.checked_add(part.over))
                && let Some(mixed) = Fraction::new(over, part.under)
            {
                return Some((mixed, writing, end));
            }
        }
        decimals(text, end, first).or(Some((Fraction::whole(first), Writing::Whole, end)))
    }

    /// The number that a text is, from its first sign to its last.
    #[must_use]
    pub fn read(text: &str) -> Option<Fraction> {
        let (number, _, end) = Fraction::at(text, 0)?;
        (end == text.len()).then_some(number)
    }

    /// As decimals, if they come to an end.
    fn as_decimal(self) -> Option<String> {
        let mut rest = u64::from(self.over % self.under);
        let mut text = (self.over / self.under).to_string();
        for place in 0..12 {
            if rest == 0 {
                return Some(text);
            }
            if place == 0 {
                text.push('.');
            }
            rest *= 10;
            text.push_str(&(rest / u64::from(self.under)).to_string());
            rest %= u64::from(self.under);
        }
        (rest == 0).then_some(text)
    }

    /// As metric sizes are written: decimals, if they come to an end.
    #[must_use]
    pub fn decimal(self) -> String {
        self.as_decimal().unwrap_or_else(|| self.mixed())
    }

    /// `7/16`, `1-1/4`.
    fn mixed(self) -> String {
        let (whole, over) = (self.over / self.under, self.over % self.under);
        match (whole, over) {
            (whole, 0) => whole.to_string(),
            (0, over) => format!("{over}/{}", self.under),
            (whole, over) => format!("{whole}-{over}/{}", self.under),
        }
    }
}

/// As inch sizes are written: fractions that a rule shows, else decimals.
impl fmt::Display for Fraction {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.is_on_a_rule() {
            f.write_str(&self.mixed())
        } else {
            f.write_str(&self.decimal())
        }
    }
}

impl PartialOrd for Fraction {
    fn partial_cmp(&self, other: &Fraction) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Fraction {
    fn cmp(&self, other: &Fraction) -> Ordering {
        let cross = |a: u32, b: u32| u64::from(a) * u64::from(b);
        cross(self.over, other.under).cmp(&cross(other.over, self.under))
    }
}

const fn greatest_common(a: u32, b: u32) -> u32 {
    let (mut a, mut b) = (a, b);
    while b != 0 {
        (a, b) = (b, a % b);
    }
    if a == 0 { 1 } else { a }
}

/// Up to five digits at `from`, and where they end. More than five are no size.
fn digits(text: &str, from: usize) -> (Option<u32>, usize) {
    let length = text.as_bytes().get(from..).map_or(0, |rest| {
        rest.iter().take_while(|b| b.is_ascii_digit()).count()
    });
    let number = (1..=5)
        .contains(&length)
        .then(|| text.get(from..from + length)?.parse().ok())
        .flatten();
    (number, from + length)
}

/// `/16` behind a number.
fn broken(text: &str, from: usize, over: u32) -> Option<(Fraction, Writing, usize)> {
    text.get(from..)?.strip_prefix('/')?;
    let (under, end) = digits(text, from + 1);
    let under = under?;
    let writing = if over < under && under <= 64 && under.is_power_of_two() {
        Writing::Broken
    } else {
        Writing::Odd
    };
    Some((Fraction::new(over, under)?, writing, end))
}

/// `.25` behind a whole number.
fn decimals(text: &str, from: usize, whole: u32) -> Option<(Fraction, Writing, usize)> {
    text.get(from..)?.strip_prefix('.')?;
    let (_, end) = digits(text, from + 1);
    let places = text.get(from + 1..end)?;
    let scale = 10_u32.checked_pow(
        u32::try_from(places.len())
            .ok()
            .filter(|n| (1..=6).contains(n))?,
    )?;
    let over = whole
        .checked_mul(scale)?
        .checked_add(places.parse().ok()?)?;
    Some((Fraction::new(over, scale)?, Writing::Decimal, end))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_as_sizes_are_written() {
        for (text, number, shown) in [
            ("7/16", (7, 16), "7/16"),
            ("6/16", (3, 8), "3/8"),
            ("1-1/4", (5, 4), "1-1/4"),
            ("1 1/4", (5, 4), "1-1/4"),
            ("0.4375", (7, 16), "7/16"),
            (".25", (1, 4), "1/4"),
            ("0.19", (19, 100), "0.19"),
            ("7/61", (7, 61), "7/61"),
            ("30", (30, 1), "30"),
        ] {
            let read = Fraction::read(text).expect(text);
            assert_eq!((read.over(), read.under()), number, "{text}");
            assert_eq!(read.to_string(), shown);
        }
        for none in [
            "",
            "x",
            "1/0",
            "1-5/4",
            "1-8",
            "123456",
            "1.2345678",
            "1.",
            "7/16-20",
        ] {
            assert_eq!(Fraction::read(none), None, "{none}");
        }
        assert_eq!(
            Fraction::at("3/8-16", 0),
            Some((Fraction { over: 3, under: 8 }, Writing::Broken, 3))
        );
        assert_eq!(
            Fraction::at("2-4-1/2", 2),
            Some((Fraction { over: 9, under: 2 }, Writing::Broken, 7))
        );
    }

    proptest::proptest! {
        #[test]
        fn what_is_shown_reads_back(over in 0_u32..5000, under in 1_u32..300) {
            let number = Fraction::new(over, under).expect("a number");
            let back = Fraction::read(&number.to_string());
            // Decimals that go on past six places are too fine to be written.
            let fine = number.as_decimal().is_some_and(|text| {
                text.split_once('.').is_some_and(|(_, places)| places.len() > 6)
            }) && !number.is_on_a_rule();
            if !fine {
                proptest::prop_assert_eq!(back, Some(number));
            }
        }

        #[test]
        fn order_is_that_of_the_numbers(a in 0_u32..9999, b in 1_u32..99, c in 0_u32..9999, d in 1_u32..99) {
            let (one, two) = (Fraction::new(a, b).expect("one"), Fraction::new(c, d).expect("two"));
            proptest::prop_assert_eq!(one < two, one.value() < two.value());
        }
    }
}
