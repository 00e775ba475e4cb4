//! Threads beside their standards: stress areas, what could be cut, what is
//! nearest.
//!
//! Series after ASME B1.1 and ISO 261, areas by their formulas (ASME B1.1, ISO
//! 898-1). What a thread carries stands in [`super::strength`].

use crate::vocabulary::fraction::Fraction;
use crate::vocabulary::thread::Thread;
use crate::vocabulary::thread_series::{self as series, Series};

/// Diameter of a numbered inch size, in inches: 0.060 and 0.013 for each number
/// (ASME B1.1).
#[must_use]
pub const fn numbered_diameter(number: u32) -> Fraction {
    Fraction::thousandths(60 + 13 * number)
}

/// The nominal diameter in inches, or of a metric thread in millimetres; `None`
/// for pipe, whose name is no diameter, and for British Association.
#[must_use]
pub fn diameter(thread: Thread) -> Option<Fraction> {
    match thread {
        Thread::Numbered { number, .. } => Some(numbered_diameter(number.min(30))),
        Thread::Inch { diameter, .. } | Thread::Metric { diameter, .. } => Some(diameter),
        Thread::Formed { .. } | Thread::Association(_) => None,
    }
}

/// The tensile stress area: square inches, of a metric thread square
/// millimetres. `None` where no pitch is known, and for British and pipe
/// threads, for which there are no figures here.
///
/// Inch: π/4·(d − 0.9743/n)² (ASME B1.1, appendix B). Metric: π/4·(d −
/// 0.9382·P)² (ISO 898-1).
#[must_use]
pub fn stress_area(thread: Thread) -> Option<f64> {
    let size = diameter(thread)?.value();
    let lost = match thread {
        Thread::Numbered { tpi, .. } => 0.9743 / tpi?.value(),
        Thread::Inch { tpi, .. } => 0.9743 / tpi.value(),
        Thread::Metric { pitch, .. } => 0.9382 * pitch?.value(),
        Thread::Formed { .. } | Thread::Association(_) => return None,
    };
    let across = size - lost;
    (across > 0.0).then_some(std::f64::consts::FRAC_PI_4 * across * across)
}

/// Whether a thread could be cut: a pitch that the standards use for some
/// size, and neither coarser than coarse nor absurdly fine for this one.
///
/// Only the pitches are from the standards named beside them. The limits of what is
/// absurd have no source: every thread of `series` lies within them.
#[must_use]
pub fn is_possible(thread: Thread) -> bool {
    // ASME B1.1, constant-pitch and special threads, and BS 84.
    const TPI: [u32; 29] = [
        4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 16, 18, 20, 22, 24, 26, 27, 28, 30, 32, 36, 40, 44,
        48, 56, 64, 72, 80,
    ];
    // ISO 261, in thousandths of a millimetre.
    const PITCHES: [u32; 25] = [
        200, 250, 300, 350, 400, 450, 500, 600, 700, 750, 800, 1000, 1250, 1500, 1750, 2000, 2500,
        3000, 3500, 4000, 4500, 5000, 5500, 6000, 8000,
    ];
    let Some(size) = diameter(thread).map(Fraction::value) else {
        return true;
    };
    match thread {
        Thread::Numbered { tpi: Some(tpi), .. } | Thread::Inch { tpi, .. } => {
            let turns = size * tpi.value();
            // No source: the coarsest thread of `series`, 6-32, has 4.4 turns in its own diameter,
            // the finest 80 in an inch, and from 1/5 in on 40.
            let half = tpi == Fraction::thousandths(4500);
            (half || TPI.iter().any(|known| Fraction::whole(*known) == tpi))
                && turns >= 4.3
                && tpi.value() <= if size < 0.2 { 80.0 } else { 40.0 }
        }
        Thread::Metric {
            diameter: size,
            pitch: Some(pitch),
        } => {
            let known_size = series::metrics().any(|known| known == size)
                || (size > Fraction::whole(100) && size.under() == 1);
            let coarsest = series::metric_coarse(size).unwrap_or(Fraction::whole(6));
            known_size
                && pitch <= coarsest
                && PITCHES
                    .iter()
                    .any(|known| Fraction::thousandths(*known) == pitch)
        }
        Thread::Metric {
            diameter,
            pitch: None,
        } => series::metrics().any(|known| known == diameter),
        Thread::Numbered { tpi: None, .. } | Thread::Formed { .. } | Thread::Association(_) => true,
    }
}

/// The standard threads nearest to one: those of its diameter, or of the
/// nearest diameters, of the same pitch if they have it.
#[must_use]
pub fn nearest(thread: Thread) -> Vec<String> {
    let mut near: Vec<Thread> = match thread {
        Thread::Numbered { number, .. } => {
            let away = |one: &u32| f64::from(one.abs_diff(number));
            let sizes = closest(series::numbers(), away).into_iter();
            sizes
                .flat_map(|number| {
                    Series::ALL.into_iter().filter_map(move |series| {
                        let tpi = Some(series::numbered(number, series)?);
                        Some(Thread::Numbered { number, tpi })
                    })
                })
                .collect()
        }
        Thread::Inch { diameter, .. } => {
            let away = |one: &Fraction| (one.value() - diameter.value()).abs();
            let sizes = closest(series::inches(), away).into_iter();
            sizes
                .flat_map(|diameter| {
                    Series::ALL.into_iter().filter_map(move |series| {
                        let tpi = series::inch(diameter, series)?;
                        Some(Thread::Inch { diameter, tpi })
                    })
                })
                .collect()
        }
        Thread::Metric { diameter, .. } => {
            let away = |one: &Fraction| (one.value() - diameter.value()).abs();
            let sizes = closest(series::metrics(), away).into_iter();
            sizes
                .flat_map(|diameter| {
                    series::metric_coarse(diameter)
                        .into_iter()
                        .chain(series::metric_fine(diameter))
                        .map(move |pitch| Thread::Metric {
                            diameter,
                            pitch: Some(pitch),
                        })
                })
                .collect()
        }
        Thread::Formed { size, form, .. } => vec![Thread::Formed {
            size,
            tpi: None,
            form,
        }],
        Thread::Association(_) => Vec::new(),
    };
    if near.iter().any(|one| pitch(*one) == pitch(thread)) {
        near.retain(|one| pitch(*one) == pitch(thread));
    }
    near.into_iter().map(in_full).collect()
}

/// Threads to the inch, or the pitch in millimetres.
const fn pitch(thread: Thread) -> Option<Fraction> {
    match thread {
        Thread::Numbered { tpi, .. } | Thread::Formed { tpi, .. } => tpi,
        Thread::Inch { tpi, .. } => Some(tpi),
        Thread::Metric { pitch, .. } => pitch,
        Thread::Association(_) => None,
    }
}

/// With its series, and a metric one with its pitch, coarse or not.
fn in_full(thread: Thread) -> String {
    match (thread, thread.series()) {
        (
            Thread::Metric {
                diameter,
                pitch: Some(pitch),
            },
            _,
        ) => format!("M{}x{}", diameter.decimal(), pitch.decimal()),
        (Thread::Numbered { .. } | Thread::Inch { .. }, Some(series)) => {
            format!("{thread} {series}")
        }
        (thread, _) => thread.to_string(),
    }
}

/// The one at no distance, or the two at the least.
fn closest<T>(all: impl Iterator<Item = T>, away: impl Fn(&T) -> f64) -> Vec<T> {
    let mut all: Vec<T> = all.collect();
    all.sort_by(|a, b| away(a).total_cmp(&away(b)));
    let exact = all.first().is_some_and(|first| away(first) == 0.0);
    all.truncate(if exact { 1 } else { 2 });
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::vocabulary::size::Size;

    fn thread(text: &str) -> Thread {
        let found = Size::find(text).expect(text);
        found.size.thread.expect(text)
    }

    /// The area, rounded to as many places as the table prints.
    fn area(text: &str, places: usize) -> String {
        format!("{:.places$}", stress_area(thread(text)).expect(text))
    }

    #[test]
    fn inch_stress_areas() {
        // Mott, Machine Elements in Mechanical Design, table 19-4(B), after
        // ASME B1.1 (opened); 3/4-16 also Shigley, Mechanical Engineering
        // Design, example 8-3.
        for (text, printed) in [
            ("1/4-20 UNC", "0.0318"),
            ("1/4-28 UNF", "0.0364"),
            ("5/16-18 UNC", "0.0524"),
            ("3/8-16 UNC", "0.0775"),
            ("7/16-20 UNF", "0.1187"),
            ("1/2-13 UNC", "0.1419"),
        ] {
            assert_eq!(area(text, 4), printed, "{text}");
        }
        // The formula gives 0.3345 where the table prints 0.334.
        assert_eq!(area("3/4-10 UNC", 4), "0.3345");
        assert_eq!(area("3/4-16 UNF", 3), "0.373");
        // UNF column of a published table of threads after ASME B1.1
        // (opened), UNC column of another thread pitch chart (opened). Some of the
        // smallest differ by one or two in the last place, as the standard has a
        // second formula for them.
        for (text, printed, last_place) in [
            ("#0-80", 0.0018, 0.0001),
            ("#1-72", 0.00278, 0.00001),
            ("#2-64", 0.00394, 0.00001),
            ("#3-56", 0.00523, 0.00001),
            ("#4-48", 0.00661, 0.00001),
            ("#5-44", 0.0083, 0.0001),
            ("#6-40", 0.01015, 0.00001),
            ("#8-36", 0.01474, 0.00002),
            ("10-32", 0.0200, 0.0001),
            ("12-28", 0.0258, 0.0001),
            ("5/16-24", 0.0580, 0.0001),
            ("3/8-24", 0.0878, 0.0001),
            ("7/16-14", 0.1063, 0.0001),
            ("1/2-20", 0.1599, 0.0001),
        ] {
            let found = stress_area(thread(text)).expect(text);
            assert!((found - printed).abs() < last_place, "{text}: {found}");
        }
        for (text, printed) in [
            ("9/16-18", "0.203"),
            ("5/8-11", "0.226"),
            ("5/8-18", "0.256"),
            ("7/8-14", "0.509"),
            ("1-12", "0.663"),
            ("1-1/8-12", "0.856"),
            ("1-1/4-12", "1.073"),
            ("1-3/8-12", "1.315"),
            ("1-1/2-12", "1.581"),
        ] {
            assert_eq!(area(text, 3), printed, "{text}");
        }
    }

    #[test]
    fn metric_stress_areas() {
        // EN ISO 898-1, table of stress areas (reprint, opened).
        for (text, printed) in [
            ("M6x1", "20.1"),
            ("M8x1.25", "36.6"),
            ("M10x1.5", "58.0"),
            ("M12x1.75", "84.3"),
        ] {
            assert_eq!(area(text, 1), printed, "{text}");
        }
        assert_eq!(area("M16x2", 0), "157");
        // The same tables, coarse and fine, from memory.
        for (text, printed) in [("M3", "5.03"), ("M4", "8.78")] {
            assert_eq!(area(text, 2), printed, "{text}");
        }
        for (text, printed) in [
            ("M5", "14.2"),
            ("M7", "28.9"),
            ("M8x1", "39.2"),
            ("M10x1.25", "61.2"),
            ("M10x1", "64.5"),
            ("M12x1.25", "92.1"),
            ("M12x1.5", "88.1"),
        ] {
            assert_eq!(area(text, 1), printed, "{text}");
        }
        for (text, printed) in [
            ("M14", "115"),
            ("M14x1.5", "125"),
            ("M16x1.5", "167"),
            ("M18x1.5", "216"),
            ("M20", "245"),
            ("M20x1.5", "272"),
            ("M22", "303"),
            ("M24", "353"),
            ("M24x2", "384"),
            ("M30", "561"),
            ("M36", "817"),
            ("M39", "976"),
        ] {
            assert_eq!(area(text, 0), printed, "{text}");
        }
    }

    #[test]
    fn series_are_those_of_the_standards() {
        for (text, series) in [
            ("#0-80", "UNF"),
            ("6-32", "UNC"),
            ("10-24", "UNC"),
            ("10-32", "UNF"),
            ("12-32", "UNEF"),
            ("1/4-32", "UNEF"),
            ("7/16-28", "UNEF"),
            ("9/16-12", "UNC"),
            ("11/16-24", "UNEF"),
            ("1-8", "UNC"),
            ("1-12", "UNF"),
            ("1-1/4-7", "UNC"),
            ("1-3/4-5", "UNC"),
            ("2-4.5", "UNC"),
            ("M8", "metric coarse"),
            ("M8x1.25", "metric coarse"),
            ("M8x1", "metric fine"),
            ("M14x1.25", "metric fine"),
            ("M15x1", "metric fine"),
            ("M64", "metric coarse"),
        ] {
            assert_eq!(thread(text).series(), Some(series), "{text}");
        }
        for special in ["7/16-24", "3/8-20", "1-14", "M8x0.5", "M12x2 x 30"] {
            assert_eq!(thread(special).series(), None, "{special}");
        }
        // Every standard thread could be cut.
        for inch in series::inches() {
            for one in Series::ALL {
                if let Some(tpi) = series::inch(inch, one) {
                    let thread = Thread::Inch {
                        diameter: inch,
                        tpi,
                    };
                    assert!(is_possible(thread), "{thread}");
                    assert!(stress_area(thread).is_some());
                }
            }
        }
        for number in series::numbers() {
            for one in Series::ALL {
                let tpi = series::numbered(number, one);
                let thread = Thread::Numbered { number, tpi };
                assert!(is_possible(thread), "{thread}");
            }
        }
        for size in series::metrics() {
            let pitches = series::metric_coarse(size)
                .into_iter()
                .chain(series::metric_fine(size));
            for pitch in pitches {
                let thread = Thread::Metric {
                    diameter: size,
                    pitch: Some(pitch),
                };
                assert!(is_possible(thread), "{thread}");
            }
        }
    }

    #[test]
    fn the_nearest_are_of_the_same_size_or_beside_it() {
        assert_eq!(
            nearest(thread("3/8-61")),
            ["3/8-16 UNC", "3/8-24 UNF", "3/8-32 UNEF"]
        );
        assert_eq!(nearest(thread("M8x1.2")), ["M8x1.25", "M8x1", "M8x0.75"]);
        assert_eq!(nearest(thread("M13x1.5")), ["M12x1.5", "M14x1.5"]);
        assert_eq!(nearest(thread("#10-36")), ["#10-24 UNC", "#10-32 UNF"]);
    }
}
