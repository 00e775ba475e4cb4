//! The refit plan as a person reads it: as a whole, for tonight, on the way to
//! one part.
//!
//! What belongs in a plan is decided in `reports`.

mod overview;
mod step;
mod tonight;
mod way_to;
pub(super) mod words;

use jiff::civil::Date;

use super::export::{Document, Exporter};
use super::terminal::Terminal;
use super::text::{StyledText, Text, TextStyle, column, counted, cut, plain};
use crate::presentation::cautions::general;
use crate::reports::cautions::SAFETY;
use crate::reports::refit::{Blocker, RefitReport};
use words::{
    fetch_words, hazards, label, link_words, lower, missing_figures, open_words, short_wait,
};

/// A plan and what has to be known to show it.
pub struct RefitView<'a> {
    /// The plan with all that belongs to it.
    pub answer: &'a RefitReport<'a>,
    /// The steps that are asked about, counted from 0, in their order.
    pub steps: Vec<usize>,
    /// The places that cannot be put back and are asked about.
    pub blocked: Vec<usize>,
    /// The parts that are on, still loose, and asked about.
    pub loose: Vec<usize>,
    /// The vehicle's full name.
    pub vehicle: &'a str,
    /// The day on which it is asked.
    pub today: Date,
    /// What the answer is about, if not about now.
    pub as_of: Option<&'a str>,
    /// What to add to the command for the same plan.
    pub options: &'a str,
}

impl RefitView<'_> {
    /// Whether there is nothing to say.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        let loops = &self.answer.plan.knots.loops;
        self.steps.is_empty()
            && self.blocked.is_empty()
            && self.loose.is_empty()
            && loops.is_empty()
    }
}

/// A plan from one side. `others` are lines about plans that are not shown.
pub enum RefitSide<'a> {
    /// All of it: what can go on, what holds it up, every step in a line.
    Overview(&'a RefitView<'a>, &'a [String]),
    /// What can go on now, in full.
    Tonight(&'a RefitView<'a>, &'a [String]),
    /// The steps in full.
    Step(&'a RefitView<'a>),
    /// What it takes to get these places on.
    WayTo(&'a RefitView<'a>, &'a [usize]),
    /// Nothing is off.
    Nothing,
}

impl Exporter<RefitSide<'_>> for Terminal {
    fn export(&self, view: &RefitSide<'_>) -> Document {
        let width = self.width;
        self.document(&match view {
            RefitSide::Overview(shown, others) => overview::overview(shown, others, width),
            RefitSide::Tonight(shown, others) => tonight::tonight(shown, others, width),
            RefitSide::Step(shown) => way_to::one_step(shown, width),
            RefitSide::WayTo(shown, targets) => way_to::way_to(shown, targets, width),
            RefitSide::Nothing => {
                let mut text = Text::new(width);
                text.line(0, TextStyle::Plain, "nothing is off that should go back");
                text
            }
        })
    }
}

/// How many lines of each kind stand on the first screen.
const FEW: usize = 6;

/// The handbook's cautions for some steps, each once, and who comes first.
fn general_cautions(text: &mut Text, shown: &RefitView<'_>, steps: &[usize]) {
    let raised = hazards(shown.answer, steps);
    if raised.is_empty() {
        return;
    }
    general(text, "caution", &raised, &|raised| {
        lower(raised.part.as_deref().unwrap_or_default())
    });
    text.line(2, TextStyle::Faint, &format!("General. {SAFETY}"));
}

/// A line about the steps of a list that lack the manual's figure.
fn figures_missing(text: &mut Text, shown: &RefitView<'_>, steps: &[usize]) {
    if let Some(words) = missing_figures(shown.answer, steps) {
        text.wrapped(2, 4, &[(TextStyle::Caution, words)]);
    }
}

fn head(text: &mut Text, shown: &RefitView<'_>) {
    let mut words = vec![
        shown.vehicle.to_owned(),
        counted(shown.steps.len(), "step", "steps"),
    ];
    words.extend(shown.as_of.map(str::to_owned));
    text.line(0, TextStyle::Faint, &words.join(", "));
}

/// Those of some steps that are asked about.
pub(super) fn wanted(shown: &RefitView<'_>, steps: &[usize]) -> Vec<usize> {
    let asked = |step: &usize| shown.steps.binary_search(step).is_ok();
    steps.iter().copied().filter(asked).collect()
}

/// The blockers of what is asked about.
pub(super) fn blockers<'a>(shown: &RefitView<'a>) -> Vec<&'a Blocker<'a>> {
    let answer = shown.answer;
    let places: Vec<usize> = shown
        .steps
        .iter()
        .map(|step| answer.plan.steps[*step])
        .chain(shown.blocked.iter().copied())
        .collect();
    let needed = answer.plan.needed_for(&places);
    answer
        .blocking
        .iter()
        .filter(|blocker| needed[blocker.place])
        .collect()
}

fn blocker_line(text: &mut Text, shown: &RefitView<'_>, blocker: &Blocker<'_>) {
    let answer = shown.answer;
    text.wrapped(
        2,
        7,
        &[
            plain(format!("{:>3}", blocker.waiting.all).replace(' ', "\u{a0}")),
            plain(if blocker.waiting.all == 1 {
                " waits for "
            } else {
                " wait for "
            }),
            (TextStyle::Part, lower(&label(answer, blocker.place))),
            plain(": "),
            plain(open_words(answer, blocker, shown.today)),
        ],
    );
}

/// Loops, each whole, and what to do about them.
fn loops(text: &mut Text, shown: &RefitView<'_>) {
    let answer = shown.answer;
    for found in &answer.plan.knots.loops {
        text.line(
            0,
            TextStyle::Error,
            "These records contradict each other: none of the parts can go on first",
        );
        for edge in found {
            text.wrapped(
                2,
                4,
                &[plain(link_words(answer, &answer.plan.order.known[*edge]))],
            );
        }
        text.line(
            2,
            TextStyle::Faint,
            "change one of them: `off after` says it only for the way off",
        );
    }
}

/// A terminal with fewer columns has no room for the steps as a table.
const TABLE: usize = 72;

/// One step in one line: number, part, whether its order is known, and what to
/// fetch or what it waits for.
fn short_line(text: &mut Text, shown: &RefitView<'_>, number: usize) {
    let answer = shown.answer;
    let place = answer.plan.steps[number];
    let now = &answer.now.steps[number];
    let (label_of, rest) = match now.waits.first() {
        Some(wait) => (TextStyle::Faint, short_wait(answer, wait)),
        None => (TextStyle::Standing, fetch_words(answer, place)),
    };
    let more = match now.waits.len() {
        0 | 1 => String::new(),
        many => format!(" +{}", many - 1),
    };
    let order = if answer.plan.is_known(place) {
        "known"
    } else {
        "assumed"
    };
    if text.width() < TABLE {
        let number = format!("{:>3} ", number + 1).replace(' ', "\u{a0}");
        text.wrapped(
            0,
            6,
            &[
                plain(number),
                (TextStyle::Part, label(answer, place)),
                (TextStyle::Faint, format!(", {order}")),
            ],
        );
        if !rest.trim().is_empty() {
            text.wrapped(6, 8, &[(label_of, rest), (TextStyle::Faint, more)]);
        }
        return;
    }
    let room = text.width().saturating_sub(43 + more.len());
    let row: [StyledText; 5] = [
        plain(format!("{:>3}  ", number + 1)),
        (TextStyle::Part, column(&label(answer, place), 28)),
        (TextStyle::Faint, format!(" {}", column(order, 8))),
        (label_of, cut(&rest, room)),
        (TextStyle::Faint, more),
    ];
    text.row(&row);
}
