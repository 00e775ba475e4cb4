//! What is open, as lines for a terminal.

use jiff::civil::Date;

use super::export::{Document, Exporter};
use super::terminal::Terminal;
use super::text::{StyledText, Text, TextStyle, counted, plain};
use crate::reports::needs::{NeedKind, OpenNeed};

/// Columns of the number that waits.
const NUMBER: usize = 4;

/// What a shopping list of parts leaves out.
const HARDWARE: &str = "nuts, bolts, pins, clips to get: matchmark bags --buy";

/// What is open, with what a person is told beside it.
pub struct NeedsView<'o> {
    /// What is open, in its order.
    pub all: &'o [OpenNeed],
    /// The day against which it is looked at.
    pub today: Date,
    /// As of when, if not now.
    pub as_of: Option<String>,
    /// Whether the vehicle has to be said.
    pub several_vehicles: bool,
    /// Whether only purchases are shown.
    pub buy: bool,
    /// The last day that is asked about, if one is.
    pub due: Option<Date>,
}

impl Exporter<NeedsView<'_>> for Terminal {
    fn export(&self, shown: &NeedsView<'_>) -> Document {
        let text = match shown.all.is_empty() {
            true => nothing(shown, self.width),
            false => render(shown, self.width),
        };
        self.document(&text)
    }
}

fn nothing(shown: &NeedsView<'_>, width: usize) -> Text {
    let mut text = Text::new(width);
    let what = if shown.buy {
        "nothing to buy"
    } else {
        "nothing is open"
    };
    match shown.due {
        Some(due) => text.line(0, TextStyle::Plain, &format!("{what} that is due by {due}")),
        None => text.line(0, TextStyle::Plain, what),
    }
    if shown.buy && shown.due.is_none() {
        text.line(0, TextStyle::Plain, HARDWARE);
    }
    text
}

/// What is open: two lines each, the number of places that wait in front.
fn render(shown: &NeedsView<'_>, width: usize) -> Text {
    let mut text = Text::new(width);
    text.line(0, TextStyle::Title, &heading(shown));
    let group = |open: &OpenNeed| {
        if open.is_overdue(shown.today) {
            "Overdue"
        } else if open.waiting.all > 0 {
            "How many parts wait for it"
        } else {
            "The rest, oldest first"
        }
    };
    let mut last = "";
    for open in shown.all {
        let group = group(open);
        if group != last {
            text.gap();
            text.line(0, TextStyle::Title, group);
            last = group;
        }
        row(open, shown, &mut text);
    }
    if shown.buy {
        text.gap();
        text.line(0, TextStyle::Faint, HARDWARE);
    }
    text
}

fn heading(shown: &NeedsView<'_>) -> String {
    let count =
        |which: &dyn Fn(&OpenNeed) -> bool| shown.all.iter().filter(|open| which(open)).count();
    let overdue = count(&|open| open.is_overdue(shown.today));
    let buy = count(&|open| open.kind == NeedKind::Buy);
    let questions = count(&|open| open.kind == NeedKind::Question);
    let mut words = vec![format!("{} open", shown.all.len())];
    let kinds = [
        (overdue, "overdue", "overdue"),
        (buy, "to buy", "to buy"),
        (questions, "question", "questions"),
    ];
    for (number, one, many) in kinds {
        if number > 0 && number < shown.all.len() {
            words.push(counted(number, one, many));
        }
    }
    words.extend(shown.as_of.clone());
    words.join(", ")
}

fn row(open: &OpenNeed, shown: &NeedsView<'_>, text: &mut Text) {
    let number = match open.waiting.all {
        0 => String::new(),
        all => all.to_string(),
    };
    // Blanks that hold together: the number stands in a column of its own.
    let number = format!("{number:>NUMBER$}\u{a0}").replace(' ', "\u{a0}");
    let mut head: Vec<StyledText> = vec![(TextStyle::Standing, number)];
    if let Some(label) = subject(open) {
        head.push((TextStyle::Part, label));
        head.push(plain(": "));
    }
    if open.kind == NeedKind::Question {
        head.push(plain("find out: "));
    }
    head.push(plain(open.need.clone()));
    if let Some(by) = open.by {
        let (label, words) = due(by, shown.today);
        head.push(plain(", "));
        head.push((label, words));
    }
    text.wrapped(0, NUMBER + 3, &head);
    let mut aside = Vec::new();
    aside.extend(open.vehicle.clone().filter(|_| shown.several_vehicles));
    if open.part.is_some() {
        aside.extend(open.system_words());
    }
    aside.push(format!("since {}", open.since));
    aside.push(format!("{}:{}", open.spot.file, open.spot.line));
    text.line(NUMBER + 3, TextStyle::Faint, &aside.join(", "));
}

/// "by 2026-10-31, 25 days ago".
fn due(by: Date, today: Date) -> (TextStyle, String) {
    let days = (by - today).get_days();
    let many = |days: i32| if days == 1 { "day" } else { "days" };
    match days {
        0 => (TextStyle::Warning, format!("by {by}, today")),
        days if days < 0 => {
            let late = days.saturating_abs();
            (
                TextStyle::Error,
                format!("by {by}, {late} {} ago", many(late)),
            )
        }
        days if days <= 30 => (
            TextStyle::Warning,
            format!("by {by}, in {days} {}", many(days)),
        ),
        _ => (TextStyle::Plain, format!("by {by}")),
    }
}

/// What it is about: a part, a system or a vehicle as a whole; nothing for a
/// tool.
fn subject(open: &OpenNeed) -> Option<String> {
    if open.kind == NeedKind::Return {
        return None;
    }
    let whole = || open.system.clone().or_else(|| open.vehicle.clone());
    open.label()
        .or_else(|| whole().map(|whole| format!("{whole} as a whole")))
}

/// What is needed where, in one line.
#[must_use]
pub fn what(open: &OpenNeed) -> String {
    match subject(open) {
        Some(subject) => format!("{subject}: {}", open.need),
        None => open.need.clone(),
    }
}

/// Where it belongs, what waits for it, and where it is written.
#[must_use]
pub fn where_and_since(open: &OpenNeed) -> String {
    let mut words = Vec::new();
    words.extend(open.vehicle.clone());
    words.extend(open.system_words());
    if open.waiting.all > 0 {
        words.push(match open.waiting.all {
            1 => "1 part waits for it".to_owned(),
            all => format!("{all} parts wait for it"),
        });
    }
    words.push(format!("since {}", open.since));
    words.push(format!("{}:{}", open.spot.file, open.spot.line));
    words.join(", ")
}
