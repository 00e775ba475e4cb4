//! A recorded torque: figure or range, unit, and where it was read.
//!
//! Nothing here offers a figure: it only reads what a person wrote down. What
//! the units are worth stands in the handbook.

use std::fmt;

use super::fraction::Fraction;
use super::torque_stages::{stages, without_stage_number};
use super::torque_unit::TorqueUnit;
use super::words::straighten;

/// A recorded torque; figures in `unit`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Torque {
    /// The figure, or the lower end of a range.
    pub low: Fraction,
    /// The upper end of a range.
    pub high: Option<Fraction>,
    /// The unit, where one was written.
    pub unit: Option<TorqueUnit>,
    /// What is tightened further, as it was written: more stages, an angle.
    pub further: Vec<String>,
    /// Where it was read: book and page; and what else was said.
    pub source: String,
    /// Whether a comma was read as the decimal mark.
    pub comma_as_decimal: bool,
}

/// Why a torque could not be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum TorqueError {
    /// No figure at the start.
    NoFigure,
    /// An unknown unit.
    UnknownUnit(String),
    /// A range whose upper end comes first.
    Backwards(Torque),
}

impl Torque {
    /// Reads `75-90 lbf·ft, shop manual 3-12`.
    ///
    /// # Errors
    /// When there is no figure, the unit is unknown, or a range runs backwards.
    pub fn read(text: &str) -> Result<Torque, TorqueError> {
        let text = straighten(text.trim());
        let (plain, comma_as_decimal) = points(without_stage_number(&text));
        let (low, end) = figure(&plain, 0).ok_or(TorqueError::NoFigure)?;
        let (high, low, end) = match further(&plain, end) {
            Some(Further::Until(high, end)) => (Some(high), low, end),
            Some(Further::Around(by, end)) => {
                let (under, over) = around(low, by).ok_or(TorqueError::NoFigure)?;
                (Some(over), under, end)
            }
            None => (None, low, end),
        };
        let rest = plain[end..].trim_start();
        let (unit, rest) = match TorqueUnit::at_start(rest) {
            Some((unit, rest)) => (Some(unit), rest),
            None => (None, rest),
        };
        let (further, rest) = match unit {
            Some(_) => stages(rest),
            None => (Vec::new(), rest),
        };
        let named = rest.split([',', '(']).next().unwrap_or_default().trim();
        if unit.is_none() && !named.is_empty() {
            return Err(TorqueError::UnknownUnit(named.to_owned()));
        }
        let torque = Torque {
            low,
            high,
            unit,
            further,
            source: source(rest).to_owned(),
            comma_as_decimal,
        };
        if high.is_some_and(|high| high < low) {
            return Err(TorqueError::Backwards(torque));
        }
        Ok(torque)
    }

    /// The figure or range without its unit: `75-90`.
    #[must_use]
    pub fn figures(&self) -> String {
        match self.high {
            Some(high) => format!("{}-{}", self.low.decimal(), high.decimal()),
            None => self.low.decimal(),
        }
    }
}

/// Figures, unit and source.
impl fmt::Display for Torque {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.figures())?;
        if let Some(unit) = self.unit {
            write!(f, " {}", unit.word())?;
        }
        for stage in &self.further {
            write!(f, ", then {stage}")?;
        }
        if !self.source.is_empty() {
            write!(f, ", {}", self.source)?;
        }
        Ok(())
    }
}

/// Commas inside figures: `10,5` is 10.5, which is said; `1,200` is 1200.
fn points(text: &str) -> (String, bool) {
    let mut plain = String::with_capacity(text.len());
    let mut as_decimal = false;
    let bytes = text.as_bytes();
    for (at, c) in text.char_indices() {
        let before = at
            .checked_sub(1)
            .is_some_and(|at| bytes[at].is_ascii_digit());
        let after = bytes[at + c.len_utf8()..]
            .iter()
            .take_while(|b| b.is_ascii_digit())
            .count();
        match (c, before, after) {
            (',', true, 3) => {}
            (',', true, 1..) if !as_decimal || !plain.ends_with('.') => {
                as_decimal = true;
                plain.push('.');
            }
            (c, _, _) => plain.push(c),
        }
        // What stands behind the unit is words, not figures.
        if c.is_alphabetic() {
            plain.push_str(&text[at + c.len_utf8()..]);
            break;
        }
    }
    (plain, as_decimal)
}

/// A figure, above nought.
fn figure(text: &str, from: usize) -> Option<(Fraction, usize)> {
    let (figure, _, end) = Fraction::at(text, from)?;
    (figure.over() > 0).then_some((figure, end))
}

/// What may follow the first figure.
enum Further {
    /// The upper end of a range.
    Until(Fraction, usize),
    /// A tolerance.
    Around(Fraction, usize),
}

fn further(text: &str, from: usize) -> Option<Further> {
    const WORDS: [(&str, bool); 6] = [
        ("+/-", true),
        ("±", true),
        ("-", false),
        ("to ", false),
        ("until ", false),
        ("..", false),
    ];
    let rest = text[from..].trim_start();
    let (after, around) = WORDS
        .iter()
        .find_map(|(word, around)| Some((rest.strip_prefix(word)?, *around)))?;
    let after = after.trim_start_matches([' ', '.']);
    let (figure, end) = figure(text, text.len() - after.len())?;
    Some(if around {
        Further::Around(figure, end)
    } else {
        Further::Until(figure, end)
    })
}

/// `75 ± 5` as its two ends.
fn around(middle: Fraction, by: Fraction) -> Option<(Fraction, Fraction)> {
    let under = middle.under().checked_mul(by.under())?;
    let middle = middle.over().checked_mul(by.under())?;
    let by = by.over().checked_mul(under / by.under())?;
    let low = Fraction::new(middle.checked_sub(by)?, under)?;
    let high = Fraction::new(middle.checked_add(by)?, under)?;
    Some((low, high))
}

/// What was written behind the unit, without the sign or the brackets that
/// part it off.
fn source(rest: &str) -> &str {
    let rest = rest.trim().trim_start_matches([',', ' ']);
    rest.strip_prefix('(')
        .and_then(|rest| rest.strip_suffix(')'))
        .unwrap_or(rest)
        .trim()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn torques_as_manuals_print_them() {
        for (text, shown) in [
            (
                "75–90 lbf·ft, shop manual 3-12",
                "75-90 lbf·ft, shop manual 3-12",
            ),
            ("24 ft-lb", "24 lbf·ft"),
            ("24 ft. lbs.", "24 lbf·ft"),
            ("24lbft", "24 lbf·ft"),
            ("24 pound-feet", "24 lbf·ft"),
            ("24 Foot Pounds (book 3)", "24 lbf·ft, book 3"),
            ("95 in. lbs", "95 lbf·in"),
            ("95 in-lb dry", "95 lbf·in, dry"),
            ("40 oz-in", "40 ozf·in"),
            ("22.5 N·m", "22.5 N·m"),
            ("22,5 Nm", "22.5 N·m"),
            ("22.5 N m, sheet 4", "22.5 N·m, sheet 4"),
            ("22.5 newton metres", "22.5 N·m"),
            ("1,200 lbf in", "1200 lbf·in"),
            ("2 to 3 kgf m", "2-3 kgf·m"),
            ("2.8 - 3.2 mkp", "2.8-3.2 kgf·m"),
            ("3 kg-m", "3 kgf·m"),
            ("35 kg/cm", "35 kgf·cm"),
            ("1.5 daN·m", "1.5 daN·m"),
            ("7½ lb ft", "7.5 lbf·ft"),
            ("75 ± 5 lbf·ft", "70-80 lbf·ft"),
            (
                "75 +/- 5 lbf·ft shop manual 3-12",
                "70-80 lbf·ft, shop manual 3-12",
            ),
            ("45 N·m + 90°", "45 N·m, then 90°"),
            (
                "stage 1: 20 Nm; stage 2: 40 Nm; then 1/4 turn, book 3",
                "20 N·m, then 40 Nm, then 1/4 turn, book 3",
            ),
        ] {
            let torque = Torque::read(text).expect(text);
            assert_eq!(torque.to_string(), shown, "{text}");
            let again = Torque::read(&torque.to_string()).expect(shown);
            assert_eq!(
                (again.low, again.high, again.unit),
                (torque.low, torque.high, torque.unit)
            );
        }
        assert!(Torque::read("22,5 Nm").expect("a torque").comma_as_decimal);
        assert!(
            !Torque::read("1,200 lbf in")
                .expect("a torque")
                .comma_as_decimal
        );
    }

    #[test]
    fn what_is_no_torque() {
        for text in [
            "good and tight",
            "tight",
            "",
            "-5 N·m",
            "0 N·m",
            "about 40 N·m",
        ] {
            assert_eq!(Torque::read(text), Err(TorqueError::NoFigure), "{text}");
        }
        for (text, unit) in [("40 ugga", "ugga"), ("40 lb, book", "lb"), ("40 kg", "kg")] {
            let unknown = TorqueError::UnknownUnit(unit.to_owned());
            assert_eq!(Torque::read(text), Err(unknown), "{text}");
        }
        assert!(matches!(
            Torque::read("90-75 N·m"),
            Err(TorqueError::Backwards(_))
        ));
        assert_eq!(Torque::read("40").expect("a torque").unit, None);
    }

    proptest::proptest! {
        #[test]
        fn any_text_can_be_read(text in "[\\PC0-9a-z,.· -]{0,30}") {
            let _ = Torque::read(&text);
        }

        #[test]
        fn figures_read_back(low in 1_u32..9999, more in 0_u32..9999, unit in 0_usize..7) {
            let torque = Torque {
                low: Fraction::new(low, 10).expect("a figure"),
                high: Fraction::new(low + more, 10),
                unit: Some(TorqueUnit::ALL[unit]),
                further: vec!["90°".to_owned()],
                source: "shop manual 3-12".to_owned(),
                comma_as_decimal: false,
            };
            proptest::prop_assert_eq!(Torque::read(&torque.to_string()), Ok(torque));
        }
    }
}
