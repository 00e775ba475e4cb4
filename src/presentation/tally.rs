//! Hours and money as bars for a terminal.

use unicode_width::UnicodeWidthStr;

use super::export::{Document, Exporter};
use super::terminal::Terminal;
use super::text::{StyledText, Text, TextStyle, column, counted, plain};
use crate::reports::spending::Posting;
use crate::reports::tally::{Budget, Sum, Tally, TallyGrouping, TallyRow, sum};
use crate::vocabulary::money::{Currency, Money};

/// A tally with what a person is told beside it.
pub struct TallyView<'t> {
    /// The sums.
    pub tally: &'t Tally,
    /// What was left out, as its text has no day.
    pub undated: &'t [Posting],
    /// The journal's currency.
    pub currency: Currency,
    /// Whether a part's vehicle has to be said.
    pub several_vehicles: bool,
    /// As of when, if not now.
    pub as_of: Option<String>,
    /// How many rows at most; all of them without.
    pub most: Option<u32>,
}

impl Exporter<TallyView<'_>> for Terminal {
    fn export(&self, shown: &TallyView<'_>) -> Document {
        self.document(&render(shown, self.width))
    }
}

/// Columns of a bar.
const BAR: usize = 10;

/// Shortest width to which names are cut before the bars are left out, in columns.
const NARROW: usize = 16;

/// The sums, one row for each key, with bars: each against the longest of its
/// own kind and currency.
fn render(shown: &TallyView<'_>, width: usize) -> Text {
    let tally = shown.tally;
    let mut text = Text::new(width);
    if tally.rows.is_empty() {
        text.line(0, TextStyle::Plain, "no hours and no money written down");
    } else {
        table(shown, width, &mut text);
    }
    for budget in &tally.budgets {
        text.gap();
        show_budget(budget, &mut text);
    }
    if !shown.undated.is_empty() {
        text.gap();
        let without = sum(shown.undated.iter(), shown.currency);
        text.wrapped(
            0,
            2,
            &[
                (TextStyle::Warning, "not counted: ".into()),
                plain(format!("{} in texts without a day", sum_words(&without))),
            ],
        );
        for place in places(shown.undated) {
            text.line(2, TextStyle::Faint, &place);
        }
    }
    text
}

fn table(shown: &TallyView<'_>, width: usize, text: &mut Text) {
    let tally = shown.tally;
    let mut head = format!("Hours and money by {}", tally.by.word());
    if let Some(as_of) = &shown.as_of {
        head.push_str(&format!(", {as_of}"));
    }
    text.line(0, TextStyle::Title, &head);
    // What says nothing comes last and is always shown: it may be most of all.
    let (said, unsaid): (Vec<&TallyRow>, Vec<&TallyRow>) =
        tally.rows.iter().partition(|row| row.key.is_some());
    let most = shown.most.map_or(said.len(), |most| most as usize);
    let (rows, hidden) = said.split_at(most.min(said.len()));
    let rest = Sum {
        minutes: hidden.iter().map(|row| row.sum.minutes).sum(),
        money: add_up(hidden, shown.currency),
    };
    let names: Vec<String> = rows
        .iter()
        .chain(&unsaid)
        .map(|row| name(row, shown))
        .collect();
    let sums = tally.rows.iter().map(|row| &row.sum);
    let columns = ColumnWidths::of(&names, sums.chain([&rest, &tally.total]), width);
    for row in rows {
        columns.show(&name(row, shown), &row.sum, Some(tally), text);
    }
    if !hidden.is_empty() {
        columns.show(&format!("{} more", hidden.len()), &rest, None, text);
    }
    for row in &unsaid {
        columns.show(&name(row, shown), &row.sum, Some(tally), text);
    }
    columns.show("total", &tally.total, None, text);
    if !hidden.is_empty() {
        let all = said.len();
        text.line(
            0,
            TextStyle::Faint,
            &format!("--most {all} shows all {all}"),
        );
    }
}

/// The money of several rows, each currency for itself.
fn add_up(rows: &[&TallyRow], home: Currency) -> Vec<Money> {
    let mut all = crate::vocabulary::money::sum_by_currency(
        rows.iter().flat_map(|row| row.sum.money.iter().copied()),
    );
    all.sort_by_key(|money| (money.currency != home, money.currency));
    all
}

/// How wide the columns are; 0 where there is none.
struct ColumnWidths {
    name: usize,
    hours: usize,
    amount: usize,
    bar: usize,
}

impl ColumnWidths {
    /// Room for every figure in full; what is left is for names and bars.
    fn of<'s>(names: &[String], sums: impl Iterator<Item = &'s Sum>, width: usize) -> ColumnWidths {
        let mut columns = ColumnWidths {
            name: 0,
            hours: 0,
            amount: 0,
            bar: BAR,
        };
        for sum in sums {
            let amounts = sum.money.iter().map(|money| money.to_string().len());
            columns.amount = columns.amount.max(amounts.max().unwrap_or(0));
            if sum.minutes > 0 {
                columns.hours = columns.hours.max(hours(sum.minutes).len());
            }
        }
        let longest = names.iter().map(|name| name.width()).max().unwrap_or(0);
        let longest = longest.max("total".len());
        if columns.before(longest.min(NARROW)) + columns.amount + 1 + BAR > width {
            columns.bar = 0;
        }
        let bar = if columns.bar > 0 { columns.bar + 1 } else { 0 };
        let left = width.saturating_sub(columns.before(0) + columns.amount + bar);
        let fitting = names.iter().map(|name| name.width());
        let fitting = fitting.filter(|name| *name <= left).max().unwrap_or(0);
        columns.name = fitting.max("total".len()).min(left);
        columns
    }

    /// Columns before the amount, for names of this width.
    fn before(&self, name: usize) -> usize {
        let bar = if self.bar > 0 { self.bar + 1 } else { 0 };
        let hours = if self.hours > 0 {
            self.hours + 1 + bar
        } else {
            0
        };
        name + 1 + hours
    }

    /// One row; each further currency on a line of its own below. Bars only
    /// against a whole.
    fn show(&self, name: &str, sum: &Sum, tally: Option<&Tally>, text: &mut Text) {
        let longest_time = tally.map_or(0, |tally| {
            let minutes = tally.rows.iter().map(|row| row.sum.minutes);
            minutes.max().unwrap_or(0)
        });
        let longest = |currency: Currency| {
            tally.map_or(0, |tally| {
                let all = tally.rows.iter().flat_map(|row| &row.sum.money);
                let own = all.filter(|money| money.currency == currency);
                own.map(|money| money.minor).max().unwrap_or(0)
            })
        };
        let part = if tally.is_some() {
            TextStyle::Part
        } else {
            TextStyle::Title
        };
        let mut name = name;
        if name.width() > self.name {
            // A name that is wider than its column has a line of its own.
            text.line(0, part, name);
            name = "";
        }
        let mut pieces: Vec<StyledText> = vec![(part, column(name, self.name)), plain(" ")];
        if self.hours > 0 {
            let words = match sum.minutes {
                0 => String::new(),
                minutes => hours(minutes),
            };
            let width = self.hours;
            pieces.push(plain(format!("{words:>width$} ")));
            if self.bar > 0 {
                let bar = bar(u128::from(sum.minutes), u128::from(longest_time));
                pieces.push((TextStyle::Standing, column(&bar, self.bar)));
                pieces.push(plain(" "));
            }
        }
        let first = sum.money.first();
        pieces.extend(self.money(first, first.map_or(0, |money| longest(money.currency))));
        text.row(&pieces);
        let before = self.before(self.name);
        for money in sum.money.iter().skip(1) {
            let mut pieces = vec![plain(" ".repeat(before))];
            pieces.extend(self.money(Some(money), longest(money.currency)));
            text.row(&pieces);
        }
    }

    fn money(&self, money: Option<&Money>, longest: i64) -> Vec<StyledText> {
        let Some(money) = money else {
            return Vec::new();
        };
        let width = self.amount;
        let part = u128::from(money.minor.max(0).unsigned_abs());
        let bar = bar(part, u128::from(longest.max(0).unsigned_abs()));
        let mut pieces = vec![plain(format!("{:>width$}", money.to_string()))];
        if !bar.is_empty() && self.bar > 0 {
            pieces.push((TextStyle::Match, format!(" {bar}")));
        }
        pieces
    }
}

/// A bar in eighths of a column; what is not nothing has at least one.
fn bar(part: u128, longest: u128) -> String {
    const EIGHTHS: [&str; 8] = ["", "▏", "▎", "▍", "▌", "▋", "▊", "▉"];
    if part == 0 || longest == 0 {
        return String::new();
    }
    let all = BAR as u128 * 8;
    let filled = (part.min(longest) * all).div_ceil(longest).max(1);
    let filled = usize::try_from(filled).unwrap_or(0);
    format!("{}{}", "█".repeat(filled / 8), EIGHTHS[filled % 8])
}

/// `181:20 h`.
fn hours(minutes: u64) -> String {
    format!("{}:{:02} h", minutes / 60, minutes % 60)
}

/// What a row is called.
fn name(row: &TallyRow, shown: &TallyView<'_>) -> String {
    let by = shown.tally.by;
    match (&row.key, &row.vehicle) {
        (Some(part), Some(vehicle)) if by == TallyGrouping::Part && shown.several_vehicles => {
            format!("{part} ({vehicle})")
        }
        (Some(key), _) => key.clone(),
        (None, _) => by.unsaid().to_owned(),
    }
}

/// Hours and money in a sentence.
pub(super) fn sum_words(sum: &Sum) -> String {
    let hours = (sum.minutes > 0).then(|| hours(sum.minutes));
    let money = sum.money.iter().map(ToString::to_string);
    hours
        .into_iter()
        .chain(money)
        .collect::<Vec<_>>()
        .join(" and ")
}

/// The places of postings, each once, not more than a few.
fn places(postings: &[Posting]) -> Vec<String> {
    const MOST: usize = 5;
    let mut all: Vec<String> = postings
        .iter()
        .map(|posting| format!("{}:{}", posting.spot.file, posting.spot.line))
        .collect();
    all.sort();
    all.dedup();
    if all.len() > MOST {
        let more = all.len() - MOST;
        all.truncate(MOST);
        all.push(counted(more, "more line", "more lines"));
    }
    all
}

fn show_budget(budget: &Budget, text: &mut Text) {
    let over = budget.left.minor < 0;
    let left = Money {
        minor: budget.left.minor.saturating_abs(),
        ..budget.left
    };
    let (label, word) = if over {
        (TextStyle::Warning, "over")
    } else {
        (TextStyle::Standing, "left")
    };
    let share = share(budget).map(|share| format!(" ({share} %)"));
    let mut pieces = vec![
        plain("budget of "),
        (TextStyle::Part, budget.vehicle.clone()),
        plain(format!(
            " {}: {} spent{}, ",
            budget.budget,
            budget.spent,
            share.unwrap_or_default()
        )),
        (label, format!("{left} {word}")),
    ];
    if !budget.besides.is_empty() {
        let besides: Vec<String> = budget.besides.iter().map(ToString::to_string).collect();
        pieces.push(plain(format!("; and {} besides", besides.join(", "))));
    }
    text.wrapped(0, 2, &pieces);
}

/// How much of a budget is spent, in whole per cents.
fn share(budget: &Budget) -> Option<i128> {
    let whole = i128::from(budget.budget.minor);
    (whole > 0).then(|| i128::from(budget.spent.minor) * 100 / whole)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bars_are_in_proportion() {
        assert_eq!(bar(0, 100), "");
        assert_eq!(bar(1, 100_000), "▏");
        assert_eq!(bar(50, 100), "█████");
        assert_eq!(bar(55, 100), "█████▌");
        assert_eq!(bar(100, 100), "██████████");
        assert_eq!(
            bar(u128::from(u64::MAX), u128::from(u64::MAX)),
            "██████████"
        );
    }
}
