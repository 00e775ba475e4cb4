//! A strip of months with columns or a line over them, and the key above it.
//!
//! The marks themselves are `plotted`.

use jiff::civil::Date;
use maud::{Markup, html};

use super::plotted::plotted;
use super::{Letters, USUAL_WIDTH, hatching, made, number, words};

/// How a row of values is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mark {
    /// Columns of full colour.
    Solid,
    /// Hatched columns with an outline.
    Hatched,
    /// A line with a dot at each month.
    Line,
}

/// A value for each month.
#[derive(Clone, Debug)]
pub struct MonthValues {
    /// How they are drawn.
    pub mark: Mark,
    /// What they are.
    pub name: String,
    /// The heights of the marks.
    pub values: Vec<f64>,
    /// The figures, as they are written on the marks.
    pub figures: Vec<String>,
}

/// A height that is compared with.
#[derive(Clone, Debug)]
pub struct Limit {
    /// How high.
    pub value: f64,
    /// What it is.
    pub words: String,
}

/// A strip of months.
#[derive(Clone, Debug)]
pub struct MonthChart<'c> {
    /// The drawing of which it is a part.
    pub id: &'c str,
    /// The first days of the months, in order and without a gap.
    pub months: &'c [Date],
    /// What is drawn over them; there is always one, and a line stands alone.
    pub rows: Vec<MonthValues>,
    /// A height that is compared with.
    pub limit: Option<Limit>,
}

/// Room at the left for the figures of the scale.
pub(super) const SCALE: f32 = 52.0;
/// Room at the right.
const RIGHT: f32 = 10.0;
/// Room at the foot for months and years.
pub(super) const FOOT: f32 = 38.0;
/// Height of the marks.
pub(super) const PLOT: f32 = 150.0;
/// Room above the marks for a figure.
pub(super) const HEAD: f32 = 18.0;
/// The narrowest and the widest room for a month.
const SLOT: (f32, f32) = (14.0, 64.0);
/// A line of the key above a chart.
const KEY: f32 = 20.0;

/// The room for a month.
pub(super) fn slot(months: usize) -> f32 {
    let fitting = (USUAL_WIDTH - SCALE - RIGHT) / months.max(1) as f32;
    fitting.clamp(SLOT.0, SLOT.1).floor()
}

/// How wide a strip of so many months is.
#[must_use]
pub fn width(months: usize) -> f32 {
    (SCALE + RIGHT + slot(months) * months as f32).max(USUAL_WIDTH)
}

impl MonthChart<'_> {
    /// How high it is.
    #[must_use]
    pub fn height(&self) -> f32 {
        self.keys() + HEAD + PLOT + FOOT
    }

    fn keys(&self) -> f32 {
        KEY * (self.rows.len() + usize::from(self.limit.is_some())) as f32
    }

    /// The strip, `top` pixels below the top of its drawing.
    #[must_use]
    pub fn drawn(&self, top: f32) -> Markup {
        html! {
            (self.key(top))
            g transform={ "translate(0 " (number(top + self.keys())) ")" } { (made(plotted(self))) }
        }
    }

    /// What each kind of mark means, a line each.
    fn key(&self, top: f32) -> Markup {
        let foot = |line: usize| top + KEY * line as f32 + 14.0;
        let hatched = format!("url(#{})", hatching(self.id));
        html! {
            @for (line, row) in self.rows.iter().enumerate() {
                @let y = number(foot(line) - 10.0);
                @match row.mark {
                    Mark::Solid => { rect x="1" y=(y) width="18" height="11" {} }
                    Mark::Hatched => {
                        rect x="1" y=(y) width="18" height="11" fill=(hatched) stroke="currentColor" {}
                    }
                    Mark::Line => {
                        path d={ "M0 " (number(foot(line) - 5.0)) "H20" } stroke="currentColor" stroke-width="2" {}
                        circle cx="10" cy=(number(foot(line) - 5.0)) r="3" {}
                    }
                }
                (words(&row.name, 26.0, foot(line), &Letters::default()))
            }
            @if let Some(limit) = &self.limit {
                @let line = self.rows.len();
                path d={ "M0 " (number(foot(line) - 5.0)) "H20" } stroke="currentColor"
                    stroke-width="2" stroke-dasharray="6 4" {}
                (words(&limit.words, 26.0, foot(line), &Letters::default()))
            }
        }
    }

    /// The lowest and the highest value that has room.
    pub(super) fn range(&self) -> (f64, f64) {
        let values = self.rows.iter().flat_map(|row| row.values.iter().copied());
        let values = values.chain(self.limit.iter().map(|limit| limit.value));
        let (low, high) = values.fold((0.0, 0.0), |(low, high): (f64, f64), value| {
            (low.min(value), high.max(value))
        });
        if low == high { (0.0, 1.0) } else { (low, high) }
    }
}
