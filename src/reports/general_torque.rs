//! General torques of a thread, with all that they rest on, and whether they
//! may be offered at all.
//!
//! What a person recorded from a manual is not here but in
//! [`super::torque`]; the two are never mixed.

use crate::handbook::restricted::Field;
use crate::handbook::strength::{NoStrength, classes, counts_as, grades, strength};
use crate::handbook::threads;
pub use crate::handbook::tightening::SCATTER;
use crate::handbook::tightening::{Friction, General, NoGeneral, general};
use crate::handbook::units::in_newton_metres;
use crate::vocabulary::fraction::Fraction;
use crate::vocabulary::grade::Grade;
use crate::vocabulary::thread::Thread;
use crate::vocabulary::torque_unit::TorqueUnit;

/// What is asked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TorqueQuery {
    /// The thread.
    pub thread: Thread,
    /// Its grade or class; all of them if none is named.
    pub grade: Option<Grade>,
    /// The state of thread and head.
    pub friction: Friction,
    /// The share of the proof load, in hundredths.
    pub share: u32,
    /// The length, in inches, where one was said.
    pub length: Option<Fraction>,
    /// Whether it is a stud.
    pub is_stud: bool,
}

/// The answer.
#[derive(Clone, Debug, PartialEq)]
pub struct GeneralTorques {
    /// The thread as it is written.
    pub thread: String,
    /// Its series, if it is of one.
    pub series: Option<&'static str>,
    /// Whether its figures are millimetres.
    pub metric: bool,
    /// The diameter in its unit.
    pub diameter: f64,
    /// The stress area in its unit, and where the formula stands.
    pub area: (f64, &'static str),
    /// The state of thread and head, with its nut factor in hundredths.
    pub friction: (&'static str, u32),
    /// The share of the proof load, in hundredths.
    pub share: u32,
    /// A figure for each grade or class.
    pub rows: Vec<TorqueRow>,
}

/// The figure for one grade or class.
#[derive(Clone, Debug, PartialEq)]
pub struct TorqueRow {
    /// "grade 5", "class 8.8".
    pub grade: String,
    /// What its length does to the grade, in words.
    pub length: Option<String>,
    /// "SAE J429", "ISO 898-1".
    pub standard: &'static str,
    /// Proof stress: psi, or MPa.
    pub proof_stress: u32,
    /// The sizes for which it holds, as they are written.
    pub sizes: (String, String),
    /// Whether the first of them belongs to the range below.
    pub over: bool,
    /// Proof load, in newtons.
    pub proof_load: f64,
    /// Clamping force, in newtons.
    pub clamp: f64,
    /// The torque, in newton metres.
    pub torque: f64,
    /// The torque for each other state, with its nut factor in hundredths.
    pub others: Vec<(&'static str, u32, f64)>,
}

/// Why there is no figure: what is said, and what to do.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NoFigure {
    /// In plain words.
    pub message: String,
    /// What to do.
    pub hint: String,
}

/// Newtons in a pound-force: 0.453 592 37 × 9.806 65 (NIST SP 811).
pub const POUND_FORCE: f64 = 4.448_221_615_260_5;

/// The general torques that are asked for.
///
/// # Errors
/// When there is none.
pub fn general_torques(asked: &TorqueQuery) -> Result<GeneralTorques, NoFigure> {
    let thread = asked.thread;
    let metric = thread.is_metric();
    let (Some(diameter), Some(area)) = (threads::diameter(thread), threads::stress_area(thread))
    else {
        return Err(no_area(thread));
    };
    let wanted: Vec<Grade> = match &asked.grade {
        Some(grade) => vec![grade.clone()],
        None if metric => classes().map(|name| Grade::Class(name.into())).collect(),
        None => grades().map(|name| Grade::Grade(name.into())).collect(),
    };
    let mut rows = Vec::new();
    let mut refused = None;
    for grade in &wanted {
        match row(asked, grade) {
            Ok(row) => rows.push(row),
            Err(why) => refused = Some(no_figure(thread, grade, &why)),
        }
    }
    if rows.is_empty()
        && let Some(why) = refused
    {
        return Err(why);
    }
    Ok(GeneralTorques {
        thread: thread.to_string(),
        series: thread.series(),
        metric,
        diameter: diameter.value(),
        area: (area, if metric { "ISO 898-1" } else { "ASME B1.1" }),
        friction: (asked.friction.word(), asked.friction.nut_factor()),
        share: asked.share,
        rows,
    })
}

fn row(asked: &TorqueQuery, grade: &Grade) -> Result<TorqueRow, NoGeneral> {
    let metric = asked.thread.is_metric();
    let weaker = asked
        .length
        .and_then(|length| counts_as(grade, length, asked.is_stud));
    let by = weaker.as_ref().unwrap_or(grade);
    let of = |friction| general(asked.thread, by, friction, asked.share);
    let force = |own: f64| if metric { own } else { own * POUND_FORCE };
    let torque = |figure: &General| {
        if metric {
            figure.torque
        } else {
            figure.torque * in_newton_metres(TorqueUnit::PoundInch)
        }
    };
    let figure = of(asked.friction)?;
    let mut others = Vec::new();
    for friction in Friction::ALL {
        if friction != asked.friction {
            others.push((
                friction.word(),
                friction.nut_factor(),
                torque(&of(friction)?),
            ));
        }
    }
    Ok(TorqueRow {
        grade: grade.to_string(),
        length: length_words(asked, grade),
        standard: figure.strength.standard,
        proof_stress: figure.strength.proof,
        sizes: (
            size(figure.strength.from, metric),
            size(figure.strength.to, metric),
        ),
        over: figure.strength.over,
        proof_load: force(figure.proof_load),
        clamp: force(figure.clamp),
        torque: torque(&figure),
        others,
    })
}

/// What the length of a bolt does to its grade: that it counts as a weaker one, or that
/// it would where nobody said how long it is.
fn length_words(asked: &TorqueQuery, grade: &Grade) -> Option<String> {
    let long = Fraction::whole(1000);
    let weaker = counts_as(grade, asked.length.unwrap_or(long), asked.is_stud)?;
    // Larger ones are as weak at any length.
    let diameter = threads::diameter(asked.thread)?;
    let proof = |grade| strength(grade, diameter, false).map(|found| found.proof);
    let same = proof(grade) == proof(&weaker);
    (!same).then(|| match asked.length {
        Some(_) => format!("longer than 6 in: it counts as {weaker} (SAE J429)"),
        None => format!("up to 6 in; a longer bolt counts as {weaker} (SAE J429)"),
    })
}

fn size(of: Fraction, metric: bool) -> String {
    if metric {
        format!("M{}", of.decimal())
    } else {
        format!("{of} in")
    }
}

fn no_area(thread: Thread) -> NoFigure {
    let (message, hint) = match thread {
        Thread::Formed { .. } | Thread::Association(_) => (
            format!(
                "there are no figures for {thread} here: British and pipe threads are not in the standards used"
            ),
            "take the service manual's figure".to_owned(),
        ),
        Thread::Numbered { .. } | Thread::Inch { .. } | Thread::Metric { .. } => (
            format!("`{thread}` names no pitch"),
            format!(
                "write it with its pitch: {}",
                threads::nearest(thread).join(", ")
            ),
        ),
    };
    NoFigure { message, hint }
}

fn no_figure(thread: Thread, grade: &Grade, why: &NoGeneral) -> NoFigure {
    let metric = thread.is_metric();
    let named = |names: Vec<&str>| names.join(", ");
    let known = if metric {
        format!("classes with figures: {}", named(classes().collect()))
    } else {
        format!("grades with figures: {}", named(grades().collect()))
    };
    match why {
        NoGeneral::NoArea => no_area(thread),
        NoGeneral::NoStrength(NoStrength::Unknown) => NoFigure {
            message: format!("there is no figure for {grade} here"),
            hint: known,
        },
        NoGeneral::NoStrength(NoStrength::WrongSystem) => NoFigure {
            message: if metric {
                format!("{thread} is a metric thread and {grade} is for inch threads")
            } else {
                format!("{thread} is an inch thread and {grade} is for metric threads")
            },
            hint: known,
        },
        NoGeneral::NoStrength(NoStrength::OutOfRange(from, to)) => {
            let standard = if metric { "ISO 898-1" } else { "SAE J429" };
            NoFigure {
                message: format!(
                    "{standard} speaks of {grade} from {} to {} only, so there is no figure for {thread}",
                    size(*from, metric),
                    size(*to, metric)
                ),
                hint: "take the service manual's figure; none is guessed here".to_owned(),
            }
        }
    }
}

/// Where a general figure is never offered, in a list: "brakes, steering ...".
#[must_use]
pub fn never_for() -> String {
    let words: Vec<&str> = Field::ALL.iter().map(|field| field.word()).collect();
    match words.split_last() {
        Some((last, rest)) => format!("{} or {last}", rest.join(", ")),
        None => String::new(),
    }
}

/// Newton metres as pound-force inches.
#[must_use]
pub fn pound_inches(newton_metres: f64) -> f64 {
    newton_metres / in_newton_metres(TorqueUnit::PoundInch)
}

/// A general torque in both systems, no finer than it is worth: `55 lbf·ft`,
/// `75 N·m`; small ones in inches.
#[must_use]
pub fn in_words(newton_metres: f64) -> (String, String) {
    let inches = pound_inches(newton_metres);
    let inch = if inches < 120.0 {
        format!("{} lbf·in", rough(inches))
    } else {
        format!("{} lbf·ft", rough(inches / 12.0))
    };
    (inch, format!("{} N·m", rough(newton_metres)))
}

fn rough(figure: f64) -> String {
    let places = match figure {
        figure if figure < 2.0 => 2,
        figure if figure < 20.0 => 1,
        _ => 0,
    };
    format!("{figure:.places$}")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::vocabulary::size::Size;

    fn asked(thread: &str, grade: Option<&str>) -> TorqueQuery {
        TorqueQuery {
            thread: Size::find(thread)
                .and_then(|found| found.size.thread)
                .expect(thread),
            grade: grade.map(|grade| Grade::read(grade).expect(grade)),
            friction: Friction::Zinc,
            share: 75,
            length: None,
            is_stud: false,
        }
    }

    #[test]
    fn a_long_bolt_of_grade_two_pulls_as_one_of_grade_one() {
        let pull = |grade: &str, length: Option<u32>, thread: &str| {
            let asked = TorqueQuery {
                length: length.map(Fraction::whole),
                ..asked(thread, Some(grade))
            };
            let found = general_torques(&asked).expect("a figure");
            let row = &found.rows[0];
            (row.torque, row.length.clone().unwrap_or_default())
        };
        let (long, said) = pull("grade 2", Some(7), "1/2-13");
        assert_eq!(long, pull("grade 1", Some(7), "1/2-13").0);
        assert!(said.contains("counts as grade 1"), "{said}");
        assert!(pull("grade 2", Some(6), "1/2-13").0 > long);
        // Where no length is said, it says up to which the figure holds.
        assert!(pull("grade 2", None, "1/2-13").1.starts_with("up to 6 in"));
        assert_eq!(pull("grade 2", None, "7/8-9").1, "");
        assert_eq!(pull("grade 5", Some(9), "1/2-13").1, "");
    }

    #[test]
    fn half_inch_grade_five_in_both_systems() {
        // Bolt torque guide (opened): 9,050 lbf, 75 lbf·ft.
        let found = general_torques(&asked("1/2-13", Some("grade 5"))).expect("a figure");
        let row = &found.rows[0];
        assert!((row.clamp / POUND_FORCE - 9050.0).abs() < 10.0);
        let (inch, metric) = in_words(row.torque);
        assert_eq!((inch.as_str(), metric.as_str()), ("75 lbf·ft", "102 N·m"));
        assert_eq!(row.others.len(), 4);
    }

    #[test]
    fn small_ones_are_given_in_inches() {
        let found = general_torques(&asked("1/4-20", Some("grade 2"))).expect("a figure");
        assert_eq!(in_words(found.rows[0].torque).0, "66 lbf·in");
    }

    #[test]
    fn no_figure_is_guessed() {
        for (thread, grade, said) in [
            ("10-32", Some("grade 5"), "1/4 in to 1-1/2 in"),
            ("1-3/4-5", Some("grade 8"), "1/4 in to 1-1/2 in"),
            ("1-1/8-7", Some("grade 8.2"), "1/4 in to 1 in"),
            ("M42", Some("8.8"), "M1.6 to M39"),
            ("M18", Some("9.8"), "M1.6 to M16"),
            ("M8", Some("grade 5"), "metric thread"),
            ("1/2-13", Some("8.8"), "inch thread"),
            ("1/2-13", Some("grade 7"), "no figure for grade 7"),
            ("3/8 BSF", Some("grade 5"), "no figures for 3/8 BSF"),
            ("#10 x 3/4", Some("grade 5"), "names no pitch"),
            ("10-32", None, "1/4 in to 1 in"),
        ] {
            let why = general_torques(&asked(thread, grade)).expect_err(thread);
            assert!(why.message.contains(said), "{thread}: {}", why.message);
        }
    }

    #[test]
    fn without_a_grade_all_that_have_a_figure_are_shown() {
        let found = general_torques(&asked("1-1/8-7", None)).expect("figures");
        let grades: Vec<&str> = found.rows.iter().map(|row| row.grade.as_str()).collect();
        assert_eq!(grades, ["grade 1", "grade 2", "grade 5", "grade 8"]);
        let found = general_torques(&asked("M8", None)).expect("figures");
        assert_eq!(found.rows.len(), 9);
    }
}
