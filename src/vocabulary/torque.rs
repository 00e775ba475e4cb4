//! A recorded torque: figure or range, unit, and where it was read.
//!
//! Nothing here offers a figure: it only reads what a person wrote down.

use super::words::{fold, straighten};

/// The unit of a torque.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TorqueUnit {
    /// Pound-force foot.
    PoundFoot,
    /// Pound-force inch.
    PoundInch,
    /// Newton metre.
    NewtonMetre,
    /// Kilogram-force metre.
    KilogramMetre,
}

/// A recorded torque; figures as written, in `unit`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Torque {
    /// The figure, or the lower end of a range.
    pub low: String,
    /// The upper end of a range.
    pub high: Option<String>,
    /// The unit, where one was written.
    pub unit: Option<TorqueUnit>,
    /// Where it was read: book and page.
    pub source: String,
}

/// Why a torque could not be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum TorqueError {
    /// No figure at the start.
    NoFigure,
    /// A unit nobody knows.
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
        let plain = straighten(text.trim());
        let (figure, source) = plain.split_once(',').unwrap_or((&plain, ""));
        let figure = figure.trim();
        let digits_end = figure
            .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | '-' | ' ')))
            .unwrap_or(figure.len());
        let numbers = figure[..digits_end].trim();
        let unit = figure[digits_end..].trim();
        let (low, high) = match numbers.split_once('-') {
            Some((low, high)) => (low.trim(), Some(high.trim())),
            None => match unit.strip_prefix("to ") {
                Some(_) => return Torque::read(&text.replacen(" to ", "-", 1)),
                None => (numbers, None),
            },
        };
        let lowest = thousandths(low).ok_or(TorqueError::NoFigure)?;
        let highest = match high {
            Some(high) => thousandths(high).ok_or(TorqueError::NoFigure)?,
            None => lowest,
        };
        let torque = Torque {
            low: low.to_owned(),
            high: high.map(str::to_owned),
            unit: match unit {
                "" => None,
                unit => {
                    Some(read_unit(unit).ok_or_else(|| TorqueError::UnknownUnit(unit.to_owned()))?)
                }
            },
            source: source.trim().to_owned(),
        };
        if highest < lowest {
            return Err(TorqueError::Backwards(torque));
        }
        Ok(torque)
    }
}

/// A figure in thousandths of its unit, exact.
fn thousandths(figure: &str) -> Option<u64> {
    let (whole, part) = figure.split_once('.').unwrap_or((figure, ""));
    let digits = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
    if whole.is_empty() || whole.len() > 9 || part.len() > 3 || !digits(whole) || !digits(part) {
        return None;
    }
    format!("{whole}{part:0<3}").parse().ok()
}

/// The usual spellings of the four units.
fn read_unit(text: &str) -> Option<TorqueUnit> {
    let bare: String = fold(text).chars().filter(|c| c.is_alphanumeric()).collect();
    Some(match bare.as_str() {
        "lbfft" | "lbft" | "ftlb" | "ftlbf" | "ftlbs" | "lbsft" | "poundfeet" | "footpounds"
        | "poundfoot" => TorqueUnit::PoundFoot,
        "lbfin" | "lbin" | "inlb" | "inlbf" | "inlbs" | "lbsin" | "poundinches" | "inchpounds" => {
            TorqueUnit::PoundInch
        }
        "nm" | "newtonmetres" | "newtonmeters" | "newtonmetre" => TorqueUnit::NewtonMetre,
        "kgfm" | "kgm" | "mkg" | "mkgf" | "kpm" | "mkp" => TorqueUnit::KilogramMetre,
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn torques_as_manuals_print_them() {
        let torque = Torque::read("75–90 lbf·ft, shop manual 3-12").expect("a torque");
        assert_eq!(torque.low, "75");
        assert_eq!(torque.high.as_deref(), Some("90"));
        assert_eq!(torque.unit, Some(TorqueUnit::PoundFoot));
        assert_eq!(torque.source, "shop manual 3-12");
        for (text, unit) in [
            ("24 ft-lb", TorqueUnit::PoundFoot),
            ("95 in. lbs", TorqueUnit::PoundInch),
            ("22.5 N·m", TorqueUnit::NewtonMetre),
            ("2 to 3 kgf m", TorqueUnit::KilogramMetre),
        ] {
            assert_eq!(Torque::read(text).expect(text).unit, Some(unit), "{text}");
        }
    }

    #[test]
    fn what_is_no_torque() {
        assert_eq!(Torque::read("good and tight"), Err(TorqueError::NoFigure));
        assert!(matches!(
            Torque::read("40 ugga"),
            Err(TorqueError::UnknownUnit(_))
        ));
        assert!(matches!(
            Torque::read("90-75 N·m"),
            Err(TorqueError::Backwards(_))
        ));
        assert_eq!(Torque::read("40").expect("a torque").unit, None);
    }
}
