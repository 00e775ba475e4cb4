//! A thread as it is named: `7/16-20`, `#10-32`, `M8x1.25`, `3/8 BSF`, `2 BA`.
//!
//! One value for all spellings of the same thread. What it can carry is not
//! known here, nor whether a standard knows it.

use std::fmt;

use serde::{Deserialize, Serialize};

use super::fraction::Fraction;
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
        form: ThreadForm,
    },
    /// A size of the British Association, by its number.
    Association(u32),
}

/// Forms that have to be said, because the same figures mean another thread.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum ThreadForm {
    /// Whitworth.
    Bsw,
    /// British Standard Fine.
    Bsf,
    /// British pipe.
    Bsp,
    /// American taper pipe.
    Npt,
}

impl ThreadForm {
    /// Its letters.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            ThreadForm::Bsw => "BSW",
            ThreadForm::Bsf => "BSF",
            ThreadForm::Bsp => "BSP",
            ThreadForm::Npt => "NPT",
        }
    }

    /// The threads to the inch that its series gives a size.
    #[must_use]
    pub fn tpi(self, size: Fraction) -> Option<Fraction> {
        match self {
            ThreadForm::Bsw => series::whitworth(size),
            ThreadForm::Bsf => series::british_fine(size),
            ThreadForm::Bsp => series::british_pipe(size),
            ThreadForm::Npt => series::taper_pipe(size),
        }
    }
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
}

/// Whether the bare figures are known for a thread: of a series, or 1-14, which
/// is sold everywhere though it is in none since 1949 (common practice, no
/// source).
pub(super) fn is_sold(thread: Thread) -> bool {
    let old_fine = Thread::Inch {
        diameter: Fraction::whole(1),
        tpi: Fraction::whole(14),
    };
    thread.series().is_some() || thread == old_fine
}
