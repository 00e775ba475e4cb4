//! Torques for a terminal: a general figure with what it must not be used for,
//! a refusal, a conversion.

use super::export::{Document, Exporter};
use super::terminal::Terminal;
use super::text::{Text, TextStyle, plain};
use crate::reports::cautions::SAFETY;
use crate::reports::general_torque::{
    GeneralTorques, POUND_FORCE, SCATTER, TorqueRow, in_words, never_for, pound_inches,
};
use crate::reports::torque::Conversion;

/// A recorded figure, with the part and the place in the journal.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RecordedTorqueView {
    /// The part with its position.
    pub part: String,
    /// The vehicle.
    pub vehicle: String,
    /// In both unit systems, with its source.
    pub torque: String,
    /// The entry.
    pub entry: String,
    /// The line in it.
    pub line: u32,
}

/// Why nothing is offered.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refusal {
    /// What was asked about.
    pub about: String,
    /// The field it belongs to, where that is known.
    pub field: Option<String>,
    /// In plain words.
    pub why: String,
    /// What to do.
    pub hint: String,
}

/// What is known of a torque.
#[derive(Clone, Copy, Debug)]
pub enum TorqueAnswer<'a> {
    /// General figures, with what the journal has recorded.
    General(&'a GeneralTorques, &'a [RecordedTorqueView]),
    /// None is offered.
    Refused {
        /// For which thread.
        thread: &'a str,
        /// Why.
        refusal: &'a Refusal,
        /// What the journal has recorded.
        recorded: &'a [RecordedTorqueView],
    },
    /// A torque in all units.
    Converted(&'a Conversion),
}

impl Exporter<TorqueAnswer<'_>> for Terminal {
    fn export(&self, answer: &TorqueAnswer<'_>) -> Document {
        self.document(&match answer {
            TorqueAnswer::General(found, recorded) => general(found, recorded, self.width),
            TorqueAnswer::Refused {
                refusal, recorded, ..
            } => refused(refusal, recorded, self.width),
            TorqueAnswer::Converted(conversion) => converted(conversion, self.width),
        })
    }
}

/// A general torque.
fn general(found: &GeneralTorques, recorded: &[RecordedTorqueView], width: usize) -> Text {
    let mut text = Text::new(width);
    recorded_lines(&mut text, recorded);
    let series = match found.series {
        Some(series) if !found.metric => format!("{} {series}", found.thread),
        Some(series) => format!("{} ({series})", found.thread),
        None => format!("{} (special thread)", found.thread),
    };
    match &found.rows[..] {
        [row] => {
            let head = format!("{series}, {}, {}: ", row.grade, found.friction.0);
            text.wrapped(
                0,
                2,
                &[
                    plain(head),
                    (
                        TextStyle::Title,
                        format!("about {}", both(row, found.metric)),
                    ),
                ],
            );
            warnings(&mut text);
            text.gap();
            working(&mut text, found, row);
        }
        rows => {
            text.wrapped(
                0,
                2,
                &[plain(format!("{series}, {}, by grade:", found.friction.0))],
            );
            for row in rows {
                let length = row.length.iter().map(|length| format!(", {length}"));
                let length: String = length.collect();
                let line = format!("about {}{length}", both(row, found.metric));
                text.pair(2, 10, plain(row.grade.clone()), &[(TextStyle::Title, line)]);
            }
            warnings(&mut text);
            text.gap();
            assumptions(&mut text, found);
        }
    }
    text
}

/// The torque in the thread's own system and in the other.
fn both(row: &TorqueRow, metric: bool) -> String {
    let (inch, si) = in_words(row.torque);
    if metric {
        format!("{si} ({inch})")
    } else {
        format!("{inch} ({si})")
    }
}

fn warnings(text: &mut Text) {
    text.wrapped(
        2,
        2,
        &[
            (
                TextStyle::Caution,
                "A general figure, not your manual's: ".into(),
            ),
            plain(format!(
                "the service manual decides. Never for {}: there only the manual's figure counts.",
                never_for()
            )),
        ],
    );
    text.line(2, TextStyle::Faint, SAFETY);
}

/// How the figure comes about, and what changes it.
fn working(text: &mut Text, found: &GeneralTorques, row: &TorqueRow) {
    let mut line = |key: &str, value: String| {
        text.pair(2, 16, (TextStyle::Faint, key.to_owned()), &[plain(value)]);
    };
    let (area, proof) = if found.metric {
        (
            format!("{:.1} mm²", found.area.0),
            format!("{} MPa", row.proof_stress),
        )
    } else {
        (
            format!("{:.4} in²", found.area.0),
            format!("{} psi", grouped(f64::from(row.proof_stress))),
        )
    };
    line("stress area", format!("{area} ({})", found.area.1));
    line(
        "proof stress",
        format!(
            "{proof}, sizes {}{} to {} ({})",
            if row.over { "over " } else { "" },
            row.sizes.0,
            row.sizes.1,
            row.standard
        ),
    );
    if let Some(length) = &row.length {
        line("length", length.clone());
    }
    line("proof load", force(row.proof_load, found.metric));
    line(
        "clamping force",
        format!(
            "{} % of it: {}",
            found.share,
            force(row.clamp, found.metric)
        ),
    );
    line("nut factor K", factor_words(found.friction));
    let product = if found.metric {
        format!("= {:.1} N·m", row.torque)
    } else {
        format!("= {:.0} lbf·in", pound_inches(row.torque))
    };
    line("T = K·D·F", product);
    text.gap();
    text.line(
        2,
        TextStyle::Plain,
        "the same pull on the bolt with another thread:",
    );
    for (word, factor, torque) in &row.others {
        let (inch, si) = in_words(*torque);
        let figure = if found.metric {
            format!("{si} ({inch})")
        } else {
            format!("{inch} ({si})")
        };
        let words = format!("K {}: {figure}", hundredths(*factor));
        text.pair(4, 16, plain(*word), &[plain(words)]);
    }
    text.gap();
    text.line(2, TextStyle::Plain, &lubricated());
}

/// What friction does to any figure.
fn lubricated() -> String {
    format!(
        "A lubricated thread needs less torque for the same pull; tightened to the dry \
         figure it is overstretched. Friction scatters: the real pull can be {SCATTER} off \
         either way (common practice, no source)."
    )
}

/// What all rows rest on.
fn assumptions(text: &mut Text, found: &GeneralTorques) {
    let values = format!(
        "T = K·D·F at {} % of the proof load, K {}.",
        found.share,
        factor_words(found.friction)
    );
    text.line(2, TextStyle::Plain, &values);
    text.line(2, TextStyle::Plain, &lubricated());
    text.line(
        2,
        TextStyle::Faint,
        "Name the grade with --grade or --class to see how a figure comes about.",
    );
}

/// `0.20, zinc plated, dry (Shigley ...)`.
fn factor_words((word, factor): (&str, u32)) -> String {
    format!(
        "{}, {word} (Shigley, Mechanical Engineering Design, table 8-15)",
        hundredths(factor)
    )
}

fn hundredths(factor: u32) -> String {
    format!("{}.{:02}", factor / 100, factor % 100)
}

fn force(newtons: f64, metric: bool) -> String {
    if metric {
        format!("{} N", grouped(newtons))
    } else {
        format!("{} lbf", grouped(newtons / POUND_FORCE))
    }
}

/// Rounded to tens, thousands parted by a comma.
fn grouped(figure: f64) -> String {
    let tens = format!("{:.0}", figure / 10.0);
    let digits = if tens == "0" {
        tens
    } else {
        format!("{tens}0")
    };
    let mut out = String::new();
    for (at, digit) in digits.chars().enumerate() {
        if at > 0 && (digits.len() - at) % 3 == 0 {
            out.push(',');
        }
        out.push(digit);
    }
    out
}

fn recorded_lines(text: &mut Text, recorded: &[RecordedTorqueView]) {
    for one in recorded {
        text.wrapped(
            0,
            2,
            &[
                plain(format!("{}: ", one.part)),
                (TextStyle::Title, one.torque.clone()),
                (
                    TextStyle::Faint,
                    format!(" ({}, {}:{})", one.vehicle, one.entry, one.line),
                ),
            ],
        );
    }
    if !recorded.is_empty() {
        text.line(
            2,
            TextStyle::Faint,
            "recorded in the journal; it goes before any general figure",
        );
        text.gap();
    }
}

/// A refusal, with what the journal knows instead.
fn refused(refusal: &Refusal, recorded: &[RecordedTorqueView], width: usize) -> Text {
    let mut text = Text::new(width);
    recorded_lines(&mut text, recorded);
    text.wrapped(
        0,
        2,
        &[
            (TextStyle::Caution, "no general figure: ".into()),
            plain(refusal.why.clone()),
        ],
    );
    text.line(2, TextStyle::Plain, &refusal.hint);
    text.line(2, TextStyle::Faint, SAFETY);
    text
}

/// A torque in all units.
fn converted(conversion: &Conversion, width: usize) -> Text {
    let mut text = Text::new(width);
    text.wrapped(0, 2, &[(TextStyle::Title, conversion.written.clone())]);
    for (unit, low, high) in &conversion.units {
        let figures = match high {
            Some(high) => format!("{low}-{high}"),
            None => low.clone(),
        };
        text.wrapped(2, 4, &[plain(format!("= {figures} {unit}"))]);
    }
    for stage in &conversion.further {
        text.wrapped(2, 4, &[plain(format!("then {stage}"))]);
    }
    text
}
