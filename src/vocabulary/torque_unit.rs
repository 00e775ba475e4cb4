//! The units of torque and the ways people write them.
//!
//! What they are worth stands in the handbook.

use serde::{Deserialize, Serialize};

/// The unit of a torque.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum TorqueUnit {
    /// Pound-force foot.
    PoundFoot,
    /// Pound-force inch.
    PoundInch,
    /// Ounce-force inch.
    OunceInch,
    /// Newton metre.
    NewtonMetre,
    /// Decanewton metre.
    DecanewtonMetre,
    /// Kilogram-force metre.
    KilogramMetre,
    /// Kilogram-force centimetre.
    KilogramCentimetre,
}

impl TorqueUnit {
    /// All of them.
    pub const ALL: [TorqueUnit; 7] = [
        TorqueUnit::PoundFoot,
        TorqueUnit::PoundInch,
        TorqueUnit::OunceInch,
        TorqueUnit::NewtonMetre,
        TorqueUnit::DecanewtonMetre,
        TorqueUnit::KilogramMetre,
        TorqueUnit::KilogramCentimetre,
    ];

    /// Its sign, as SI and its guide write it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            TorqueUnit::PoundFoot => "lbf·ft",
            TorqueUnit::PoundInch => "lbf·in",
            TorqueUnit::OunceInch => "ozf·in",
            TorqueUnit::NewtonMetre => "N·m",
            TorqueUnit::DecanewtonMetre => "daN·m",
            TorqueUnit::KilogramMetre => "kgf·m",
            TorqueUnit::KilogramCentimetre => "kgf·cm",
        }
    }

    /// The letters by which people write it, signs between them left out.
    const fn spellings(self) -> &'static [&'static str] {
        match self {
            TorqueUnit::PoundFoot => &[
                "lbfft",
                "lbft",
                "lbsft",
                "lbsfft",
                "ftlb",
                "ftlbf",
                "ftlbs",
                "ftlbsf",
                "poundfeet",
                "poundsfeet",
                "poundfoot",
                "poundforcefeet",
                "poundforcefoot",
                "footpound",
                "footpounds",
                "footpoundforce",
                "footlb",
                "footlbs",
                "ftpounds",
                "ftpound",
                "lbfoot",
                "lbsfoot",
                "lbfeet",
                "lbsfeet",
            ],
            TorqueUnit::PoundInch => &[
                "lbfin",
                "lbin",
                "lbsin",
                "lbsfin",
                "inlb",
                "inlbf",
                "inlbs",
                "inlbsf",
                "poundinch",
                "poundinches",
                "poundsinch",
                "poundforceinch",
                "inchpound",
                "inchpounds",
                "inchpoundforce",
                "inchlb",
                "inchlbs",
                "lbinch",
                "lbinches",
                "lbsinch",
                "inpounds",
            ],
            TorqueUnit::OunceInch => &[
                "ozfin",
                "ozin",
                "inoz",
                "inozf",
                "ounceinch",
                "ounceinches",
                "inchounce",
                "inchounces",
                "inchoz",
                "ozinch",
            ],
            TorqueUnit::NewtonMetre => &[
                "nm",
                "newtonmetre",
                "newtonmetres",
                "newtonmeter",
                "newtonmeters",
                "mn",
            ],
            TorqueUnit::DecanewtonMetre => &["danm", "mdan"],
            TorqueUnit::KilogramMetre => &[
                "kgfm",
                "kgm",
                "mkg",
                "mkgf",
                "kpm",
                "mkp",
                "kgsm",
                "kilogrammetre",
                "kilogrammetres",
                "kilogrammeter",
                "kilogrammeters",
                "kilopondmetre",
                "kilopondmeter",
                "metrekilogram",
                "meterkilogram",
                "kgmetre",
                "kgmeter",
            ],
            TorqueUnit::KilogramCentimetre => &["kgfcm", "kgcm", "cmkg", "cmkgf", "kpcm", "cmkp"],
        }
    }

    /// The unit at the start of a text, and what follows it.
    #[must_use]
    pub fn at_start(text: &str) -> Option<(TorqueUnit, &str)> {
        let mut letters = String::new();
        let mut found = None;
        let mut chars = text.char_indices().peekable();
        while let Some((at, c)) = chars.next() {
            if c.is_alphabetic() {
                letters.extend(c.to_lowercase());
            } else if !joins(c) {
                break;
            }
            if letters.len() > LONGEST {
                break;
            }
            let end = at + c.len_utf8();
            let goes_on = chars.peek().is_some_and(|(_, next)| next.is_alphanumeric());
            if goes_on || !c.is_alphabetic() {
                continue;
            }
            let unit = TorqueUnit::ALL
                .into_iter()
                .find(|unit| unit.spellings().contains(&letters.as_str()));
            if let Some(unit) = unit {
                found = Some((unit, end));
            }
        }
        let (unit, end) = found?;
        Some((unit, text[end..].trim_start_matches('.')))
    }
}

/// Letters of the longest spelling.
const LONGEST: usize = 16;

/// Signs that stand between the two words of a unit.
fn joins(c: char) -> bool {
    c.is_whitespace() || matches!(c, '.' | '-' | '·' | '⋅' | '•' | '∙' | '*' | '/' | '\'')
}
