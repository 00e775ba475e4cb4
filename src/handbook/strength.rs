//! How much a bolt of a grade or class may be loaded: proof stress by size.
//!
//! Inch grades after SAE J429, metric classes after ISO 898-1; figures for
//! bolts, screws and studs. Outside the sizes of the standard there is no
//! figure, and none is guessed; nor is there one for nuts and stainless steel.

use crate::vocabulary::fraction::Fraction;
use crate::vocabulary::grade::Grade;

/// What a standard asks of a bolt.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Strength {
    /// The stress it must take without lasting stretch: psi of inch grades,
    /// MPa of metric classes.
    pub proof: u32,
    /// The least stress at which it may break, in the same unit.
    pub tensile: u32,
    /// The sizes for which that holds, in inches or millimetres: from, to.
    pub from: Fraction,
    /// The largest of those sizes.
    pub to: Fraction,
    /// Whether the first of them belongs to the range below: "over 3/4 in".
    pub over: bool,
    /// The standard.
    pub standard: &'static str,
}

/// Why there is no figure.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NoStrength {
    /// No grade or class of bolts has this name in the standard.
    Unknown,
    /// An inch grade on a metric thread or the other way round.
    WrongSystem,
    /// The standard does not speak of this size: it goes from, to.
    OutOfRange(Fraction, Fraction),
}

/// Name; then, for each range of sizes: over, up to and including (sixteenths
/// of an inch), proof and tensile stress in thousands of psi.
type Inch = (&'static str, &'static [(u32, u32, u32, u32)]);

/// SAE J429, sizes 1/4 to 1-1/2 in, of 5.2 and 8.2 to 1 in. What holds for long bolts
/// of grade 2 is in [`counts_as`].
const INCH: [Inch; 6] = [
    ("1", &[(4, 24, 33, 60)]),
    ("2", &[(4, 12, 55, 74), (12, 24, 33, 60)]),
    ("5", &[(4, 16, 85, 120), (16, 24, 74, 105)]),
    ("5.2", &[(4, 16, 85, 120)]),
    ("8", &[(4, 24, 120, 150)]),
    ("8.2", &[(4, 16, 120, 150)]),
];

/// Name; then, for each range of sizes: from, to (tenths of a millimetre),
/// proof and tensile stress in MPa.
type Metric = (&'static str, &'static [(u32, u32, u32, u32)]);

/// ISO 898-1, M1.6 to M39; 9.8 to M16. Class 8.8 is stronger above M16.
const METRIC: [Metric; 9] = [
    ("4.6", &[(16, 390, 225, 400)]),
    ("4.8", &[(16, 390, 310, 420)]),
    ("5.6", &[(16, 390, 280, 500)]),
    ("5.8", &[(16, 390, 380, 520)]),
    ("6.8", &[(16, 390, 440, 600)]),
    ("8.8", &[(16, 160, 580, 800), (160, 390, 600, 830)]),
    ("9.8", &[(16, 160, 650, 900)]),
    ("10.9", &[(16, 390, 830, 1040)]),
    ("12.9", &[(16, 390, 970, 1220)]),
];

/// The longest bolt for which grade 2 holds, in inches: its requirements for sizes 1/4
/// to 3/4 in apply to bolts of 6 in and shorter, and to studs of all lengths (SAE J429,
/// note to the table of mechanical properties, in a published summary, opened).
const LONGEST_GRADE_2: u32 = 6;

/// The grade by which a longer bolt has to be reckoned; `None` where its own holds.
/// The length is in inches.
#[must_use]
pub fn counts_as(grade: &Grade, length: Fraction, is_stud: bool) -> Option<Grade> {
    let long = length > Fraction::whole(LONGEST_GRADE_2) && !is_stud;
    (long && *grade == Grade::Grade("2".to_owned())).then(|| Grade::Grade("1".to_owned()))
}

/// The names of the grades of which there are figures.
pub fn grades() -> impl Iterator<Item = &'static str> {
    INCH.iter().map(|(name, _)| *name)
}

/// The names of the classes of which there are figures.
pub fn classes() -> impl Iterator<Item = &'static str> {
    METRIC.iter().map(|(name, _)| *name)
}

/// The strength of a bolt of this grade or class and diameter: inches, or
/// millimetres if `metric`.
///
/// # Errors
/// When the standard has no figure.
pub fn strength(grade: &Grade, diameter: Fraction, metric: bool) -> Result<Strength, NoStrength> {
    let (name, inch) = match grade {
        Grade::Grade(name) => (name, true),
        Grade::Class(name) => (name, false),
    };
    let (rows, under, times, standard) = if inch {
        let row = INCH.iter().find(|(known, _)| known == name);
        (row.map(|(_, rows)| *rows), 16, 1000, "SAE J429")
    } else {
        let row = METRIC.iter().find(|(known, _)| known == name);
        (row.map(|(_, rows)| *rows), 10, 1, "ISO 898-1")
    };
    let rows = rows.ok_or(NoStrength::Unknown)?;
    if inch == metric {
        return Err(NoStrength::WrongSystem);
    }
    let size = |parts: u32| Fraction::new(parts, under).unwrap_or(Fraction::whole(0));
    let (first, last) = (rows.first(), rows.last());
    let least = size(first.map_or(0, |(from, ..)| *from));
    let most = size(last.map_or(0, |(_, to, ..)| *to));
    // The first row that reaches so far: its lower end belongs to the row below.
    rows.iter()
        .find(|(_, to, ..)| least <= diameter && diameter <= size(*to))
        .map(|(from, to, proof, tensile)| Strength {
            proof: proof * times,
            tensile: tensile * times,
            from: size(*from),
            to: size(*to),
            over: size(*from) > least,
            standard,
        })
        .ok_or(NoStrength::OutOfRange(least, most))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn proof(grade: &str, sixteenths: u32) -> Result<u32, NoStrength> {
        let size = Fraction::new(sixteenths, 16).expect("a size");
        strength(&Grade::Grade(grade.into()), size, false).map(|found| found.proof)
    }

    fn class(class: &str, size: u32) -> Result<u32, NoStrength> {
        let size = Fraction::whole(size);
        strength(&Grade::Class(class.into()), size, true).map(|found| found.proof)
    }

    #[test]
    fn inch_grades_with_their_breaks() {
        // SAE J429, summary table of mechanical properties after it (opened):
        // 1/4 thru 3/4 and over 3/4 thru 1-1/2; 1/4 thru 1 and over 1 thru
        // 1-1/2. The grade chart of checks: 55, 85, 120 ksi.
        for (grade, sixteenths, psi) in [
            ("1", 4, 33_000),
            ("1", 24, 33_000),
            ("2", 4, 55_000),
            ("2", 12, 55_000),
            ("2", 13, 33_000),
            ("2", 14, 33_000),
            ("2", 24, 33_000),
            ("5", 4, 85_000),
            ("5", 16, 85_000),
            ("5", 18, 74_000),
            ("5", 24, 74_000),
            ("8", 4, 120_000),
            ("8", 24, 120_000),
            // The same standard, from memory for the stress; sizes to 1 in
            // (another summary of the standard, opened).
            ("5.2", 16, 85_000),
            ("8.2", 16, 120_000),
        ] {
            assert_eq!(proof(grade, sixteenths), Ok(psi), "{grade} {sixteenths}/16");
        }
        let range = |from, to| {
            let size = |sixteenths| Fraction::new(sixteenths, 16).expect("a size");
            Err(NoStrength::OutOfRange(size(from), size(to)))
        };
        assert_eq!(proof("5", 3), range(4, 24));
        assert_eq!(proof("8", 26), range(4, 24));
        assert_eq!(proof("8.2", 17), range(4, 16));
        assert_eq!(proof("7", 8), Err(NoStrength::Unknown));
        let tensile = |grade: &str, sixteenths| {
            let size = Fraction::new(sixteenths, 16).expect("a size");
            strength(&Grade::Grade(grade.into()), size, false).map(|found| found.tensile)
        };
        assert_eq!(tensile("2", 8), Ok(74_000));
        assert_eq!(tensile("5", 8), Ok(120_000));
        assert_eq!(tensile("5", 20), Ok(105_000));
        assert_eq!(tensile("8", 8), Ok(150_000));
    }

    #[test]
    fn metric_classes_with_their_break() {
        // EN ISO 898-1, table of mechanical properties (two reprints, opened);
        // 8.8: 580 up to and including M16, 600 above.
        for (name, size, mpa) in [
            ("4.6", 8, 225),
            ("4.8", 8, 310),
            ("5.6", 8, 280),
            ("5.8", 8, 380),
            ("6.8", 8, 440),
            ("8.8", 8, 580),
            ("8.8", 16, 580),
            ("8.8", 18, 600),
            ("8.8", 39, 600),
            ("9.8", 16, 650),
            ("10.9", 10, 830),
            ("10.9", 39, 830),
            ("12.9", 12, 970),
        ] {
            assert_eq!(class(name, size), Ok(mpa), "{name} M{size}");
        }
        let to = |tenths| Fraction::new(tenths, 10).expect("a size");
        assert_eq!(
            class("9.8", 18),
            Err(NoStrength::OutOfRange(to(16), to(160)))
        );
        assert_eq!(
            class("8.8", 42),
            Err(NoStrength::OutOfRange(to(16), to(390)))
        );
        assert_eq!(class("10", 8), Err(NoStrength::Unknown));
    }

    #[test]
    fn a_long_bolt_of_grade_2_counts_as_grade_1() {
        let counts = |grade: &str, quarters: u32, is_stud| {
            let length = Fraction::new(quarters, 4).expect("a length");
            counts_as(&Grade::Grade(grade.into()), length, is_stud).map(|grade| grade.to_string())
        };
        assert_eq!(counts("2", 24, false), None);
        assert_eq!(counts("2", 25, false).as_deref(), Some("grade 1"));
        assert_eq!(counts("2", 40, true), None);
        assert_eq!(counts("5", 40, false), None);
    }

    #[test]
    fn a_grade_is_of_one_system() {
        let wrong = Err(NoStrength::WrongSystem);
        let eight = Fraction::whole(8);
        assert_eq!(strength(&Grade::Grade("5".into()), eight, true), wrong);
        assert_eq!(
            strength(&Grade::Class("8.8".into()), Fraction::whole(1), false),
            wrong
        );
    }
}
