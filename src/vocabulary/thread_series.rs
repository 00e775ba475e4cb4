//! The standard series of threads: which pitch belongs to which diameter.
//!
//! Tables and look-ups only; areas and strength stand in the handbook. Unified
//! inch series after ASME B1.1, metric after ISO 261 (the selection for
//! fasteners is ISO 262), Whitworth and British Standard Fine after BS 84,
//! taper pipe after ASME B1.20.1 and ISO 7-1. The tables are from memory, and
//! held against published ones in the tests of the handbook.

use super::fraction::Fraction;

/// A unified series.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Series {
    /// Coarse.
    Unc,
    /// Fine.
    Unf,
    /// Extra fine.
    Unef,
}

impl Series {
    /// Coarse to extra fine.
    pub const ALL: [Series; 3] = [Series::Unc, Series::Unf, Series::Unef];

    /// Its letters.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Series::Unc => "UNC",
            Series::Unf => "UNF",
            Series::Unef => "UNEF",
        }
    }
}

/// Numbered sizes: number, threads to the inch in UNC, UNF, UNEF; 0 is none.
const NUMBERED: [(u32, [u32; 3]); 10] = [
    (0, [0, 80, 0]),
    (1, [64, 72, 0]),
    (2, [56, 64, 0]),
    (3, [48, 56, 0]),
    (4, [40, 48, 0]),
    (5, [40, 44, 0]),
    (6, [32, 40, 0]),
    (8, [32, 36, 0]),
    (10, [24, 32, 0]),
    (12, [24, 28, 32]),
];

/// Inch sizes: sixteenths, and twice the threads to the inch in UNC, UNF, UNEF
/// (twice, for the sizes with four and a half); 0 is none.
const INCH: [(u32, [u32; 3]); 34] = [
    (4, [40, 56, 64]),
    (5, [36, 48, 64]),
    (6, [32, 48, 64]),
    (7, [28, 40, 56]),
    (8, [26, 40, 56]),
    (9, [24, 36, 48]),
    (10, [22, 36, 48]),
    (11, [0, 0, 48]),
    (12, [20, 32, 40]),
    (13, [0, 0, 40]),
    (14, [18, 28, 40]),
    (15, [0, 0, 40]),
    (16, [16, 24, 40]),
    (17, [0, 0, 36]),
    (18, [14, 24, 36]),
    (19, [0, 0, 36]),
    (20, [14, 24, 36]),
    (21, [0, 0, 36]),
    (22, [12, 24, 36]),
    (23, [0, 0, 36]),
    (24, [12, 24, 36]),
    (25, [0, 0, 36]),
    (26, [0, 0, 36]),
    (27, [0, 0, 36]),
    (28, [10, 0, 0]),
    (32, [9, 0, 0]),
    (36, [9, 0, 0]),
    (40, [8, 0, 0]),
    (44, [8, 0, 0]),
    (48, [8, 0, 0]),
    (52, [8, 0, 0]),
    (56, [8, 0, 0]),
    (60, [8, 0, 0]),
    (64, [8, 0, 0]),
];

/// Metric sizes: thousandths of a millimetre; the coarse pitch, 0 if there is
/// none; the fine ones.
const METRIC: [(u32, u32, &[u32]); 63] = [
    (1000, 250, &[200]),
    (1100, 250, &[200]),
    (1200, 250, &[200]),
    (1400, 300, &[200]),
    (1600, 350, &[200]),
    (1800, 350, &[200]),
    (2000, 400, &[250]),
    (2200, 450, &[250]),
    (2500, 450, &[350]),
    (3000, 500, &[350]),
    (3500, 600, &[350]),
    (4000, 700, &[500]),
    (4500, 750, &[500]),
    (5000, 800, &[500]),
    (5500, 0, &[500]),
    (6000, 1000, &[750]),
    (7000, 1000, &[750]),
    (8000, 1250, &[1000, 750]),
    (9000, 1250, &[1000, 750]),
    (10_000, 1500, &[1250, 1000, 750]),
    (11_000, 1500, &[1000, 750]),
    (12_000, 1750, &[1500, 1250, 1000]),
    (14_000, 2000, &[1500, 1250, 1000]),
    (15_000, 0, &[1500, 1000]),
    (16_000, 2000, &[1500, 1000]),
    (17_000, 0, &[1500, 1000]),
    (18_000, 2500, &[2000, 1500, 1000]),
    (20_000, 2500, &[2000, 1500, 1000]),
    (22_000, 2500, &[2000, 1500, 1000]),
    (24_000, 3000, &[2000, 1500, 1000]),
    (25_000, 0, &[2000, 1500, 1000]),
    (26_000, 0, &[1500]),
    (27_000, 3000, &[2000, 1500, 1000]),
    (28_000, 0, &[2000, 1500, 1000]),
    (30_000, 3500, &[3000, 2000, 1500, 1000]),
    (32_000, 0, &[2000, 1500]),
    (33_000, 3500, &[3000, 2000, 1500]),
    (35_000, 0, &[1500]),
    (36_000, 4000, &[3000, 2000, 1500]),
    (38_000, 0, &[1500]),
    (39_000, 4000, &[3000, 2000, 1500]),
    (40_000, 0, &[3000, 2000, 1500]),
    (42_000, 4500, &[4000, 3000, 2000, 1500]),
    (45_000, 4500, &[4000, 3000, 2000, 1500]),
    (48_000, 5000, &[4000, 3000, 2000, 1500]),
    (50_000, 0, &[3000, 2000, 1500]),
    (52_000, 5000, &[4000, 3000, 2000, 1500]),
    (55_000, 0, &[4000, 3000, 2000, 1500]),
    (56_000, 5500, &[4000, 3000, 2000, 1500]),
    (58_000, 0, &[4000, 3000, 2000, 1500]),
    (60_000, 5500, &[4000, 3000, 2000, 1500]),
    (62_000, 0, &[4000, 3000, 2000, 1500]),
    (64_000, 6000, &[4000, 3000, 2000, 1500]),
    (65_000, 0, &[4000, 3000, 2000, 1500]),
    (68_000, 6000, &[4000, 3000, 2000, 1500]),
    (70_000, 0, &[6000, 4000, 3000, 2000, 1500]),
    (72_000, 0, &[6000, 4000, 3000, 2000, 1500]),
    (75_000, 0, &[4000, 3000, 2000, 1500]),
    (76_000, 0, &[6000, 4000, 3000, 2000, 1500]),
    (80_000, 0, &[6000, 4000, 3000, 2000, 1500]),
    (85_000, 0, &[6000, 4000, 3000, 2000]),
    (90_000, 0, &[6000, 4000, 3000, 2000]),
    (100_000, 0, &[6000, 4000, 3000, 2000]),
];

/// Whitworth and fine: thirty-seconds of an inch, threads to the inch in BSW
/// and BSF; 0 is none.
const WHITWORTH: [(u32, [u32; 2]); 18] = [
    (4, [40, 0]),
    (6, [24, 32]),
    (7, [0, 28]),
    (8, [20, 26]),
    (9, [0, 26]),
    (10, [18, 22]),
    (12, [16, 20]),
    (14, [14, 18]),
    (16, [12, 16]),
    (18, [12, 16]),
    (20, [11, 14]),
    (22, [11, 14]),
    (24, [10, 12]),
    (28, [9, 11]),
    (32, [8, 10]),
    (36, [7, 9]),
    (40, [7, 9]),
    (48, [6, 8]),
];

/// Pipe: sixteenths of an inch, twice the threads to the inch of NPT and BSP.
const PIPE: [(u32, [u32; 2]); 8] = [
    (1, [54, 56]),
    (2, [54, 56]),
    (4, [36, 38]),
    (6, [36, 38]),
    (8, [28, 28]),
    (12, [28, 28]),
    (16, [23, 22]),
    (20, [23, 22]),
];

fn standing(value: u32, under: u32) -> Option<Fraction> {
    (value != 0).then_some(())?;
    Fraction::new(value, under)
}

/// The threads to the inch of a numbered size.
#[must_use]
pub fn numbered(number: u32, series: Series) -> Option<Fraction> {
    let (_, row) = NUMBERED.iter().find(|(known, _)| *known == number)?;
    standing(row[series as usize], 1)
}

/// The numbered sizes.
pub fn numbers() -> impl Iterator<Item = u32> {
    NUMBERED.iter().map(|(number, _)| *number)
}

/// The threads to the inch of an inch size.
#[must_use]
pub fn inch(diameter: Fraction, series: Series) -> Option<Fraction> {
    let (_, row) = INCH
        .iter()
        .find(|(known, _)| Fraction::new(*known, 16) == Some(diameter))?;
    standing(row[series as usize], 2)
}

/// The inch sizes of the unified series, smallest first.
pub fn inches() -> impl Iterator<Item = Fraction> {
    INCH.iter()
        .filter_map(|(sixteenths, _)| Fraction::new(*sixteenths, 16))
}

/// The coarse pitch of a metric size, in millimetres: what is meant where none
/// is written.
#[must_use]
pub fn metric_coarse(diameter: Fraction) -> Option<Fraction> {
    let (_, coarse, _) = metric_row(diameter)?;
    standing(*coarse, 1000)
}

/// The fine pitches of a metric size, in millimetres, the largest first.
pub fn metric_fine(diameter: Fraction) -> impl Iterator<Item = Fraction> {
    metric_row(diameter)
        .map_or(&[][..], |(_, _, fine)| fine)
        .iter()
        .map(|pitch| Fraction::thousandths(*pitch))
}

/// The metric sizes, smallest first, in millimetres.
pub fn metrics() -> impl Iterator<Item = Fraction> {
    METRIC
        .iter()
        .map(|(size, _, _)| Fraction::thousandths(*size))
}

fn metric_row(diameter: Fraction) -> Option<&'static (u32, u32, &'static [u32])> {
    METRIC
        .iter()
        .find(|(size, _, _)| Fraction::thousandths(*size) == diameter)
}

/// The threads to the inch in Whitworth's series.
#[must_use]
pub fn whitworth(diameter: Fraction) -> Option<Fraction> {
    standing(whitworth_row(diameter)?[0], 1)
}

/// The threads to the inch in British Standard Fine.
#[must_use]
pub fn british_fine(diameter: Fraction) -> Option<Fraction> {
    standing(whitworth_row(diameter)?[1], 1)
}

fn whitworth_row(diameter: Fraction) -> Option<[u32; 2]> {
    let known = |(size, _): &&(u32, _)| Fraction::new(*size, 32) == Some(diameter);
    WHITWORTH.iter().find(known).map(|(_, row)| *row)
}

/// The threads to the inch of taper pipe, American.
#[must_use]
pub fn taper_pipe(size: Fraction) -> Option<Fraction> {
    standing(pipe_row(size)?[0], 2)
}

/// The threads to the inch of pipe, British.
#[must_use]
pub fn british_pipe(size: Fraction) -> Option<Fraction> {
    standing(pipe_row(size)?[1], 2)
}

fn pipe_row(size: Fraction) -> Option<[u32; 2]> {
    let known = |(sixteenths, _): &&(u32, _)| Fraction::new(*sixteenths, 16) == Some(size);
    PIPE.iter().find(known).map(|(_, row)| *row)
}
